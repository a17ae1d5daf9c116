"""Make the shop server's tables, roles and row policies, or bring them up to date."""

from __future__ import annotations

from importlib.resources import files
from typing import TYPE_CHECKING, Any

from db.server.link import ServerRefused, reached

if TYPE_CHECKING:
    from db.server.link import Connection

NOW = "(extract(epoch FROM clock_timestamp()) * 1000)::bigint"  # milliseconds since 1970
# Held while a database is prepared, so that two at once do not get in each other's way; any number.
_TURN = 0x636C6561
_LARGE = ("lo_creat(integer)", "lo_create(oid)", "lo_from_bytea(oid, bytea)")
_ROLES = {
    "cleatclock_kiosk": "what every kiosk may do: write its own entries, read its shop's",
    "cleatclock_report": "what a person who reads the reports may do: read the views",
}


def prepare(url: str, *, shop: str) -> list[str]:
    """Prepare a database of its own for one shop more; what is there already is left as it is.

    Args:
        url: as its owner, who may make roles; see `db.server.link.reached`.
        shop: the key all of the shop's rows carry; never changed later.

    Returns:
        What was done, in words; empty where nothing was to do.

    Raises:
        DbError: nothing was changed.
    """
    if not shop.strip() or "\0" in shop:
        raise ServerRefused("a shop needs a name")
    with reached(url) as connection:
        connection.execute("SELECT pg_advisory_xact_lock(%s)", (_TURN,))
        return [
            *_make_roles(connection),
            *_take_steps(connection),
            *_close_database(connection),
            *_make_shop(connection, shop),
        ]


def steps() -> list[tuple[int, str, str]]:
    """Return the steps of the schema in order: number, file name, SQL."""
    there = files("db.server").joinpath("steps").iterdir()
    found = [one for one in there if one.name.endswith(".sql")]
    return sorted((int(one.name[:3]), one.name, one.read_text("utf-8")) for one in found)


def check_prepared(connection: Connection) -> None:
    """Look whether a database is prepared up to the last step.

    Raises:
        ServerRefused: it is not, or by a newer version of the program.
    """
    (there,) = one(connection, "SELECT to_regclass('cleatclock.step') IS NOT NULL")
    done = one(connection, "SELECT max(step) FROM cleatclock.step")[0] if there else 0
    last = steps()[-1][0]
    if done != last:
        way = "run `cleatclock server prepare` first" if done < last else "update this program"
        raise ServerRefused(f"the database is at step {done} of {last}: {way}")


def _make_roles(connection: Connection) -> list[str]:
    done = []
    for role, what in _ROLES.items():
        if not one(connection, "SELECT count(*) FROM pg_roles WHERE rolname = %s", role)[0]:
            connection.execute(f"CREATE ROLE {role} NOLOGIN".encode())
            done.append(f"role {role} made: {what}")
    return done


def _take_steps(connection: Connection) -> list[str]:
    done = []
    (there,) = one(connection, "SELECT to_regclass('cleatclock.step') IS NOT NULL")
    if not there:
        connection.execute("CREATE SCHEMA cleatclock")
        connection.execute(
            "CREATE TABLE cleatclock.step (step integer PRIMARY KEY, done_ms bigint NOT NULL)"
        )
        done.append("schema cleatclock made")
    (last,) = one(connection, "SELECT coalesce(max(step), 0) FROM cleatclock.step")
    for number, name, text in steps():
        if number > last:
            connection.execute(text.encode())
            connection.execute(
                f"INSERT INTO cleatclock.step VALUES (%s, {NOW})".encode(), (number,)
            )
            done.append(f"step {name} done")
    return done


def _close_database(connection: Connection) -> list[str]:
    """Let nobody in but those who are let in by name.

    A role of anything else on the server could otherwise come in and fill the disk with temporary
    tables and large objects. A dump does not hold this, so it is looked at each time.
    """
    from psycopg import sql

    (is_open,) = one(
        connection,
        "SELECT EXISTS (SELECT FROM pg_database, aclexplode(coalesce(datacl, acldefault('d',"
        " datdba))) WHERE datname = current_database() AND grantee = 0)",
    )
    if not is_open:
        return []
    database = sql.Identifier(connection.info.dbname)
    connection.execute(sql.SQL("REVOKE ALL ON DATABASE {} FROM PUBLIC").format(database))
    connection.execute("REVOKE CREATE ON SCHEMA public FROM PUBLIC")
    for name in _LARGE:  # takes effect only where a superuser says it
        connection.execute(f"REVOKE EXECUTE ON FUNCTION pg_catalog.{name} FROM PUBLIC".encode())
    kiosks = connection.execute(
        "SELECT role FROM cleatclock.kiosk JOIN pg_roles ON rolname = role"
        " WHERE removed_ms IS NULL ORDER BY role"
    )
    roles = ["cleatclock_report", *(str(role) for (role,) in kiosks)]
    for role in map(sql.Identifier, roles):
        connection.execute(sql.SQL("GRANT CONNECT ON DATABASE {} TO {}").format(database, role))
    return ["only those let in by name may connect"]


def _make_shop(connection: Connection, shop: str) -> list[str]:
    made = connection.execute(
        f"INSERT INTO cleatclock.shop VALUES (%s, {NOW}) ON CONFLICT DO NOTHING".encode(),
        (shop,),
    )
    return [f"shop {shop!r} made"] if made.rowcount else []


def one(connection: Connection, query: str, *values: object) -> Any:  # a row of its values
    """Return the one row a query of ours answers."""
    found = connection.execute(query.encode(), values).fetchone()
    assert found is not None, query
    return found
