"""Set what Kivy reads when it is first imported, for every test."""

import os
import tempfile

os.environ.setdefault("SDL_VIDEODRIVER", "offscreen")
os.environ.setdefault("SDL_AUDIODRIVER", "dummy")
os.environ.update(
    KIVY_NO_ARGS="1",
    KIVY_NO_FILELOG="1",
    KIVY_NO_CONFIG="1",
    KIVY_LOG_MODE="PYTHON",
    KIVY_METRICS_DENSITY="1",
    KIVY_DPI="96",
    KIVY_HOME=tempfile.mkdtemp(prefix="cleatclock-kivy-"),
)

pytest_plugins = ["tests.pgserver"]
