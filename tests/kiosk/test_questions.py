"""Two kiosks, each on its own file, record what does not fit, then exchange their logs."""

import json
import random
from datetime import UTC, datetime, timedelta

import pytest
from typer.testing import CliRunner

from kiosk.actions import Shop
from kiosk.cli import app
from kiosk.clock import FixedClock
from kiosk.report import board_json
from kiosk.rules.entries import Kind
from kiosk.rules.fold import fold_unit
from kiosk.rules.route import State
from kiosk.rules.scanning import Outcome
from kiosk.settingstext import load
from kiosk.store import Job, Store

START = datetime(2026, 3, 9, 8, 0, tzinfo=UTC)
HEAD = "Unit;Kind;Part;Qty;Length (mm);Width (mm);Finish\n"
TWO = ("S1;shelf;Side;1;300;200;clear", "S2;shelf;Side;1;300;200;")


class Kiosk:
    """One kiosk: its own file, its own letter, its own clock."""

    def __init__(self, folder, letter, who):
        self.folder, self.who, self.file = folder, who, folder / f"{letter}.db"
        self.clock = FixedClock(START)
        settings, _ = load(f'zone = "UTC"\nrepeat_seconds = 0\nkiosk_letter = "{letter}"\n')
        self.store = Store.open(self.file, letter)
        self.shop = Shop(self.store, settings, self.clock)

    def at(self, clock):
        self.clock.set(START.replace(hour=int(clock[:2]), minute=int(clock[3:])))
        return self.shop

    def take_in(self, *rows, job="GLAZE", revise=False):
        file = self.folder / "list.csv"
        file.write_text(HEAD + "".join(f"{row}\n" for row in rows), "utf-8")
        taken = self.shop.take_in(file, Job(job), revise=revise, person=self.who)
        assert taken.problems == ()
        return [piece.code for unit in taken.units for piece in unit.pieces]

    def do(self, clock, unit, step, station="finish"):
        answer = self.at(clock).scan(
            unit, station=station, person=self.who, step=step, reason="other reason"
        )
        assert answer.outcome == Outcome.RECORDED, answer
        return answer

    def asked(self):
        return [(one.what, one.unit) for one in self.shop.questions()]

    def answer(self, choice):
        (question,) = self.shop.questions()
        answer = self.shop.answer_question(question.id, choice, person=self.who)
        assert answer.outcome == Outcome.RECORDED
        return answer

    def standing(self, unit):
        return self.shop.standing("GLAZE", unit)


def exchange(*kiosks):
    """Give every kiosk the entries of all, and check that all see the same."""
    for one in kiosks:
        for other in kiosks:
            one.store.take_in(other.store._log.rows_after(0))
    first = kiosks[0]
    for one in kiosks:
        one.clock.set(max(kiosk.clock.now() for kiosk in kiosks))
        agree(one)
        assert one.shop.questions() == first.shop.questions()
        assert dict(one.store.states()) == dict(first.store.states())
        assert one.shop.jobs() == first.shop.jobs()


def agree(one):
    """Check what is kept against the log itself, and against a projection made anew."""
    states = dict(one.store.states())
    assert states == {key: fold_unit(one.store.history(*key)) for key in states}
    asked, jobs = one.shop.questions(), dict(one.store.jobs())
    one.store.rebuild()
    assert dict(one.store.states()) == states
    assert (one.shop.questions(), dict(one.store.jobs())) == (asked, jobs)


@pytest.fixture
def here(tmp_path):
    kiosk = Kiosk(tmp_path, "K", "Mara")
    yield kiosk
    kiosk.store.close()


@pytest.fixture
def there(tmp_path):
    kiosk = Kiosk(tmp_path, "M", "Ivo")
    yield kiosk
    kiosk.store.close()


@pytest.fixture
def pair(here, there):
    here.take_in(*TWO)
    exchange(here, there)
    return here, there


