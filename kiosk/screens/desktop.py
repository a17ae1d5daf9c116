"""How large the screen is, asked before any window is opened."""

from __future__ import annotations

import ctypes
import ctypes.util
import os
import sys


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
