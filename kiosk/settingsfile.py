"""Change one setting in settings.toml as a person would: comments and all the rest are kept."""

from __future__ import annotations

import os
import tomllib
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

import tomlkit
from tomlkit.exceptions import TOMLKitError

from kiosk.config import SETTINGS, PlaceSetting, Settings
from kiosk.rules.problems import Problem
from kiosk.rules.words import _, say
from kiosk.settingstext import HOURS, contradictions, load

Problems = tuple[Problem, ...]
_ROWS = {setting.name: setting for setting in SETTINGS}
_HEAD = "Settings of this kiosk. `cleatclock settings` prints all there are."


def read_settings(file: Path) -> tuple[Settings, tuple[str, ...]]:
    """Return the settings in a file, which need not be there, and what is wrong with them."""
    try:
        text = file.read_bytes().decode("utf-8-sig") if file.is_file() else ""
    except (OSError, UnicodeDecodeError) as error:
        wrong = say("{file} cannot be read: {error}; the defaults are used", file=file, error=error)
        return load("")[0], (wrong,)
    return load(text)


def keep_setting(file: Path, name: str, value: Any) -> Problems:  # Any: a TOML value
    """Write one setting into the file; with any problem the file stays as it was.

    Args:
        file: settings.toml beside the shop's file; made where it is missing.
        name: of a row in SETTINGS.
        value: of that row's type; places as PlaceSetting or as tables.
    """
    return keep_settings(file, {name: value})


def keep_settings(file: Path, values: Mapping[str, Any]) -> Problems:
    """Write several settings, all or none; see `keep_setting`."""
    values = {name: _plain(value) for name, value in values.items()}
    if problems := tuple(_wrong(values)):
        return problems
    column = next(iter(values))
    try:
        after = file.read_bytes().decode("utf-8-sig") if file.is_file() else ""
        for name, value in values.items():
            after = _changed(after, name, value, comment=_ROWS[name].sentence)
    except (OSError, UnicodeDecodeError, TOMLKitError, RecursionError) as error:
        said = say("{file} cannot be read: {error}.", file=file, error=error)
        return (Problem(said, _("Mend the line it names; nothing was changed."), column=column),)
    if problems := _contradicting(after, values):
        return problems
    kept = load(after)[0]
    for name, value in values.items():
        if _plain(getattr(kept, name)) != value:
            said = say("{name} could not be written into {file}.", name=name, file=file)
            remedy = _("Write it there by hand; nothing was changed.")
            return (Problem(said, remedy, column=name),)
    return _write(file.resolve(), after)


def _wrong(values: Mapping[str, Any]) -> Iterator[Problem]:
    for name, value in values.items():
        setting = _ROWS.get(name)
        if setting is None:
            yield Problem(say("There is no setting {name}.", name=name), _("Check the name."))
        elif wrong := setting.check(value):
            said = say("{value} {wrong}.", value=_shown(value), wrong=wrong)
            yield Problem(said, setting.sentence, column=name, value=str(value))


def _contradicting(text: str, values: Mapping[str, Any]) -> Problems:
    """Return where values about to be kept contradict others; old faults of the file may stay."""
    if not HOURS & set(values):
        return ()
    data = _read(text.removeprefix("\ufeff")) or {}
    # what is wrong in itself counts as the default it is taken for
    sound = {
        name: data[name] if name in data and not row.check(data[name]) else row.default
        for name, row in _ROWS.items()
        if name in HOURS
    }
    return contradictions(sound, data)


