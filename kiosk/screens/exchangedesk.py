"""Show how the kiosk stands to the others, when each was heard of, and how to join."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime

from kiosk.rules.exchanging import SHAPES, Exchanged, Standing, say_clock, say_mark, say_skew
from kiosk.rules.times import say_time
from kiosk.rules.words import _, capital, join
from kiosk.screens.exchangefeed import ExchangeFeed
from kiosk.screens.face import Choice, DeskFace, ShopFace
from kiosk.screens.rows import Listed, ListScreen, Row

NOT_SEEN = _("The exchange could not be shown. Try again.")
ALONE = _("This kiosk works alone. Several kiosks share one shop through a server:")
HOW = (
    Row(
        _("Prepare a PostgreSQL database, once"),
        _("On the machine that keeps it: cleatclock server prepare"),
    ),
    Row(
        _("Let this kiosk in"),
        _("On that machine: cleatclock server add-kiosk; it prints a line"),
    ),
    Row(
        _("Join"),
        _("End this kiosk, run that line here (cleatclock exchange --join), and open it again"),
    ),
)


class ExchangeDesk:
    """The screen about the exchange with the other kiosks."""

    def __init__(
        self, shop: ShopFace, desk: DeskFace, feed: ExchangeFeed, *, back: Callable[[], object]
    ) -> None:
        self._shop, self._desk, self._feed, self._back = shop, desk, feed, back
        self._screen: ListScreen | None = None
        self._listed: Listed | None = None
        self._page = 0

    def open(self) -> None:
        """Show how it stands now, or how to join."""
        self._desk.ask_here(self._shop.now, self.show, lost=NOT_SEEN)

    def show(self, now: datetime, page: int = 0) -> None:
        """Show a page of it, said as of a moment."""
        self._page, self._listed = page, self._list(now)
        now_words = _("Exchange now")
        extra = (Choice(now_words, self._feed.now),) if self._feed.state is not None else ()
        self._screen = ListScreen(
            self._desk.trim,
            self._listed,
            turn=lambda page: self.show(now, page),
            back=self._back,
            page=page,
            extra=extra,
        )
        self._desk.put(self._screen)

    def refresh(self) -> None:
        """Show it anew where it is on the screen and says something else now."""
        if self._screen is None or self._desk.show is not self._screen:
            return

        def then(now: datetime) -> None:
            if self._list(now) != self._listed:
                self.show(now, self._page)

        self._desk.ask_here(self._shop.now, then, lost=NOT_SEEN)

    def _list(self, now: datetime) -> Listed:
        state = self._feed.state
        if state is None:
            return Listed(_("Exchange"), HOW, ALONE, columns=1)
        rows = [*self._standing(state, now), *self._kiosks(state, now)]
        columns = 1 if state.standing == Standing.REFUSED else 2
        return Listed(_("Exchange"), rows, say_skew(state.ahead_ms), columns=columns)

    def _standing(self, state: Exchanged, now: datetime) -> list[Row]:
        zone = self._shop.zone

        def when(at: datetime | None) -> str:
            return _("not yet") if at is None else say_time(at, now=now, zone=zone)

        clock = say_clock(state.ahead_ms)  # known once the server was reached
        is_refused = state.standing == Standing.REFUSED
        why = capital(state.words) if is_refused or state.standing == Standing.APART else ""
        return [
            Row(
                capital(say_mark(state, now=now, zone=zone)),
                why,
                shape=SHAPES[state.standing],
            ),
            Row(_("Waiting to be sent"), value=str(state.waiting)),
            Row(_("Last exchange"), value=when(state.last)),
            Row(_("This clock"), value=when(None) if state.last is None else clock),
        ]

    def _kiosks(self, state: Exchanged, now: datetime) -> list[Row]:
        """Return a row for each kiosk: its letter and name, and when its latest entry was made."""
        rows = []
        for letter in sorted(state.names.keys() | state.latest.keys()):
            at = state.latest.get(letter)
            zone = self._shop.zone
            said = _("nothing yet") if at is None else say_time(at, now=now, zone=zone)
            below = _("this kiosk") if letter == state.letter else ""
            rows.append(Row(join((letter, state.names.get(letter, ""))), below, value=said))
        return rows
