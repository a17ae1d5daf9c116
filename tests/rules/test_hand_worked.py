"""Rests worked by hand from the seed figures; the sums stand beside each check.

Figures are those of kiosk/data/products.toml (docs/rules.md names their sources). The band is
1.25 and 0.75 times the rate: a choice, no source.
"""

import pytest

from kiosk.rules.route import State
from kiosk.rules.steps import supports_of
from tests.builders import a_unit, a_wall, at, history, setup, standing_at

GLUED = ("cut A Mon 08:00", "cut B", "gather A", "gather B", "glue-up Mon 10:10")
COATED = (*GLUED, "fill Mon 11:20", "sand Mon 12:00", "coat-1 Mon 13:00")


def check(lines, moments, *, shop=None, unit=None, missing=()):
    """Check state, next step and when hands are needed at each moment."""
    entries = history(*lines, unit=unit)
    for when, state, step, hands in moments:
        one = standing_at(when, entries, shop=shop or setup(), missing=missing)
        assert (when, one.state, one.step.name if one.step else "", one.hands_at) == (
            when,
            state,
            step,
            at(hands) if hands else None,
        )


def test_a_shelf_glued_monday_ten_past_ten_leaves_the_clamps_at_ten_past_eleven():
    # white PVA: clamp 60 min -> 10:10 + 1:00 = 11:10
    check(
        GLUED,
        [
            ("Mon 10:10", State.GLUE_CURING, "fill", "Mon 11:10"),
            ("Mon 11:09", State.GLUE_CURING, "fill", "Mon 11:10"),
            ("Mon 11:10", State.TO_PREPARE, "fill", "Mon 11:10"),
            ("Tue 09:00", State.TO_PREPARE, "fill", "Mon 11:10"),
        ],
    )


def test_the_band_of_the_clamps_reaches_from_two_to_eleven_until_half_past():
    # 60 / 1.25 = 48 min -> 10:58; 60 / 0.75 = 80 min -> 11:30
    one = standing_at("Mon 10:40", history(*GLUED))
    assert (one.started, one.earliest, one.latest) == (at("10:10"), at("10:58"), at("11:30"))
    assert (one.progress(at("10:40")), one.rests_on) == (0.5, "glue")
    assert one.why == "glue cures until 11:10, then fill"


def test_yellow_glue_leaves_the_clamps_after_half_an_hour():
    # water-resistant PVA: clamp 30 min -> 10:40
    yellow = setup(glue="pva-water-resistant")
    check(GLUED, [("Mon 10:39", State.GLUE_CURING, "fill", "Mon 10:40")], shop=yellow)
    check(GLUED, [("Mon 10:40", State.TO_PREPARE, "fill", "Mon 10:40")], shop=yellow)


def test_filler_dries_half_an_hour_before_it_is_sanded():
    # water-based filler, 1 mm: sand 30 min -> 11:20 + 0:30 = 11:50
    check(
        (*GLUED, "fill Mon 11:20"),
        [
            ("Mon 11:49", State.COAT_DRYING, "sand", "Mon 11:50"),
            ("Mon 11:50", State.TO_PREPARE, "sand", "Mon 11:50"),
        ],
    )
    assert (
        "filler dries until 11:50"
        in standing_at("Mon 11:30", history(*GLUED, "fill Mon 11:20")).why
    )


def test_the_first_coat_is_due_as_soon_as_the_shelf_is_sanded():
    check(
        (*GLUED, "fill Mon 11:20", "sand Mon 12:00"),
        [("Mon 12:30", State.COAT_DUE, "coat-1", "Mon 12:00")],
    )


def test_the_recoat_window_of_clear_is_open_from_four_to_twelve_hours_after_coat_1():
    # clear: sand 240 min -> 13:00 + 4:00 = 17:00; window 720 min -> 13:00 + 12:00 = Tue 01:00
    check(
        COATED,
        [
            ("Mon 16:59", State.COAT_DRYING, "scuff-2", "Mon 17:00"),
            ("Mon 17:00", State.COAT_DUE, "scuff-2", "Mon 17:00"),
            ("Tue 00:59", State.COAT_DUE, "scuff-2", "Mon 17:00"),
            ("Tue 01:00", State.SCUFF_FIRST, "scuff-2", "Mon 17:00"),
            ("Thu 08:00", State.SCUFF_FIRST, "scuff-2", "Mon 17:00"),
        ],
    )
    for when in ("Mon 14:00", "Mon 18:00", "Tue 08:00"):
        assert standing_at(when, history(*COATED)).window_closes_at == at("Tue 01:00")
    assert "window closes Tue 01:00" in standing_at("Mon 18:00", history(*COATED)).why
    assert standing_at("Tue 08:00", history(*COATED)).why == "window closed 01:00: scuff first"


