"""Say how the shop's server is copied, where there is one: by PostgreSQL's own tool."""

from __future__ import annotations

from typing import Final
from urllib.parse import urlsplit, urlunsplit

from kiosk.rules.words import Phrase, join, say

OWNER: Final = "OWNER"  # the same word as in the help of the commands about a server


def dump_hint(server: str) -> Phrase:
    """Return the line that copies the server's database, without its password; empty for none.

    OWNER stands for the owner's login: a kiosk's own may not read all that a copy needs.

    Args:
        server: the setting of that name, such as postgresql://cleatclock_k_1f@host/cleatclock.
    """
    parts = urlsplit(server)
    if not parts.scheme.startswith("postgres"):
        return join(())
    host = parts.netloc.rpartition("@")[2]
    bare = urlunsplit(("postgresql", f"{OWNER}@{host}", parts.path, "", ""))
    return say(
        "Copy the server too, each night on another machine: "
        "pg_dump --format=custom --file=server.dump {address}",
        address=bare,
    )
