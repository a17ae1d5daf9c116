"""Reading codes from pictures: what reads, what is refused, and what a camera's watcher gives."""

from pathlib import Path

import cv2
import numpy as np
import pytest
import zxingcpp
from PIL import Image

from labels.artwork import LabelText, draw
from labels.codes import code_for
from labels.reading import HELD_FRAMES, Find, Found, Watcher, read_picture
from labels.stocks import parse_stocks
from tests.bench import damage
from tests.bench.damage import lay_on_bench

STOCKS = parse_stocks(
    (Path(__file__).parents[2] / "kiosk/data/stocks.toml").read_text(encoding="utf-8")
)[0]
CODE = code_for("K", 4_711)


def _label(code=CODE, stock="50x25"):
    return draw(LabelText(code, "Panel face", "G01", "603 × 400 mm"), STOCKS[stock], 203)


def _on_bench(code=CODE, stock="50x25"):
    return lay_on_bench(_label(code, stock), 203)


def _symbol(text, form=zxingcpp.BarcodeFormat.QRCode):
    return np.array(zxingcpp.create_barcode(text, form).to_image(scale=6, add_quiet_zones=True))


@pytest.mark.parametrize("stock", ["50x25", "38x21", "25x25", "63x38"])
def test_every_symbol_of_a_sound_label_gives_its_code(stock):
    found = read_picture(_on_bench(stock=stock).grey)

    kinds = [find.kind for find in found.finds]
    wanted = {"50x25": (2, 1), "38x21": (1, 1), "25x25": (2, 0), "63x38": (2, 1)}[stock]
    assert found.codes == (CODE,)
    assert (kinds.count("qr"), kinds.count("bars")) == wanted
    assert found.step == ""


@pytest.mark.parametrize("turn", [90, 180, 270])
def test_a_label_reads_turned_any_way(turn):
    picture = Image.fromarray(_on_bench().grey).rotate(turn, expand=True)

    found = read_picture(picture)

    assert {find.kind for find in found.finds} == {"qr", "bars"}


def test_a_find_says_where_its_symbol_is():
    scene = np.full((400, 600), 255, np.uint8)
    symbol = _symbol(CODE)
    scene[150 : 150 + symbol.shape[0], 300 : 300 + symbol.shape[1]] = symbol

    (find,) = read_picture(scene).finds

    middle = (300 + symbol.shape[1] / 2, 150 + symbol.shape[0] / 2)
    assert find.middle == pytest.approx(middle, abs=6)


def test_a_find_on_a_halved_picture_is_placed_in_the_given_one():
    sound = _on_bench(stock="25x25")
    places = [find.middle for find in read_picture(sound.grey).finds]
    dusty = (damage.dust(0.10)(sound, np.random.default_rng(seed)) for seed in range(60))
    halved = next(found for one in dusty if (found := read_picture(one.grey)).step == "half")

    x, y = halved.finds[0].middle

    assert any(abs(x - at[0]) < 16 and abs(y - at[1]) < 16 for at in places)


@pytest.mark.parametrize("form", [zxingcpp.BarcodeFormat.QRCode, zxingcpp.BarcodeFormat.Code128])
@pytest.mark.parametrize(
    "text",
    [
        CODE[:-1] + "2",  # the check letter is wrong
        CODE[:-1],  # cut short, as bars are when an end is covered
        CODE + "2",
        CODE[:3] + "?" + CODE[4:],  # parse would fill it, but no label of ours says so
        CODE.lower(),
        f"{CODE[:3]}-{CODE[3:]}",
        "HTTPS://EXAMPLE.ORG/K7F",
    ],
)
def test_what_is_no_code_letter_by_letter_is_refused(text, form):
    found = read_picture(_symbol(text, form))

    assert found.codes == ()
    assert found.refused == (text,)


