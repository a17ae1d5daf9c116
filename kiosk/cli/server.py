"""The commands about a shop server: prepare a database, let kiosks in, rebuild it from their files.

They run where an administrator of the database sits; the kiosks need none of them.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Final
from urllib.parse import urlsplit

import typer

from kiosk.cli.common import AsJson, Exit, entries, say, stop
from kiosk.rules.entries import from_ms

if TYPE_CHECKING:
    from kiosk.store.servers import Joining, Known, Rebuilt

app = typer.Typer(help="Prepare a PostgreSQL database for several kiosks, and let them in.")

Url = Annotated[
    str,
    typer.Argument(
        help="postgresql://OWNER@HOST/DATABASE; its password is best kept in ~/.pgpass."
    ),
]
OfShop = Annotated[
    str | None, typer.Option("--shop", help="Which, where the database holds several.")
]
Letter = Annotated[str, typer.Argument(help="The kiosk's letter.")]

# Lines for the server's own files; PostgreSQL's manual, "Secure TCP/IP Connections with SSL" and
# "The pg_hba.conf File" (from memory).
_CONF: Final = (
    "listen_addresses = '*'",
    "password_encryption = 'scram-sha-256'",
    "ssl = on",
    "ssl_cert_file = 'server.crt'  # signed for the name the kiosks call the server by",
    "ssl_key_file = 'server.key'",
    "ssl_min_protocol_version = 'TLSv1.2'",
)
_HBA: Final = "hostssl {database} all samenet scram-sha-256"
_HERE: Final = ("localhost", "127.0.0.1", "::1", None)
_KIOSK: Final = "sslmode=verify-full&sslrootcert=/path/on/the/kiosk/ca.crt"


@app.command("prepare")
def prepare(
    url: Url,
    shop: Annotated[str, typer.Option(help="The shop's key; it never changes.")] = "shop",
    as_json: AsJson = False,
) -> None:
    """Make tables, roles and row policies, or bring them up to date; again it does no harm."""
    from kiosk.store.servers import database_of
    from kiosk.store.servers import prepare as prepare_server

    with _told():
        done = prepare_server(url, shop=shop)
        hba = _HBA.format(database=database_of(url))
    lines = [
        *(done or [f"nothing to do: it is prepared, and the shop {shop!r} is there"]),
        "",
        "In postgresql.conf:",
        *(f"  {line}" for line in _CONF),
        "In pg_hba.conf, above all lines that let others in (samenet: the server's own network):",
        f"  {hba}",
        "At the end of each kiosk's address, with the certificate that signed the server's:",
        f"  {_KIOSK}",
        "Then restart the server, and let kiosks in with `cleatclock server add-kiosk`.",
    ]
    settings = {"postgresql.conf": list(_CONF), "pg_hba.conf": [hba], "kiosk": _KIOSK}
    say("\n".join(lines), {"shop": shop, "done": done, "settings": settings}, as_json)


@app.command("add-kiosk")
def add(
    url: Url,
    name: Annotated[str, typer.Option(help="What people call it, such as 'bench by the door'.")],
    letter: Annotated[
        str | None, typer.Option(help="The letter it has already; else the first free one.")
    ] = None,
    shop: OfShop = None,
    as_json: AsJson = False,
) -> None:
    """Hand out a letter and a login, and say once the line that lets the kiosk in."""
    from kiosk.rules.cards import LETTER
    from kiosk.store.servers import add_kiosk
    from labels.codes import ALPHABET

    letters = ALPHABET.replace(LETTER, "")
    wanted = letter.upper() if letter is not None else None
    with _told():
        joining = add_kiosk(url, name=name, letters=letters, letter=wanted, shop=shop)
    _say_joining(joining, as_json)


@app.command("new-password")
def renew(url: Url, letter: Letter, shop: OfShop = None, as_json: AsJson = False) -> None:
    """Give a kiosk a new password, as the line that let it in was lost or seen."""
    from kiosk.store.servers import renew_kiosk

    with _told():
        joining = renew_kiosk(url, letter.upper(), shop=shop)
    _say_joining(joining, as_json)


@app.command("remove-kiosk")
def remove(url: Url, letter: Letter, shop: OfShop = None, as_json: AsJson = False) -> None:
    """Take a kiosk's login away; its letter stays taken, and its entries stay."""
    from kiosk.store.servers import remove_kiosk

    letter = letter.upper()
    with _told():
        name = remove_kiosk(url, letter, shop=shop)
    text = f"The kiosk {letter} ({name}) can no longer come in. Its letter is not given again."
    say(text, {"letter": letter, "name": name}, as_json)