def test_the_same_coat_twice_is_asked_about_and_answered_as_the_next_one(pair):
    here, there = pair
    here.do("10:05", "S1", "coat-1")
    there.do("14:40", "S1", "coat-1")
    exchange(here, there)

    (question,) = here.shop.questions()
    assert question.words == (
        "Coat 1 was recorded twice (Mara 10:05, Ivo 14:40): was the second one coat 2?"
    )
    answer = there.answer("next")
    exchange(here, there)

    assert here.asked() == []
    assert here.standing("S1").coats_done == 2
    done = here.store.state("GLAZE", "S1").done["coat-2"]
    assert (done.at, done.person) == (START.replace(hour=14, minute=40), "Ivo")
    assert here.shop.answer_question(question.id, "same").outcome == Outcome.ALREADY
    assert there.shop.strike_last().entry == answer.entry
    exchange(here, there)
    assert here.shop.questions() == (question,)
    assert here.standing("S1").coats_done == 1
    assert there.shop.strike_last().entry != answer.entry


def test_a_double_is_no_question_and_shown_as_one_in_the_units_story(pair):
    here, there = pair
    here.do("10:05", "S1", "coat-1")
    there.who = "Mara"
    there.do("10:10", "S1", "coat-1")
    exchange(here, there)

    assert here.asked() == []
    past = here.shop.past("GLAZE", "S1")
    assert [one.is_double for one in past if one.what.startswith("coat 1")] == [True, False]


def test_a_scan_says_in_a_line_what_is_asked_of_the_unit(pair):
    here, there = pair
    here.do("10:05", "S1", "coat-1")
    there.do("14:40", "S1", "coat-1")
    exchange(here, there)

    said = here.shop.scan("S1", station="finish").detail

    assert said.endswith(" Question: recorded twice.")


def test_a_unit_hung_elsewhere_while_on_hold_here_goes_on_when_the_hold_is_lifted(pair):
    here, there = pair
    here.at("10:00").hold("S2", "wet wood", person="Mara")
    there.do("10:05", "S2", "hang", "install")
    exchange(here, there)

    assert here.standing("S2").state == State.ON_HOLD
    assert here.asked() == [("held", "S2")]
    here.answer("lift")
    exchange(here, there)
    assert there.standing("S2").state == State.HUNG


def test_a_struck_coat_that_another_was_put_on_is_recorded_again(pair):
    here, there = pair
    coat = here.do("10:00", "S1", "coat-1")
    exchange(here, there)
    here.at("10:30").strike(coat.entry)
    there.do("14:00", "S1", "coat-2")
    exchange(here, there)

    assert there.standing("S1").why == "on hold: coat 1 was struck, but coat 2 is recorded"
    there.answer("done")
    exchange(here, there)
    assert here.standing("S1").coats_done == 2


def test_a_part_cut_there_while_the_list_was_revised_here_is_kept_as_a_spare(pair):
    here, there = pair
    (code,) = [one.piece.code for one in there.store.state("GLAZE", "S2").pieces]
    there.at("10:00").scan(code, station="cut", person="Ivo")
    here.at("10:01").now()
    here.take_in(TWO[0], "S2;shelf;Top;1;500;200;", revise=True)
    exchange(here, there)

    assert here.asked() == [("spare", "S2")]
    here.answer("spare")
    exchange(here, there)
    assert there.asked() == []
    assert there.store.state("GLAZE", "S2").piece(code).done


