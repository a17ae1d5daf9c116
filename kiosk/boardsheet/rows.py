"""Say of every slot and of every unit without one what the printed board says."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, tzinfo

from kiosk.report import STATE_WORDS
from kiosk.rules.floor import Floor, Tile, name_units
from kiosk.rules.route import State
from kiosk.rules.standing import Standing
from kiosk.rules.times import say_time
from kiosk.rules.words import _, join, say

FREE = _("free")


@dataclass(frozen=True, slots=True)
class Row:
    """One line: the slot's number, the state's mark with its share, and the words.

    A free slot has no unit.
    """

    slot: str
    state: str = ""
    share: float = 0.0
    unit: str = ""
    name: str = ""
    standing: str = ""
    step: str = ""
    when: str = ""


@dataclass(frozen=True, slots=True)
class Section:
    """A place with its slots, or the units that have none."""

    title: str
    more: str
    rows: tuple[Row, ...]


def compose_sections(
    floor: Floor, standings: Iterable[Standing], *, now: datetime, zone: tzinfo
) -> tuple[Section, ...]:
    """Return the places as they stand, slot by slot, then all other open units."""
    shown = [one for one in standings if one.state != State.HUNG]
    names = name_units(shown)
    by_name = {names[(one.job, one.unit)]: one for one in shown}
    seated = set()
    sections = []
    for place in floor.places:
        rows = []
        for number, tile in enumerate(place.slots, start=1):
            if tile is None:
                rows.append(Row(str(number)))
                continue
            seated.add(tile.unit)
            rows.append(_row(str(number), tile.unit, by_name[tile.unit], tile, now, zone))
        sections.append(Section(place.name, place.more, tuple(rows)))
    others = sorted(
        (name for name in by_name if name not in seated), key=lambda name: _rank(name, by_name, now)
    )
    rest = tuple(_row("", name, by_name[name], None, now, zone) for name in others)
    if rest:
        title = _("Without a slot") if floor.places else _("Open units")
        sections.append(Section(title, "", rest))
    return tuple(sections)


def _rank(name: str, by_name: Mapping[str, Standing], now: datetime) -> tuple[int, float, str]:
    one = by_name[name]
    order: Sequence[State] = tuple(State)
    return (order.index(one.state), (one.hands_at or now).timestamp(), name)


def _row(
    slot: str, unit: str, one: Standing, tile: Tile | None, now: datetime, zone: tzinfo
) -> Row:
    step = one.step.where if one.step else ""
    state = tile.state if tile else "resting" if one.resting else "other"
    return Row(
        slot,
        state,
        one.progress(now),
        unit,
        one.name,
        _standing(one, tile),
        step,
        _when(one, now, zone),
    )


def _standing(one: Standing, tile: Tile | None) -> str:
    words = STATE_WORDS[one.state]
    # what the tile says beyond the step: at risk, too late, to be done now
    late = tile is not None and tile.state == "late" and one.state != State.SCUFF_FIRST
    parts = [words, _("now") if late else "", _("at risk") if one.risk == "at_risk" else ""]
    return join(parts, ", ")


def _when(one: Standing, now: datetime, zone: tzinfo) -> str:
    def at(moment: datetime) -> str:
        return say_time(moment, now=now, zone=zone)

    if one.resting:
        if one.held or one.hands_at is None:
            return _("held")
        return say("from {time}", time=at(one.hands_at))
    if one.window_closes_at is not None:
        if one.window_closes_at <= now:
            return say("closed {time}", time=at(one.window_closes_at))
        return say("by {time}", time=at(one.window_closes_at))
    if one.hands_at is not None and one.state != State.ON_HOLD:
        return say("since {time}", time=at(one.hands_at))
    return ""
