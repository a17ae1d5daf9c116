"""The command `cleatclock`; a kiosk that is opened loads no other command."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from kiosk.cli.every import app as app


def __getattr__(name: str) -> object:
    """Return all commands in one, loaded when they are first asked for."""
    if name != "app":
        raise AttributeError(name)
    from kiosk.cli.every import app

    return app


def main() -> None:
    """Run the command line."""
    from kiosk.cli.shopfile import Stopped
    from kiosk.cli.starting import read_options, start

    asked = read_options(sys.argv[2:]) if sys.argv[1:2] == ["open"] else None
    if asked is None:
        from kiosk.cli.every import app

        app()
        return
    try:
        start(asked)
    except Stopped as end:
        if str(end):
            print(end, file=sys.stderr)
        sys.exit(end.status)