@pytest.mark.parametrize("scuffed", ["Mon 17:30", "Tue 08:00"])
def test_a_scuff_in_time_or_late_keeps_the_window_open_for_good(scuffed):
    entries = history(*COATED, f"scuff-2 {scuffed}")
    for when in ("Tue 08:00", "w2 Mon 08:00"):
        one = standing_at(when, entries)
        assert (one.state, one.step.name) == (State.COAT_DUE, "coat-2")
        assert (one.window_closes_at, one.hands_at) == (None, at(scuffed))


def test_a_clear_shelf_may_hang_two_days_after_its_second_coat():
    # clear: hang 2880 min -> Mon 18:00 + 48 h = Wed 18:00; the glue was full Tue 10:10 before that
    lines = (*COATED, "scuff-2 Mon 17:30", "coat-2 Mon 18:00")
    check(
        lines,
        [
            ("Mon 18:00", State.HARDENING, "hang", "Wed 18:00"),
            ("Wed 17:59", State.HARDENING, "hang", "Wed 18:00"),
            ("Wed 18:00", State.READY_TO_HANG, "hang", "Wed 18:00"),
        ],
    )
    check((*lines, "hang Thu 09:00"), [("Thu 09:30", State.HUNG, "", None)])
    hung = standing_at("Thu 09:30", history(*lines, "hang Thu 09:00"))
    assert (hung.coats_done, hung.coats_wanted, hung.why) == (2, 2, "up since 09:00")


def test_a_rest_is_as_long_on_the_night_the_clocks_go_forward():
    # clear: window 12 h from Sat 20:00; EU directive 2000/84/EC skips Sun 02:00-03:00 -> Sun 09:00
    entries = history("coat-1 w4 Sat 20:00")
    assert standing_at("w4 Sun 08:59", entries).state == State.COAT_DUE
    late = standing_at("w4 Sun 09:00", entries)
    assert (late.state, late.why) == (State.SCUFF_FIRST, "window closed 09:00: scuff first")


def test_a_shelf_without_finish_hangs_when_its_glue_has_full_strength():
    # white PVA: full 1440 min -> Tue 10:10
    check(
        GLUED,
        [
            ("Tue 10:09", State.GLUE_CURING, "hang", "Tue 10:10"),
            ("Tue 10:10", State.READY_TO_HANG, "hang", "Tue 10:10"),
        ],
        unit=a_unit(finish=""),
    )


def test_of_two_rests_the_one_that_ends_last_counts():
    # slow epoxy: full 7200 min = 5 days -> Mon 10:10 + 5 d = Sat 10:10, after the coat's Wed 18:00
    lines = (*GLUED, "coat-1 Mon 13:00", "scuff-2 Mon 17:30", "coat-2 Mon 18:00")
    check(
        lines,
        [
            ("Thu 08:00", State.GLUE_CURING, "hang", "Sat 10:10"),
            ("Sat 10:10", State.READY_TO_HANG, "hang", "Sat 10:10"),
        ],
        shop=setup(glue="epoxy-slow"),
    )


def test_hardwax_oil_is_open_from_twelve_hours_to_two_days():
    # oil: sand 720 min -> Mon 20:00; window 2880 min -> Wed 08:00; touch, recoat lie before
    lines = ("cut A Mon 07:10", "fill Mon 07:20", "sand Mon 07:50", "coat-1 Mon 08:00")
    check(
        lines,
        [
            ("Mon 19:59", State.COAT_DRYING, "scuff-2", "Mon 20:00"),
            ("Mon 20:00", State.COAT_DUE, "scuff-2", "Mon 20:00"),
            ("Wed 07:59", State.COAT_DUE, "scuff-2", "Mon 20:00"),
            ("Wed 08:00", State.SCUFF_FIRST, "scuff-2", "Mon 20:00"),
        ],
        unit=a_unit(parts="A", finish="oil"),
    )


