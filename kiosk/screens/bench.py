"""The bench: the last answer, what is due here, and the buttons; always listening."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

from kiosk.rules.words import _
from kiosk.screens.answer import AnswerPanel
from kiosk.screens.choices import Choices
from kiosk.screens.duelist import LINES, NO_JOB, NOTHING, OPENING, DueList
from kiosk.screens.face import Choice, Signs, Status, Trim
from kiosk.screens.header import Header, StaleBand
from kiosk.screens.notice import Notice, NoticePanel
from kiosk.screens.printband import PrintBand
from kiosk.screens.ragsband import RagsBand
from kiosk.screens.stationpanel import StationPanel
from kiosk.screens.troubles import Trouble
from kiosk.widgets.live import LiveView
from kiosk.widgets.panels import BigButton, gap

if TYPE_CHECKING:
    from kiosk.rules.floor import Due
    from kiosk.rules.scanning import Answer


@dataclass(frozen=True, slots=True)
class BenchActs:
    """What the buttons of the bench do."""

    pad: Callable[[], object]
    problem: Callable[[], object]
    board: Callable[[], object]
    day: Callable[[], object]
    shop: Callable[[], object]
    rags: Callable[[], object]
    prints: Callable[[], object]
    strike: Callable[[], object]
    station: Callable[[], object]


class BenchScreen(BoxLayout):
    """Header, answer with the due list or choices beside it, buttons."""

    def __init__(
        self, trim: Trim, status: Status, acts: BenchActs, *, has_camera: bool = False
    ) -> None:
        """Take whether a camera's picture is shown beside the list."""
        sizes = trim.sizes
        super().__init__(orientation="vertical")
        self._trim = trim
        self._dues: tuple[Due, ...] | None = None
        self._answer: Answer | None = None
        self._notice: Notice | None = None
        self.panel: StationPanel | None = None
        self._signs = Signs()
        self.choices: Choices | None = None
        self.header = Header(trim, status, on_station=acts.station)
        self.band = StaleBand(trim, status.stale)
        self._middle = BoxLayout(padding=[sizes.gap] * 4, spacing=sizes.gap * 2)
        self.add_widget(self.header)
        self.rags = RagsBand(trim, done=acts.rags)
        self.prints = PrintBand(trim, see=acts.prints)
        self._troubles: tuple[Trouble, ...] = ()
        self._bands = BoxLayout(size_hint_y=None, height=0, spacing=sizes.gap)
        self.live = LiveView(sizes) if has_camera else None
        self.add_widget(self.band)
        self.add_widget(self._bands)
        self.add_widget(self._middle)
        self.add_widget(self._foot(acts))
        self.show_answer(None, "", ())

    def _foot(self, acts: BenchActs) -> BoxLayout:
        sizes = self._trim.sizes
        row = BoxLayout(
            size_hint_y=None,
            height=sizes.touch + 2 * sizes.gap,
            padding=[sizes.gap] * 4,
            spacing=sizes.gap,
        )
        self.pad = BigButton(_("Number pad"), acts.pad, sizes=sizes)
        self.problem = BigButton(_("Problem"), acts.problem, sizes=sizes)
        self.board = BigButton(_("Board"), acts.board, sizes=sizes, size_hint_x=0.74)
        self.day = BigButton(_("Day"), acts.day, sizes=sizes, size_hint_x=0.6)
        self.shop = BigButton(_("Shop"), acts.shop, sizes=sizes, size_hint_x=0.94)
        self.strike = BigButton(_("Strike last"), acts.strike, sizes=sizes, shape="cross")
        buttons: list[Widget] = [self.pad, self.problem, self.board, self.day, self.shop]
        # striking is kept apart from all that records, on the far side from the working hand
        buttons += [gap(sizes.apart), self.strike]
        for button in reversed(buttons) if self._trim.left_handed else buttons:
            row.add_widget(button)
        return row

    def show_status(self, status: Status) -> None:
        """Show station, person, clock, and since when there is no news."""
        self.header.show(status)
        was = bool(self.band.label.text)
        self.band.show(status.stale)
        if was != bool(status.stale):
            self._lay_out()

    def show_answer(self, answer: Answer | None, title: str, choices: Sequence[Choice]) -> None:
        """Show an answer, with choices beside it where there are any, else the due list."""
        self._answer, self._notice = answer, None
        self.choices = Choices(self._trim, title, choices) if choices else None
        self._lay_out()

    def show_notice(self, notice: Notice | None) -> None:
        """Show a notice in place of the answer, or the answer again; what is asked stays."""
        if notice != self._notice:
            self._notice = notice
            self._lay_out()

    @property
    def asked(self) -> tuple[Choice, ...]:
        """Return what may be chosen beside the answer."""
        return self.choices.asked if self.choices else ()

    @property
    def dues(self) -> tuple[Due, ...]:
        """Return what is due here."""
        return self._dues or ()

    def show_due(self, dues: tuple[Due, ...] | None) -> None:
        """Show what is due here, unless choices wait for an answer or nothing changed.

        dues: None as long as the shop is not open.
        """
        if dues == self._dues:
            return
        self._dues = dues
        if self.choices is None:
            self._lay_out()

    def show_signs(self, signs: Signs) -> None:
        """Show the band of oily rags, and a mark at Shop where something waits to be read there."""
        if signs == self._signs:
            return
        self._signs = signs
        waits = "dot" if signs.unconfirmed or not signs.air_read else ""
        self.shop.show_mark("question" if signs.questions else waits)
        self._lay_out()

    def show_troubles(self, troubles: tuple[Trouble, ...]) -> None:
        """Show the band of labels that are not printed."""
        if troubles != self._troubles:
            self._troubles = troubles
            self._lay_out()

    def _lay_out(self) -> None:
        self._middle.clear_widgets()
        self._make_room()
        self.panel = None
        # the band of the rags takes a line of the list, two from closing time on; so does news
        # that stopped
        rags = self._signs.rags
        taken = int(bool(self._troubles)) if rags is None else 2 if rags.pressing else 1
        taken = min(2, taken + bool(self.band.label.text))  # some of the list is always there
        idle = self._answer is None and self._notice is None
        said = self._idle(LINES - taken) if idle else self._said()
        side = self.choices or self._beside(LINES - taken, panel=not idle)
        wide = 0.62 if idle or self.panel is None else 0.58
        said.size_hint_x = 0.52 if self.choices else wide
        side.size_hint_x = 1 - said.size_hint_x
        pair = [said, side]
        for widget in reversed(pair) if self._trim.left_handed else pair:
            self._middle.add_widget(widget)

    def _said(self) -> Widget:
        if self._notice is not None:
            return NoticePanel(self._trim, self._notice)
        return AnswerPanel(self._trim, self._answer)

    def _idle(self, lines: int) -> Widget:
        """Return what to do, above the panel of the station."""
        view = self._signs.view
        if not view.title or not self._signs.has_job:
            return AnswerPanel(self._trim, None)
        idle = AnswerPanel(self._trim, None, flat=True)
        box = BoxLayout(orientation="vertical", spacing=self._trim.sizes.gap * 2)
        box.add_widget(idle)
        self.panel = StationPanel(self._trim, view, lines=max(1, lines - 2))
        idle.size_hint_y, idle.height = None, round(self._trim.sizes.touch * 1.1)
        box.add_widget(self.panel)
        return box

    def _beside(self, lines: int, *, panel: bool) -> Widget:
        """Return the due list, above what the camera sees where there is one.

        panel: the station's panel belongs here, as the answer fills the other side.
        """
        dues, view = self._dues or (), self._signs.view
        has_job = self._signs.has_job
        if panel and view.title and has_job:
            return self._with_panel(dues, lines)
        nothing = NOTHING if has_job else NO_JOB
        nothing = OPENING if self._dues is None else nothing
        if self.live is None:
            return DueList(self._trim, dues, lines=lines, nothing=nothing)
        box = BoxLayout(orientation="vertical", spacing=self._trim.sizes.gap)
        if self.live.parent is not None:
            self.live.parent.remove_widget(self.live)
        self.live.size_hint_y = 0.75
        box.add_widget(DueList(self._trim, dues, lines=max(1, lines - 3), nothing=nothing))
        box.add_widget(self.live)
        return box

    def _with_panel(self, dues: Sequence[Due], lines: int) -> Widget:
        """Return the station's panel, the due list below it, and what the camera sees, if any."""
        box = BoxLayout(orientation="vertical", spacing=self._trim.sizes.gap)
        view, live = self._signs.view, self.live
        # both titles take a line's room, and the camera's picture that of two lines and more
        count = min(len(view.lines), lines - 2) if live is None else 1
        left = max(1, lines - 1 - count) if live is None else 1
        self.panel = StationPanel(self._trim, view, lines=count)
        self.panel.size_hint_y = count + 0.6
        box.add_widget(self.panel)
        if live is None or lines == LINES:  # beside a camera, a band takes the list's room
            below = DueList(self._trim, dues, lines=left)
            below.size_hint_y = left + 0.6
            box.add_widget(below)
        if live is not None:
            if live.parent is not None:
                live.parent.remove_widget(live)
            live.size_hint_y = 2.2
            box.add_widget(live)
        return box

    def _make_room(self) -> None:
        """Let the bands stand in place of the header while a question is open."""
        rags, asks = self._signs.rags, self.choices is not None
        self.rags.show(rags, squeezed=asks)
        self.prints.show(self._troubles, squeezed=rags is not None)
        self._bands.clear_widgets()
        if rags is not None:
            self._bands.add_widget(self.rags)
        if self._troubles:
            self.prints.size_hint_x = 1 if rags is None else 0.5
            self._bands.add_widget(self.prints)
        bare = self._trim.sizes.touch if self._troubles else 0
        self._bands.height = self.rags.height if rags is not None else bare
        hidden = asks and bool(self._bands.children)
        if hidden and self.header.parent is not None:
            self.remove_widget(self.header)
        elif not hidden and self.header.parent is None:
            self.add_widget(self.header, index=len(self.children))
