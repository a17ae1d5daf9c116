"""Say what the people at one station need to know besides what is due there."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime

from kiosk.rules.fold import UnitState
from kiosk.rules.hangview import see_install
from kiosk.rules.lengths import Length, System, show
from kiosk.rules.naming import Natural, name_some, natural
from kiosk.rules.route import State
from kiosk.rules.scene import Scene, lacking_at, line_of_parts
from kiosk.rules.standing import Standing
from kiosk.rules.times import say_span
from kiosk.rules.viewlines import StationView, ViewLine
from kiosk.rules.words import Phrase, _, join, say, say_n


def see_station(station: str, scene: Scene) -> StationView:
    """Return the panel of a station."""
    makers = {
        "cut": _see_cut,
        "assemble": _see_assemble,
        "finish": _see_finish,
        "install": see_install,
    }
    maker = makers.get(station)
    return maker(scene) if maker else StationView()


# -- cut ---------------------------------------------------------------------------------------


def _see_cut(scene: Scene) -> StationView:
    lines = []
    if (unit := scene.unit) is not None and unit.pieces:
        lines.append(_cut_of(scene, unit))
    groups: dict[tuple[str, Length], list[UnitState]] = {}
    for state in scene.states.values():
        for piece in lacking_at(state, scene.setup, "cut"):
            key = (piece.piece.material, piece.piece.thickness or Length(0))
            groups.setdefault(key, []).append(state)
    ranked = sorted(groups.items(), key=lambda pair: (-len(pair[1]), pair[0]))
    for (material, thick), states in ranked:
        what = _stuff(scene, material, thick, states[0])
        words = say_n("{what}: {n} part", "{what}: {n} parts", len(states), what=what)
        lines.append(ViewLine(words, _units_in(scene, states)))
    total = sum(len(states) for states in groups.values())
    title = say_n("Left to cut: {n} part", "Left to cut: {n} parts", total)
    return StationView(title if total else _("All is cut"), tuple(lines))


def _cut_of(scene: Scene, unit: UnitState) -> ViewLine:
    name = scene.name(scene.about)
    needed = sum(piece.needed for piece in unit.pieces)
    left = lacking_at(unit, scene.setup, "cut")
    if not left:
        return ViewLine(say("{unit}: all is cut", unit=name), unit.spec.name)
    words = say("{unit}: {n} of {total} parts left", unit=name, n=len(left), total=needed)
    return line_of_parts(words, left)


def _stuff(scene: Scene, material: str, thick: Length, state: UnitState) -> Phrase:
    """Return a material and its thickness, unless the shop's own name for it says that already."""
    system = System.INCH if state.spec.job in scene.inch else System.MM
    said = not thick or show(thick, system, unit_mark=False) in material.split()
    return join([material or _("no material named"), "" if said else show(thick, system)], ", ")


def _units_in(scene: Scene, states: Iterable[UnitState]) -> Phrase:
    names = sorted({scene.name((one.spec.job, one.spec.unit)) for one in states}, key=natural)
    return name_some(names, most=4)


# -- assemble ----------------------------------------------------------------------------------


def _see_assemble(scene: Scene) -> StationView:
    lines = [*_parts_of(scene), _clamps(scene)]
    return StationView(_("Parts and clamps") if len(lines) > 1 else _("Clamps"), tuple(lines))


def _parts_of(scene: Scene) -> list[ViewLine]:
    """Say which parts of the unit scanned last are here, cut elsewhere, or not cut yet."""
    unit = scene.unit
    if unit is None or not unit.pieces:
        return []
    uncut = lacking_at(unit, scene.setup, "cut")
    away = lacking_at(unit, scene.setup, "assemble")
    codes = {one.piece.code for one in uncut}
    cut = [one for one in away if one.piece.code not in codes]
    gone = {one.piece.code for one in (*uncut, *cut)}
    here = [one for one in unit.pieces if one.needed and one.piece.code not in gone]
    name = scene.name(scene.about)
    lines = []
    if uncut:
        words = say("{unit}: {n} not cut yet", unit=name, n=len(uncut))
        lines.append(line_of_parts(words, uncut, "late"))
    if cut:
        words = say("{unit}: {n} cut, to be fetched", unit=name, n=len(cut))
        lines.append(line_of_parts(words, cut, "other"))
    if here:
        words = say("{unit}: {n} here", unit=name, n=len(here))
        lines.append(line_of_parts(words, here, "other"))
    return lines


