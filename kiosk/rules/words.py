"""Sentences people read, kept with what they were made of, so that any language can say them.

A rule says what it has to say once, in English, as a `Phrase`: a string like any other that still
knows its template and values. A screen says it again in the language the shop reads. Only what is
made here is ever translated; the shop's own words (names, notes) are plain strings and stay.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from functools import cache
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

    def __str__(self) -> str:
        """Return itself, so that an error that carries a phrase still says one."""
        return self

    def said(self, catalogue: Catalogue) -> str:
        """Return the words in the catalogue's language."""
        return self._said(catalogue)


def _(words: str) -> Phrase:
    """Return fixed words as a phrase; braces in them stay as they are."""
    return Phrase._made(words, lambda catalogue: _looked_up(words, "", catalogue))


def known(words: str, what: str = "") -> Phrase:
    """Return words that came as data as a phrase: said in another language where we shipped them.

    what tells apart words that are one in English and several elsewhere: a step, how it is said to
    be done and a station may all be `cut`. It is the message's context in the catalogues.
    """
    return Phrase._made(words, lambda catalogue: _looked_up(words, what, catalogue))


def heard(text: str, templates: Iterable[str], *, wholly: bool = False) -> str:
    """Return text that was kept in English as a phrase: by the first template that it fits.

    Args:
        text: what was kept; where no template fits it stays as it is.
        templates: as `say` takes them, without formats.
        wholly: what fills a template is heard in the same way.
    """
    tried = tuple(templates)
    for template in tried:
        found = _pattern(template).fullmatch(text)
        if found:
            values = found.groupdict()
            if wholly:
                values = {name: heard(value, tried) for name, value in values.items()}
            return say(template, **values)
    return text


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
    """Return the parts that are not empty one after the other; between may be a phrase too."""
    kept = [part for part in parts if part]
    return Phrase._made(
        between.join(kept),
        lambda catalogue: said(between, catalogue).join(said(part, catalogue) for part in kept),
    )


def number(figure: str) -> Phrase:
    """Return a figure written with a point; a language with a decimal comma says it with one."""
    return Phrase._made(figure, lambda catalogue: figure.replace(".", _mark(catalogue)))


def capital(words: str) -> Phrase:
    """Return words with their first letter as a capital; the others stay as they are."""
    return shaped(words, _upper_first)


def shaped(words: str, how: Callable[..., str], *more: str) -> Phrase:
    """Return words put into another shape, such as capitals, in whatever language.

    how takes the words, and after them what more there is, all in one language.
    """
    return Phrase._made(
        how(words, *more),
        lambda catalogue: how(said(words, catalogue), *(said(one, catalogue) for one in more)),
    )


def said(words: str, catalogue: Catalogue) -> str:
    """Return a phrase in the catalogue's language, and any other string as it is."""
    return words.said(catalogue) if isinstance(words, Phrase) else words


def _in(catalogue: Catalogue, values: dict[str, object]) -> dict[str, object]:
    def in_language(value: object) -> object:
        if isinstance(value, str):
            return said(value, catalogue)
        return _Figure(value).marked(_mark(catalogue)) if isinstance(value, float) else value

    return {name: in_language(value) for name, value in values.items()}


def _mark(catalogue: Catalogue) -> str:
    """Return the decimal mark of a catalogue that knows one, else a point."""
    return str(getattr(catalogue, "decimal", "."))


class _Figure(float):
    """A number that a template's own format writes with the mark of a language."""

    mark = "."

    def marked(self, mark: str) -> _Figure:
        self.mark = mark
        return self

    def __format__(self, how: str) -> str:
        return super().__format__(how).replace(".", self.mark)


def _looked_up(words: str, what: str, catalogue: Catalogue) -> str:
    # a catalogue says of nothing what it is itself made of
    if not words:
        return words
    with_context = f"{what}\x04{words}"
    found = catalogue.gettext(with_context) if what else with_context
    return catalogue.gettext(words) if found == with_context else found


@cache
def _pattern(template: str) -> re.Pattern[str]:
    """Return what finds a template's values in its English text."""
    # braces that are doubled stand for themselves
    parts = re.split(r"\{(\w+)\}", template)
    fixed = [re.escape(part.replace("{{", "{").replace("}}", "}")) for part in parts[::2]]
    fields = [f"(?P<{name}>.+?)" for name in parts[1::2]]
    return re.compile("".join(map("".join, zip(fixed, [*fields, ""], strict=True))), re.DOTALL)


def _upper_first(words: str) -> str:
    return words[:1].upper() + words[1:]
