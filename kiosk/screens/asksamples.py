"""Questions to show where no shop has any: for the gallery and for tests."""

from __future__ import annotations

from kiosk.rules.asked import Question, Reply
from kiosk.rules.words import _, say

TWICE = Question(
    "twice:01",
    "twice",
    "GLAZE",
    "G05",
    say(
        "{what} was recorded twice ({first}, {second}): was the second one {next}?",
        what=_("Coat 1"),
        first="Mara 10:05",
        second="Ivo 14:40",
        next=_("coat 2"),
    ),
    (
        Reply("same", say("It was the same {what}", what=_("coat 1"))),
        Reply("next", say("The second was {next}", next=_("coat 2"))),
        Reply("strike-first", say("Strike the first: {who}", who="Mara 10:05")),
        Reply("strike-second", say("Strike the second: {who}", who="Ivo 14:40")),
    ),
    ("01", "02"),
)
HELD = Question(
    "held:03",
    "held",
    "GLAZE",
    "G21",
    say(
        "{what} was recorded ({who}) though the unit was put on hold ({time}): {reason}",
        what=_("Hang"),
        who="Ivo 10:05",
        time="09:50",
        reason=_("coat failed"),
    ),
    (
        Reply("lift", _("It goes on: lift the hold")),
        Reply("strike", say("Strike {what}", what=_("hang"))),
        Reply("both", _("Both are so: done, and on hold")),
    ),
    ("03",),
)
CLOSED = Question(
    "closed:04",
    "closed",
    "KILN",
    "",
    say(
        "The job was closed ({who}), but work was recorded after that: {units}",
        who="Mara Tue 17:00",
        units="K02, K13, K21",
    ),
    (Reply("reopen", _("It goes on: open it again")), Reply("leave", _("It stays closed"))),
    ("04",),
)
ASKED = (CLOSED, TWICE, HELD)
