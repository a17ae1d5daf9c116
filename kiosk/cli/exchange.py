"""The command about exchange with a shop server: join, leave, one round, or go on and tell."""

from __future__ import annotations

import sys
import time
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from kiosk.cli.common import AsJson, Exit, ShopFile, entries, say, settings_of, stop
from kiosk.clock import SystemClock

if TYPE_CHECKING:
    from kiosk.config import Settings
    from kiosk.rules.exchanging import Exchanged
    from kiosk.store import Store

app = typer.Typer()
_ALONE = "no server is set: join with the line that `cleatclock server add-kiosk` prints"


@app.command("exchange")
def exchange(
    join: Annotated[
        str | None,
        typer.Option(help="Join with the address `server add-kiosk` prints; - asks for it."),
    ] = None,
    as_new: Annotated[
        bool,
        typer.Option("--as-new", help="With --join: bring unsent entries under the new letter."),
    ] = False,
    leave: Annotated[bool, typer.Option("--leave", help="Work alone from now on.")] = False,
    watch: Annotated[
        bool, typer.Option("--watch", help="Go on, and say each change; Ctrl+C ends it.")
    ] = False,
    shop: ShopFile = None,
    as_json: AsJson = False,
) -> None:
    """Exchange entries with the shop server once; a running kiosk does so by itself."""
    if (join is not None) + leave + watch > 1 or (as_new and join is None):
        stop("Say one of --join, --leave and --watch; --as-new goes with --join.", Exit.INPUT)
    path, settings, wrong = settings_of(shop)
    for line in wrong:
        typer.echo(f"settings: {line}", err=True)
    with _told():
        if join is not None:
            url = _asked_for() if join == "-" else join
            _join(path, settings, url, as_new=as_new, as_json=as_json)
        elif leave:
            _leave(path, as_json)
        elif not settings.server:
            stop(_ALONE, Exit.INPUT)
        elif watch:
            _watch(path, settings)
        else:
            _once(path, settings, as_json)


def _asked_for() -> str:
    """Return the address typed in or piped: what stands in a command is seen by others."""
    if not sys.stdin.isatty():
        return sys.stdin.readline().strip()
    return str(typer.prompt("The address (it is not shown)", hide_input=True)).strip()


def _join(path: Path, settings: Settings, url: str, *, as_new: bool, as_json: bool) -> None:
    from kiosk.appliance import is_open
    from kiosk.joining import join, passfile_of

    path.parent.mkdir(parents=True, exist_ok=True)
    if any(is_open(path, home) for home in ("bench", "board")):
        stop("The kiosk is open: end it (Ctrl+Shift+Q), then join.", Exit.REFUSED)
    with _store(path, settings.kiosk_letter) as store:
        done = join(
            store,
            url,
            passfile=passfile_of(path),
            settings_file=path.with_name("settings.toml"),
            clock=_clock_ms,
            as_new=as_new,
        )
    text = f"Joined the shop {done.shop} as kiosk {done.letter}."
    if done.moved:
        text += f" Brought under {done.letter}: {entries(done.moved)}."
    text += f" {entries(done.swapped.sent)} sent, {done.swapped.taken} taken in."
    text += "\nStart the kiosk again; it exchanges by itself from now on."
    answer = {
        "shop": done.shop,
        "letter": done.letter,
        "moved": done.moved,
        "sent": done.swapped.sent,
        "taken": done.swapped.taken,
    }
    say(text, answer, as_json)


def _leave(path: Path, as_json: bool) -> None:
    from kiosk.joining import leave, passfile_of

    leave(passfile=passfile_of(path), settings_file=path.with_name("settings.toml"))
    text = "This kiosk works alone from its next start on. Its entries and its letter stay."
    say(text, {"server": ""}, as_json)


def _once(path: Path, settings: Settings, as_json: bool) -> None:
    from kiosk.exchange import check_letter
    from kiosk.joining import passfile_of
    from kiosk.rules.exchanging import say_clock, say_skew
    from kiosk.store.link import Link, swap

    with (
        _store(path, settings.kiosk_letter) as store,
        closing(Link.open(settings.server, passfile=passfile_of(path))) as link,
    ):
        check_letter(link.letter, settings.kiosk_letter)
        done, waiting = swap(store, link, clock=_clock_ms), store.waiting()
        shop = link.shop
    lines = [
        f"{done.sent} sent, {done.taken} taken in, {waiting} waiting."
        f" This clock: {say_clock(done.ahead_ms)}.",
        *(one for one in (say_skew(done.ahead_ms), done.wrong) if one),
    ]
    answer = {
        "shop": shop,
        "letter": settings.kiosk_letter,
        "sent": done.sent,
        "taken": done.taken,
        "waiting": waiting,
        "clock_ahead_ms": done.ahead_ms,
        "wrong": done.wrong,
    }
    say("\n".join(lines), answer, as_json)
    if done.wrong:
        raise typer.Exit(int(Exit.REFUSED))


def _watch(path: Path, settings: Settings) -> None:
    from kiosk.exchange import Exchange
    from kiosk.joining import passfile_of

    said: list[str] = []

    def tell(state: Exchanged) -> None:
        line = f"{state.standing}: {state.sent} sent, {state.taken} taken in"
        line += f", {state.waiting} waiting" + (f" ({state.words})" if state.words else "")
        if said[-1:] != [line]:
            said[:] = [line]
            typer.echo(line)

    with _store(path, settings.kiosk_letter) as store:
        one = Exchange(
            settings.server,
            passfile=passfile_of(path),
            letter=settings.kiosk_letter,
            door=lambda: store,
            ask=lambda call: call(),
            clock=SystemClock(),
            told=tell,
        )
        one.start()
        try:
            while True:
                time.sleep(1)
        except KeyboardInterrupt:
            pass
        finally:
            one.stop()


def _clock_ms() -> int:
    from kiosk.rules.entries import to_ms

    return to_ms(SystemClock().now())


@contextmanager
def _store(path: Path, letter: str) -> Iterator[Store]:
    from kiosk.store import Store

    store = Store.open(path, letter)
    try:
        yield store
    finally:
        store.close()


@contextmanager
def _told() -> Iterator[None]:
    """End in words: refused by the server, or it or the file is not to be had."""
    from kiosk.store import StoreError

    try:
        from kiosk.store.link import ServerAway, ServerRefused
    except ImportError:
        stop(
            "The driver for PostgreSQL is missing: python -m pip install 'psycopg[binary]'",
            Exit.MACHINERY,
        )
    try:
        yield
    except ServerRefused as error:
        stop(f"{error}.", Exit.REFUSED)
    except ServerAway as error:
        words = f"{str(error).rstrip('.')}. Nothing is lost: try again when it is back."
        stop(words, Exit.MACHINERY)
    except (StoreError, OSError) as error:
        stop(f"{error}.", Exit.MACHINERY)
