"""The spool: each key once, in order, nothing lost, whatever the printer does."""

import threading
from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from labels.printing import PNG, PrintRefused, PrintState, Sheet, Spool, Stage, Ticket

NOON = datetime(2026, 3, 5, 12, tzinfo=UTC)
SHEET = Sheet(b"a picture", PNG, 50.0, 25.0, 203)
DONE = PrintState(Stage.DONE, "The label is printed.")
PRINTING = PrintState(Stage.PRINTING, "The label is being printed.")
BUSY = PrintState(Stage.WAITING, "The printer is busy.", "It is tried again.", "busy")
OFF = PrintState(Stage.STOPPED, "The printer does not answer.", "Switch it on.", "unreachable")
REJECTS = PrintState(Stage.FAILED, "The printer takes no prints now.", "", "rejecting")
GAVE_UP = PrintState(Stage.FAILED, "The printer gave the label up.", "", "given-up")
DOUBT = PrintState(Stage.WAITING, "No answer.", "", "in-doubt")


class Paper:
    """A printer whose answers the test sets; it keeps to the promises of `Printer`."""

    where = "paper"

    def __init__(self, *, says=PRINTING):
        self.says, self.refuses, self.loses_answers = says, None, False
        self.refuses_once = None
        self.taken, self.states, self.cancelled = [], {}, []

    def check(self):
        return DONE

    def dots(self):
        return (203,)

    def find(self, key):
        if self.refuses is not None:
            raise PrintRefused(self.refuses)
        numbers = [job for job, (name, state) in self.states.items()
            if name == key and state.stage not in (Stage.FAILED, Stage.CANCELLED)]  # fmt: skip
        return Ticket(key, numbers[0], self.where) if numbers else None

    def submit(self, sheet, *, key):
        if self.refuses_once is not None:
            refusal, self.refuses_once = PrintRefused(self.refuses_once), None
            raise refusal
        if found := self.find(key):
            return found
        number = len(self.taken) + 1
        self.taken.append(key)
        self.states[number] = (key, self.says)
        if self.loses_answers:
            self.loses_answers = False
            raise PrintRefused(DOUBT)
        return Ticket(key, number, self.where)

    def state(self, ticket):
        return self.states[ticket.job][1]

    def cancel(self, ticket):
        self.cancelled.append(ticket.key)
        self.become(ticket.job, PrintState(Stage.CANCELLED, "The print was cancelled."))
        return self.state(ticket)

    def retry(self, ticket, sheet):
        return self.submit(sheet, key=ticket.key)

    def become(self, number, state):
        self.states[number] = (self.states[number][0], state)


def at(seconds):
    return NOON + timedelta(seconds=seconds)


def stages(spool):
    return {line.key: line.state.stage for line in spool.lines()}


def test_a_print_is_followed_until_it_is_done():
    paper, told = Paper(), []
    spool = Spool(paper, tell=told.append)
    spool.submit(SHEET, key="A-1", now=NOON)
    spool.step(NOON)
    spool.step(at(1))
    paper.become(1, DONE)

    left = spool.step(at(2))

    assert left == 0
    assert [line.state.stage for line in told] == [
        Stage.WAITING, Stage.WAITING, Stage.PRINTING, Stage.DONE,
    ]  # fmt: skip
    assert spool.line("A-1").sheet is None


def test_a_second_tap_prints_once_while_it_waits_prints_and_is_done():
    paper = Paper()
    spool = Spool(paper)
    for second in range(3):
        spool.submit(SHEET, key="A-1", now=at(second))
        spool.step(at(second))
    paper.become(1, DONE)
    spool.step(at(4))

    line = spool.submit(SHEET, key="A-1", now=at(5))
    spool.step(at(5))

    assert line.state.stage is Stage.DONE
    assert paper.taken == ["A-1"]


def test_taps_of_many_fingers_at_once_print_once():
    paper = Paper()
    spool = Spool(paper)
    start = threading.Barrier(8)

    def tap():
        start.wait()
        spool.submit(SHEET, key="A-1", now=NOON)
        spool.step(NOON)

    fingers = [threading.Thread(target=tap) for _ in range(8)]
    for finger in fingers:
        finger.start()
    for finger in fingers:
        finger.join()

    assert paper.taken == ["A-1"]