def _changed(text: str, name: str, value: Any, *, comment: str) -> str:
    data = tomlkit.parse(text)
    new = _inline(value) if isinstance(value, list) else tomlkit.item(value)
    old = data.get(name)
    if old is not None and not isinstance(old, tomlkit.items.AoT):
        trivia = getattr(old, "trivia", None)
        if trivia is not None:  # the remark behind a value stays behind it
            new.trivia.comment_ws, new.trivia.comment = trivia.comment_ws, trivia.comment
        data[name] = new
        return tomlkit.dumps(data)
    if old is not None:
        del data[name]
    line = "\r\n" if "\r\n" in text else "\n"
    rest = tomlkit.dumps(data) if text.strip() else f"# {_HEAD}{line}"
    lines = [one.removesuffix("\r") for one in rest.split("\n")]
    added = [f"# {comment}", *f"{name} = {new.as_string()}".split("\n")]
    return line.join(_put_in(lines, name, added))


def _put_in(lines: list[str], name: str, added: list[str]) -> list[str]:
    """Return a file's lines with a setting in its place by the order of SETTINGS.

    It comes behind the nearest one before it, else in front of the nearest one after it with what
    is said about that; in front of any table, or it would belong to that table. A comment that
    begins the file stays there.
    """
    order, spans = list(_ROWS), _spans(lines)
    place = order.index(name)
    if before := [one for one in order[:place] if one in spans]:
        at = spans[before[-1]][1]
    elif after := [one for one in order[place:] if one in spans]:
        at = _with_comment(lines, spans[after[0]][0], about=after[0])
    else:
        at = _block_end(lines)
    above = [""] if at and lines[at - 1].strip() else []
    below = [""] if at == len(lines) or lines[at].strip() else []
    return [*lines[:at], *above, *added, *below, *lines[at:]]


def _spans(lines: list[str]) -> dict[str, tuple[int, int]]:
    """Return from which line to before which each value in front of the first table goes."""
    spans: dict[str, tuple[int, int]] = {}
    start = 0
    while start < len(lines) and not lines[start].lstrip().startswith("["):
        end = start + 1
        while (found := _read("\n".join(lines[start:end]))) is None and end < len(lines):
            end += 1
        spans |= dict.fromkeys(found or (), (start, end))
        start = end
    return spans


def _read(text: str) -> dict[str, Any] | None:  # Any: TOML values
    """Return what some lines say; None where a value goes on behind them."""
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError:
        return None


def _with_comment(lines: list[str], at: int, *, about: str) -> int:
    """Return where the comment directly above a setting begins, or what the file begins with ends.

    Of a comment that begins the file only the setting's own sentence goes with it.
    """
    start = at
    while start and lines[start - 1].lstrip().startswith("#"):
        start -= 1
    if start:
        return start
    return at - 1 if at and _ROWS[about].sentence in lines[at - 1] else at


def _block_end(lines: list[str]) -> int:
    """Return where the comment ends that a file begins with."""
    return next((at for at, one in enumerate(lines) if not one.startswith("#")), len(lines))


def _inline(places: list[dict[str, Any]]) -> Any:
    rows = tomlkit.array()
    for place in places:
        table = tomlkit.inline_table()
        table.update(place)
        rows.append(table)
    return rows.multiline(multiline=bool(places))


def _plain(value: Any) -> Any:
    """Return a value as TOML knows it."""
    if isinstance(value, list | tuple):
        return [
            {"name": one.name, "slots": one.slots, "role": one.role}
            if isinstance(one, PlaceSetting)
            else one
            for one in value
        ]
    return value


def _shown(value: Any) -> str:
    text = str(value)
    return text if len(text) <= 40 else f"{text[:37]}..."


def _write(file: Path, text: str) -> Problems:
    """Put the text in place of the file's, whole or not at all."""
    part = file.with_name(f"{file.name}.part")
    try:
        with part.open("wb") as stream:
            stream.write(text.encode("utf-8"))
            stream.flush()
            os.fsync(stream.fileno())
        if file.exists():
            part.chmod(file.stat().st_mode)
        part.replace(file)
    except OSError as error:
        part.unlink(missing_ok=True)
        said = say("{file} cannot be written: {error}.", file=file, error=error.strerror or error)
        return (Problem(said, _("Give the kiosk's user the folder; nothing was changed.")),)
    return ()
