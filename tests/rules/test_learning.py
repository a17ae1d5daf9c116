from dataclasses import replace
from datetime import UTC, datetime
from math import exp, inf, log, nan, sqrt

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import minimize
from scipy.stats import chi2, norm

from kiosk.rules import learning
from kiosk.rules.learning import Finding, propose

MIDDLE, SPREAD = log(1.3), 0.2
BOUNDS = (log(0.4), log(3.0))
MONDAY = datetime(2026, 3, 2, 9, tzinfo=UTC)


def looks(*groups):
    """Return findings of (share, dry, how many)."""
    return [
        Finding(MONDAY, "clear", "touch", share, dry, 18.0, 60.0)
        for share, dry, many in groups
        for _ in range(many)
    ]


def learn(findings):
    return propose(findings, product="clear", stage="touch")


def simulated(seed, count, *, middle=MIDDLE, spread=SPREAD):
    """Return one look at each of many pieces whose true shares are Normal in their logarithm."""
    rng = np.random.default_rng(seed)
    seen = np.exp(rng.normal(middle, 0.3, count))
    true = np.exp(rng.normal(middle, spread, count))
    return looks(*((float(s), bool(s >= t), 1) for s, t in zip(seen, true, strict=True)))


def information(findings, middle, spread):
    """Return Fisher's information of (mu, sigma) at the true values, for the shares looked at."""
    z = (np.log([f.share for f in findings]) - middle) / spread
    weight = norm.pdf(z) ** 2 / (norm.cdf(z) * norm.sf(z)) / spread**2
    rows = np.array([np.ones_like(z), z])
    return (rows * weight) @ rows.T


def unlikelihood(findings, middle, spread):
    x = np.log([f.share for f in findings])
    side = np.where([f.dry for f in findings], 1.0, -1.0)
    return -norm.logcdf(side * (x - middle) / spread).sum()


def by_scipy(findings, middle_bounds=BOUNDS):
    """Return mu, sigma and the least of minus the log-likelihood."""
    found = minimize(
        lambda p: unlikelihood(findings, *p),
        (sum(middle_bounds) / 2, 0.2),
        method="L-BFGS-B",
        bounds=(middle_bounds, (0.05, 0.7)),
        options={"ftol": 1e-14, "gtol": 1e-9},
    )
    return *found.x, found.fun


def spread_of(proposal):
    return log(proposal.high / proposal.low) / 2 / norm.ppf(0.9)


@pytest.mark.parametrize("seed", range(4))
def test_what_the_shop_is_like_is_found_again_from_its_findings(seed):
    findings = simulated(seed, 300)
    error = np.sqrt(np.diag(np.linalg.inv(information(findings, MIDDLE, SPREAD))))
    proposal = learn(findings)
    # three standard errors by Fisher's information: 1 of 370 would miss by more
    assert abs(log(proposal.factor) - MIDDLE) < 3 * error[0]
    assert abs(spread_of(proposal) - SPREAD) < 3 * error[1]


@pytest.mark.no_cover
def test_the_sure_range_holds_the_truth_four_times_of_five():
    proposals = [learn(simulated(seed, 40)) for seed in range(100, 150)]
    held = sum(p.sure_low <= exp(MIDDLE) <= p.sure_high for p in proposals)
    # the binomial's 3 sigma about 40 of 50
    assert abs(held - 40) <= 3 * sqrt(50 * 0.8 * 0.2)


@pytest.mark.parametrize(("seed", "count"), [(1, 12), (2, 25), (3, 60), (4, 150)])
def test_the_fit_is_the_one_scipy_finds(seed, count):
    findings = simulated(seed, count)
    middle, spread, _ = by_scipy(findings)
    proposal = learn(findings)
    assert log(proposal.factor) == pytest.approx(middle, abs=1e-3)
    assert spread_of(proposal) == pytest.approx(spread, abs=1e-3)
    assert proposal.low == pytest.approx(exp(middle - norm.ppf(0.9) * spread), rel=2e-3)


