"""Make labels asked for by a tap, once each, and say what became of them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from kiosk.actions import Wanted
from kiosk.rules.words import _, say, say_n
from kiosk.screens.face import DeskFace, ShopFace
from kiosk.screens.labelwork import Made, make
from kiosk.screens.printface import Sent
from kiosk.screens.prints import Prints

LOST = _("No label was printed. Try again.")
ONCE = _("It comes out once, however often you tap.")


@dataclass(frozen=True, slots=True)
class Told:
    """What became of labels: a title and a line more; good is False where none were made.

    file is where they were written, None where they go to a printer.
    """

    title: str
    line: str = ""
    good: bool = True
    file: Path | None = None


class LabelPress:
    """Takes what is wanted to the shop's thread, and the labels to the printer or a file."""

    def __init__(
        self,
        shop: ShopFace,
        desk: DeskFace,
        prints: Prints,
        *,
        told: Callable[[Told], None],
    ) -> None:
        """Take `told`, which says what became of labels."""
        self._shop, self._desk, self._prints, self._told = shop, desk, prints, told
        self._asked: tuple[object, Wanted] | None = None  # from which screen, and what

    def make(self, wanted: Wanted) -> None:
        """Make labels and say what became of them, on the screen they were asked from."""
        desk = self._desk
        before = desk.show
        if self._asked == (before, wanted):  # a second tap while the first is still being made
            return
        self._asked = (before, wanted)

        def then(told: Told) -> None:
            desk.told(good=told.good)
            if self._asked == (before, wanted) and desk.show is before:
                self._told(told)

        self.make_for(wanted, then)

    def make_for(self, wanted: Wanted, then: Callable[[Told], None]) -> None:
        """Make labels, and go on with what became of them."""
        person, prints = self._desk.post.person, self._prints
        waiting = prints.waiting(wanted.stock or prints.stock) if prints.is_on else None
        self._desk.ask(
            lambda: make(self._shop, wanted, person=person, waiting=waiting),
            lambda made: then(self._tell(made, person)),
            lost=LOST,
        )

    def _tell(self, made: Made, person: str) -> Told:
        prints, many = self._prints, say_n("{n} label", "{n} labels", made.count)
        if made.wrong:
            return Told(_("No label was printed"), made.wrong, good=False)
        if made.file is not None:
            return Told(
                say("{labels} written as PDF", labels=many),
                say("Print it at 100 %: {file}", file=made.file),
                file=made.file,
            )
        if not prints.is_on:
            return Told(_("No label was printed"), _("The printer was taken away."), good=False)
        if not made.orders:
            why = prints.why(made.held)
            return say_sent(prints.again(made.held), many, why)
        sent = prints.submit(*made.orders, person=person)
        name = made.orders[0].title if made.count == 1 else many
        return say_sent(sent, name, prints.why([order.key for order in made.orders]))


def say_sent(sent: Sent, name: str, why: str = "") -> Told:
    """Return in words what became of labels; why says what keeps them from coming out."""
    match sent:
        case Sent.PRINTING:
            return Told(say("{labels}: printing already", labels=name), ONCE, good=False)
        case Sent.OUT:
            return Told(say("{labels}: printed just now", labels=name), ONCE, good=False)
        case Sent.WAITS:
            return Told(say("{labels}: waits", labels=name), why, good=False)
        case Sent.AGAIN:
            return Told(
                say("{labels}: tried again", labels=name),
                _("The bench says so if it is not printed."),
            )
    line = _("What is out counts as printed; the bench says what is not.")
    return Told(say("{labels}: gone to the printer", labels=name), line)