def test_a_cancelled_key_never_prints_and_a_new_key_does():
    paper = Paper()
    spool = Spool(paper)
    spool.submit(SHEET, key="A-1", now=NOON)
    spool.step(NOON)
    spool.cancel("A-1")
    spool.step(at(1))

    again = spool.submit(SHEET, key="A-1", now=at(2))
    spool.submit(SHEET, key="A-2", now=at(2))
    spool.step(at(2))

    assert again.state.stage is Stage.CANCELLED
    assert paper.cancelled == ["A-1"]
    assert paper.taken == ["A-1", "A-2"]


def test_a_print_cancelled_before_it_was_handed_over_never_reaches_the_printer():
    paper = Paper()
    spool = Spool(paper)
    spool.submit(SHEET, key="A-1", now=NOON)
    spool.cancel("A-1")

    spool.step(NOON)

    assert paper.taken == []
    assert spool.line("A-1").state.stage is Stage.CANCELLED


def test_a_busy_printer_gets_the_labels_one_by_one_in_order():
    paper = Paper()
    spool = Spool(paper)
    for key in ("A-1", "B-1", "C-1"):
        spool.submit(SHEET, key=key, now=NOON)
    paper.refuses = BUSY
    spool.step(NOON)
    assert spool.line("A-1").state == BUSY
    assert paper.taken == []
    paper.refuses = None

    spool.step(at(1))
    assert paper.taken == []
    spool.step(at(5))

    assert paper.taken == ["A-1", "B-1", "C-1"]


def test_no_label_overtakes_one_that_met_a_busy_printer():
    paper = Paper()
    spool = Spool(paper)
    for key in ("A-1", "B-1"):
        spool.submit(SHEET, key=key, now=NOON)
    paper.refuses_once = BUSY

    spool.step(NOON)
    assert paper.taken == []
    spool.step(at(5))

    assert paper.taken == ["A-1", "B-1"]


def test_a_label_that_met_a_busy_printer_goes_as_soon_as_the_one_before_is_done():
    paper = Paper()
    spool = Spool(paper, again=timedelta(hours=1))
    spool.submit(SHEET, key="A-1", now=NOON)
    spool.step(NOON)
    spool.submit(SHEET, key="B-1", now=NOON)
    paper.refuses = BUSY
    spool.step(NOON)
    paper.refuses = None
    paper.become(1, DONE)

    spool.step(at(1))

    assert paper.taken == ["A-1", "B-1"]


def test_a_printer_that_is_off_loses_nothing_and_prints_when_it_is_back():
    paper = Paper(says=DONE)
    spool = Spool(paper)
    paper.refuses = OFF.at(Stage.WAITING)
    spool.submit(SHEET, key="A-1", now=NOON)
    for second in range(0, 60, 5):
        spool.step(at(second))
    assert [line.state.reason for line in spool.lines()] == ["unreachable"]
    paper.refuses = None

    spool.step(at(60))
    spool.step(at(61))

    assert spool.line("A-1").state.stage is Stage.DONE
    assert paper.taken == ["A-1"]


def test_a_refused_print_stays_listed_and_does_not_hold_the_others():
    paper = Paper()
    spool = Spool(paper)
    spool.submit(SHEET, key="A-1", now=NOON)
    paper.refuses = REJECTS
    spool.step(NOON)
    paper.refuses = None
    spool.submit(SHEET, key="B-1", now=at(1))
    spool.step(at(1))
    spool.step(at(1000))

    assert stages(spool) == {"A-1": Stage.FAILED, "B-1": Stage.PRINTING}
    assert paper.taken == ["B-1"]


def test_a_failed_print_goes_on_with_its_key_when_tried_again():
    paper = Paper()
    spool = Spool(paper)
    spool.submit(SHEET, key="A-1", now=NOON)
    spool.step(NOON)
    paper.become(1, GAVE_UP)
    spool.step(at(1))
    assert stages(spool) == {"A-1": Stage.FAILED}

    spool.retry("A-1", now=at(2))
    spool.step(at(2))
    spool.step(at(3))

    assert paper.taken == ["A-1", "A-1"]
    assert stages(spool) == {"A-1": Stage.PRINTING}


def test_trying_again_what_is_with_the_printer_changes_nothing():
    paper = Paper()
    spool = Spool(paper)
    spool.submit(SHEET, key="A-1", now=NOON)
    spool.step(NOON)
    paper.become(1, OFF)
    spool.step(at(1))

    spool.retry("A-1", now=at(2))
    spool.step(at(2))
    paper.become(1, DONE)
    spool.step(at(3))

    assert paper.taken == ["A-1"]
    assert spool.line("A-1").state.stage is Stage.DONE


