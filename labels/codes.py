"""Give parts their codes, and tell a read or typed code from a slip.

A code is a kiosk letter, five letters of that kiosk's scattered counter and a check letter, over 29
letters without look-alikes: `K7F3Q97`, shown `K7F-3Q97`. Sources: docs/rules.md, "Codes".
"""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Final, Literal

from labels.layouts import MARKS, undone

# No 0 O 1 I L (look alike), no Y Z (swapped on QWERTZ keyboards). 29 is prime: the check letter
# of a pure system comes from the same letters as the rest.
ALPHABET: Final = "23456789ABCDEFGHJKMNPQRSTUVWX"
BASE: Final = len(ALPHABET)
COUNTER: Final = 5
LENGTH: Final = 1 + COUNTER + 1
CAPACITY: Final = BASE**COUNTER  # 20,511,149 codes for one kiosk letter
# Neighbouring parts get codes far apart, so that a slip which passes the check rarely hits a code
# that is in use. Any unit mod 29**5 scatters; this one was measured against a million codes.
SCATTER: Final = 12_675_890
_GATHER: Final = pow(SCATTER, -1, CAPACITY)
RADIX: Final = 2  # ISO/IEC 7064 pure system, MOD 29 with radix 2; 2 is a primitive root mod 29

# Pairs taken for each other in blurred print, by correlation of the glyphs of four free fonts.
CONFUSABLE: Final = ("8B", "5S", "68", "6B", "HN")
# Letters that are in no code, and what they were most likely meant to be.
LOOKALIKES: Final = {"O": "DQ", "0": "DQB8", "1": "7T", "I": "T7J", "L": "E", "Z": "2", "Y": "VX"}
_MOST_STRANGE: Final = 2  # with more letters of no code it was not one of our labels (choice)
# A scanner's mark of the symbology: ] and two more. Its ] may be another sign by now.
_AIM_PREFIX: Final = re.compile(r"\][A-Za-z][0-9A-Za-z]")
_AIM_LENGTH: Final = 3
_DASHES: Final = "-‐‑‒–—−_"
_UPPER: Final = str.maketrans("abcdefghijklmnopqrstuvwxyz", "ABCDEFGHIJKLMNOPQRSTUVWXYZ")

Fault = Literal["ok", "empty", "length", "letters", "slip", "gaps"]


@dataclass(frozen=True, slots=True)
class CodeReading:
    """What a read or typed text is.

    code is the sound code or None. problem is 'ok' with a code; without one 'empty', 'length',
    'letters' (one is in no code), 'slip' (there is a letter wrong) or 'gaps' (two or more '?').
    message says it in words; empty for a code read as it stands. offers are sound codes that were
    perhaps meant, likeliest first: for a person to choose from, never to be taken unasked.
    """

    code: str | None
    problem: Fault = "ok"
    message: str = ""
    offers: tuple[str, ...] = ()


def check_letter(body: str) -> str:
    """Return the check letter of a code without one (MOD 29, radix 2).

    Every wrong letter and every swap of two neighbours changes it.

    Raises:
        ValueError: a letter is not in ALPHABET.
    """
    total = 0
    for letter in body:
        total = (total + ALPHABET.index(letter)) * RADIX % BASE
    return ALPHABET[(1 - total) % BASE]


def code_for(letter: str, number: int) -> str:
    """Return the code of a kiosk's part number.

    Args:
        letter: the kiosk's letter, one of ALPHABET; no two kiosks share one.
        number: the kiosk's own counter, 0 to CAPACITY - 1; never given out twice.

    Raises:
        ValueError: the letter is none, or the number out of range.
    """
    if len(letter) != 1 or letter not in ALPHABET:
        raise ValueError(f"a kiosk letter is one of {ALPHABET}, not {letter!r}")
    if not 0 <= number < CAPACITY:
        raise ValueError(f"a part number is 0 to {CAPACITY - 1}, not {number}")
    scattered = number * SCATTER % CAPACITY
    places = ""
    for _ in range(COUNTER):
        scattered, place = divmod(scattered, BASE)
        places = ALPHABET[place] + places
    body = letter + places
    return body + check_letter(body)


def number_of(code: str) -> int:
    """Return the part number a code was made from; its first letter is the kiosk's.

    Raises:
        ValueError: the code is not sound.
    """
    if not _is_sound(code):
        raise ValueError(f"{code!r} is no part code")
    scattered = 0
    for letter in code[1:-1]:
        scattered = scattered * BASE + ALPHABET.index(letter)
    return scattered * _GATHER % CAPACITY


def is_of(code: str, letter: str) -> bool:
    """Tell whether a text is a sound code of a kiosk's letter."""
    return code[:1] == letter and _is_sound(code)


def compact(text: str) -> str:
    """Return a text as codes are compared: capitals, no spaces, hyphens or scanner's prefix.

    Nothing else is changed: a letter that is in no code stays, so that it is named.
    """
    kept = _unmarked(text).translate(_UPPER)
    return "".join(letter for letter in kept if letter not in _DASHES)


