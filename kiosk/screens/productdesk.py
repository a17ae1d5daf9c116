"""Lead through the products: list, figures, what the label says, what was found."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from kiosk.rules.learning import Proposal
from kiosk.rules.permission import Act, Permit
from kiosk.rules.stages import MAX_MINUTES, STAGES
from kiosk.rules.words import _, capital, join, say
from kiosk.screens.answer import keep_units
from kiosk.screens.face import Choice, DeskFace, Problems, ShopFace
from kiosk.screens.figurepad import Ask, FigurePad
from kiosk.screens.flow import AskScreen, say_problems
from kiosk.screens.productscreens import ProductActs, ProductScreen, ProductsScreen
from kiosk.screens.productview import (
    ProductLine,
    ProductView,
    see_product,
    see_products,
)

UNITS = {"min": 1, "h": 60, "d": 24 * 60}
_LONG = {"min": _("in minutes"), "h": _("in hours"), "d": _("in days")}
NOT_SEEN = _("The products could not be shown. Try again.")
NOT_KEPT = _("Nothing was changed. Try again.")


class ProductDesk:
    """The screens about products."""

    def __init__(self, shop: ShopFace, desk: DeskFace, *, back: Callable[[], object]) -> None:
        """Take `back`, which leads to the shop's screen."""
        self._shop, self._desk, self._back = shop, desk, back
        self._page = 0

    # -- list and product ------------------------------------------------------------------------

    def open(self) -> None:
        """Show the products, at the page that was shown last."""
        before = self._desk.show

        def then(lines: tuple[ProductLine, ...]) -> None:
            if self._desk.show is before:
                self._list(lines, self._page)

        self._desk.ask(lambda: see_products(self._shop), then, lost=NOT_SEEN)

    def open_first_page(self) -> None:
        """Show the products from the first page on."""
        self._page = 0
        self.open()

    def _list(self, lines: tuple[ProductLine, ...], page: int) -> None:
        self._page = page
        self._desk.put(
            ProductsScreen(
                self._desk.trim,
                lines,
                page=page,
                pick=self.open_product,
                turn=partial(self._list, lines),
                back=self._back,
            )
        )

    def open_product(self, key: str, page: int = 0) -> None:
        """Show a product's figures."""
        before = self._desk.show

        def then(view: ProductView | None) -> None:
            if self._desk.show is not before:
                return
            if view is None:
                self.open()
            else:
                self.show(view, page)

        self._desk.ask(lambda: see_product(self._shop, key), then, lost=NOT_SEEN)

    def show(self, view: ProductView, page: int) -> None:
        """Show a page of a product's figures."""
        acts = ProductActs(
            lambda stage: self.ask_figure(view, page, stage=stage),
            lambda: self.ask_confirm(view, page),
            lambda: self._ask_accept(view, page),
            lambda other: self.show(view, other),
            self.open,
        )
        self._desk.put(ProductScreen(self._desk.trim, view, page=page, acts=acts))

    # -- what the label says ---------------------------------------------------------------------

    def ask_confirm(self, view: ProductView, page: int) -> None:
        """Ask whether all figures are as on the label."""
        key, person = view.key, self._desk.post.person
        left = [line for line in view.stages if line.typical]
        said = join((join((line.words, line.time)) for line in left), ", ")

        def call(permit: Permit | None) -> Problems:
            return self._shop.confirm_product(key, person=person, permit=permit)

        yes = partial(self._change, call, view, page=page)
        choices = (
            Choice(_("Yes, as on the label"), yes, "tick"),
            Choice(_("Back"), lambda: self.show(view, page)),
        )
        title = say("{title}: are all figures as on the label?", title=view.title)
        self._desk.put(AskScreen(self._desk.trim, title, choices, line=keep_units(said)))

    def ask_figure(
        self,
        view: ProductView,
        page: int,
        *,
        stage: str,
        unit: str = "",
        typed: str = "",
        wrong: str = "",
    ) -> None:
        """Ask for one figure as the label has it, in min, h or d; by itself in the unit it has."""
        minutes = next(line.time for line in view.stages if line.stage == stage)
        unit = unit or minutes.split(" ")[-1]
        asked = say(
            "{stage}: {units}, from the label (now {time})",
            stage=STAGES[stage].words,
            units=_LONG[unit],
            time=minutes,
        )

        def turn(other: str) -> None:
            self.ask_figure(view, page, stage=stage, unit=other, typed=pad.typed)

        pad = FigurePad(
            self._desk.trim,
            Ask(capital(asked), unit, typed, wrong),
            use=lambda text: self._set_figure(view, page, stage=stage, unit=unit, text=text),
            back=lambda: self.show(view, page),
            extra=[
                Choice(capital(_LONG[other]), partial(turn, other))
                for other in UNITS
                if other != unit
            ],
        )
        self._desk.put(pad)

    def _set_figure(
        self, view: ProductView, page: int, *, stage: str, unit: str, text: str
    ) -> None:
        minutes, wrong = read_minutes(text, unit)
        if wrong:
            self.ask_figure(view, page, stage=stage, unit=unit, typed=text, wrong=wrong)
            return
        key, person = view.key, self._desk.post.person

        def then_wrong(problems: Problems) -> None:
            words = say_problems(problems)
            self.ask_figure(view, page, stage=stage, unit=unit, typed=text, wrong=words)

        def call(permit: Permit | None) -> Problems:
            return self._shop.set_figure(key, stage, minutes, person=person, permit=permit)

        self._change(call, view, page=page, then_wrong=then_wrong)

    # -- what was found --------------------------------------------------------------------------

    def _ask_accept(self, view: ProductView, page: int) -> None:
        rows = [one for one in view.proposals if one.factor is not None]
        if len(rows) == 1:
            self._ask_sure(view, page, rows[0])
            return
        choices = [
            Choice(
                say("{times}: {stage}", times=_times(one), stage=STAGES[one.stage].words),
                partial(self._ask_sure, view, page, one),
            )
            for one in rows[:5]
        ]
        choices.append(Choice(_("Back"), lambda: self.show(view, page)))
        title = _("By which findings?")
        self._desk.put(AskScreen(self._desk.trim, title, choices, line=view.title))

    def _ask_sure(self, view: ProductView, page: int, one: Proposal) -> None:
        key, factor, person = view.key, round(one.factor or 1.0, 2), self._desk.post.person

        def call(permit: Permit | None) -> Problems:
            return self._shop.accept_factor(key, one.stage, factor, person=person, permit=permit)

        yes = partial(self._change, call, view, page=page)
        choices = (
            Choice(_("Yes, from now on"), yes, "tick"),
            Choice(_("Back"), lambda: self.show(view, page)),
        )
        title = say(
            "Let {title} take {times} the label's time?", title=view.title, times=_times(one)
        )
        self._desk.put(AskScreen(self._desk.trim, title, choices, line=one.words))

    def _change(
        self,
        call: Callable[[Permit | None], Problems],
        view: ProductView,
        *,
        page: int,
        then_wrong: Callable[[Problems], object] | None = None,
    ) -> None:
        """Do what was asked for where it is allowed, then show the product, or what is wrong."""
        go = partial(self._go, call, view, page, then_wrong)
        self._desk.guard(Act.PRODUCTS, go)

    def _go(
        self,
        call: Callable[[Permit | None], Problems],
        view: ProductView,
        page: int,
        then_wrong: Callable[[Problems], object] | None,
        permit: Permit | None,
    ) -> None:
        before = self._desk.show

        def then(problems: Problems) -> None:
            self._desk.told(good=not problems)
            if not problems:
                if self._desk.show is before:
                    self.open_product(view.key, page)
            elif then_wrong is not None:
                then_wrong(problems)
            else:
                choices = (Choice(_("Back"), lambda: self.show(view, page)),)
                title, line = _("Nothing was changed"), say_problems(problems)
                self._desk.put(AskScreen(self._desk.trim, title, choices, line=line))

        self._desk.ask(partial(call, permit), then, lost=NOT_KEPT)


def read_minutes(text: str, unit: str) -> tuple[float, str]:
    """Return typed digits as minutes, and what is wrong with them in words."""
    try:
        minutes = float(text) * UNITS[unit]
    except ValueError:
        return 0.0, _("Type the time the label gives, such as 45 or 1.5.")
    if not 0 < minutes <= MAX_MINUTES:
        days = MAX_MINUTES // UNITS["d"]
        return 0.0, say(
            "{text} {unit} is no time of a label. Type more than 0 and up to {days} d.",
            text=text,
            unit=unit,
            days=days,
        )
    return minutes, ""


def _times(one: Proposal) -> str:
    return say("{value:.2g} times", value=one.factor or 1.0)
