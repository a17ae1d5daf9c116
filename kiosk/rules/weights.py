"""Say weights and loads in kilograms, and in an inch job in pounds beside them."""

from __future__ import annotations

from math import ceil, floor
from typing import Final

from kiosk.rules.lengths import System
from kiosk.rules.words import Phrase, number, say

POUND_KG: Final = 0.45359237  # exactly: international yard and pound agreement of 1959


def pounds_down(kg: float) -> int:
    """Return whole pounds in a load in kg, rounded down: never more than may be put on."""
    return floor(round(kg / POUND_KG, 6))


def say_most(kg: float, system: System) -> Phrase:
    """Say what may be put on, kg: whole kilograms, and whole pounds in these, rounded down."""
    whole = floor(round(kg, 6))
    if system is System.MM:
        return say("{kg} kg", kg=whole)
    return say("{kg} kg ({pounds} lb)", kg=whole, pounds=pounds_down(whole))


def say_weight(kg: float, system: System) -> Phrase:
    """Say what something weighs, kg: rounded up to 0.1 kg and whole pounds, never less than it."""
    tenths = number(f"{ceil(round(kg * 10, 6)) / 10:.1f}")
    if system is System.MM:
        return say("{kg} kg", kg=tenths)
    return say("{kg} kg ({pounds} lb)", kg=tenths, pounds=ceil(round(kg / POUND_KG, 6)))


def say_gross(kg: float, system: System) -> Phrase:
    """Say what a cleat holds, own weight included, kg: rounded down to 0.1 kg and whole pounds."""
    tenths = floor(round(kg * 10, 6)) / 10
    if system is System.MM:
        return say("{kg} kg", kg=number(f"{tenths:.1f}"))
    return say("{kg} kg ({pounds} lb)", kg=number(f"{tenths:.1f}"), pounds=pounds_down(tenths))
