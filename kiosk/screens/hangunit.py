"""One unit of a measured wall: what it may carry or why there is no number, and the ways on."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from kivy.uix.boxlayout import BoxLayout
from kivy.uix.gridlayout import GridLayout
from kivy.uix.widget import Widget

from kiosk.rules.cards import NUMBERS
from kiosk.rules.hanging.hangviews import Checked, UnitHanging
from kiosk.rules.hanging.pounds import say_better, say_expected
from kiosk.rules.lengths import System
from kiosk.rules.weights import say_gross, say_weight
from kiosk.rules.words import _, capital, join, say, say_n
from kiosk.screens.answer import keep_units
from kiosk.screens.choices import add_number, goes_back
from kiosk.screens.face import Choice, Trim
from kiosk.screens.hangwords import Verdict
from kiosk.screens.header import headline
from kiosk.theme import INK, OUTCOMES, QUIET, WHITE, rgba
from kiosk.widgets.fitting import FitLabel
from kiosk.widgets.marks import Mark
from kiosk.widgets.panels import BigButton, Panel

MOST_REASONS = 2  # that are read below the verdict; all are on a page of their own
COLUMNS = 4


@dataclass(frozen=True, slots=True)
class UnitLine:
    """One line below the verdict: a mark, bold words, and quiet ones after them."""

    shape: str
    words: str
    more: str = ""


class HangUnitScreen(BoxLayout):
    """The verdict as a band to be read from two metres, a few lines below it, large buttons."""

    stays = True

    def __init__(
        self,
        trim: Trim,
        title: str,
        verdict: Verdict,
        lines: Sequence[UnitLine],
        choices: Sequence[Choice],
    ) -> None:
        sizes = trim.sizes
        super().__init__(orientation="vertical", padding=[sizes.gap] * 4, spacing=sizes.gap)
        head = headline(trim, keep_units(title))
        head.size_hint_y, head.height = None, round(sizes.body * 1.1)
        self.add_widget(head)
        self.verdict = _band(trim, verdict)
        self.add_widget(self.verdict)
        box = BoxLayout(orientation="vertical", spacing=sizes.gap * 0.4, size_hint_y=1.4)
        for line in lines:
            box.add_widget(_line(trim, line))
        if not lines:
            box.add_widget(Widget())
        self.add_widget(box)
        self.asked = tuple(choices)
        rows = -(-len(choices) // COLUMNS)
        height = rows * sizes.touch + (rows - 1) * sizes.gap
        grid = GridLayout(cols=COLUMNS, size_hint_y=None, height=height, spacing=sizes.gap)
        numbers = iter(NUMBERS)
        for one in choices:
            button = BigButton(one.words, one.act, sizes=sizes, shape=one.shape)
            button.label.most = round(sizes.small * 1.25)
            if not goes_back(one) and (number := next(numbers, "")):
                add_number(button, number, trim)
            grid.add_widget(button)
        self.add_widget(grid)

    def tell(self, words: str) -> None:
        """Say something below the verdict."""
        self.verdict.below.text = words


class _Band(Panel):
    below: FitLabel


def _band(trim: Trim, verdict: Verdict) -> _Band:
    sizes = trim.sizes
    is_good = verdict.shape == "tick"
    look = OUTCOMES["recorded" if is_good else "on_hold" if verdict.shape != "dot" else "already"]
    band = _Band(
        fill=look.fill,
        line=sizes.outline,
        padding=[sizes.gap * 2, sizes.gap * 0.6],
        spacing=sizes.gap * 1.5,
    )
    mark = Mark(shape=verdict.shape, tint=look.text, size_hint_x=None, width=sizes.answer * 1.1)
    band.add_widget(mark)
    words = BoxLayout(orientation="vertical")
    big = FitLabel(ladder=sizes.ladder, text=keep_units(verdict.words), bold=True)
    big.most, big.color = sizes.answer, rgba(look.text)
    words.add_widget(big)
    band.below = FitLabel(ladder=sizes.ladder, text=keep_units(verdict.below), most=sizes.small)
    band.below.color, band.below.size_hint_y = rgba(look.text), 0.55
    words.add_widget(band.below)
    band.add_widget(words)
    return band


def _line(trim: Trim, line: UnitLine) -> Widget:
    sizes = trim.sizes
    row = Panel(fill=WHITE, padding=[sizes.gap, sizes.gap * 0.3], spacing=sizes.gap)
    row.add_widget(Mark(shape=line.shape, size_hint_x=None, width=sizes.body))
    box = BoxLayout(orientation="vertical")
    for words, tint, is_bold in ((line.words, INK, True), (line.more, QUIET, False)):
        if words:
            label = FitLabel(ladder=sizes.ladder, text=keep_units(words), most=sizes.small)
            label.bold, label.color = is_bold, rgba(tint)
            box.add_widget(label)
    row.add_widget(box)
    return row


def lines_of(one: UnitHanging, system: System = System.MM) -> list[UnitLine]:
    """Return what stands below the verdict of a unit: reasons with their way out, what would help.

    Of many reasons the first; of a rated unit what is expected on it, and what it weighs with.
    """
    lines = [UnitLine("late", each.message, each.remedy) for each in one.refusals[:MOST_REASONS]]
    rest = len(one.refusals) - MOST_REASONS
    if rest > 0:
        words = say_n("and {n} more reason", "and {n} more reasons", rest)
        lines[-1] = UnitLine("late", lines[-1].words, join((lines[-1].more, words)))
    if one.load_words is not None and one.checked is Checked.RATED:
        shape = "late" if one.fits is False else "tick"
        lines.append(UnitLine(shape, say_expected(one, system) or one.load_words))
    if one.better:
        lines.append(UnitLine("arrow", _("What would help"), say_better(one.better[0], system)))
    if one.checked is Checked.RATED and one.rating is not None and one.rating.is_rated:
        lines.append(UnitLine("dot", _say_weight(one, system), _say_together(one)))
    return lines


def _say_weight(one: UnitHanging, system: System) -> str:
    assert one.rating is not None
    own = say_weight(one.self_kg, system) if one.self_kg is not None else "?"
    return say(
        "With its own {own} it is {gross} on the cleat, pulled at with {pull:.0f} N",
        own=own,
        gross=say_gross(one.rating.gross_kg or 0.0, system),
        pull=one.rating.pull_n,
    )


def _say_together(one: UnitHanging) -> str:
    if not one.shares_with:
        return ""
    return capital(say("it shares its cleat with {units}", units=", ".join(one.shares_with)))
