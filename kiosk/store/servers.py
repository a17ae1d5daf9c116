"""The door to a shop server; a kiosk that has none loads nothing of it."""

from __future__ import annotations

from db.server.kiosks import Joining, Known, add_kiosk, list_kiosks, remove_kiosk, renew_kiosk
from db.server.link import ServerRefused, database_of
from db.server.prepare import prepare
from db.server.rebuild import Rebuilt, rebuild

__all__ = [
    "Joining",
    "Known",
    "Rebuilt",
    "ServerRefused",
    "add_kiosk",
    "database_of",
    "list_kiosks",
    "prepare",
    "rebuild",
    "remove_kiosk",
    "renew_kiosk",
]
