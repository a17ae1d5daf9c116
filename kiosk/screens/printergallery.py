"""Draw the screens about choosing a printer, in every state."""

from __future__ import annotations

from collections.abc import Iterator

from kiosk.actions import PaperSent
from kiosk.config import SETTINGS, Setting
from kiosk.rules.paperwords import paper_remedy
from kiosk.rules.words import _
from kiosk.screens.printerdesk import PRINTERS
from kiosk.screens.settingsask import AskActs
from kiosk.screens.settingsdesk import SettingsDesk
from kiosk.screens.stage import Stage

_QUEUES = ("Office", "Labels")
_ADDRESS = "ipp://192.168.1.40/ipp/print"
_MANY = (*_QUEUES, "Laser_in_the_office_upstairs_by_the_window", "Plotter", "Photo", "Fax")
_SENT = PaperSent(None, "Office", is_sent=True)
_REFUSED = PaperSent(
    None,
    "Office",
    trouble=_("The printer does not answer."),
    remedy=paper_remedy("unreachable"),
)


def show_printers(stage: Stage, settings: SettingsDesk) -> Iterator[str]:
    """Put one state after the other on the screen, and name it."""
    desk, screens = stage.app.desk, settings.printers
    acts = AskActs(lambda _value: None, settings.open, desk.put)
    labels, paper = (_setting(name) for name in PRINTERS)
    none = _("No print queue is known to this computer.")
    states = (
        (
            "printer",
            lambda: screens.show(labels, _ADDRESS, acts, (_QUEUES, "")),
        ),
        ("printer-paper", lambda: screens.show(paper, "Office", acts, (_QUEUES, ""))),
        ("printer-many", lambda: screens.show(paper, "Office", acts, (_MANY, ""))),
        ("printer-none", lambda: screens.show(paper, "", acts, ((), none))),
        ("printer-tested", lambda: screens.show_tested(_SENT, settings.open)),
        ("printer-not-tested", lambda: screens.show_tested(_REFUSED, settings.open)),
    )
    for name, put in states:
        put()
        stage.step(2)
        yield f"settings-{name}"


def _setting(name: str) -> Setting:
    return next(one for one in SETTINGS if one.name == name)
