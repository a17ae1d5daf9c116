"""Tell where printed sheets went; where the printer has not taken them, the status says so."""

from __future__ import annotations

import typer

from kiosk.actions import PaperSent
from kiosk.cli.common import Desk, Exit, say
from kiosk.dayreport import sent_json, sent_text
from kiosk.report import iso


def end_sent(desk: Desk, sent: PaperSent, *, as_json: bool) -> None:
    """Say where sheets went, and end with the status of machinery where a printer failed."""
    say(sent_text(sent), {"at": iso(desk.now, desk.shop.zone), **sent_json(sent)}, as_json)
    if sent.failed:
        raise typer.Exit(int(Exit.MACHINERY))
