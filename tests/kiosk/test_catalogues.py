"""The catalogues hold every message, and nothing that is shown goes past them."""

import ast
import gettext
import re
from math import ceil
from string import Formatter

import pytest

from kiosk import demo
from kiosk.actions import GO_AHEAD_REASONS, PROBLEMS, Shop
from kiosk.airreport import AHEAD_WORDS
from kiosk.clock import FixedClock
from kiosk.language import LANGUAGES, catalogue_of
from kiosk.rules import labelwords
from kiosk.rules.air import Reading
from kiosk.rules.lengths import System
from kiosk.rules.route import STATIONS
from kiosk.rules.words import known, said, say
from kiosk.screens.airview import see_air
from kiosk.screens.clockview import see_clocks
from kiosk.screens.productview import see_product, see_products
from kiosk.store import Store
from labels import codes
from tests.messages import LOCALE, ROOT, gather, keys_of, load
from tests.ownwords import own_words_of

FILES = sorted(LOCALE.glob("*.po"))


@pytest.fixture(scope="module")
def wanted():
    return keys_of(gather())


def texts_of(message):
    """Return the English and the translated texts of a message, each with its kin."""
    if isinstance(message.id, str):
        return [message.id], [message.string]
    return list(message.id), list(message.string)


def fields(text):
    try:
        return sorted(name for _, name, _, _ in Formatter().parse(text) if name is not None)
    except ValueError:  # fixed words with a lone brace
        return [text.count("{"), text.count("}")]


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_a_catalogue_holds_every_message_and_no_other(file, wanted):
    have = keys_of(load(file.stem))

    assert have.keys() == wanted.keys(), "python -m tests.messages --write"
    assert len(have) > 700


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_every_message_is_translated_with_the_same_fields(file):
    catalog = load(file.stem)

    assert not catalog.obsolete
    for message in keys_of(catalog).values():
        english, theirs = texts_of(message)
        assert not message.fuzzy, message.id
        assert all(theirs), message.id
        assert len(theirs) == (1 if isinstance(message.id, str) else catalog.num_plurals)
        for text in theirs:
            # the one of a count need not say its number
            assert fields(text) in (fields(english[0]), fields(english[-1])), message.id
            # what is put between others keeps its blanks
            assert text[:1].isspace() == english[0][:1].isspace(), message.id
            assert text[-1:].isspace() == english[0][-1:].isspace(), message.id


def test_every_language_but_english_has_a_catalogue_and_a_name():
    assert {file.stem for file in FILES} == LANGUAGES.keys() - {"en"}


def test_german_is_said_with_the_words_of_the_trade():
    german = catalogue_of("de")

    step = known("cut", "step")
    assert step.said(german) == "zuschneiden"
    assert known("cut", "done").said(german) == "zugeschnitten"
    assert known("cut", "station").said(german) == "Zuschnitt"
    sentence = say("{rest}, then {step}", rest="", step=step)
    assert sentence.said(german) == ", dann zuschneiden"
    assert known("Mara", "step").said(german) == "Mara"


# -- what `labels` says ---------------------------------------------------------------------------


def templates(file):
    """Give what a file of `labels` says in sentences, with {} for what is filled in."""
    tree = ast.parse(file.read_text("utf-8"))
    inside = {id(part) for node in ast.walk(tree) if isinstance(node, ast.JoinedStr)
              for part in ast.walk(node) if part is not node}  # fmt: skip
    docs = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}
    for node in ast.walk(tree):
        if id(node) in inside | docs:
            continue
        if isinstance(node, ast.Constant) and isinstance(node.value, str):
            yield node.value
        if isinstance(node, ast.JoinedStr):
            parts = (part.value if isinstance(part, ast.Constant) else "{}" for part in node.values)
            yield "".join(parts)


def bare(template):
    return re.sub(r"\{\w*\}", "{}", template)


def test_what_labels_says_of_codes_is_known():
    ours = {bare(words) for words in labelwords._OF_CODES}
    said_there = {
        words
        for words in templates(ROOT / "labels/codes.py")
        if re.fullmatch(r"(?s)[A-Z{].* .*\.", words)
    }

    assert len(said_there) >= 8
    assert said_there <= ours


