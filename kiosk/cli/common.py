"""What every command shares: which shop, which moment, text or JSON, and the exit status."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, NoReturn

import typer

from kiosk.cli.shopfile import Exit as Exit
from kiosk.cli.shopfile import settings_of as settings_of
from kiosk.clock import Clock, FixedClock, SystemClock
from kiosk.config import Settings
from kiosk.settingstext import zone_of

if TYPE_CHECKING:
    from kiosk.actions import Shop
    from kiosk.rules.problems import Problem
    from kiosk.rules.scanning import Outcome


ShopFile = Annotated[
    Path | None,
    typer.Option("--shop", help="The shop's file; else CLEATCLOCK_SHOP, else the usual place."),
]
AsJson = Annotated[bool, typer.Option("--json", help="Answer as JSON.")]
At = Annotated[
    str | None,
    typer.Option("--at", help="Ask or record as of this time, such as 2026-03-11T15:40."),
]
Person = Annotated[str | None, typer.Option("--person", help="Who does it.")]


@dataclass(frozen=True, slots=True)
class Desk:
    """An open shop and the moment asked about."""

    shop: Shop
    now: datetime
    settings: Settings

    def who(self, person: str | None) -> str:
        """Return the person named, else the one in the settings."""
        return person or self.settings.person


@contextmanager
def at_desk(file: Path | None, at: str | None = None, *, records: bool = False) -> Iterator[Desk]:
    """Open the shop; broken machinery becomes words and exit status 3.

    Args:
        file: the shop's file, or None for the usual one.
        at: the moment meant, which hides what happened later; None is now.
        records: entries will be written, so the moment must not be still to come.
    """
    from kiosk.actions import Shop  # a kiosk draws its first frame without all this
    from kiosk.store import Store, StoreError
    from labels.pages import LabelError

    path, settings, wrong = settings_of(file)
    for line in wrong:
        typer.echo(f"settings: {line}", err=True)
    clock = clock_at(at, settings)
    if records and clock.now() > SystemClock().now():
        stop(f"--at {at} is still to come; nothing can be recorded for it.", Exit.INPUT)
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        store = Store.open(path, settings.kiosk_letter)
    except (StoreError, OSError) as error:
        stop(f"The shop's file {path} cannot be used: {error}", Exit.MACHINERY)
    try:
        stated = at is not None and not records
        shop = Shop(store.as_of(clock.now()) if stated else store, settings, clock)
        for line in shop.unknown_uses():
            typer.echo(f"settings: {line}", err=True)
        yield Desk(shop, clock.now(), settings)
    except (StoreError, LabelError, OSError) as error:
        stop(str(error), Exit.MACHINERY)
    finally:
        store.close()


def clock_at(at: str | None, settings: Settings) -> Clock:
    """Return the system's clock, or one that stands at the time a person stated."""
    if at is None:
        return SystemClock()
    try:
        moment = datetime.fromisoformat(at)
    except ValueError:
        stop(f"--at {at} is no time. Write it like 2026-03-11T15:40.", Exit.INPUT)
    if not 2000 <= moment.year < 2100:
        stop(f"--at {at} is no time of a shop: 2000 to 2099.", Exit.INPUT)
    if moment.tzinfo is None:
        moment = moment.replace(tzinfo=zone_of(settings))
    return FixedClock(moment)


@contextmanager
def writing(out: Path) -> Iterator[None]:
    """Say in words where a file that a person named cannot be written."""
    try:
        yield
    except OSError as error:
        stop(f"{out} cannot be written: {error.strerror or error}", Exit.INPUT)


def say(text: str, answer: dict[str, Any], as_json: bool) -> None:
    """Print an answer as text or as JSON."""
    typer.echo(json.dumps(answer, ensure_ascii=False, indent=2) if as_json else text)


def entries(count: int) -> str:
    """Return how many entries, in words: `1 entry`, `1,234 entries`."""
    return "1 entry" if count == 1 else f"{count:,} entries"


def stop(message: str, status: Exit) -> NoReturn:
    """Say why on the error output and end with an exit status."""
    typer.echo(message, err=True)
    raise typer.Exit(int(status))


def one_of(value: str, words: tuple[str, ...], option: str) -> None:
    """Refuse a value that is none of the words, naming them."""
    if value not in words:
        named = ", ".join(word for word in words if word)
        raise typer.BadParameter(f"{value or 'nothing'} is none of {named}", param_hint=option)


def check_day(day: str | None) -> None:
    """Refuse a hang day that is no date."""
    try:
        date.fromisoformat(day or "2026-01-01")
    except ValueError:
        stop(f"--hang-day {day} is no date. Write it like 2026-03-20.", Exit.INPUT)


def end(outcome: Outcome) -> None:
    """End with the exit status an outcome has: recorded is done, all else is refused by a rule."""
    from kiosk.rules.scanning import Outcome

    if outcome in (Outcome.UNKNOWN, Outcome.SLIP):
        raise typer.Exit(int(Exit.INPUT))
    if outcome != Outcome.RECORDED:
        raise typer.Exit(int(Exit.REFUSED))


def end_problems(problems: Sequence[Problem], as_json: bool, *, status: Exit = Exit.INPUT) -> None:
    """Say all problems and end with a status, if there are any."""
    from kiosk.report import problem_json, problem_text

    if problems:
        text = "\n".join(problem_text(problem) for problem in problems)
        say(text, {"problems": [problem_json(problem) for problem in problems]}, as_json)
        raise typer.Exit(int(status))
