"""Keep what the steps of a search share, and tell how far it is."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Final

from kiosk.rules.breakdown.bench import Bench
from kiosk.rules.breakdown.choices import rank, show
from kiosk.rules.breakdown.covering import Pool
from kiosk.rules.breakdown.model import Breakdown, Draw, Task
from kiosk.rules.breakdown.search import Hunt

HEARD: Final = 100  # progress is told so many times (choice)


@dataclass(slots=True)
class Desk:
    """What the steps of a search share: the best layout of all, all that are worth a look, sheets.

    pool holds sheets of any step so far. done and total count tries, told the hundredths told of.
    """

    task: Task
    bound: int
    draw: Draw
    tries: int
    go_on: Callable[[], bool]
    heard: Callable[[Breakdown], None]
    progress: Callable[[float], None]
    best: Bench
    pool: Pool
    found: list[Bench] = field(default_factory=list)
    done: int = 0
    total: int = 1
    told: int = 0
    is_over: bool = False

    @property
    def is_met(self) -> bool:
        """Tell whether no layout can take fewer sheets than the best."""
        return not self.best.out and self.best.taken()[0] <= self.bound

    def take(self, bench: Bench) -> None:
        """Take a layout for the best where it is, and tell of it."""
        if rank(bench) < rank(self.best):
            self.best = bench.copy()
            self.heard(show(self.task, self.best, self.bound))

    def hunt(self, bench: Bench, tries: int) -> Hunt:
        """Return a search from a layout; each try it takes is told of."""
        left = tries

        def go_on() -> bool:
            nonlocal left
            left -= 1
            self.tell(tries - left)
            return self.may()

        return Hunt(bench, self.draw, tries, go_on, self.pool.add)

    def may(self) -> bool:
        """Ask whether to go on; after a no nobody is asked again."""
        self.is_over = self.is_over or not self.go_on()
        return not self.is_over

    def tell(self, more: int) -> None:
        """Say how far the search is, where that is a step further."""
        step = (self.done + more) * HEARD // self.total
        if step > self.told:
            self.told = step
            self.progress(step / HEARD)

    def end(self, tries: int) -> None:
        """Count tries as done, whether they were made or not."""
        self.done += tries
        self.tell(0)
