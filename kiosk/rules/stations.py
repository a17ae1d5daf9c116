"""The stations of every shop, in the order a unit goes through them."""

from __future__ import annotations

from typing import Final

STATIONS: Final = ("cut", "assemble", "finish", "install")
