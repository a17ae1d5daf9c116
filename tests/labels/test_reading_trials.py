"""Damaged labels still read, where a plain one with a single QR code does not.

A small run of tests/bench/bench_trials.py: thresholds are what the full run reaches less what so
few labels may miss by chance; the dice are fixed.
"""

import numpy as np
import pytest

from tests.bench import damage
from tests.bench.bench_trials import DAMAGES, trial, wrong_codes
from tests.bench.scenes import DPI, plain_label, scene_of, shipped

COUNT = 24

# Damage, stock, percent that ours must read, percent that the plain label must stay below.
PAINT = [
    ("paint 6 %", "50x25", 95, 90),
    ("paint 12 %", "50x25", 95, 80),
    ("paint 12 %", "25x25", 85, 60),
    ("paint 12 %", "38x21", 75, 70),
    ("paint 12 %", "63x38", 95, 70),
    ("dust 10 %", "50x25", 85, 80),
    ("scratches 2", "50x25", 90, 80),
]
STRESS = [
    "unharmed",
    "dust 3 %",
    "dust 6 %",
    "blur 0.15 mm",
    "blur 0.20 mm",
    "tilt 45°",
    "contrast 20 %",
    "contrast 10 %",
    "contrast 7 %",
    "light to 20 %",
    "dark to 10 %",
    "too bright",
]


@pytest.mark.parametrize(("name", "key", "least", "plain_below"), PAINT)
def test_a_damaged_label_reads_where_a_plain_one_fails(name, key, least, plain_below):
    stock = shipped()[key]

    ours = trial(stock, name, count=COUNT)
    plain = trial(stock, name, count=COUNT, plain=True)

    assert ours.percent(ours.read) >= least
    assert plain.percent(plain.read) < plain_below
    assert plain.read < ours.read


@pytest.mark.parametrize("name", STRESS)
def test_a_label_seen_badly_reads_with_the_ladder(name):
    stock = shipped()["50x25"]

    rates = trial(stock, name, count=12)

    assert rates.percent(rates.read) >= 90


def test_the_ladder_reads_more_than_one_look():
    stock = shipped()["38x21"]

    rates = [trial(stock, name, count=12) for name in ("dust 10 %", "blur 0.20 mm")]

    assert sum(one.read for one in rates) >= sum(one.at_once for one in rates) + 6


def test_letters_make_up_for_what_does_not_read():
    stock = shipped()["50x25"]

    rates = trial(stock, "paint 20 %", count=COUNT)

    assert rates.percent(rates.read_or_typed) >= 95


@pytest.mark.parametrize("key", ["50x25", "38x21"])
def test_no_wrong_code_is_accepted_from_harsh_damage(key):
    rates = wrong_codes(key, 64)

    assert rates.wrong == 0
    assert 0.2 < rates.read / rates.tried < 0.95  # harsh, yet not past all reading


@pytest.mark.parametrize("name", DAMAGES)
def test_the_same_dice_do_the_same_damage(name):
    scene, _ = scene_of("25x25", 1)
    hurt = DAMAGES[name][0]

    one, again = (hurt(scene, np.random.default_rng(7)).grey for _ in range(2))

    assert (one == again).all()


@pytest.mark.parametrize("name", [name for name in DAMAGES if name != "unharmed"])
def test_every_damage_changes_the_label(name):
    scene, _ = scene_of("25x25", 1)

    hurt = DAMAGES[name][0](scene, np.random.default_rng(7)).grey

    assert hurt.shape != scene.grey.shape or (hurt != scene.grey).mean() > 0.001


@pytest.mark.parametrize("share", [0.03, 0.12, 0.3])
def test_paint_covers_just_its_share_of_the_label(share):
    scene, _ = scene_of("50x25", 1)
    smears = [damage.smear(share)(scene, np.random.default_rng(seed)) for seed in range(20)]

    shares = [one.covered.mean() for one in smears]

    assert shares == pytest.approx([share] * 20, abs=0.01)
    assert all((one.label[~one.covered] == scene.label[~one.covered]).all() for one in smears)


def test_dust_covers_at_least_its_share_and_little_more():
    scene, _ = scene_of("50x25", 1)

    dusty = damage.dust(0.06)(scene, np.random.default_rng(3))

    assert 0.05 < (dusty.label != scene.label).mean() < 0.07


def test_the_plain_label_is_one_qr_code_as_large_as_fits():
    stock = shipped()["50x25"]

    ink = np.asarray(plain_label(stock, scene_of("50x25", 1)[1], DPI)) == 0

    rows = np.flatnonzero(ink.any(axis=1))
    side = rows[-1] - rows[0] + 1
    assert side == 21 * 6  # 0.75 mm a module; 7 dots would need 25.4 mm with quiet zones
    assert ink.shape[0] - 2 * 8 < 29 * 7
