"""The first run: at most five questions, one screen each, every one may be skipped."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import partial
from typing import Any

from kiosk.config import SETTINGS, PlaceSetting
from kiosk.rules.words import _, say, say_n
from kiosk.screens.face import Choice, DeskFace, Problems, ShopFace
from kiosk.screens.firstrunsample import SampleWindow
from kiosk.screens.flow import AskScreen, say_problems
from kiosk.screens.settingspad import LetterPad, TextAsk
from kiosk.screens.settingssteps import Step, StepsScreen
from kiosk.screens.settingswords import role_words
from kiosk.settingkinds import MOST_SLOTS, Number

QUESTIONS = 5
NOT_ASKED = _("The shop could not be read. Try again.")
MOST_PLACES = 4  # rows that fit one screen; more under Places
INCH_STEP, METRE_STEP = 1.0, 0.5
Keep = Callable[..., None]


class FirstRun:
    """The first questions to a new shop; whatever is answered is kept at once."""

    def __init__(
        self, shop: ShopFace, desk: DeskFace, *, keep: Keep, shop_menu: Callable[[], object]
    ) -> None:
        """Take `keep`, which keeps a setting, and `shop_menu`, which shows the button Shop's."""
        self._shop, self._desk, self._keep, self._shop_menu = shop, desk, keep, shop_menu
        self.sample = SampleWindow(desk, back=self.open)
        # where part lists are taken in at the screen; None says the command
        self.part_list: Callable[[], object] | None = None

    def greet(self) -> None:
        """Begin by itself where nobody has set anything up."""
        before = self._desk.show

        def then(is_fresh: bool) -> None:
            if is_fresh and self._desk.show is before:
                self.open()

        self._desk.ask(self._shop.is_fresh, then, lost=NOT_ASKED)

    def open(self) -> None:
        """Welcome, and ask whether to begin or to look around first."""
        desk = self._desk
        choices = [
            Choice(_("Set up this shop"), self.ask_name, "arrow"),
            Choice(_("Skip: all as usual"), self._skip_all),
        ]
        if not desk.post.is_sample:
            words = _("Look around in the sample shop")
            choices.insert(1, Choice(words, self.sample.open))
        title = _("Welcome to Cleatclock")
        line = _("Five short questions; each can be skipped and changed later under Shop.")
        desk.put(AskScreen(desk.trim, title, choices, line=line, columns=1))

    def _skip_all(self) -> None:
        # kept once, so that the same questions do not come at the next start
        self._store("units", self._shop.settings.units, self.end)

    # -- one question after the other ------------------------------------------------------------

    def ask_name(self, wrong: str = "") -> None:
        """Ask what the shop is called."""
        question = self._numbered(1, _("What is the shop called?"))
        ask = TextAsk(question, self._shop.settings.shop, wrong)
        use = partial(self._take_text, "shop", self.ask_units)
        self._pad(ask, use, self.ask_units)

    def ask_units(self) -> None:
        """Ask whether the shop measures in millimetres or inches."""
        desk, now = self._desk, self._shop.settings.units
        choices = [
            Choice(
                words, partial(self._store, "units", value, self.ask_places), _tick(value == now)
            )
            for value, words in (("mm", _("Millimetres")), ("inch", _("Inches")))
        ]
        choices.append(Choice(_("Skip"), self.ask_places))
        title = self._numbered(2, _("How does the shop measure?"))
        line = _("New jobs show lengths so. Lists are read in either.")
        desk.put(AskScreen(desk.trim, title, choices, line=line))

    def ask_places(self, places: tuple[PlaceSetting, ...] | None = None) -> None:
        """Ask how many slots the shop's places have."""
        places = self._shop.settings.places if places is None else places
        steps = [
            Step(
                say("{place}: {role}", place=place.name, role=role_words(place.role)),
                say_n("{n} slot", "{n} slots", place.slots),
                partial(self.ask_places, _slots(places, at, -1)),
                partial(self.ask_places, _slots(places, at, 1)),
            )
            for at, place in enumerate(places[:MOST_PLACES])
        ]
        choices = (
            Choice(_("Skip"), self.ask_person),
            Choice(_("Use these"), partial(self._store, "places", places, self.ask_person), "tick"),
        )
        title = self._numbered(3, _("Where do units rest?"))
        line = _("A slot holds one unit. Names and further places: Shop, The shop itself, Places.")
        self._desk.put(StepsScreen(self._desk.trim, title, steps, choices, line=line))

    def ask_person(self, wrong: str = "") -> None:
        """Ask who works here."""
        question = self._numbered(4, _("Who works at this kiosk?"))
        ask = TextAsk(question, self._shop.settings.person, wrong)
        use = partial(self._take_text, "person", self.ask_screen)
        self._pad(ask, use, self.ask_screen)

    def ask_screen(self, diagonal: float | None = None, distance: float | None = None) -> None:
        """Ask how large the screen is and from how far it is read."""
        settings = self._shop.settings
        inches = settings.screen_diagonal_in if diagonal is None else diagonal
        metres = settings.viewing_distance_m if distance is None else distance
        inch, metre = partial(_within, "screen_diagonal_in"), partial(_within, "viewing_distance_m")
        steps = (
            Step(
                _("Screen's diagonal"),
                say("{n}\u00a0in", n=f"{inches:g}"),
                lambda: self.ask_screen(inch(inches - INCH_STEP), metres),
                lambda: self.ask_screen(inch(inches + INCH_STEP), metres),
            ),
            Step(
                _("Read from"),
                say("{n}\u00a0m", n=f"{metres:g}"),
                lambda: self.ask_screen(inches, metre(metres - METRE_STEP)),
                lambda: self.ask_screen(inches, metre(metres + METRE_STEP)),
            ),
        )
        choices = (
            Choice(_("Skip"), self.end),
            Choice(_("Use these"), partial(self._keep_screen, inches, metres), "tick"),
        )
        title = self._numbered(5, _("How large is this screen?"))
        line = _("Letters and buttons are made large enough for it.")
        self._desk.put(StepsScreen(self._desk.trim, title, steps, choices, line=line))

    def _keep_screen(self, inches: float, metres: float) -> None:
        then = partial(self._store, "viewing_distance_m", metres, self.end)
        self._store("screen_diagonal_in", inches, then)

    def end(self) -> None:
        """Lead on to the first part list."""
        desk = self._desk
        choices = [
            Choice(_("To the bench"), desk.open_bench),
            Choice(_("Look at the shop's menu"), self._shop_menu),
        ]
        if self.part_list is None:
            line = _("Now take in a part list: cleatclock take-in FILE --job CODE")
        else:
            choices.insert(0, Choice(_("Take in a part list"), self.part_list, "arrow"))
            line = _("Now take in a part list, print its labels, and scan the first part.")
        desk.put(AskScreen(desk.trim, _("The shop is set up"), choices, line=line, shape="tick"))

    # -- keeping ---------------------------------------------------------------------------------

    def _take_text(self, name: str, then: Callable[[], object], text: str) -> None:
        if text == getattr(self._shop.settings, name):
            then()
        else:
            self._store(name, text, then)

    def _store(self, name: str, value: Any, then: Callable[[], object]) -> None:
        def kept(problems: Problems) -> None:
            if not problems:
                then()
                return
            desk = self._desk
            choices = (Choice(_("Go on"), then), Choice(_("To the bench"), desk.open_bench))
            title, line = _("Nothing was changed"), say_problems(problems)
            desk.put(AskScreen(desk.trim, title, choices, line=line, shape="question"))

        self._keep(name, value, then=kept)

    def _pad(self, ask: TextAsk, use: Callable[[str], object], skip: Callable[[], object]) -> None:
        pad = LetterPad(self._desk.trim, ask, use=use, back=skip, back_words=_("Skip"))
        self._desk.put(pad)

    @staticmethod
    def _numbered(number: int, words: str) -> str:
        return say("{n} of {count}: {question}", n=number, count=QUESTIONS, question=words)


def _slots(places: tuple[PlaceSetting, ...], at: int, by: int) -> tuple[PlaceSetting, ...]:
    slots = min(max(places[at].slots + by, 1), MOST_SLOTS)
    return (*places[:at], replace(places[at], slots=slots), *places[at + 1 :])


def _within(name: str, value: float) -> float:
    """Return a figure held within what its setting takes."""
    check = next(one.check for one in SETTINGS if one.name == name)
    assert isinstance(check, Number)
    return min(max(value, check.low), check.high)


def _tick(is_now: bool) -> str:
    return "tick" if is_now else ""
