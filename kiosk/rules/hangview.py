"""Say in which order units go up, supports first, and what is not ready for it."""

from __future__ import annotations

from collections.abc import Mapping

from kiosk.rules.naming import Natural, name_some, natural
from kiosk.rules.route import State
from kiosk.rules.scene import Key, Scene
from kiosk.rules.standing import Standing
from kiosk.rules.steps import supports_of
from kiosk.rules.viewlines import StationView, ViewLine
from kiosk.rules.words import _, capital, join, say


def see_install(scene: Scene) -> StationView:
    """Say in which order units go up: supports first, and of those what is ready."""
    open_ones = {(one.job, one.unit): one for one in scene.standings if one.state != State.HUNG}
    depths = {key: _depth(key, scene, open_ones) for key in open_ones}

    def rank(one: Standing) -> tuple[bool, int, float, Natural, Natural]:
        key = (one.job, one.unit)
        when = one.hands_at.timestamp() if one.hands_at else float("inf")
        other = one.job != scene.about[0] and bool(scene.about[0])
        # on a measured wall the way onto the cleats decides, after all that has no place in it
        place = scene.order[key][0] if key in scene.order else depths[key]
        when = 0.0 if key in scene.order else when
        return (other, place, when, natural(one.job), natural(one.unit))

    order = sorted(open_ones.values(), key=rank)
    ready = [one for one in order if _is_ready(one) and not one.missing]
    after = [one for one in order if _is_ready(one) and one.missing]
    rest = [one for one in order if not _is_ready(one)]
    lines = [*_carried(scene, open_ones)]
    lines += [_hang(scene, at, one) for at, one in enumerate((*ready, *after), start=1)]
    lines += [_not_here(scene, one) for one in rest]
    title = say(
        "Order of hanging: {n} ready, {left} not ready", n=len(ready), left=len(after) + len(rest)
    )
    return StationView(title if order else _("All is up"), tuple(lines))


def _is_ready(one: Standing) -> bool:
    return one.station == "install" and not one.resting and one.state != State.ON_HOLD


def _support(key: Key, scene: Scene) -> Key | None:
    state = scene.states.get(key)
    if state is None:
        return None
    wanted = (state.spec.hangs_on, state.spec.wall)
    below = supports_of(state.spec, {unit for unit in wanted if (key[0], unit) in scene.states})
    return (key[0], below[0]) if below else None


def _depth(key: Key, scene: Scene, open_ones: Mapping[Key, Standing]) -> int:
    """Return how many supports below a unit are still to go up; a ring of them ends itself."""
    depth, seen = 0, {key}
    below = _support(key, scene)
    while below is not None and below in open_ones and below not in seen:
        seen.add(below)
        depth += 1
        below = _support(below, scene)
    return depth


def _carried(scene: Scene, open_ones: Mapping[Key, Standing]) -> list[ViewLine]:
    """Say what hangs on the unit scanned last."""
    on_it = [key for key in open_ones if _support(key, scene) == scene.about]
    if not on_it:
        return []
    names = name_some(sorted(map(scene.name, on_it), key=natural), most=4)
    words = say("On {unit} hang: {units}", unit=scene.name(scene.about), units=names)
    return [ViewLine(words)]


def _hang(scene: Scene, at: int, one: Standing) -> ViewLine:
    title = one.step.title if one.step else ""
    name = scene.name((one.job, one.unit))
    words = say("{n}.  {unit}  {step}", n=at, unit=name, step=title)
    if one.missing:
        return ViewLine(words, say("after {units}", units=join(one.missing, ", ")), "other")
    place = scene.order.get((one.job, one.unit))
    why = place[1] if place else ""
    holds = one.hang.words if one.hang else ""
    return ViewLine(words, join([one.name, one.risk and one.why, holds, why], ", "), "hang")


def _not_here(scene: Scene, one: Standing) -> ViewLine:
    where = one.step.where if one.step else ""
    name = scene.name((one.job, one.unit))
    words = say("{unit}  not ready: {step}", unit=name, step=where) if where else name
    return ViewLine(words, capital(one.why), "resting" if one.resting else "")
