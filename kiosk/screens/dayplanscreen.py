"""The day: a rule with who does what, the steps in order with their reasons, and what is late."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial

from kivy.uix.boxlayout import BoxLayout
from kivy.uix.gridlayout import GridLayout
from kivy.uix.widget import Widget

from kiosk.rules.cards import BACK
from kiosk.rules.dayplan.day import DayPlan, DayStep
from kiosk.rules.words import _, join, say, say_n
from kiosk.screens.answer import keep_units
from kiosk.screens.dayplanrail import Rail, least_of
from kiosk.screens.dayplanview import (
    LISTED,
    LOOKS,
    RailView,
    StepLine,
    is_pressed,
    say_below,
    say_fewer_people,
    say_late_lines,
    say_notes,
    say_pressed,
    say_risk_lines,
)
from kiosk.screens.face import Choice, Trim
from kiosk.screens.header import headline, quiet_line
from kiosk.screens.productscreens import fill_up
from kiosk.theme import INK, QUIET, WHITE, rgba
from kiosk.widgets.fewer import FewerLabel
from kiosk.widgets.fitting import FitLabel
from kiosk.widgets.marks import Mark
from kiosk.widgets.panels import BigButton, Panel

IMPROVING = _("A better plan is being looked for; this one holds meanwhile.")
NOTHING = _("Nothing is planned for today.")
DUE = _("What is due stands on the bench and on the board.")
RISK_SHARE = 0.6  # of the room what is late has: it has fewer words (choice)


@dataclass(frozen=True, slots=True)
class Shown:
    """What the screen of the day shows: the day, a page of its list, the rule, the title.

    times are what stands before each listed step.
    """

    day: DayPlan
    title: str
    rail: RailView | None
    listed: tuple[DayStep, ...]
    times: tuple[str, ...]
    pages: int = 1


@dataclass(frozen=True, slots=True)
class DayActs:
    """What the screen of the day does; `more` is None where there is but one page."""

    back: Callable[[], object]
    turn: Callable[[], object]
    rows: Choice
    step: Callable[[DayStep], object]
    closing: Callable[[], object]
    late: Callable[[], object]
    menu: Callable[[], object]
    stop: Callable[[], object]


def say_nothing(day: DayPlan) -> str:
    """Return why a day has no steps, and where to look."""
    return join((day.closed or NOTHING, DUE))


class DayPlanScreen(BoxLayout):
    """Title, what is late, the rule, four steps as buttons, and the ways on."""

    def __init__(self, trim: Trim, shown: Shown, acts: DayActs) -> None:
        sizes = trim.sizes
        super().__init__(orientation="vertical", padding=[sizes.gap] * 4, spacing=sizes.gap * 0.6)
        self._trim, self.shown = trim, shown
        self.rail: Rail | None = None
        self.rows: list[BigButton] = []
        self.asked = (Choice("", acts.back, card=BACK),)
        self.add_widget(self._head(shown))
        if is_pressed(shown.day):
            self.add_widget(self._pressed(shown.day))
        if shown.rail is None:
            nothing = FitLabel(ladder=sizes.ladder, text=say_nothing(shown.day), most=sizes.body)
            nothing.halign = "center"
            self.add_widget(nothing)
        else:
            self.rail = Rail(trim, shown.rail)
            self.add_widget(self.rail)
            self.add_widget(self._list(shown, acts))
        self.add_widget(self._foot(shown, acts))

    def _head(self, shown: Shown) -> Widget:
        sizes, day = self._trim.sizes, shown.day
        row = BoxLayout(size_hint_y=None, height=round(sizes.body * 1.05), spacing=sizes.gap * 2)
        row.add_widget(headline(self._trim, shown.title))
        left_out = shown.rail.left_out if shown.rail else 0
        more = say_n("{n} row has no room", "{n} rows have no room", left_out) if left_out else ""
        improving = IMPROVING if day.is_improving else ""
        best = _("proved best") if day.is_best else ""
        notes = say_notes(day.notes)
        line = quiet_line(self._trim, improving or join((best, more, notes), "; "))
        line.valign, line.halign = "middle", "right"
        row.add_widget(line)
        return row

    def _pressed(self, day: DayPlan) -> Widget:
        """Return what is late and what is at risk, side by side, each with its mark."""
        sizes = self._trim.sizes
        row = Panel(fill=WHITE, line=sizes.outline, spacing=sizes.gap)
        row.size_hint_y, row.height = None, round(sizes.small * 2.2)
        row.padding = [sizes.gap, sizes.outline, sizes.gap, sizes.outline]
        told = (
            ("late", say_late_lines(day.late_jobs, day.change)),
            ("question", say_risk_lines(day.at_risk)),
        )
        for shape, forms in told:
            if forms:
                row.add_widget(Mark(shape=shape, size_hint_x=None, width=sizes.small))
                label = FewerLabel(
                    ladder=sizes.ladder, least=least_of(sizes, 0.7), most=sizes.small, bold=True
                )
                label.offer([keep_units(form) for form in forms])
                label.size_hint_x = RISK_SHARE if shape == "question" else 1
                row.add_widget(label)
        return row

    def _list(self, shown: Shown, acts: DayActs) -> Widget:
        sizes = self._trim.sizes
        lines = 2 if len(shown.listed) > 2 else 1
        grid = GridLayout(cols=2, rows=lines, spacing=sizes.gap * 0.6, size_hint_y=None)
        grid.height = lines * sizes.touch + (lines - 1) * sizes.gap * 0.6
        for step, words in zip(shown.listed, shown.times, strict=True):
            button = self._step(step, words, partial(acts.step, step))
            self.rows.append(button)
            grid.add_widget(button)
        fill_up(grid, lines * LISTED // 2 - len(shown.listed))
        return grid

    def _step(self, step: DayStep, words: str, act: Callable[[], object]) -> BigButton:
        """Return a step as a button: when, what and who above, its state and its reason below."""
        sizes = self._trim.sizes
        button = BigButton(words, act, sizes=sizes, most=sizes.small, shape=LOOKS[step.state][0])
        button.padding = [sizes.gap * 0.8, sizes.gap * 0.3]
        button.remove_widget(button.label)
        button.label.halign, button.label.most = "left", round(sizes.small * 1.1)
        box, top = BoxLayout(orientation="vertical"), BoxLayout(spacing=sizes.gap)
        people = FewerLabel(ladder=sizes.ladder, least=least_of(sizes, 0.62), most=sizes.small)
        people.offer(say_fewer_people(step))
        people.halign, people.size_hint_x = "right", 0.45
        top.add_widget(button.label)
        top.add_widget(people)
        below = FitLabel(ladder=sizes.ladder, text=keep_units(say_below(step)), color=rgba(QUIET))
        below.most, below.size_hint_y = round(sizes.small * 0.88), 1.15
        box.add_widget(top)
        box.add_widget(below)
        button.add_widget(box)
        return button

    def _foot(self, shown: Shown, acts: DayActs) -> Widget:
        sizes, day = self._trim.sizes, shown.day
        row = BoxLayout(size_hint_y=None, height=sizes.touch, spacing=sizes.gap)
        choices = [Choice(_("Back"), acts.back)]
        if shown.rail is not None:
            choices.append(acts.rows)
        if shown.pages > 1:
            choices.append(Choice(_("More steps"), acts.turn, "arrow"))
        if day.before_closing:
            count = len(day.before_closing)
            words = say("Before closing: {n}", n=count)
            choices.append(Choice(words, acts.closing))
        if is_pressed(day):
            shape = "late" if day.late_jobs else "question"
            choices.append(Choice(say_pressed(day), acts.late, shape))
        if day.is_improving:
            choices.append(Choice(_("Stop"), acts.stop, "cross"))
        else:
            choices.append(Choice(_("Print, times"), acts.menu))
        self.foot = [self._button(one) for one in choices]
        for button in self.foot:
            row.add_widget(button)
        return row

    def _button(self, one: Choice) -> BigButton:
        sizes = self._trim.sizes
        button = BigButton(one.words, one.act, sizes=sizes, most=round(sizes.small * 1.25))
        button.padding = [sizes.gap * 0.6, sizes.gap * 0.4]
        button.show_mark(one.shape)
        return button


class StepScreen(BoxLayout):
    """All there is to say of a step, and the way to its unit."""

    def __init__(
        self, trim: Trim, title: str, lines: Sequence[StepLine], choices: Sequence[Choice]
    ) -> None:
        sizes = trim.sizes
        super().__init__(orientation="vertical", padding=[sizes.gap * 2] * 4, spacing=sizes.gap)
        head = headline(trim, title)
        head.most = round(sizes.body * 1.3)
        head.size_hint_y, head.height = None, round(sizes.body * 1.6)
        self.add_widget(head)
        for line in lines:
            self.add_widget(_line(trim, line))
        foot = BoxLayout(size_hint_y=None, height=sizes.touch, spacing=sizes.gap * 2)
        self.asked = tuple(choices)
        self.buttons = [BigButton(one.words, one.act, sizes=sizes) for one in choices]
        for button in self.buttons:
            foot.add_widget(button)
        self.add_widget(foot)


def _line(trim: Trim, line: StepLine) -> Widget:
    sizes = trim.sizes
    row = Panel(fill=WHITE, line=max(1, sizes.outline // 2), spacing=sizes.gap)
    row.padding = [sizes.gap, sizes.gap * 0.3]
    row.size_hint_y = 1.6 if line.is_long else 1.0
    about = FitLabel(ladder=sizes.ladder, text=line.about, most=sizes.small, color=rgba(QUIET))
    about.size_hint_x = 0.16
    words = FitLabel(ladder=sizes.ladder, text=keep_units(line.words), color=rgba(INK))
    words.most, words.bold = round(sizes.small * 1.15), not line.is_long
    row.add_widget(about)
    row.add_widget(words)
    return row
