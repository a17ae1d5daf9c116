"""Sentences people read, kept with what they were made of, so that any language can say them.

A rule says what it has to say once, in English, as a `Phrase`: a string like any other that still
knows its template and values. A screen says it again in the language the shop reads. Only what is
made here is ever translated; the shop's own words (names, notes) are plain strings and stay.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Protocol


class Catalogue(Protocol):
    """What translates a template; `gettext.NullTranslations` and its kin do."""

    def gettext(self, message: str) -> str:
        """Return the template in another language, or as it is."""
        ...

    def ngettext(self, msgid1: str, msgid2: str, n: int) -> str:
        """Return the template for a count in another language, or as it is."""
        ...


class Phrase(str):
    """English words that a catalogue can say in another language."""

    _said: Callable[[Catalogue], str]

    @classmethod
    def _made(cls, english: str, said: Callable[[Catalogue], str]) -> Phrase:
        phrase = cls(english)
        phrase._said = said
        return phrase

    def said(self, catalogue: Catalogue) -> str:
        """Return the words in the catalogue's language."""
        return self._said(catalogue)


def _(words: str) -> Phrase:
    """Return fixed words as a phrase; braces in them stay as they are."""
    return Phrase._made(words, lambda catalogue: catalogue.gettext(words))


def say(template: str, /, **values: object) -> Phrase:
    """Return a template with its values filled in, as `str.format` does.

    Values that are phrases are translated with it.
    """
    return Phrase._made(
        template.format(**values),
        lambda catalogue: catalogue.gettext(template).format(**_in(catalogue, values)),
    )


def say_n(one: str, many: str, n: int, /, **values: object) -> Phrase:
    """Return the template for one, or for many, with `n` and the other values filled in."""
    values = {"n": n, **values}
    return Phrase._made(
        (one if n == 1 else many).format(**values),
        lambda catalogue: catalogue.ngettext(one, many, n).format(**_in(catalogue, values)),
    )


def join(parts: Iterable[str], between: str = " ") -> Phrase:
    """Return the parts that are not empty one after the other."""
    kept = [part for part in parts if part]
    return Phrase._made(
        between.join(kept), lambda catalogue: between.join(said(part, catalogue) for part in kept)
    )


def capital(words: str) -> Phrase:
    """Return words with their first letter as a capital; the others stay as they are."""
    return Phrase._made(_upper_first(words), lambda catalogue: _upper_first(said(words, catalogue)))


def said(words: str, catalogue: Catalogue) -> str:
    """Return a phrase in the catalogue's language, and any other string as it is."""
    return words.said(catalogue) if isinstance(words, Phrase) else words


def _in(catalogue: Catalogue, values: dict[str, object]) -> dict[str, object]:
    return {
        name: said(value, catalogue) if isinstance(value, str) else value
        for name, value in values.items()
    }


def _upper_first(words: str) -> str:
    return words[:1].upper() + words[1:]
