"""Turn the check of hanging into plain text: walls, units in the order they go up, one in full."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from textwrap import wrap

from kiosk.hangjson import measured_json
from kiosk.report import Json, count
from kiosk.rules.hanging.cautions import ALWAYS
from kiosk.rules.hanging.checks import CHECKS
from kiosk.rules.hanging.hangviews import Checked, HangingView, ScrewAt, UnitHanging, WallView
from kiosk.rules.hanging.pounds import say_better, say_expected
from kiosk.rules.hanging.rating import Rating
from kiosk.rules.hanging.wall import MeasuredWall
from kiosk.rules.lengths import System
from kiosk.rules.tape import Toward, drill, on_tape
from kiosk.rules.weights import say_most, say_weight

NOT_RATED = "NOT RATED"
WIDE = 100  # letters of a line (choice)
ELSEWHERE = "Hanging not checked, as it is on no wall that was measured: no number, load nothing"
UNCHECKED = "Hanging not checked, as nobody measured the wall: no number, load nothing by this tool"


def hanging_text(
    view: HangingView, system: System, *, hung: Collection[str] = (), only: Sequence[str] = ()
) -> str:
    """Return a job's walls with their units in the order they go up, and what to heed first.

    Args:
        view: the check of the job.
        system: how lengths are shown.
        hung: the units that hang already.
        only: these units alone, each in full; empty: all.
    """
    if only:
        units = [one for one in view.units if one.unit in only]
        blocks = ["\n".join(_in_full(one, view, system)) for one in units]
        blocks += [_unchecked(name, view) for name in view.unmeasured if name in only]
        return "\n\n".join(blocks)
    lines = [*_heed(ALWAYS)] if view.walls else []
    for wall in view.walls:
        lines += ["", *_wall(wall, view, system, hung)]
    if view.unmeasured:
        lines += ["", *_all_unchecked(view)]
    return "\n".join(lines).strip() or "There is no unit that hangs."


def bare_text(view: HangingView) -> list[str]:
    """Return which units on measured walls nothing may be put on, whatever their dates say."""
    bare = [one.unit for one in view.units if one.refusals]
    return _wrapped(f"{NOT_RATED}, load nothing: ", ", ".join(bare)) if bare else []


def _unchecked(unit: str, view: HangingView) -> str:
    """Return that nothing was checked of a unit, and the way out."""
    if not view.walls:
        return f"{unit}: {UNCHECKED}."
    return "\n".join([f"{unit}: {ELSEWHERE}.", *_wrapped("  ", _which_wall(view, unit))])


def _all_unchecked(view: HangingView) -> Iterator[str]:
    yield f"{ELSEWHERE if view.walls else UNCHECKED}:"
    yield from _wrapped("  ", ", ".join(view.unmeasured))
    if view.walls:
        yield from _wrapped("  ", _which_wall(view, view.unmeasured[0]))


def _which_wall(view: HangingView, unit: str) -> str:
    names = [one.wall.wall for one in view.walls]
    say_it = f'cleatclock hang {view.job} --unit {unit} --set "wall={names[0]}"'
    return f"Measured: {', '.join(names)}. Measure its wall too, or say which it is: {say_it}"


def _heed(words: Sequence[str]) -> Iterator[str]:
    for one in words:
        yield from _wrapped("! ", one, "  ")


def _wall(
    wall: WallView, view: HangingView, system: System, hung: Collection[str]
) -> Iterator[str]:
    yield measured_text(wall.wall, system)
    steps = {step.unit: step for step in view.order}
    mine = [one for one in view.units if one.wall == wall.wall.wall]
    for one in sorted(mine, key=lambda each: steps[each.unit].number):
        head = f"{steps[one.unit].number:>4} "
        yield from _unit(one, head, system, is_hung=one.unit in hung)
    yield from _floor(wall, system)
    for panel in wall.panels:
        for note in panel.notes:
            yield from _wrapped(f"  {panel.unit}: ", note)
    for note in wall.notes:
        yield from _wrapped("  ", note)


def measured_text(wall: MeasuredWall, system: System) -> str:
    """Return in a line what was measured of a wall."""
    size = f"{on_tape(wall.width, system)} × {on_tape(wall.height, system)}"
    studs = count(len(wall.studs), "stud")
    services = count(len(wall.services), "service")
    datum = wall.datum or "the highest point of the floor"
    return f"{wall.wall}: {size}, {studs}, {services}; x from the left, y up from {datum}"


def _floor(wall: WallView, system: System) -> Iterator[str]:
    if wall.spacer is not None:
        shims = ", ".join(f"{on_tape(x, system) if x else '0'}: {on_tape(thick, system)}"
                          for x, thick in wall.shims)  # fmt: skip
        yield from _wrapped(
            "  ", f"Spacer {on_tape(wall.spacer, system)}; under the panels at {shims}"
        )
    if wall.scribe:
        yield "  The floor is too uneven for shims: scribe the panels."


def _unit(one: UnitHanging, head: str, system: System, *, is_hung: bool) -> Iterator[str]:
    """Yield what is said of a unit in the list: its load or why it has none, what would help."""
    name = f"{one.unit:5} {one.name:24.24}"
    mark = "  (hangs already)" if is_hung else ""
    yield f"{head}{name} {_load(one, system)}{mark}"
    inner = " " * (len(head) + 6)
    for refusal in one.refusals:
        yield from _wrapped(inner, f"{refusal.message} {refusal.remedy}")
    if one.allowed is not None:
        yield from _wrapped(inner, _allowed(one))
    expected = say_expected(one, system)
    if expected and one.net_kg is not None:
        yield from _wrapped(inner, expected)
    for better in one.better[:1]:
        yield from _wrapped(inner, f"Better: {say_better(better, system)}")


def _load(one: UnitHanging, system: System) -> str:
    rating = one.rating
    if rating is not None and rating.net_kg is not None and rating.governing is not None:
        own = "its own weight"
        if one.self_kg is not None:
            own = f"{say_weight(one.self_kg, system)} of its own"
        most = say_most(rating.net_kg, system)
        return f"{most} besides {own}; decided by: {CHECKS[rating.governing]}"
    if one.refusals:
        return NOT_RATED + (", goes up all the same" if one.checked is Checked.ALLOWED else "")
    return one.words


def _allowed(one: UnitHanging) -> str:
    allowed = one.allowed
    if allowed is None:
        return ""
    by = f" ({', '.join(filter(None, (allowed.person, allowed.allowed_by)))})"
    return f"Goes up all the same: {allowed.reason}{by if by != ' ()' else ''}. Load nothing on it."


def _in_full(one: UnitHanging, view: HangingView, system: System) -> Iterator[str]:
    step = next((step for step in view.order if step.unit == one.unit), None)
    yield from _unit(one, "", system, is_hung=False)
    if step is not None:
        yield from _wrapped("  ", f"Goes up as number {step.number}: {step.why}")
    if one.carried_by:
        yield f"  Carried by {one.carried_by}"
    if one.shares_with:
        yield f"  On one cleat with {', '.join(one.shares_with)}"
    if one.rating is not None and one.rating.is_rated:
        yield from _figures(one.rating, system)
        yield from _screws(one.screws, system)
    for better in one.better[1:]:
        yield from _wrapped("  ", f"Or: {say_better(better, system)}")
    yield "  What this rests on:"
    for each in one.assumptions:
        yield from _wrapped("    ", f"{each.what}: {each.value} ({each.basis})")
    yield from _heed(one.cautions)


def _figures(rating: Rating, system: System) -> Iterator[str]:
    hooks = "hooks by itself" if rating.hooks else "held by its pull-lock only"
    yield f"  {hooks}; pull at the cleat {rating.pull_n:.0f} N, loaded as rated"
    limits = ", ".join(
        f"{CHECKS[check]} {say_most(most, system)}" for check, most in rating.limits.items()
    )
    yield from _wrapped("  ", f"Each check alone, none of it a load to put on: {limits}")


def _screws(screws: Sequence[ScrewAt], system: System) -> Iterator[str]:
    for one in screws:
        where = f"x {on_tape(one.x, system)}, y {on_tape(one.y, system)}"
        into = on_tape(one.penetration, system, toward=Toward.LESS)
        pilot = drill(one.pilot, system, toward=Toward.LESS)
        yield (
            f"  screw at {where}: No. {one.gauge} × {on_tape(one.length, system)}, {into} into the"
            f" stud at {on_tape(one.stud, system)}; drill {pilot}"
        )


def kept_text(wall: MeasuredWall, system: System) -> str:
    """Return that a wall is kept as measured."""
    return f"Kept. {measured_text(wall, system)}"


def kept_json(wall: MeasuredWall) -> Json:
    """Return a wall that is kept."""
    return {"problems": [], **measured_json(wall)}


def _wrapped(head: str, words: str, later: str = "") -> list[str]:
    return wrap(words, WIDE, initial_indent=head, subsequent_indent=later or " " * len(head))
