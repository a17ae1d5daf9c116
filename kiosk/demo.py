"""Run the sample shop: a ceramics studio's glaze store and kiln room, up to a Wednesday afternoon.

Lists are taken in, labels drawn and read back, every step scanned, walls measured; then the board,
the day, and what the units may carry.
"""

from __future__ import annotations

import itertools
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator, Sequence
from dataclasses import replace
from importlib import resources
from pathlib import Path
from textwrap import indent

import typer

from kiosk.actions import Shop, Wanted
from kiosk.actions.daying import EVALUATIONS
from kiosk.clock import FixedClock
from kiosk.config import Settings
from kiosk.dayreport import day_text
from kiosk.hangreport import hanging_text
from kiosk.promisereport import promise_text
from kiosk.report import board_text
from kiosk.rules.floor import Due
from kiosk.rules.lengths import System
from kiosk.rules.route import State
from kiosk.samplesheets import break_down, fill_rack
from kiosk.samplewall import SCREWS
from kiosk.sampleweek import NOW as NOW
from kiosk.sampleweek import PEOPLE as PEOPLE
from kiosk.sampleweek import START as START
from kiosk.sampleweek import ZONE as ZONE
from kiosk.sampleweek import replay
from kiosk.settingstext import load
from kiosk.sheetreport import heads_text, sums_text
from kiosk.store import Job, Store

CARDS = ("G06", "G08", "G10", "G18")  # held by a lock, weak, refused, allowed by somebody
SIZES = ((1280, 800), (1920, 1080))
RUNS = 59  # of the promise: as few as 95 % takes; 80 and 95 % fall on whole runs too (choice)


def run_demo(
    *,
    pictures: Path | None = None,
    keep: Path | None = None,
    languages: Sequence[str] = ("en",),
    themes: Sequence[str] = ("light",),
) -> None:
    """Take the sample shop through its week, print board and day, and name the files made.

    Args:
        pictures: folder for a picture of every screen; None: no pictures.
        keep: file to keep the shop in; None: a folder for temporary files.
        languages: of the pictures.
        themes: of the pictures.
    """
    folder = keep.parent if keep else Path(tempfile.mkdtemp(prefix="cleatclock-demo-"))
    folder.mkdir(parents=True, exist_ok=True)
    file = keep or folder / "sample-shop.db"
    if file.exists():
        typer.echo(f"{file} is there already; name another file, or remove it.", err=True)
        raise typer.Exit(2)
    settings = sample_settings()
    (file.with_name("settings.toml")).write_text(_settings_text(), "utf-8")
    made = [file, *_through_the_week(file, settings, sheets=pictures)]
    if pictures is not None:
        made += draw_pictures(file, pictures, languages=languages, themes=themes)
    typer.echo("\nFiles made")
    for path in made:
        typer.echo(f"  {path}")


def _through_the_week(file: Path, settings: Settings, *, sheets: Path | None) -> Iterator[Path]:
    """Let the week happen and print what the shop answers; give the files made beside the shop."""
    store = Store.open(file, settings.kiosk_letter)
    try:
        clock = FixedClock(START)
        shop = Shop(store, settings, clock)
        yield from _begin(shop, file.parent)
        replay(shop, clock)
        clock.set(NOW)
        yield from _answer(shop, file.parent)
        if sheets is not None:
            sheets.mkdir(parents=True, exist_ok=True)
            yield from shop.write_day(shop.day(NOW), sheets / "day-sheet.png")
            yield from _draw_map(shop, sheets / "sheet-map.png")
    finally:
        store.close()


def sample_settings() -> Settings:
    """Return the sample shop's settings."""
    settings, wrong = load(_settings_text())
    if wrong:
        raise ValueError("; ".join(wrong))
    return settings


def _settings_text() -> str:
    screws = f'screws = "{SCREWS}"\n'
    return f'shop = "Sample shop"\nzone = "Europe/Dublin"\nglue = "pva-interior"\n{screws}'


def sample_list(name: str) -> Path:
    """Return a sample part list as a file on disk."""
    source = resources.files("kiosk").joinpath("data", name)
    with resources.as_file(source) as path:
        return Path(path)


JOBS = (
    ("GLAZE", "glaze-store.csv", "Glaze store", "2026-03-13", "mm"),
    ("KILN", "kiln-room.csv", "Kiln room", "2026-03-23", "inch"),
)


def _begin(shop: Shop, folder: Path) -> Iterator[Path]:
    """Take in both lists, break them down and draw their labels.

    Before the second list is taken in, it is said what can be promised of it.
    """
    for name in PEOPLE:
        shop.add_person(name, person=PEOPLE[0])
    for code, name, title, hang_day, units in JOBS:
        job = Job(code, title, "the studio", hang_day, units)
        measure = "in" if units == "inch" else None
        if shop.jobs():
            found = shop.promise_day(sample_list(name), units=measure, runs=RUNS)
            typer.echo(f"\nWhat {code} can be promised\n{_indented(promise_text(found, ZONE))}\n")
        taken = shop.take_in(sample_list(name), job, units=measure, person=PEOPLE[0])
        if taken.problems:
            raise ValueError(f"the sample list {name} has problems: {taken.problems[0].message}")
        typer.echo(f"{code}: {taken.pieces} pieces in {len(taken.units)} units taken in.")
    fill_rack(shop, person=PEOPLE[0])
    for code, *_more in JOBS:
        view = break_down(shop, code, person=PEOPLE[0])
        run = shop.labels(Wanted(code), folder / f"{code.lower()}-labels.pdf", person=PEOPLE[0])
        typer.echo(
            f"{code}: {sums_text(view)}; {len(run.codes)} labels drawn and read back, "
            "in the order of the cuts."
        )
        yield from run.files
    typer.echo("")


