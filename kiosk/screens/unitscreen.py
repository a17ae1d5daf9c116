"""One unit: where it stands and why, what happened last, and what can be looked at."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from kivy.uix.boxlayout import BoxLayout

from kiosk.rules.words import _, join, say, say_n
from kiosk.screens.face import Trim
from kiosk.screens.header import headline
from kiosk.screens.jobview import LOOKS, UnitView, say_name, say_past
from kiosk.theme import INK, QUIET, WHITE, rgba
from kiosk.widgets.fitting import FitLabel
from kiosk.widgets.marks import Mark
from kiosk.widgets.panels import BigButton, Panel

LATEST = 4  # entries shown on the unit's own screen; all are behind History


@dataclass(frozen=True, slots=True)
class UnitActs:
    """What the screen of a unit does."""

    parts: Callable[[], object]
    history: Callable[[], object]
    clock: Callable[[], object]
    label: Callable[[], object]
    back: Callable[[], object]


class UnitScreen(BoxLayout):
    """The standing as mark, word and reason, the latest entries, and the ways on."""

    def __init__(self, trim: Trim, view: UnitView, acts: UnitActs) -> None:
        sizes = trim.sizes
        super().__init__(orientation="vertical", padding=[sizes.gap] * 4, spacing=sizes.gap)
        line = view.line
        head = headline(trim, say_name(line.job, line.unit, line.name))
        head.size_hint_y, head.height = None, round(sizes.body * 1.3)
        self.add_widget(head)
        self.add_widget(_standing(trim, view))
        self.add_widget(_latest(trim, view))
        foot = BoxLayout(size_hint_y=None, height=round(sizes.touch * 1.2), spacing=sizes.gap)
        parts = say_n(
            "Parts: {cut} of {n} cut", "Parts: {cut} of {n} cut", len(view.parts), cut=view.cut
        )
        history = say_n("History: {n} entry", "History: {n} entries", len(view.past))
        for words, act in (
            (_("Back"), acts.back),
            (parts, acts.parts),
            (history, acts.history),
            (_("Clock"), acts.clock),
            (_("Unit label"), acts.label),
        ):
            foot.add_widget(BigButton(words, act, sizes=sizes, most=round(sizes.small * 1.25)))
        self.add_widget(foot)


def _standing(trim: Trim, view: UnitView) -> Panel:
    sizes = trim.sizes
    shape, word = LOOKS[view.line.state]
    panel = Panel(
        fill=WHITE,
        line=sizes.outline,
        padding=[sizes.gap * 1.5, sizes.gap * 0.6],
        spacing=sizes.gap * 1.5,
    )
    mark = Mark(shape=shape, share=view.share, size_hint_x=None, width=round(sizes.answer * 1.2))
    panel.add_widget(mark)
    box = BoxLayout(orientation="vertical")
    box.add_widget(FitLabel(ladder=sizes.ladder, text=word, bold=True, most=sizes.answer))
    following = say("next: {what}", what=view.next) if view.next else ""
    reason = "" if view.line.why == word else view.line.why
    more = FitLabel(ladder=sizes.ladder, text=join((reason, following), "; "), most=sizes.body)
    more.size_hint_y = 0.8
    box.add_widget(more)
    panel.add_widget(box)
    return panel


def _latest(trim: Trim, view: UnitView) -> BoxLayout:
    sizes = trim.sizes
    box = BoxLayout(orientation="vertical", padding=[sizes.gap, 0], size_hint_y=1.15)
    shown = view.past[:LATEST]
    for one in shown:
        row = BoxLayout(spacing=sizes.gap)
        row.add_widget(
            Mark(shape="cross" if one.is_struck else "dot", size_hint_x=None, width=sizes.small)
        )
        when = FitLabel(ladder=sizes.ladder, text=say_past(one), most=sizes.small)
        when.size_hint_x = 0.55
        what = FitLabel(ladder=sizes.ladder, text=one.what, bold=True, most=sizes.small)
        what.color = rgba(QUIET if one.is_double else INK)
        row.add_widget(what)
        row.add_widget(when)
        box.add_widget(row)
    for _at in range(LATEST - len(shown)):
        box.add_widget(BoxLayout())
    return box
