"""Ask a supervisor at the terminal where a command needs one."""

from __future__ import annotations

import os
import sys
from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass
from typing import TYPE_CHECKING, Annotated

import typer

from kiosk.cli.common import Desk, Exit, end_problems, stop
from kiosk.clock import SystemClock
from kiosk.rules.permission import Act, check_pin

if TYPE_CHECKING:
    from kiosk.rules.permission import Permit
    from kiosk.rules.problems import Problem

# For scripts: whoever may look at the processes of this user may read it there.
PIN, NEW_PIN = "CLEATCLOCK_PIN", "CLEATCLOCK_NEW_PIN"


@dataclass(frozen=True, slots=True)
class Pins:
    """What is to become of PINs: whose is set, whose are reset, whose is taken away."""

    set: str = ""
    reset: tuple[str, ...] = ()
    drop: str = ""


Supervisor = Annotated[
    str | None,
    typer.Option("--supervisor", help=f"Who allows it; asks for the PIN, or takes it from {PIN}."),
]


def permit_for(
    desk: Desk, act: Act, supervisor: str | None, *, person: str, as_json: bool = False
) -> Permit | None:
    """Return the permit of the supervisor named; None where nobody is asked.

    Where one is needed and none is named, or the PIN is wrong, the command ends as refused.
    """
    if not desk.shop.supervisors():
        return None
    if supervisor is None:
        end_problems(desk.shop.refused(act, None), as_json, status=Exit.REFUSED)
    return permit_of(desk, act, supervisor or "", person=person, as_json=as_json)


def permit_of(
    desk: Desk, act: Act, supervisor: str, *, person: str, as_json: bool = False
) -> Permit | None:
    """Return the permit of a supervisor whose PIN is right, else end as refused."""
    pin = ask_pin(f"PIN of {supervisor}", PIN)
    # by the machine's clock, not by --at, which would end a wait
    now = SystemClock().now()
    permit, problems = desk.shop.allow(act, supervisor, pin, now=now, person=person)
    end_problems(problems, as_json, status=Exit.REFUSED)
    return permit


def change_pins(
    desk: Desk, asked: Pins, supervisor: str | None, *, person: str, as_json: bool
) -> None:
    """Set, reset and take away PINs; ends where a rule refuses it, or a PIN is none."""
    shop = desk.shop
    if asked.set:
        end_problems(shop.unlisted(asked.set), as_json)
        permit = permit_for(desk, Act.SUPERVISORS, supervisor, person=person, as_json=as_json)
        (pin,) = _new_pins([asked.set], as_json)
        _end(shop.set_pin(asked.set, pin, permit=permit, person=person)[1], as_json)
    if asked.reset and supervisor is None:
        _end(shop.may_reset(asked.reset), as_json)
        _end(shop.reset_pins(asked.reset, _new_pins(asked.reset, as_json), person=person), as_json)
    elif asked.reset:
        _end([wrong for name in asked.reset for wrong in shop.unlisted(name)], as_json)
        # asked once: among these may be the PIN that allows it, which is another one afterwards
        permit = permit_for(desk, Act.SUPERVISORS, supervisor, person=person, as_json=as_json)
        for name, pin in zip(asked.reset, _new_pins(asked.reset, as_json), strict=True):
            _end(shop.set_pin(name, pin, permit=permit, person=person)[1], as_json)
    if asked.drop:
        permit = permit_for(desk, Act.SUPERVISORS, supervisor, person=person, as_json=as_json)
        _end(shop.drop_pin(asked.drop, permit=permit, person=person), as_json)


def _end(problems: Sequence[Problem], as_json: bool) -> None:
    end_problems(problems, as_json, status=Exit.REFUSED)


def _new_pins(names: Sequence[str], as_json: bool) -> list[str]:
    """Return new PINs that may be kept, else end: what was typed is no PIN."""
    found = ask_new_pins(names)
    end_problems([problem for pin in found for problem in check_pin(pin)], as_json)
    return found


def ask_new_pins(names: Sequence[str]) -> list[str]:
    """Return a new PIN for each name, typed twice, or the one of the environment for all."""
    given = os.environ.get(NEW_PIN)
    if given is not None:
        return [given] * len(names)
    found = []
    for name in names:
        pin = ask_pin(f"New PIN of {name}, 6 to 12 digits", "")
        if ask_pin("The same once more", "") != pin:
            stop("The two are not the same. Nothing was kept.", Exit.INPUT)
        found.append(pin)
    return found


def ask_pin(words: str, variable: str) -> str:
    """Return a PIN of an environment variable, or typed: unseen at a terminal, else as it comes."""
    given = os.environ.get(variable) if variable else None
    if given is not None:
        return given
    typed = ""
    if sys.stdin.isatty():
        with suppress(typer.Abort):
            typed = typer.prompt(words, hide_input=True, err=True, default="", show_default=False)
    else:
        typer.echo(f"{words}: ", nl=False, err=True)
        typed = sys.stdin.readline().strip()
    if not typed:
        stop("No PIN was typed. Nothing was done.", Exit.INPUT)
    return typed
