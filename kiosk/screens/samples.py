"""Answers for pictures of states a shop may not be in just now; the sample shop's units."""

from __future__ import annotations

from dataclasses import replace
from math import cos, pi

from kiosk.rules.learning import Proposal
from kiosk.rules.scanning import Answer, Offer, Outcome
from kiosk.screens.airview import AirView, Day, Figure, Strip
from kiosk.screens.partview import PartLine
from kiosk.screens.troubles import Trouble


def _about(answer: Answer) -> Answer:
    return replace(answer, job="GLAZE", unit="G05", unit_name="Tile panel")


SAMPLES: tuple[Answer, ...] = (
    _about(
        Answer(
            Outcome.RECORDED,
            "Coat 2 on",
            "Keep the room above 10 °C while it dries.",
            "Next: hang at install from Fri 08:20",
            code="K7F3Q97",
            part="Panel face",
            size="1200 × 1200 mm",
            step="coat-2",
        )
    ),
    _about(
        Answer(
            Outcome.ALREADY,
            "Already: coat 2 on",
            "15:38 by Ivo. Scan again later, or say that the next step is done too.",
            "Next: mask the stripe at finish from 17:40",
            code="K7F3Q97",
            part="Panel face",
            step="coat-2",
            offers=(Offer("also", "mask", "Masked too"),),
        )
    ),
    _about(
        Answer(
            Outcome.TOO_EARLY,
            "Too early: 1:05 h to go",
            "Coat 1 is on since 14:10; dry to recoat after 2:35 h.",
            code="K7F3Q97",
            part="Panel face",
            size="1200 × 1200 mm",
            step="coat-2",
            offers=(Offer("go_ahead", "coat-2", "coat 2 all the same"),),
        )
    ),
    _about(
        Answer(
            Outcome.ELSEWHERE,
            "Not here: glue up",
            "Next: glue up at assemble (gathered since 13:20).",
            "Next: glue up at assemble",
            part="Panel cleat",
            size="1139.5 × 89.5 mm",
        )
    ),
    Answer(
        Outcome.UNKNOWN,
        "No part has this code",
        "K7F-3Q97 is a sound code, but not of this shop. Find the part by unit, size or name.",
        code="K7F3Q97",
    ),
    Answer(
        Outcome.SLIP,
        "The code does not add up",
        "One letter was misread or mistyped. If it is one of these, choose it.",
        code="K7F3Q98",
        offers=(
            Offer("code", "K7F3Q97", "K7F-3Q97"),
            Offer("code", "K7F8Q97", "K7F-8Q97"),
            Offer("code", "K7E3Q97", "K7E-3Q97"),
        ),
    ),
    _about(
        Answer(
            Outcome.ON_HOLD,
            "G05 is on hold",
            "Coat failed: runs at the lower edge. Lift the hold before it goes on.",
            code="K7F3Q97",
            offers=(Offer("lift", "G05", "Lift the hold"),),
        )
    ),
)

_TURNS = [cos(2 * pi * (at - 36) / 96) for at in range(145)]  # quarters of an hour, 15:00 warmest
SAMPLE_AIR = AirView(
    figures=(
        Figure("Temperature", "20.5 °C"),
        Figure("Humidity", "55 %"),
        Figure("Dew point", "11.2 °C"),
        Figure("Vapour pressure deficit", "1.08 kPa"),
        Figure("Wood moisture", "10.2 %"),
    ),
    estimated=True,
    source="Last reading: typed by Mara 12 min ago",
    after="after it: the mean of the same hour of the last days",
    day=Day(
        (
            Strip("Temperature", tuple(18 + 3 * one for one in _TURNS), 15, 21, "15 °C", "21 °C"),
            Strip("Humidity", tuple(62 - 9 * one for one in _TURNS), 52, 72, "52 %", "72 %"),
        ),
        now=2 / 3,
        read_until=0.66,
        ticks=((0.08, "Tue 18:00"), (0.24, "00:00"), (0.41, "06:00"), (0.58, "12:00")),
    ),
    strike_at=None,
)
SAMPLE_PROPOSAL = Proposal(
    "clear",
    "recoat",
    12,
    6,
    6,
    factor=1.2,
    low=1.1,
    high=1.4,
    words="Clear, recoat: 12 findings (6 dry, 6 tacky); dry after about 1.2 times the clock's time "
    "here, likely 1.1 to 1.3 (most between 1.1 and 1.4). Not applied.",
)
SAMPLE_PARTS: tuple[PartLine, ...] = (
    PartLine("GLAZE", "G05", "Tile panel", "Panel face", "1200 × 1200 × 6 mm", "K7F3Q97", 1),
    PartLine("GLAZE", "G05", "Tile panel", "Panel cleat", "1139.5 × 89.5 × 18 mm", "K7F4AC3", 2),
    PartLine("GLAZE", "G05", "Tile panel", "Back spacer, lower left", "603 × 89.5 mm", "K7F5BD4"),
    PartLine("GLAZE", "G11", "Divider", "Side", "23 3/4 × 11 1/2 × 23/32 in", "K7F6CE5"),
    PartLine("GLAZE", "G11", "Divider", "Front", "600 × 300 × 18 mm", "K7F7DF6"),
    PartLine("GLAZE", "K02", "Cone box", "Bottom", "280 × 280 × 6 mm", "K7F8EG7", 1),
    PartLine("GLAZE", "K02", "Cone box", "Side", "280 × 100 × 12 mm", "K7F9FH8"),
    PartLine("GLAZE", "K02", "Cone box", "Side", "280 × 100 × 12 mm", "K7FAGJ9"),
    PartLine("GLAZE", "K05", "Cone box", "Side", "280 × 100 × 12 mm", "K7FBHK2"),
)
SAMPLE_TROUBLES: tuple[Trouble, ...] = (
    Trouble(
        "K7F3Q97-0",
        "Label K7F-3Q97",
        ("K7F3Q97",),
        "The roll is empty.",
        "Put a new one in; the label prints by itself then.",
        may_retry=False,
    ),
    Trouble(
        "K7F4AC3-1",
        "Label K7F-4AC3",
        ("K7F4AC3",),
        "The printer has no labels of 50 × 25 mm.",
        "Put that roll in, or choose the label stock that is in the printer.",
    ),
    Trouble(
        "many",
        "12 labels",
        (*(line.code for line in SAMPLE_PARTS), "K7FCJL3", "K7FDKM4", "K7FEMN5"),
        "The printer takes no prints now.",
        "Let its queue accept prints again, then retry.",
    ),
)
SAMPLE_UNKNOWN = Trouble(
    "K7F3Q97-2",
    "Label K7F-3Q97",
    ("K7F3Q97",),
    "The printer no longer knows of the label.",
    "Look whether it came out; if not, retry.",
    may_be_out=True,
)