def _unmarked(text: str) -> str:
    """Return a text without blanks and without a scanner's mark, whatever layout changed it."""
    kept = "".join(text.split())
    is_changed = len(kept) == LENGTH + _AIM_LENGTH and kept[0].lower() in MARKS
    return kept[_AIM_LENGTH:] if is_changed or _AIM_PREFIX.match(kept) else kept


def shown(code: str) -> str:
    """Return a code in groups of three and four, `K7F-3Q97`; any other text as it is."""
    return f"{code[:3]}-{code[3:]}" if len(code) == LENGTH else code


def parse(text: str, *, layout: str = "") -> CodeReading:
    """Read a code that was scanned or typed; one unreadable letter may be given as `?`.

    Args:
        text: as it came from scanner or keyboard.
        layout: the keyboard layout to undo, one of labels.layouts.NAMES; empty: what does not add
            up as it stands is tried against the common ones.
    """
    reading = _as_it_stands(text)
    if reading.code is not None and not layout and "?" not in text:
        return reading
    found = sent_through(text, layout=layout)
    if reading.code is not None and not layout:
        if set(found) <= {reading.code}:
            return reading
        # a ? typed for an unreadable letter, or a letter of a French keyboard: nobody can tell
        words = "This can mean two codes. Compare them with the label."
        return CodeReading(None, "slip", words, (reading.code, *found))
    if len(found) == 1:
        ((code, (name, shows)),) = found.items()
        if shows and code != reading.code:
            words = f"Read as sent through a {name} keyboard layout."
            # where a layout is set, what a person typed may add up as it stands
            offers = (reading.code,) if reading.code else ()
            return CodeReading(code, message=words, offers=offers)
    if found and reading.code is None:
        return replace(reading, problem="slip", offers=(*reading.offers, *found))
    return reading


def sent_through(text: str, *, layout: str = "") -> dict[str, tuple[str, bool]]:
    """Return the sound codes a text may have been before a keyboard layout changed it.

    Each with the layout's name, and whether a sign in it shows that no person typed it.
    """
    found: dict[str, tuple[str, bool]] = {}
    for name, code, shows in undone(_unmarked(text), layout=layout):
        if _is_sound(code):
            before = found.get(code, (name, False))
            found[code] = (before[0], shows or before[1])
    return found


def _as_it_stands(text: str) -> CodeReading:
    code = compact(text)
    if not code:
        return CodeReading(None, "empty", "Nothing was read. Scan the label again.")
    if len(code) != LENGTH:
        words = f"A part code has {LENGTH} letters, this has {len(code)}. Read it again."
        return CodeReading(None, "length", words)
    strange = "".join(dict.fromkeys(letter for letter in code if letter not in ALPHABET + "?"))
    if strange:
        words = f"{' and '.join(strange)} is in no part code. Look at the label again."
        offers = _offers_for_strange(code, strange)
        return CodeReading(None, "slip" if offers else "letters", words, offers)
    gaps = code.count("?")
    if gaps > 1:
        words = f"{gaps} letters are missing; the check letter makes up for one. Read it again."
        return CodeReading(None, "gaps", words)
    if gaps:
        (found,) = _fill(code)
        return CodeReading(found, message=f"The unreadable letter makes it {shown(found)}.")
    if _is_sound(code):
        return CodeReading(code)
    words = f"{shown(code)} has a letter wrong. Compare it with the label."
    return CodeReading(None, "slip", words, _offers_for_slip(code))


def _is_sound(code: str) -> bool:
    if len(code) != LENGTH or any(letter not in ALPHABET for letter in code):
        return False
    return check_letter(code[:-1]) == code[-1]


def _fill(code: str) -> list[str]:
    """Return the sound codes with one letter for all the `?`; for a single `?` that is one code."""
    tried = (code.replace("?", letter) for letter in ALPHABET)
    return [one for one in tried if _is_sound(one)]


def _offers_for_strange(code: str, strange: str) -> tuple[str, ...]:
    """Return the sound codes a text with letters of no code was perhaps meant to be."""
    count = sum(code.count(letter) for letter in strange)
    if count > _MOST_STRANGE:
        return ()
    choices = [LOOKALIKES.get(c, "?") if c in strange else c for c in code]
    tried = ("".join(letters) for letters in itertools.product(*choices))
    found = [one for one in tried if _is_sound(one)]
    if not found and count == 1 and "?" not in code:
        found = _fill(code.replace(strange, "?"))
    return tuple(dict.fromkeys(found))


def _offers_for_slip(code: str) -> tuple[str, ...]:
    """Return the sound codes one or two look-alikes or one swap of neighbours away."""
    once = list(_confused(code))
    swapped = [_swap(code, at) for at in range(LENGTH - 1)]
    twice = [again for one in once for again in _confused(one)]
    return tuple(dict.fromkeys(one for one in (*once, *swapped, *twice) if _is_sound(one)))


def _confused(code: str) -> Iterator[str]:
    for at, letter in enumerate(code):
        for pair in CONFUSABLE:
            if letter in pair:
                yield code[:at] + pair.replace(letter, "") + code[at + 1 :]


def _swap(code: str, at: int) -> str:
    return code[:at] + code[at + 1] + code[at] + code[at + 2 :]
