"""Arrange the standings of all open units for the board and for a station's list."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta, tzinfo

from kiosk.rules.naming import Natural, natural
from kiosk.rules.route import State
from kiosk.rules.standing import Standing
from kiosk.rules.times import say_short_span, say_time
from kiosk.rules.words import _, join, say

# A window that closes this soon is work for now. Choice: time to finish a step and fetch the unit.
CLOSING_SOON = timedelta(minutes=30)
MAX_NAMES = 12  # more names than any board shows at a legible size
_BANDS = ((_("resting"), "resting"), (_("to coat"), "coat"), (_("to hang"), "hang"))
_HANDS = ("late", "coat", "hang", "other")
# Steps whose titles are too long for a tile.
_SHORT = {"sand": _("sand"), "mask": _("mask"), "unmask": _("tape off")}
Seats = Mapping[tuple[str, str], tuple[str, int]]


@dataclass(frozen=True, slots=True)
class Tile:
    """One unit on the board; state is resting, coat, hang, late or other; share is 0..1."""

    unit: str
    word: str
    state: str
    share: float
    detail: str


@dataclass(frozen=True, slots=True)
class Place:
    """One place of the shop with its slots; `more` says in words what found no slot.

    `brief` says the same where there is little room, `left` is the number alone.
    """

    name: str
    slots: tuple[Tile | None, ...]
    more: str
    brief: str = ""
    left: int = 0


@dataclass(frozen=True, slots=True)
class Band:
    """One big count with the first names behind it, and what the board says of each."""

    title: str
    state: str
    count: int
    names: tuple[str, ...]
    words: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Floor:
    """The whole board at one moment; places is empty where the shop has named none."""

    at: datetime
    clock: str
    bands: tuple[Band, ...]
    places: tuple[Place, ...]
    next_hands: str
    hands: tuple[str, ...] = ()  # the same in fewer and fewer words


@dataclass(frozen=True, slots=True)
class Due:
    """One line of a station's list: which unit, which step, since or from when, and why."""

    unit: str
    name: str
    step: str
    words: str
    why: str
    state: str
    hands_at: datetime | None


@dataclass(frozen=True, slots=True)
class Rack:
    """A place as the shop set it up; role is what rests there: glue, coat or ready."""

    name: str
    slots: int
    role: str


def lay_out(
    standings: Iterable[Standing],
    *,
    now: datetime,
    zone: tzinfo,
    racks: Sequence[Rack] = (),
    seats: Seats | None = None,
) -> tuple[Floor, Seats]:
    """Return the board, and who sits where so that the next board leaves everyone in place.

    Args:
        standings: of all open units.
        now: the moment shown, aware.
        zone: the shop's zone.
        racks: the places; none gives a board without places.
        seats: what an earlier call returned.
    """
    shown = [standing for standing in standings if standing.state != State.HUNG]
    names = name_units(shown)
    tiles = {_key(one): _tile(one, names[_key(one)], now) for one in shown}
    places: list[Place] = []
    taken: dict[tuple[str, str], tuple[str, int]] = {}
    for at, rack in enumerate(racks):
        here = [one for one in shown if role_of(one) == rack.role and _key(one) not in taken]
        here.sort(key=lambda one: _rank(one, tiles))
        if others := {one.name: one.slots for one in racks[at + 1 :] if one.role == rack.role}:
            # what sits in another place of the same role stays there; what finds no slot goes on
            here = [one for one in here if not _sits(one, seats or {}, others)][: rack.slots]
        places.append(_fill(rack, here, tiles, seats or {}, taken))
    sits = {key: place for key, (place, _slot) in taken.items()}
    bands = tuple(_band(title, state, shown, tiles, sits) for title, state in _BANDS)
    clock = f"{now.astimezone(zone):%H:%M}"
    hands = _next_hands(shown, tiles, sits, now)
    return Floor(now, clock, bands, tuple(places), hands[0], hands), taken


def name_units(standings: Iterable[Standing]) -> dict[tuple[str, str], str]:
    """Return a short name for each unit: its own, with the job where two jobs use the same."""
    keys = [_key(one) for one in standings]
    counts = Counter(unit for _job, unit in keys)
    return {(job, unit): unit if counts[unit] == 1 else f"{job} {unit}" for job, unit in keys}


