"""Change one setting in settings.toml as a person would: comments and all the rest are kept."""

from __future__ import annotations

import os
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

import tomlkit
from tomlkit.exceptions import TOMLKitError

from kiosk.config import SETTINGS, PlaceSetting, Settings, load
from kiosk.rules.problems import Problem
from kiosk.rules.words import _, say

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
    # in front of any table, or it would belong to that table
    line = "\r\n" if "\r\n" in text else "\n"
    head = f"# {_HEAD}{line}{line}" if not text.strip() else ""
    added = f"# {comment}{line}{name} = {new.as_string()}{line}"
    rest = tomlkit.dumps(data)
    return f"{head}{added}{line if rest.strip() else ''}{rest}"


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
