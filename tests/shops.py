"""Shops for the day plan, made from a number: the same number gives the same shop for ever.

Units go cut, glue, unclamp, fill, sand, coat 1, coat 2, fit cleat, load, hang, with the figures of
a small workshop (choices). What is held goes from clamps to rack and never back, so that units
cannot block each other for ever, whatever the order.
"""

from collections.abc import Collection
from dataclasses import dataclass, replace
from random import Random

from hypothesis import strategies as st

from kiosk.rules.dayplan.model import (
    Bench,
    Chain,
    Due,
    Frees,
    Hold,
    Lag,
    Pin,
    Problem,
    Span,
    Store,
    Work,
    Worker,
)

DAY = 24 * 60
MONDAY = 20_521 * DAY  # 2026-03-09, minutes since 1970
OPENS, LUNCH, BACK, CLOSES = 450, 720, 765, 1020  # 07:30-17:00 less 45 minutes of lunch
NOW = MONDAY + OPENS
STATIONS = {"cut": 1, "assemble": 2, "finish": 1, "load": 1, "install": 1}
CLAMPS, RACK = 40, 24
# share of the people's hours that the dues ask for
LOAD = 0.9

# what a shop may have beyond the plain one
ODDS = (
    "skills",  # not everybody knows each station
    "crews",  # two people load and hang
    "away",  # days off, short days
    "supports",  # a unit hangs after the one that carries it
    "hangs",  # a drive for the whole job before any of it hangs
    "held",  # units half done, in clamps or on the rack
    "pins",  # steps under way
    "tight",  # few clamps and places
    "days",  # steps that start no earlier than a day, or go off at one
)


@dataclass(frozen=True, slots=True)
class _Kind:
    """How long one unit of a kind takes: touch minutes by step, rests, clamps."""

    minutes: dict[str, int]
    cures: int
    clamps: int
    first_coat: int
    window: int
    second_coat: int