@pytest.mark.parametrize("seed", [2, 3, 4])
def test_at_the_ends_of_the_sure_range_the_likelihood_has_fallen_by_the_chi_square(seed):
    findings = simulated(seed, 60)
    best = by_scipy(findings)[2]
    proposal = learn(findings)
    for end in (log(proposal.sure_low), log(proposal.sure_high)):
        fallen = by_scipy(findings, (end, end))[2] - best
        assert fallen == pytest.approx(chi2.ppf(0.8, 1) / 2, abs=1e-3)


def test_the_worked_example_of_the_book_comes_out():
    # Finney, Probit Analysis: rotenone on aphids, LD50 4.85 mg/l, slope 4.2 per power of ten
    # (figures from memory); doses are divided by 5 to lie where shares do
    doses = ((10.2, 50, 44), (7.7, 49, 42), (5.1, 46, 24), (3.8, 48, 16), (2.6, 50, 6))
    findings = [
        finding
        for dose, many, killed in doses
        for finding in looks((dose / 5, True, killed), (dose / 5, False, many - killed))
    ]
    proposal = learn(findings)
    assert proposal.factor * 5 == pytest.approx(4.85, abs=0.03)
    assert log(10) / spread_of(proposal) == pytest.approx(4.2, abs=0.1)


@given(st.permutations(simulated(5, 14) + looks((0.0, True, 1), (1.1, True, 2))))
@settings(max_examples=15, deadline=None)
def test_the_order_of_findings_changes_no_digit(findings):
    assert learn(findings) == learn(sorted(findings, key=lambda f: (f.share, f.dry)))


@pytest.mark.parametrize("scale", [0.5, 0.8, 1.25, 1.6])
def test_shares_that_are_all_so_much_longer_make_the_factor_so_much_longer(scale):
    findings = simulated(6, 60)
    plain = learn(findings)
    scaled = learn([replace(f, share=f.share * scale) for f in findings])
    for name in ("factor", "low", "high", "sure_low", "sure_high"):
        assert getattr(scaled, name) == pytest.approx(getattr(plain, name) * scale, rel=1e-4)


def test_separated_findings_give_the_middle_of_the_gap_and_say_what_they_leave_open():
    proposal = learn(looks((0.8, False, 4), (1.25, True, 4)))
    assert proposal.factor == pytest.approx(1.0, abs=1e-4)
    assert proposal.sure_low < 0.85
    assert proposal.sure_high > 1.18
    assert spread_of(proposal) == pytest.approx(0.05)
    assert proposal.doubt == "how far pieces differ can't be told yet"
    assert "most between" not in proposal.words


def test_a_wide_gap_is_a_wide_sure_range():
    proposal = learn(looks((0.5, False, 5), (2.0, True, 5)))
    assert proposal.factor == pytest.approx(1.0, abs=1e-3)
    assert proposal.sure_low < 0.55
    assert proposal.sure_high > 1.8


def test_findings_against_all_sense_are_called_contradicting():
    proposal = learn(looks((0.5, True, 4), (2.0, False, 4)))
    assert spread_of(proposal) == pytest.approx(0.7)
    assert proposal.doubt == "the findings contradict one another"


def test_looks_at_one_moment_ask_for_others():
    proposal = learn(looks((1.0, True, 6), (1.02, False, 4)))
    assert proposal.sure_low < proposal.factor < proposal.sure_high
    assert proposal.doubt.startswith("all were looked at about the same moment")


def test_where_a_range_of_factors_is_equally_likely_its_centre_is_proposed():
    # six of ten dry at share 1: every sigma fits, with mu = -sigma * (the 60 % point)
    ends = [-spread * norm.ppf(0.6) for spread in (0.05, 0.7)]
    proposal = learn(looks((1.0, True, 6), (1.0, False, 4)))
    assert log(proposal.factor) == pytest.approx(sum(ends) / 2, abs=1e-3)


