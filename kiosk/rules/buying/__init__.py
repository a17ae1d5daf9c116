"""Reckon what to buy for the work that is left: sheets, glue, screws, edging, coats and discs."""
