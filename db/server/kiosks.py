"""Hand letters to kiosks, with a login each, and take a login back."""

from __future__ import annotations

import secrets
from contextlib import suppress
from dataclasses import dataclass
from typing import TYPE_CHECKING
from urllib.parse import quote, urlencode

from db.server.link import ServerRefused, driver, reached
from db.server.prepare import NOW, check_prepared, one

if TYPE_CHECKING:
    from db.server.link import Connection

_HERE = ("localhost", "127.0.0.1", "::1")
# A kiosk holds one or two; after a cut line the old ones hang on for a while. Choice.
_CONNECTIONS = 10


@dataclass(frozen=True, slots=True)
class Joining:
    """What a new kiosk is told once: its letter, its login, and the address with its password."""

    shop: str
    letter: str
    role: str
    url: str


@dataclass(frozen=True, slots=True)
class Known:
    """A kiosk as the server knows it; times in milliseconds since 1970, entries and last by count.

    removed_ms is None while it may come in; last_ms None where it sent nothing yet.
    """

    shop: str
    letter: str
    role: str
    name: str
    given_ms: int
    removed_ms: int | None
    entries: int
    last_ms: int | None


def add_kiosk(
    url: str, *, name: str, letters: str, letter: str | None = None, shop: str | None = None
) -> Joining:
    """Hand out a letter and a login that may do no more than a kiosk must.

    Args:
        url: as the owner of the prepared database.
        name: what people call the kiosk.
        letters: all letters there are, first choice first; it gets the first that no kiosk has or
            had and that is in no entry.
        letter: the letter it must get, for a kiosk that comes with entries of its own.
        shop: which, where the database holds several.

    Returns:
        What to tell the kiosk; the password is kept nowhere else.

    Raises:
        DbError: no letter was handed out.
    """
    with reached(url) as connection:
        check_prepared(connection)
        shop = shop_of(connection, shop)
        connection.execute("LOCK TABLE cleatclock.kiosk IN SHARE ROW EXCLUSIVE MODE")
        letter = _free_letter(connection, shop, letters, letter)
        # logins are the whole server's, so another of its databases may have one of this letter
        role = f"cleatclock_{letter.lower()}_{secrets.token_hex(4)}"
        password = _let_in(connection, role)
        connection.execute(
            f"INSERT INTO cleatclock.kiosk VALUES (%s, %s, %s, %s, {NOW}, NULL)".encode(),
            (shop, letter, role, name),
        )
        return Joining(shop, letter, role, _address(connection, url, role, password))


def remove_kiosk(url: str, letter: str, *, shop: str | None = None) -> str:
    """Take a kiosk's login away and end its connections; its letter stays taken.

    Returns:
        The name of the kiosk.

    Raises:
        DbError: nothing was changed.
    """
    with reached(url) as connection:
        check_prepared(connection)
        shop = shop_of(connection, shop)
        role, name = _in_use(connection, shop, letter)
        connection.execute(
            f"UPDATE cleatclock.kiosk SET removed_ms = {NOW}"
            " WHERE shop = %s AND letter = %s".encode(),
            (shop, letter),
        )
        _end_login(connection, role)
        return name


def renew_kiosk(url: str, letter: str, *, shop: str | None = None) -> Joining:
    """Give a kiosk in use a new password, as the address with the old one was lost or seen.

    Returns:
        What to tell the kiosk; the old password and connections with it count no more.

    Raises:
        DbError: nothing was changed.
    """
    with reached(url) as connection:
        check_prepared(connection)
        shop = shop_of(connection, shop)
        role, _name = _in_use(connection, shop, letter)
        password = _let_in(connection, role)  # a server restored from a dump may lack the login
        _end_connections(connection, role)
        return Joining(shop, letter, role, _address(connection, url, role, password))


def list_kiosks(url: str, *, shop: str | None = None) -> list[Known]:
    """Return the kiosks of one shop, or of all, removed ones too, by shop and letter.

    Raises:
        DbError: the server was not reached or is not prepared.
    """
    query = b"""
        SELECT k.shop, k.letter, k.role, k.name, k.given_ms, k.removed_ms, count(e.id),
            max(e.received_ms)
        FROM cleatclock.kiosk k
        LEFT JOIN cleatclock.entry e ON e.shop = k.shop AND e.kiosk = k.letter
        WHERE %(shop)s::text IS NULL OR k.shop = %(shop)s
        GROUP BY k.shop, k.letter ORDER BY k.shop, k.letter
    """
    with reached(url) as connection:
        check_prepared(connection)
        if shop is not None:
            shop = shop_of(connection, shop)
        return [Known(*row) for row in connection.execute(query, {"shop": shop})]


