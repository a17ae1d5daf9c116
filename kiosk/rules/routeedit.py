"""Change a routes file by taps: how many coats a kind gets, with or without filler and scuffing.

Each kind has a route of its own afterwards; the other kinds keep theirs.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from copy import deepcopy
from dataclasses import dataclass
from typing import Any, TypeAlias

import tomlkit

MOST_COATS = 4  # choice: more on furniture and walls is rare, and a route file can say it
# Of a coat's touch time, where the route has no scuff to go by: as 4 of 10 minutes in the routes
# that ship (common practice, no source).
SCUFF_SHARE = 0.4
_NUMBER = re.compile(r"\d+")
Row: TypeAlias = dict[str, Any]  # one step as TOML has it


@dataclass(frozen=True, slots=True)
class Finishing:
    """How a kind is finished: coats 0..4 (0: none), filler and scuffing between coats.

    filler is None where the kind's shipped route has none to put back, scuff where there are
    fewer than two coats.
    """

    coats: int
    filler: bool | None = None
    scuff: bool | None = None


def finishing_of(text: str, kind: str, *, shipped: str) -> Finishing:
    """Return how a kind is finished by a routes file that has no problems.

    Args:
        text: the shop's routes.
        kind: one of the kinds.
        shipped: the routes that ship, which know the filler to put back.
    """
    rows = _rows(tomllib.loads(text), kind)
    coats = len(_coats(rows))
    names = {row["name"] for row in rows}
    can_fill = "fill" in {row["name"] for row in (*rows, *_rows(tomllib.loads(shipped), kind))}
    scuffs = any(name.startswith("scuff-") for name in names)
    return Finishing(coats, ("fill" in names) if can_fill else None, scuffs if coats > 1 else None)


def finish_so(text: str, kind: str, wanted: Finishing, *, shipped: str) -> str:
    """Return the routes file with one kind finished as wanted; comments elsewhere are kept.

    Args:
        text: routes without problems.
        kind: one of its kinds; with no coat in its route only the filler changes.
        wanted: coats 1..4 where the kind has any.
        shipped: the routes that ship.
    """
    data = tomllib.loads(text)
    now = finishing_of(text, kind, shipped=shipped)
    rows, ends = deepcopy(_rows(data, kind)), deepcopy(_ends(data, kind))
    if now.coats:
        rows, ends = _with_coats(rows, ends, min(max(wanted.coats, 1), MOST_COATS))
        scuff = now.scuff if wanted.scuff is None else wanted.scuff
        rows = _with_scuff(rows, is_wanted=scuff is not False)
    if None not in (wanted.filler, now.filler) and wanted.filler != now.filler:
        seed = _rows(tomllib.loads(shipped), kind)
        rows = _with_filler(rows, seed) if wanted.filler else _without_filler(rows)
    return _written(text, {kind: (rows, ends)})


def as_shipped(text: str, kind: str, *, shipped: str) -> str:
    """Return the routes file with one kind's route as it ships."""
    seed = tomllib.loads(shipped)
    return _written(text, {kind: (_rows(seed, kind), _ends(seed, kind))})


# -- reading ---------------------------------------------------------------------------------------


def _source(data: Row, kind: str) -> Row:
    table = data[kind]
    found: Row = data[table["like"]] if "like" in table else table
    return found


def _rows(data: Row, kind: str) -> list[Row]:
    crews = data[kind].get("crew", {})
    rows = _source(data, kind)["step"]
    return [row | {"crew": crews[row["name"]]} if row["name"] in crews else row for row in rows]


def _ends(data: Row, kind: str) -> list[list[str]]:
    return list(data[kind].get("ends", _source(data, kind).get("ends", [])))


def _coats(rows: list[Row]) -> list[Row]:
    return [row for row in rows if row["name"].startswith("coat-")]


# -- coats -----------------------------------------------------------------------------------------


def _with_coats(
    rows: list[Row], ends: list[list[str]], count: int
) -> tuple[list[Row], list[list[str]]]:
    """Return the steps with so many coats; what waited for the last one waits for the new last."""
    coats = _coats(rows)
    last = coats[-1]
    scuffs = any(row["name"].startswith("scuff-") for row in rows) or len(coats) == 1
    for number in range(len(coats) + 1, count + 1):
        at = rows.index(last) + 1
        coat = _next_coat(last, number)
        rows[at:at] = [*([_scuff(coat, last)] if scuffs else []), coat]
        last = coat
    gone = {row["name"] for row in coats[count:]}
    numbers = {name.rpartition("-")[2] for name in gone}
    gone |= {f"scuff-{number}" for number in numbers}
    rows = [row for row in rows if row["name"] not in gone]
    final = _coats(rows)[-1]["name"]
    everything = {row["name"] for row in coats}
    for row in rows:
        if not row["name"].startswith(("coat-", "scuff-")):
            for column in ("waits", "closes"):
                if column in row:
                    row[column] = _moved(row[column], everything, final)
    return rows, _moved(ends, everything, final)


