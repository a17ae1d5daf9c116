"""Draw what a bench shows besides answers: panels, cards, people, problems and the wiping."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import time
from functools import partial

from kiosk.actions import PartAt
from kiosk.rules.cards import CARDS
from kiosk.rules.people import Person
from kiosk.rules.route import STATIONS
from kiosk.rules.scanning import Answer, Outcome
from kiosk.rules.words import _, join, say
from kiosk.rules.workday import Hours
from kiosk.screens.bench import BenchScreen
from kiosk.screens.problemdesk import About
from kiosk.screens.samples import SAMPLES, SHUT
from kiosk.screens.stage import Stage

_PEOPLE = tuple(
    Person(name, f"K7F3Q9{at}")
    for at, name in enumerate(("Mara", "Ivo", "Ada", "Noor", "Bea", "Tom"))
)
_LEFT = Person("Sami", "K7F3Q99", away=True)
_LONG = "Noor from the other workshop"
_ABOUT = About("K7F3Q97", "G05 Tile panel, Back spacer", is_part=True)
_UNIT = About("GLAZE/G05", "G05 Tile panel")
TYPED = ("Noor", "edge dented")
_OWN_HOURS = {"opens": "08:00", "days": "Mon-Thu", "away": "2026-05-01..2026-05-08"}
_PARTS = tuple(
    PartAt(f"K7F3Q9{at}", f"Back spacer, lower {at}", "600 × 300 × 18 mm") for at in range(2, 10)
)


def show_bench(stage: Stage) -> Iterator[str]:
    """Put one state after the other on the screen, and name it."""
    desk = stage.app.desk
    station, answer, person = desk.post.station, desk.answer, desk.post.person
    recorded = next(one for one in SAMPLES if one.outcome == Outcome.RECORDED)
    for one in STATIONS:
        desk.set_station(one)
        desk.take_answer(recorded)
        stage.settle()
        yield f"bench-scanned-{one}"
    desk.set_station(station)
    stage.settle()
    yield from _no_job(stage)
    yield from _camera(stage, recorded)
    yield from _cards(stage)
    yield from _people(stage)
    yield from _problems(stage)
    desk.attention.start_wipe()
    desk.attention.told(recorded)
    stage.step(2)
    yield "wipe"
    desk.attention.end_wipe()
    desk.inputs.sign_in(person)
    stage.settle()
    desk.answer = answer
    desk.open_bench()


def _no_job(stage: Stage) -> Iterator[str]:
    """Show a bench of its own, in a shop that took nothing in yet."""
    desk = stage.app.desk
    bench = BenchScreen(desk.trim, desk.status(), desk.acts())
    bench.show_signs(replace(desk.signs, has_job=False))
    bench.show_due(())
    desk.put(bench)
    stage.step(2)
    yield "bench-no-job"
    desk.open_bench()


def _camera(stage: Stage, answer: Answer) -> Iterator[str]:
    """Show a bench of its own, so that a kiosk without a camera is drawn with one too."""
    desk = stage.app.desk
    bench = BenchScreen(desk.trim, desk.status(), desk.acts(), has_camera=True)
    bench.show_due(desk.bench.dues)
    bench.show_signs(desk.signs)
    bench.show_answer(answer, "", ())
    assert bench.live is not None
    bench.live.say(SHUT)
    desk.put(bench)
    stage.step(2)
    yield "bench-camera-scanned"
    desk.open_bench()


def _cards(stage: Stage) -> Iterator[str]:
    desk = stage.app.desk
    by_key = {card.key: card for card in CARDS}
    desk.inputs.cards.use(by_key["too_tacky"])
    stage.step(2)
    yield "bench-card"
    early = next(one for one in SAMPLES if one.outcome == Outcome.TOO_EARLY)
    desk.take_answer(early)
    stage.settle()
    desk.inputs.cards.use(by_key["yes"])
    stage.step(2)
    yield "bench-card-by-number"
    desk.answer = None
    desk.open_stations()
    desk.inputs.cards.use(by_key["yes"])
    stage.step(2)
    yield "stations-card"


def _people(stage: Stage) -> Iterator[str]:
    desk = stage.app.desk
    desk.set_station(desk.post.station)
    desk.inputs.sign_in("Ivo")
    stage.settle()
    yield "bench-signed-in"
    people = desk.inputs.people
    people.show(_PEOPLE)
    stage.step(2)
    yield "people"
    people.show(())
    stage.step(2)
    yield "people-none"
    people.ask_name(())
    desk.show.type_letters(TYPED[0])
    stage.step(2)
    yield "people-name"
    yield from _staff(stage)


_DAYS_WRONG = join(
    (
        say("“{text}” is not understood as {name}.", text="Mon-Tur", name="days"),
        _("Write days such as Mon-Fri or Mon-Thu, Sat."),
    ),
    " ",
)


def _staff(stage: Stage) -> Iterator[str]:
    staff = stage.app.desk.inputs.staff
    staff.show((*_PEOPLE, _LEFT))
    stage.step(2)
    yield "staff"
    staff.show(())
    stage.step(2)
    yield "staff-none"
    for one, name in ((_PEOPLE[0], "staff-one"), (_LEFT, "staff-left")):
        staff.show_person(one)
        stage.step(2)
        yield name
    for one, name in ((_PEOPLE[0], "staff-added"), (_LEFT, "staff-off")):
        staff.show_kept(one, was_known=False)
        stage.step(2)
        yield name
    usual = Hours(time(7, 30), time(17), time(12), 30, (0, 1, 2, 3, 4))
    back = partial(staff.show_person, _PEOPLE[0])
    staff.hours.show(_PEOPLE[0], usual, _OWN_HOURS, back=back)
    stage.step(2)
    yield "hours"
    staff.hours.ask(_PEOPLE[0], "days", "Mon-Tur", _DAYS_WRONG, back=back)
    stage.step(2)
    yield "hours-wrong"
    staff._add(_LONG)
    stage.step(2)
    yield "staff-too-long"


def _problems(stage: Stage) -> Iterator[str]:
    desk = stage.app.desk
    about = _ABOUT
    desk.problems.show_parts(about, _PARTS, 0)
    stage.step(2)
    yield "problem-missing"
    desk.problems.about = about
    desk.problems.pick("other")
    desk.show.type_letters(TYPED[1])
    stage.step(2)
    yield "problem-note"
    desk.show.enter()
    stage.step(2)
    yield "problem-note-sure"
    desk.problems.about = _UNIT
    desk.problems.pick("spoiled")
    stage.step(2)
    yield "problem-spoiled-which"
