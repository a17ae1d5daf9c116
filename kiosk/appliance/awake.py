"""Keep an X screen from going dark: nobody touches a board for hours."""

from __future__ import annotations

import logging
import shutil
import subprocess
from collections.abc import Mapping

LOG = logging.getLogger("cleatclock.appliance")
_WORDS = ("s", "off", "-dpms")  # no screen saver, and no standby of the monitor


def keep_awake(env: Mapping[str, str]) -> bool:
    """Ask an X server never to blank its screen; tell whether that was done.

    SDL holds off the screen saver of a desktop. A bare X server blanks by its own timer and by the
    monitor's standby, which only its own tool turns off. What fails is logged and harms nothing.

    Args:
        env: the process's environment, with the display to speak to.
    """
    if not env.get("DISPLAY") or env.get("SDL_VIDEODRIVER", "x11") != "x11":
        return False
    tool = shutil.which("xset", path=env.get("PATH"))
    if tool is None:
        LOG.info("xset is not there: the screen may go dark by the X server's own timer")
        return False
    try:
        ran = subprocess.run(
            [tool, *_WORDS], env=dict(env), capture_output=True, timeout=5, check=False
        )
    except (OSError, subprocess.TimeoutExpired) as error:
        LOG.info("the screen may go dark: %s", error)
        return False
    if ran.returncode:
        LOG.info(
            "the screen may go dark: xset said %s", ran.stderr.decode(errors="replace").strip()
        )
    return ran.returncode == 0