@pytest.mark.parametrize(("choice", "there_after"), [("off", False), ("wanted", True)])
def test_a_unit_left_out_here_but_begun_there_stays_on_the_board(pair, choice, there_after):
    here, there = pair
    there.do("10:00", "S2", "hang", "install")
    here.at("10:01").now()
    here.take_in(TWO[0], revise=True)
    assert ("GLAZE", "S2") not in here.store.states()
    exchange(here, there)

    assert here.standing("S2").why == "on hold: no longer on the list, but begun"
    scanned = here.shop.scan("S2", station="install")
    assert (scanned.outcome, scanned.message) == (
        Outcome.ON_HOLD,
        "No longer on the list: S2",
    )
    answer = here.answer(choice)
    exchange(here, there)
    for one in pair:
        assert (("GLAZE", "S2") in one.store.states()) == there_after
        assert one.asked() == []
    here.shop.strike(answer.entry)
    exchange(here, there)
    assert there.asked() == [("gone", "S2")]


@pytest.mark.parametrize(("choice", "is_open"), [("reopen", True), ("leave", False)])
def test_a_job_closed_here_stays_seen_where_work_was_recorded_there(pair, choice, is_open):
    here, there = pair
    job = here.shop.jobs()["GLAZE"]
    here.at("12:00").set_job(
        Job(job.code, "Glaze store", open=False), reason="all up", person="Mara"
    )
    assert here.shop.standings() == []
    there.do("12:30", "S2", "hang", "install")
    exchange(here, there)

    assert here.asked() == [("closed", "")]
    assert len(here.shop.standings()) == 2
    answer = here.answer(choice)
    exchange(here, there)
    for one in pair:
        assert (one.shop.jobs()["GLAZE"].open, one.asked()) == (is_open, [])
        assert one.shop.jobs()["GLAZE"].name == "Glaze store"
        assert bool(one.shop.standings()) == is_open
    here.shop.strike(answer.entry)
    exchange(here, there)
    assert there.asked() == [("closed", "")]


def test_two_lists_for_one_job_are_asked_about_and_one_of_them_kept(here, there):
    codes = here.take_in(*TWO)
    there.at("08:30").now()
    there.take_in("S1;shelf;Side;2;300;200;clear", "S3;shelf;Side;1;300;200;")
    exchange(here, there)

    (question,) = here.shop.questions()
    assert question.words.endswith("Only in the first: S2. Only in the second: S3. Not alike: S1.")
    answer = there.answer("first")
    exchange(here, there)
    assert [key[1] for key in here.store.states()] == ["S1", "S2"]
    assert [one.piece.code for one in here.store.state("GLAZE", "S1").pieces] == codes[:1]
    there.shop.strike(answer.entry)
    exchange(here, there)
    assert here.shop.questions() == (question,)
    assert sorted(key[1] for key in here.store.states()) == ["S1", "S2", "S3"]


def test_lists_chosen_in_two_ways_are_asked_about_again(here, there):
    here.take_in(*TWO)
    there.at("08:30").now()
    there.take_in("S1;shelf;Side;2;300;200;clear", "S3;shelf;Side;1;300;200;")
    exchange(here, there)
    here.at("09:00").now()
    here.answer("first")
    there.at("09:05").now()
    there.answer("second")
    exchange(here, there)

    assert here.asked() == [("answers", "")]
    answer = there.answer("second")
    exchange(here, there)
    for one in (here, there):
        assert one.asked() == []
        assert sorted(key[1] for key in one.store.states()) == ["S1", "S3"]
    there.shop.strike(answer.entry)
    exchange(here, there)
    assert here.asked() == [("answers", "")]


def test_a_question_is_asked_of_the_past_as_it_was(pair):
    here, there = pair
    here.do("10:05", "S1", "coat-1")
    there.do("14:40", "S1", "coat-1")
    exchange(here, there)

    for clock, count in (("14:00", 0), ("15:00", 1)):
        moment = START.replace(hour=int(clock[:2]))
        past = Shop(here.store.as_of(moment), here.shop.settings, FixedClock(moment))
        assert len(past.questions()) == count