@app.command("list")
def list_all(url: Url, shop: OfShop = None, as_json: AsJson = False) -> None:
    """List the kiosks: letter, name, how many entries, when the last one came."""
    from kiosk.store.servers import list_kiosks

    with _told():
        kiosks = list_kiosks(url, shop=shop)
    text = "\n".join(map(_kiosk_text, kiosks)) or "No kiosk was let in as yet."
    say(text, {"kiosks": [_kiosk_json(one) for one in kiosks]}, as_json)


@app.command("rebuild")
def rebuild(
    url: Url,
    files: Annotated[list[Path], typer.Option("--from", help="A kiosk's shop file; all of them.")],
    shop: OfShop = None,
    as_json: AsJson = False,
) -> None:
    """Bring entries a server lacks from the kiosks' shop files, as after it was lost for good."""
    from kiosk.store.servers import rebuild as rebuild_server

    with _told():
        done = rebuild_server(url, files, shop=shop)
    answer = {
        "added": done.added,
        "known": done.known,
        "problems": done.problems,
        "no_login": done.no_login,
    }
    say(_rebuilt_text(done), answer, as_json)
    if done.problems:
        raise typer.Exit(int(Exit.REFUSED))


@contextmanager
def _told() -> Iterator[None]:
    """End in words: refused by a rule of the server, or the server is not there."""
    from kiosk.store import StoreError
    from kiosk.store.servers import ServerRefused

    try:
        yield
    except ServerRefused as error:
        stop(str(error), Exit.REFUSED)
    except StoreError as error:
        stop(str(error), Exit.MACHINERY)


def _say_joining(joining: Joining, as_json: bool) -> None:
    line = f'cleatclock exchange --join "{joining.url}"'
    text = (
        f"Run this at the kiosk; it gets the letter {joining.letter}. It holds the kiosk's password"
        f" and is not said again:\n\n{line}"
    )
    if (host := urlsplit(joining.url).hostname) in _HERE:
        text += (
            f"\n\nIt reaches a server on the kiosk's own machine. For a kiosk elsewhere, run"
            f" new-password with the server's name in place of {host}."
        )
    answer = {
        "shop": joining.shop,
        "letter": joining.letter,
        "role": joining.role,
        "url": joining.url,
        "join": line,
    }
    say(text, answer, as_json)


def _kiosk_text(one: Known) -> str:
    last = f", the last on {_when(one.last_ms)}" if one.last_ms is not None else ""
    removed = f", removed on {_when(one.removed_ms)}" if one.removed_ms is not None else ""
    return f"{one.shop} {one.letter}  {one.name}: {entries(one.entries)}{last}{removed}"


def _kiosk_json(one: Known) -> dict[str, object]:
    return {
        "shop": one.shop,
        "letter": one.letter,
        "name": one.name,
        "role": one.role,
        "given": _when(one.given_ms),
        "removed": _when(one.removed_ms),
        "entries": one.entries,
        "last": _when(one.last_ms),
    }


def _when(ms: int | None) -> str | None:
    return None if ms is None else from_ms(ms).isoformat(timespec="seconds")


def _rebuilt_text(done: Rebuilt) -> str:
    lines = [f"{entries(done.added)} added, {done.known} were there.", *done.problems]
    lines += [
        f"Kiosk {letter} has no login here. If it is in use, let it in again:"
        f" `cleatclock server add-kiosk … --letter {letter}`"
        for letter in done.no_login
    ]
    return "\n".join(lines)
