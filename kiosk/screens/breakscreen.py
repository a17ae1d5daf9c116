"""Breaking down: how far the search is with each material, and the ways to end it."""

from __future__ import annotations

from collections.abc import Callable

from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

from kiosk.rules.cards import BACK
from kiosk.rules.lengths import System
from kiosk.rules.sheets.views import MaterialSearch, SearchView
from kiosk.rules.words import Phrase, _, join, say, say_n
from kiosk.screens.face import Choice, Trim
from kiosk.screens.header import headline, quiet_line
from kiosk.screens.sheetwords import say_material
from kiosk.theme import INK, QUIET, WHITE, rgba
from kiosk.widgets.fitting import FitLabel
from kiosk.widgets.marks import Mark
from kiosk.widgets.panels import BigButton, Panel

ROWS = 4  # materials that have a row of their own; a job seldom has more
WORKS_ON = _("Scans are recorded meanwhile. It ends by itself.")


class BreakScreen(BoxLayout):
    """A row for each material with its best so far, a bar, the seconds, Stop and Cancel.

    `show` changes what stands there: a new screen at each news would swallow a tap.
    """

    stays = True

    def __init__(
        self,
        trim: Trim,
        view: SearchView,
        *,
        system: System,
        stop: Callable[[], object],
        cancel: Callable[[], object],
    ) -> None:
        sizes = trim.sizes
        super().__init__(orientation="vertical", padding=[sizes.gap * 2] * 4, spacing=sizes.gap)
        self._trim, self._system = trim, system
        self.view = view
        head = headline(trim, say("Breaking down {job}", job=view.job))
        head.most = round(sizes.body * 1.3)
        head.size_hint_y, head.height = None, round(sizes.body * 1.6)
        self.add_widget(head)
        self._rows = BoxLayout(orientation="vertical", spacing=sizes.gap)
        self.add_widget(self._rows)
        self.bar = Panel(fill=INK, rest=WHITE, line=sizes.outline, share=0.0)
        self.bar.size_hint_y, self.bar.height = None, round(sizes.body * 0.8)
        self.add_widget(self.bar)
        self.told = quiet_line(trim, "")
        self.told.size_hint_y, self.told.height = None, round(sizes.small * 1.3)
        self.add_widget(self.told)
        self.add_widget(self._foot(stop, cancel))
        self.asked = (Choice("", stop), Choice("", cancel, card=BACK))
        self.show(view)

    def _foot(self, stop: Callable[[], object], cancel: Callable[[], object]) -> Widget:
        sizes = self._trim.sizes
        foot = BoxLayout(size_hint_y=None, height=round(sizes.touch * 1.3), spacing=sizes.apart)
        self.stop = BigButton(_("Stop, take this"), stop, sizes=sizes, shape="tick")
        self.cancel = BigButton(_("Cancel"), cancel, sizes=sizes, shape="cross")
        pair = [self.cancel, self.stop]
        for button in reversed(pair) if self._trim.left_handed else pair:
            foot.add_widget(button)
        return foot

    def tell(self, words: str) -> None:
        """Say something below the bar."""
        self.told.text = words

    def show(self, view: SearchView) -> None:
        """Show how far the search is."""
        self.view = view
        self._rows.clear_widgets()
        for one in view.materials[:ROWS]:
            self._rows.add_widget(self._row(one))
        for _row in range(ROWS - len(view.materials)):
            self._rows.add_widget(Widget())
        self.bar.share = view.share
        more = len(view.materials) - ROWS
        others = say_n("{n} more material", "{n} more materials", more) if more > 0 else ""
        self.told.text = join((say_seconds(view), others, WORKS_ON), ". ")

    def _row(self, one: MaterialSearch) -> Widget:
        sizes = self._trim.sizes
        row = Panel(fill=WHITE, line=max(1, sizes.outline // 2), spacing=sizes.gap)
        row.padding = [sizes.gap, sizes.gap * 0.4]
        shape = "tick" if one.is_done else "clock"
        turn = round(self.view.seconds) % 60 / 60
        row.add_widget(Mark(shape=shape, share=turn, size_hint_x=None, width=sizes.body))
        name = FitLabel(ladder=sizes.ladder, text=say_material(one.material, self._system))
        name.bold, name.most, name.size_hint_x = True, round(sizes.small * 1.2), 0.9
        row.add_widget(name)
        best = FitLabel(ladder=sizes.ladder, text=say_best(one), most=round(sizes.small * 1.2))
        row.add_widget(best)
        settings = FitLabel(ladder=sizes.ladder, text=say_settings(one), color=rgba(QUIET))
        settings.most, settings.size_hint_x, settings.halign = sizes.small, 0.5, "right"
        row.add_widget(settings)
        return row


def say_seconds(view: SearchView) -> Phrase:
    """Return how much of the search is done, and for how long it has gone on."""
    seconds = round(view.seconds)
    return say_n(
        "{share} % done, for {n} second",
        "{share} % done, for {n} seconds",
        seconds,
        share=round(view.share * 100),
    )


def say_best(one: MaterialSearch) -> Phrase:
    """Return the best there is so far of a material."""
    if not (one.sheets or one.offcuts):
        return say_n("{n} part, nothing yet", "{n} parts, nothing yet", one.parts)
    sheets = say_n("{n} sheet", "{n} sheets", one.sheets)
    best = say("{sheets}, at least {bound}", sheets=sheets, bound=one.bound)
    if one.offcuts:
        used = say_n("{n} offcut", "{n} offcuts", one.offcuts)
        best = say("{best}, and {offcuts}", best=best, offcuts=used)
    if one.left_out:
        without = say_n("{n} part without a place", "{n} parts without a place", one.left_out)
        best = join((best, without), "; ")
    return best


def say_settings(one: MaterialSearch) -> str:
    """Return how often the fence is set in the best so far, nothing before there is any."""
    if not one.settings:
        return ""
    return say_n("{n} setting", "{n} settings", one.settings)