def test_oil_polyurethane_has_no_window_between_dry_and_closed():
    # oil-polyurethane: sand 1440 min and window 1440 min -> both Tue 09:00
    check(
        ("cut A Mon 08:00", "coat-1 Mon 09:00"),
        [
            ("Tue 08:59", State.COAT_DRYING, "scuff-2", "Tue 09:00"),
            ("Tue 09:00", State.SCUFF_FIRST, "scuff-2", "Tue 09:00"),
        ],
        unit=a_unit(parts="A", finish="oil-polyurethane"),
    )


def test_shellac_never_closes():
    # no window: the next coat dissolves the one below
    one = standing_at(
        "w2 Mon 09:00",
        history("coat-1 Mon 09:00", unit=a_unit(parts="", finish="shellac")),
    )
    assert (one.state, one.window_closes_at) == (State.COAT_DUE, None)


def test_a_door_is_refitted_three_days_after_its_second_enamel():
    # enamel: sand 720 min -> Mon 09:00 + 12 h = Mon 21:00; window 72 h -> Thu 09:00
    # coat 2 Tue 08:00: touch 60 min -> 09:00; score 480 min -> 16:00; hang 72 h -> Fri 08:00
    door = a_unit("D1", parts="", kind="door", finish="enamel")
    first = ("clean Mon 08:00", "mask Mon 08:20", "coat-1 Mon 09:00")
    second = (*first, "scuff-2 Tue 07:40", "coat-2 Tue 08:00")
    check(("clean Mon 08:00",), [("Mon 08:10", State.TO_PREPARE, "mask", "Mon 08:00")], unit=door)
    check(
        first,
        [
            ("Mon 20:59", State.COAT_DRYING, "scuff-2", "Mon 21:00"),
            ("Tue 07:00", State.COAT_DUE, "scuff-2", "Mon 21:00"),
            ("Thu 09:00", State.SCUFF_FIRST, "scuff-2", "Mon 21:00"),
        ],
        unit=door,
    )
    check(
        second,
        [
            ("Tue 08:59", State.COAT_DRYING, "unmask", "Tue 09:00"),
            ("Tue 09:00", State.TO_PREPARE, "unmask", "Tue 09:00"),
            ("Tue 16:00", State.TO_PREPARE, "unmask", "Tue 09:00"),
        ],
        unit=door,
    )
    check(
        (*second, "unmask Tue 09:10"),
        [
            ("Fri 07:59", State.HARDENING, "refit", "Fri 08:00"),
            ("Fri 08:00", State.READY_TO_HANG, "refit", "Fri 08:00"),
        ],
        unit=door,
    )


def test_tape_on_a_door_is_pulled_between_touch_dry_and_hard():
    door = a_unit("D1", parts="", kind="door", finish="enamel")
    entries = history("coat-2 Tue 08:00", unit=door)
    in_time, late = standing_at("Tue 15:59", entries), standing_at("Tue 16:00", entries)
    assert in_time.why == "take the tape off since 09:00; window closes 16:00"
    assert late.why == "tape is late since 16:00: score its edge first"
    assert (in_time.changes_at, in_time.window_closes_at) == (at("Tue 16:00"), at("Tue 16:00"))


WALL = ("patch Mon 08:00", "sand-1 Mon 08:40", "skim Mon 09:00", "sand-2 Mon 10:00")
PAINTED = (*WALL, "coat-1 Mon 11:00")


def test_a_wall_is_patched_skimmed_painted_twice_and_dry_after_three_days():
    # filler 30 min: 08:00 -> 08:30, 09:00 -> 09:30
    # enamel: recoat 240 min: 11:00 -> 15:00; coat 2 at 15:30: hang 72 h -> Thu 15:30
    wall = a_wall()
    check((), [("Mon 07:30", State.TO_PREPARE, "patch", None)], unit=wall)
    check(
        WALL[:1],
        [
            ("Mon 08:29", State.COAT_DRYING, "sand-1", "Mon 08:30"),
            ("Mon 08:30", State.TO_PREPARE, "sand-1", "Mon 08:30"),
        ],
        unit=wall,
    )
    check(WALL[:3], [("Mon 09:29", State.COAT_DRYING, "sand-2", "Mon 09:30")], unit=wall)
    check(WALL, [("Mon 10:30", State.COAT_DUE, "coat-1", "Mon 10:00")], unit=wall)
    check(
        PAINTED,
        [
            ("Mon 14:59", State.COAT_DRYING, "coat-2", "Mon 15:00"),
            ("Mon 15:00", State.COAT_DUE, "coat-2", "Mon 15:00"),
        ],
        unit=wall,
    )
    check(
        (*PAINTED, "coat-2 Mon 15:30"),
        [
            ("Thu 15:29", State.HARDENING, "", "Thu 15:30"),
            ("Thu 15:30", State.HUNG, "", None),
        ],
        unit=wall,
    )
    dry = standing_at("Thu 16:00", history(*PAINTED, "coat-2 Mon 15:30", unit=wall))
    assert dry.why == "dry since 15:30"


