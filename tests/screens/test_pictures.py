"""Every screen in every state, at both sizes: written to tests/output and checked."""

import json
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from driver import BENCH, LARGE, find_misfits
from PIL import Image

from kiosk.config import STATIONS
from kiosk.screens.samples import SAMPLES
from kiosk.theme import GROUND, INK, OUTCOMES, STATES, rgba

HERE = Path(__file__).parent
OUTPUT = HERE.parent / "output"


def pixels_of(path: Path) -> np.ndarray:
    with Image.open(path) as image:
        return np.asarray(image.convert("RGB"))


def share_of(pixels: np.ndarray, colour: str) -> float:
    """Return the share of pixels within 4 levels of a colour."""
    wanted = np.array(rgba(colour)[:3]) * 255
    return float((np.abs(pixels - wanted).max(axis=2) <= 4).mean())


@pytest.fixture(scope="module", params=[(1280, 800), (1920, 1080)], ids=["bench", "wall"])
def drawn(request):
    """Draw all states at one size; give the size, and the misfits by state."""
    size = f"{request.param[0]}x{request.param[1]}"
    ran = subprocess.run(
        [sys.executable, str(HERE / "draw_and_check.py"), str(OUTPUT), size],
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
    )
    assert ran.returncode == 0, ran.stderr[-2000:]
    return request.param, json.loads(ran.stdout)