def _clamps(scene: Scene) -> ViewLine:
    slots = sum(rack.slots for rack in scene.racks if rack.role == "glue")
    held = _in_clamps(scene)
    if slots:
        words = say("Clamps: {n} of {total} in use", n=len(held), total=slots)
    else:
        words = say_n("{n} unit in clamps", "{n} units in clamps", len(held))
    ends = sorted((at, name) for name, at in held if at is not None)
    if not held:
        return ViewLine(words, _("all are free"))
    if not ends:
        return ViewLine(words, _("none frees by itself: the glue does not cure"), "resting")
    at, name = ends[0]
    left = say_span(at - scene.now)
    more = say("next free: {unit} in {left}, {at}", unit=name, left=left, at=scene.time(at))
    return ViewLine(words, more, "resting")


def _in_clamps(scene: Scene) -> list[tuple[str, datetime | None]]:
    """Return the units whose glue still wants clamps, each with when they come off."""
    found: list[tuple[str, datetime | None]] = []
    for key, state in scene.states.items():
        steps = scene.setup.steps(state.spec)
        for place, step in enumerate(steps):
            done = state.done.get(step.name)
            later = any(one.name in state.done for one in steps[place + 1 :])
            # what went on already is out of its clamps, whatever the clock says
            if step.uses != "glue" or done is None or later:
                continue
            clock = scene.setup.clock(step, state.spec, "clamp", done.at)
            if clock is not None and not clock.is_over(scene.now):
                found.append((scene.name(key), clock.expected))
    return found


# -- finish ------------------------------------------------------------------------------------


def _see_finish(scene: Scene) -> StationView:
    here = [one for one in scene.standings if one.station == "finish" and not one.resting]
    tapes = [one for one in here if _is_tape(one) and one.state != State.ON_HOLD]
    coats = [one for one in here if one.state in (State.COAT_DUE, State.SCUFF_FIRST)]
    coats.sort(key=_closing)
    lines = [_coat(scene, one) for one in coats]
    # tape and rack after the most pressing coat, before a long list pushes them out of sight
    lines[1:1] = [*_tapes(scene, tapes), *_racks(scene)]
    lines = [*_coats_of(scene), *lines]
    title = say_n("{n} coat due, by closing window", "{n} coats due, by closing window", len(coats))
    return StationView(title if coats else _("No coat is due"), tuple(lines))


def _closing(one: Standing) -> tuple[float, float, Natural]:
    far = float("inf")
    closes = one.window_closes_at.timestamp() if one.window_closes_at else far
    return (closes, one.hands_at.timestamp() if one.hands_at else far, natural(one.unit))


def _coats_of(scene: Scene) -> list[ViewLine]:
    one = next((one for one in scene.standings if (one.job, one.unit) == scene.about), None)
    if one is None or not one.coats_wanted:
        return []
    words = say(
        "{unit}: {n} of {total} coats on",
        unit=scene.name(scene.about),
        n=one.coats_done,
        total=one.coats_wanted,
    )
    return [ViewLine(words, one.name)]


def _coat(scene: Scene, one: Standing) -> ViewLine:
    name, closes = scene.name((one.job, one.unit)), one.window_closes_at
    words = say("{unit}  {step}", unit=name, step=one.step.title if one.step else "")
    if closes is None:
        return ViewLine(words, _("no window closes"), "coat")
    at = scene.time(closes)
    if closes <= scene.now:
        return ViewLine(words, say("window closed {at}: scuff first", at=at), "late")
    left = say_span(closes - scene.now)
    return ViewLine(words, say("{left} left, window closes {at}", left=left, at=at), "coat")


def _is_tape(one: Standing) -> bool:
    """Tell whether the next step takes a tape off: it must be scored once it is late."""
    return one.step is not None and any(wait.stage == "score" for wait in one.step.closes)


def _tapes(scene: Scene, tapes: Sequence[Standing]) -> list[ViewLine]:
    if not tapes:
        return []
    ranked = sorted(tapes, key=_closing)
    names = name_some([scene.name((one.job, one.unit)) for one in ranked], most=4)
    closes = ranked[0].window_closes_at
    more: str = ""
    if closes is not None and closes <= scene.now:
        more = say("late since {at}: score the edge first", at=scene.time(closes))
    elif closes is not None:
        left = say_span(closes - scene.now)
        more = say("{left} left for the first, {at}", left=left, at=scene.time(closes))
    late = closes is not None and closes <= scene.now
    return [ViewLine(say("Tape off: {units}", units=names), more, "late" if late else "other")]


def _racks(scene: Scene) -> list[ViewLine]:
    names = {rack.name for rack in scene.racks if rack.role == "coat"}
    lines = []
    for place in scene.places:
        if place.name in names:
            used = sum(tile is not None for tile in place.slots)
            words = say(
                "{place}: {n} of {total} slots used",
                place=place.name,
                n=used,
                total=len(place.slots),
            )
            free = len(place.slots) - used
            more = say_n("{n} is free", "{n} are free", free) if free else _("none is free")
            lines.append(ViewLine(words, join([more, place.more], ", ")))
    return lines