def test_what_labels_says_of_printers_is_known():
    ours = {bare(words) for words in (*labelwords._OF_PRINTERS, *labelwords._REMEDIES)}
    unseen = {
        # put together from what stands in the tables beside them
        "{}{}.", "{}.", "The printer has no labels{}.",
        # said to programs that hand over what no sheet of ours is
        *(words for words in templates(ROOT / "labels/printing/raster.py")),
        *(words for words in templates(ROOT / "labels/printing/wire.py")),
        "The label comes out once more.",
    }  # fmt: skip
    for file in (ROOT / "labels/printing").glob("*.py"):
        for words in templates(file):
            sentence = words.replace("{}.", "the label prints by itself then.") \
                if words.endswith("; {}.") else words  # fmt: skip
            sentence = sentence.replace("0x{}", "{}")
            if re.fullmatch(r"(?s)[A-Z{].* .*\.( \{\})?", sentence) and sentence not in unseen:
                assert sentence in ours, (file.name, sentence)


def test_a_print_state_is_said_in_another_language():
    german = catalogue_of("de")

    words = labelwords.say_print("The printer has no labels of 50 × 25 mm.")
    assert said(words, german) == "Der Drucker hat keine Etiketten von 50 × 25 mm."
    both = labelwords.say_print(
        "a b is no address of a printer. Write it as ipp://192.168.1.40/ipp/print."
    )
    assert said(both, german).endswith("So schreiben: ipp://192.168.1.40/ipp/print.")
    assert said(labelwords.say_code_reading(codes.parse("ABC").message), german) == (
        "Ein Teilecode hat 7 Zeichen, dieser hat 3. Noch einmal lesen."
    )
    drawn = labelwords.say_drawing("x.pdf could not be written: full. "
                                   "Choose another folder, or make room on the disk.")  # fmt: skip
    assert said(drawn, german).startswith("x.pdf ließ sich nicht schreiben: full.")


# -- nothing goes past the catalogue --------------------------------------------------------------


class Pseudo(gettext.NullTranslations):
    """A language of signs nobody uses, 40 % longer, of the messages of the catalogues alone."""

    def __init__(self, messages):
        super().__init__()
        self.messages = set(messages)

    def gettext(self, message):
        context, text = message.split("\x04") if "\x04" in message else ("", message)
        return pseudo(text) if (context, text) in self.messages else message

    def ngettext(self, msgid1, msgid2, n):
        text = msgid1 if n == 1 else msgid2
        return pseudo(text) if ("", msgid1) in self.messages else text


def pseudo(text):
    """Return a template with every letter outside its fields made strange, and with more of it."""
    parts = re.split(r"(\{[^{}]*\})", text)
    strange = [part if at % 2 else re.sub("[A-Za-z]", "ж", part) for at, part in enumerate(parts)]
    return "".join(strange) + "ж" * ceil(0.4 * len(text))


@pytest.fixture(scope="module")
def shop(tmp_path_factory):
    file = tmp_path_factory.mktemp("demo") / "sample.db"
    demo.run_demo(keep=file)
    store = Store.open(file, "K")
    yield Shop(store, demo.sample_settings(), FixedClock(demo.NOW))
    store.close()


def check(texts, wanted, shop, *typed):
    """Say texts in the strange language and find any word that is neither strange nor ours."""
    strange, own_words = Pseudo(wanted), own_words_of(shop) | {"mm", *typed}
    seen = 0
    for text in texts:
        new = said(text, strange)
        found = re.findall("[A-Za-z0-9]+", new)
        left = {word for word in found if len(word) > 1 and not word.isdigit()}
        assert left <= own_words, (text, new)
        seen += "ж" in new
    return seen


def test_the_board_is_said_wholly_in_another_language(shop, wanted):
    floor = shop.floor()
    tiles = [tile for place in floor.places for tile in place.slots if tile]
    texts = [floor.next_hands, *(band.title for band in floor.bands)]
    texts += [place.more for place in floor.places]
    texts += [words for tile in tiles for words in (tile.word, tile.detail)]

    assert check(texts, wanted, shop) > 20


def test_every_stations_list_is_said_wholly_in_another_language(shop, wanted):
    lines = [line for station in STATIONS for line in shop.due(station)]
    texts = [words for line in lines for words in (line.words, line.why)]

    assert check(texts, wanted, shop) > 60


def test_every_standing_is_said_wholly_in_another_language(shop, wanted):
    standings = shop.standings()
    texts = [words for one in standings for words in (one.why, one.caution, one.warning, one.air)]
    texts += [one.step.where for one in standings if one.step]
    texts += [why for job in shop.jobs() for ends in shop.ends(job) for why in ends.why.values()]

    assert check(texts, wanted, shop) > 100


