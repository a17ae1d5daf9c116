"""The words that are the shop's own data: they stay as they are in every language."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import fields, is_dataclass
from pathlib import PurePath

from kiosk import demo
from kiosk.actions import Shop
from kiosk.config import SETTINGS, Settings
from kiosk.rules.words import Catalogue, said
from kiosk.settingkinds import Among
from labels import codes

NOTE = "runs on the front"  # what somebody of the sample shop wrote about a coat


def words_of(texts: Iterable[str]) -> set[str]:
    """Return the words of texts that have plain letters."""
    return {word for text in texts for word in re.findall("[A-Za-z0-9]+", text)}


def own_words_of(shop: Shop) -> set[str]:
    """Return the names of a shop's jobs, units, parts, places and people, and its codes."""
    found = [*demo.PEOPLE, NOTE]
    for job in shop.jobs().values():
        found += [job.code, job.name, job.site]
        for wall in shop.walls(job.code):
            found += [wall.datum, *(stud.species for stud in wall.studs)]
        found += [fitting.cleat.name for fitting in shop.fittings(job.code).values()]
    for state in shop.store.states().values():
        spec = state.spec
        found += [spec.unit, spec.name, spec.wall, *(piece.piece.part for piece in state.pieces)]
        found += [codes.shown(piece.piece.code) for piece in state.pieces]
        found += [piece.recut for piece in state.pieces]
        found += [piece.piece.material for piece in state.pieces]
        found += [state.allowed.reason] if state.allowed else []
    stock = shop.stock()
    found += [codes.shown(one.offcut.code) for one in stock.offcuts]
    found += [one.size.material.name for one in stock.sizes]
    found += [f"S{number}" for number in range(1, 60)]  # what sheets are called, in any language
    found += [rack.name for rack in shop.racks()]
    found += [rack.name.lower() for rack in shop.racks()]
    return words_of(found)


def own_words_set(settings: Settings) -> set[str]:
    """Return what a shop set by its own words, not by choosing one of ours."""
    own = [one.name for one in SETTINGS if not isinstance(one.check, Among)]
    values = (getattr(settings, name) for name in own)
    return words_of(value for value in values if isinstance(value, str))


def own_words_in(found: object, catalogue: Catalogue) -> set[str]:
    """Return the words in sample data that are not said through a catalogue that marks all it says.

    A phrase holds data in what fills it; strings that are no phrases are data.
    """
    return words_of(said(text, catalogue) for text in _strings(found, set()))


def _strings(found: object, seen: set[int]) -> Iterator[str]:
    if id(found) in seen:
        return
    seen.add(id(found))
    if isinstance(found, str):
        yield found
    elif isinstance(found, PurePath):
        yield str(found)
    elif is_dataclass(found) and not isinstance(found, type):
        for field in fields(found):
            yield from _strings(getattr(found, field.name), seen)
    elif isinstance(found, Mapping):
        yield from _strings([*found.keys(), *found.values()], seen)
    elif isinstance(found, list | tuple | set | frozenset):
        for one in found:
            yield from _strings(one, seen)