def test_every_state_has_a_picture(drawn):
    _size, found = drawn
    wanted = {f"bench-idle-{station}" for station in STATIONS}
    wanted |= {f"bench-{one.outcome.value.replace('_', '-')}" for one in SAMPLES}
    wanted |= {"number-pad", "problem", "stations", "board-places", "board-bands", "failsafe"}
    wanted |= {"screen", "screen-tiny", "screen-huge"}
    wanted |= {"board-places-no-news", "board-bands-no-news"}
    wanted |= {"shop", "air", "air-none", "air-pad", "air-pad-wrong", "what-if", "rags"}
    wanted |= {"products", "product", "product-findings", "product-figure", "product-sure"}
    wanted |= {"clock", "clock-picture", "clock-held", "bench-rags-too-early"}
    wanted |= {f"{one}-rags{how}" for one in ("bench", "board") for how in ("", "-pressing")}
    wanted |= {f"labels{one}" for one in ("", "-find", "-found", "-again", "-sent", "-written")}
    wanted |= {"labels-waits", "labels-cut-not-printed", "print-unknown"}
    wanted |= {"labels-cut", "print-stopped", "print-failed", "print-many", "bench-not-printed"}
    wanted |= {"bench-no-job", "bench-camera", "bench-camera-missing", "bench-not-printed-rags"}
    wanted |= {f"bench-scanned-{station}" for station in STATIONS}
    wanted |= {"bench-card", "bench-card-by-number", "stations-card", "bench-signed-in", "wipe"}
    wanted |= {"people", "people-none", "people-name", "problem-missing", "problem-note"}
    wanted |= {"problem-note-sure", "problem-spoiled-which"}
    wanted |= {f"jobs{one}" for one in ("", "-none", "-one", "-day", "-name", "-not-hung")}
    wanted |= {"units", "unit", "unit-parts", "unit-history", "unit-strike", "find-part"}
    wanted |= {f"take-{one}" for one in ("places", "folder", "busy", "slow", "good", "wrong")}
    wanted |= {
        f"take-{one}" for one in ("units", "problems", "pieces", "columns", "meaning", "code")
    }
    wanted |= {
        "take-changes",
        "take-same",
        "take-done",
        "take-done-void",
        "take-there",
        "shop-more",
    }
    wanted |= {"jobs-closed", "jobs-open-again", "exchange-alone"}
    linked = ("", "-apart", "-refused", "-out", "-skewed")
    wanted |= {f"exchange{how}" for how in linked}
    wanted |= {"bench-linked-apart", "bench-linked-refused", "board-linked-apart"}
    wanted |= {"upkeep", "settings", "settings-2", "settings-5", "settings-wrong"}
    wanted |= {f"settings-{one}" for one in ("kept", "restart", "refused", "ask-shop")}
    wanted |= {"places", "place", "place-role", "place-name", "place-away", "place-gone"}
    wanted |= {"routes", "route", "copies", "copies-folder", "copies-busy", "copies-done"}
    wanted |= {
        "copies-nightly",
        "copies-nightly-stands",
        "copies-no-room",
        "copies-proving",
        "copies-proved",
    }
    wanted |= {"copies-proved-mended", "copies-not-sound"}
    wanted |= {"about", "about-checking", "about-found", "first", "first-name", "first-units"}
    wanted |= {"first-places", "first-person", "first-screen", "first-end", "shop-sample"}
    wanted |= {f"staff{one}" for one in ("", "-none", "-one", "-left", "-added", "-off")}
    wanted |= {"staff-too-long", "settings-restart-now"}
    wanted |= {f"route-{one}" for one in ("change", "shown", "kept", "refused", "files")}
    wanted |= {f"day{one}" for one in ("", "-stations", "-more", "-none", "-improving", "-late")}
    wanted |= {"day-closed"}
    wanted |= {
        f"day-{one}" for one in ("late-improving", "step", "closing", "late-jobs", "menu", "notes")
    }
    wanted |= {"day-late-job", "promised", "promised-few", "promised-none"}
    wanted |= {f"day-risk{one}" for one in ("", "-only", "-jobs", "-job")}
    wanted |= {"hours", "hours-wrong"}
    wanted |= {"day-printed", "day-wordy", "day-wordy-step", "day-wordy-stations", "day-crowd"}
    wanted |= {f"day-{one}" for one in ("sending", "sent", "sent-stands", "not-printed")}
    wanted |= {f"settings-printer{one}" for one in ("", "-paper", "-many", "-none")}
    wanted |= {"settings-printer-tested", "settings-printer-not-tested"}
    wanted |= {f"pin-{one}" for one in ("pad", "pad-wrong", "pad-none", "whose", "locked")}
    wanted |= {f"supervisor{one}" for one in ("", "-none", "-pin", "-pin-wrong", "-pin-again")}
    wanted |= {"pin-forgotten", "supervisor-made", "supervisor-drop"}
    wanted |= {"sheets", "sheet", "stock", "buying", "buying-none", "buying-notes"}
    wanted |= {f"sheets-{one}" for one in ("need", "nothing", "search", "search-none", "trade")}
    wanted |= {f"sheets-{one}" for one in ("trade-other", "lost", "lost-parts", "anew")}
    wanted |= {f"sheet-{one}" for one in ("refused", "trim", "frees", "bevel", "done")}
    wanted |= {f"sheet-{one}" for one in ("parts", "part", "wordy", "wordy-bevel")}
    wanted |= {f"stock-{one}" for one in ("none", "size", "count", "offcut", "gone", "refused")}
    wanted |= {f"stock-{one}" for one in ("add", "length", "length-inch", "how-many")}
    wanted |= {"sheets-wordy", "sheets-wordy-search", "sheets-wordy-trade", "stock-wordy"}
    wanted |= {"hang", "hang-inch", "hang-next", "hang-know", "hang-print", "hang-not-printed"}
    wanted |= {f"hang-{one}" for one in ("rated", "overloaded", "refused", "allowed", "carried")}
    wanted |= {f"hang-{one}" for one in ("unmeasured", "unmeasured-stop", "screwed", "allow")}
    wanted |= {f"hang-{one}" for one in ("reasons", "better", "assumptions", "cautions")}
    wanted |= {"hang-scanned", "hang-scanned-bare", "walls", "walls-none", "wall", "wall-empty"}
    wanted |= {f"wall-{one}" for one in ("read", "inch", "wrong", "problems", "leave", "size")}
    wanted |= {f"wall-{one}" for one in ("studs", "floor", "layers", "services", "studs-none")}
    wanted |= {f"wall-{one}" for one in ("stud", "level", "level-inch", "wood", "layer", "facts")}
    wanted |= {"wall-backing", "wall-file-wrong", "wall-places", "wall-written", "wall-not-written"}
    wanted |= {"fit", "fit-changed", "fit-leave", "fit-wrong"}
    wanted |= {f"fit-{one}" for one in ("place", "cleat", "screws", "load", "use", "drop")}
    wanted |= {f"fit-{one}" for one in ("screw", "goods", "lock", "rows", "expected")}
    wanted |= {"times", "times-none", "times-pad", "times-wrong"}
    wanted |= {"questions", "questions-none", "question", "question-answered"}
    wanted |= {"board-places-questions", "board-bands-questions"}
    assert wanted <= set(found)


