"""Let kiosks run apart for long, and kiosks that work wrongly; print the seeds.

.venv/bin/python -m tests.bench.bench_converge [SEED]    400 runs of 40 steps, and every mutant
.venv/bin/python -m tests.bench.bench_converge --quick
"""

from __future__ import annotations

import sys
import time
from contextlib import redirect_stdout
from io import StringIO

from tests.apart import run
from tests.replicas import MUTANTS, Ways

SEED = 1


def main() -> None:
    """Print a line for the kiosks as they are and for each mutant; fail where one is not caught."""
    given = [word for word in sys.argv[1:] if word.isdigit()]
    number = int(given[0]) if given else SEED
    examples = 60 if "--quick" in sys.argv else 400
    missed = 0
    for ways in (Ways(), *MUTANTS):
        began = time.process_time()
        broke = _broke(ways, examples, number)
        spent = time.process_time() - began
        wanted = bool(broke) == (ways.name != Ways().name)
        missed += not wanted
        said = broke or f"{examples} runs of 40 steps agree"
        mark = "" if wanted else "  <- WRONG"
        print(f"{ways.name:45} seed {number} {spent:6.1f} s  {said}{mark}", flush=True)
    sys.exit(1 if missed else 0)


def _broke(ways: Ways, examples: int, number: int) -> str:
    """Return what broke, empty where nothing did."""
    try:
        with redirect_stdout(StringIO()):
            run(ways, examples=examples, steps=40, number=number)
    except AssertionError as error:
        return (str(error) or type(error).__name__).splitlines()[0]
    return ""


if __name__ == "__main__":
    main()
