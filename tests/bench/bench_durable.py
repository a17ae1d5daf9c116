"""Cut the power and kill the writer, often, and count what is lost.

python -m tests.bench.bench_durable [--cuts 900] [--kills 200] [--seed 1]

Beside the shop's own settings stand weaker ones, which must lose: else the test is broken.
"""

from __future__ import annotations

import argparse
import tempfile
from collections.abc import Iterator
from pathlib import Path

from tests.kills import kill_often
from tests.powerloss import cut_often, record

MODES = {"FULL": "none damaged, none lost", "NORMAL": "must lose", "OFF": "must be damaged"}
RUNS = 3


def run(*, cuts: int, kills: int, seed: int) -> Iterator[str]:
    """Yield a line for each way of writing, and one for the kills."""
    yield f"seed {seed}"
    for mode, target in MODES.items():
        total = [0, 0, 0, 0]
        for number in range(RUNS):
            with tempfile.TemporaryDirectory() as name:
                history = record(Path(name) / "shop.db", 80, synchronous=mode)
                after = Path(name) / "after"
                found = cut_often(history, after, cuts=cuts // RUNS, seed=seed + number)
            one = (found.cuts, found.damaged, found.lost, found.half)
            total = [so_far + more for so_far, more in zip(total, one, strict=True)]
        yield (
            f"WAL {mode:7} {total[0]:4} power cuts: {total[1]:4} files damaged,"
            f" {total[2]:5} acknowledged entries lost, {total[3]:3} halved   ({target})"
        )
    with tempfile.TemporaryDirectory() as name:
        killed = kill_often(Path(name) / "shop.db", kills=kills, seed=seed)
    yield (
        f"{killed.kills} kills, {killed.acknowledged} acknowledged: {killed.lost} lost,"
        f" {killed.halved} halved, {killed.damaged} damaged, {killed.unasked} there unacknowledged"
    )


def main() -> None:
    """Print the lines."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--cuts", type=int, default=900)
    parser.add_argument("--kills", type=int, default=200)
    parser.add_argument("--seed", type=int, default=1)
    given = parser.parse_args()
    for line in run(cuts=given.cuts, kills=given.kills, seed=given.seed):
        print(line, flush=True)


if __name__ == "__main__":
    main()
