"""Cut the power and kill the writer, often, and count what is lost.

python -m tests.bench.bench_durable [--cuts 900] [--kills 200] [--seed 1]

Beside the shop's own settings stand weaker ones, which must lose: else the test is broken. Ends
with 1 where it is, or where anything is lost.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

from tests.kills import kill_often
from tests.powerloss import cut_often, record

MODES = {"FULL": "none damaged, none lost", "NORMAL": "must lose", "OFF": "must be damaged"}
RUNS = 3


def run(*, cuts: int, kills: int, seed: int) -> Iterator[tuple[str, bool]]:
    """Yield a line for each way of writing and one for the kills, and whether it is as it must."""
    for mode, target in MODES.items():
        total = [0, 0, 0, 0]
        for number in range(RUNS):
            with tempfile.TemporaryDirectory() as name:
                history = record(Path(name) / "shop.db", 80, synchronous=mode)
                after = Path(name) / "after"
                found = cut_often(history, after, cuts=cuts // RUNS, seed=seed + number)
            one = (found.cuts, found.damaged, found.lost, found.half)
            total = [so_far + more for so_far, more in zip(total, one, strict=True)]
        _cuts, damaged, lost, half = total
        must = {"FULL": not (damaged or lost or half), "NORMAL": lost > 0, "OFF": damaged > 0}
        yield (
            (
                f"WAL {mode:7} {total[0]:4} power cuts: {damaged:4} files damaged,"
                f" {lost:5} acknowledged entries lost, {half:3} halved   ({target})"
            ),
            must[mode],
        )
    with tempfile.TemporaryDirectory() as name:
        killed = kill_often(Path(name) / "shop.db", kills=kills, seed=seed)
    yield (
        (
            f"{killed.kills} kills, {killed.acknowledged} acknowledged: {killed.lost} lost,"
            f" {killed.halved} halved, {killed.damaged} damaged,"
            f" {killed.unasked} there unacknowledged"
        ),
        not (killed.lost or killed.halved or killed.damaged),
    )


def main() -> int:
    """Print the lines; return the exit status."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--cuts", type=int, default=900)
    parser.add_argument("--kills", type=int, default=200)
    parser.add_argument("--seed", type=int, default=1)
    given = parser.parse_args()
    print(f"seed {given.seed}", flush=True)
    wrong = 0
    for line, is_well in run(cuts=given.cuts, kills=given.kills, seed=given.seed):
        print(line if is_well else f"{line}  <- WRONG", flush=True)
        wrong += not is_well
    return int(wrong > 0)


if __name__ == "__main__":
    sys.exit(main())