def make_shop(
    seed: int, *, units: int = 10, people: int = 2, lots: int = 1, odds: Collection[str] = ()
) -> Problem:
    """Return a shop on a Monday morning with jobs of 3 to 12 units.

    lots joins up to so many equal units of a job into one chain. odds are some of ODDS.
    """
    random = Random(seed)
    # one alone can never do what takes two
    odds = [odd for odd in odds if people > 1 or odd != "crews"]
    sizes = _sizes(random, units)
    jobs: list[Due] = []
    chains: list[Chain] = []
    work_before = 0
    for index, size in enumerate(sizes):
        made = _job_chains(random, index, _lots(random, size, lots), len(chains), odds)
        chains += made
        work_before += sum(work.minutes * work.crew for chain in made for work in chain.works)
        due = _due(random, work_before, people)
        jobs.append(Due(f"J{index + 1}", due, float(random.randint(1, 3))))
    stores = _stores(random, odds)
    if "held" in odds:
        chains = _half_done(random, chains, stores)
    staff = _staff(random, people, 8 + sum(sizes) // 4, odds)
    problem = Problem(
        now=NOW,
        people=staff,
        benches=tuple(Bench(*one) for one in STATIONS.items()),
        stores=stores,
        jobs=tuple(jobs),
        chains=tuple(chains),
    )
    return replace(problem, pins=_pins(random, problem)) if "pins" in odds else problem


def small_shops() -> st.SearchStrategy[Problem]:
    """Return shops of 1 to 8 units with whatever oddities."""
    return st.builds(
        make_shop,
        st.integers(0, 10**6),
        units=st.integers(1, 8),
        people=st.integers(1, 4),
        lots=st.sampled_from((1, 2, 4)),
        odds=st.sets(st.sampled_from(ODDS)).map(sorted),
    )


def _sizes(random: Random, units: int) -> list[int]:
    sizes: list[int] = []
    while sum(sizes) < units:
        sizes.append(min(units - sum(sizes), random.randint(3, 12)))
    return sizes


def _lots(random: Random, size: int, lots: int) -> list[tuple[_Kind, int]]:
    """Return the kinds of a job's units, and how many go together."""
    found = []
    while size > 0:
        kind, alike = _kind(random), min(size, random.randint(1, 6))
        size -= alike
        while alike > 0:
            together = min(alike, lots)
            found.append((kind, together))
            alike -= together
    return found


def _kind(random: Random) -> _Kind:
    ranges = {
        "cut": (5, 12),
        "glue": (8, 25),
        "unclamp": (2, 5),
        "fill": (3, 8),
        "sand": (5, 15),
        "coat 1": (5, 10),
        "coat 2": (5, 10),
        "fit cleat": (4, 10),
        "load": (2, 5),
        "hang": (8, 20),
    }
    return _Kind(
        minutes={step: random.randint(*range_) for step, range_ in ranges.items()},
        cures=random.choice((45, 60, 120, 240)),
        clamps=random.randint(2, 8),
        first_coat=random.choice((120, 180, 240)),
        window=random.choice((960, 1200, 1440)),
        second_coat=random.choice((360, 480, 720)),
    )


def _unit_works(random: Random, kind: _Kind, many: int, odds: Collection[str]) -> list[Work]:
    """Return the steps of a unit, or of some alike, up to the hanging."""
    took = {step: minutes * many for step, minutes in kind.minutes.items()}
    crew = 2 if "crews" in odds else 1
    rack = Hold("rack", many)
    works = [
        Work("cut", "cut", took["cut"]),
        Work(
            "glue",
            "assemble",
            took["glue"],
            fits=took["glue"] * 6 // 5,  # it cannot be left half done
            hold=Hold("clamps", min(kind.clamps * many, CLAMPS), Frees.END),
        ),
        Work("unclamp", "assemble", took["unclamp"], waits=(Lag(1, kind.cures),)),
        Work("fill", "assemble", took["fill"]),
        Work("sand", "finish", took["sand"], waits=(Lag(3, 60),)),
        Work("coat 1", "finish", took["coat 1"], fits=took["coat 1"] * 6 // 5, hold=rack),
        Work(
            "coat 2",
            "finish",
            took["coat 2"],
            fits=took["coat 2"] * 6 // 5,
            waits=(Lag(5, kind.first_coat),),
            closes=(Lag(5, kind.window),),
            extra=random.randint(3, 8) * many,
            hold=rack,
        ),
        Work(
            "fit cleat", "finish", took["fit cleat"], waits=(Lag(6, kind.second_coat),), hold=rack
        ),
        Work("load", "load", took["load"], crew=crew, waits=(Lag(6, kind.second_coat + 60),)),
        Work("hang", "install", took["hang"], crew=crew),
    ]
    if "days" in odds:
        step = random.randrange(len(works))
        works[step] = replace(works[step], earliest=NOW + random.randint(0, 3 * DAY))
        step = random.randrange(len(works))
        days = random.randint(0, 4 * DAY)
        works[step] = replace(works[step], closes_at=NOW + days, extra=random.randint(1, 9))
    return works


def _job_chains(
    random: Random,
    job: int,
    made: list[tuple[_Kind, int]],
    before: int,
    odds: Collection[str],
) -> list[Chain]:
    """Return the chains of a job; before counts those of the jobs before it."""
    rows = [_unit_works(random, kind, many, odds) for kind, many in made]
    names = [f"J{job + 1}-{number + 1}" for number in range(len(rows))]
    if "hangs" not in odds:
        chains = [Chain(job, name, tuple(row)) for name, row in zip(names, rows, strict=True)]
        return _supported(random, chains, before) if "supports" in odds else chains
    first_hang = before + len(rows) + 1
    chains = [
        Chain(job, name, tuple(row[:8]), ends=(Lag(6, 720),))
        for name, row in zip(names, rows, strict=True)
    ]
    loads = sum(row[8].minutes for row in rows)
    units = tuple(range(before, before + len(rows)))
    # a long one would not fit into half a day
    drive = Work("load", "load", min(loads, 200), crew=rows[0][8].crew, after=units)
    chains.append(Chain(job, f"J{job + 1} drive", (drive,), ends=(Lag(0, 20),)))
    hangs = [
        Chain(job, name, (replace(row[9], waits=(), after=(first_hang - 1,)),))
        for name, row in zip(names, rows, strict=True)
    ]
    return chains + (_supported(random, hangs, first_hang) if "supports" in odds else hangs)


def _supported(random: Random, chains: list[Chain], before: int) -> list[Chain]:
    """Return chains some of which hang after one before them, and after it has set a while."""
    found = chains[:1]
    for index, chain in enumerate(chains[1:], 1):
        works = list(chain.works)
        if random.random() < 0.5:
            carrier = random.randrange(index)
            works[-1] = replace(works[-1], after=(*works[-1].after, before + carrier))
            lag = Lag(len(found[carrier].works) - 1, random.choice((0, 30, 600)))
            found[carrier] = replace(found[carrier], ends=(*found[carrier].ends, lag))
        found.append(replace(chain, works=tuple(works)))
    return found


def _due(random: Random, work_before: int, people: int) -> int | None:
    """Return when a job is due, by what there is to do up to it, at LOAD, and two days of rests."""
    if random.random() < 0.1:
        return None
    hours = (LUNCH - OPENS) + (CLOSES - BACK)
    days = int(work_before / (people * hours * LOAD)) + 2 + random.randint(0, 1)
    day = days + 2 * (days // 5)
    return MONDAY + day * DAY + CLOSES


def _stores(random: Random, odds: Collection[str]) -> tuple[Store, ...]:
    if "tight" not in odds:
        return (Store("clamps", CLAMPS), Store("rack", RACK))
    # the largest lot must still find room: 4 units of 8 clamps
    return (Store("clamps", random.randint(32, 36)), Store("rack", random.randint(4, 6)))


def _staff(random: Random, people: int, weeks: int, odds: Collection[str]) -> tuple[Worker, ...]:
    staff = []
    for number in range(people):
        spans = []
        for day in range(weeks * 7):
            # the first two are always there: else a crew might never meet
            is_away = "away" in odds and number > 1 and random.random() < 0.3
            if day % 7 < 5 and not is_away:
                spans += _hours(random, MONDAY + day * DAY, number, odds)
        stations: tuple[str, ...] = ()
        if "skills" in odds and number > 1:
            stations = tuple(sorted(random.sample(sorted(STATIONS), random.randint(1, 4))))
        elif "skills" in odds and people > 1 and "crews" not in odds:
            half = (("cut", "assemble", "load"), ("finish", "install", "assemble"))
            stations = half[number]
        staff.append(Worker(f"worker {number + 1}", tuple(spans), stations))
    return tuple(staff)


def _hours(random: Random, day: int, number: int, odds: Collection[str]) -> list[Span]:
    later = random.choice((0, 0, 0, 20, 45)) if "away" in odds and number else 0
    return [Span(day + OPENS + later, day + LUNCH), Span(day + BACK, day + CLOSES - later)]


def _half_done(random: Random, chains: list[Chain], stores: tuple[Store, ...]) -> list[Chain]:
    """Return the chains with some begun before now: their past lags are set to minutes."""
    left = {store.place: store.slots for store in stores}
    found = []
    for chain in chains:
        done = random.choice((0, 0, 2, 5, 6, 7)) if len(chain.works) > 7 else 0
        hold = chain.works[done - 1].hold if done else None
        if hold is not None:
            if hold.slots > left[hold.place]:
                done, hold = 0, None
            else:
                left[hold.place] -= hold.slots
        ended = NOW - random.randint(0, 900)
        found.append(replace(_begun(chain, done, ended), held=hold))
    return found


def _begun(chain: Chain, done: int, ended: int) -> Chain:
    """Return what is left of a chain after some steps, the last of which ended then."""
    works = []
    for work in chain.works[done:]:
        gone = [ended + lag.minutes for lag in work.waits if lag.work < done]
        closes = [ended + lag.minutes for lag in work.closes if lag.work < done]
        if work.earliest is not None:
            gone.append(work.earliest)
        if work.closes_at is not None:
            closes.append(work.closes_at)
        works.append(
            replace(
                work,
                waits=_moved(work.waits, done),
                closes=_moved(work.closes, done),
                earliest=max(gone, default=None),
                closes_at=min(closes, default=None),
            )
        )
    return replace(chain, works=tuple(works), ends=_moved(chain.ends, done))


def _moved(lags: tuple[Lag, ...], done: int) -> tuple[Lag, ...]:
    return tuple(Lag(lag.work - done, lag.minutes) for lag in lags if lag.work >= done)


def _pins(random: Random, problem: Problem) -> tuple[Pin, ...]:
    """Return steps under way: as many as there are people and benches, and none that holds."""
    free = list(range(len(problem.people)))
    benches = {bench.station: bench.count for bench in problem.benches}
    pins = []
    for index in random.sample(range(len(problem.chains)), min(4, len(problem.chains))):
        work = problem.chains[index].works[0]
        if work.after or work.hold or benches[work.station] == 0 or len(free) < work.crew:
            continue
        benches[work.station] -= 1
        crew = tuple(free.pop() for _each in range(work.crew))
        # people may be slower or faster than expected, and at any station
        starts = problem.now - random.randint(0, 20)
        pins.append(Pin(index, starts, problem.now + random.randint(0, 30), crew))
    return tuple(pins)