def test_questions_are_listed_and_answered_by_command(pair):
    here, there = pair
    here.do("10:05", "S1", "coat-1")
    there.do("14:40", "S1", "coat-1")
    exchange(here, there)
    given = ["--shop", str(here.file), "--at", "2026-03-09T15:00+00:00"]
    run = CliRunner().invoke

    listed = json.loads(run(app, ["questions", "--json", *given]).stdout)["questions"]
    assert listed == board_json(here.shop, here.clock.now())["questions"]
    (one,) = listed
    assert (one["job"], one["unit"], one["what"]) == ("GLAZE", "S1", "twice")
    assert [reply["answer"] for reply in one["answers"]][:2] == ["same", "next"]
    said = run(app, ["questions", *given]).stdout
    assert f"--answer {one['id']}=next  The second was coat 2" in said
    assert "1 question: cleatclock questions" in run(app, ["board", *given]).stdout

    assert run(app, ["questions", "--answer", "nonsense", *given]).exit_code == 2
    wrong = run(app, ["questions", "--answer", f"{one['id']}=maybe", *given])
    assert (wrong.exit_code, "Its answers are: same, next" in wrong.stdout) == (2, True)
    done = run(app, ["questions", "--answer", f"{one['id']}=same", *given])
    assert (done.exit_code, done.stdout.splitlines()[0]) == (
        0,
        "It was the same coat 1  (S1 shelf)",
    ) or done
    assert run(app, ["questions", *given]).stdout == "Nothing is asked.\n"
    again = run(app, ["questions", "--answer", f"{one['id']}=same", *given])
    assert again.exit_code == 1


@pytest.mark.parametrize("seed", range(4))
def test_parts_of_the_log_in_any_order_leave_the_projection_as_the_log_says(pair, tmp_path, seed):
    here, there = pair
    here.do("10:05", "S1", "coat-1")
    there.do("10:00", "S2", "hang", "install")
    there.do("14:40", "S1", "coat-1")
    here.at("10:30").now()
    here.take_in(TWO[0], revise=True)
    here.at("12:00").set_job(Job("GLAZE", "Glaze store", open=False), reason="all up")
    rows = [*here.store._log.rows_after(0), *there.store._log.rows_after(0)]
    shuffle = random.Random(seed)
    shuffle.shuffle(rows)
    third = Kiosk(tmp_path, "N", "Ana")
    while rows:
        part, rows = rows[: (size := shuffle.randint(1, 5))], rows[size:]
        third.store.take_in(part)

    agree(third)
    exchange(here, there, third)

    assert third.asked() == [("closed", ""), ("twice", "S1"), ("gone", "S2")]
    third.store.close()


def test_units_nobody_asks_about_are_not_looked_at(pair, monkeypatch):
    here, there = pair
    here.do("10:05", "S1", "coat-1")
    there.do("14:40", "S1", "coat-1")
    exchange(here, there)
    here.shop.questions()
    read = []
    monkeypatch.setattr(type(here.store), "_entries_of", lambda *key: read.append(key) or iter(()))

    here.clock.set(here.clock.now() + timedelta(minutes=5))
    assert here.asked() == [("twice", "S1")]

    assert [one.spec.unit for one in here.store.unsure_units()] == ["S1"]
    assert read == []
    assert Kind.QUESTION_ANSWERED not in here.shop.store.tally()


def test_a_unit_of_a_job_whose_opening_is_still_to_come_can_be_worked_on(tmp_path):
    first, second, third = (Kiosk(tmp_path, letter, "Ida") for letter in "MKN")
    first.take_in(*TWO)
    second.store.take_in(first.store.outbox(99))
    second.at("09:00")
    codes = second.take_in("S1;shelf;Side;1;400;200;clear", TWO[1], revise=True)

    third.store.take_in(second.store.outbox(99))  # the line went before the first one's came

    assert third.at("10:00").scan(codes[0], station="cut").outcome == Outcome.RECORDED
    assert [one.unit for one in third.shop.standings()] == ["S1"]
    third.store.rebuild()
    assert [one.unit for one in third.shop.standings()] == ["S1"]
    for one in (first, second, third):
        one.store.close()
