"""Run every benchmark and print value, and what it is compared with in the same run.

.venv/bin/python -m tests.bench            the full run, well over an hour
.venv/bin/python -m tests.bench --quick    a small one
"""

from __future__ import annotations

import sys
from collections.abc import Iterable

from tests.bench import bench_air, bench_plan, bench_shop, bench_start


def main() -> None:
    """Print a line for each measure."""
    quick = "--quick" in sys.argv
    lines: list[Iterable[tuple[str, float, str, str]]] = [
        bench_shop.run(history=20_000, units=200, scans=40) if quick else bench_shop.run(),
        bench_start.run(),
        bench_air.run(units=200, days=5) if quick else bench_air.run(),
        bench_plan.run(seeds=3, sizes=(30,), is_full=False) if quick else bench_plan.run(),
    ]
    try:
        from tests.bench import bench_labels

        lines.append(bench_labels.run(count=60 if quick else 1_000))
    except ImportError:
        pass
    for group in lines:
        for name, value, unit, beside in group:
            print(f"{name:42} {value:12,.2f} {unit:10} {beside}", flush=True)


if __name__ == "__main__":
    main()
