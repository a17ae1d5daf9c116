"""Kill a process that writes into a shop's file, often, and look whether what it said is there.

What was acknowledged must be there; that a transaction is there which was not is no fault: the
answer was cut off, not the work.
"""

from __future__ import annotations

import subprocess
import sys
import time
from dataclasses import dataclass
from pathlib import Path
from random import Random

from db.backup import verify
from db.log import Changes, Draft, Log

_PATIENCE_S = 60  # of a machine with other work


@dataclass(slots=True)
class Killed:
    """What came of kills: transactions acknowledged, there unasked, lost; files damaged."""

    kills: int = 0
    acknowledged: int = 0
    unasked: int = 0
    lost: int = 0
    halved: int = 0
    damaged: int = 0


def write_for_ever(path: Path) -> None:
    """Write transactions until killed, and say the number of each once it is durable."""
    log = Log.open(path)
    number = log.last_pos()
    while True:
        number += 1
        changes = Changes(pieces=[(f"K{number:06}", "J", f"U{number}")])
        draft = Draft("step_done", "J", f"U{number}", "Mara", {"step": "cut"})
        (row,) = log.append([draft], kiosk="K", wall_ms=number, changes=changes)
        print(row.seq, flush=True)


def kill_often(path: Path, *, kills: int, seed: int) -> Killed:
    """Start a writer and kill it, so many times; each goes on where the last one ended."""
    random, found = Random(seed), Killed()
    last = 0
    for _kill in range(kills):
        said = _kill_one(path, last, random.randint(1, 12), random.random() * 0.004)
        log = Log.open(path)
        rows, pieces = log.rows_after(0), log._read("SELECT count(*) FROM piece")[0][0]
        log.close()
        there = len(rows)
        found.kills += 1
        found.acknowledged += said - last
        found.unasked += max(0, there - said)
        found.lost += len(set(range(1, said + 1)) - {row.seq for row in rows})
        found.halved += pieces != there
        found.damaged += bool(verify(path))
        last = there
    return found


def _kill_one(path: Path, before: int, count: int, after_s: float) -> int:
    """Kill a writer a moment after so many acknowledgements, and return the last one it said."""
    line = [sys.executable, "-c", f"import sys; sys.path[:0] = {sys.path!r}\n"
            "from pathlib import Path; from tests.kills import write_for_ever\n"
            f"write_for_ever(Path({str(path)!r}))"]  # fmt: skip
    with subprocess.Popen(line, stdout=subprocess.PIPE, text=True) as writer:
        assert writer.stdout is not None
        last = before
        for _one in range(count):
            last = int(writer.stdout.readline())
        time.sleep(after_s)
        writer.kill()
        for text in writer.stdout:  # said, and not yet heard
            last = int(text) if text.endswith("\n") else last
        writer.wait(_PATIENCE_S)
    return last
