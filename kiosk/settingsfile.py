"""Write single settings back into settings.toml; comments and all else in it stay as they are."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path
from typing import Any

import tomlkit
from tomlkit.exceptions import TOMLKitError

from kiosk.config import SETTINGS
from kiosk.rules.words import say

NAME = "settings.toml"


def keep_setting(file: Path, name: str, value: Any) -> str:
    """Keep one setting in a settings file, which is made where there is none.

    The file is replaced at once or not at all. What the kiosk reads, it reads at its next start.

    Args:
        file: settings.toml, beside the shop's file.
        name: one of `kiosk.config.SETTINGS`.
        value: what TOML holds: text, a number, yes or no, a list of tables for the places.

    Returns:
        Nothing, or in words why it was not kept.
    """
    return keep_settings(file, {name: value})


def keep_settings(file: Path, values: dict[str, Any]) -> str:
    """Keep several settings, all or none; see `keep_setting`."""
    known = {setting.name: setting for setting in SETTINGS}
    for name, value in values.items():
        if name not in known:
            return say("There is no setting {name}.", name=name)
        if problem := known[name].check(value):
            return say("{name} {problem}.", name=name, problem=problem)
    try:
        text = file.read_bytes().decode("utf-8-sig") if file.is_file() else ""  # line ends stay
        data = tomlkit.parse(text)
    except (OSError, UnicodeDecodeError) as error:
        return say("{file} cannot be read: {why}.", file=file.name, why=error)
    except TOMLKitError as error:
        return say(
            "{file} is not readable: {why}. Mend it by hand; nothing was changed.",
            file=file.name,
            why=error,
        )
    for name, value in values.items():
        data[name] = value
    return _replace(file, tomlkit.dumps(data))


def _replace(file: Path, text: str) -> str:
    """Write the text beside the file and put it in its place, with the rights the file had."""
    draft = ""
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        target = file.resolve()  # where it is a link, what it leads to is replaced
        handle, draft = tempfile.mkstemp(prefix=".settings-", dir=target.parent)
        with os.fdopen(handle, "w", encoding="utf-8", newline="") as stream:
            stream.write(text)
            stream.flush()
            os.fsync(stream.fileno())
        if target.exists():
            Path(draft).chmod(target.stat().st_mode)
        Path(draft).replace(target)
    except OSError as error:
        if draft:
            Path(draft).unlink(missing_ok=True)
        why = error.strerror or str(error)
        return say("{file} cannot be written: {why}.", file=file.name, why=why)
    return ""
