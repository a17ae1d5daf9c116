"""A printer of paper: takes what it is told to take, and stands as it is told to stand."""

from __future__ import annotations

from kiosk.actions import Order, Ordered, Wanted
from kiosk.actions.printing import Chosen
from kiosk.clock import SystemClock
from kiosk.printdesk import PrintDesk
from kiosk.screens.gear import Gear
from labels.artwork import PlaceText
from labels.printing import PDF, PrintRefused, PrintState, Sheet, Stage, Ticket

EMPTY = PrintState(
    Stage.STOPPED,
    "The roll is empty.",
    "Put a new one in; the label prints by itself then.",
    "media-empty",
)
WRONG_SIZE = PrintState(Stage.FAILED, "The printer has no labels.", "Put that roll in.", "size")
SHEET = Sheet(b"%PDF", PDF, 50, 25, 203, "label")
OUT = PrintState(Stage.DONE, "printed")
CANCELLED = PrintState(Stage.CANCELLED, "cancelled", "", "cancelled")


class Paper:
    """Remembers every sheet handed over; `now` is how each job stands, `states` how one does.

    known are jobs of before, which it still knows.
    """

    where = "Labels"

    def __init__(self) -> None:
        self.jobs: list[str] = []
        self.cancelling = CANCELLED
        self.now = PrintState(Stage.PRINTING, "printing")
        self.states: dict[str, PrintState] = {}
        self.known: set[str] = set()
        self.refusing: PrintState | None = None

    def check(self) -> PrintState:
        return OUT

    def dots(self) -> tuple[int, ...]:
        return (203,)

    def submit(self, sheet, *, key: str) -> Ticket:
        if self.refusing is not None:
            raise PrintRefused(self.refusing)
        if key not in self.known:
            self.jobs.append(key)
        return Ticket(key, len(self.jobs), self.where)

    def find(self, key: str) -> Ticket | None:
        return None

    def state(self, ticket: Ticket) -> PrintState:
        return self.states.get(ticket.key, self.now)

    def cancel(self, ticket: Ticket) -> PrintState:
        return self.cancelling

    def retry(self, ticket: Ticket, sheet) -> Ticket:
        return self.submit(sheet, key=ticket.key)


class HandDesk(PrintDesk):
    """A print desk without a thread: it goes on when a test says `step`."""

    def start(self) -> None:
        self.is_started = True

    def stop(self) -> None:
        self.is_started = False


class Press:
    """The printer of a kiosk under test: `gear` to start with, `step` to go on."""

    def __init__(self) -> None:
        self.paper, self.desks = Paper(), []
        self.gear = Gear(make_prints=self._make)

    def _make(self, printer, out, tell) -> HandDesk:
        self.desks.append(HandDesk(self.paper, clock=SystemClock(), out=out, tell=tell))
        return self.desks[-1]

    def step(self, kiosk) -> None:
        """Let the printer's side go on until it rests, and show it."""
        for _ in range(2):
            self.desks[-1].step()
            kiosk.settle()


def order_of(*codes, stock="50x25", unit="G05"):
    rows = tuple(Chosen(PlaceText(code, ""), "GLAZE" if unit else "", unit) for code in codes)
    wanted = Wanted("GLAZE" if unit else "", only=list(codes), stock=stock)
    return Order(f"{codes[0]}-0-{stock}", SHEET, rows, stock, wanted)


class Ordering:
    """Draws an order of the codes that are wanted, as a shop does; remembers what was asked."""

    def __init__(self, shop):
        self.asked = []
        shop.orders = self.orders
        shop.order_at_once = self.order_at_once

    def orders(self, wanted, *, person="", leave=()):
        codes = list(wanted.only) or ["K7F3Q97", "K7F4AC3"]
        held = tuple(code for code in codes if code in leave)
        left = [code for code in codes if code not in leave]
        self.asked.append(wanted)
        stock = wanted.stock or "50x25"
        return Ordered((order_of(*left, stock=stock),) if left else (), held)

    def order_at_once(self, answer, *, recut=False, stock=""):
        self.asked.append((answer.code, recut, stock))
        return order_of(answer.code, stock=stock or "50x25"), ()
