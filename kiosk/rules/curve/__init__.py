"""Gather what a picture of one clock shows: progress, band, air, what holds it, and its words."""

from kiosk.rules.curve.axes import Scale, Tick
from kiosk.rules.curve.gather import clock_curve
from kiosk.rules.curve.values import Bracket, Curve, Held, Point

__all__ = ["Bracket", "Curve", "Held", "Point", "Scale", "Tick", "clock_curve"]
