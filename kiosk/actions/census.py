"""Count what a shop's file holds, and gather the names in it: for who must not see them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from kiosk.config import Settings
from kiosk.rules.entries import Kind
from kiosk.store import Store


@dataclass(frozen=True, slots=True)
class Census:
    """How many entries there are of each kind, and every name by what it names."""

    kinds: Mapping[str, int]
    names: Mapping[str, frozenset[str]]


def take_census(store: Store, settings: Settings) -> Census:
    """Return the counts and names of a shop: people, jobs, sites, units, walls, the shop's own.

    Names that have changed since are among them, as old logs may hold them.
    """
    people = {*store.people(), settings.person}
    people |= {str(body.get("name", "")) for _key, body in store.bodies(Kind.PERSON_SET)}
    jobs, sites = set(store.jobs()), set()
    for kind in (Kind.JOB_OPENED, Kind.JOB_CLOSED):
        for (job, _unit), body in store.bodies(kind):
            jobs |= {job, str(body.get("name", ""))}
            sites.add(str(body.get("site", "")))
    units, walls = set(), set()
    for (job, unit), body in store.bodies(Kind.UNIT_TAKEN):
        units |= {f"{job}/{unit}", unit, str(body.get("name", ""))}
        walls |= {str(body.get(key, "")) for key in ("wall", "position")}
    names = {
        "unit": units,
        "wall": walls,
        "place": {place.name for place in settings.places},
        "job": jobs,
        "site": sites,
        "shop": {settings.shop},
        # a person is also called by one name of several
        "person": people | {word for name in people for word in name.split() if len(word) > 2},
    }
    kept = {what: frozenset(name for name in some if name) for what, some in names.items()}
    return Census(store.tally(), kept)
