"""How large the screens are and where they stand, asked before any window is opened."""

from __future__ import annotations

import ctypes
import ctypes.util
import os
import sys
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from kiosk.rules.words import say, say_n


@dataclass(frozen=True, slots=True)
class Monitor:
    """One monitor: its left upper corner on the desktop and its size, in pixels."""

    left: int
    top: int
    width: int
    height: int


def desktop_size() -> tuple[int, int] | None:
    """Return the pixels of an X screen, or None where there is no X server to ask.

    Where no window manager runs, as on a kiosk that starts nothing else, nobody makes SDL's window
    as large as the screen: it has to be opened at that size (SDL 2.30, looked at on a bare server).
    """
    if not sys.platform.startswith("linux") or not os.environ.get("DISPLAY"):
        return None
    if os.environ.get("SDL_VIDEODRIVER", "x11") != "x11":
        return None
    try:
        x11 = ctypes.CDLL(ctypes.util.find_library("X11") or "libX11.so.6")
    except OSError:
        return None
    x11.XOpenDisplay.restype = ctypes.c_void_p
    display = x11.XOpenDisplay(None)
    if not display:
        return None
    handle = ctypes.c_void_p(display)
    try:
        screen = x11.XDefaultScreen(handle)
        return x11.XDisplayWidth(handle, screen), x11.XDisplayHeight(handle, screen)
    finally:
        x11.XCloseDisplay(handle)


class _Rect(ctypes.Structure):
    _fields_ = (
        ("x", ctypes.c_int),
        ("y", ctypes.c_int),
        ("w", ctypes.c_int),
        ("h", ctypes.c_int),
    )


def monitors() -> tuple[Monitor, ...]:
    """Return the monitors in SDL's order, none where they cannot be asked for.

    It asks the very SDL that Kivy brings, so that the numbers mean the same to both.
    """
    sdl = _load_sdl()
    if sdl is None or sdl.SDL_InitSubSystem(_SDL_INIT_VIDEO) != 0:
        return ()
    try:
        found = []
        for at in range(max(0, sdl.SDL_GetNumVideoDisplays())):
            rect = _Rect()
            if sdl.SDL_GetDisplayBounds(at, ctypes.byref(rect)) == 0:
                found.append(Monitor(rect.x, rect.y, rect.w, rect.h))
        return tuple(found)
    finally:
        sdl.SDL_QuitSubSystem(_SDL_INIT_VIDEO)


_SDL_INIT_VIDEO = 0x20


def _load_sdl() -> Any | None:  # Any: a library has whatever functions it has
    """Return Kivy's SDL: beside Kivy in its wheel, else the system's."""
    import importlib.util

    spec = importlib.util.find_spec("kivy")
    beside = Path(spec.origin).parent.parent if spec is not None and spec.origin else None
    names = [*beside.glob("[Kk]ivy.libs/libSDL2-2*")] if beside is not None else []
    names += [Path(sys.prefix) / "share" / "sdl2" / "bin" / "SDL2.dll"]
    found = [str(name) for name in names if name.is_file()]
    for name in (*found, ctypes.util.find_library("SDL2-2.0") or ""):
        try:
            return ctypes.CDLL(name) if name else None
        except OSError:
            continue
    return None


def pick_monitor(number: int, found: tuple[Monitor, ...]) -> tuple[Monitor | None, str]:
    """Return the monitor of a number, counted from 1, or None and in words why there is none."""
    if 1 <= number <= len(found):
        return found[number - 1], ""
    if not found:
        return None, say("The screens of this computer could not be counted.")
    have = say_n("one screen is", "{n} screens are", len(found))
    return None, say(
        "There is no screen {number}: {have} attached. Plug it in, set the desktop to extend and "
        "not to mirror, or leave --screen out.",
        number=number,
        have=have,
    )
