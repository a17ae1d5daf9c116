"""Find the unit and part that a scanned or typed text means."""

from __future__ import annotations

import itertools
from dataclasses import dataclass

from kiosk.actions.core import Core
from kiosk.rules.fold import PieceState, UnitState
from kiosk.rules.lengths import System, show
from kiosk.rules.parts import Piece
from kiosk.rules.scanning import Answer, Offer, Outcome
from kiosk.store import Key
from labels import codes

UNREADABLE = 2  # letters typed as ?; with more it is quicker to find the part by name


@dataclass(frozen=True, slots=True)
class Found:
    """The unit a code or a name led to, with the part where a part was scanned."""

    state: UnitState
    piece: PieceState | None
    code: str


class Lookup(Core):
    """Codes and names of a shop."""

    def find_unit(self, text: str) -> Found | Answer:
        """Return the unit and part a text means, or the answer that it means none."""
        self.store.refresh()  # another process may have scanned since
        reading = codes.parse(text)
        if reading.code is not None:
            return self._by_code(reading.code)
        keys = self.named(text)
        if not keys:
            return self._slip(text, reading)
        if len(keys) > 1:
            jobs = " and ".join(job for job, _unit in keys)
            detail = f"It is in {jobs}. Write the job before it: {keys[0][0]}/{keys[0][1]}."
            return Answer(Outcome.UNKNOWN, f"Which {keys[0][1]}?", detail)
        key = keys[0]
        if not self.jobs()[key[0]].open:
            return self._closed(*key)
        state = self.store.state(*key)
        return Found(state, None, "") if state else self._off_list(*key)

    def _by_code(self, code: str) -> Found | Answer:
        key = self.store.find_piece(code)
        if key is None:
            return Answer(
                Outcome.UNKNOWN,
                "No part has this code",
                f"{codes.shown(code)} is a sound code, but not of this shop. "
                "Find the part by unit, size or name.",
                code=code,
            )
        if not self.jobs()[key[0]].open:
            return self._closed(*key, code)
        state = self.store.state(*key)
        piece = state.piece(code) if state else None
        return Found(state, piece, code) if state and piece else self._off_list(*key, code)

    @staticmethod
    def _closed(job: str, unit: str, code: str = "") -> Answer:
        detail = f"{unit} was closed with it."
        message = f"Job {job} is closed"
        return Answer(Outcome.ELSEWHERE, message, detail, code=code, job=job, unit=unit)

    @staticmethod
    def _off_list(job: str, unit: str, code: str = "") -> Answer:
        detail = (
            f"{unit}: a revised list left it out or changed it, or what made it was struck. "
            "Take the label off."
        )
        message = "No longer on the list"
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
        detail = reading.message
        if offers:
            detail = f"{detail} If it is one of these, choose it."
        return Answer(
            Outcome.SLIP if is_slip else Outcome.UNKNOWN,
            "The code does not add up" if is_slip else "Not a label of ours",
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
        system = System.INCH if self.jobs()[job].units == "inch" else System.MM
        sides = [side for side in (piece.length, piece.width, piece.thickness) if side is not None]
        inner = [show(side, system, unit_mark=system == System.INCH) for side in sides[:-1]]
        return " × ".join([*inner, show(sides[-1], system)])
