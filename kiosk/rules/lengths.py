"""Read and show lengths as people in a shop write them, in whole units of 1/1600 mm."""

from __future__ import annotations

import re
import unicodedata
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction
from functools import lru_cache
from math import gcd
from typing import Final, NewType

from kiosk.rules.words import _, join, number, say

Length = NewType("Length", int)
"""A length in whole units of 1/1600 mm: 0.01 mm is 16 of them, 1/64 in is 635; both exact."""

PER_MM: Final = 1600
PER_INCH: Final = 40640  # 25.4 mm exactly, by the international yard and pound agreement of 1959
PER_64TH: Final = 635
LONGEST: Final = Length(20_000 * PER_MM)  # 20 m: longer than any sheet good; catches wrong units

_UNITS: Final = {
    "mm": PER_MM,
    "cm": 10 * PER_MM,
    "m": 1000 * PER_MM,
    "in": PER_INCH,
    "ft": 12 * PER_INCH,
}
# What people write for a unit, in the languages part lists come in.
_SPELLINGS: Final = {
    "mm": "mm millimeter millimeters millimetre millimetres millimètre millimètres milímetros",
    "cm": "cm centimeter centimeters centimetre centimetres zentimeter centímetros centimètres",
    "m": "m meter meters metre metres mètre mètres metro metros",
    "in": '" in ins inch inches zoll pouce pouces pulgada pulgadas duim',
    "ft": "' ft foot feet fuß fuss pied pieds pie pies voet",
}
_UNIT_OF: Final = {word: unit for unit, words in _SPELLINGS.items() for word in words.split()}

_LOOKALIKES: Final = str.maketrans(
    {
        **dict.fromkeys("′’‘´`ʹ", "'"),
        **dict.fromkeys("″“”„ʺ〃", '"'),
        **dict.fromkeys("⁄∕", "/"),
        **dict.fromkeys("−–—‐‑", "-"),
        **dict.fromkeys("\u00a0\u202f\u2007\u2009\t\n\r", " "),
    }
)
_RAISED: Final = re.compile("([0-9])([⁰¹²³⁴⁵⁶⁷⁸⁹]+/)")
_NUMBER: Final = r"(?:[0-9][0-9., ]*|[.,][0-9]+)"
_FRACTION: Final = r"(?:([0-9]+)[ -]+)?([0-9]+) ?/ ?([0-9]+)"
_MIXED: Final = re.compile(_FRACTION)
_WITH_UNIT: Final = re.compile(rf"({_FRACTION}|{_NUMBER}?) ?([^\W\d]+|['\"])?\.?")
_FEET: Final = re.compile(
    r"([0-9]+) ?(?:'|ft|foot|feet)\.? ?-? ?(.*?) ?(?:\"|in|ins|inch|inches)?\.?"
)
# Thousands: no group starts with 0, so 0,603 stays a decimal.
_COMMAS: Final = re.compile(r"[1-9][0-9]{0,2}(?:(?:,[0-9]{3})+\.[0-9]*|(?:,[0-9]{3}){2,})")
_DOTS: Final = re.compile(r"[1-9][0-9]{0,2}(?:(?:\.[0-9]{3})+,[0-9]*|(?:\.[0-9]{3}){2,})")
_SPACES: Final = re.compile(r"[1-9][0-9]{0,2}(?: [0-9]{3})+(?:[.,][0-9]*)?")
_PLAIN: Final = re.compile(r"[0-9]+[.,]?[0-9]*|[.,][0-9]+")
_EITHER_WAY: Final = re.compile(r"[1-9][0-9]{0,2},[0-9]{3}")

EXAMPLES: Final = _('Write it like 603, 603.5 mm, 23 3/4" or 1\' 11 3/4".')

# What is wrong with a text that may be anything: it needs an example beside it.
_UNCLEAR: Final = (
    "is too much text for a length.",
    "is not a length we can read.",
    "is not a number we can read.",
)


class System(StrEnum):
    """How a shop reads lengths."""

    MM = "mm"
    INCH = "inch"


