"""Lead through the settings: the list, one setting, what was kept, and the way back."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial
from typing import Any

from kiosk import language
from kiosk.config import SETTINGS, Setting, Settings, running
from kiosk.rules.words import _, known, say
from kiosk.screens.face import Choice, DeskFace, Problems, ShopFace
from kiosk.screens.flow import AskScreen, say_problems
from kiosk.screens.printerdesk import PRINTERS, PrinterDesk
from kiosk.screens.rows import Listed, ListScreen, Row
from kiosk.screens.settingsask import AskActs, Options, ask_setting
from kiosk.screens.settingswords import value_words
from kiosk.settingkinds import Places

NOT_SEEN = _("The settings could not be shown. Try again.")
NOT_KEPT = _("Nothing was changed. Try again.")
AT_ONCE = _("It counts from now on.")
AFTER_RESTART = _(
    "It counts from the next start: end the kiosk with Ctrl+Shift+Q and open it again."
)
OFFER_RESTART = _(
    "It counts from the next start. A restart takes a few seconds; what was recorded is safe, "
    "and prints that wait go on."
)
_ROLES = {"glue": "glue", "filler": "filler", "wall_paint": "coat", "stripe": "coat"}
_NAMED = (*_ROLES, "label_stock")  # what names a product or a stock of the shop
Kept = tuple[Settings, tuple[str, ...]]
Titles = Mapping[str, Mapping[Any, str]]  # what a value is called, by the name of its setting


class SettingsDesk:
    """The screens about settings; `keep` is what every screen keeps a setting through."""

    def __init__(
        self,
        shop: ShopFace,
        desk: DeskFace,
        *,
        back: Callable[[], object],
        places: Callable[[], object],
    ) -> None:
        """Take `back`, which leads to the shop's upkeep, and `places`, which shows the places."""
        self._shop, self._desk, self._back, self._places = shop, desk, back, places
        self._page = 0
        self._titles: Titles = {}
        self.printers = PrinterDesk(shop, desk)

    # -- the list --------------------------------------------------------------------------------

    def open_first_page(self) -> None:
        """Show the settings from the first page on."""
        self._page = 0
        self.open()

    def open(self) -> None:
        """Show the settings as they stand in their file, at the page that was shown last."""

        def then(found: tuple[Kept, Titles]) -> None:
            kept, self._titles = found
            self._list(kept)

        self._ask(lambda: (self._shop.kept_settings(), see_titles(self._shop)), then)

    def _list(self, found: Kept, page: int | None = None) -> None:
        self._page = self._page if page is None else page
        kept, wrong = found
        rows = [self._row(setting, kept) for setting in SETTINGS]
        line = wrong[0] if wrong else _("Kept in settings.toml beside the shop's file.")
        shown = Listed(_("Settings"), rows, line)
        turn = partial(self._list, found)
        self._desk.put(
            ListScreen(self._desk.trim, shown, turn=turn, back=self._back, page=self._page)
        )

    def _row(self, setting: Setting, kept: Settings) -> Row:
        value = getattr(kept, setting.name)
        is_list = isinstance(setting.check, Places)
        act = self._places if is_list else partial(self.edit, setting, value)
        return Row(setting.words, setting.sentence, act, value=self._words(setting, value))

    def _words(self, setting: Setting, value: Any) -> str:  # Any: a TOML value
        """Return a value in words: what the shop named itself goes by its title."""
        return self._titles.get(setting.name, {}).get(value) or value_words(setting, value)

    # -- one setting -----------------------------------------------------------------------------

    def edit(self, setting: Setting, now: Any) -> None:  # Any: a TOML value
        """Ask for a setting, in the way its kind needs."""
        keep = partial(self._keep_asked, setting, now)
        acts = AskActs(keep, self.open, self._desk.put)
        if setting.name in PRINTERS:
            self.printers.open(setting, now, acts)
            return
        if setting.name not in _NAMED:
            ask_setting(self._desk.trim, setting, now, acts)
            return

        def then(options: Options) -> None:
            ask_setting(self._desk.trim, setting, now, acts, options=options)

        self._ask(lambda: see_options(self._shop, setting.name), then)

    def _keep_asked(self, setting: Setting, before: Any, value: Any) -> None:
        self.keep(setting.name, value, then=partial(self._told, setting, before, value))

    def _told(self, setting: Setting, before: Any, value: Any, problems: Problems) -> None:
        desk = self._desk
        again = Choice(_("More settings"), self.open)
        if problems:
            retry = Choice(_("Change it again"), partial(self.edit, setting, before))
            line = say_problems(problems)
            title = _("Nothing was changed")
            desk.put(AskScreen(desk.trim, title, (retry, again), line=line, shape="question"))
            return
        choices = [again]
        if before != value:
            words = say("Back to {value}", value=self._words(setting, before))
            choices.append(Choice(words, partial(self._keep_asked, setting, value, before)))
        choices.append(Choice(_("To the bench"), desk.open_bench))
        said = {"name": setting.words, "value": self._words(setting, value)}
        title = say("{name}: {value}", **said)
        line = AT_ONCE
        if setting.restarts and before != value:
            line = AFTER_RESTART
            if desk.restart is not None:
                line = OFFER_RESTART
                choices.append(Choice(_("Restart the kiosk now"), desk.restart, "arrow"))
        desk.put(AskScreen(desk.trim, title, choices, line=line, shape="tick"))

    # -- keeping ---------------------------------------------------------------------------------

    def keep(self, name: str, value: Any, *, then: Callable[[Problems], object]) -> None:
        """Keep one setting and work by it; `then` is told what was wrong, nothing if kept."""
        before = self._desk.show

        def kept(found: tuple[Settings, Problems]) -> None:
            settings, problems = found
            is_here = self._desk.show is before
            if not problems:
                self._apply(name, settings)
            self._desk.told(good=not problems)
            if is_here:
                then(problems)

        self._desk.ask(lambda: self._shop.keep_setting(name, value), kept, lost=NOT_KEPT)

    def _apply(self, name: str, settings: Settings) -> None:
        """Work by what was kept: every screen is laid out anew, in the language set."""
        desk = self._desk
        self._shop.adopt(running(settings, self._shop.settings))
        if name == "language":
            language.use(settings.language)
        if name == "person":
            desk.show_who_works_here()
        if name == "station":
            desk.set_station(settings.station)
        desk.refit()

    def _ask(self, call: Callable[[], Any], then: Callable[[Any], None]) -> None:
        """Ask the shop, and go on where the screen is still the same."""
        self._desk.ask_here(call, then, lost=NOT_SEEN)


def see_titles(shop: ShopFace) -> Titles:
    """Return what the values of all such settings are called; on the shop's thread."""
    return {name: dict(see_options(shop, name)) for name in _NAMED}


def see_options(shop: ShopFace, name: str) -> Options:
    """Return what a setting may name of the shop: products, or label stocks; on its thread."""
    if name == "label_stock":
        return tuple((key, known(stock.title, "stock")) for key, stock in shop.stocks().items())
    role = _ROLES[name]
    return tuple((one.key, one.title) for one in shop.products() if one.role == role)
