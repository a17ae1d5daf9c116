"""Run the sample shop: a ceramics studio's glaze store and kiln room, up to a Wednesday afternoon.

Two people, two walls, two jobs. Everything is invented, but it goes through the same actions as in
a real shop: lists are taken in, labels drawn and read back, every step scanned.
"""

from __future__ import annotations

import itertools
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from importlib import resources
from math import pi, sin
from pathlib import Path
from zoneinfo import ZoneInfo

import typer

from kiosk.actions import Shop, Wanted
from kiosk.clock import FixedClock
from kiosk.config import Settings
from kiosk.report import board_text
from kiosk.rules.air import Reading
from kiosk.rules.floor import Due
from kiosk.rules.route import State
from kiosk.rules.scanning import Outcome
from kiosk.rules.standing import Standing
from kiosk.settingstext import load
from kiosk.store import Job, Store

ZONE = ZoneInfo("Europe/Dublin")
START = datetime(2026, 3, 4, 7, 30, tzinfo=ZONE)  # a Wednesday
NOW = datetime(2026, 3, 11, 15, 40, tzinfo=ZONE)  # the Wednesday after
PEOPLE = ("Mara", "Ivo")
SIZES = ((1280, 800), (1920, 1080))

# Minutes of hands-on work; invented for the demo.
MINUTES = {
    "cut": 2.0, "gather": 0.5, "glue-up": 12.0, "fill": 4.0, "sand": 5.0, "coat": 7.0, "scuff": 3.0,
    "mask": 8.0, "stripe": 6.0, "unmask": 2.0, "hang": 12.0, "refit": 10.0, "clean": 5.0,
    "patch": 30.0, "skim": 45.0,
}  # fmt: skip
# A clear first coat after this hour cannot be scuffed before its window closes in the night.
LAST_CLEAR_COAT = 11
LAST_START = datetime(2026, 3, 11, 16, 30, tzinfo=ZONE)
LAST_HOUR = 16  # from then on somebody puts the oily rags out
SITE_HOURS = range(8, 11)  # hanging is done on the way to the site, in the morning


@dataclass(slots=True)
class _Script:
    """What goes wrong in the sample week, and which units start when."""

    releases: dict[str, datetime] = field(default_factory=dict)
    forgotten: str = "G08"  # its scuff is forgotten until the window has closed
    held: str = "K05"  # its first coat fails
    spoiled: str = "K12"  # one of its parts is spoiled, and not cut again yet
    clamps_taken: str = "K11"  # gathered, but all clamps are in use
    no_filler: str = "K10"  # out of clamps, but the filler has run out
    van_full: tuple[str, ...] = ("G09", "G10")  # ready, and left for another day
    not_begun: tuple[str, ...] = ("K13", "K20")
    done: set[str] = field(default_factory=set)


def run_demo(
    *,
    pictures: Path | None = None,
    keep: Path | None = None,
    languages: Sequence[str] = ("en",),
    themes: Sequence[str] = ("light",),
) -> None:
    """Take the sample shop through its week, print the board, and name the files made.

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
    store = Store.open(file, settings.kiosk_letter)
    try:
        clock = FixedClock(START)
        shop = Shop(store, settings, clock)
        made = [file, *_begin(shop, folder)]
        replay(shop, clock)
        clock.set(NOW)
        board = board_text(shop, NOW)
        typer.echo(board)
        board_file = folder / "board.txt"
        board_file.write_text(board + "\n", "utf-8")
        made.append(board_file)
        typer.echo("\nWhat to do next")
        for line in next_lines(shop):
            typer.echo(f"  {line}")
    finally:
        store.close()
    if pictures is not None:
        made += draw_pictures(file, pictures, languages=languages, themes=themes)
    typer.echo("\nFiles made")
    for path in made:
        typer.echo(f"  {path}")


def sample_settings() -> Settings:
    """Return the sample shop's settings."""
    settings, wrong = load(_settings_text())
    if wrong:
        raise ValueError("; ".join(wrong))
    return settings


