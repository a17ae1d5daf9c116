"""Why a unit without a number goes up: its own reasons, never those of wet paint."""

from kiosk.rules.hangword import HangWord
from kiosk.rules.reasons import HANG_REASONS
from kiosk.rules.scanning import Offer, Outcome
from tests.builders import history, scan_at

GLUED = ("cut A 08:00", "cut B", "gather A", "gather B", "glue-up 10:10")
COATED = (*GLUED, "fill 11:20", "sand 12:00", "coat-1 13:00", "coat-2 Tue 08:00")
DRY = "Mon 12:00"
REFUSED = HangWord(
    words="not rated: It unhooks.",
    is_refused=True,
    message="Not rated: it may come down",
    detail="It unhooks. Fit a lock.",
    whys=("unhooks",),
    check=("It unhooks.",),
)


def test_going_ahead_with_an_unrated_unit_asks_the_reasons_of_hanging():
    verdict = scan_at(DRY, history(*COATED), "install", hang=REFUSED)
    assert (verdict.outcome, verdict.message) == (Outcome.TOO_EARLY, REFUSED.message)
    assert verdict.offers == (Offer("go_ahead", "hang", "hang all the same", HANG_REASONS),)


def test_whatever_else_is_too_early_asks_the_reasons_of_the_kiosk():
    verdict = scan_at("11:00", history(*GLUED), "finish", hang=REFUSED)
    assert verdict.outcome == Outcome.TOO_EARLY
    assert [one.reasons for one in verdict.offers] == [()]


def test_a_unit_hung_before_its_turn_says_too_that_it_is_not_rated():
    plain = scan_at("17:00", history(*GLUED), "install", step="hang")
    verdict = scan_at("17:00", history(*GLUED), "install", step="hang", hang=REFUSED)
    assert verdict.message == REFUSED.message
    assert verdict.detail.startswith(REFUSED.detail)
    assert plain.message in verdict.detail
    assert [one.reasons for one in verdict.offers] == [HANG_REASONS]
    assert [one.reasons for one in plain.offers] == [()]
