"""Say how long nobody may try a PIN after wrong ones. Sources: docs/rules.md, "Supervisors"."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from typing import Final

from kiosk.rules.times import say_span
from kiosk.rules.words import say_n

# Five tries leave room for slips of a gloved finger. With the longest wait after each further try
# somebody who guesses day and night tries 24 a day: a million PINs take a century. Choice.
FREE_TRIES: Final = 5
FIRST_WAIT: Final = timedelta(seconds=30)
LONGEST_WAIT: Final = timedelta(hours=1)
IN_SECONDS: Final = timedelta(seconds=90)  # up to so long a wait is said in seconds; choice


@dataclass(frozen=True, slots=True)
class Tries:
    """The wrong tries of one person's PIN since it was last right.

    since is when the latest one was made, by this machine's clock, None before the first. told
    tells that a try made during the wait was refused and logged.
    """

    wrong: int = 0
    since: datetime | None = None
    told: bool = False


def wait_of(wrong: int) -> timedelta:
    """Return how long nobody may try after so many wrong tries; zero for fewer than FREE_TRIES."""
    if wrong < FREE_TRIES:
        return timedelta()
    doublings = min(wrong - FREE_TRIES, 16)  # the longest wait is reached long before
    return min(FIRST_WAIT * (1 << doublings), LONGEST_WAIT)


def left_of(tries: Tries, now: datetime) -> timedelta:
    """Return how long nobody may try from now on; zero where one may.

    A clock set back since the latest try tells nothing of the time that went by: the whole wait is
    left then, never less.
    """
    if tries.since is None:
        return timedelta()
    wait = wait_of(tries.wrong)
    gone = now - tries.since
    return wait if gone < timedelta() else max(wait - gone, timedelta())


def begin_try(tries: Tries, now: datetime) -> Tries:
    """Return the tries once one more begins: counted as wrong before anybody looks at the PIN.

    So the power cannot be cut between a wrong PIN and its count. One that comes during the wait is
    not counted; after a clock was set back the wait begins anew by it.
    """
    if tries.since is not None and left_of(tries, now):
        return replace(tries, since=min(tries.since, now), told=True)
    return Tries(tries.wrong + 1, now)


def free_tries(wrong: int) -> int:
    """Return how many wrong tries are left before the first wait."""
    return max(0, FREE_TRIES - wrong)


def say_wait(wait: timedelta) -> str:
    """Return a wait rounded up: `30 seconds` up to 90 of them, then as every span."""
    if wait > IN_SECONDS:
        return say_span(wait)
    return say_n("{n} second", "{n} seconds", -(-wait // timedelta(seconds=1)))
