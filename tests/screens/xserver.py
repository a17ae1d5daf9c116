"""A display of a test's own: keys go to whichever window has the focus there."""

import os
import select
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager

import pytest


@contextmanager
def display_of(size: str) -> Iterator[str]:
    """Run an X server with one screen, such as 1280x800, and give the display's name."""
    read, write = os.pipe()
    server = subprocess.Popen(
        ["Xvfb", "-displayfd", str(write), "-screen", "0", f"{size}x24", "-nolisten", "tcp"],
        pass_fds=[write],
        stderr=subprocess.DEVNULL,
    )
    os.close(write)
    with os.fdopen(read) as said:
        ready, _, _ = select.select([said], [], [], 30)
        number = said.readline().strip() if ready else ""
    if not number:
        server.kill()
        pytest.fail("the display did not start")
    yield f":{number}"
    server.terminate()
    server.wait(20)