@pytest.mark.parametrize(
    ("groups", "bound", "doubt"),
    [
        (((4.0, False, 6), (6.0, False, 6), (7.0, True, 6)), 3.0, "it may also be more than 3.0"),
        (((0.1, False, 6), (0.15, True, 6), (0.2, True, 6)), 0.4, "it may also be less than 0.40"),
    ],
)
def test_a_factor_at_the_bound_says_so(groups, bound, doubt):
    proposal = learn(looks(*groups))
    assert proposal.factor == pytest.approx(bound, rel=1e-3)
    assert proposal.doubt.endswith(doubt)
    assert doubt in proposal.words


@pytest.mark.parametrize(
    ("dry", "tacky", "missing"),
    [
        (0, 0, "8 more needed, at least 2 already dry and 2 still tacky"),
        (4, 1, "3 more needed, at least 1 still tacky"),
        (3, 3, "2 more needed"),
        (1, 20, "1 more needed, at least 1 already dry"),
        (0, 7, "2 more needed, at least 2 already dry"),
    ],
)
def test_too_few_findings_give_no_factor_and_say_what_is_missing(dry, tacky, missing):
    proposal = learn(looks((1.4, True, dry), (0.9, False, tacky)))
    assert (proposal.dry, proposal.tacky) == (dry, tacky)
    numbers = (proposal.factor, proposal.low, proposal.sure_low, proposal.sure_high)
    assert numbers == (None,) * 4
    assert proposal.words.endswith(f"; too few to tell, {missing}.")


def test_eight_findings_two_of_them_dry_are_enough():
    proposal = learn(looks((0.9, False, 3), (1.2, False, 3), (1.1, True, 1), (1.5, True, 1)))
    assert proposal.factor is not None


def test_one_finding_is_said_in_the_singular():
    assert learn(looks((1.0, True, 1))).words.startswith("Clear, touch: 1 finding (1 dry, 0 tacky)")


@pytest.mark.parametrize("share", [0.0, -0.5, 20.1, inf, -inf, nan])
def test_an_impossible_share_is_left_out_and_counted(share):
    good = simulated(7, 30)
    with_slip, without = learn(good + looks((share, True, 1))), learn(good)
    assert (with_slip.factor, with_slip.count) == (without.factor, 30)
    assert with_slip.left_out == 1
    assert "1 left out for an impossible share" in with_slip.words


def test_findings_of_other_products_and_stages_are_passed_over():
    good = simulated(8, 30)
    others = [replace(f, product="primer", dry=True) for f in good]
    others += [replace(f, stage="recoat", dry=False) for f in good]
    assert learn(good + others) == learn(good)


def test_the_words_say_the_numbers_and_that_nothing_was_applied():
    findings = looks(
        (0.9, False, 5), (1.15, True, 1), (1.2, False, 3), (1.35, True, 3), (1.4, False, 1)
    ) + looks((1.7, True, 5))
    proposal = learn(findings)
    assert proposal.doubt == ""
    assert proposal.words == (
        "Clear, touch: 18 findings (9 dry, 9 tacky); dry after about 1.3 times the clock's time "
        "here, likely 1.2 to 1.4 (most between 1.1 and 1.5). Not applied."
    )


@given(
    st.lists(
        st.tuples(st.floats(5e-324, 20.0), st.booleans(), st.integers(1, 3)),
        min_size=4,
        max_size=8,
    )
)
@settings(max_examples=60, deadline=None)
def test_whatever_was_found_the_answer_is_finite_and_in_order(groups):
    proposal = learn(looks((1.2, True, 2), (1.0, False, 2), *groups))
    assert 0.4 * (1 - 1e-9) <= proposal.sure_low <= proposal.factor * (1 + 1e-6)
    assert proposal.factor <= proposal.sure_high * (1 + 1e-6) <= 3.0 * (1 + 2e-6)
    assert 0.05 * (1 - 1e-9) <= spread_of(proposal) <= 0.7 * (1 + 1e-9)


@pytest.mark.parametrize(
    "z", [-14000.0, -300.0, -45.0, -31.0, -29.9, -8.0, -1.0, 0.0, 0.5, 6.0, 40.0]
)
def test_the_tails_agree_with_scipy(z):
    assert learning._log_phi(z) == pytest.approx(norm.logcdf(z), rel=1e-9, abs=1e-300)
