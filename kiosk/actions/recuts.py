"""Draw the label of a recut at once where no printer prints it."""

from __future__ import annotations

from dataclasses import replace

from kiosk.actions.labelfiles import FOLDER, Wanted, say_lost
from kiosk.actions.printing import Printing
from kiosk.rules.scanning import Answer, Outcome
from kiosk.rules.words import join, say
from kiosk.store import StoreError
from labels import LabelError
from labels.codes import shown


class Recuts(Printing):
    """Spoiled parts of a shop, and the labels of what is cut in their place."""

    def problem(
        self,
        code: str,
        what: str,
        *,
        person: str = "",
        note: str = "",
        draw: bool = True,
        stock: str = "",
    ) -> Answer:
        """Record a problem; a recut's label is drawn at once, into a folder beside the file.

        A label that cannot be drawn or logged takes nothing back: the answer says so, and shows the
        code. draw False leaves the label to a printer; stock is that of the label, empty: the
        settings'.
        """
        answer = super().problem(code, what, person=person, note=note)
        if not draw or what != "spoiled" or answer.outcome != Outcome.RECORDED:
            return answer
        return replace(
            answer, detail=join([answer.detail, self._draw_recut(answer, stock, person)])
        )

    def _draw_recut(self, answer: Answer, stock: str, person: str) -> str:
        """Write the label of a recut; return in words where it is, or why it is not there."""
        folder = self.store.folder / FOLDER
        out = folder / f"recut-{shown(answer.code)}.pdf"
        wanted = Wanted(answer.job, only=[answer.code], stock=stock)
        try:
            folder.mkdir(exist_ok=True)
            run = self.labels(wanted, out, person=person)
        except StoreError as error:  # the label is there, and that it was printed is not logged
            return say("Its label: {out}. That is not in the log: {error}", out=out, error=error)
        except (LabelError, OSError) as error:
            lost: str = say_lost(error)
        else:
            if not run.problems:
                return say("Its label: {out}.", out=out)
            lost = join((run.problems[0].message, run.problems[0].remedy))
        return say(
            "Its label was not drawn: {error} Write the code on the part by hand.", error=lost
        )
