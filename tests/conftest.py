"""What holds for every test: what Kivy reads when it is imported, no time limits, and the order."""

import gc
import os
import tempfile

import pytest
from hypothesis import HealthCheck, settings

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

# a machine shared with others is slow now and then, which says nothing about what is tested
settings.register_profile("untimed", deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile("untimed")

# each of these draws the whole gallery, works off whole days in one fixture, or has many tests
LONG = (
    "test_pictures.py",
    "test_strange.py",
    "test_planning_pays.py",
    "test_setup.py",
    "test_hang.py",
    "test_sheets.py",
    "test_hang_real.py",
    "test_sheetlives.py",
    "test_real_keys.py",
    "test_demo.py",
    "test_take.py",
)


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Begin with the files that take longest, so that no core is left idle behind them."""
    items.sort(key=lambda one: one.path.name not in LONG)


def pytest_collection_finish() -> None:
    """Spare the collector what is loaded by now: it stays, but is looked through again and again.

    Measured: a quarter to a third of the processor time of a screen's test. 20,000 is a choice.
    """
    gc.collect()
    gc.freeze()
    gc.set_threshold(20_000)
