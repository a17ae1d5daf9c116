"""What has begun stays, what is far over its time or was left for something else does not."""

from dataclasses import replace
from datetime import timedelta

import pytest

from kiosk.rules.dayplan.built import Built, ChainNames
from kiosk.rules.dayplan.model import (
    Bench,
    Chain,
    Due,
    Pin,
    Placed,
    Plan,
    Problem,
    Span,
    Work,
    Worker,
)
from kiosk.rules.dayplan.pins import Scan, begun_at_scans, under_way
from kiosk.rules.dayplan.triggers import must_replan
from kiosk.rules.workday import minute_of
from tests.builders import at

EIGHT = minute_of(at("08:00"))
DAY = (Span(EIGHT - 30, EIGHT + 240), Span(EIGHT + 285, EIGHT + 540))
STAFF = (Worker("Ida", DAY), Worker("Ole", DAY))
AFTER = (Worker("Ida", DAY[1:]), Worker("Ole", DAY[1:]))  # from the break on


def built(*units, now=EIGHT, people=STAFF, works=None):
    """A shop whose units have a sanding of 20 minutes and a coat of 10 to go."""
    steps = works or (Work("sand", "finish", 20), Work("coat-1", "finish", 10))
    chains = tuple(Chain(0, unit, steps) for unit in units)
    names = tuple(ChainNames(("JARS", unit), unit, "shelf", ("sand", "coat 1")) for unit in units)
    problem = Problem(now, people, (Bench("finish", 2),), (), (Due("JARS"),), chains)
    return Built(problem, names)


def plan(*rows):
    """A plan of rows (chain, work, start in minutes from eight, minutes, people)."""
    placed = tuple(
        Placed(chain, work, EIGHT + starts, EIGHT + starts + long, people)
        for chain, work, starts, long, people in rows
    )
    return Plan(placed, 0.0)


SANDS = plan((0, 0, 0, 20, (0,)), (1, 0, 0, 20, (1,)), (0, 1, 20, 10, (0,)), (1, 1, 20, 10, (1,)))
OLD = built("S1", "S2")


def pins_at(mins, *scans, new=None, before=SANDS):
    now = at("08:00") + timedelta(minutes=mins)
    return under_way(before, OLD, new or OLD, now=now, scans=scans)


def test_what_has_begun_by_the_plan_is_under_way():
    assert pins_at(5) == (
        Pin(0, EIGHT, EIGHT + 20, (0,)),
        Pin(1, EIGHT, EIGHT + 20, (1,)),
    )
    assert pins_at(0) == pins_at(5)


def test_before_its_start_nothing_is_under_way():
    assert under_way(SANDS, OLD, OLD, now=at("07:50")) == ()


def test_a_little_over_its_time_it_is_given_a_few_minutes_more():
    assert pins_at(28)[0] == Pin(0, EIGHT, EIGHT + 33, (0,))


@pytest.mark.parametrize(("mins", "count"), [(30, 2), (31, 0)])
def test_half_as_long_again_is_the_most(mins, count):
    assert len(pins_at(mins)) == count


def test_a_step_under_way_is_never_stretched_past_its_bound():
    # looked at each minute, as a screen does: its end in the plan moves on, its work does not
    placed = SANDS
    for mins in range(31):
        pins = pins_at(mins, before=placed)
        assert [pin.chain for pin in pins] == [0, 1]
        placed = plan(*((pin.chain, 0, 0, pin.ends - EIGHT, pin.people) for pin in pins))
    assert pins_at(31, before=placed) == ()
    assert news(now="08:31", before=placed, after=plan())


def test_what_a_missed_window_adds_is_part_of_a_step():
    late = Work("coat-1", "finish", 10, extra=20, closes_at=EIGHT - 1)
    coats = built("S1", works=(late,))
    placed = plan((0, 0, 0, 30, (0,)))
    for before in (placed, Plan((replace(placed.placed[0], extra=20),), 0.0)):
        for mins, count in ((45, 1), (46, 0)):
            now = at("08:00") + timedelta(minutes=mins)
            assert len(under_way(before, coats, coats, now=now)) == count


def test_whoever_scanned_something_since_does_something_else():
    scan = Scan(at("08:04"), "Ida")
    assert [pin.chain for pin in pins_at(5, scan)] == [1]
    before = Scan(at("07:59"), "Ida")
    assert len(pins_at(5, before)) == 2


def test_a_step_that_is_done_is_not_under_way_and_the_next_is_once_it_begins():
    new = built("S1", "S2", works=(Work("coat-1", "finish", 10),))
    assert pins_at(15, new=new) == ()
    assert [(pin.chain, pin.starts) for pin in pins_at(22, new=new)] == [
        (0, EIGHT + 20),
        (1, EIGHT + 20),
    ]


def test_who_is_not_there_any_more_does_nothing():
    new = built("S1", "S2", people=STAFF[1:])
    assert pins_at(5, new=new) == (Pin(1, EIGHT, EIGHT + 20, (0,)),)


