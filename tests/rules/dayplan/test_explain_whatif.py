"""The one change that would help: tried by an engine that does one step after the other."""

from dataclasses import replace

from kiosk.rules.dayplan.model import Chain, Due, Hold, Lag, Placed, Plan, Span, Store, Worker
from kiosk.rules.dayplan.outline import Outline
from kiosk.rules.dayplan.whatif import best_change, changes
from tests.rules.dayplan.explained import at, built, glued, problem, span, work


def in_turn(shop):
    """Plan chain after chain, each step as soon as somebody, a slot and its rest allow."""
    busy = [set() for _ in shop.people]
    slots = {store.place: store.slots for store in shop.stores}
    held, made, cost = [], [], 0.0
    for index, chain in enumerate(shop.chains):
        ready, ends, opened = shop.now, {}, None
        for number, one in enumerate(chain.works):
            first = max([ready, one.earliest or 0, *(ends[w.work] + w.minutes for w in one.waits)])
            extra = 0
            if any(ends[c.work] + c.minutes < first for c in one.closes):
                extra = one.extra
            starts, person = _place(shop, busy, first, one, extra, held, slots)
            finish = starts + one.minutes + extra
            busy[person].update(range(starts, finish))
            if opened is not None:
                held.append((opened[0].place, opened[0].slots, opened[1], starts))
                opened = None
            if one.hold is not None:
                opened = (one.hold, starts)
            ends[number] = ready = finish
            made.append(Placed(index, number, starts, finish, (person,), extra))
        due = shop.jobs[chain.job].due
        cost += max(0, ready - due) if due is not None else 0
    return Plan(tuple(sorted(made, key=lambda one: one.starts)), cost)


def _place(shop, busy, first, one, extra, held, slots):
    starts = first
    while True:
        minutes = set(range(starts, starts + one.minutes + extra))
        taken = sum(
            s for place, s, a, b in held if one.hold and place == one.hold.place and a <= starts < b
        )
        room = one.hold is None or taken + one.hold.slots <= slots[one.hold.place]
        for person, worker in enumerate(shop.people):
            there = any(s.starts <= starts and max(minutes) < s.ends for s in worker.spans)
            if room and there and not minutes & busy[person]:
                return starts, person
        starts += 1


def long_days(count=6):
    return tuple(span("08:00", "17:00", day=day) for day in range(count))


ANN = Worker("Ann", long_days())


def said(shop):
    return best_change(built(shop), in_turn(shop), in_turn)


def test_where_no_job_is_late_nothing_is_said():
    assert said(problem(glued("S1"), dues=(Due("GLZ", at("17:00")),))) == ""


def test_more_slots_help_where_clamps_are_short():
    # three glue-ups of which each rests four hours in both clamps; the engine holds back the rest
    chains = [glued(f"S{n}", rest=240) for n in range(2)]
    shop = problem(*chains, people=(ANN,), dues=(Due("GLZ", at("14:00")),))
    assert said(shop) == "2 more slots at clamps (GLZ in time)"


def test_an_hour_today_helps_where_a_day_is_just_too_short():
    chains = [Chain(0, f"S{n}", (work("cut", minutes=300),)) for n in range(2)]
    shop = problem(
        *chains,
        people=(Worker("Ann", (span("08:00", "17:30"), *long_days()[1:])),),
        dues=(Due("GLZ", at("19:00")),),
    )
    assert said(shop) == "an hour more today (GLZ in time)"


def test_one_more_person_helps_where_hands_are_short():
    chains = [Chain(n, f"S{n}", (work("cut", minutes=500),)) for n in range(3)]
    dues = (Due("GLZ", at("17:00")), Due("KLN", at("17:00")), Due("SHW", at("17:00")))
    shop = problem(*chains, people=(ANN,), dues=dues)
    assert said(shop) == "one more person (KLN in time, and 1 other job sooner)"


def test_warmer_air_helps_where_rests_are_long():
    # 08:30 and five hours, and half an hour: an hour of the rest less makes it 13:00
    shop = problem(glued("S1", rest=300), dues=(Due("GLZ", at("12:50")),), people=(ANN,))
    assert said(shop) == "warmer air, so that rests are a fifth shorter (GLZ 60 min sooner)"