def due_list(
    standings: Iterable[Standing],
    station: str,
    *,
    now: datetime,
    zone: tzinfo,
    hang_days: Mapping[str, str] | None = None,
) -> tuple[Due, ...]:
    """Return what a station has to do, most pressing first, then what comes to it next.

    Order: window closed, window closing, all else due (oldest first), then rests by their end.
    What presses alike goes by the hang day of its job, those without one last, then by job.

    Args:
        standings: of all open units.
        station: whose list it is.
        now: the moment shown, aware.
        zone: the shop's zone.
        hang_days: ISO dates by job, empty for none.
    """
    # named among all that the board shows, so that a unit has one name on every screen
    shown = [one for one in standings if one.state != State.HUNG]
    names = name_units(shown)
    here = [one for one in shown if one.station == station and one.state != State.ON_HOLD]
    days = hang_days or {}
    here.sort(key=lambda one: (*_press(one), _in_turn(one, days)))
    return tuple(_due(one, names[_key(one)], now, zone) for one in here)


def _press(one: Standing) -> tuple[int, float]:
    far = float("inf")
    if one.resting:
        return (4, one.hands_at.timestamp() if one.hands_at else far)
    if one.state == State.SCUFF_FIRST:
        return (0, one.window_closes_at.timestamp() if one.window_closes_at else far)
    if one.window_closes_at is not None:
        return (1, one.window_closes_at.timestamp())
    return (3 if one.missing else 2, one.hands_at.timestamp() if one.hands_at else far)


def _in_turn(one: Standing, hang_days: Mapping[str, str]) -> tuple[bool, str, Natural, Natural]:
    """Return the key by which units that press alike follow each other."""
    day = hang_days.get(one.job, "")
    return (not day, day, natural(one.job), natural(one.unit))


def _due(one: Standing, name: str, now: datetime, zone: tzinfo) -> Due:
    words = one.step.title if one.step else ""
    if one.resting and one.hands_at is None:
        words = say("{step}, once it dries", step=words)
    elif one.resting and one.hands_at is not None:
        when = say_time(one.hands_at, now=now, zone=zone)
        words = say("{step} from {time}", step=words, time=when)
    state = _tile(one, name, now).state
    step = one.step.name if one.step else ""
    return Due(name, one.name, step, words, one.why, state, one.hands_at)


def _key(one: Standing) -> tuple[str, str]:
    return (one.job, one.unit)


def _tile(one: Standing, name: str, now: datetime) -> Tile:
    state, word = "other", _short_word(one)
    if one.resting:
        is_held = one.held or one.hands_at is None
        left = say_short_span(one.hands_at - now) if one.hands_at else ""
        state, word = "resting", _("held") if is_held else left
    elif one.state == State.SCUFF_FIRST:
        state, word = "late", _("scuff first")
    elif one.state == State.COAT_DUE:
        soon = one.window_closes_at is not None and one.window_closes_at - now <= CLOSING_SOON
        state, word = ("late", say("{what} now", what=word)) if soon else ("coat", word)
    elif one.state == State.TO_PREPARE and one.window_closes_at is not None:
        soon = one.window_closes_at - now <= CLOSING_SOON  # a tape that must come off
        state, word = ("late", say("{what} now", what=word)) if soon else ("other", word)
    elif one.state == State.READY_TO_HANG:
        state, word = (
            ("other", say("after {unit}", unit=one.missing[0])) if one.missing else ("hang", word)
        )
    elif one.state == State.ON_HOLD:
        word = _("on hold")
    if one.risk == "at_risk" and state != "late":
        # nobody may hang or coat it unseen; a rest goes on showing its time
        word = say("at risk, {word}", word=word) if state == "resting" else _("at risk: test")
        state = state if state == "resting" else "other"
    return Tile(name, word, state, one.progress(now), one.why)


def _short_word(one: Standing) -> str:
    """Return the step in a word or two: more is not read from across a shop."""
    if one.step is None:
        return ""
    if one.step.name.startswith("scuff-"):
        return say("coat {n}", n=one.step.number)
    return _SHORT.get(one.step.name, one.step.title)


def _band(
    title: str,
    state: str,
    shown: Sequence[Standing],
    tiles: Mapping[tuple[str, str], Tile],
    sits: Mapping[tuple[str, str], str],
) -> Band:
    states = ("coat", "late") if state == "coat" else (state,)
    found = [one for one in shown if tiles[_key(one)].state in states]
    found.sort(
        key=lambda one: (
            one.hands_at.timestamp() if one.hands_at else float("inf"),
            natural(one.unit),
        )
    )
    first = [_key(one) for one in found[:MAX_NAMES]]
    names = tuple(tiles[key].unit for key in first)
    # whoever hangs them asks where they stand; all else, which step or when
    where = state == "hang"
    words = tuple(sits.get(key, "") if where else tiles[key].word for key in first)
    return Band(title, state, len(found), names, words)


