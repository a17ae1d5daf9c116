"""Which edges a part list means: words of the shipped lists, other spellings, and what is not."""

import csv
from pathlib import Path

import pytest

import kiosk.rules
from kiosk.rules.buying.edging import parse_edges

DATA = Path(next(iter(kiosk.rules.__path__))).parent / "data"


@pytest.mark.parametrize(
    ("text", "edges"),
    [
        ("", (0, 0)),
        ("none", (0, 0)),
        ("all round", (2, 2)),
        ("All-Round", (2, 2)),
        ("4", (2, 2)),
        ("front", (1, 0)),
        ("bottom", (1, 0)),
        ("left", (0, 1)),
        ("front, left", (1, 1)),
        ("front and both ends", (1, 2)),
        ("front and back", (2, 0)),
        ("2 long + 1 short", (2, 1)),
        ("2L1S", (2, 1)),
        ("1 front edge", None),
        ("2 x long sides", (2, 0)),
        ("2s", (0, 2)),
        ("2 both long", None),
        ("2 long sides", (2, 0)),
        ("both long", (2, 0)),
        ("umlaufend", (2, 2)),
        ("vorn und hinten", (2, 0)),
        ("tout autour", (2, 2)),
        ("front, front, front", None),
        ("3 long", None),
        ("4 short", None),
        ("2 all round", None),
        ("as drawn", None),
        ("front, as drawn", None),
        ("1 as drawn", None),
    ],
)
def test_words_are_read_or_named(text, edges):
    assert parse_edges(text) == edges


def test_every_word_of_the_lists_that_ship_is_understood():
    lines = (DATA / "glaze-store.csv").read_text("utf-8").splitlines()[1:]
    words = {row["Edge"] for row in csv.DictReader(lines, delimiter=";")}

    assert words == {"", "all round", "front", "top", "bottom"}
    assert all(parse_edges(word) is not None for word in words)
