"""Gather every message the kiosk says, and keep the catalogues in step: `python -m tests.messages`.

Without a switch it names what a catalogue lacks or has too much; with --write it puts that right,
with nothing as the translation of what is new.
"""

from __future__ import annotations

import argparse
import sys
import tomllib
from collections.abc import Iterator
from datetime import UTC, datetime
from io import BytesIO
from pathlib import Path

from babel.messages.catalog import Catalog, Message
from babel.messages.extract import extract_from_dir
from babel.messages.pofile import read_po, write_po

from kiosk.rules.air import SOURCES
from kiosk.rules.entries import Kind
from kiosk.rules.parts import KINDS
from kiosk.rules.route import STATIONS
from kiosk.rules.routeedit import MOST_COATS, Finishing, finish_so
from kiosk.rules.stages import STAGES
from labels.layouts import NAMES

ROOT = Path(__file__).parents[1]
LOCALE = ROOT / "kiosk" / "data" / "locale"
KEYWORDS = {"_": None, "say": None, "say_n": (1, 2)}
# Columns of part lists and logger files that a problem may name.
COLUMNS = ("part", "length", "width", "quantity", "time", "temperature", "humidity")


def data_words() -> Iterator[tuple[str, str, str]]:
    """Give the words that ship as data: (file, context, words)."""
    shipped = (ROOT / "kiosk/data/routes.toml").read_text("utf-8")
    yield from route_words(shipped)
    for kind in KINDS:  # what a tap adds to a route stands in no file
        most = Finishing(MOST_COATS, filler=True, scuff=True)
        yield from route_words(finish_so(shipped, kind, most, shipped=shipped))
    products = tomllib.loads((ROOT / "kiosk/data/products.toml").read_text("utf-8"))
    for table in products.values():
        yield "products.toml", "product", table["title"]
        if "caution" in table:
            yield "products.toml", "caution", table["caution"]
    stocks = tomllib.loads((ROOT / "kiosk/data/stocks.toml").read_text("utf-8"))
    for table in stocks.values():
        yield "stocks.toml", "stock", table["title"]
    names = {
        "kind": KINDS,
        "source": SOURCES,
        "stage": tuple(STAGES),
        "station": STATIONS,
        "column": COLUMNS,
        "file": ("routes", "products", "buying"),
        "layout": NAMES,
    }
    for what, words in names.items():
        for word in words:
            yield "names", what, word
    for kind in Kind:
        yield "names", "entry", kind.replace("_", " ")


def route_words(text: str) -> Iterator[tuple[str, str, str]]:
    """Give the words of a routes file: titles of kinds and steps, and how a step is said done."""
    for kind, table in tomllib.loads(text).items():
        yield "routes.toml", "kind", table.get("title", kind.capitalize())
        for step in table.get("step", ()):
            yield "routes.toml", "step", step["title"]
            yield "routes.toml", "step", step["name"].replace("-", " ")
            yield "routes.toml", "done", step["done"]


def gather() -> Catalog:
    """Gather all messages of the program and its data."""
    catalog = Catalog(project="Cleatclock", charset="utf-8", fuzzy=False)
    found = extract_from_dir(
        ROOT / "kiosk", method_map=[("**.py", "python")], keywords=KEYWORDS, comment_tags=("Say:",)
    )
    for file, line, message, comments, context in sorted(found, key=lambda row: (row[0], row[1])):
        if file.startswith("cli/") or file.endswith(("gallery.py", "samples.py")):
            continue  # commands speak English, and pictures say what the program says
        place = (f"kiosk/{file}", line)
        catalog.add(message, locations=[place], auto_comments=comments, context=context)
    for file, what, words in data_words():
        catalog.add(words, locations=[(f"kiosk/data/{file}", 1)], context=what)
    for message in catalog:
        message.flags.discard("python-format")  # a bare % is a per cent sign here
    return catalog


def load(language: str) -> Catalog:
    """Read the catalogue of a language."""
    with (LOCALE / f"{language}.po").open("rb") as stream:
        return read_po(stream, locale=language)


def key_of(message: Message) -> tuple[str, str]:
    """Return what a message is known by: its context and its English text, the one of a count."""
    text = message.id if isinstance(message.id, str) else message.id[0]
    return message.context or "", text


def keys_of(catalog: Catalog) -> dict[tuple[str, str], Message]:
    """Return the messages of a catalogue by key, without the head."""
    return {key_of(message): message for message in catalog if message.id}


def rewritten(language: str) -> Catalog:
    """Return a language's catalogue with all that is said now and nothing else."""
    known = keys_of(load(language)) if (LOCALE / f"{language}.po").is_file() else {}
    made = gather()
    new = Catalog(
        locale=language,
        project="Cleatclock",
        charset="utf-8",
        fuzzy=False,
        creation_date=datetime(2026, 1, 1, tzinfo=UTC),
        revision_date=datetime(2026, 1, 1, tzinfo=UTC),
        last_translator="the developers",
        language_team=language,
        msgid_bugs_address="the developers",
        header_comment=f"# What the kiosk says, in {language}; see docs/languages.md.",
    )
    for key, message in keys_of(made).items():
        old = known.get(key)
        new.add(
            message.id,
            string=old.string if old else None,
            locations=message.locations,
            flags=message.flags,
            auto_comments=message.auto_comments,
            context=message.context,
        )
    return new


def write(language: str, catalog: Catalog) -> None:
    """Write the catalogue of a language; files are named, but not lines, which move too often."""
    out = BytesIO()
    write_po(out, catalog, width=100, include_lineno=False, sort_by_file=False)
    (LOCALE / f"{language}.po").write_bytes(out.getvalue())


def main() -> int:
    """Compare or write the catalogues."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--write", action="store_true", help="add what is new, drop what is gone")
    asked.add_argument("languages", nargs="*", default=[file.stem for file in LOCALE.glob("*.po")])
    given = asked.parse_args()
    wanted, differing = keys_of(gather()), 0
    for language in given.languages:
        if given.write:
            write(language, rewritten(language))
        have = keys_of(load(language))
        empty = [key for key, message in have.items() if not all(_strings(message))]
        for words, keys in (
            ("lacks", wanted.keys() - have.keys()),
            ("has too much", have.keys() - wanted.keys()),
            ("does not translate", empty),
        ):
            for key in sorted(keys):
                print(f"{language} {words}: {key[1]!r}" + (f" ({key[0]})" if key[0] else ""))
                differing += 1
    return 1 if differing else 0


def _strings(message: Message) -> tuple[str, ...]:
    return (message.string,) if isinstance(message.string, str) else tuple(message.string)


if __name__ == "__main__":
    sys.exit(main())
