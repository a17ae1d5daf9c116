"""Draw the screens of the shop's own matters, in every state."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from datetime import timedelta
from functools import partial
from typing import Any

from kiosk.rules.learning import Proposal
from kiosk.rules.rags import Rags
from kiosk.rules.scanning import Answer, Outcome
from kiosk.rules.words import known
from kiosk.screens.airtyped import Typed
from kiosk.screens.airview import AirView, see_air
from kiosk.screens.desk import Desk
from kiosk.screens.face import ShopFace, Signs
from kiosk.screens.figurepad import FigurePad
from kiosk.screens.productview import ProductView, see_product
from kiosk.screens.samples import SAMPLE_AIR, SAMPLE_PROPOSAL, SAMPLES
from kiosk.screens.stage import Stage

_PRODUCT = "clear"


def show_matters(stage: Stage, answers: Sequence[Answer]) -> Iterator[str]:
    """Put one state after the other on the screen, and name it.

    Args:
        stage: a started app.
        answers: of this shop's units; the first that has a clock is shown.
    """
    desk = stage.app.desk
    signs = desk.signs
    yield from _rags(stage, desk, signs)
    desk.signs = replace(signs, rags=None)
    yield from _air(stage, desk)
    yield from _products(stage, desk)
    yield from _clock(stage, desk, answers)
    desk.signs = signs


def _ask(stage: Stage, call: Callable[[ShopFace], Any]) -> Any:
    """Return what the shop answers, asked on its own thread."""
    found: list[Any] = []

    def fail(error: Exception) -> None:
        raise error

    stage.app.worker.ask(lambda: call(stage.app.shop), found.append, fail=fail)
    stage.settle()
    return found[0]


def _rags(stage: Stage, desk: Desk, signs: Signs) -> Iterator[str]:
    floor, dues = desk.floor, desk.bench.dues
    assert floor is not None
    rags = Rags(floor.at - timedelta(hours=2), known("Hardwax oil", "product"), pressing=False)
    answer = desk.answer
    desk.answer = None
    desk.bench.show_answer(None, "", ())
    out = replace(signs, rags=rags, since="13:40")
    for name, shown in (("rags", rags), ("rags-pressing", replace(rags, pressing=True))):
        out = replace(signs, rags=shown, since="13:40")
        desk.show_news(floor, dues, out)
        desk.open_bench()
        stage.settle()
        desk.show_news(floor, dues, out)
        stage.step(2)
        yield f"bench-{name}"
        desk.open_board()
        stage.step(2)
        yield f"board-{name}"
    yield from _questions_beside_rags(stage, desk, out)
    desk.answer = answer
    desk.show_news(floor, dues, replace(signs, rags=None))


def _questions_beside_rags(stage: Stage, desk: Desk, out: Signs) -> Iterator[str]:
    floor = desk.floor
    assert floor is not None
    early = next(one for one in SAMPLES if one.outcome == Outcome.TOO_EARLY)
    desk.take_answer(early)
    stage.settle()
    desk.show_news(floor, desk.bench.dues, out)
    stage.step(2)
    yield "bench-rags-too-early"
    desk.answer = None
    desk.bench.show_answer(None, "", ())
    desk.signs = out
    desk.shopdesk.open()
    stage.step(2)
    yield "shop"
    desk.signs = out
    desk.shopdesk.open_rags()
    stage.step(2)
    yield "rags"


def _air(stage: Stage, desk: Desk) -> Iterator[str]:
    air = desk.shopdesk.air
    view: AirView = _ask(stage, see_air)
    air.show(view if view.figures else SAMPLE_AIR)
    stage.settle()
    yield "air"
    air.show(AirView())
    stage.step(2)
    yield "air-none"
    air.ask_reading()
    _press(desk, "20.5")
    stage.step(2)
    yield "air-pad"
    air.ask_reading()
    _press(desk, "70")
    desk.show.use.dispatch("on_release")
    stage.step(2)
    yield "air-pad-wrong"
    air.suppose(Typed("22", "45", None))
    stage.settle()
    yield "what-if"


def _press(desk: Desk, figure: str) -> None:
    pad = desk.show
    assert isinstance(pad, FigurePad)
    for letter in figure:
        pad.keys[letter].dispatch("on_release")


def _products(stage: Stage, desk: Desk) -> Iterator[str]:
    products = desk.shopdesk.products
    products.open_first_page()
    stage.settle()
    yield "products"
    view: ProductView | None = _ask(stage, lambda shop: see_product(shop, _PRODUCT))
    if view is None:  # the shop has a products file of its own
        return
    products.show(replace(view, proposals=()), 0)
    stage.step(2)
    yield "product"
    products.show(replace(view, proposals=_proposals(view), can_accept=True), 0)
    stage.step(2)
    yield "product-findings"
    products.ask_figure(view, 0, stage="recoat")
    stage.step(2)
    yield "product-figure"
    products.ask_confirm(view, 0)
    stage.step(2)
    yield "product-sure"


def _proposals(view: ProductView) -> tuple[Proposal, ...]:
    found = tuple(one for one in view.proposals if one.factor is not None)
    return found or (SAMPLE_PROPOSAL,)


def _drawn(shop: ShopFace, text: str) -> object:
    return shop.drawn_clock(text)


def _clock(stage: Stage, desk: Desk, answers: Sequence[Answer]) -> Iterator[str]:
    for answer in answers:
        text = f"{answer.job}/{answer.unit}"
        if answer.unit and _ask(stage, partial(_drawn, text=text)):
            desk.shopdesk.open()
            desk.shopdesk.open_clock(answer)
            stage.settle()
            yield "clock"
            desk.show.picture.dispatch("on_release")
            stage.settle()
            yield "clock-picture"
            return
