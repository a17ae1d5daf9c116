"""Lead through the air: see it, type a reading, strike it, ask what another air would do."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime
from functools import partial

from kiosk.rules.air import Reading
from kiosk.rules.airwords import show_temperature
from kiosk.rules.floor import Floor
from kiosk.rules.words import _, say
from kiosk.screens.airscreen import AirActs, AirScreen
from kiosk.screens.airtyped import Typed, name_of, read_typed, wrong_with
from kiosk.screens.airview import AirView, see_air
from kiosk.screens.face import Choice, DeskFace, Problems, ShopFace
from kiosk.screens.figurepad import Ask, FigurePad
from kiosk.screens.flow import AskScreen, say_problems
from kiosk.screens.whatif import WhatIfScreen

LOST = _("The reading was not kept. Type it again.")
NOT_SEEN = _("The air could not be shown. Try again.")


class AirDesk:
    """The screens about the air."""

    def __init__(
        self,
        shop: ShopFace,
        desk: DeskFace,
        *,
        back: Callable[[], object],
        sensors: Callable[[], str],
    ) -> None:
        """Take `back`, which leads to the shop's screen, and `sensors`, how the feed stands."""
        self._shop, self._desk, self._back, self._sensors = shop, desk, back, sensors
        self._screen: AirScreen | None = None
        self._seen: tuple[AirView, str] | None = None
        self._said = ""
        self._kept_from: object = None

    # -- the air ---------------------------------------------------------------------------------

    def open(self, said: str = "") -> None:
        """Show the air of now, and a line about what was just recorded."""
        before = self._desk.show

        def then(view: AirView) -> None:
            if self._desk.show is before:
                self.show(view, said)

        self._desk.ask(lambda: see_air(self._shop), then, lost=NOT_SEEN)

    def refresh(self) -> None:
        """Show the air anew where it is on the screen and has changed."""
        screen = self._screen
        if screen is None or self._desk.show is not screen:
            return

        def then(view: AirView) -> None:
            if self._desk.show is screen and (view, self._sensors()) != self._seen:
                self.show(view, self._said)

        self._desk.ask(lambda: see_air(self._shop), then, lost=NOT_SEEN)

    def show(self, view: AirView, said: str = "") -> None:
        """Show an air."""
        self._seen, self._said = (view, self._sensors()), said
        acts = AirActs(
            self.ask_reading, self.ask_what_if, partial(self._ask_strike, view), self._back
        )
        self._screen = AirScreen(self._desk.trim, view, acts, said=said, sensors=self._sensors())
        self._desk.put(self._screen)

    def _ask_strike(self, view: AirView) -> None:
        at = view.strike_at
        if at is None:
            return
        choices = (
            Choice(_("Strike it"), partial(self._strike, at), "cross"),
            Choice(_("Back"), self.open),
        )
        line = _("The clocks then run by the readings that are left.")
        title = say("Strike {reading}?", reading=view.strike_words)
        self._desk.put(AskScreen(self._desk.trim, title, choices, line=line))

    def _strike(self, at: datetime) -> None:
        person = self._desk.post.person
        self._desk.ask(
            lambda: self._shop.strike_reading(at, person=person),
            self._desk.take_answer,
            lost=_("Nothing was struck. Try again."),
        )

    # -- a reading -------------------------------------------------------------------------------

    def ask_reading(self, typed: Typed | None = None) -> None:
        """Ask for a reading's figures, one pad after the other."""
        self._ask_warm(typed or Typed(), self._keep, back=self.open)

    def ask_what_if(self) -> None:
        """Ask for another air."""
        self._ask_warm(Typed(panel=None), self.suppose, back=self.open)

    def _ask_warm(
        self,
        typed: Typed,
        done: Callable[[Typed], object],
        *,
        back: Callable[[], object],
        wrong: str = "",
    ) -> None:
        unit = "°F" if self._shop.fahrenheit else "°C"

        def use(text: str) -> None:
            now = replace(typed, warm=text)
            words = wrong_with("warm", text, fahrenheit=self._shop.fahrenheit)
            if words:
                self._ask_warm(now, done, back=back, wrong=words)
            else:
                self._ask_damp(now, done, back=back)

        ask = Ask(_("How warm is the air?"), unit, typed.warm, wrong, is_signed=True)
        self._desk.put(FigurePad(self._desk.trim, ask, use=use, back=back))

    def _ask_damp(
        self,
        typed: Typed,
        done: Callable[[Typed], object],
        *,
        back: Callable[[], object],
        wrong: str = "",
    ) -> None:
        def use(text: str) -> None:
            now = replace(typed, damp=text)
            words = wrong_with("damp", text, fahrenheit=self._shop.fahrenheit)
            if words:
                self._ask_damp(now, done, back=back, wrong=words)
            elif now.panel is None:
                done(now)
            else:
                self._ask_panel(now, done, back=back)

        ask = Ask(_("How damp is it? Relative humidity"), "%", typed.damp, wrong)
        before = partial(self._ask_warm, typed, done, back=back)
        self._desk.put(FigurePad(self._desk.trim, ask, use=use, back=before))

    def _ask_panel(
        self,
        typed: Typed,
        done: Callable[[Typed], object],
        *,
        back: Callable[[], object],
        wrong: str = "",
    ) -> None:
        unit = "°F" if self._shop.fahrenheit else "°C"

        def use(text: str) -> None:
            now = replace(typed, panel=text)
            words = wrong_with("panel", text, fahrenheit=self._shop.fahrenheit)
            if words:
                self._ask_panel(now, done, back=back, wrong=words)
            else:
                done(now)

        skip = Choice(_("Not measured"), lambda: done(replace(typed, panel="")))
        ask = Ask(
            _("How warm is the panel itself, if measured?"),
            unit,
            typed.panel or "",
            wrong,
            is_signed=True,
        )
        before = partial(self._ask_damp, typed, done, back=back)
        self._desk.put(FigurePad(self._desk.trim, ask, use=use, back=before, extra=(skip,)))

    def _keep(self, typed: Typed) -> None:
        warm, damp, panel = read_typed(typed, fahrenheit=self._shop.fahrenheit)
        if warm is None or damp is None:
            self.ask_reading(typed)
            return
        shop, person, before = self._shop, self._desk.post.person, self._desk.show
        if self._kept_from is before:  # a second tap while the first is still being kept
            return
        self._kept_from = before

        def call() -> Problems:
            return shop.take_reading(Reading(shop.now(), warm, damp, panel), person=person)

        said = say(
            "Recorded: {temperature} and {humidity:g} %",
            temperature=show_temperature(warm, fahrenheit=shop.fahrenheit),
            humidity=damp,
        )

        def then(problems: Problems) -> None:
            self._desk.told(good=not problems)
            if problems:
                self._ask_again(typed, problems)
            elif self._desk.show is before:
                self.open(said)

        self._desk.ask(call, then, lost=LOST)

    def _ask_again(self, typed: Typed, problems: Problems) -> None:
        """Ask for the figure the first problem is about, with what was typed and what is wrong."""
        words, back = say_problems(problems), self.open
        match name_of(problems[0]):
            case "damp":
                self._ask_damp(typed, self._keep, back=back, wrong=words)
            case "panel":
                self._ask_panel(typed, self._keep, back=back, wrong=words)
            case _:
                self._ask_warm(typed, self._keep, back=back, wrong=words)

    # -- what if ---------------------------------------------------------------------------------

    def suppose(self, typed: Typed) -> None:
        """Show the board as it would be in the air typed; nothing is recorded."""
        warm, damp, _panel = read_typed(typed, fahrenheit=self._shop.fahrenheit)
        if warm is None or damp is None:
            self.ask_what_if()
            return
        shop, before = self._shop, self._desk.show

        def call() -> tuple[Floor, str]:
            now = shop.now()
            other, words = shop.supposing(warm, damp, now)
            return other.floor(now), words

        def then(found: tuple[Floor, str]) -> None:
            floor, words = found
            if self._desk.show is before:
                self._desk.put(WhatIfScreen(self._desk.trim, floor, words, back=self.open))

        self._desk.ask(call, then, lost=_("What would be could not be worked out. Try again."))