def test_wider_windows_help_where_a_scuff_makes_late():
    works = (
        work("coat-1", "finish"),
        work("coat-2", "finish", waits=(Lag(0, 60),), closes=(Lag(0, 50),), extra=120),
    )
    shop = problem(Chain(0, "S1", works), people=(ANN,), dues=(Due("GLZ", at("11:00")),))
    assert said(shop) == "recoat windows a day longer (GLZ in time)"


def test_days_gained_are_whole_days_and_never_rounded_up():
    works = (work("coat-1", "finish"), work("coat-2", "finish", waits=(Lag(0, 6 * 1440),)))
    people = (Worker("Ann", (Span(at("00:00"), at("00:00", day=20)),)),)
    shop = problem(Chain(0, "S1", works), people=people, dues=(Due("GLZ", at("12:00")),))
    # a fifth of six days is 28:48 h: one day, not two
    assert said(shop) == "warmer air, so that rests are a fifth shorter (GLZ 1 day sooner)"


def test_a_gain_of_minutes_is_not_worth_saying():
    shop = problem(glued("S1", rest=50), dues=(Due("GLZ", at("08:30")),), people=(ANN,))
    assert said(shop) == "nothing tried gains even 15 min"


def test_an_engine_that_does_better_on_the_shop_as_it_is_claims_nothing():
    shop = problem(glued("S1"), dues=(Due("GLZ", at("12:00")),), people=(ANN,))
    poor = Plan(
        (
            Placed(0, 0, at("08:00"), at("08:30"), (0,)),
            Placed(0, 1, at("16:00"), at("16:30"), (0,)),
        ),
        99.0,
    )
    assert best_change(built(shop), poor, in_turn) == ""


def tried(shop):
    return {str(one.words): one.problem for one in changes(Outline(shop, in_turn(shop)))}


def test_warmer_air_shortens_rests_windows_and_stays_but_not_what_is_over():
    chain = Chain(
        0,
        "S1",
        (
            work(
                "coat-2",
                "finish",
                earliest=at("10:00"),
                closes_at=at("07:00"),
                hold=Hold("clamps", 1, minutes=101),
            ),
        ),
        ends=(Lag(0, 99),),
        held=Hold("clamps", 1, minutes=10),
    )
    shop = tried(problem(chain))["warmer air, so that rests are a fifth shorter"]
    (warmer,) = shop.chains
    (step,) = warmer.works
    assert step.earliest == at("09:36")
    assert step.closes_at == at("07:00")
    assert step.hold.minutes == 81
    assert (warmer.ends[0].minutes, warmer.held.minutes) == (80, 8)


def test_only_places_that_fill_up_are_widened():
    shop = problem(glued("S1"), stores=(Store("clamps", 2), Store("rack", 9)))
    assert [words for words in tried(shop) if "slot" in words] == ["2 more slots at clamps"]


def test_a_window_at_a_set_time_is_widened_too():
    shop = problem(Chain(0, "S1", (work("coat-2", "finish", closes_at=at("09:00")),)))
    wider = tried(shop)["recoat windows a day longer"]
    assert wider.chains[0].works[0].closes_at == at("09:00", day=1)


def test_an_hour_more_goes_on_after_the_last_stretch_of_today():
    shop = tried(problem(glued("S1")))["an hour more today"]
    assert [one.ends for one in shop.people[0].spans] == [
        at("12:00"),
        at("18:00"),
        at("12:00", day=1),
        at("17:00", day=1),
    ]


def test_an_hour_more_today_is_not_offered_where_nobody_is_there_today():
    shop = problem(Chain(0, "S1", (work("cut"),)), people=(Worker("Ann", long_days()[1:]),))
    assert "an hour more today" not in tried(shop)
    evening = replace(shop, now=at("18:00"), people=(ANN,))
    assert "an hour more today" not in tried(evening)


def test_a_shop_without_people_or_rests_has_nothing_to_change():
    empty = problem(people=())
    assert list(changes(Outline(empty, Plan((), 0.0)))) == []