def parse(text: str, unit: str = "mm") -> tuple[Length | None, str]:
    """Read one length as a person wrote it; the second value says what is wrong, '' if nothing.

    unit (mm, cm, m, in or inch, ft) holds where the text names none. A fraction without a unit is
    inches even where unit is metric: nobody writes fractions of a millimetre. Accepted: more than
    nothing up to 20 m; what is no whole 1/1600 mm becomes the nearest. A comma before exactly three
    digits may be a decimal or a thousand: where only one of the two stays within 20 m that one is
    taken, else (`1,250 mm`) the person is asked. A dot before three digits is a decimal point.
    """
    length, why = read(text, unit)
    return length, join([why, EXAMPLES]) if why.endswith(_UNCLEAR) else why


@lru_cache(maxsize=8192)
def read(text: str, unit: str = "mm") -> tuple[Length | None, str]:
    """Read a length as `parse` does, but say what is wrong without examples."""
    default = {"inch": "in"}.get(unit, unit)
    if default not in _UNITS:
        return None, say("The unit “{unit}” is not known; use mm, cm, m, in or ft.", unit=unit)
    plain = _plain(text)
    if not plain:
        return None, _("The length is missing.")
    if len(plain) > 60:
        return None, say("“{text}…” is too much text for a length.", text=plain[:30])
    if re.match(r"- ?[0-9.,]", plain):
        return None, say("“{plain}” is less than nothing; a length starts above 0.", plain=plain)
    feet = _FEET.fullmatch(plain)
    if feet and feet[2]:
        return _feet(plain, feet[1], feet[2])
    found = _WITH_UNIT.fullmatch(plain)
    named = _UNIT_OF.get(found[5] or default) if found else None
    if not found or not found[1] or named is None:
        return None, say("“{plain}” is not a length we can read.", plain=plain)
    if found[4] and not found[5] and default not in ("in", "ft"):
        named = "in"
    return _single(plain, found[1].strip(), named)


