"""Say what is expected on a unit, and what would help, with pounds where a job is in inches."""

from __future__ import annotations

from kiosk.rules.hanging.hangviews import Better, UnitHanging
from kiosk.rules.lengths import System
from kiosk.rules.weights import pounds_down, say_most, say_weight
from kiosk.rules.words import Phrase, join, number, say


def say_expected(one: UnitHanging, system: System) -> Phrase | None:
    """Return whether a unit may carry what is expected on it, None where nobody said that."""
    if system is System.MM or one.load_kg is None or one.net_kg is None:
        return one.load_words
    most = say_most(one.net_kg, system)
    if one.fits:
        # pounds down as those beside, else 5 kg of 5 kg would read as 12 lb of 11 lb
        pounds = pounds_down(one.load_kg)
        load = say("{kg} kg ({pounds} lb)", kg=number(f"{one.load_kg:.1f}"), pounds=pounds)
        return say("It may carry {most}; {load} are expected.", most=most, load=load)
    load = say_weight(one.load_kg, system)
    return say("It may carry {most} only; {load} are expected: too much.", most=most, load=load)


def say_better(better: Better, system: System) -> Phrase:
    """Return what would help: what it may carry before and after, pounds rounded down."""
    if system is System.MM:
        return better.words
    after = pounds_down(better.after)
    if better.before is None:
        return join((better.words, say("In pounds: {after} lb after.", after=after)))
    before = pounds_down(better.before)
    pounds = say("In pounds: {before} lb before, {after} lb after.", before=before, after=after)
    return join((better.words, pounds))