def role_of(one: Standing) -> str:
    """Return which kind of place a unit rests in; a wall rests where it stands."""
    if one.kind == "wall" or one.state in (State.TO_CUT, State.TO_ASSEMBLE):
        return ""
    if one.state == State.READY_TO_HANG:
        return "ready"
    if one.state == State.GLUE_CURING:
        return "glue"
    if one.state == State.TO_PREPARE and not one.coats_done and one.kind != "door":
        return "glue"
    if one.state == State.ON_HOLD and not one.coats_done:
        return ""
    return "coat"


def _rank(one: Standing, tiles: Mapping[tuple[str, str], Tile]) -> tuple[int, float, Natural]:
    """Return the key by which units get slots: hands needed go before resting."""
    when = one.hands_at.timestamp() if one.hands_at else float("inf")
    return (_HANDS.index(tiles[_key(one)].state) if not one.resting else 9, when, natural(one.unit))


def _sits(one: Standing, seats: Seats, places: Mapping[str, int]) -> bool:
    """Tell whether a unit has a slot in one of the places."""
    place, slot = seats.get(_key(one), ("", 0))
    return slot < places.get(place, 0)


def _fill(
    rack: Rack,
    here: Sequence[Standing],
    tiles: Mapping[tuple[str, str], Tile],
    seats: Seats,
    taken: dict[tuple[str, str], tuple[str, int]],
) -> Place:
    """Seat the units of one place, ranked: whoever sat keeps the seat."""
    seated, left = here[: rack.slots], here[rack.slots :]
    slots: list[Tile | None] = [None] * rack.slots
    waiting = []
    for one in seated:
        place, slot = seats.get(_key(one), ("", 0))
        if place == rack.name and slot < rack.slots and slots[slot] is None:
            slots[slot] = tiles[_key(one)]
            taken[_key(one)] = (rack.name, slot)
        else:
            waiting.append(one)
    for one in waiting:
        slot = slots.index(None)
        slots[slot] = tiles[_key(one)]
        taken[_key(one)] = (rack.name, slot)
    for one in left:
        taken[_key(one)] = (rack.name, rack.slots)
    brief = say("+{n} more", n=len(left)) if left else ""
    return Place(rack.name, tuple(slots), _more(left), brief, len(left))


def _more(left: Sequence[Standing]) -> str:
    resting = sum(one.resting for one in left)
    words = [say("+{n} resting", n=resting)] if resting else []
    if len(left) > resting:
        words.append(say("+{n} waiting", n=len(left) - resting))
    return join(words, ", ")


def _next_hands(
    shown: Sequence[Standing],
    tiles: Mapping[tuple[str, str], Tile],
    sits: Mapping[tuple[str, str], str],
    now: datetime,
) -> tuple[str, ...]:
    """Return who is needed next, in fewer and fewer words: the longest that fits is shown."""
    coming = sorted(
        (one for one in shown if one.resting and one.hands_at is not None),
        key=lambda one: (one.hands_at or now, natural(one.unit)),
    )[:2]
    if not coming:
        return _hands_now(shown, tiles, sits)

    def words(one: Standing, *, placed: bool) -> str:
        place = sits.get(_key(one), "") if placed else ""
        left = say_short_span((one.hands_at or now) - now)
        return say("{what} in {left}", what=join((tiles[_key(one)].unit, place)), left=left)

    first, bare = words(coming[0], placed=True), words(coming[0], placed=False)
    whole = first
    for other in coming[1:]:
        whole = say("{one}, then {other}", one=first, other=words(other, placed=True))
    said = [say("next hands: {who}", who=one) for one in (whole, first, bare)]
    return tuple(dict.fromkeys([*said, bare]))


def _hands_now(
    shown: Sequence[Standing],
    tiles: Mapping[tuple[str, str], Tile],
    sits: Mapping[tuple[str, str], str],
) -> tuple[str, ...]:
    """Return whose hands are needed now where no clock will call anybody, or that none are."""
    idle = (State.GLUE_CURING, State.COAT_DRYING, State.HARDENING, State.ON_HOLD)
    due = [one for one in shown if one.state not in idle and not one.missing]
    if not due:
        held = any(one.resting for one in shown)
        return (_("all that rests is held") if held else _("nothing rests"),)
    late = _HANDS.index
    one = min(due, key=lambda one: (late(tiles[_key(one)].state), _press(one), natural(one.unit)))
    word = _("scuff first") if one.state == State.SCUFF_FIRST else _short_word(one)
    unit, place = tiles[_key(one)].unit, sits.get(_key(one), "")
    whole = say("{unit}: {what}, now", unit=join((unit, place)), what=word)
    bare = say("{unit} {what}, now", unit=unit, what=word)
    said = [say("next hands: {who}", who=one) for one in (whole, bare)] if place else []
    return tuple(dict.fromkeys([*said, say("next hands: {who}", who=bare), bare]))
