"""See the clocks of a unit on the shop's thread: a row for each stage, and a picture."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, tzinfo

from PIL import Image

from kiosk.figure import DARK, draw_curve, to_png
from kiosk.palette import is_dark
from kiosk.rules.curve import clock_curve
from kiosk.rules.ends import Reached
from kiosk.rules.scanning import Answer
from kiosk.rules.stages import STAGES
from kiosk.rules.times import say_time
from kiosk.rules.words import _, join, say
from kiosk.screens.face import ShopFace

_STATES = {
    "running": _("running"),
    "held": _("held"),
    "ready": _("reached"),
    "closed": _("over"),
}
_TALL = 340  # of the picture before it is made larger: its letters come to 20 px of 640 (choice)
NO_CLOCK = _("Nothing on it has a clock yet")


@dataclass(frozen=True, slots=True)
class ClockRow:
    """One stage of what was put on: in words, when, how it stands, and why."""

    words: str
    time: str
    state: str
    sentence: str
    seed: bool


@dataclass(frozen=True, slots=True)
class ClockView:
    """The clocks of the latest thing put on a unit; sentence says why, where it is one for all."""

    title: str
    sentence: str
    rows: tuple[ClockRow, ...]
    typical: bool


def see_clocks(shop: ShopFace, text: str, name: str) -> ClockView | Answer:
    """Return the clocks of a unit; to be called on the shop's thread.

    Args:
        shop: the shop.
        text: the unit, as `find_unit` reads it.
        name: how the screen names the unit.
    """
    now = shop.now()
    found = shop.clocks(text, now)
    if isinstance(found, Answer):
        return found
    latest = _latest(found)
    if not latest:
        return ClockView(
            say("{unit}: nothing on it has a clock yet", unit=name), "", (), typical=False
        )
    first = latest[0]
    why = {one.look.words for one in latest if not one.clock.is_over(now)}
    said = why.pop() if len(why) == 1 else ""
    since = say_time(first.clock.started, now=now, zone=shop.zone)
    return ClockView(
        say(
            "{unit}: {step} since {time}, {product}",
            unit=name,
            step=first.step.title,
            time=since,
            product=first.product.title,
        ),
        said,
        tuple(_row(one, now, shop.zone, said=said) for one in latest),
        any(one.seed for one in latest),
    )


def _latest(found: Sequence[Reached]) -> list[Reached]:
    """Return the clocks of what was put on last, the soonest first; unseen ends last."""
    last = max(found, key=lambda one: one.clock.started, default=None)
    rows = [one for one in found if last is not None and one.step.name == last.step.name]
    far = max((one.clock.expected for one in rows if one.clock.expected), default=None)
    return sorted(rows, key=lambda one: (one.clock.expected is None, one.clock.expected or far))


def _row(one: Reached, now: datetime, zone: tzinfo, *, said: str) -> ClockRow:
    clock, look = one.clock, one.look
    state = _STATES.get(look.state, look.state)
    if clock.closes and look.state == "held":  # what must not be missed is never put off
        state = _STATES["running"]
    words, why = STAGES[one.stage].words, "" if said else look.words
    if clock.expected is None:
        return ClockRow(words, _("not in sight"), state, why, one.seed)
    when = say_time(clock.expected, now=now, zone=zone)
    if clock.is_over(now):
        return ClockRow(words, say("since {time}", time=when), state, "", one.seed)
    early, late = (
        say_time(at, now=now, zone=zone) if at else _("never")
        for at in (clock.earliest, clock.latest)
    )
    band = "" if early == late else say("{early} to {late}", early=early, late=late)
    return ClockRow(words, when, state, join((band, why), "; "), one.seed)


def see_picture(shop: ShopFace, text: str, size: tuple[int, int]) -> Image.Image | None:
    """Return the picture of the clock a unit's next step waits for, None without any.

    To be called on the shop's thread.

    Args:
        shop: the shop.
        text: the unit, as `find_unit` reads it.
        size: pixels of the picture.
    """
    now = shop.now()
    drawn = shop.drawn_clock(text, now)
    if drawn is None:
        return None
    curve = clock_curve(
        drawn.clock, now=now, zone=shop.zone, fahrenheit=shop.fahrenheit, window=drawn.windows
    )
    # drawn small and made larger, so that its letters are read from where the other screens are
    scale = size[1] / _TALL
    figure = draw_curve(curve, round(size[0] / scale), _TALL)
    return to_png(figure, scale, tints=DARK if is_dark() else {})
