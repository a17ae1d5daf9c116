"""Reading codes from pictures: what reads, what is refused, and what a camera's watcher gives."""

from pathlib import Path

import cv2
import numpy as np
import pytest
import zxingcpp
from PIL import Image

from labels.artwork import LabelText, draw
from labels.codes import code_for
from labels.reading import Find, Found, Watcher, read_picture
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


def _seen(code, kind="qr"):
    return Found((code,), (Find(code, kind, (0, 0)),))


OTHER = code_for("K", 4_712)


def test_a_code_in_sight_is_given_once():
    watcher = Watcher()

    given = [watcher.see(_seen(CODE), at / 12) for at in range(60)]

    assert given == [(CODE,)] + [()] * 59


def test_a_code_that_flickers_for_less_than_a_second_is_given_once():
    watcher = Watcher()
    watcher.see(_seen(CODE), 0.0)

    given = [
        watcher.see(Found(), 0.5),
        watcher.see(_seen(CODE), 1.0),
        watcher.see(_seen(CODE), 2.0),
    ]

    assert given == [(), (), ()]


def test_a_code_unseen_for_more_than_a_second_is_given_again():
    watcher = Watcher()
    watcher.see(_seen(CODE), 0.0)

    given = watcher.see(_seen(CODE), 1.1)

    assert given == (CODE,)


def test_another_code_is_given_at_once():
    watcher = Watcher()
    watcher.see(_seen(CODE), 0.0)

    given = watcher.see(_seen(OTHER), 0.08)

    assert given == (OTHER,)


def test_two_labels_that_read_in_turns_are_given_once_each():
    watcher = Watcher()

    given = [watcher.see(_seen((CODE, OTHER)[at % 2]), at / 12) for at in range(24)]

    assert [code for codes in given for code in codes] == [CODE, OTHER]


def test_bars_need_a_second_frame():
    watcher = Watcher()

    given = [watcher.see(_seen(CODE, "bars"), at) for at in (0.0, 0.4, 0.8)]

    assert given == [(), (CODE,), ()]


def test_bars_seen_twice_in_one_frame_need_a_second_frame_as_well():
    watcher = Watcher()
    twice = Found((CODE,), (Find(CODE, "bars", (0, 0)), Find(CODE, "bars", (0, 50))))

    given = watcher.see(twice, 0.0)

    assert given == ()


def test_bars_misread_differently_each_time_are_never_given():
    watcher = Watcher()

    given = [watcher.see(_seen(code_for("K", at), "bars"), at / 12) for at in range(24)]

    assert given == [()] * 24


def test_bars_seen_again_only_much_later_are_not_given():
    watcher = Watcher()
    watcher.see(_seen(CODE, "bars"), 0.0)

    given = watcher.see(_seen(CODE, "bars"), 1.5)

    assert given == ()


def test_bars_beside_a_qr_code_that_says_the_same_need_no_second_frame():
    watcher = Watcher()
    found = Found((CODE,), (Find(CODE, "bars", (0, 0)), Find(CODE, "qr", (0, 0))))

    given = watcher.see(found, 0.0)

    assert given == (CODE,)


def test_a_watcher_told_to_forget_gives_what_is_in_sight_again():
    watcher = Watcher()
    watcher.see(_seen(CODE), 0.0)
    watcher.forget()

    given = watcher.see(_seen(CODE), 0.1)

    assert given == (CODE,)
