"""Draw the screens that ask for PINs and set them, in every state."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta

from kiosk.rules.lockout import Tries
from kiosk.rules.people import Person
from kiosk.rules.permission import Act, How, Supervisor, say_wrong
from kiosk.screens.flow import say_problems
from kiosk.screens.pindesk import Wanted
from kiosk.screens.stage import Stage
from kiosk.screens.supervisordesk import NOT_SAME, say_how

# Names as long as a badge has room for, so that they are seen to fit.
_PEOPLE = (Person("Wilhelmina Oostergaarden", "KKVPH8E"), Person("Ivo", "K8TEVU3"))
_NAMES = (*(one.name for one in _PEOPLE), "Noor", "Sanna", "Jasper")
_KNOWN = tuple(Supervisor(name, f"K{at}") for at, name in enumerate(_NAMES))


def show_pins(stage: Stage) -> Iterator[str]:
    """Put one state after the other on the screen, and name it."""
    desk = stage.app.desk
    pins = desk.pins
    wanted = Wanted(Act.CLOSE, print, desk.open_bench, _KNOWN, {})
    pins.ask(wanted, _KNOWN[0])
    desk.show.type_letters("27491583")
    stage.step(2)
    yield "pin-pad"
    pins.ask(wanted, _KNOWN[0], say_problems((say_wrong(Tries(4)),)))
    stage.step(2)
    yield "pin-pad-wrong"
    desk.show.enter()
    stage.step(2)
    yield "pin-pad-none"
    pins.pick(wanted)
    stage.step(2)
    yield "pin-whose"
    pins.show_locked(wanted, _KNOWN[0], timedelta(minutes=32))
    stage.step(2)
    yield "pin-locked"
    pins.show_forgotten(wanted, _KNOWN[0])
    stage.step(2)
    yield "pin-forgotten"
    yield from _supervisors(stage)


def _supervisors(stage: Stage) -> Iterator[str]:
    desk = stage.app.desk
    one, people = _PEOPLE[0], desk.inputs.staff.supervisors
    for is_one, name in ((False, "supervisor-none"), (True, "supervisor")):
        people.show(one, desk.open_bench, is_one=is_one)
        stage.step(2)
        yield name
    people.ask_new(one, desk.open_bench, None)
    stage.step(2)
    yield "supervisor-pin"
    people.ask_new(one, desk.open_bench, None, NOT_SAME)
    stage.step(2)
    yield "supervisor-pin-wrong"
    people.ask_again(one, desk.open_bench, None, "274915")
    stage.step(2)
    yield "supervisor-pin-again"
    people._tell(one, desk.open_bench, say_how(one, How.SET), ())
    stage.step(2)
    yield "supervisor-made"
    people.ask_drop(one, desk.open_bench)
    stage.step(2)
    yield "supervisor-drop"
