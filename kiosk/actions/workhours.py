"""Know when the shop's people work, and set hours that differ."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime, time, timedelta

from kiosk.actions.register import Register
from kiosk.rules.closedday import say_closed
from kiosk.rules.entries import Kind
from kiosk.rules.people import Person, find_person, tidy_name
from kiosk.rules.problems import Problem
from kiosk.rules.route import STATIONS
from kiosk.rules.words import _, say
from kiosk.rules.workday import (
    FIELDS,
    Hours,
    hours_said,
    read_away,
    read_clock,
    read_days,
    read_hours,
)
from kiosk.store import Note

# Whoever scanned within so many days works here, where the shop keeps no list of people (choice).
SEEN_WITHIN = timedelta(days=14)


class WorkHours(Register):
    """The hours of a shop and its people."""

    def shop_hours(self) -> Hours:
        """Return the hours of the shop itself, from its settings."""
        settings, noon = self.settings, time(12)
        return Hours(
            read_clock(settings.opens_at) or noon,
            read_clock(settings.closes_at) or noon,
            read_clock(settings.break_starts) or noon,
            settings.break_minutes,
            read_days(settings.days_open) or (),
            away=read_away(settings.closed_days) or (),
        )

    def say_closed(self, now: datetime) -> str:
        """Return that nobody works today and when work goes on; empty on a day of work."""
        people = (hours for _name, hours in self.staff(now))
        return say_closed(self.shop_hours(), people, now=now, zone=self.zone)

    def hours(self) -> Mapping[str, Mapping[str, str]]:
        """Return what differs from the shop's hours, as texts by FIELDS, for each badge code."""
        return hours_said(self.store.shop_entries(Kind.HOURS_SET))

    def set_hours(
        self, name: str, texts: Mapping[str, str], *, person: str = ""
    ) -> tuple[Person | None, tuple[Problem, ...]]:
        """Set what of somebody's hours differs from the shop's; what is not given stays.

        Args:
            name: somebody on the list.
            texts: by FIELDS of kiosk.rules.workday; an empty text is as in the shop again.
            person: who sets it.

        Raises:
            StoreError: nothing was kept.
        """
        known = find_person(self.people(), name)
        if known is None or known.away:
            called = tidy_name(name) or _("NAME")
            words = say("Nobody on the list is called {name}.", name=called)
            remedy = say("Put them on it: cleatclock people --add {name}.", name=_quoted(called))
            return None, (Problem(words, remedy, value=name),)
        given = dict(self.hours().get(known.code, {})) | dict(texts)
        kept = {field: given[field].strip() for field in FIELDS if given.get(field, "").strip()}
        problems = read_hours(kept, self.shop_hours(), stations=STATIONS, where=known.name)[1]
        if problems:
            return None, problems
        body = {"code": known.code, **kept}
        self.store.write([Note(Kind.HOURS_SET, body=body, person=person)], self.now())
        return known, ()

    def staff(self, now: datetime) -> tuple[tuple[str, Hours], ...]:
        """Return who works in the shop, and their hours.

        They are the people on the list; where there is none, whoever scanned lately; where nobody
        did, whoever the settings name, or somebody.
        """
        usual, said = self.shop_hours(), self.hours()
        listed = [one for one in self.people() if not one.away]
        if listed:
            return tuple(
                (
                    one.name,
                    read_hours(said.get(one.code, {}), usual, stations=STATIONS)[0],
                )
                for one in listed
            )
        scans = self.store.kind_entries(Kind.STEP_DONE, since=now - SEEN_WITHIN)
        names = sorted({entry.person for entry in scans} - {""})
        return tuple((name, usual) for name in names or [self.settings.person or _("somebody")])


def _quoted(name: str) -> str:
    """Return a name as it is written at a command line."""
    return f'"{name}"' if " " in name else name