def test_a_lost_answer_leads_to_one_label():
    paper = Paper()
    spool = Spool(paper)
    spool.submit(SHEET, key="A-1", now=NOON)
    paper.loses_answers = True
    spool.step(NOON)
    assert spool.line("A-1").doubtful

    spool.step(at(5))
    paper.become(1, DONE)
    spool.step(at(6))

    assert paper.taken == ["A-1"]
    assert spool.line("A-1").state.stage is Stage.DONE
    assert not spool.line("A-1").doubtful


def test_a_print_cancelled_after_a_lost_answer_is_looked_for_and_dropped():
    paper = Paper()
    spool = Spool(paper)
    spool.submit(SHEET, key="A-1", now=NOON)
    paper.loses_answers = True
    spool.step(NOON)
    paper.refuses = OFF.at(Stage.WAITING)
    spool.cancel("A-1")
    spool.step(at(1))
    assert [line.unwanted for line in spool.lines()] == [True]
    paper.refuses = None

    spool.step(at(2))

    assert paper.cancelled == ["A-1"]
    assert spool.lines() == ()


def test_a_cancelled_print_that_came_out_all_the_same_is_told_as_printed():
    paper = Paper()
    paper.cancel = lambda ticket: DONE
    spool = Spool(paper)
    spool.submit(SHEET, key="A-1", now=NOON)
    spool.step(NOON)
    spool.cancel("A-1")

    spool.step(at(1))

    assert spool.line("A-1").state.stage is Stage.DONE


def test_a_wrong_size_found_late_names_the_size():
    paper = Paper(
        says=PrintState(Stage.FAILED, "The printer has no such labels.", "", "wrong-size")
    )
    spool = Spool(paper)
    spool.submit(SHEET, key="A-1", now=NOON)
    spool.step(NOON)
    spool.step(at(1))

    assert "50 × 25 mm" in spool.line("A-1").state.words


@pytest.mark.parametrize("ask", [lambda spool: spool.cancel("X"), lambda spool: spool.line("X")])
def test_a_key_never_seen_is_none(ask):
    assert ask(Spool(Paper())) is None


ACTS = st.lists(
    st.tuples(
        st.sampled_from(
            ["submit", "cancel", "retry", "step", "off", "busy", "on", "lose", "done", "fail"]
        ),
        st.sampled_from(["A-1", "B-1", "C-1"]),
    ),
    max_size=40,
)


@settings(max_examples=150, deadline=None)
@given(ACTS)
def test_whatever_happens_no_key_comes_out_twice_and_none_is_lost(acts):
    paper = Paper()
    spool = Spool(paper)
    asked, now = set(), NOON
    switches = {"off": OFF.at(Stage.WAITING), "busy": BUSY, "on": None}
    for act, key in acts:
        now += timedelta(seconds=2)
        if act == "submit":
            spool.submit(SHEET, key=key, now=now)
            asked.add(key)
        elif act == "cancel":
            spool.cancel(key)
        elif act == "retry":
            spool.retry(key, now=now)
        elif act == "step":
            spool.step(now)
        elif act in switches:
            paper.refuses = switches[act]
        elif act == "lose":
            paper.loses_answers = True
        else:
            for number, (name, state) in tuple(paper.states.items()):
                if name == key and not state.ended:
                    paper.become(number, DONE if act == "done" else GAVE_UP)
    listed = {line.key for line in spool.lines()}
    came_out = [name for name, state in paper.states.values() if state.stage is Stage.DONE]

    assert len(came_out) == len(set(came_out))
    assert {key for key in asked if spool.line(key) is None} == set()
    assert {key for key in asked if not spool.line(key).settled} == listed
    paper.refuses, paper.loses_answers, paper.says = None, False, DONE
    for number, (_, state) in tuple(paper.states.items()):
        if not state.ended:
            paper.become(number, DONE)
    for key in asked:
        spool.retry(key, now=now)
    for _ in range(6):
        now += timedelta(seconds=10)
        spool.step(now)
        for line in spool.lines():
            spool.retry(line.key, now=now)
    assert spool.lines() == ()
    came_out = [name for name, state in paper.states.values() if state.stage is Stage.DONE]
    assert len(came_out) == len(set(came_out))
