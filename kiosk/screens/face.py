"""What the screens ask of a shop, and what every screen is given."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime, tzinfo
from typing import TYPE_CHECKING, Any, Protocol

from kiosk.rules.problems import Problem
from kiosk.rules.viewlines import StationView
from kiosk.rules.words import known, shaped
from kiosk.screens.airface import AirFace, ProductFace
from kiosk.screens.askface import AskFace
from kiosk.screens.benchface import BenchFace
from kiosk.screens.exchangeface import ExchangeFace
from kiosk.screens.jobface import JobFace
from kiosk.screens.labelface import LabelFace
from kiosk.screens.pinface import PinFace
from kiosk.screens.settingsface import UpkeepFace
from kiosk.theme import Sizes

if TYPE_CHECKING:
    from kiosk.config import Settings
    from kiosk.rules.floor import Due, Floor
    from kiosk.rules.permission import Act, Permit, Supervisor
    from kiosk.rules.rags import Rags
    from kiosk.rules.scanning import Answer

Problems = tuple[Problem, ...]
_EMPTY = StationView()


class ShopFace(
    LabelFace,
    BenchFace,
    JobFace,
    UpkeepFace,
    AirFace,
    ProductFace,
    PinFace,
    AskFace,
    ExchangeFace,
    Protocol,
):
    """The part of `kiosk.actions.Shop` that screens use; called on the shop's thread only."""

    @property
    def settings(self) -> Settings:
        """Return the settings of this kiosk."""
        ...

    def clock_problem(self, now: datetime) -> Problem | None:
        """Return what is odd about this computer's clock, or None."""
        ...

    def scan(
        self,
        text: str,
        *,
        station: str,
        person: str = "",
        step: str | None = None,
        reason: str | None = None,
        permit: Permit | None = None,
    ) -> Answer:
        """Record what a scan means."""
        ...

    def strike_last(self, *, person: str = "") -> Answer:
        """Void the latest entry of this kiosk."""
        ...

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
        """Record a problem with a part or unit; draw: write a recut's label to a file."""
        ...

    def lift(self, text: str, *, person: str = "") -> Answer:
        """Lift a unit's holds."""
        ...

    def floor(self, now: datetime | None = None) -> Floor:
        """Return the board."""
        ...

    def due(self, station: str, now: datetime | None = None) -> tuple[Due, ...]:
        """Return what a station has to do."""
        ...

    def now(self) -> datetime:
        """Return the time."""
        ...

    def news(self) -> bool:
        """Take in what others wrote; tell whether there was anything."""
        ...

    @property
    def zone(self) -> tzinfo:
        """Return the zone times are said in."""
        ...

    @property
    def fahrenheit(self) -> bool:
        """Tell whether temperatures are shown in °F."""
        ...

    def supposing(
        self, temperature_c: float, humidity: float, now: datetime | None = None
    ) -> tuple[ShopFace, str]:
        """Return the shop as it would go on in another air, and that air in words."""
        ...


@dataclass(frozen=True, slots=True)
class Trim:
    """How a screen is laid out on this kiosk."""

    sizes: Sizes
    left_handed: bool = False


@dataclass(frozen=True, slots=True)
class Choice:
    """One large button: its words, what it does, its mark, and the key of the card that taps it."""

    words: str
    act: Callable[[], object]
    shape: str = ""
    card: str = ""


# how a kiosk stands to the others: a mark's shape, words, and one word where there is no room
Linked = tuple[str, str, str]


@dataclass(frozen=True, slots=True)
class Status:
    """What stands in the header of a bench; link is how it stands to the other kiosks."""

    station: str
    person: str = ""
    clock: str = ""
    mark: str = ""
    stale: str = ""
    link: Linked = ("", "", "")


@dataclass(frozen=True, slots=True)
class Post:
    """Where this kiosk stands: its station, who works there, and what it shows when left alone.

    greets tells that a shop nobody has set up is asked its first questions, is_sample that this is
    the sample shop, opened to look around.
    """

    station: str
    person: str = ""
    home: str = "bench"
    reasons: tuple[str, ...] = ()
    mark: str = ""
    greets: bool = False
    is_sample: bool = False


@dataclass(frozen=True, slots=True)
class Signs:
    """What is told besides the work: rags out, products with typical figures, air never read.

    since says in words from when on the rags are out. view is the panel of the station. has_job
    tells whether a part list was ever taken in. clock says what is odd about the computer's clock.
    questions is how many things are asked.
    """

    rags: Rags | None = None
    since: str = ""
    unconfirmed: tuple[str, ...] = ()
    air_read: bool = True
    view: StationView = _EMPTY
    has_job: bool = True
    clock: str = ""
    questions: int = 0


def status_of(
    post: Post, *, clock: str = "", stale: str = "", link: Linked = ("", "", "")
) -> Status:
    """Return what stands in the header of a bench at a post."""
    station = shaped(known(post.station, "station"), str.upper)
    return Status(station, post.person, clock, post.mark, stale, link)


class DeskFace(Protocol):
    """What a flow of screens is given of the desk."""

    trim: Trim
    post: Post
    signs: Signs
    answer: Answer | None
    floor: Floor | None
    show: Any  # the widget on the screen now
    restart: Callable[[], object] | None  # opens the kiosk again, where that can be done

    def fit(self, trim: Trim) -> None:
        """Lay everything out anew, and go home."""
        ...

    def put(self, screen: Any) -> None:
        """Show a screen in place of the one before."""
        ...

    def ask(self, call: Callable[[], Any], then: Callable[[Any], None], *, lost: str) -> None:
        """Ask the shop on its thread; where it fails, show what was lost."""
        ...

    def show_who_works_here(self) -> None:
        """Show who works here now, by badge or by the settings."""
        ...

    def ask_here(self, call: Callable[[], Any], then: Callable[[Any], None], *, lost: str) -> None:
        """Ask the shop, and go on only where the screen is still the same."""
        ...

    def ask_aside(self, call: Callable[[], Any], then: Callable[[Any], None], *, lost: str) -> None:
        """Do what may hang and needs no shop on a thread of its own."""
        ...

    def go_home(self) -> None:
        """Show what this kiosk shows when left alone."""
        ...

    def open_bench(self) -> None:
        """Show the bench."""
        ...

    def guard(
        self,
        act: Act,
        go: Callable[[Permit | None], object],
        *,
        first: str = "",
        only: Callable[[Sequence[Supervisor]], bool] = ...,
    ) -> None:
        """Go on at once where nobody is to be asked, else once a supervisor's PIN was right."""
        ...

    def refit(self) -> None:
        """Lay everything out anew by the settings as they are now; a question stays on."""
        ...

    def set_station(self, station: str) -> None:
        """Work at another station from now on."""
        ...

    def open_pad(self) -> None:
        """Show the number pad for codes."""
        ...

    def strike(self) -> None:
        """Void the last entry of this kiosk."""
        ...

    def ask_spoiled(self, code: str) -> None:
        """Ask whether a part is spoiled."""
        ...

    def asked_about(self) -> str:
        """Return the code of the part a problem is asked about now, empty where none is."""
        ...

    def take_answer(self, answer: Answer) -> None:
        """Show and sound what the shop answered."""
        ...

    def told(self, *, good: bool) -> None:
        """Sound whether something was recorded, and look for news."""
        ...
