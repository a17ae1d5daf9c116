"""A strange language: every template marked and about 40 % longer, to prove that screens hold it.

Letters get a sign or become a look-alike of another script, so that words keep their width and
what went past the catalogue stands out by plain letters.
"""

from __future__ import annotations

import gettext
import re
from collections.abc import Container

LONGER = 0.4
_PLAIN = "abcdefghijklmnopqrstuvwxyz"
_MARKED = "āьćďēғğĥīĵķĺмńōрþŕśţūνŵхŷź"
_SIGNS = str.maketrans(_PLAIN + _PLAIN.upper(), _MARKED + _MARKED.upper())
_FIELD = re.compile(r"(\{[^{}]*\})")
_WORD = re.compile(r"[^\W\d_]+")


class Strange(gettext.NullTranslations):
    """Translates the messages of the catalogues alone; all else stays as it is."""

    def __init__(self, messages: Container[tuple[str, str]]) -> None:
        """Take messages as (context, text), the one of a count."""
        super().__init__()
        self._messages = messages

    def gettext(self, message: str) -> str:
        """Return a template in the strange language."""
        context, text = message.split("\x04") if "\x04" in message else ("", message)
        return strange(text) if (context, text) in self._messages else message

    def ngettext(self, msgid1: str, msgid2: str, n: int) -> str:
        """Return the template for a count in the strange language."""
        text = msgid1 if n == 1 else msgid2
        return strange(text) if ("", msgid1) in self._messages else text


def strange(template: str) -> str:
    """Return a template with its letters marked, and with words of its own once more."""
    parts = [part.translate(_SIGNS) if "{" not in part else part for part in _FIELD.split(template)]
    more = round(LONGER * sum(len(_FIELD.sub("", part)) for part in parts))
    at = max(range(0, len(parts), 2), key=lambda place: len(parts[place]))
    found = list(_WORD.finditer(parts[at]))
    if not found or not more:
        return "".join(parts)
    end = max(found, key=lambda word: len(word[0])).end()
    parts[at] = parts[at][:end] + _added([word[0] for word in found], more) + parts[at][end:]
    return "".join(parts)


def _added(words: list[str], more: int) -> str:
    """Return letters to put behind a word: the rest of a longer word, or further words."""
    if len(words) == 1:  # a longer word, as other languages put words together
        return (words[0].lower() * 2)[:more]
    said = ""
    for word in words * 2:
        if len(said) + 1 + len(word) <= more:
            said += f" {word.lower()}"
    return said or words[0].lower()[:more]
