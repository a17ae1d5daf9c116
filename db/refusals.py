"""What a shop server may answer in place of what was asked, in words."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Final

import psycopg
from psycopg import errors

from db.connect import DbError


class ServerAway(DbError):
    """The server gave no answer; nothing is lost, and it is tried again."""


class ServerRefused(DbError):
    """The server answered, but somebody has to put something right; the text says what."""


class Forked(ServerRefused):
    """Two files went on under one letter: one of them was brought back from a copy."""


class Changed(ServerRefused):
    """What the server holds is not what a kiosk wrote."""


FORKED: Final = (
    "two files went on under the letter {kiosk}: one was brought back from a copy. Give this"
    " kiosk a letter of its own: `cleatclock server add-kiosk`, then join with the line it prints"
    " and --as-new; nothing is lost"
)
CHANGED: Final = (
    "entry {seq} of kiosk {kiosk} on the server is not what that kiosk wrote; nothing of it from"
    " there on is taken in. Compare the server with that kiosk's file (docs/several-kiosks.md)"
)


@contextmanager
def said(kiosk: str) -> Iterator[None]:
    """Turn what PostgreSQL says into one of our errors, in words.

    Args:
        kiosk: whose entries it is about.

    Raises:
        ServerAway, ServerRefused: in place of what the driver raised.
    """
    try:
        yield
    except errors.UniqueViolation as error:
        raise Forked(FORKED.format(kiosk=kiosk)) from error
    except (errors.InvalidPassword, errors.InvalidAuthorizationSpecification) as error:
        raise _not_let_in(error) from error
    except (errors.UndefinedTable, errors.InvalidSchemaName, errors.UndefinedColumn) as error:
        raise ServerRefused(
            "there is no shop on this server: prepare it with `cleatclock server prepare`"
        ) from error
    except psycopg.ProgrammingError as error:
        raise ServerRefused(f"the server refuses: {_first_line(error)}") from error
    except (psycopg.OperationalError, psycopg.InterfaceError, OSError) as error:
        # while connecting, the driver tells a wrong password by its words only
        if any(one in str(error) for one in _NOT_LET_IN):
            raise _not_let_in(error) from error
        raise ServerAway(f"the server does not answer: {_first_line(error)}") from error
    except (psycopg.Error, ValueError) as error:
        raise ServerRefused(f"the server refuses: {_first_line(error)}") from error


_NOT_LET_IN: Final = (
    "authentication failed",
    "no password supplied",
    "is not permitted to log in",
    "no pg_hba.conf entry",
    "permission denied for database",
    "certificate verify failed",
    "root certificate file",
)


def _not_let_in(error: Exception) -> ServerRefused:
    return ServerRefused(
        f"the server does not let this kiosk in ({_first_line(error)}): join again with the line"
        " that `cleatclock server add-kiosk` or `new-password` prints"
    )


def _first_line(error: BaseException) -> str:
    lines = str(error).strip().splitlines()
    # of several addresses that were tried the last one's answer tells most
    told = [line for line in lines if any(one in line for one in _NOT_LET_IN)] or lines
    # what comes before is the driver's way to say where and how it tried; a row has two lines
    words = told[0].rpartition("FATAL:")[2].strip() if told else ""
    return words.removeprefix("connection failed: ") or type(error).__name__
