"""Draw the screens of labels, prints and the camera, in every state."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from PIL import Image

from kiosk.rules.rags import Rags
from kiosk.rules.words import _, join, known, say, say_n
from kiosk.screens.bench import BenchScreen
from kiosk.screens.desk import Desk
from kiosk.screens.labeldesk import LabelDesk
from kiosk.screens.labelpress import ONCE, Told
from kiosk.screens.partview import PartsView, done
from kiosk.screens.samples import SAMPLE_PARTS, SAMPLE_TROUBLES, SAMPLE_UNKNOWN, SHUT
from kiosk.screens.stage import Stage
from kiosk.screens.troubles import say_troubles
from kiosk.screens.troublescreen import TroubleActs, TroubleScreen
from kiosk.theme import INK, WHITE
from kiosk.widgets.live import LiveView
from labels.codes import shown

TYPED = ("G05 600", "ZZ")
_FILE = Path("/home/glaze/shop/labels/GLAZE-parts-2026-03-11-1540.pdf")
_VIEW = PartsView(SAMPLE_PARTS)


def show_labels(stage: Stage) -> Iterator[str]:
    """Put one state after the other on the screen, and name it."""
    desk = stage.app.desk
    station = desk.post.station
    desk.post = replace(desk.post, station="cut")
    yield from _labels(stage, desk)
    desk.post = replace(desk.post, station=station)
    yield from _troubles(stage, desk)
    yield from _camera(stage, desk)


def _labels(stage: Stage, desk: Desk) -> Iterator[str]:
    labels, many = desk.shopdesk.labels, say_n("{n} label", "{n} labels", 12)
    desk.shopdesk.open()
    labels.open()
    stage.settle()
    yield "labels"
    labels.find(TYPED[0])
    stage.step(2)
    yield "labels-find"
    labels.find(TYPED[1], say("No part of {job} fits. Try fewer words.", job="GLAZE"))
    stage.step(2)
    yield "labels-find-none"
    labels.show_found(_VIEW, "G05")
    stage.step(2)
    yield "labels-found"
    labels.ask_again(SAMPLE_PARTS[0], back=labels.open)
    stage.step(2)
    yield "labels-again"
    labels.show_told(
        Told(
            say("{labels}: gone to the printer", labels=many),
            _("What is out counts as printed; the bench says what is not."),
        )
    )
    stage.step(2)
    yield "labels-sent"
    labels.show_told(
        Told(
            say("{labels} written as PDF", labels=many),
            say("Print it at 100 %: {file}", file=_FILE),
        )
    )
    stage.step(2)
    yield "labels-written"
    yield from _not_printed(stage, labels)
    first = SAMPLE_PARTS[0]
    cut = PartsView((done(first), *SAMPLE_PARTS[1:]))
    gone = say("{labels}: gone to the printer", labels=shown(first.code))
    said = join((say("Cut: {part}", part="G05 Panel face"), gone), ". ")
    labels.cuts.show(cut, "GLAZE", said=said)
    stage.step(2)
    yield "labels-cut"
    labels.cuts.show(cut, "GLAZE", said=say_troubles(SAMPLE_TROUBLES))
    stage.step(2)
    yield "labels-cut-not-printed"


def _not_printed(stage: Stage, labels: LabelDesk) -> Iterator[str]:
    one, many = (say_n("{n} label", "{n} labels", n) for n in (1, 12))
    already = say("{labels}: printing already", labels=one)
    labels.show_told(Told(already, ONCE, good=False))
    stage.step(2)
    yield "labels-already"
    waits = say("{labels}: waits", labels=many)
    labels.show_told(Told(waits, SAMPLE_TROUBLES[0].words, good=False))
    stage.step(2)
    yield "labels-waits"


def _troubles(stage: Stage, desk: Desk) -> Iterator[str]:
    names = ("stopped", "failed", "many", "unknown")
    for trouble, name in zip((*SAMPLE_TROUBLES, SAMPLE_UNKNOWN), names, strict=True):
        more = desk.open_bench if name in ("failed", "unknown") else None
        acts = TroubleActs(desk.open_bench, desk.open_bench, more, desk.open_bench)
        said = say("Tried again at {time}.", time="15:38") if name == "unknown" else ""
        desk.put(TroubleScreen(desk.trim, trouble, acts, count=3, said=said))
        stage.step(2)
        yield f"print-{name}"
    bench, signs = desk.bench, desk.signs
    desk.open_bench()
    bench.show_troubles(SAMPLE_TROUBLES)
    stage.step(2)
    yield "bench-not-printed"
    floor = desk.floor
    assert floor is not None
    for name, pressing in (("", False), ("-pressing", True)):
        rags = Rags(floor.at, known("Hardwax oil", "product"), pressing=pressing)
        bench.show_signs(replace(signs, rags=rags, since="13:40"))
        stage.step(2)
        yield f"bench-not-printed-rags{name}"
    bench.show_signs(signs)
    bench.show_troubles(())


def _camera(stage: Stage, desk: Desk) -> Iterator[str]:
    """Show a bench of its own, so that a kiosk without a camera is drawn with one too."""
    bench = BenchScreen(desk.trim, desk.status(), desk.acts(), has_camera=True)
    assert bench.live is not None
    bench.show_due(desk.bench.dues)
    desk.put(bench)
    stage.step(2)
    _show(bench.live, sample_sight())
    stage.step(2)
    yield "bench-camera"
    bench.live.say(SHUT)
    stage.step(2)
    yield "bench-camera-missing"
    bench.show_troubles(SAMPLE_TROUBLES)
    stage.step(2)
    yield "bench-camera-not-printed"


def _show(live: LiveView, image: Image.Image) -> None:
    live.show(image.size, image.convert("RGB").tobytes())


def sample_sight() -> Image.Image:
    """Return what a camera might see: a label on a board, its code as squares."""
    image = Image.new("RGB", (320, 180), "#B08D57")
    label = Image.new("RGB", (150, 76), WHITE)
    for at in range(12 * 12):
        across, down = at % 12, at // 12
        if (across * 7 + down * 5 + across * down) % 3 == 0:
            label.paste(INK, (8 + across * 5, 8 + down * 5, 13 + across * 5, 13 + down * 5))
    label.paste(INK, (80, 16, 138, 30))
    label.paste(INK, (80, 40, 120, 46))
    image.paste(label, (88, 50))
    return image
