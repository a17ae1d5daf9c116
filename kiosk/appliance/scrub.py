"""Take names out of a text, so that it can be shown to somebody outside the shop."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Mapping

# Addresses that may stand in a message whatever the shop's names are.
_ADDRESSES = (
    (re.compile(r"\b(?:https?|ipps?|mqtts?|postgres(?:ql)?)://[^\s'\"<>,;]+"), "(address)"),
    (re.compile(r"[\w.+-]+@[\w-]+\.[\w.-]+"), "(address)"),
    (re.compile(r"(?<![\w.])\d{1,3}(?:\.\d{1,3}){3}(?![\w.])"), "(address)"),
)


class Scrub:
    """Puts a word such as (person) in place of every name it was given."""

    def __init__(self, names: Mapping[str, Iterable[str]] | None = None) -> None:
        """Take names by what they are: person, job, unit and so on."""
        self._words: dict[str, str] = {}
        self._pattern: re.Pattern[str] | None = None
        for what, some in (names or {}).items():
            self.add(what, *some)

    def add(self, what: str, *names: str) -> None:
        """Know more names of a kind; their case does not matter."""
        for name in names:
            for form in ("NFC", "NFD"):  # one letter with its accent, or two signs
                plain = unicodedata.normalize(form, name.strip())
                if plain:
                    self._words[plain.casefold()] = f"({what})"
        longest_first = sorted(self._words, key=len, reverse=True)
        either = "|".join(map(re.escape, longest_first))
        # whole words only: a unit S1 is not what S10 begins with
        found = re.compile(rf"(?<!\w)(?:{either})(?!\w)", re.IGNORECASE)
        self._pattern = found if longest_first else None

    def clean(self, text: str) -> str:
        """Return the text without the names, and without addresses of machines and people."""
        for pattern, word in _ADDRESSES:
            text = pattern.sub(word, text)
        if self._pattern is None:
            return text
        return self._pattern.sub(lambda one: self._words.get(one[0].casefold(), "(name)"), text)