def _answer(shop: Shop, folder: Path) -> Iterator[Path]:
    """Print the board, what hands are needed for next, and the day; give the files of them."""
    board = board_text(shop, NOW)
    day = shop.plan_day(NOW, evaluations=EVALUATIONS)
    left = replace(day, steps=tuple(step for step in day.steps if step.state != "done"))
    plan = day_text(left, ZONE)
    typer.echo(board)
    typer.echo("\nWhat to do next")
    for line in next_lines(shop):
        typer.echo(f"  {line}")
    typer.echo(f"\nThe rest of the day, planned\n{_indented(plan)}")
    for name, text in (("board.txt", board), ("day.txt", plan)):
        (folder / name).write_text(text + "\n", "utf-8")
        yield folder / name
    yield from shop.write_day(day, folder / "day.pdf")
    yield from _show_sheets(shop, folder)
    yield from _hanging(shop, folder)


def _show_sheets(shop: Shop, folder: Path) -> Iterator[Path]:
    """Print how far each sheet is cut; give the files with maps and cuts of those that are left."""
    for code, _list, _title, _day, units in JOBS:
        view = shop.sheets(code)
        if view is None:
            continue
        typer.echo(f"\nThe sheets of {code}\n{_indented(heads_text(view, System(units)))}")
        left = [one.planned.sheet.name for one in view.sheets if not one.is_cut_up]
        if left:
            yield from shop.write_maps(view, folder / f"{code.lower()}-sheets.pdf", only=left)


def _draw_map(shop: Shop, out: Path) -> Iterator[Path]:
    """Draw the sheet somebody is at, as it is on paper; give the pictures of its pages."""
    view = shop.sheets("KILN")
    sheet = view.next_sheet if view else None
    if view is not None and sheet is not None:
        yield from shop.write_maps(view, out, only=(sheet.planned.sheet.name,))


def _hanging(shop: Shop, folder: Path) -> Iterator[Path]:
    """Print what the units may carry; give four load cards and the drawing of a wall."""
    for code, _list, title, _day, units in JOBS:
        system = System.INCH if units == "inch" else System.MM
        hung = [one.unit for one in shop.standings() if one.state == State.HUNG]
        told = hanging_text(shop.hanging(code), system, hung=hung)
        typer.echo(f"\nWhat the units of {title} may carry\n{_indented(told)}")
    for paper in (
        shop.write_cards("GLAZE", folder / "cards.pdf", four=True, units=CARDS),
        shop.write_wall("GLAZE", "G1", folder / "wall.pdf"),
    ):
        yield from paper.files


def _indented(text: str) -> str:
    return indent(text, "  ")


# -- what to do next -----------------------------------------------------------------------------


def next_lines(shop: Shop) -> list[str]:
    """Return in three lines what hands are needed for next, most pressing first."""
    rows: list[tuple[str, Due]] = []
    for station in ("finish", "install", "assemble", "cut"):
        waiting = [due for due in shop.due(station) if due.state != "resting"]
        rows += [(station, due) for due in waiting if "after" not in due.why.split()][:1]
    rank = {"late": 0, "coat": 1, "hang": 2}
    rows.sort(key=lambda row: rank.get(row[1].state, 3))
    return [
        f"{due.unit} {due.name}: {due.words} at {station} ({due.why})" for station, due in rows[:3]
    ]


def draw_pictures(
    file: Path,
    folder: Path,
    *,
    languages: Sequence[str] = ("en",),
    themes: Sequence[str] = ("light",),
) -> list[Path]:
    """Draw every screen of the sample shop at both sizes, in each language and theme.

    English and light lie in the folder itself, all else in folders such as `de`, `dark`, `de-dark`.
    A window is opened once, so each kind of picture is drawn in a process of its own.
    """
    made: list[Path] = []
    for language, theme, size in itertools.product(languages, themes, SIZES):
        named = [language] * (language != "en") + [theme] * (theme != "light")
        into = folder / "-".join(named)
        into.mkdir(parents=True, exist_ok=True)
        made += _draw(file, into, size, (language, theme))
    return made


def _draw(file: Path, folder: Path, size: tuple[int, int], how: Sequence[str]) -> list[Path]:
    with tempfile.TemporaryDirectory() as scratch:
        # screens record scans to show their answers; the kept shop stays as it is
        copy = Path(scratch) / file.name
        shutil.copy(file, copy)
        shutil.copy(file.with_name("settings.toml"), scratch)
        ran = subprocess.run(
            [sys.executable, "-m", "kiosk.pictures", str(copy), str(folder),
             f"{size[0]}x{size[1]}", NOW.isoformat(), *how],
            capture_output=True, text=True, check=False,
        )  # fmt: skip
    if ran.returncode:
        raise RuntimeError(f"the screens could not be drawn: {ran.stderr.strip()[-400:]}")
    return [Path(line) for line in ran.stdout.splitlines() if line.endswith(".png")]