def _settings_text() -> str:
    return 'shop = "Sample shop"\nzone = "Europe/Dublin"\nglue = "pva-interior"\n'


def sample_list(name: str) -> Path:
    """Return a sample part list as a file on disk."""
    source = resources.files("kiosk").joinpath("data", name)
    with resources.as_file(source) as path:
        return Path(path)


JOBS = (
    ("GLAZE", "glaze-store.csv", "Glaze store", "2026-03-13", "mm"),
    ("KILN", "kiln-room.csv", "Kiln room", "2026-03-17", "inch"),
)


def _begin(shop: Shop, folder: Path) -> Iterator[Path]:
    """Take in both lists and draw their labels."""
    for code, name, title, hang_day, units in JOBS:
        job = Job(code, title, "the studio", hang_day, units)
        taken = shop.take_in(
            sample_list(name), job, units="in" if units == "inch" else None, person=PEOPLE[0]
        )
        if taken.problems:
            raise ValueError(f"the sample list {name} has problems: {taken.problems[0].message}")
        out = folder / f"{code.lower()}-labels.pdf"
        run = shop.labels(Wanted(code), out, person=PEOPLE[0])
        typer.echo(
            f"{code}: {taken.pieces} pieces in {len(taken.units)} units taken in; "
            f"{len(run.codes)} labels drawn and read back."
        )
        yield from run.files
    typer.echo("")


# -- the week ------------------------------------------------------------------------------------


def replay(shop: Shop, clock: FixedClock) -> None:
    """Scan through the working days until the Wednesday afternoon."""
    script = _Script()
    _spread(shop, script)
    free = dict.fromkeys(PEOPLE, START + timedelta(minutes=30))
    air = _air()
    coming = next(air)
    while min(free.values()) < NOW:
        person = min(free, key=lambda name: (free[name], name))
        now = _at_work(free[person])
        while coming[1].at <= now:
            clock.set(coming[1].at)
            shop.take_reading(coming[1], job=coming[0], person=coming[2])
            coming = next(air)
        if now != free[person]:
            free[person] = now
            continue
        clock.set(now)
        _mishaps(shop, script, now, person)
        if now.hour >= LAST_HOUR and shop.rags(now) is not None:
            shop.clear_rags(person=person)
        chosen = _choose(shop, script, now)
        free[person] = now + _work(shop, chosen, person, clock)


def _air() -> Iterator[tuple[str, Reading, str]]:
    """Yield the air of shop and sites as it is read: a sensor every hour, sites in the morning."""
    for hour in itertools.count(-24):
        at = START + timedelta(hours=hour)
        day = sin(2 * pi * (at.hour - 9) / 24)
        warm, damp = 20.5 + 2.5 * day, 50 - 6 * day + 4 * sin(hour / 40)
        yield "", Reading(at, round(warm, 1), round(damp, 1), source="sensor"), ""
        if at.hour in (8, 16) and at.weekday() < 5:
            for job, cooler in (("GLAZE", 1.5), ("KILN", -1.0)):
                yield job, Reading(at, round(warm - cooler, 1), round(damp + 3, 0)), PEOPLE[1]


def _spread(shop: Shop, script: _Script) -> None:
    """Let units start one after another, so that Wednesday finds some at every step."""
    units = [(state.spec.kind, state.spec.unit) for state in shop.store.states().values()]
    script.releases = {unit: START for kind, unit in units if kind == "wall"}
    others = [unit for kind, unit in units if kind != "wall"]
    for place, unit in enumerate(others):
        script.releases[unit] = START + (LAST_START - START) * place / len(others)
    script.releases |= dict.fromkeys(script.not_begun, NOW)