def test_nothing_overlaps_is_cut_or_too_small_to_touch(drawn):
    _size, found = drawn
    assert {name: wrong for name, wrong in found.items() if wrong} == {}


def test_every_picture_is_drawn_to_its_last_corner(drawn):
    size, found = drawn
    kept = [name for name in found if size == BENCH or name.startswith(LARGE)]
    assert len(kept) > 20
    for name in kept:
        with Image.open(OUTPUT / f"{name}-{size[0]}x{size[1]}.png") as image:
            assert (image.size, image.mode) == (tuple(size), "RGB")
            # our ink is #111111: full black is a frame that was never drawn
            assert image.convert("L").getextrema()[0] > 0, name


@pytest.mark.parametrize("answer", SAMPLES, ids=lambda one: one.outcome.value)
def test_an_answer_shows_the_fill_of_its_outcome(drawn, answer):
    size, _found = drawn
    name = f"bench-{answer.outcome.value.replace('_', '-')}"
    pixels = pixels_of(OUTPUT / f"{name}-{size[0]}x{size[1]}.png")
    fill = OUTCOMES[answer.outcome.value].fill
    top = pixels[round(size[1] * 0.17) : round(size[1] * 0.45), : round(size[0] * 0.5)]
    assert share_of(top, fill) > 0.5


@pytest.mark.parametrize("state", ["resting", "coat", "hang"])
def test_the_bands_fill_the_screen_with_their_states(drawn, state):
    size, _found = drawn
    pixels = pixels_of(OUTPUT / f"board-bands-{size[0]}x{size[1]}.png")
    assert share_of(pixels, STATES[state].fill) > 0.2


@pytest.mark.parametrize("state", ["resting", "coat", "hang", "late"])
def test_the_board_shows_all_four_states(drawn, state):
    size, _found = drawn
    pixels = pixels_of(OUTPUT / f"board-places-{size[0]}x{size[1]}.png")
    # a tile and, but for 'late', a count
    assert share_of(pixels, STATES[state].fill) > 0.01
    assert share_of(pixels, GROUND) > 0.3


def test_a_supposed_board_stands_below_an_inverted_band_and_in_a_frame(drawn):
    size, _found = drawn
    pixels = pixels_of(OUTPUT / f"what-if-{size[0]}x{size[1]}.png")
    band = pixels[: round(size[1] * 0.1), : round(size[0] * 0.75)]
    edges = np.concatenate([pixels[:, 2:6], pixels[:, -6:-2]], axis=1)
    assert share_of(band, INK) > 0.7
    assert share_of(edges[round(size[1] * 0.16) :], INK) > 0.99


@pytest.mark.parametrize("screen", ["bench", "board"])
def test_from_closing_time_on_the_band_of_the_rags_is_inverted(drawn, screen):
    size, _found = drawn
    shares = []
    for how in ("", "-pressing"):
        pixels = pixels_of(OUTPUT / f"{screen}-rags{how}-{size[0]}x{size[1]}.png")
        # the band lies below the header of the bench, or below the counts of the board
        first, last = (0.16, 0.24) if screen == "bench" else (0.125, 0.19)
        top = pixels[round(size[1] * first) : round(size[1] * last), : round(size[0] * 0.7)]
        shares.append(share_of(top, INK))
    assert shares[0] < 0.4 < 0.6 < shares[1]


def test_the_misfit_finder_finds_a_text_too_long(drive, shop):
    from kivy.uix.label import Label

    kiosk = drive(shop)
    label = Label(text="far too long a text", font_size=60, size_hint=(None, None), size=(50, 20))
    kiosk.desk.stage.add_widget(label)
    kiosk.settle()
    wrong = find_misfits(kiosk, touch=1)
    assert "'far too long a text' is larger than its box" in wrong


def test_the_misfit_finder_finds_a_small_button_and_an_overlap(drive, shop):
    kiosk = drive(shop)
    bench = kiosk.desk.bench
    assert find_misfits(kiosk, touch=10) == []
    bench.strike.height = 20
    bench.pad.x = bench.problem.x
    wrong = find_misfits(kiosk, touch=88)
    assert any(one.startswith("button 'Strike last'") for one in wrong)
    assert "BigButton lies over BigButton" in wrong
