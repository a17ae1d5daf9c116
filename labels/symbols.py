"""Turn a code into symbols: a QR matrix and a Code 128 bar string, both of whole modules."""

from __future__ import annotations

from barcode import Code128
from qrcode import QRCode
from qrcode.constants import ERROR_CORRECT_H
from qrcode.exceptions import DataOverflowError

QR_MODULES = 21  # version 1, ISO/IEC 18004
QR_QUIET = 4  # modules of white on each side, ISO/IEC 18004
LINEAR_QUIET = 10  # modules of white on each side, ISO/IEC 15417
MASK = 0  # any of the eight reads; scoring them takes nine tenths of the time

Matrix = tuple[tuple[bool, ...], ...]


class SymbolError(ValueError):
    """The text does not fit the symbol; the message names it and says what fits."""


def qr_matrix(code: str, *, mask: int = MASK) -> Matrix:
    """Return a QR symbol of version 1, level H, without its quiet zone; True is dark.

    Args:
        code: up to ten digits and capital letters.
        mask: 0 to 7.

    Raises:
        SymbolError: the code does not fit.
    """
    symbol = QRCode(version=1, error_correction=ERROR_CORRECT_H, border=0, mask_pattern=mask)
    symbol.add_data(code)
    try:
        # fit=False: otherwise a longer text silently grows the symbol past the label
        symbol.make(fit=False)
    except DataOverflowError as error:
        raise SymbolError(
            f"{code!r} does not fit a version 1 symbol; use at most ten digits and capitals"
        ) from error
    return tuple(tuple(bool(module) for module in row) for row in symbol.modules)


def code128_bars(code: str) -> str:
    """Return a Code 128 symbol as a string of 1 (bar) and 0 (space), without its quiet zones.

    Raises:
        SymbolError: the code is empty or has letters Code 128 lacks.
    """
    if not code or not all(" " <= letter <= "~" for letter in code):
        raise SymbolError(f"{code!r} cannot be drawn as Code 128; use ASCII letters and digits")
    return str(Code128(code).build()[0])