def show(length: Length, system: System, *, unit_mark: bool = True) -> str:
    """Write a length the way a shop reads it: `603.5 mm`, `23 3/4"`.

    Millimetres are rounded to 0.01. Inches are a reduced fraction where the length is a whole
    number of 64ths, else decimal inches rounded to 0.001. So for every length of 0.01 mm to 20 m,
    `parse(show(x, MM))` gives back x where x is a whole number of 0.01 mm, and
    `parse(show(x, INCH))` gives back x where x is a whole number of 64ths. Any other length comes
    back within half of the rounding step, save for such a step at either end of the range. With
    unit_mark False the reader must give the unit.
    """
    if system is System.MM:
        return number(_decimals((length + 8) // 16, 2) + (" mm" if unit_mark else ""))
    mark = '"' if unit_mark else ""
    sixty_fourths, rest = divmod(length, PER_64TH)
    if rest:
        return number(_decimals((length * 2000 + PER_INCH) // (2 * PER_INCH), 3) + mark)
    whole, part = divmod(sixty_fourths, 64)
    if not part:
        return f"{whole}{mark}"
    common = gcd(part, 64)
    fraction = f"{part // common}/{64 // common}"
    return f"{whole} {fraction}{mark}" if whole else f"{fraction}{mark}"


def mm(length: Length) -> float:
    """Give a length in millimetres for JSON and drawings; `from_mm` gives back the same length."""
    return length / PER_MM


def from_mm(value: Decimal | float) -> Length:
    """Make a length from millimetres, to the nearest 1/1600 mm, halves up; no range is checked.

    Raises:
        ValueError: the value is not a finite number.
    """
    try:
        return Length(_nearest(Fraction(str(value)) * PER_MM))
    except ValueError:
        raise ValueError(f"{value} is not a number of millimetres") from None


def _plain(text: str) -> str:
    """Bring look-alike characters to one spelling and single spaces, all in small letters."""
    if text.isascii() and text.isalnum():
        return text.lower()
    same = _RAISED.sub(r"\1 \2", text.translate(_LOOKALIKES))
    # ¾ becomes 3⁄4 when normalised; without the space before it 23¾ would turn into 233/4.
    spread = "".join(
        f" {unicodedata.normalize('NFKC', c)}" if "¼" <= c <= "¾" or "⅐" <= c <= "⅞" else c
        for c in same
    )
    one = unicodedata.normalize("NFKC", spread).translate(_LOOKALIKES).replace("''", '"')
    return " ".join(one.lower().split())


def _single(plain: str, number: str, unit: str) -> tuple[Length | None, str]:
    """Read one number with one unit."""
    if "/" in number:
        amount, why = _mixed(number)
    elif _EITHER_WAY.fullmatch(number):
        return _either(plain, number, unit)
    else:
        amount, why = _decimal(number)
    if amount is None:
        return None, why
    return _within(plain, amount * _UNITS[unit])


def _either(plain: str, number: str, unit: str) -> tuple[Length | None, str]:
    """Read `1,250`: a thousand or a decimal, whichever is possible; ask where both are."""
    whole = number.replace(",", "")
    decimal = number.replace(",", ".")
    if int(whole) * _UNITS[unit] > LONGEST:
        return _within(plain, Fraction(decimal) * _UNITS[unit])
    small = decimal.rstrip("0").rstrip(".")
    return None, say(
        "“{plain}” can mean {whole} {unit} or {small} {unit}; write the one you mean.",
        plain=plain,
        whole=whole,
        unit=unit,
        small=small,
    )


def _feet(plain: str, feet: str, inches: str) -> tuple[Length | None, str]:
    """Read feet and inches; 12 inches or more beside feet is taken for a slip."""
    amount, why = _mixed(inches) if "/" in inches else _decimal(inches)
    if amount is None:
        return None, why
    if amount >= 12:
        return None, say(
            "“{plain}” has 12 inches or more beside the feet; write it like 1' 11 3/4\".",
            plain=plain,
        )
    return _within(plain, (int(feet) * 12 + amount) * PER_INCH)


def _mixed(number: str) -> tuple[Fraction | None, str]:
    """Read `23 3/4`, `23-3/4` or `3/4`."""
    found = _MIXED.fullmatch(number)
    if not found or not int(found[3]):
        return None, say(
            "“{number}” is not a fraction we can read; write it like 23 3/4.", number=number
        )
    part = Fraction(int(found[2]), int(found[3]))
    if found[1] and part >= 1:
        return None, say(
            "In “{number}” the fraction is one or more; write it like 23 3/4.", number=number
        )
    return int(found[1] or 0) + part, ""


def _decimal(number: str) -> tuple[Fraction | None, str]:
    """Read a decimal number with point or comma, thousands set apart where that is certain."""
    if _COMMAS.fullmatch(number):
        number = number.replace(",", "")
    elif _DOTS.fullmatch(number):
        number = number.replace(".", "")
    elif _SPACES.fullmatch(number):
        number = number.replace(" ", "")
    if not _PLAIN.fullmatch(number):
        return None, say("“{number}” is not a number we can read.", number=number)
    return Fraction(number.replace(",", ".").rstrip(".")), ""


def _within(plain: str, units: Fraction) -> tuple[Length | None, str]:
    """Round to whole units and refuse what no part can measure."""
    length = Length(_nearest(units))
    if length <= 0:
        return None, say("“{plain}” is nothing; a length starts above 0.", plain=plain)
    if length > LONGEST:
        return None, say("“{plain}” is longer than 20 m; check the unit.", plain=plain)
    return length, ""


def _nearest(value: Fraction) -> int:
    """Round to the nearest whole number, halves up."""
    return (2 * value.numerator + value.denominator) // (2 * value.denominator)


def _decimals(count: int, places: int) -> str:
    """Write a count of hundredths or thousandths without needless zeros."""
    whole, part = divmod(count, 10**places)
    return f"{whole}.{part:0{places}d}".rstrip("0").rstrip(".")
