"""The board measured from its own widgets: letter heights, order, and what is left out."""

import math
from dataclasses import replace

import pytest
from driver import find_misfits
from fake_shop import NOW, full_floor

from kiosk.rules.floor import Band, Place, Tile
from kiosk.rules.rags import Rags
from kiosk.theme import STATES, measure_screen

WALL = ((1920, 1080), 43.0, 4.0)
STATE_OF = ("resting", "coat", "hang", "late", "other")
WORDS = {
    "resting": "2:05 h",
    "coat": "coat 2",
    "hang": "hang",
    "late": "scuff first",
    "other": "on hold",
}


def fourteen():
    """Bench of 4, rack of 6, door of 4, each slot taken."""
    tiles = [
        Tile(f"G{n:02}", WORDS[STATE_OF[n % 5]], STATE_OF[n % 5], n / 14, "why") for n in range(14)
    ]
    places = (
        Place("Clamp bench", tuple(tiles[:4]), "+2 resting", "+2 more"),
        Place("Rack", tuple(tiles[4:10]), "+3 resting, +12 waiting", "+15 more"),
        Place("By the door", tuple(tiles[10:]), ""),
    )
    bands = tuple(Band(one.title, one.state, 14, one.names) for one in full_floor().bands)
    floor = full_floor()
    hands = (floor.next_hands, "next hands: K05 rack in 18 min", "K05 in 18 min")
    return replace(floor, places=places, bands=bands, hands=hands)


@pytest.fixture
def lay(window):
    """Lay a board out at any size: no window is as large as it, and none is needed."""
    from kivy.base import EventLoop

    from kiosk.screens.board import BoardScreen
    from kiosk.screens.face import Trim

    def made(floor, screen=WALL, layout="", **rest):
        size, diagonal, distance = screen
        sizes = measure_screen(*size, diagonal_in=diagonal, distance_m=distance)
        board = BoardScreen(Trim(sizes), layout=layout, **rest)
        board.size_hint, board.size = (None, None), size
        board.show(floor)
        settle(board)
        return board

    def settle(board):
        for _ in range(4):
            EventLoop.idle()

    made.settle = settle
    return made


def capital_share(bold):
    """Height of the ink of a capital, as a part of the font's size: drawn large and measured."""
    import numpy as np
    from kivy.core.text import Label

    label = Label(text="H", font_size=400, bold=bold, font_name="Roboto")
    label.refresh()
    picture = label.texture
    ink = np.frombuffer(picture.pixels, np.uint8).reshape(picture.height, picture.width, 4)[..., 3]
    return (ink.max(axis=1) > 127).sum() / 400


def minutes_of(label, screen=WALL):
    """Arc-minutes that the capitals of a label fill for an eye at the reading distance."""
    (width, height), diagonal, distance = screen
    mm_per_px = diagonal * 25.4 / math.hypot(width, height)
    capital = label.font_size * capital_share(label.bold) * mm_per_px
    return math.degrees(2 * math.atan(capital / 2 / (distance * 1000))) * 60


def labels_of(board):
    from kivy.uix.label import Label

    return [one for one in board.walk() if isinstance(one, Label) and one.text]


def cut(board):
    """Texts that are larger than their boxes or end in an ellipsis."""
    return [
        one.text
        for one in labels_of(board)
        if one.shorten or one.texture.width > one.width + 1 or one.texture.height > one.height + 1
    ]


def test_fourteen_units_are_named_at_twenty_minutes_on_a_43_inch_screen_at_4_m(lay):
    board = lay(fourteen())
    boxes = [box for column in board.tiles for box in column]
    assert len(boxes) == 14
    for box in boxes:
        assert minutes_of(box.unit) >= 20, box.unit.text
        assert minutes_of(box.word) >= 20, box.word.text
    assert cut(board) == []


@pytest.mark.parametrize("layout", ["places", "bands"])
@pytest.mark.parametrize("pressing", [False, True])
@pytest.mark.parametrize("back", [None, print])
def test_no_letter_of_a_wall_board_is_below_sixteen_minutes(lay, layout, pressing, back):
    board = lay(fourteen(), layout=layout, back=back)
    board.show_stale("No news since 14:02")
    board.show_rags(Rags(NOW, "Oil", pressing))
    lay.settle(board)
    low = {one.text: minutes_of(one) for one in labels_of(board) if minutes_of(one) < 16}
    low.pop("Back", None)  # a button is touched from an arm's length
    assert low == {}
    assert cut(board) == []


