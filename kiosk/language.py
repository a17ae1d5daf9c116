"""The language the kiosk is read in: one catalogue for every phrase, switched while it runs."""

from __future__ import annotations

import gettext
from functools import cache
from importlib import resources
from io import BytesIO
from typing import Final

from kiosk.rules import words
from kiosk.rules.words import Catalogue

# Each language by its own name, as people look for it.
LANGUAGES: Final = {"en": "English", "de": "Deutsch"}


@cache
def catalogue_of(language: str) -> Catalogue:
    """Return the catalogue of a language; of one that has none, English."""
    file = resources.files("kiosk").joinpath("data", "locale", f"{language}.po")
    if not file.is_file():
        return gettext.NullTranslations()
    from babel.messages.mofile import write_mo  # English starts without it
    from babel.messages.pofile import read_po
    from babel.numbers import get_decimal_symbol

    with file.open("rb") as stream:
        messages = read_po(stream, locale=language)
    compiled = BytesIO()
    write_mo(compiled, messages)
    compiled.seek(0)
    translations = _Translations(compiled)
    translations.decimal = get_decimal_symbol(language)
    return translations


class _Translations(gettext.GNUTranslations):
    """A catalogue that knows how its language writes fractions."""

    decimal = "."


class _Tongue:
    """The catalogue in use; English until a language is chosen."""

    catalogue: Catalogue = gettext.NullTranslations()
    name: str = "en"


def use(language: str) -> None:
    """Say everything in this language from now on; what is on the screen is to be drawn anew."""
    _Tongue.catalogue, _Tongue.name = catalogue_of(language), language


def current() -> str:
    """Return the key of the language in use, empty where a catalogue was given by itself."""
    return _Tongue.name


def use_catalogue(catalogue: Catalogue) -> None:
    """Say everything through this catalogue, as tests do."""
    _Tongue.catalogue, _Tongue.name = catalogue, ""


def shown(text: str) -> str:
    """Return a phrase in the language in use, and any other string as it is."""
    return words.said(text, _Tongue.catalogue)
