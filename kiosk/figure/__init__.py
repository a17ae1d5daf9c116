"""Draw the picture of one clock as a short list of shapes, and write it as SVG or PNG."""

from kiosk.figure.draw import draw_curve
from kiosk.figure.output import to_png, to_svg
from kiosk.figure.shapes import DARK, Area, Box, Figure, Line, Words

__all__ = ["DARK", "Area", "Box", "Figure", "Line", "Words", "draw_curve", "to_png", "to_svg"]
