"""Draw how a kiosk stands to the others, in every state."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta

from kiosk.clock import FixedClock
from kiosk.rules.exchanging import Exchanged, Standing
from kiosk.screens.board import BoardScreen
from kiosk.screens.stage import Stage

_AT = datetime(2026, 3, 11, 10, 12, tzinfo=UTC)
_NAMES = {"K": "bench by the door", "M": "saw", "P": "board in the kiln room"}
_LATEST = {"K": _AT, "M": _AT - timedelta(minutes=4)}
_TOGETHER = Exchanged(Standing.TOGETHER, _AT, _AT, 12, 40, letter="K", names=_NAMES, latest=_LATEST)
_APART = Exchanged(
    Standing.APART,
    _AT,
    _AT,
    waiting=14,
    words="The server does not answer: connection timeout expired",
    letter="K",
    names=_NAMES,
    latest=_LATEST,
)
_REFUSED = Exchanged(
    Standing.REFUSED,
    _AT,
    _AT,
    waiting=3,
    words=(
        "Two files went on under the letter K: one was brought back from a copy. Give this kiosk a"
        " letter of its own: `cleatclock server add-kiosk`, then join with the line it prints and"
        " --as-new; nothing is lost"
    ),
    letter="K",
    names=_NAMES,
    latest=_LATEST,
)
_SKEWED = Exchanged(
    Standing.TOGETHER, _AT, _AT, ahead_ms=95_000, letter="K", names=_NAMES, latest=_LATEST
)
_OUT = Exchanged(
    Standing.REFUSED,
    _AT,
    waiting=3,
    words=(
        "The server does not let this kiosk in (password authentication failed for user"
        ' "cleatclock_k_cc052273"): join again with the line that `cleatclock server add-kiosk` or'
        " `new-password` prints"
    ),
    letter="K",
)
_STATES = {"": _TOGETHER, "-apart": _APART, "-refused": _REFUSED, "-out": _OUT, "-skewed": _SKEWED}
_AT_BENCH = ("-apart", "-refused")


def show_exchange(stage: Stage) -> Iterator[str]:
    """Put one state after the other on the screen, and name it."""
    desk, feed = stage.app.desk, stage.app.gear.exchange
    screen = desk.shopdesk.exchange
    feed.state, clock = None, feed.clock
    feed.clock = FixedClock(_AT + timedelta(hours=5, minutes=28))
    screen.show(_AT)
    stage.step(2)
    yield "exchange-alone"
    for name, state in _STATES.items():
        feed.show(state)
        screen.show(_AT)
        stage.step(2)
        yield f"exchange{name}"
        if name in _AT_BENCH:
            desk.show_stale(feed.alarm())
            desk.open_bench()
            stage.step(2)
            yield f"bench-linked{name}"
            desk.show_stale("")
    feed.show(_APART)
    board = BoardScreen(desk.trim)
    if desk.floor is not None:
        board.show(desk.floor)
    board.show_link(feed.link())
    desk.put(board)
    stage.step(2)
    yield "board-linked-apart"
    feed.state, feed.clock = None, clock
    desk.show_link()
    desk.open_bench()
