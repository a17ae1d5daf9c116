from pathlib import Path

import pytest

import kiosk
from kiosk.rules.partlist import accounted, read
from kiosk.tables import read_table

DATA = Path(__file__).parents[1] / "data"
SAMPLES = Path(kiosk.__file__).parent / "data"


@pytest.mark.parametrize(
    ("name", "lines", "skipped", "pieces"),
    [
        ("german.csv", 6, 2, 10),
        ("inches.csv", 6, 1, 11),
        ("french.tsv", 5, 1, 8),
        ("messy.txt", 6, 3, 13),
    ],
)
def test_a_real_looking_list_is_read_without_problems(name, lines, skipped, pieces):
    rows, problems = read_table(DATA / name)
    result = read(rows, units=None)
    assert (problems, result.problems) == ((), ())
    assert (len(result.lines), len(result.skipped)) == (lines, skipped)
    assert sum(line.quantity for line in result.lines) == pieces
    assert accounted(result, len(rows))


@pytest.mark.parametrize(
    ("name", "units", "pieces"), [("glaze-store.csv", 23, 153), ("kiln-room.csv", 21, 136)]
)
def test_the_sample_lists_are_read_without_problems_or_guesses(name, units, pieces):
    rows, problems = read_table(SAMPLES / name)
    result = read(rows, units=None)
    assert (problems, result.problems, result.notes, result.skipped) == ((), (), (), ())
    assert len({line.unit for line in result.lines}) == units
    assert sum(line.quantity for line in result.lines) == pieces
