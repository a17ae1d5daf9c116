"""Start a kiosk by itself: a user unit for systemd, or an entry of the desktop's autostart."""

from __future__ import annotations

import os
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

# Ended by hand (0), open already (1), started with a wrong option (2): starting it again would
# bring back what somebody ended, or fail for ever. All else, a fault or a kill, starts it again.
_LEAVE_ENDED = "0 1 2"


@dataclass(frozen=True, slots=True)
class Starter:
    """A file that starts a kiosk: its name, its text, where it belongs, what to do, and to undo."""

    name: str
    text: str
    folder: Path
    steps: tuple[str, ...]
    undo: tuple[str, ...]


def systemd_unit(words: Sequence[str], *, home: str, env: Mapping[str, str]) -> Starter:
    """Return a unit of the user's own systemd that keeps a kiosk running.

    Args:
        words: the command, word by word.
        home: bench or board.
        env: what stands in the environment beside what the session gives.
    """
    name = f"cleatclock-{home}.service"
    folder = _config(os.environ) / "systemd" / "user"
    set_to = [f"Environment={_quoted(f'{key}={value}')}" for key, value in sorted(env.items())]
    lines = [
        "[Unit]",
        f"Description=Cleatclock, the {home}",
        "After=graphical-session.target",
        "PartOf=graphical-session.target",
        "# a kiosk is started again however often it ended",
        "StartLimitIntervalSec=0",
        "",
        "[Service]",
        f"ExecStart={' '.join(_quoted(word.replace('$', '$$')) for word in words)}",
        *set_to,
        "Restart=always",
        "RestartSec=1",
        "# ended with Ctrl+Shift+Q, open already, wrong option: not started again",
        f"RestartPreventExitStatus={_LEAVE_ENDED}",
        "# ended by a signal, after closing the shop's file",
        "SuccessExitStatus=143",
        "",
        "[Install]",
        "WantedBy=graphical-session.target",
    ]
    return Starter(
        name,
        "\n".join(lines) + "\n",
        folder,
        ("systemctl --user daemon-reload", f"systemctl --user enable --now {name}"),
        (f"systemctl --user disable --now {name}",),
    )


def desktop_entry(words: Sequence[str], *, home: str) -> Starter:
    """Return an entry of the desktop's autostart, which starts a kiosk at login, once.

    Args:
        words: the command, word by word.
        home: bench or board.
    """
    name = f"cleatclock-{home}.desktop"
    folder = _config(os.environ) / "autostart"
    lines = [
        "[Desktop Entry]",
        "Type=Application",
        "Version=1.0",
        f"Name=Cleatclock {home}",
        f"Comment=Start the {home} at login",
        f"Exec={' '.join(_argument(word) for word in words)}",
        "Terminal=false",
        "Categories=Utility;",
    ]
    return Starter(name, "\n".join(lines) + "\n", folder, ("Log out and in again.",), ())


def _config(env: Mapping[str, str]) -> Path:
    named = env.get("XDG_CONFIG_HOME", "")
    return Path(named) if Path(named).is_absolute() else Path.home() / ".config"


def _quoted(word: str) -> str:
    """Return a word as systemd reads it: percent signs doubled, in quotes where it needs them."""
    word = word.replace("%", "%%")
    plain = word.replace("\\", "\\\\").replace('"', '\\"')
    is_plain = plain == word and word and not any(sign.isspace() or sign in "';#" for sign in word)
    return word if is_plain else f'"{plain}"'


_RESERVED = set(" \t\n\"'\\><~|&;$*?#()`")


def _argument(word: str) -> str:
    """Return a word as the Exec key of a desktop entry reads it: quoted, then escaped once more."""
    word = word.replace("%", "%%")
    if word and not _RESERVED & set(word):
        return word
    inner = "".join(f"\\{sign}" if sign in '"`$\\' else sign for sign in word)
    return f'"{inner}"'.replace("\\", "\\\\")
