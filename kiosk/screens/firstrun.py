"""The first run: at most five questions, one screen each, every one may be skipped."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import partial
from typing import Any

from kiosk.config import SETTINGS, PlaceSetting
from kiosk.language import LANGUAGES
from kiosk.rules.words import _, number, say, say_n
from kiosk.screens.face import Choice, DeskFace, Problems, ShopFace
from kiosk.screens.firstrunsample import SampleWindow
from kiosk.screens.flow import AskScreen, say_problems
from kiosk.screens.settingssteps import Step, StepsScreen
from kiosk.screens.settingswords import role_words
from kiosk.screens.sizesteps import BENCH, DIAGONALS_IN, DISTANCES_M, NEXT, step_along
from kiosk.screens.welcome import WelcomeScreen
from kiosk.screens.wordpad import AskWords, WordPad
from kiosk.settingkinds import MOST_SLOTS

QUESTIONS = 5
NOT_ASKED = _("The shop could not be read. Try again.")
MOST_PLACES = 4  # rows that fit one screen; more under Places
Keep = Callable[..., None]


class FirstRun:
    """The first questions to a new shop; whatever is answered is kept at once."""

    def __init__(
        self,
        shop: ShopFace,
        desk: DeskFace,
        *,
        keep: Keep,
        shop_menu: Callable[[], object],
        part_list: Callable[[], object],
    ) -> None:
        """Take `keep`, which keeps a setting, and where Shop and taking a list in lead to."""
        self._shop, self._desk, self._keep, self._shop_menu = shop, desk, keep, shop_menu
        self._part_list = part_list
        self.sample = SampleWindow(desk, back=self.open)

    def greet(self) -> None:
        """Begin by itself where nobody has set anything up."""
        before = self._desk.show

        def then(is_fresh: bool) -> None:
            if is_fresh and self._desk.show is before:
                self.open()

        self._desk.ask(self._shop.is_fresh, then, lost=NOT_ASKED)

    def open(self) -> None:
        """Welcome in a language of choice, and ask whether to begin or to look around first."""
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
        now = self._shop.settings.language
        tongues = [
            Choice(name, partial(self._store, "language", key, self.open), _tick(key == now))
            for key, name in LANGUAGES.items()
        ]
        self._put(WelcomeScreen(desk.trim, title, choices, tongues, line=line))

    def _skip_all(self) -> None:
        # kept once, so that the same questions do not come at the next start
        self._store("units", self._shop.settings.units, self.end)

    # -- one question after the other ------------------------------------------------------------

    def ask_name(self, wrong: str = "") -> None:
        """Ask what the shop is called."""
        question = self._numbered(1, _("What is the shop called?"))
        ask = AskWords(question, self._shop.settings.shop, wrong, may_be_empty=True)
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
        self._put(AskScreen(desk.trim, title, choices, line=line))

    def ask_places(self) -> None:
        """Ask how many slots the shop's places have."""
        places = self._shop.settings.places

        def change(at: int, by: int) -> None:
            nonlocal places
            places = _slots(places, at, by)
            screen.tell([_say_slots(place) for place in places[:MOST_PLACES]])

        steps = [
            Step(
                say("{place}: {role}", place=place.name, role=role_words(place.role)),
                _say_slots(place),
                partial(change, at, -1),
                partial(change, at, 1),
            )
            for at, place in enumerate(places[:MOST_PLACES])
        ]
        choices = (
            Choice(_("Skip"), self.ask_person),
            Choice(_("Use these"), lambda: self._store("places", places, self.ask_person), "tick"),
        )
        title = self._numbered(3, _("Where do units rest?"))
        line = _("A slot holds one unit. Names and further places: Shop, The shop itself, Places.")
        screen = StepsScreen(self._desk.trim, title, steps, choices, line=line)
        self._put(screen)

    def ask_person(self, wrong: str = "") -> None:
        """Ask who works here."""
        question = self._numbered(4, _("Who works at this kiosk?"))
        ask = AskWords(question, self._shop.settings.person, wrong, may_be_empty=True)
        use = partial(self._take_text, "person", self.ask_screen)
        self._pad(ask, use, self.ask_screen)

    def ask_screen(self) -> None:
        """Ask how large the screen is and from how far it is read."""
        inches, metres = self._first_sizes()

        def change(by: float, far: float) -> None:
            nonlocal inches, metres
            inches = step_along(DIAGONALS_IN, inches, by)
            metres = step_along(DISTANCES_M, metres, far)
            screen.tell(_say_screen(inches, metres))

        said = _say_screen(inches, metres)
        steps = (
            Step(
                _("Screen's diagonal"),
                said[0],
                lambda: change(-NEXT, 0),
                lambda: change(NEXT, 0),
                ((_("− 10"), lambda: change(-10, 0)), (_("+ 10"), lambda: change(10, 0))),
            ),
            Step(
                _("Read from"),
                said[1],
                lambda: change(0, -NEXT),
                lambda: change(0, NEXT),
                ((_("− 2"), lambda: change(0, -2)), (_("+ 2"), lambda: change(0, 2))),
            ),
        )
        choices = (
            Choice(_("Skip"), self.end),
            Choice(_("Use these"), lambda: self._keep_screen(inches, metres), "tick"),
        )
        title = self._numbered(5, _("How large is this screen?"))
        line = _("Letters and buttons are made large enough for it.")
        screen = StepsScreen(self._desk.trim, title, steps, choices, line=line)
        self._put(screen)

    def _first_sizes(self) -> tuple[float, float]:
        settings = self._shop.settings
        now = settings.screen_diagonal_in, settings.viewing_distance_m
        usual = tuple(_default(name) for name in ("screen_diagonal_in", "viewing_distance_m"))
        # the usual figures are a wall's; where they still stand, a bench begins with its own
        return BENCH if now == usual and self._desk.post.home == "bench" else now

    def _keep_screen(self, inches: float, metres: float) -> None:
        then = partial(self._store, "viewing_distance_m", metres, self.end)
        self._store("screen_diagonal_in", inches, then)

    def end(self) -> None:
        """Lead on to the first part list."""
        desk = self._desk
        choices = (
            Choice(_("Take in a part list"), self._part_list, "arrow"),
            Choice(_("To the bench"), desk.open_bench),
            Choice(_("Look at the shop's menu"), self._shop_menu),
        )
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
            self._put(AskScreen(desk.trim, title, choices, line=line, shape="question"))

        self._keep(name, value, then=kept)

    def _pad(self, ask: AskWords, use: Callable[[str], object], skip: Callable[[], object]) -> None:
        pad = WordPad(self._desk.trim, replace(ask, back=_("Skip")), use=use, back=skip)
        self._put(pad)

    def _put(self, screen: Any) -> None:
        """Show a question; people set a shop up beside other work, so it waits for them."""
        screen.stays = True
        self._desk.put(screen)

    @staticmethod
    def _numbered(number: int, words: str) -> str:
        return say("{n} of {count}: {question}", n=number, count=QUESTIONS, question=words)


def _slots(places: tuple[PlaceSetting, ...], at: int, by: int) -> tuple[PlaceSetting, ...]:
    slots = min(max(places[at].slots + by, 1), MOST_SLOTS)
    return (*places[:at], replace(places[at], slots=slots), *places[at + 1 :])


def _default(name: str) -> Any:
    return next(one.default for one in SETTINGS if one.name == name)


def _say_slots(place: PlaceSetting) -> str:
    return say_n("{n} slot", "{n} slots", place.slots)


def _say_screen(inches: float, metres: float) -> tuple[str, str]:
    return say("{n}\u00a0in", n=number(f"{inches:g}")), say("{n}\u00a0m", n=number(f"{metres:g}"))


def _tick(is_now: bool) -> str:
    return "tick" if is_now else ""
