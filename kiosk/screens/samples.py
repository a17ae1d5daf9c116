"""Answers for pictures of states a shop may not be in just now; the sample shop's units."""

from __future__ import annotations

from dataclasses import replace
from math import cos, pi

from kiosk.rules.learning import Proposal
from kiosk.rules.scanning import Answer, Offer, Outcome
from kiosk.rules.words import Phrase, _, capital, join, known, say, say_n
from kiosk.screens.airview import AirView, Day, Figure, Strip
from kiosk.screens.partview import PartLine
from kiosk.screens.troubles import Trouble


def _step(title: str) -> Phrase:
    return known(title, "step")


def _at(title: str, station: str) -> Phrase:
    return say("{step} at {station}", step=_step(title), station=known(station, "station"))


_SLIPPED = say("{code} has a letter wrong. Compare it with the label.", code="K7F-3Q98")
_FRIDAY = say("{day} {clock}", day=_("Fri"), clock="08:20")
_TUESDAY = say("{day} {clock}", day=_("Tue"), clock="18:00")
_COAT_ON, _MASKED = known("coat 2 on", "done"), capital(known("masked", "done"))


def _about(answer: Answer) -> Answer:
    return replace(answer, job="GLAZE", unit="G05", unit_name="Tile panel")


SAMPLES: tuple[Answer, ...] = (
    _about(
        Answer(
            Outcome.RECORDED,
            capital(_COAT_ON),
            capital(say("{what} dries until {time}", what=_step("coat 2"), time="17:40")),
            say(
                "Next: {step} from {time}",
                step=_at("hang", "install"),
                time=_FRIDAY,
            ),
            code="K7F3Q97",
            part="Panel face",
            size="1200 × 1200 mm",
            step="coat-2",
        )
    ),
    _about(
        Answer(
            Outcome.ALREADY,
            say("Already: {done}", done=_COAT_ON),
            say(
                "{when}. Scan again later, or say that the next step is done too.",
                when=say("{time} by {person}", time="15:38", person="Ivo"),
            ),
            say("Next: {step} from {time}", step=_at("mask", "finish"), time="17:40"),
            code="K7F3Q97",
            part="Panel face",
            step="coat-2",
            offers=(Offer("also", "mask", say("{done} too", done=_MASKED)),),
        )
    ),
    _about(
        Answer(
            Outcome.TOO_EARLY,
            say("Too early: {span} to go", span="1:05 h"),
            say("{what} dries until {time}", what=_step("coat 1"), time="16:45"),
            code="K7F3Q97",
            part="Panel face",
            size="1200 × 1200 mm",
            step="coat-2",
            offers=(Offer("go_ahead", "coat-2", say("{step} all the same", step=_step("coat 2"))),),
        )
    ),
    _about(
        Answer(
            Outcome.ELSEWHERE,
            say("Not here: {step}", step=_step("glue up")),
            say(
                "Next: {step} ({why}).",
                step=_at("glue up", "assemble"),
                why=say("{step} since {time}", step=known("gathered", "done"), time="13:20"),
            ),
            say("Next: {step}", step=_at("glue up", "assemble")),
            part="Panel cleat",
            size="1139.5 × 89.5 mm",
        )
    ),
    Answer(
        Outcome.UNKNOWN,
        _("No part has this code"),
        say(
            "{code} is a sound code, but not of this shop. Find the part by unit, size or name.",
            code="K7F-3Q97",
        ),
        code="K7F3Q97",
    ),
    Answer(
        Outcome.SLIP,
        _("The code does not add up"),
        join((_SLIPPED, _("If it is one of these, choose it."))),
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
            say("{unit} is on hold", unit="G05"),
            say(
                "{reason}. Lift the hold before it goes on.",
                reason=capital(say("coat failed: {note}", note="runs at the lower edge")),
            ),
            code="K7F3Q97",
            offers=(Offer("lift", "G05", _("Lift the hold")),),
        )
    ),
)

_TURNS = [cos(2 * pi * (at - 36) / 96) for at in range(145)]  # quarters of an hour, 15:00 warmest
_WARM = tuple(18 + 3 * one for one in _TURNS)
SAMPLE_AIR = AirView(
    figures=(
        Figure(_("Temperature"), "20.5 °C"),
        Figure(_("Humidity"), "55 %"),
        Figure(_("Dew point"), "11.2 °C"),
        Figure(_("Vapour pressure deficit"), "1.08 kPa"),
        Figure(_("Wood moisture"), "10.2 %"),
    ),
    estimated=True,
    source=say(
        "Last reading: {source}",
        source=say(
            "{source} by {person} {ago}",
            source=known("typed", "source"),
            person="Mara",
            ago=say("{span} ago", span="12 min"),
        ),
    ),
    after=_("after it: the mean of the same hour of the last days"),
    day=Day(
        (
            Strip(
                _("Temperature"), tuple(18 + 3 * one for one in _TURNS), 15, 21, "15 °C", "21 °C"
            ),
            Strip(_("Humidity"), tuple(62 - 9 * one for one in _TURNS), 52, 72, "52 %", "72 %"),
        ),
        now=2 / 3,
        read_until=0.66,
        ticks=(
            (0.08, _TUESDAY),
            (0.24, "00:00"),
            (0.41, "06:00"),
            (0.58, "12:00"),
        ),
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
    words=say(
        "{opening}; dry after about {factor} times the clock's time here, "
        "likely {low} to {high} ({spread}). Not applied.",
        opening=say_n(
            "{n} finding ({dry} dry, {tacky} tacky)",
            "{n} findings ({dry} dry, {tacky} tacky)",
            12,
            dry=6,
            tacky=6,
        ),
        factor="1.2",
        low="1.1",
        high="1.3",
        spread=say("most between {low} and {high}", low="1.1", high="1.4"),
    ),
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
        say("Label {code}", code="K7F-3Q97"),
        ("K7F3Q97",),
        _("The roll is empty."),
        _("Put a new one in; the label prints by itself then."),
        may_retry=False,
    ),
    Trouble(
        "K7F4AC3-1",
        say("Label {code}", code="K7F-4AC3"),
        ("K7F4AC3",),
        say("The printer has no labels of {size}.", size="50 × 25 mm"),
        _("Put that roll in, or choose the label stock that is in the printer."),
    ),
    Trouble(
        "many",
        say_n("{n} label", "{n} labels", 12),
        (*(line.code for line in SAMPLE_PARTS), "K7FCJL3", "K7FDKM4", "K7FEMN5"),
        _("The printer takes no prints now."),
        _("Let its queue accept prints again, then retry."),
    ),
)
SHUT = say("Camera {source} does not open. Plug it in, or set another one.", source=0)
SAMPLE_UNKNOWN = Trouble(
    "K7F3Q97-2",
    say("Label {code}", code="K7F-3Q97"),
    ("K7F3Q97",),
    _("The printer no longer knows of the label."),
    _("Look whether it came out; if not, retry."),
    may_be_out=True,
)
