"""Lead through the shop's own matters: its air, its products, a unit's clocks, oily rags."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import cast

from PIL import Image

from kiosk.rules.cards import BACK, YES
from kiosk.rules.cautions import RAGS_DONE
from kiosk.rules.scanning import Answer
from kiosk.rules.words import _, join, say, say_n
from kiosk.screens.airdesk import AirDesk
from kiosk.screens.askdesk import AskDesk
from kiosk.screens.buydesk import BuyDesk, BuyFace
from kiosk.screens.clockscreen import ClockPicture, ClockScreen, picture_size
from kiosk.screens.clockview import ClockView, see_clocks, see_picture
from kiosk.screens.dayface import DayFace
from kiosk.screens.dayplandesk import DayPlanDesk
from kiosk.screens.exchangedesk import ExchangeDesk
from kiosk.screens.exchangefeed import ExchangeFeed
from kiosk.screens.face import Choice, DeskFace, ShopFace, Signs
from kiosk.screens.finddesk import FindDesk
from kiosk.screens.firstrunsample import leave_sample
from kiosk.screens.flow import AskScreen
from kiosk.screens.hangdesks import HangDesks
from kiosk.screens.jobdesk import JobDesk, JobWays
from kiosk.screens.labeldesk import LabelDesk
from kiosk.screens.prints import Prints
from kiosk.screens.productdesk import ProductDesk
from kiosk.screens.rows import WideMenu
from kiosk.screens.rulerdesk import RulerDesk
from kiosk.screens.settingsmenu import Upkeep
from kiosk.screens.sheetface import SheetFace
from kiosk.screens.sheetsdesk import SheetsDesk, SheetsWays
from kiosk.screens.stockdesk import StockDesk
from kiosk.screens.takedesk import TakeDesk, TakeWays
from kiosk.screens.unitdesk import UnitDesk

NOT_SEEN = _("The clocks could not be shown. Try again.")


class ShopDesk:
    """The screen behind the button Shop, and what it leads to."""

    def __init__(
        self,
        shop: ShopFace,
        desk: DeskFace,
        *,
        prints: Prints,
        exchange: ExchangeFeed,
        sensors: Callable[[], str] = lambda: "",
    ) -> None:
        """Take `sensors`, which says how the air's sensors stand, nothing where there are none."""
        self._shop, self._desk = shop, desk
        self.air = AirDesk(shop, desk, back=self.open, sensors=sensors)
        self.asks = AskDesk(shop, desk)
        self.products = ProductDesk(shop, desk, back=self.open)
        self.more: tuple[Choice, ...] = ()  # what the desk itself leads to from here
        self.labels = LabelDesk(shop, desk, prints, back=self.open)
        self.units = UnitDesk(shop, desk, self.labels, clock=self.open_clock_of)
        self.find = FindDesk(shop, desk, self.units, self.labels, back=self.open)
        face = cast("SheetFace", shop)
        self.stock = StockDesk(shop, face, desk, press=self.labels.press, prints=prints)
        self.buys = BuyDesk(cast("BuyFace", shop), desk)
        ways_of_sheets = SheetsWays(
            lambda line, back: self.labels.ask_again(line, back=back),
            self.stock.open,
            buying=self.buys.open,
        )
        self.sheets = SheetsDesk(
            shop, face, desk, press=self.labels.press, prints=prints, ways=ways_of_sheets
        )
        self.labels.sheets = self.sheets.open_job
        self.hanging = HangDesks(shop, desk)
        after = TakeWays(lambda job: self.jobs.open_job(job), self.labels.open_of)
        self.takes = TakeDesk(shop, desk, after, back=self.open)
        self.upkeep = Upkeep(shop, desk, back=self.open, part_list=self.takes.open)
        ways = JobWays(
            lambda job, back: self.units.open(back, job),
            self.labels.open_of,
            self.takes.open,
            self.takes.revise,
            self.sheets.open_job,
            self.hanging.walls.open,
            self.hanging.wall.open_job,
        )
        self.jobs = JobDesk(shop, desk, ways, back=self.open)
        self.ruler = RulerDesk(shop, desk, back=self.open)
        self.exchange = ExchangeDesk(shop, desk, exchange, back=self.open)
        self.day = DayPlanDesk(
            shop,
            cast("DayFace", shop),
            desk,
            unit=self.units.open_unit,
            hang_day=self.jobs.open_day,
            back=self.open,
        )

    def open(self, page: int = 0) -> None:
        """Show what there is of the shop, a page at a time: the day's work first."""
        signs, answer = self._desk.signs, self._desk.answer
        air = _("Air") if signs.air_read else _("Air: none read yet")
        mark = "dot" if signs.unconfirmed else ""
        choices = [
            Choice(_("The day"), partial(self.day.open, self.open)),
            Choice(_("Jobs"), self.jobs.open),
            Choice(_("Take in a list"), self.takes.open),
            Choice(_("Units"), partial(self.units.open, self.open)),
            Choice(_("Find a part"), self.find.open),
            Choice(_("Labels"), self.labels.open),
            Choice(_("Stock"), partial(self.stock.open, self.open)),
            Choice(air, self.air.open, "" if signs.air_read else "dot"),
            Choice(_("Products"), self.products.open_first_page, mark),
        ]
        # at the saw it is what one comes for
        at = 0 if self._desk.post.station == "cut" else 2
        choices.insert(at, Choice(_("Sheets"), partial(self.sheets.open, self.open)))
        at = 0 if self._desk.post.station == "install" else 3
        choices.insert(at, Choice(_("Hang"), partial(self.hanging.wall.open, self.open)))
        if answer is not None and answer.unit:
            clock = say("Clock of {unit}", unit=answer.unit)
            choices.append(Choice(clock, partial(self.open_clock, answer)))
        if signs.rags is not None:
            choices.append(Choice(_("Oily rags"), self.open_rags))
        if signs.questions:
            choices.append(Choice(_("Questions"), partial(self.asks.open, self.open), "question"))
        choices += self.more  # of every day; what follows is set up once
        choices.append(Choice(_("Screen"), self.ruler.open))
        choices.append(Choice(_("Exchange"), self.exchange.open))
        choices.append(Choice(_("The shop itself"), self.upkeep.open))
        if self._desk.post.is_sample:
            choices.insert(0, Choice(_("Leave the sample shop"), leave_sample))
        screen = WideMenu(
            self._desk.trim,
            _("Shop"),
            choices,
            back=self._desk.open_bench,
            turn=self.open,
            page=page,
            line=say_typical(signs),
        )
        self._desk.put(screen)

    def refresh(self) -> None:
        """Show the air, the day, a sheet or a wall anew where it is on the screen."""
        self.air.refresh()
        self.day.refresh()
        self.sheets.refresh()
        self.hanging.wall.refresh()

    # -- a unit's clocks -------------------------------------------------------------------------

    def open_clock(self, answer: Answer) -> None:
        """Show the clocks of the unit an answer is about."""
        text = f"{answer.job}/{answer.unit}" if answer.job else answer.unit
        name = join((answer.unit, answer.unit_name))
        self.open_clock_of(text, name, self.open)

    def open_clock_of(self, text: str, name: str, back: Callable[[], object]) -> None:
        """Show the clocks of the unit a text means; back leads to where it was asked."""
        before = self._desk.show

        def then(found: ClockView | Answer) -> None:
            if self._desk.show is not before:
                return
            if isinstance(found, Answer):
                self._desk.take_answer(found)
            else:
                self._show_clock(found, text, back)

        self._desk.ask(lambda: see_clocks(self._shop, text, name), then, lost=NOT_SEEN)

    def _show_clock(self, view: ClockView, text: str, back: Callable[[], object]) -> None:
        desk = self._desk
        picture = partial(self._open_picture, view, text, back)
        desk.put(ClockScreen(desk.trim, view, picture=picture, back=back))

    def _open_picture(self, view: ClockView, text: str, home: Callable[[], object]) -> None:
        desk, before = self._desk, self._desk.show
        size = picture_size(desk.trim)

        def then(image: Image.Image | None) -> None:
            if desk.show is before:
                back = partial(self._show_clock, view, text, home)
                desk.put(ClockPicture(desk.trim, image, back=back))

        desk.ask(lambda: see_picture(self._shop, text, size), then, lost=NOT_SEEN)

    # -- oily rags -------------------------------------------------------------------------------

    def open_rags(self) -> None:
        """Ask whether the oily rags are dealt with."""
        rags, person = self._desk.signs.rags, self._desk.post.person
        if rags is None:
            self._desk.open_bench()
            return

        def yes() -> None:
            self._desk.ask(
                lambda: self._shop.clear_rags(person=person),
                self._desk.take_answer,
                lost=_("The rags were not ticked off. Try again."),
            )

        choices = (
            Choice(_("They are out"), yes, "tick", YES),
            Choice(_("Back"), self._desk.open_bench, card=BACK),
        )
        since = self._desk.signs.since
        title = say("Oily rags since {time}: {product}", time=since, product=rags.product)
        self._desk.put(AskScreen(self._desk.trim, title, choices, line=RAGS_DONE))


def say_typical(signs: Signs) -> str:
    """Return how many products in use have figures nobody read off a label, nothing for none."""
    count = len(signs.unconfirmed)
    if not count:
        return ""
    return say_n(
        "Figures of {n} product are typical, not from the label",
        "Figures of {n} products are typical, not from the label",
        count,
    )
