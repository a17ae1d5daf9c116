"""The questions about a wall: a stud, a reading of the floor, a layer, a service, what it is."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Any, Final, Protocol

from kiosk.rules.hanging.kinds import Backing, Premises, Soundness, Spot
from kiosk.rules.hanging.species import GRAVITIES
from kiosk.rules.hanging.typed import STUD_WIDTH, studs_apart
from kiosk.rules.hanging.wall import (
    LAYERS,
    SERVICES,
    FloorLevel,
    Layer,
    MeasuredWall,
    Service,
    Stud,
)
from kiosk.rules.lengths import Length, System, show
from kiosk.rules.words import Phrase, _, capital, number, say
from kiosk.screens.askpads import AskLength, Asks
from kiosk.screens.face import DeskFace
from kiosk.screens.figurepad import Ask
from kiosk.screens.hangwords import (
    LAYER_WORDS,
    NOT_SAID,
    SERVICE_WORDS,
    WORDS,
    say_length,
    say_one,
)
from kiosk.screens.wallfacts import UNKNOWN_WOOD
from kiosk.screens.wordpad import AskWords, WordPad

Back = Callable[[], object]
Keep = Callable[..., object]  # given the things to be added


class Drafted(Protocol):
    """What is asked for: the wall as entered so far, and how lengths are written."""

    @property
    def wall(self) -> MeasuredWall:
        """Return the wall."""
        ...

    @property
    def system(self) -> System:
        """Return how lengths are written."""
        ...


@dataclass(frozen=True, slots=True)
class Fact:
    """One thing said of the wall as a whole: its field, its words, what it is for."""

    key: str
    words: Phrase
    line: Phrase
    kind: type[StrEnum] | None = None

    def say(self, wall: MeasuredWall, system: System) -> str:
        """Return its value."""
        value = getattr(wall, self.key)
        if self.kind is not None:
            return say_one(value) if value is not None else NOT_SAID
        match self.key:
            case "celsius":
                return say("{degrees} °C", degrees=number(f"{value:g}"))
            case "is_damp":
                return _("damp") if value else _("dry")
            case "finder":
                return say_length(value, system)
        return value or _("the floor's highest point")

    def is_open(self, wall: MeasuredWall) -> bool:
        """Tell whether it is missing, and nothing is rated without it."""
        return self.kind is not None and getattr(wall, self.key) in (None, "unknown")


FACTS: Final = (
    Fact("backing", _("Screws end in"), _("what stands behind the layers"), Backing),
    Fact("soundness", _("The studs are"), _("found, looked at, tried with a screw"), Soundness),
    Fact("spot", _("The wall is"), _("where it stands"), Spot),
    Fact("premises", _("Premises"), _("what depends on it staying up"), Premises),
    Fact("celsius", _("Warmest it gets"), _("warm screws hold less")),
    Fact("is_damp", _("The wood is"), _("damp above 19 % moisture")),
    Fact("finder", _("Stud finder's error"), _("taken off every edge distance")),
    Fact("datum", _("y is counted from"), _("in words, for who installs")),
)


class WallAsk:
    """One question after the other; each ends in what was added, or goes back."""

    def __init__(self, desk: DeskFace, asks: Asks) -> None:
        self._desk, self._asks = desk, asks

    def add(self, kind: str, draft: Drafted, keep: Keep, back: Back) -> None:
        """Ask for a thing of a kind."""
        match kind:
            case "studs":
                self._stud(draft, keep, back)
            case "floor":
                self._floor(draft, keep, back)
            case "layers":
                self._layer(draft, keep, back)
            case _:
                self._service(draft, keep, back)

    # -- studs -----------------------------------------------------------------------------------

    def _width(self, draft: Drafted) -> AskLength:
        studs = draft.wall.studs
        likely = studs[-1].width if studs else STUD_WIDTH
        typed = show(likely, draft.system, unit_mark=False)
        return AskLength(_("How wide is its face?"), typed=typed)

    def _stud(self, draft: Drafted, keep: Keep, back: Back) -> None:
        def use(x: Length, width: Length) -> None:
            self.ask_wood(draft, Stud(x=x, width=width), keep, back)

        where = AskLength(_("The stud's middle, from the wall's left end"), "place")
        self._asks.lengths((where, self._width(draft)), draft.system, use, back)

    def ask_wood(self, draft: Drafted, stud: Stud, keep: Keep, back: Back) -> None:
        """Ask what a stud is made of; unknown wood counts as the lightest."""

        def use(species: str) -> None:
            keep(replace(stud, species=species))

        known = [(name, name) for name in GRAVITIES]
        options = [("", capital(UNKNOWN_WOOD)), *known]
        line = _("As stamped on the wood. Not known: the lightest common wood counts.")
        title = say("Which wood is the stud at {x}?", x=say_length(stud.x, draft.system))
        self._asks.choice(title, options, stud.species, use, back, line=line)

    def add_pitch(self, draft: Drafted, keep: Keep, back: Back) -> None:
        """Ask for the first of several studs and their pitch; they go to the wall's right end."""

        def wood(stud: Stud) -> None:
            self._pitch(draft, stud, keep, back)

        def use(x: Length, width: Length) -> None:
            self.ask_wood(draft, Stud(x=x, width=width), wood, back)

        where = AskLength(_("The first stud's middle, from the wall's left end"), "place")
        self._asks.lengths((where, self._width(draft)), draft.system, use, back)

    def _pitch(
        self, draft: Drafted, first: Stud, keep: Keep, back: Back, typed: str = "", wrong: str = ""
    ) -> None:
        def use(pitch: Length) -> None:
            studs, why = studs_apart(first, pitch, wall=draft.wall.width)
            if why:
                text = show(pitch, draft.system, unit_mark=False)
                self._pitch(draft, first, keep, back, text, why)
            else:
                keep(*studs)

        question = _("How far from middle to middle? Each must still be found and measured")
        self._asks.length(AskLength(question, "size", typed, wrong), draft.system, use, back)

    # -- floor, layers, services -----------------------------------------------------------------

    def _floor(self, draft: Drafted, keep: Keep, back: Back) -> None:
        def use(x: Length, level: Length) -> None:
            keep(FloorLevel(x=x, level=level))

        where = AskLength(_("Where was the floor read, from the wall's left end?"), "place")
        high = AskLength(_("How high is the floor there, above the level line?"), "level")
        self._asks.lengths((where, high), draft.system, use, back)

    def _layer(self, draft: Drafted, keep: Keep, back: Back) -> None:
        def named(name: str) -> None:
            def use(thickness: Length) -> None:
                keep(Layer(name=name, thickness=thickness))

            thick = AskLength(say("How thick is it: {what}?", what=LAYER_WORDS[name]))
            self._asks.lengths((thick,), draft.system, use, back)

        options = [(name, capital(LAYER_WORDS[name])) for name in LAYERS]
        self._asks.choice(_("Which layer?"), options, "", named, back)

    def _service(self, draft: Drafted, keep: Keep, back: Back) -> None:
        def named(kind: str) -> None:
            def use(x: Length, y: Length, width: Length, height: Length) -> None:
                keep(Service(kind=kind, x=x, y=y, width=width, height=height))

            what = SERVICE_WORDS[kind]
            asked = (
                AskLength(
                    say("{what}: its left edge, from the wall's left end", what=what), "place"
                ),
                AskLength(say("{what}: its lower edge, above the floor", what=what), "place"),
                AskLength(say("{what}: how wide?", what=what)),
                AskLength(say("{what}: how high?", what=what)),
            )
            self._asks.lengths(asked, draft.system, use, back)

        options = [(kind, capital(SERVICE_WORDS[kind])) for kind in SERVICES]
        self._asks.choice(_("Which service?"), options, "", named, back)

    # -- what it is ------------------------------------------------------------------------------

    def ask_fact(
        self, draft: Drafted, key: str, use: Callable[[MeasuredWall], object], back: Back
    ) -> None:
        """Ask for one thing said of the wall as a whole."""
        fact = next(one for one in FACTS if one.key == key)
        wall = draft.wall

        def put(value: Any) -> None:  # Any: what the field holds
            change: dict[str, Any] = {key: value}
            use(replace(wall, **change))

        kind = fact.kind
        if kind is not None:
            options = [(str(one), capital(words)) for one, words in WORDS[kind].items()]
            now = str(getattr(wall, key) or "")
            self._asks.choice(
                fact.words, options, now, lambda text: put(kind(text)), back, line=fact.line
            )
        elif key == "is_damp":
            damp = [("", _("Dry")), ("damp", _("Damp"))]
            now = "damp" if wall.is_damp else ""
            self._asks.choice(
                fact.words, damp, now, lambda text: put(bool(text)), back, line=fact.line
            )
        elif key == "celsius":
            ask = Ask(_("The warmest the wall gets"), "°C", is_signed=True)
            self._asks.figure(ask, put, back, low=-30.0, high=65.0)
        elif key == "finder":
            asked = AskLength(_("How far may the stud finder be out?"), "place")
            self._asks.length(asked, draft.system, put, back)
        else:
            self._ask_datum(wall, put, back)

    def _ask_datum(self, wall: MeasuredWall, put: Callable[[str], object], back: Back) -> None:
        question = _("From where is y counted? Empty: from the floor's highest point")
        ask = AskWords(question, wall.datum, may_be_empty=True, longest=60)
        self._desk.put(WordPad(self._desk.trim, ask, use=put, back=back))
