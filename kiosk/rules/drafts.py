"""Hold a part list that was read, and group its lines to the units they make up."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from kiosk.rules.parts import PartLine, Piece, UnitSpec
from kiosk.rules.problems import Problem, Skip


@dataclass(frozen=True, slots=True)
class Heading:
    """One column of a list: its heading, what it was read as, empty for nothing, some cells."""

    name: str
    meaning: str
    samples: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class PartList:
    """Everything a reading found: what was understood, what is wrong, what was left out.

    Take it in only while problems is empty. header_row counts from 1, None where no header was
    found. columns maps each header that was understood, as written, to our word for it; ignored
    names the other headers. notes say in words what was assumed. in_inches tells that lengths are
    inches by header or by the unit settled on. headings are all columns in order. guessed is the
    unit taken for plain numbers where neither the list nor a person names one, else empty.
    """

    lines: tuple[PartLine, ...]
    problems: tuple[Problem, ...]
    skipped: tuple[Skip, ...]
    header_row: int | None
    columns: Mapping[str, str]
    ignored: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    in_inches: bool = False
    headings: tuple[Heading, ...] = ()
    guessed: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitDraft:
    """A unit as the list describes it, its lines in list order; fields as in `UnitSpec`."""

    unit: str
    name: str
    kind: str
    finish: str
    accent: bool
    wall: str
    position: str
    hangs_on: str
    lines: tuple[PartLine, ...]

    def spec(self, job: str) -> UnitSpec:
        """Return the unit of a job with all its pieces, whose codes are still ''."""
        return UnitSpec(
            job=job,
            unit=self.unit,
            name=self.name,
            kind=self.kind,
            finish=self.finish,
            accent=self.accent,
            wall=self.wall,
            position=self.position,
            hangs_on=self.hangs_on,
            pieces=tuple(p for line in self.lines for p in (_piece(line),) * line.quantity),
        )


def accounted(result: PartList, n_rows: int) -> bool:
    """Tell whether each of the n_rows rows read is a line, has a problem, or is named as left out.

    Rows up to and including the header count as read. No row may be two lines.
    """
    lines = [line.row for line in result.lines]
    seen = set(lines)
    seen.update(problem.row for problem in result.problems if problem.row is not None)
    seen.update(skip.row for skip in result.skipped)
    seen.update(range(1, (result.header_row or 0) + 1))
    return len(set(lines)) == len(lines) and seen == set(range(1, n_rows + 1))


def units_of(result: PartList) -> tuple[UnitDraft, ...]:
    """Group the lines to units, units in the order of their first line, lines as listed."""
    groups: dict[str, list[PartLine]] = {}
    for line in result.lines:
        groups.setdefault(line.unit, []).append(line)
    return tuple(_draft(lines) for lines in groups.values())


def _draft(lines: list[PartLine]) -> UnitDraft:
    """Make the unit; the reader has already given all its lines the same unit values."""
    first = lines[0]
    return UnitDraft(
        unit=first.unit,
        name=first.unit_name,
        kind=first.kind,
        finish=first.finish,
        accent=first.accent,
        wall=first.wall,
        position=first.position,
        hangs_on=first.hangs_on,
        lines=tuple(lines),
    )


def _piece(line: PartLine) -> Piece:
    return Piece(
        code="",
        part=line.part,
        length=line.length,
        width=line.width,
        thickness=line.thickness,
        material=line.material,
        grain=line.grain,
        edge=line.edge,
        bevel=line.bevel,
        note=line.note,
    )
