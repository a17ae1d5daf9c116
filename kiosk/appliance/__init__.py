"""What makes a kiosk an appliance: one at a time, the same screen again, a log, a start by itself.

Knows neither Kivy nor the shop, so that a second kiosk is refused before a window opens.
"""

from __future__ import annotations

from kiosk.appliance.awake import keep_awake
from kiosk.appliance.logbook import log_file, log_files, start_log
from kiosk.appliance.lone import AlreadyOpen, hold_alone, is_open
from kiosk.appliance.memory import Memory, Whereabouts
from kiosk.appliance.scrub import Scrub

__all__ = [
    "AlreadyOpen",
    "Memory",
    "Scrub",
    "Whereabouts",
    "hold_alone",
    "is_open",
    "keep_awake",
    "log_file",
    "log_files",
    "start_log",
]
