"""What printers report, in words of the shop; and the commands of the queue, word for word."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from labels.printing import PDF, PrintRefused, Sheet, Stage, wire
from labels.printing.jobs import JOB_KEYS, PRINTER_KEYS, fold_job, fold_printer
from labels.printing.post import NoAnswer
from labels.printing.queue import Outcome, QueuePrinter, discover, is_queue_name
from labels.printing.wire import Attribute, Group
from labels.printing.words import find_reason, refused

SHEET = Sheet(b"%PDF", PDF, 50.0, 25.0, 203)
IDLE, PRINTING, STOPPED = 3, 4, 5  # RFC 8011 section 5.4.11


def printer(*reasons, state=PRINTING, message="", accepting=True):
    return Group(
        wire.PRINTER,
        (
            Attribute("printer-state", wire.ENUM, (state,)),
            Attribute("printer-state-reasons", wire.KEYWORD, reasons or ("none",)),
            Attribute("printer-state-message", wire.TEXT, (message,)),
            Attribute("printer-is-accepting-jobs", wire.BOOLEAN, (accepting,)),
        ),
    )


def job(state, *reasons, message=""):
    return Group(
        wire.JOB,
        (
            Attribute("job-state", wire.ENUM, (state,)),
            Attribute("job-state-reasons", wire.KEYWORD, reasons or ("none",)),
            Attribute("job-printer-state-message", wire.TEXT, (message,)),
        ),
    )


def fold(about, at=None, still=0.0, ours=False):
    return fold_job(about, at or printer(), still=still, ours=ours)


@pytest.mark.parametrize("ending", ["", "-error", "-warning", "-report"])
@pytest.mark.parametrize(
    ("keyword", "word"),
    [
        ("media-empty", "empty"),
        ("media-needed", "waits for labels"),
        ("media-jam", "stuck"),
        ("cover-open", "lid"),
        ("door-open", "door"),
        ("marker-supply-empty", "used up"),
        ("paused", "paused"),
        ("offline", "offline"),
        ("shutdown", "switched off"),
        ("timed-out", "does not answer"),
    ],
)
def test_a_reason_is_known_by_its_beginning(keyword, ending, word):
    state = fold(job(5), printer(keyword + ending))

    assert state.stage is Stage.STOPPED
    assert state.reason == keyword
    assert word in state.words
    assert state.remedy


def test_the_gravest_of_several_reasons_is_told():
    assert find_reason(("media-low-warning", "paused", "media-jam-error")).reason == "media-jam"


def test_an_error_without_words_of_ours_is_told_in_its_own():
    assert find_reason(("fuser-over-temp-error",)).words == "The printer reports: fuser over temp."


def test_a_roll_nearly_empty_stops_nothing_and_is_told():
    at = printer("media-low-warning", state=IDLE)

    assert fold_printer(at).words == "The roll is nearly empty."
    assert fold(job(5), at).stage is Stage.PRINTING


def test_only_a_completed_job_is_printed():
    stages = {state: fold(job(state)).stage for state in range(3, 10)}

    assert [state for state, stage in stages.items() if stage is Stage.DONE] == [9]


def test_a_job_the_printer_dropped_is_failed_unless_somebody_dropped_it():
    size = job(7, "processing-to-stop-point", message="Printer cannot print with supplied options.")

    assert fold(size).reason == "wrong-size"
    assert fold(job(7, "processing-to-stop-point")).stage is Stage.FAILED
    assert fold(job(8, "aborted-by-system")).stage is Stage.FAILED
    assert fold(job(7, "job-canceled-by-user")).stage is Stage.CANCELLED
    assert fold(job(7, "processing-to-stop-point"), ours=True).stage is Stage.CANCELLED


def test_a_silent_printer_is_told_after_five_seconds_without_progress():
    lost = job(5, message="The printer may not exist or is unavailable at this time.")

    assert fold(lost, still=4.9).stage is Stage.PRINTING
    assert fold(lost, still=5.0).reason == "unreachable"


def test_a_job_that_stands_still_without_a_word_is_told_after_half_a_minute():
    assert fold(job(5), still=29.0).stage is Stage.PRINTING
    assert fold(job(5), still=30.0).reason == "still"


def test_a_job_in_a_stopped_queue_is_not_just_waiting():
    assert fold(job(3), printer(state=STOPPED, message="Roll change")).stage is Stage.STOPPED
    assert fold(job(3), printer(state=IDLE)).stage is Stage.WAITING
    assert fold(job(4), printer(state=IDLE)).reason == "held"


def test_a_printer_is_ready_busy_stopped_or_rejecting():
    assert fold_printer(printer(state=IDLE)).stage is Stage.DONE
    assert fold_printer(printer(state=PRINTING)).stage is Stage.PRINTING
    assert fold_printer(printer(state=STOPPED)).stage is Stage.STOPPED
    assert fold_printer(printer(state=IDLE, accepting=False)).reason == "rejecting"


@pytest.mark.parametrize(
    ("code", "reason", "stage"),
    [
        (0x0507, "busy", Stage.WAITING),
        (0x0505, "busy", Stage.WAITING),
        (0x0506, "rejecting", Stage.FAILED),
        (0x040B, "wrong-size", Stage.FAILED),
        (0x040A, "wrong-format", Stage.FAILED),
        (0x0403, "not-allowed", Stage.FAILED),
        (0x0406, "no-printer", Stage.FAILED),
        (0x0500, "refused", Stage.FAILED),
    ],
)
def test_a_refusal_says_why_and_whether_to_try_again(code, reason, stage):
    state = refused(code, SHEET)

    assert (state.reason, state.stage) == (reason, stage)
    assert state.words.endswith(".")
    assert state.remedy.endswith(".")


VALUES = st.one_of(st.integers(-5, 20), st.booleans(), st.text(max_size=8), st.binary(max_size=4))
GROUPS = st.lists(
    st.builds(
        lambda name, values: Attribute(name, wire.ENUM, tuple(values)),
        st.sampled_from([*PRINTER_KEYS, *JOB_KEYS]),
        st.lists(VALUES, max_size=3),
    )
).map(lambda attributes: Group(wire.JOB, tuple(attributes)))


@given(GROUPS, GROUPS, st.floats(0, 100), st.booleans())
def test_whatever_a_printer_says_of_itself_is_told_in_some_words(about, at, still, ours):
    assert fold_job(about, at, still=still, ours=ours).words
    assert fold_printer(at).words


class Commands:
    """Stands for the commands of a print system: answers each with what the test gives."""

    def __init__(self, **answers):
        self.answers, self.lines = answers, []

    def __call__(self, line, data=b""):
        self.lines.append(tuple(line))
        answer = self.answers.get(line[0], Outcome(0, "", ""))
        if isinstance(answer, Exception):
            raise answer
        return answer


def queue_of(commands, name="Labels"):
    made = QueuePrinter(name, seconds=lambda: 0.0, command=commands)

    class Quiet:
        def find(self, _key):
            return None

        def begin(self, _number):
            return None

    made._known = Quiet()
    return made


def test_the_queue_is_told_the_size_and_to_leave_the_dots_alone():
    commands = Commands(lp=Outcome(0, "request id is Labels-12 (1 file(s))\n", ""))

    ticket = queue_of(commands).submit(SHEET, key="K7F3Q97-1")

    assert (ticket.job, ticket.key) == (12, "K7F3Q97-1")
    assert commands.lines == [
        ("lp", "-d", "Labels", "-t", "K7F3Q97-1", "-o", "media=Custom.50x25mm",
         "-o", "print-scaling=none"),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("size", "media"),
    [
        ((210.0, 297.0), "A4"),
        ((215.9, 279.4), "Letter"),
        ((63.5, 38.1), "Custom.63.5x38.1mm"),
        ((62.0, 30.0), "Custom.62x30mm"),
    ],
)
def test_everyday_paper_is_asked_for_by_its_name(size, media):
    commands = Commands(lp=Outcome(0, "request id is Office-3 (1 file(s))", ""))

    queue_of(commands, "Office").submit(Sheet(b"%PDF", PDF, *size, 203), key="A-1")

    assert f"media={media}" in commands.lines[0]


@pytest.mark.parametrize(
    ("answer", "reason"),
    [
        (Outcome(1, "", 'lp: Destination "Labels" is not accepting jobs.'), "rejecting"),
        (Outcome(1, "", "lp: Error - The printer or class does not exist."), "no-printer"),
        (Outcome(1, "", "lp: Unable to connect to server."), "unreachable"),
        (Outcome(1, "", "lp: Something else"), "refused"),
        (Outcome(0, "no number here", ""), "refused"),
        (NoAnswer("Late.", "Wait.", reason="unreachable"), "in-doubt"),
    ],
)
def test_what_the_command_says_is_told_in_words(answer, reason):
    with pytest.raises(PrintRefused) as error:
        queue_of(Commands(lp=answer)).submit(SHEET, key="A-1")

    assert error.value.state.reason == reason


def test_queues_are_listed_by_name():
    assert discover(command=Commands(lpstat=Outcome(0, "Labels\nOffice\n\n", ""))) == (
        ("Labels", "Office"),
        (),
    )


def test_a_print_system_that_names_no_place_is_told():
    made = QueuePrinter("Labels", seconds=lambda: 0.0, command=Commands(lpstat=Outcome(1, "", "")))

    assert made.check().reason == "no-print-system"


@pytest.mark.parametrize(
    "name", ["-d", "--help", "a b", "a/b", "a#b", "", "a\nb", "x" * 200, "a\0b"]
)
def test_a_name_no_queue_can_have_is_not_handed_to_a_command(name):
    assert not is_queue_name(name)