def _at_work(at: datetime) -> datetime:
    """Return the time itself within working hours, else when work goes on."""
    opens, lunch, back, closes = ((7, 30), (12, 0), (13, 0), (17, 0))
    clock = (at.hour, at.minute)
    if at.weekday() >= 5 or clock >= closes:
        day = at + timedelta(days=1)
        return _at_work(day.replace(hour=0, minute=0, second=0, microsecond=0))
    if clock < opens:
        return at.replace(hour=7, minute=30, second=0, microsecond=0)
    if lunch <= clock < back:
        return at.replace(hour=13, minute=0, second=0, microsecond=0)
    return at


def _choose(shop: Shop, script: _Script, now: datetime) -> Standing | None:
    """Return the unit to work on: closing windows first, then what is furthest along."""
    free = [one for one in shop.standings(now) if _may_work(one, script, now)]
    order = {State.SCUFF_FIRST: 0, State.READY_TO_HANG: 1, State.COAT_DUE: 2, State.TO_PREPARE: 3}
    return min(free, key=lambda one: (order.get(one.state, 4), one.unit), default=None)


def _may_work(one: Standing, script: _Script, now: datetime) -> bool:
    if one.step is None or one.resting or one.state == State.ON_HOLD or one.missing:
        return False
    if now < script.releases.get(one.unit, START):
        return False
    left = (
        (script.forgotten, "scuff-2"),
        (script.clamps_taken, "glue-up"),
        (script.no_filler, "fill"),
        *((unit, "hang") for unit in script.van_full),
    )
    if (one.unit, one.step.name) in left or one.unit in script.done:
        return False
    if one.state == State.READY_TO_HANG and now.astimezone(ZONE).hour not in SITE_HOURS:
        return False
    # nobody coats late in the day what must be scuffed within half a day
    return not (
        one.step.name == "coat-1"
        and one.kind != "wall"
        and now.astimezone(ZONE).hour >= LAST_CLEAR_COAT
    )


def _work(shop: Shop, one: Standing | None, person: str, clock: FixedClock) -> timedelta:
    """Do one step, scan it when it is done, and return how long it took."""
    if one is None or one.step is None:
        return timedelta(minutes=15)
    minutes = MINUTES.get(one.step.name, MINUTES.get(one.step.name.rpartition("-")[0], 5.0))
    state = shop.store.state(one.job, one.unit)
    pieces = [piece for piece in state.pieces if piece.needed] if state else []
    if clock.now() + timedelta(minutes=minutes) > NOW:
        return NOW - clock.now()  # not done before the afternoon that the demo shows
    if not one.step.each:
        clock.set(clock.now() + timedelta(minutes=minutes))
        text = f"{one.job}/{one.unit}"
        answer = shop.scan(text, station=one.step.station, person=person, step=one.step.name)
        _expect(answer.outcome, one)
        return timedelta(minutes=minutes)
    todo = [piece for piece in pieces if one.step.name not in piece.done]
    todo = todo[: int((NOW - clock.now()) / timedelta(minutes=minutes))][:6]
    for piece in todo:
        clock.set(clock.now() + timedelta(minutes=minutes))
        answer = shop.scan(piece.piece.code, station=one.step.station, person=person)
        _expect(answer.outcome, one)
    return timedelta(minutes=minutes * len(todo))


def _expect(outcome: Outcome, one: Standing) -> None:
    if outcome != Outcome.RECORDED:
        raise RuntimeError(f"the sample week went wrong at {one.unit}: {outcome}, {one.why}")


def _mishaps(shop: Shop, script: _Script, now: datetime, person: str) -> None:
    """Let one part be spoiled and one unit be put on hold, once each."""
    state = shop.store.state("KILN", script.spoiled)
    cut = [piece for piece in state.pieces if "cut" in piece.done] if state else []
    if script.spoiled not in script.done and len(cut) > 3:
        shop.spoil(cut[1].piece.code, "edge torn out at the saw", person=person)
        script.done.add(script.spoiled)
    standing = shop.standing("KILN", script.held, now)
    if script.held not in script.done and standing is not None and standing.coats_done:
        shop.hold(f"KILN/{script.held}", "coat failed: runs on the front", person=person)
        script.done.add(script.held)


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
