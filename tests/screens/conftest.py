"""A real window off screen, fingers and keys for it, and a shop written by hand."""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

sys.path.insert(0, str(Path(__file__).parent))  # fake_shop, driver

from driver import Driver, open_window
from fake_shop import REASONS, FakeShop


@pytest.fixture(scope="session")
def window():
    """The one window of this process."""
    return open_window((1280, 800))


@pytest.fixture
def shop() -> FakeShop:
    return FakeShop()


@pytest.fixture
def drive(window):
    """Start an app around a shop; stop it after the test."""
    live: list[Driver] = []

    def start(shop: FakeShop, *, usual: str | None = None, **post: object) -> Driver:
        """Start it; `usual` works there by the settings, where it is another than who does now."""
        post = {"station": "finish", "person": "Mara", "reasons": REASONS, **post}
        if isinstance(shop, FakeShop):
            usual = str(post["person"]) if usual is None else usual
            shop.settings = replace(shop.settings, person=usual)
        live.append(Driver(shop, post))
        return live[-1]

    yield start
    for one in live:
        one.close()


@pytest.fixture
def rng() -> np.random.Generator:
    return np.random.default_rng(7)
