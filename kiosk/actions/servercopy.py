"""Say how the shop's server is copied, where there is one: by PostgreSQL's own tool."""

from __future__ import annotations

from urllib.parse import urlsplit, urlunsplit

from kiosk.config import Settings
from kiosk.rules.words import Phrase, join, say


def server_of(settings: Settings) -> str:
    """Return the address of the shop's server; empty where none is set, or can be."""
    return str(getattr(settings, "server", ""))


def dump_hint(server: str) -> Phrase:
    """Return the line that copies the server's database, without its password; empty for none.

    Args:
        server: a PostgreSQL address such as postgresql://shop@host/cleatclock.
    """
    parts = urlsplit(server)
    if not parts.scheme.startswith("postgres"):
        return join(())
    user, at, host = parts.netloc.rpartition("@")
    bare = urlunsplit(("postgresql", user.partition(":")[0] + at + host, parts.path, "", ""))
    return say(
        "Copy the server too, each night on another machine: "
        "pg_dump --format=custom --file=server.dump {address}",
        address=bare,
    )
