"""Find the unit and part that a scanned or typed text means."""

from __future__ import annotations

import itertools
from dataclasses import dataclass

from kiosk.actions.permits import Permits
from kiosk.rules.entries import Kind
from kiosk.rules.fold import PieceState, UnitState
from kiosk.rules.labelwords import say_code_reading
from kiosk.rules.lengths import System, mm, show
from kiosk.rules.parts import Piece
from kiosk.rules.scanning import Answer, Offer, Outcome
from kiosk.rules.words import _, join, say
from kiosk.store import Key
from labels import codes

UNREADABLE = 2  # letters typed as ?; with more it is quicker to find the part by name


@dataclass(frozen=True, slots=True)
class Found:
    """The unit a code or a name led to, with the part where a part was scanned."""

    state: UnitState
    piece: PieceState | None
    code: str


MOST_HITS = 50  # more than anybody looks through; add a word (choice)


@dataclass(frozen=True, slots=True)
class PartHit:
    """A part that was found, with where it belongs and what is known of it."""

    state: UnitState
    piece: PieceState


class Lookup(Permits):
    """Codes and names of a shop."""

    def find_unit(self, text: str) -> Found | Answer:
        """Return the unit and part a text means, or the answer that it means none."""
        self.store.refresh()  # another process may have scanned since
        reading = codes.parse(text, layout=self.settings.scanner_layout)
        if reading.code is not None:
            if self.store.find_piece(reading.code) is None:
                # letters alone may check by chance although a layout changed them, or though none
                # did where one is set: a picture and the keys of the screen know no layout
                others = {*reading.offers, *codes.sent_through(text)}
                known = [one for one in others if self.store.find_piece(one)]
                if len(known) == 1:
                    return self._by_code(known[0])
            return self._by_code(reading.code)
        keys = self.named(text)
        if not keys:
            return self._slip(text, reading)
        if len(keys) > 1:
            jobs = join((job for job, _unit in keys), _(" and "))
            detail = say(
                "It is in {jobs}. Write the job before it: {job}/{unit}.",
                jobs=jobs,
                job=keys[0][0],
                unit=keys[0][1],
            )
            return Answer(Outcome.UNKNOWN, say("Which {unit}?", unit=keys[0][1]), detail)
        key = keys[0]
        if not self.jobs()[key[0]].open:
            return self._closed(*key)
        state = self.store.state(*key)
        return Found(state, None, "") if state else self._off_list(*key)

    def _by_code(self, code: str) -> Found | Answer:
        key = self.store.find_piece(code)
        if key is None and (place := self.place_of(code)):
            return self._at_place(place, code)
        if key is None and (answer := self.no_label(code)) is not None:
            return answer
        if key is None:
            return Answer(
                Outcome.UNKNOWN,
                _("No part has this code"),
                say(
                    "{code} is a sound code, but not of this shop. Find the part by unit, "
                    "size or name.",
                    code=codes.shown(code),
                ),
                code=code,
            )
        if not self.jobs()[key[0]].open:
            return self._closed(*key, code)
        state = self.store.state(*key)
        piece = state.piece(code) if state else None
        if state is not None and code in state.codes:
            return Found(state, None, code)
        return Found(state, piece, code) if state and piece else self._off_list(*key, code)

    def find_parts(self, words: str) -> list[PartHit]:
        """Return the parts of open jobs that all words fit: unit, name, size, material or code.

        A size may be one side or several, in the job's units or in mm: `603`, `600 x 300`.
        """
        wanted = [word for word in words.casefold().replace("×", " ").split() if word != "x"]
        found = []
        for state in self.store.states().values():
            for piece in state.pieces:
                if piece.needed and all(word in self._words_of(state, piece) for word in wanted):
                    found.append(PartHit(state, piece))
        return found[:MOST_HITS]

    def _words_of(self, state: UnitState, piece: PieceState) -> str:
        spec, part = state.spec, piece.piece
        sides = [side for side in (part.length, part.width, part.thickness) if side is not None]
        plain = " ".join(f"{mm(side):g}" for side in sides)
        code = f"{part.code} {codes.shown(part.code)}"
        words = (spec.job, spec.unit, spec.name, part.part, part.material, code, plain)
        return f" {' '.join(words)} {self.size_text(spec.job, part)} ".casefold()

    def place_of(self, code: str) -> str:
        """Return the place a code is on the label of, empty for none."""
        entries = self.store.shop_entries(Kind.PLACE_CODED)
        return next((str(one.body["place"]) for one in entries if one.body.get("code") == code), "")

    def _at_place(self, name: str, code: str) -> Answer:
        places = {place.name: place for place in self.floor().places}
        place = places.get(name)
        sits = [tile.unit for tile in place.slots if tile] if place else []
        detail = (
            say("There now: {names}.", names=", ".join(sits))
            if sits
            else _("Nothing is there now.")
        )
        return Answer(Outcome.ELSEWHERE, say("This is {place}", place=name), detail, code=code)

    @staticmethod
    def _closed(job: str, unit: str, code: str = "") -> Answer:
        detail = say("{unit} was closed with it.", unit=unit)
        message = say("Job {job} is closed", job=job)
        return Answer(Outcome.ELSEWHERE, message, detail, code=code, job=job, unit=unit)

    @staticmethod
    def _off_list(job: str, unit: str, code: str = "") -> Answer:
        detail = say(
            "{unit}: a revised list left it out or changed it, or what made it was "
            "struck. Take the label off.",
            unit=unit,
        )
        message = _("No longer on the list")
        return Answer(Outcome.ELSEWHERE, message, detail, code=code, job=job, unit=unit)

    def named(self, text: str) -> list[Key]:
        """Return the units with this name, given as UNIT or JOB/UNIT; closed jobs' if no other."""
        wanted = text.strip().casefold()
        open_units = list(self.store.states())
        closed = [job.code for job in self.jobs().values() if not job.open]
        all_closed = ((job, unit) for job in closed for unit in self.store.units_of(job))
        for keys in (open_units, all_closed):
            found = [
                (job, unit)
                for job, unit in keys
                if wanted in (unit.casefold(), f"{job}/{unit}".casefold())
            ]
            if found:
                return found
        return []

    def _slip(self, text: str, reading: codes.CodeReading) -> Answer:
        likely = reading.offers or self._guesses(text)
        known = [code for code in likely if self.store.find_piece(code) is not None]
        offers = tuple(Offer("code", code, codes.shown(code)) for code in known[:5])
        is_slip = reading.problem in ("slip", "gaps")
        detail = say_code_reading(reading.message)
        if offers:
            detail = join([detail, _("If it is one of these, choose it.")])
        return Answer(
            Outcome.SLIP if is_slip else Outcome.UNKNOWN,
            _("The code does not add up") if is_slip else _("Not a label of ours"),
            detail,
            code=codes.compact(text),
            offers=offers,
        )

    def _guesses(self, text: str) -> list[str]:
        """Return what a code with two unreadable letters may be."""
        compact = codes.compact(text)
        gaps = compact.count("?")
        if len(compact) != codes.LENGTH or gaps != UNREADABLE:
            return []
        found = []
        for letters in itertools.product(codes.ALPHABET, repeat=gaps):
            fill = iter(letters)
            guess = "".join(next(fill) if letter == "?" else letter for letter in compact)
            if codes.parse(guess).code is not None:
                found.append(guess)
        return found

    def size_text(self, job: str, piece: Piece) -> str:
        """Return length × width × thickness in the job's units."""
        system = self.job_system(job)
        sides = [side for side in (piece.length, piece.width, piece.thickness) if side is not None]
        inner = [show(side, system, unit_mark=system == System.INCH) for side in sides[:-1]]
        return join([*inner, show(sides[-1], system)], " × ")
