"""The day plan's problem told to PyJobShop 0.0.9 (MIT), whose proved optimum must be ours.

It shares no code with `kiosk.proof`; only the solver below both is the same. Every step is a task
on people and a bench that may not overlap a break. A task of its own keeps the room before a break;
one that may idle keeps a slot of a place until the next step; two of which one is chosen stand for
a step that may have to be scuffed first.
"""

from typing import Any

from pyjobshop import Model

from kiosk.rules.dayplan.model import Chain, Frees, Problem, Work

# more at once than any shop has
MANY = 1000
# minutes from now by when a job without a due is never late
SOME_DAY = 10**7


def optimum(problem: Problem, *, seconds: float) -> int | None:
    """Return the least lateness and finish, None if that could not be proved in time.

    For people who are alike, without pins and steps begun; jobs all weigh 1, or finishes count
    nothing, as PyJobShop's weights count for both.
    """
    aims = problem.aims
    assert not problem.pins
    assert not aims.finish or {job.weight for job in problem.jobs} == {1.0}
    oracle = _Oracle(problem)
    oracle.model.set_objective(
        weight_total_tardiness=int(aims.late), weight_total_flow_time=int(aims.finish)
    )
    result = oracle.model.solve(time_limit=seconds, num_workers=4, display=False)
    return int(result.objective) if result.status.name == "OPTIMAL" else None


class _Oracle:
    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.model = Model()
        now, spans = problem.now, problem.people[0].spans
        assert all(worker.spans == spans and not worker.stations for worker in problem.people)
        edges = [now, *(minute for span in spans for minute in (span.starts, span.ends))]
        gaps = zip(edges[::2], edges[1::2], strict=False)
        breaks = [(starts - now, ends - now) for starts, ends in gaps if ends > starts]
        add = self.model.add_renewable
        self.people = add(len(problem.people), breaks)
        self.hours = add(MANY, breaks)
        self.benches = {bench.station: add(bench.count) for bench in problem.benches}
        self.stores = {store.place: add(store.slots) for store in problem.stores}
        self.jobs = [
            self.model.add_job(
                weight=int(job.weight), due_date=SOME_DAY if job.due is None else job.due - now
            )
            for job in problem.jobs
        ]
        # each step as one task, or as two of which one is chosen
        self.tasks: list[list[list[Any]]] = []
        self.lasts: list[list[Any]] = []
        for chain in problem.chains:
            self._add(chain)
        for number, chain in enumerate(problem.chains):
            for index, work in enumerate(chain.works):
                for other in work.after:
                    for last in self.lasts[other]:
                        self._before(last, self.tasks[number][index], 0)

    def _add(self, chain: Chain) -> None:
        tasks: list[list[Any]] = []
        assert chain.held is None
        for work in chain.works:
            tasks.append(self._ways(chain, work))
            if len(tasks) > 1:
                self._before(tasks[-2], tasks[-1], 0)
            for lag in work.waits:
                self._before(tasks[lag.work], tasks[-1], lag.minutes)
            if len(tasks[-1]) == 2:
                self._window(work, tasks)
        self.tasks.append(tasks)
        for index, work in enumerate(chain.works):
            if work.hold is not None:
                self._hold(work, tasks[index], tasks[index + 1] if index + 1 < len(tasks) else None)
        self.lasts.append([tasks[-1]])
        for lag in chain.ends:
            end = self.model.add_task(self.jobs[chain.job])
            self.model.add_mode(end, [self.hours], 0, [0])
            self._before(tasks[lag.work], [end], lag.minutes)
            self.lasts[-1].append([end])

    def _ways(self, chain: Chain, work: Work) -> list[Any]:
        is_soft = bool(work.extra and (work.closes or work.closes_at is not None))
        ways = []
        for extra in (0, work.extra) if is_soft else (0,):
            earliest = max(0, (work.earliest or 0) - self.problem.now)
            job = self.jobs[chain.job]
            task = self.model.add_task(job, earliest_start=earliest, optional=is_soft)
            on = [self.people, self.benches[work.station]]
            self.model.add_mode(task, on, work.minutes + extra, [work.crew, 1])
            room = self.model.add_task(optional=is_soft)
            self.model.add_mode(room, [self.hours], work.room + extra, [1])
            self.model.add_start_at_start(task, room)
            if is_soft:
                self.model.add_select_all_or_none([task, room])
            ways.append(task)
        if is_soft:
            self.model.add_select_exactly_one(ways)
        return ways

    def _before(self, first: list[Any], then: list[Any], minutes: int) -> None:
        for one in first:
            for other in then:
                self.model.add_end_before_start(one, other, minutes)

    def _window(self, work: Work, tasks: list[list[Any]]) -> None:
        """Let the first way start by the close and the second past it."""
        assert len(work.closes) == 1
        assert work.closes_at is None
        (in_time, late), (close,) = tasks[-1], work.closes
        for before in tasks[close.work]:
            self.model.add_start_before_end(in_time, before, -close.minutes)
            self.model.add_end_before_start(before, late, close.minutes + 1)

    def _hold(self, work: Work, steps: list[Any], following: list[Any] | None) -> None:
        hold = work.hold
        assert hold is not None
        assert hold.frees is not Frees.REST
        # after the last step a hold ends with its rest, and here it rests no longer
        assert following is not None or not hold.minutes
        held = self.model.add_task(allow_idle=True)
        self.model.add_mode(held, [self.stores[hold.place]], 1, [hold.slots])
        for step in steps:
            self.model.add_start_at_start(held, step)
        at_end = following is None or hold.frees is Frees.END
        ends = self.model.add_end_at_end if at_end else self.model.add_end_at_start
        for step in following or steps:
            ends(held, step)
