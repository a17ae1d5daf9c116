"""Show a station what its people need: its panel, what a code means, which parts are not here."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime

from kiosk.actions.lookup import Lookup
from kiosk.rules.floor import Floor
from kiosk.rules.lengths import System
from kiosk.rules.scanning import Answer, Outcome
from kiosk.rules.scene import Key, Scene, lacking_at
from kiosk.rules.stationview import see_station
from kiosk.rules.viewlines import StationView

NOBODY: Key = ("", "")


@dataclass(frozen=True, slots=True)
class PartAt:
    """A part of a unit in the words of a list: its code, its name, its size."""

    code: str
    part: str
    size: str


class BenchView(Lookup):
    """What a bench shows besides its due list."""

    def station_view(
        self,
        station: str,
        *,
        about: Key = NOBODY,
        floor: Floor | None = None,
        now: datetime | None = None,
    ) -> StationView:
        """Return a station's panel.

        Args:
            station: cut, assemble, finish or install.
            about: job and unit of the last scan.
            floor: the board of this moment, where it is known already.
            now: the moment asked about.
        """
        moment = now or self.now()
        board = floor or self.floor(moment)
        scene = Scene(
            self.store.states(),
            self.standings(moment),
            self.setup,
            moment,
            racks=self.racks(),
            places=board.places,
            about=about,
            inch=tuple(one for one in self.jobs() if self.job_system(one) is System.INCH),
            order=self.hang_orders() if station == "install" else {},
        )
        return see_station(station, scene)

    def about(self, text: str) -> Answer:
        """Return the unit and part a text means, recording nothing; or why it means none.

        Where a unit is found the outcome is recorded and no entry is named.
        """
        found = self.find_unit(text)
        if isinstance(found, Answer):
            return found
        spec, piece = found.state.spec, found.piece
        answer = Answer(Outcome.RECORDED, "", job=spec.job, unit=spec.unit, unit_name=spec.name)
        code = found.code or f"{spec.job}/{spec.unit}"
        return replace(answer, code=code, part=piece.piece.part if piece else "")

    def parts_at(self, text: str) -> tuple[PartAt, ...]:
        """Return the parts of the unit a text means, those not gathered first; none if unknown."""
        found = self.find_unit(text)
        if isinstance(found, Answer):
            return ()
        state = found.state
        away = {one.piece.code for one in lacking_at(state, self.setup, "assemble")}
        pieces = sorted(
            (one.piece for one in state.pieces if one.needed), key=lambda one: one.code not in away
        )
        job = state.spec.job
        return tuple(PartAt(one.code, one.part, self.size_text(job, one)) for one in pieces)
