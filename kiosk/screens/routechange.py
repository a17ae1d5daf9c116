"""Change how a kind of unit is finished, or take routes from a file; shown before it is kept."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path

from kiosk.folders import Spot
from kiosk.rules.permission import Act, Permit
from kiosk.rules.problems import Problem
from kiosk.rules.route import parse_routes
from kiosk.rules.routeedit import MOST_COATS, Finishing, as_shipped, finish_so, finishing_of
from kiosk.rules.words import Phrase, _, join, say, say_n
from kiosk.screens.face import Choice, DeskFace, Problems, ShopFace
from kiosk.screens.filedesk import ROUTES, FileDesk
from kiosk.screens.flow import AskScreen, say_problems
from kiosk.screens.routeview import RouteView, see_route
from kiosk.screens.rows import Listed, ListScreen

LOST = _("The route was not changed. Try again.")
COUNTS = _("It counts from now on for every unit of this kind, also for those under way.")
LARGEST = 1_000_000  # bytes; a routes file has a few thousand: more is another file. Choice


@dataclass(frozen=True, slots=True)
class Drafted:
    """Routes not kept yet: their text, the routes in words, and what is wrong with them."""

    text: str
    views: tuple[RouteView, ...]
    problems: Problems = ()


class RouteChange:
    """The screens that change routes."""

    def __init__(self, shop: ShopFace, desk: DeskFace, *, back: Callable[[], object]) -> None:
        """Take `back`, which leads to the list of routes."""
        self._shop, self._desk, self._back = shop, desk, back
        self.files = FileDesk(desk, pick=self._pick, zone=lambda: shop.zone, wanted=ROUTES)

    # -- one kind ----------------------------------------------------------------------------------

    def open(self, view: RouteView) -> None:
        """Ask how a kind is to be finished, from how it is now."""

        def call() -> Finishing:
            return finishing_of(
                self._shop.routes_text(), view.kind, shipped=self._shop.shipped_routes()
            )

        self._desk.ask_here(call, partial(self.ask, view), lost=LOST)

    def ask(self, view: RouteView, now: Finishing) -> None:
        """Ask for coats, filler and scuffing; nothing is kept before the route was shown."""
        desk = self._desk
        choices = []

        def offer(words: str, changed: Finishing) -> None:
            choices.append(Choice(words, partial(self.ask, view, changed)))

        if 0 < now.coats < MOST_COATS:
            more = replace(now, coats=now.coats + 1, scuff=now.scuff is not False)
            offer(_("One coat more"), more)
        if now.coats > 1:
            scuff = now.scuff if now.coats > 2 else None
            offer(_("One coat fewer"), replace(now, coats=now.coats - 1, scuff=scuff))
        if now.filler is not None:
            words = _("Without filler") if now.filler else _("With filler")
            offer(words, replace(now, filler=not now.filler))
        if now.scuff is not None:
            words = _("Without scuffing") if now.scuff else _("With scuffing")
            offer(words, replace(now, scuff=not now.scuff))
        choices.append(Choice(_("As shipped"), partial(self._draft_shipped, view)))
        choices.append(Choice(_("Show this route"), partial(self._draft, view, now), "arrow"))
        choices.append(Choice(_("Back"), self._back))
        title = say("How is it finished: {kind}", kind=view.title)
        desk.put(AskScreen(desk.trim, title, choices, line=say_finishing(now), columns=3))

    def _draft(self, view: RouteView, wanted: Finishing) -> None:
        def change(text: str, shipped: str) -> str:
            return finish_so(text, view.kind, wanted, shipped=shipped)

        self._make(change, view.kind, partial(self.ask, view, wanted))

    def _draft_shipped(self, view: RouteView) -> None:
        def change(text: str, shipped: str) -> str:
            return as_shipped(text, view.kind, shipped=shipped)

        self._make(change, view.kind, partial(self.open, view))

    def _make(
        self, change: Callable[[str, str], str], kind: str, back: Callable[[], object]
    ) -> None:
        shop = self._shop

        def call() -> Drafted:
            text = change(shop.routes_text(), shop.shipped_routes())
            return drafted(shop, text, kind)

        self._desk.ask_here(call, partial(self.show, back=back), lost=LOST)

    # -- a file ------------------------------------------------------------------------------------

    def open_files(self) -> None:
        """Ask for a routes file on a stick or in a folder."""
        self.files.open(self._back)

    def _pick(self, spot: Spot) -> None:
        def call() -> Drafted:
            text, problems = read_file(spot.path)
            return Drafted(text, (), problems) if problems else drafted(self._shop, text)

        self._desk.ask_here(call, partial(self.show, back=self.open_files), lost=LOST)

    # -- shown, then kept --------------------------------------------------------------------------

    def show(self, draft: Drafted, page: int = 0, *, back: Callable[[], object]) -> None:
        """Show the exact route, or each route of a file, before it is kept; or what is wrong."""
        desk = self._desk
        if draft.problems:
            self._refuse(draft.problems, back)
            return
        keep = Choice(_("Keep it"), partial(self._keep, draft.text), "tick")
        title, line = _("Not kept yet: these routes"), ""
        rows = tuple(view.row for view in draft.views)
        if len(draft.views) == 1:
            (view,) = draft.views
            title, rows = say("Not kept yet: {kind}", kind=view.title), view.steps
            line = view.below
        turn = partial(self.show, draft, back=back)
        listed = Listed(title, rows, line or COUNTS)
        desk.put(ListScreen(desk.trim, listed, turn=turn, back=back, page=page, extra=(keep,)))

    def _refuse(self, problems: Problems, back: Callable[[], object]) -> None:
        desk = self._desk
        first, more = problems[:2], len(problems) - 2
        line = say_problems(first)
        if more > 0:
            line = join((line, say_n("And {n} more.", "And {n} more.", more)))
        choices = (Choice(_("To the bench"), desk.open_bench), Choice(_("Back"), back))
        desk.put(
            AskScreen(desk.trim, _("Nothing was changed"), choices, line=line, shape="question")
        )

    def _keep(self, text: str) -> None:
        self._desk.guard(Act.ROUTES, partial(self._set, text))

    def _set(self, text: str, permit: Permit | None) -> None:
        shop, person = self._shop, self._desk.post.person

        def call() -> tuple[str, Problems]:
            before = shop.routes_text()
            return before, shop.set_routes(text, person=person, permit=permit)

        def then(found: tuple[str, Problems]) -> None:
            before, problems = found
            self._desk.told(good=not problems)
            if problems:
                self._refuse(problems, self._back)
            else:
                self.show_kept(before)

        self._desk.ask_here(call, then, lost=LOST)

    def show_kept(self, before: str) -> None:
        """Say that the routes are kept, and offer those before."""
        desk = self._desk
        choices = (
            Choice(_("As before"), partial(self._keep, before)),
            Choice(_("More routes"), self._back),
            Choice(_("To the bench"), desk.open_bench),
        )
        title = _("The routes are kept")
        desk.put(AskScreen(desk.trim, title, choices, line=COUNTS, shape="tick"))


def drafted(shop: ShopFace, text: str, kind: str = "") -> Drafted:
    """Return routes in words before they are kept, of one kind or all; on the shop's thread."""
    routes, problems = parse_routes(text)
    if problems:
        return Drafted(text, (), problems)
    uses = shop.uses()
    wanted = [route for route in routes.values() if kind in ("", route.kind)]
    return Drafted(text, tuple(see_route(route, uses) for route in wanted))


def read_file(path: Path) -> tuple[str, Problems]:
    """Return the text of a routes file, or why it cannot be read."""
    way = _("Choose another file.")
    try:
        if path.stat().st_size > LARGEST:
            return "", (Problem(say("{file} is no routes file.", file=path.name), way),)
        return path.read_text("utf-8-sig"), ()
    except UnicodeDecodeError:
        words = say("{file} is not written in UTF-8.", file=path.name)
        return "", (Problem(words, _("Save it as UTF-8 and choose it again.")),)
    except OSError as error:
        reason = error.strerror or str(error)
        words = say("{file} cannot be read: {reason}.", file=path.name, reason=reason)
        return "", (Problem(words, _("Is the stick still in? Choose another file.")),)


def say_finishing(now: Finishing) -> Phrase:
    """Return in words how a kind is finished."""
    parts: list[str] = [_("no coat in this route")]
    if now.coats:
        parts = [say_n("{n} coat", "{n} coats", now.coats)]
    if now.filler is not None:
        parts.append(_("with filler") if now.filler else _("without filler"))
    if now.scuff is not None:
        parts.append(_("scuffed between coats") if now.scuff else _("not scuffed between coats"))
    return join(parts, ", ")