def shop_of(connection: Connection, shop: str | None) -> str:
    """Return the shop that is meant: the one named, or the only one.

    Raises:
        ServerRefused: there is none of the name, or several and none named.
    """
    query = "SELECT shop FROM cleatclock.shop ORDER BY shop"
    there = [str(row[0]) for row in connection.execute(query)]
    if shop is None and len(there) == 1:
        return there[0]
    if shop not in there:
        named = ", ".join(there) or "none"
        raise ServerRefused(f"name one of the shops with --shop; there is {named}")
    return shop


def _free_letter(connection: Connection, shop: str, letters: str, wanted: str | None) -> str:
    query = "SELECT letter, name FROM cleatclock.kiosk WHERE shop = %s"
    taken = {str(row[0]): str(row[1]) for row in connection.execute(query, (shop,))}
    if wanted is not None:
        if len(wanted) != 1 or wanted not in letters:
            raise ServerRefused(f"a kiosk's letter is one of {letters}, not {wanted}")
        if wanted in taken:
            raise ServerRefused(f"the letter {wanted} is taken by the kiosk {taken[wanted]!r}")
        return wanted
    query = "SELECT DISTINCT kiosk FROM cleatclock.entry WHERE shop = %s"
    taken |= {str(row[0]): "" for row in connection.execute(query, (shop,))}
    for letter in letters:
        if letter not in taken:
            return letter
    raise ServerRefused(f"all letters of the shop {shop} are taken")


def _in_use(connection: Connection, shop: str, letter: str) -> tuple[str, str]:
    """Return login and name of a kiosk that may come in; nobody else changes it meanwhile."""
    found = connection.execute(
        b"SELECT role, name FROM cleatclock.kiosk"
        b" WHERE shop = %s AND letter = %s AND removed_ms IS NULL FOR UPDATE",
        (shop, letter),
    ).fetchone()
    if found is None:
        raise ServerRefused(f"no kiosk {letter} is in use in the shop {shop}")
    return str(found[0]), str(found[1])


def _let_in(connection: Connection, role: str) -> str:
    """Make a login, if it is not there, and let it in; return its new password."""
    from psycopg import sql

    name, database = sql.Identifier(role), sql.Identifier(connection.info.dbname)
    if not connection.execute("SELECT FROM pg_roles WHERE rolname = %s", (role,)).rowcount:
        made = sql.SQL("CREATE ROLE {} LOGIN CONNECTION LIMIT {}")
        connection.execute(made.format(name, sql.Literal(_CONNECTIONS)))
    password = secrets.token_hex(24)
    # hashed here: the server, and its log of statements, never see the password
    hashed = connection.pgconn.encrypt_password(password.encode(), role.encode(), b"scram-sha-256")
    query = sql.SQL("ALTER ROLE {} PASSWORD {}")
    connection.execute(query.format(name, sql.Literal(hashed.decode())))
    connection.execute(sql.SQL("GRANT cleatclock_kiosk TO {}").format(name))
    connection.execute(sql.SQL("GRANT CONNECT ON DATABASE {} TO {}").format(database, name))
    return password


def _end_login(connection: Connection, role: str) -> None:
    from psycopg import sql

    name, database = sql.Identifier(role), sql.Identifier(connection.info.dbname)
    connection.execute(sql.SQL("ALTER ROLE {} NOLOGIN PASSWORD NULL").format(name))
    connection.execute(sql.SQL("REVOKE cleatclock_kiosk FROM {}").format(name))
    connection.execute(sql.SQL("REVOKE CONNECT ON DATABASE {} FROM {}").format(database, name))
    _end_connections(connection, role)


def _end_connections(connection: Connection, role: str) -> None:
    """End what a login has open, where the server lets us."""
    from psycopg import errors, sql

    name = sql.Identifier(role)
    query = "SELECT count(pg_terminate_backend(pid)) FROM pg_stat_activity WHERE usename = %s"
    with suppress(errors.InsufficientPrivilege), connection.transaction():
        (is_ours,) = one(connection, "SELECT pg_has_role(%s, 'USAGE')", role)
        if not is_ours:  # an owner who is no superuser must be a member of what it made
            connection.execute(sql.SQL("GRANT {} TO CURRENT_USER").format(name))
        connection.execute(query, (role,))
        if not is_ours:
            connection.execute(sql.SQL("REVOKE {} FROM CURRENT_USER").format(name))


def _address(connection: Connection, url: str, role: str, password: str) -> str:
    """Return the address for the kiosk: the administrator's, with its own login.

    Over the network the server must prove who it is, unless the address says otherwise.
    """
    info = connection.info
    given = driver().conninfo.conninfo_to_dict(url)
    options = {name: str(value) for name, value in given.items() if name.startswith("ssl")}
    if info.host not in _HERE:
        options.setdefault("sslmode", "verify-full")
    host = f"[{info.host}]" if ":" in info.host else quote(info.host, safe="")
    tail = f"?{urlencode(options, quote_via=quote)}" if options else ""
    place = f"{host}:{info.port}/{quote(info.dbname, safe='')}"
    return f"postgresql://{role}:{password}@{place}{tail}"