def test_a_wall_painted_too_late_is_scuffed_although_its_route_has_no_scuff():
    # enamel: window 72 h -> Mon 11:00 + 3 d = Thu 11:00
    check(
        PAINTED,
        [
            ("Thu 10:59", State.COAT_DUE, "coat-2", "Mon 15:00"),
            ("Thu 11:00", State.SCUFF_FIRST, "scuff-2", "Mon 15:00"),
        ],
        unit=a_wall(),
    )
    scuffed = history(*PAINTED, "scuff-2 Thu 11:30", unit=a_wall())
    one = standing_at("Thu 12:00", scuffed)
    assert (one.state, one.step.name, one.window_closes_at) == (State.COAT_DUE, "coat-2", None)


def test_a_panel_that_is_ready_waits_for_the_wall_to_be_dry():
    panel = a_unit("P1", kind="panel", finish="", wall="W1")
    assert supports_of(panel, {"P1", "W1"}) == ("W1",)
    check(
        GLUED,
        [("Tue 12:00", State.READY_TO_HANG, "hang", "Tue 10:10")],
        unit=panel,
        missing=("W1",),
    )
    waiting = standing_at("Tue 12:00", history(*GLUED, unit=panel), missing=("W1",))
    assert (waiting.why, waiting.missing) == ("ready, after W1", ("W1",))
    free = standing_at("Tue 12:00", history(*GLUED, unit=panel))
    assert (free.why, free.missing) == ("hang since 10:10", ())


def test_an_accent_stripe_is_taped_a_day_after_the_coat_and_its_tape_opens_and_closes():
    # clear: tape 1440 min -> Mon 18:00 + 24 h = Tue 18:00
    # stripe of enamel Tue 18:30: recoat 240 min -> 22:30, when its second coat goes on
    # tape: touch 60 min -> 23:30; score 480 min -> Wed 06:30
    # hang: clear Wed 18:00, enamel 72 h -> Fri 22:30, which is the later
    striped = a_unit(accent=True)
    coated = (*COATED, "scuff-2 Mon 17:30", "coat-2 Mon 18:00")
    painted = (*coated, "mask Tue 18:10", "stripe-1 Tue 18:30")
    check(
        coated,
        [
            ("Tue 17:59", State.COAT_DRYING, "mask", "Tue 18:00"),
            ("Tue 18:00", State.TO_PREPARE, "mask", "Tue 18:00"),
        ],
        unit=striped,
    )
    check(
        (*coated, "mask Tue 18:10"),
        [("Tue 18:20", State.COAT_DUE, "stripe-1", "Tue 18:10")],
        unit=striped,
    )
    check(
        painted,
        [
            ("Tue 22:29", State.COAT_DRYING, "stripe-2", "Tue 22:30"),
            ("Tue 22:30", State.COAT_DUE, "stripe-2", "Tue 22:30"),
        ],
        unit=striped,
    )
    painted = (*painted, "stripe-2 Tue 22:30")
    check(
        painted,
        [
            ("Tue 23:29", State.COAT_DRYING, "unmask", "Tue 23:30"),
            ("Tue 23:30", State.TO_PREPARE, "unmask", "Tue 23:30"),
            ("Wed 06:30", State.TO_PREPARE, "unmask", "Tue 23:30"),
        ],
        unit=striped,
    )
    entries = history(*painted, unit=striped)
    assert standing_at("Wed 00:00", entries).why.endswith("window closes 06:30")
    assert "score its edge first" in standing_at("Wed 06:30", entries).why
    check(
        (*painted, "unmask Wed 00:10"),
        [
            ("Fri 22:29", State.HARDENING, "hang", "Fri 22:30"),
            ("Fri 22:30", State.READY_TO_HANG, "hang", "Fri 22:30"),
        ],
        unit=striped,
    )


def test_a_unit_of_one_part_goes_from_the_saw_to_the_finish():
    single = a_unit(parts="A")
    check((), [("Mon 08:00", State.TO_CUT, "cut", None)], unit=single)
    check(("cut A Mon 08:00",), [("Mon 08:10", State.TO_PREPARE, "fill", "Mon 08:00")], unit=single)