@pytest.mark.parametrize(
    ("screen", "layout"),
    [
        (WALL, "places"),
        (((1920, 1080), 55.0, 5.0), "places"),
        (((3840, 2160), 43.0, 4.0), "places"),
        (((1920, 1080), 24.0, 4.0), "bands"),
        (((1280, 800), 10.1, 0.6), "places"),
        (((1280, 800), 10.1, 4.0), "bands"),
    ],
)
def test_each_screen_gets_the_layout_it_can_show_legibly(lay, screen, layout):
    board = lay(fourteen(), screen)
    assert ("bands" if board.bands else "places") == layout
    low = {one.text: minutes_of(one, screen) for one in labels_of(board)}
    assert min(low.values()) >= 16, low
    assert cut(board) == []


def test_a_ten_inch_screen_across_the_shop_shows_the_counts_alone(lay):
    board = lay(fourteen(), ((1280, 800), 10.1, 4.0))
    assert [one.text for one in labels_of(board)].count("14") == 3
    assert not any("G2" in one.text for one in labels_of(board))
    assert board.clock.text == "15:40"


def test_tiles_stand_in_the_order_of_their_slots_and_in_their_place(lay):
    board = lay(fourteen())
    assert [[box.unit.text for box in column] for column in board.tiles] == [
        [f"G{n:02}" for n in range(first, last)] for first, last in ((0, 4), (4, 10), (10, 14))
    ]
    for column in board.tiles:
        tops = [box.to_window(box.x, box.y + box.height)[1] for box in column]
        assert tops == sorted(tops, reverse=True)
        assert len({box.x for box in column}) == 1


def test_what_finds_no_slot_is_counted_in_words_that_fit(lay):
    board = lay(fourteen())
    texts = [one.text for one in labels_of(board)]
    assert "+2 resting" in texts
    assert "+15 more" in texts  # "+3 resting, +12 waiting" does not fit beside the name


def test_a_unit_that_grows_late_keeps_its_slot_and_its_neighbours_theirs(lay):
    before = fourteen()
    board = lay(before)
    where = {box.unit.text: (box, tuple(box.pos)) for column in board.tiles for box in column}
    rack = before.places[1]
    late = replace(rack.slots[2], state="late", word="coat 1 now")
    slots = (*rack.slots[:2], late, *rack.slots[3:])
    after = replace(before, places=(before.places[0], replace(rack, slots=slots), before.places[2]))
    board.show(after)
    lay.settle(board)
    now = {box.unit.text: (box, tuple(box.pos)) for column in board.tiles for box in column}
    assert now == where
    box = now[late.unit][0]
    assert (box.fill, box.mark.shape, box.word.text) == (STATES["late"].fill, "late", "coat 1 now")


def test_no_two_states_share_a_shape():
    assert len({look.shape for look in STATES.values()}) == len(STATES)


def test_a_foot_too_short_for_two_names_says_one_and_says_it_large(lay):
    floor = fourteen()
    hands = ("next hands: " + "GLAZE G01 clamp bench in 2:05 h, then " * 2, *floor.hands[1:])
    board = lay(replace(floor, hands=hands))
    assert board.hands.text == "next hands: K05 rack in 18 min"
    assert minutes_of(board.hands) >= 16


def test_words_two_fifths_longer_are_still_read_from_the_distance(lay):
    floor = fourteen()
    longer = tuple(
        replace(
            place,
            slots=tuple(
                replace(tile, word=(tile.word * 2)[: math.ceil(len(tile.word) * 1.4)])
                for tile in place.slots
            ),
        )
        for place in floor.places
    )
    board = lay(replace(floor, places=longer))
    for column in board.tiles:
        for box in column:
            assert minutes_of(box.word) >= 16
    assert cut(board) == []


def test_all_of_a_board_stays_inside_its_boxes_in_the_window_too(drive, shop):
    kiosk = drive(shop, home="board")
    kiosk.desk.show_stale("No news since 14:02")
    kiosk.settle()
    assert find_misfits(kiosk, touch=kiosk.desk.trim.sizes.touch) == []