def _moved(waits: list[list[str]], coats: set[str], final: str) -> list[list[str]]:
    return [[final if after in coats else after, stage] for after, stage in waits]


def _next_coat(last: Row, number: int) -> Row:
    title = _titled(last["title"], number)
    done = _titled(last["done"], number) if _NUMBER.search(last["done"]) else f"{title} on"
    before = [[last["name"], "recoat"]]
    coat = {key: value for key, value in last.items() if key not in ("waits", "closes")}
    window = {"closes": [[last["name"], "window"]]} if "closes" in last else {}
    return coat | {"name": f"coat-{number}", "title": title, "done": done, "waits": before} | window


def _titled(words: str, number: int) -> str:
    found = _NUMBER.sub(str(number), words)
    return found if _NUMBER.search(words) else f"{words} {number}"


def _scuff(coat: Row, before: Row) -> Row:
    return {
        "name": coat["name"].replace("coat", "scuff"),
        "title": f"scuff before {coat['title']}",
        "done": "scuffed",
        "station": coat["station"],
        "standing": "coat_due",
        **({"minutes": _scuffing(coat["minutes"])} if "minutes" in coat else {}),
        **{key: coat[key] for key in ("crew", "needs") if key in coat},
        "waits": [[before["name"], "sand"]],
        "closes": [[before["name"], "window"]],
        "hazards": ["dust"],
    }


def _scuffing(minutes: float) -> int:
    """Return the touch time of scuffing before a coat of so many minutes, 1 or more."""
    return max(1, round(minutes * SCUFF_SHARE))


def _with_scuff(rows: list[Row], *, is_wanted: bool) -> list[Row]:
    """Return the steps with a scuff before each coat but the first, or with none.

    Without one a coat itself is bound to the window of the one before: late, it asks for a scuff.
    """
    found: list[Row] = []
    before: Row | None = None
    scuffs = {row["name"]: row for row in rows if row["name"].startswith("scuff-")}
    for row in rows:
        if row["name"].startswith("scuff-"):
            continue
        if row["name"].startswith("coat-"):
            row = dict(row)
            row.pop("closes", None)
            if before is not None and is_wanted:
                scuff = _scuff(row, before)
                found.append(scuffs.get(scuff["name"], scuff))
            elif before is not None:
                row["closes"] = [[before["name"], "window"]]
            before = row
        found.append(row)
    return found


# -- filler ----------------------------------------------------------------------------------------


def _without_filler(rows: list[Row]) -> list[Row]:
    """Return the steps without filling; what waited for the filler waits as the filling did."""
    (fill,) = [row for row in rows if row["name"] == "fill"]
    left = [dict(row) for row in rows if row is not fill]
    for row in left:
        kept = [pair for pair in row.get("waits", ()) if pair[0] != "fill"]
        if len(kept) < len(row.get("waits", ())):
            row["waits"] = kept + [pair for pair in fill.get("waits", ()) if pair not in kept]
    return left


def _with_filler(rows: list[Row], seed: list[Row]) -> list[Row]:
    """Return the steps with filling as it ships, before sanding or else before the first coat."""
    (fill,) = [dict(row) for row in seed if row["name"] == "fill"]
    names = [row["name"] for row in rows]
    at = next((at for at, name in enumerate(names) if name in ("sand", "coat-1")), len(rows))
    fill["waits"] = [pair for pair in fill["waits"] if pair[0] in names[:at]]
    left = [dict(row) for row in rows]
    if "sand" in names[at : at + 1]:
        left[at]["waits"] = [["fill", "sand"]]
    return [*left[:at], fill, *left[at:]]


# -- writing ---------------------------------------------------------------------------------------


def _written(text: str, changed: dict[str, tuple[list[Row], list[list[str]]]]) -> str:
    """Return the file with the routes of some kinds written out; nobody is like them any more."""
    data, doc = tomllib.loads(text), tomlkit.parse(text)
    own = dict(changed)
    for kind, table in data.items():
        if table.get("like") in changed:  # it keeps the route it had
            own.setdefault(kind, (_rows(data, kind), _ends(data, kind)))
    for kind, (rows, ends) in own.items():
        fresh = tomlkit.table()
        for key, value in _plain(data[kind]):
            fresh[key] = value
        if ends:
            fresh["ends"] = ends
        steps = tomlkit.aot()
        for row in rows:
            step = tomlkit.table()
            step.update(row)
            steps.append(step)
        fresh["step"] = steps
        doc[kind] = fresh
    return tomlkit.dumps(doc)


def _plain(table: Row) -> Iterator[tuple[str, Any]]:
    return (
        (key, value) for key, value in table.items() if key not in ("like", "step", "ends", "crew")
    )
