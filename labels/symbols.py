"""Make the dark and light of a QR code or a Code 128, module by module, without drawing it."""

from __future__ import annotations

from typing import Final

from barcode.codex import Code128
from barcode.errors import BarcodeError
from qrcode.constants import ERROR_CORRECT_H
from qrcode.exceptions import DataOverflowError
from qrcode.main import QRCode

from labels import LabelError

QR_QUIET: Final = 4  # modules on every side, ISO/IEC 18004
BARS_QUIET: Final = 10  # narrow bars at either end, ISO/IEC 15417
BARS_LONGEST: Final = 112  # modules of seven letters: start, 7, check of 11 each, stop of 13
_CAPITALS: Final = frozenset("0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ")

Matrix = tuple[tuple[bool, ...], ...]


class SymbolError(LabelError):
    """A text does not go into the symbol that was asked for."""


def qr_size(version: int) -> int:
    """Return the modules along one side, without quiet zone (ISO/IEC 18004)."""
    return 17 + 4 * version


def qr_matrix(text: str, *, version: int = 1, mask: int | None = None) -> Matrix:
    """Return the rows of a QR code with error correction H; True is dark, no quiet zone.

    Args:
        text: capitals and digits; up to 10 fit version 1, up to 35 version 3.
        version: 1 to 40. It is kept: a text that does not fit is refused, not given a larger code.
        mask: 0 to 7; None takes the mask the encoder scores best.

    Raises:
        SymbolError: the text is empty, has other letters, or is too long.
    """
    _check(text)
    symbol = QRCode(version=version, error_correction=ERROR_CORRECT_H, mask_pattern=mask, border=0)
    symbol.add_data(text)
    try:
        symbol.make(fit=False)
    except DataOverflowError:
        raise SymbolError(
            f"{text} is too long for a QR code of version {version}; use a shorter code."
        ) from None
    return tuple(tuple(bool(module) for module in row) for row in symbol.modules)


def code128_bars(text: str) -> str:
    """Return a Code 128 as modules from left to right, '1' dark, without quiet zones.

    Only the encoder is used, not the library's own picture of it: that rounds every edge to
    millimetres, and bars come out a dot too wide or narrow.

    Raises:
        SymbolError: the text is empty or has letters other than capitals and digits.
    """
    _check(text)
    try:
        bars: str = Code128(text).build()[0]
    except BarcodeError as error:  # pragma: no cover - capitals and digits always encode
        raise SymbolError(f"{text} does not go into a bar code: {error}") from error
    return bars


def _check(text: str) -> None:
    if not text or not _CAPITALS.issuperset(text):
        raise SymbolError(f"{text!r} does not go on a label; a code is capitals and digits.")
