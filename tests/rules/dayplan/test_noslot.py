"""Which units wait for a slot though somebody could go on with them, by hand for a small studio."""

from datetime import UTC

from kiosk.rules.dayplan.explain import say_day
from kiosk.rules.dayplan.model import Chain, Hold, Lag, Placed, Store, Worker
from tests.rules.dayplan.explained import (
    ANN,
    at,
    built,
    placed,
    plan,
    problem,
    span,
    when,
    work,
)

TOMORROW = 24 * 60


def no_slot(units, *, by="08:00", others="A1"):
    """Return the note about units that find no slot, with what has the clamps."""
    return (
        f"Hands are free today, but clamps has no slot for {units}:"
        f" by {by} it is full with {others}"
    )


def notes_of(chains, steps, **more):
    shop = problem(*chains, **more)
    return say_day(built(shop), plan(*steps), now=when("08:00"), zone=UTC).notes


def resting(unit="A1", **more):
    """Return a unit that has both clamps from now on until its step begins."""
    return Chain(0, unit, (work("unclamp", **more),), held=Hold("clamps", 2))


def glued(unit="B1", **more):
    """Return a unit that wants both clamps for its only step."""
    return Chain(0, unit, (work("glue-up", hold=Hold("clamps", 2), **more),))


def later(chain, number=0, starts="08:00", minutes=30):
    """Return a step of tomorrow, by Ann."""
    begins = at(starts) + TOMORROW
    return Placed(chain, number, begins, begins + minutes, (0,))


def test_a_unit_that_waits_for_a_slot_all_day_is_named_with_the_place():
    chains = (resting(), glued("B1"), glued("B2"))
    steps = (later(0), later(1, starts="08:30"), later(2, starts="09:00"))
    assert notes_of(chains, steps) == (no_slot("B1, B2"),)


def test_one_that_begins_today_or_finds_a_slot_in_time_is_not_named():
    today = (placed(0, 0, "09:00"), placed(1, 0, "09:30", 30, 1))
    assert notes_of((resting(), glued()), today) == ()
    # the clamps are free from 09:00 on, and Ben too: it is held back for something else
    assert notes_of((resting(), glued()), (placed(0, 0, "09:00"), later(1))) == ()


def test_a_slot_that_comes_free_after_the_last_who_could_use_it_has_left_is_none():
    steps = (placed(0, 0, "16:40", 20), later(1))
    assert notes_of((resting(), glued()), steps) == (no_slot("B1"),)
    # half an hour is enough to begin at the last moment
    steps = (placed(0, 0, "16:30"), later(1))
    assert notes_of((resting(), glued()), steps) == ()


def test_only_while_hands_are_free_a_slot_can_lack():
    sand = Chain(0, "C1", (work("sand"),))
    clamped = Chain(0, "A1", (work("glue-up", hold=Hold("clamps", 2)), work("unclamp")))

    def told(ben):
        """Return the notes where Ann is busy until 13:30 and glues A1 up, and Ben is so long."""
        steps = (placed(2, 0, "08:00", 330), placed(3, 0, "08:00", ben, 1))
        glue = (placed(0, 0, "13:30"), later(0, 1), later(1, starts="09:00"))
        return notes_of((clamped, glued("B1"), sand, sand), (*steps, *glue))

    assert told(ben=330) == (no_slot("B1", by="13:30"),)
    # from 13:00 to 13:30 there are both: a slot, and hands
    assert told(ben=300) == ()
    # until 16:31 there are no hands, and then no time
    both = (placed(2, 0, "08:00", 511), placed(3, 0, "08:00", 511, 1))
    chains = (resting(), glued("B1"), sand, sand)
    assert notes_of(chains, (later(0), later(1), *both)) == ()


def test_what_could_not_be_begun_today_anyway_is_not_named():
    def told(chain, *more):
        return notes_of((resting(), chain, *more), (later(0), later(1, starts="09:00")))

    assert told(glued(earliest=at("16:30"))) == (no_slot("B1", by="16:30"),)
    assert told(glued(earliest=at("16:31"))) == ()
    assert told(glued(minutes=20, fits=31, earliest=at("16:30"))) == ()


def test_a_step_waits_for_the_one_before_its_rest_and_what_carries_it():
    rest = Chain(
        0,
        "B1",
        (work("cut"), work("glue-up", waits=(Lag(0, 60),), hold=Hold("clamps", 2))),
    )
    steps = (later(0), placed(1, 0, "15:00"), later(1, 1))
    assert notes_of((resting(), rest), steps) == (no_slot("B1", by="16:30"),)
    steps = (later(0), placed(1, 0, "15:01"), later(1, 1))
    assert notes_of((resting(), rest), steps) == ()
    carried = glued("B1", after=(2,))
    wall = Chain(0, "W1", (work("paint"),))
    steps = (later(0), later(1), placed(2, 0, "16:30", 30, 1))
    assert notes_of((resting(), carried, wall), steps) == ()


