"""Make, read and show part codes: a kiosk's letter, five scattered letters, a check letter.

The alphabet has 29 letters, a prime number, so that data and check letter share it; without 0 O 1 I
L Y Z there are few look-alikes and fewer keyboard layouts that garble them. The check is the pure
system MOD 29 with radix 2 after the scheme of ISO/IEC 7064: it catches every single wrong letter
and every swap of neighbours. docs/rules.md, "Codes".
"""

from __future__ import annotations

from dataclasses import dataclass

ALPHABET = "23456789ABCDEFGHJKMNPQRSTUVWX"
BASE = len(ALPHABET)
LENGTH = 7
COUNTER_LETTERS = 5
NUMBERS = BASE**COUNTER_LETTERS  # 20,511,149 codes per kiosk
# Scatters consecutive numbers, so that a typing slip rarely meets another part's code. A unit modulo
# 29^5, hence invertible. Choice.
SCATTER = 12_675_890
_GATHER = pow(SCATTER, -1, NUMBERS)
_VALUE = {letter: value for value, letter in enumerate(ALPHABET)}
_PREFIXES = ("]Q1", "]C0", "]Q0", "]C1")  # what some scanners put before a code: symbology marks
# Letters that look alike in print and those people read in place of ones we do not use.
_ALIKE = ("8B", "5S", "6S", "68", "6B", "HN", "2Z", "7Y", "UV", "VW", "MN", "KX", "EF", "PR", "GC")
_FOREIGN = {"O": "QCD", "0": "QCD", "I": "J7", "1": "J7", "L": "J7", "Z": "2", "Y": "X7V"}


@dataclass(frozen=True, slots=True)
class CodeReading:
    """What a text is as a code.

    code is the sound code or None. problem is 'ok', 'empty', 'length', 'letters', 'slip' (the check
    letter disagrees) or 'gaps' (two or more unreadable letters). offers are likely codes, for a
    person to choose from.
    """

    code: str | None
    problem: str
    message: str = ""
    offers: tuple[str, ...] = ()


def check_letter(body: str) -> str:
    """Return the check letter of a code's first letters, all from ALPHABET."""
    total = 0
    for letter in body:
        total = (total + _VALUE[letter]) * 2 % BASE
    return ALPHABET[(1 - total) % BASE]


def is_sound(code: str) -> bool:
    """Tell whether a bare code has the right length and letters and its check letter agrees."""
    return (
        len(code) == LENGTH
        and all(letter in _VALUE for letter in code)
        and check_letter(code[:-1]) == code[-1]
    )


def code_for(letter: str, number: int) -> str:
    """Return the code of a kiosk's number.

    Args:
        letter: the kiosk's letter from ALPHABET.
        number: 0 up to NUMBERS - 1; each gives another code.

    Raises:
        ValueError: the letter is none of ours, or the number is out of range.
    """
    if letter not in _VALUE or len(letter) != 1:
        raise ValueError(f"{letter!r} is no kiosk letter; use one of {ALPHABET}")
    if not 0 <= number < NUMBERS:
        raise ValueError(f"{number} is not between 0 and {NUMBERS - 1}")
    rest = number * SCATTER % NUMBERS
    letters = []
    for _ in range(COUNTER_LETTERS):
        rest, value = divmod(rest, BASE)
        letters.append(ALPHABET[value])
    body = letter + "".join(reversed(letters))
    return body + check_letter(body)


def number_of(code: str) -> int:
    """Return the number a sound code was made from.

    Raises:
        ValueError: the code is not sound.
    """
    if not is_sound(code):
        raise ValueError(f"{code!r} is no sound code")
    scattered = 0
    for letter in code[1:-1]:
        scattered = scattered * BASE + _VALUE[letter]
    return scattered * _GATHER % NUMBERS


def compact(text: str) -> str:
    """Return a text as a bare code would be: upper case, without blanks, hyphens and scanner marks."""
    text = text.strip()
    for prefix in _PREFIXES:
        text = text.removeprefix(prefix)
    return "".join(
        letter for letter in text.upper() if letter not in "-‐‑–—" and not letter.isspace()
    )


def shown(code: str) -> str:
    """Return a bare code as people read it: K7F-3Q97."""
    return f"{code[:3]}-{code[3:]}" if len(code) == LENGTH else code


def parse(text: str) -> CodeReading:
    """Read what a scanner sent or a person typed; never raises.

    One unreadable letter typed as `?` has exactly one solution and is recovered. Where the check
    letter disagrees, likely slips are offered, never taken.
    """
    code = compact(text)
    if not code:
        return CodeReading(None, "empty", "Nothing was read.")
    if len(code) != LENGTH:
        return CodeReading(None, "length", f"A code has {LENGTH} letters; {code} has {len(code)}.")
    gaps = code.count("?")
    if gaps == 1 and all(letter in _VALUE for letter in code if letter != "?"):
        (found,) = [code.replace("?", letter) for letter in ALPHABET if _fits(code, letter)]
        return CodeReading(found, "ok", f"{shown(code)} can only be {shown(found)}.")
    if gaps > 1:
        return CodeReading(None, "gaps", f"{gaps} letters are missing; one can be recovered.")
    if is_sound(code):
        return CodeReading(code, "ok")
    offers = _likely(code)
    if any(letter not in _VALUE for letter in code):
        wrong = "".join(dict.fromkeys(letter for letter in code if letter not in _VALUE))
        words = f"{' '.join(wrong)} is in no code of ours."
        return CodeReading(None, "slip" if offers else "letters", words, offers)
    return CodeReading(None, "slip", f"The last letter says that {shown(code)} has a slip.", offers)


def _fits(code: str, letter: str) -> bool:
    return is_sound(code.replace("?", letter))


def _likely(code: str) -> tuple[str, ...]:
    """Return sound codes that differ by one look-alike or by a swap of neighbours."""
    found: dict[str, None] = {}
    for place, letter in enumerate(code):
        others = _FOREIGN.get(letter, "") + "".join(
            pair.replace(letter, "") for pair in _ALIKE if letter in pair
        )
        for other in others:
            found[code[:place] + other + code[place + 1 :]] = None
    for place in range(LENGTH - 1):
        swapped = code[:place] + code[place + 1] + code[place] + code[place + 2 :]
        found[swapped] = None
    return tuple(guess for guess in found if is_sound(guess))