def test_every_answer_to_a_scan_is_said_wholly_in_another_language(shop, wanted):
    answers = []
    states = list(shop.store.states().values())
    for state in states:
        spec = state.spec
        named = f"{spec.job}/{spec.unit}"
        for station in STATIONS:
            answers.append(shop.scan(named, station=station, person="Mara"))
        answers.append(shop.scan(named, station="finish", reason=GO_AHEAD_REASONS[1]))
        answers.append(shop.find(named, dry=True))
        answers += [shop.test_passed(named), shop.lift(named)]
    for state, trouble in zip(states, PROBLEMS * 9, strict=False):
        named = f"{state.spec.job}/{state.spec.unit}"
        answers.append(shop.problem(named, trouble.key, note="" if state.done else "K05"))
        answers.append(shop.scan(named, station="finish"))
        code = state.pieces[0].piece.code if state.pieces else "AAAA"
        answers.append(shop.problem(code, trouble.key, draw=False))
        answers += [shop.scan(code, station=station) for station in ("cut", "finish")]
        answers.append(shop.strike_last())
    sound = states[0].pieces[0].piece.code
    slip = sound[:-1] + ("A" if sound[-1] != "A" else "C")
    answers += [shop.scan(text, station="cut") for text in ("", "ABC", slip, "what is this")]
    answers += [shop.strike("none"), shop.clear_rags(), shop.clear_rags()]
    words = [text for answer in answers for text in (answer.message, answer.next)]
    words += [answer.detail for answer in answers]
    words += [offer.words for answer in answers for offer in answer.offers]

    marks = {one.code for one in answers}
    marks |= {half for code in marks for half in codes.shown(code).split("-")}
    assert len({answer.outcome for answer in answers}) == 7
    assert check(words, wanted, shop, "none", *marks) > 400


def test_problems_of_the_air_and_of_lists_are_said_wholly_in_another_language(
    shop, wanted, tmp_path
):
    problems = list(shop.take_reading(Reading(demo.NOW, 99.0, 0.0, 88.0, 77.0)))
    problems += shop.take_reading(Reading(demo.NOW, 18.0, 50.0), job="NONE")
    file = tmp_path / "list.csv"
    file.write_text("part,length,width,qty,unit\nx,1/2,abc,0,\ny,,,,\nz,300,-5,1,q,r\n")
    job = next(iter(shop.jobs().values()))
    taken = shop.take_in(file, job)
    problems += taken.problems
    texts = [text for one in problems for text in (one.message, one.remedy)]
    texts += [*taken.notes, *(skip.why for skip in taken.skipped)]

    assert shop.size_text(job.code, next(iter(shop.store.states().values())).pieces[0].piece)
    typed = {"NONE", "abc", "in", "cm", "ft", "mm", System.MM, "revise", "list", "csv", "qty"}
    assert check(texts, wanted, shop, *typed) > 10


def test_views_of_air_clocks_and_products_are_said_wholly_in_another_language(shop, wanted):
    air = see_air(shop)
    texts = [air.source, air.after, air.strike_words]
    texts += [words for one in air.figures for words in (one.name, one.value)]
    texts += [words for _share, words in air.day.ticks]
    for state in list(shop.store.states().values()):
        view = see_clocks(shop, f"{state.spec.job}/{state.spec.unit}", state.spec.unit)
        texts += [view.title, view.sentence]
        texts += [words for row in view.rows for words in (row.words, row.time, row.state)]
        texts += [row.sentence for row in view.rows]
    for line in see_products(shop):
        view = see_product(shop, line.key)
        texts += [line.title, line.below, view.about, view.limits, view.cautions]
        texts += [words for one in view.stages for words in (one.words, one.time, one.who)]
        texts += [one.words for one in view.proposals]

    # findings name a product by its key
    keys = {half for key in shop.setup.products for half in key.capitalize().split("-")}
    assert check(texts, wanted, shop, "kPa", *keys) > 200


def test_every_step_of_a_route_and_every_trouble_is_said_wholly_in_another_language(shop, wanted):
    routes = shop.setup.routes.values()
    steps = [step for route in routes for step in route.steps]
    texts = [words for step in steps for words in (step.title, step.done, step.where)]
    texts += [route.title for route in routes]
    texts += [words for one in PROBLEMS for words in (one.words, one.then)]
    texts += [*GO_AHEAD_REASONS, *AHEAD_WORDS.values()]

    assert check(texts, wanted, shop) == len(texts)
