"""Draw every state of the sample shop in the strange language, and print as JSON what is wrong.

`draw_strange.py FOLDER FILE` draws what is cut or covered into FOLDER; the shop is kept in FILE.
"""

import ast
import contextlib
import importlib
import inspect
import io
import json
import platform
import sys
from dataclasses import replace
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))

from driver import Driver, find_misfits, open_window

SIZE, DIAGONAL_IN, DISTANCE_M = (1280, 800), 10.1, 0.6
SAMPLES = (
    "samples",
    "jobsamples",
    "dayplansamples",
    "pingallery",
    "sheetsamples",
    "buysamples",
    "hangsamples",
)
GALLERIES = (
    "gallery",
    "benchgallery",
    "jobgallery",
    "labelgallery",
    "mattersgallery",
    "dayplangallery",
    "copygallery",
    "exchangegallery",
    "sheetgallery",
    "hanggallery",
)
# names that are no language's, units of measure, and what stands on keys that turn a pad's sheet
NAMES = {"Cleatclock", "Python", "Kivy", "SQLite", "Apache", "mm", "in", "kPa", "abc", "ABC"}
WRONG = "unsaid"  # the last state: what is wrong in it must be found


def draw(folder: Path, file: Path):
    """Return by name of a state its misfits, and its words that went past the catalogue."""
    open_window(SIZE)
    from kiosk import demo, language
    from kiosk.actions import GO_AHEAD_REASONS
    from kiosk.app import late_shop
    from kiosk.clock import FixedClock
    from kiosk.screens.gallery import show_each
    from kiosk.screens.stage import save_frame
    from tests.messages import gather, keys_of
    from tests.ownwords import words_of
    from tests.strange import Strange

    with contextlib.redirect_stdout(io.StringIO()):
        demo.run_demo(keep=file)
    catalogue = Strange(keys_of(gather()))
    language.use_catalogue(catalogue)
    screen = {"screen_diagonal_in": DIAGONAL_IN, "viewing_distance_m": DISTANCE_M}
    shop = late_shop(file, replace(demo.sample_settings(), **screen), FixedClock(demo.NOW))
    post = {"station": "finish", "person": demo.PEOPLE[0], "reasons": tuple(GO_AHEAD_REASONS)}
    driver = Driver(shop, post)
    touch, drawn = driver.desk.trim.sizes.touch, {}
    for name in _states(driver, show_each(driver.stage)):
        driver.step(1)
        drawn[name] = words_of(driver.texts()), find_misfits(driver, touch=touch)
        if drawn[name][1]:  # to be looked at
            save_frame(folder / f"{name}.png")
    driver.close()
    own = _own(file, catalogue)
    return {
        name: {"misfits": misfits, "plain": sorted(filter(_is_word, words - own))}
        for name, (words, misfits) in drawn.items()
    }


def _states(driver: Driver, gallery):
    """Give every state, and at last one with words past the catalogue that are cut."""
    from kiosk.rules.words import _
    from kiosk.screens.busyscreen import BusyScreen

    yield from gallery
    desk = driver.desk
    desk.put(BusyScreen(desk.trim, "Unsaid words", to_bench=desk.open_bench))
    desk.show.told.text = _("Scan a label, or tap Number pad")
    desk.show.told.size_hint, desk.show.told.size = (None, None), (90, 30)
    driver.step(2)
    yield WRONG


def _is_word(word: str) -> bool:
    return len(word) > 1 and not any(letter.isdigit() for letter in word)


def _own(file: Path, catalogue) -> set[str]:
    """Return the words that are data: the shop's, the samples', this machine's, and names."""
    from kiosk import demo
    from kiosk.actions import Shop
    from kiosk.clock import FixedClock
    from kiosk.language import LANGUAGES
    from kiosk.rules.hanging.species import GRAVITIES
    from kiosk.screens import jobsamples, sheetsamples
    from kiosk.store import Store
    from labels.codes import shown
    from tests.ownwords import own_words_in, own_words_of, own_words_set, words_of

    settings = demo.sample_settings()
    store = Store.open(file, settings.kiosk_letter)
    own = own_words_of(Shop(store, settings, FixedClock(demo.NOW))) | own_words_set(settings)
    store.close()
    lists = (jobsamples.good_list(), jobsamples.wrong_list(), jobsamples.changed_list())
    modules = (*SAMPLES, *GALLERIES, "settingsgallery", "printergallery", "asksamples")
    own |= own_words_in([*lists, *(_constants(name) for name in modules)], catalogue)
    pieces, offcuts = sheetsamples.sample_pieces(), sheetsamples.sample_stock().offcuts
    codes = [*pieces, *(one.offcut.code for one in offcuts)]
    own |= words_of(map(shown, codes))
    machine = (str(file), platform.platform(terse=True), platform.python_version())
    return own | words_of((*machine, *LANGUAGES.values(), *GRAVITIES)) | NAMES


def _constants(name: str) -> list[object]:
    """Return what a module itself gives names to, without what it imports."""
    module = importlib.import_module(f"kiosk.screens.{name}")
    tree = ast.parse(inspect.getsource(module))
    targets = [one.targets[0] for one in tree.body if isinstance(one, ast.Assign)]
    targets += [one.target for one in tree.body if isinstance(one, ast.AnnAssign)]
    names = {node.id for one in targets for node in ast.walk(one) if isinstance(node, ast.Name)}
    return [getattr(module, one) for one in sorted(names)]


if __name__ == "__main__":
    print(json.dumps(draw(Path(sys.argv[1]), Path(sys.argv[2]))))