def test_pins_of_one_person_never_overlap():
    both = plan((0, 0, 0, 20, (0,)), (1, 0, 20, 20, (0,)))
    assert [pin.chain for pin in pins_at(22, before=both)] == [0]


def news(after=SANDS, new=OLD, *, now="08:05", before=SANDS, built=OLD):
    return must_replan(before, built, after, new, now=at(now))


def test_a_quiet_minute_is_no_news():
    assert not news()


def cut_at(clock, staff=STAFF):
    """The shop as it is built at a time: stretches under way begin then."""
    now = minute_of(at(clock))
    people = tuple(
        replace(one, spans=tuple(replace(s, starts=max(s.starts, now)) for s in one.spans))
        for one in staff
    )
    return built("S1", "S2", now=now, people=people)


def test_the_end_of_the_break_is_news_once():
    nothing = {"before": plan(), "after": plan()}
    noon = EIGHT + 240
    early = built("S1", "S2", now=noon + 30)
    assert news(built=early, new=cut_at("12:45", AFTER), now="12:45", **nothing)
    assert not news(
        built=cut_at("12:45", AFTER), new=cut_at("12:50", AFTER), now="12:50", **nothing
    )


def test_a_stretch_that_is_cut_at_each_look_is_no_news():
    assert not news(built=cut_at("08:04"), new=cut_at("08:05"))


def test_changed_hours_of_somebody_are_news():
    def off(ends):
        return replace(STAFF[0], spans=(DAY[0], Span(DAY[1].starts, EIGHT + ends)))

    assert news(new=cut_at("08:05", (off(539), STAFF[1])))
    assert not news(new=cut_at("08:05", (off(540), STAFF[1])))


def test_days_that_only_one_of_the_problems_knows_are_no_news():
    far = Span(EIGHT + 120 * 1440, EIGHT + 120 * 1440 + 60)
    assert not news(new=cut_at("08:05", (replace(STAFF[0], spans=(*DAY, far)), STAFF[1])))


def test_a_new_unit_a_new_day_and_a_lost_person_are_news():
    assert news(new=built("S1", "S2", "S3"))
    assert not news(new=built("S1"), after=plan((0, 0, 0, 20, (0,))))
    assert news(new=built("S1", "S2", people=STAFF[:1]))
    moved = replace(OLD.problem, jobs=(Due("JARS", EIGHT + 999),))
    assert news(new=replace(OLD, problem=moved))


def test_a_step_far_over_its_time_is_news_until_it_is_done():
    assert news(now="08:31", after=plan())
    coats = built("S1", "S2", works=(Work("coat-1", "finish", 10),))
    assert not news(now="08:31", new=coats, after=plan())


def test_a_start_that_moves_by_more_than_half_an_hour_is_news_if_it_is_near():
    def moved(mins, start=40):
        before = plan((0, 1, start, 10, (0,)))
        return news(before=before, after=plan((0, 1, start + mins, 10, (0,))))

    assert (moved(30), moved(31), moved(-31)) == (False, True, True)
    assert not moved(60, start=200)


# -- a plan nobody followed since it was written -------------------------------------------------


def begun(*scans, before=SANDS, new=OLD):
    at_scans = [Scan(at("08:00") + timedelta(minutes=mins), who) for mins, who in scans]
    plan_now = begun_at_scans(before, OLD, new, scans=at_scans)
    return [(one.chain, one.work, one.starts - EIGHT, one.ends - EIGHT) for one in plan_now.placed]


def test_what_could_not_begin_yet_begins_at_the_scan_before_it():
    assert begun((10, "Ida")) == [(1, 0, 0, 20), (0, 0, 10, 30), (0, 1, 20, 30), (1, 1, 20, 30)]
    later = begun_at_scans(SANDS, OLD, OLD, scans=[Scan(at("08:10"), "Ida")])
    scans = [Scan(at("08:10"), "Ida")]
    pins = under_way(later, OLD, OLD, now=at("08:12"), scans=scans)
    assert Pin(0, EIGHT + 10, EIGHT + 30, (0,)) in pins
    assert Pin(0, EIGHT, EIGHT + 20, (0,)) not in under_way(
        SANDS, OLD, OLD, now=at("08:12"), scans=scans
    )


def test_without_a_later_scan_a_plan_stays_as_it_is():
    assert begun_at_scans(SANDS, OLD, OLD) is SANDS
    assert begun_at_scans(SANDS, OLD, OLD, scans=[Scan(at("07:50"), "Ida")]) is SANDS
    assert begun_at_scans(SANDS, OLD, OLD, scans=[Scan(at("08:10"), "Nora")]) is SANDS


def test_only_the_next_step_of_somebody_moves_to_their_scan():
    one_after_another = plan((0, 0, 0, 20, (0,)), (1, 0, 20, 20, (0,)))
    assert begun((30, "Ida"), before=one_after_another) == [(1, 0, 20, 40), (0, 0, 30, 50)]


def test_a_step_of_nobody_stays():
    nobody = plan((0, 0, 0, 20, ()))
    assert begun((10, "Ida"), before=nobody) == [(0, 0, 0, 20)]