def test_where_nobody_of_today_can_do_it_the_slot_is_not_what_lacks():
    ben = Worker("Ben", (span("08:00", "17:00", day=1),), ("assemble",))
    ann = Worker("Ann", (span("08:00", "17:00"),), ("finish",))
    chains, steps = (resting(), glued()), (later(0), later(1, starts="09:00"))
    steps = tuple(Placed(one.chain, 0, one.starts, one.ends, (1,)) for one in steps)
    assert notes_of(chains, steps, people=(ann, ben)) == ()
    assert notes_of(chains, steps, people=(ANN, ben)) == (no_slot("B1"),)


def test_steps_without_a_place_and_places_that_are_not_counted_say_nothing():
    chains = (resting(), Chain(0, "B1", (work("sand", "finish"),)))
    assert notes_of(chains, (later(0), later(1, starts="09:00"))) == ()
    chains = (resting(), glued())
    assert notes_of(chains, (later(0), later(1)), stores=(Store("rack", 1),)) == ()


def test_many_units_are_named_as_far_as_can_be_read_at_a_look():
    chains = (resting(), *(glued(f"B{n}") for n in range(8)))
    steps = (later(0), *(later(n, starts=f"{8 + n:02}:00") for n in range(1, 9)))
    assert notes_of(chains, steps) == (no_slot("B0, B1, B2, B3, B4, B5 and 2 more"),)


def test_what_the_plan_itself_puts_there_is_named_with_the_time_hands_are_free():
    """Two of four slots are empty at eight; when Ann has time, two glue-ups of today have them."""

    def clamped(unit):
        return Chain(0, unit, (work("glue-up", hold=Hold("clamps")), work("unclamp")))

    def told(*more):
        one = Hold("clamps")
        stays = [Chain(0, unit, (work("unclamp"),), held=one) for unit in ("A10", "A9")]
        glue = Chain(0, "B1", (work("glue-up", hold=one),))
        busy = Chain(0, "C1", (work("sand"),))
        chains = (*stays, clamped("A2"), clamped("A12"), glue, busy, *more)
        steps = (
            placed(2, 0, "08:00", 60), placed(3, 0, "09:00", 60), placed(5, 0, "08:00", 480, 1),
            later(0), later(1), later(2, 1), later(3, 1), later(4, starts="09:00"),
            *(later(6 + n, starts="08:30") for n in range(len(more))),
        )  # fmt: skip
        return notes_of(chains, steps, stores=(Store("clamps", 4),))

    assert told() == (no_slot("B1", by="10:00", others="A2, A9, A10, A12"),)
    # of several that wait the one counts that hands are first free for
    afternoon = Chain(0, "B2", (work("glue-up", hold=Hold("clamps"), earliest=at("15:00")),))
    assert told(afternoon) == (no_slot("B2, B1", by="10:00", others="A2, A9, A10, A12"),)


def test_what_has_left_the_place_by_then_is_not_said_to_fill_it():
    clamped = Chain(0, "A2", (work("glue-up", hold=Hold("clamps", 2)), work("unclamp")))
    steps = (
        placed(0, 0, "08:00"), placed(1, 0, "08:30"), placed(3, 0, "08:00", 60, 1),
        later(1, 1), later(2, starts="09:00"),
    )  # fmt: skip
    chains = (resting(), clamped, glued("B1"), Chain(0, "C1", (work("sand"),)))
    assert notes_of(chains, steps) == (no_slot("B1", by="09:00", others="A2"),)


def test_of_much_that_fills_a_place_as_much_is_named_as_can_be_read_at_a_look():
    one = Hold("clamps")
    chains = [Chain(0, f"A{n}", (work("unclamp"),), held=one) for n in range(1, 9)]
    chains.append(Chain(0, "B1", (work("glue-up", hold=one),)))
    steps = [later(n, starts=f"{8 + n:02}:00") for n in range(9)]
    others = "A1, A2, A3, A4, A5, A6 and 2 more"
    assert notes_of(chains, steps, stores=(Store("clamps", 8),)) == (no_slot("B1", others=others),)


def test_a_unit_that_only_stays_where_it_is_lacks_no_slot():
    stays = Chain(0, "B1", (work("fill", hold=Hold("clamps", 2)),), held=Hold("clamps", 2))
    assert notes_of((stays,), (later(0),)) == ()