@pytest.mark.parametrize("name", ["DataMatrix", "Aztec", "Code39", "PDF417"])
def test_a_sound_code_in_another_symbology_is_not_looked_for(name):
    form = getattr(zxingcpp.BarcodeFormat, name)
    symbol = _symbol(CODE, form)
    assert zxingcpp.read_barcode(symbol).text == CODE  # it is there to be read

    found = read_picture(symbol)

    assert found == Found()


def test_two_labels_in_one_picture_give_both_codes():
    other = code_for("K", 4_712)
    picture = np.vstack([_on_bench().grey, _on_bench(other).grey])

    found = read_picture(picture)

    assert set(found.codes) == {CODE, other}


def test_many_foreign_codes_are_told_of_only_in_part():
    rows = [np.hstack([_symbol(f"PARCEL{row}{at}") for at in range(4)]) for row in range(4)]
    picture = np.vstack(rows)

    found = read_picture(picture)

    assert found.codes == ()
    assert len(found.refused) == 8


# Each of these is past the plain look, and there is a step of the ladder for it.
@pytest.mark.parametrize(
    ("hurt", "step"),
    [
        (damage.blur(0.23), "sharp"),
        (damage.dust(0.10), "ink"),
        (damage.both(damage.contrast(0.05), damage.light(0.4)), "even"),
    ],
)
def test_the_ladder_reads_what_one_look_does_not(hurt, step):
    scenes = [hurt(_on_bench(stock="38x21"), np.random.default_rng(seed)) for seed in range(12)]
    failed = [one.grey for one in scenes if not read_picture(one.grey, ladder=False).codes]

    found = [read_picture(grey) for grey in failed]

    assert len(failed) >= 4
    assert sum(one.codes == (CODE,) for one in found) >= len(failed) / 2
    assert any(one.step.startswith(step) for one in found)


def test_a_picture_with_nothing_in_it_gives_nothing():
    noise = np.random.default_rng(5).integers(0, 256, (300, 400)).astype(np.uint8)

    found = [read_picture(one) for one in (noise, np.zeros_like(noise), np.full_like(noise, 255))]

    assert found == [Found()] * 3


@pytest.mark.parametrize("size", [(1, 1), (1, 4_000), (4_000, 1), (20, 20), (21, 21), (63, 65)])
def test_a_picture_of_any_size_is_looked_at(size):
    found = read_picture(Image.new("L", size, 255))

    assert found == Found()


@pytest.mark.parametrize("mode", ["1", "L", "P", "RGB", "RGBA", "LA", "CMYK", "I;16", "I", "F"])
def test_a_picture_of_any_mode_is_read(mode):
    grey = Image.fromarray(_on_bench().grey)
    if mode in ("I;16", "I"):
        deep = np.asarray(grey).astype(np.uint16) * 257
        picture = Image.fromarray(deep)
        picture = picture if mode == "I;16" else Image.fromarray(deep.astype(np.int32))
    else:
        picture = grey.convert(mode)
    assert picture.mode == mode

    found = read_picture(picture)

    assert found.codes == (CODE,)


def test_what_is_transparent_is_paper():
    ink = Image.new("RGBA", (400, 200), (0, 0, 0, 0))
    dark = Image.fromarray(255 - _symbol(CODE))
    ink.paste((0, 0, 0, 255), (20, 10), dark)

    found = read_picture(ink)

    assert found.codes == (CODE,)


def test_colours_of_opencv_and_its_views_are_read():
    colours = cv2.cvtColor(_on_bench().grey, cv2.COLOR_GRAY2BGR)

    found = [read_picture(one) for one in (colours, colours[..., ::-1], colours[..., 1])]

    assert [one.codes for one in found] == [(CODE,)] * 3


SIZE = (1280, 720)
MIDDLE = (640, 360)


def _seen(code, kind="qr", at=MIDDLE):
    return Found((code,), (Find(code, kind, at),))


def _both(one, other):
    return Found((one.codes[0], other.codes[0]), (*one.finds, *other.finds))


OTHER = code_for("K", 4_712)


def _watch(frames, watcher=None, start=0.0):
    """Show frames twelve times a second; return the codes given, with the frame that gave them."""
    watcher = watcher or Watcher()
    given = (watcher.see(one, start + at / 12, size=SIZE) for at, one in enumerate(frames))
    return [(at, code) for at, codes in enumerate(given) for code in codes]


def test_a_code_held_in_the_middle_is_given_once_at_the_third_frame():
    assert _watch([_seen(CODE)] * 60) == [(HELD_FRAMES - 1, CODE)]


@pytest.mark.parametrize("at", [(310, 360), (970, 360), (640, 170), (640, 550), (20, 20)])
def test_a_code_merely_in_view_is_not_given(at):
    assert _watch([_seen(CODE, at=at)] * 60) == []


@pytest.mark.parametrize("at", [(330, 190), (950, 530)])
def test_the_middle_is_half_the_picture_each_way(at):
    assert len(_watch([_seen(CODE, at=at)] * 3)) == 1


def test_a_code_carried_past_the_middle_is_not_given():
    assert _watch([_seen(CODE, at=(x, 360)) for x in range(0, 1280, 70)]) == []


def test_a_hand_that_trembles_holds_still_enough():
    frames = [_seen(CODE, at=(640 + shift, 360 - shift)) for shift in (0, 40, -10, 30)]
    assert _watch(frames) == [(2, CODE)]


def test_of_two_codes_in_the_middle_the_nearer_one_is_given_and_the_other_is_not():
    near, far = _seen(CODE, at=(600, 360)), _seen(OTHER, at=(800, 360))
    assert _watch([_both(far, near)] * 30) == [(2, CODE)]


def test_a_code_that_was_given_is_not_given_again_while_it_lies_at_the_edge():
    frames = [_seen(CODE)] * 3 + [_seen(CODE, at=(50, 50))] * 30 + [_seen(CODE)] * 10
    assert _watch(frames) == [(2, CODE)]


def test_a_code_that_flickers_for_less_than_a_second_is_given_once():
    frames = ([_seen(CODE)] * 3 + [Found()] * 9) * 4
    assert _watch(frames) == [(2, CODE)]


def test_a_code_out_of_sight_for_more_than_a_second_is_given_again():
    frames = [_seen(CODE)] * 3 + [Found()] * 13 + [_seen(CODE)] * 3
    assert _watch(frames) == [(2, CODE), (18, CODE)]


def test_a_label_that_reads_in_every_fifth_frame_is_given_all_the_same():
    assert _watch(([_seen(CODE)] + [Found()] * 4) * 3) == [(10, CODE)]


def test_another_code_is_given_once_it_is_held_still():
    assert _watch([_seen(CODE)] * 5 + [_seen(OTHER)] * 5) == [(2, CODE), (7, OTHER)]


def test_a_label_of_which_now_this_and_now_that_symbol_reads_is_held_still():
    left, right = Find(CODE, "qr", (540, 360)), Find(CODE, "qr", (740, 360))
    frames = [Found((CODE,), (left, right)), Found((CODE,), (right,)), Found((CODE,), (right,))]
    assert _watch(frames) == [(2, CODE)]


def test_bars_misread_differently_each_time_are_never_given():
    assert _watch([_seen(code_for("K", at), "bars") for at in range(24)]) == []


def test_frames_of_which_one_was_long_ago_do_not_count_together():
    watcher = Watcher()
    assert _watch([_seen(CODE)] * 2, watcher) == []
    assert _watch([_seen(CODE)], watcher, start=2.0) == []


def test_a_watcher_told_to_forget_gives_what_is_in_sight_again():
    watcher = Watcher()
    assert len(_watch([_seen(CODE)] * 3, watcher)) == 1
    watcher.forget()
    assert len(_watch([_seen(CODE)] * 3, watcher, start=0.3)) == 1
