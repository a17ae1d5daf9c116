"""Draw every state at one size in a process of its own, and print as JSON what is wrong.

A window off screen is opened once and does not grow: one size, one process.
"""

import json
import sys
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))

from driver import BENCH, LARGE, Driver, find_misfits, open_window
from fake_matters import days_of_air, findings_of, rags_of
from fake_shop import NOW, REASONS, FakeShop, recorded

SCREENS = {(1280, 800): (10.1, 0.6), (1920, 1080): (43.0, 4.0)}  # inches, metres

SAMPLE = recorded("K7F3Q97")
LONG = "145 % is no relative humidity. Write one above 0 and up to 100 %. Is the sensor wet?"


def draw(folder: Path, size: tuple[int, int]) -> dict[str, list[str]]:
    """Return the misfits of each state by name; write its picture."""
    open_window(size)
    from kiosk.rules.air import Air
    from kiosk.screens.gallery import show_each
    from kiosk.screens.samples import SAMPLES
    from kiosk.screens.stage import save_frame

    diagonal, distance = SCREENS[size]
    shop = FakeShop(screen_diagonal_in=diagonal, viewing_distance_m=distance)
    shop.read, shop.found = Air(days_of_air(NOW)), findings_of(NOW)
    driver = Driver(shop, {"station": "finish", "person": "Mara", "reasons": REASONS})
    touch, found = driver.desk.trim.sizes.touch, {}

    def keep(name: str) -> None:
        # a wall shows boards; of the rest what lies wrong is found without a picture
        if size == BENCH or name.startswith(LARGE):
            save_frame(folder / f"{name}-{size[0]}x{size[1]}.png")

    for name in show_each(driver.stage):
        keep(name)
        found[name] = find_misfits(driver, touch=touch)
    wordy = replace(
        SAMPLES[2],
        message="Before that: scuff before coat 2 and take the tape off",
        detail="Window closed Thu 14:50, the coat is on since Wed 08:20; scuff, then wipe it dry.",
        unit_name="Long divider of the glaze store beside the window",
        part="Back spacer, lower left",
        next="Next: scuff before coat 2 at finish from Thu 08:20 after G1 and G01",
    )
    driver.desk.take_answer(wordy)
    driver.settle()
    keep("bench-long-words")
    found["bench-long-words"] = find_misfits(driver, touch=touch)
    for name in show_wordy(driver, shop):
        keep(name)
        found[name] = find_misfits(driver, touch=touch)
    for name in show_wordy_bench(driver, shop):
        keep(name)
        found[name] = find_misfits(driver, touch=touch)
    for name in show_wordy_day(driver):
        keep(name)
        found[name] = find_misfits(driver, touch=touch)
    for name in show_wordy_sheets(driver):
        keep(name)
        found[name] = find_misfits(driver, touch=touch)
    driver.close()
    return found


def show_wordy_sheets(driver: Driver):
    """Put sheets on the screen with names and sentences half as long again, and many of them."""
    from kiosk.rules.lengths import System
    from kiosk.rules.sheets.views import PartName
    from kiosk.screens.sheetdesk import Seen
    from kiosk.screens.sheetgallery import _drawn
    from kiosk.screens.sheetpicture import draw_sheet
    from kiosk.screens.sheetsamples import sample_search, sample_stock, sample_view
    from kiosk.screens.stockview import StockSeen

    desk, system = driver.desk, System.INCH
    sheets, stock = desk.shopdesk.sheets, desk.shopdesk.stock

    def wordy(material):
        return replace(material, name="Multiplex Birke, wasserfest verleimt, weiß beschichtet")

    def longer(view):
        names = {
            code: PartName("Rückwandleiste unten links", f"GLASUR-{name.unit}", name.size)
            for code, name in view.names.items()
        }
        many = [
            replace(one, planned=replace(one.planned, material=wordy(one.planned.material)))
            for one in view.sheets
        ]
        return replace(view, sheets=tuple(many), names=names)

    said = "Schnitt 9 von S1 ist gemacht: GLASUR-G02 Rückwandleiste unten links. " * 2
    view = longer(sample_view(steps=9))
    lost = replace(view, sheets=view.sheets * 4, unplanned=tuple(view.names), faults=("S4: x",) * 3)
    sheets.show(lost, system, said)
    yield from drawn(driver, "sheets-wordy")
    sheets.show_lost(lost, system)
    yield from drawn(driver, "sheets-wordy-lost")
    search = sample_search()
    row = replace(search.materials[0], material=wordy(search.materials[0].material))
    row = replace(row, sheets=12, offcuts=3, left_out=14, settings=141)
    sheets.breaking.go_on(replace(search, materials=(row,) * 6), system, desk.open_bench)
    yield from drawn(driver, "sheets-wordy-search")
    ways = {wordy(material): list(those) * 2 for material, those in _drawn(desk).items()}
    first = next(iter(ways))
    few = [
        (replace(way, number=number, offcuts=3, left_out=tuple("abc")), image)
        for number, (way, image) in enumerate(ways[first])
    ]
    sheets.breaking._system = system
    sheets.breaking.show_trade(search, {first: few}, {}, first)
    yield from drawn(driver, "sheets-wordy-trade")
    bevel = next(line.number for line in view.sheets[2].lines if line.tilt)
    before = sum(len(one.lines) for one in view.sheets[:2])
    for name, steps, number in (("", 11, 0), ("-bevel", before + bevel - 1, 2)):
        now = longer(sample_view(steps=steps))
        one = now.sheets[number]
        sheets.one._system = system
        drew = draw_sheet(one, now.names, desk.trim, system=system)
        sheets.one.show(Seen(now, one, drew), said)
        yield from drawn(driver, f"sheet-wordy{name}")
    seen = sample_stock()
    sizes = [
        replace(one, left=3, planned=12, size=replace(one.size, material=wordy(one.size.material)))
        for one in seen.sizes
    ]
    offcuts = [
        replace(one, offcut=replace(one.offcut, material=wordy(one.offcut.material)))
        for one in seen.offcuts
    ]
    seen = StockSeen(replace(seen, sizes=tuple(sizes), offcuts=tuple(offcuts) * 4), (), system)
    stock.show(seen, said)
    yield from drawn(driver, "stock-wordy")
    stock.show_size(seen, sizes[0])
    yield from drawn(driver, "stock-wordy-size")
    materials = tuple(one.size.material for one in sizes) * 5
    stock.add.ask(materials, system)
    yield from drawn(driver, "stock-wordy-add")


def show_wordy_day(driver: Driver):
    """Put a day on the screen with words half as long again, and one of a dozen people."""
    from datetime import UTC

    from kiosk.rules.cautions import HAZARDS
    from kiosk.screens.dayplansamples import late_day, risk_day

    screens, late = driver.desk.shopdesk.day, late_day(UTC)
    steps = [
        replace(
            one,
            unit=one.unit.replace("G", "GLASUR-"),
            title=f"{one.title} und Rückwandleiste",
            why="beginnt eine Ruhezeit, die über Nacht läuft; Klammertisch ist ab 11:40 frei",
            people=tuple(f"{who} Großmann" for who in one.people),
            extra="vorher anschleifen: 10 min davon",
            rest="ruht 15:30 h, bis Do 07:30, auf dem Trockengestell",
            caution=" ".join(HAZARDS.values())[:260],
        )
        for one in late.steps
    ]
    words = "2 Plätze mehr auf dem Klammertisch: GLAZE einen Tag früher, und 3 weitere Aufträge"
    people = tuple(f"{who} Großmann" for who in late.people)
    notes = ("G14 ist angehalten", "K07 hat keine Zeit für das Bohren")
    wordy = replace(
        late, steps=tuple(steps), people=people, change=words, before_closing=tuple(steps[:11]),
        notes=notes,
    )  # fmt: skip
    screens.turn_to(wordy, 0)
    yield from drawn(driver, "day-wordy")
    screens.set_rows(wordy, "station")
    yield from drawn(driver, "day-wordy-stations")
    screens.show_step(wordy, steps[0])
    yield from drawn(driver, "day-wordy-step")
    screens.show_closing(wordy)
    yield from drawn(driver, "day-wordy-closing")
    screens.show_menu(wordy)
    yield from drawn(driver, "day-wordy-menu")
    risky = risk_day(UTC)
    risk = replace(
        risky.at_risk[0], job="BRENNRAUM-WEST", words="voraussichtlich am 20. März um 14:10"
    )
    held_up = replace(
        risky.late_jobs[0],
        words="2 Tage 19 h zu spät, voraussichtlich am Montag um 11:10",
        unit="GLASUR-08",
        unit_why="zweiter Anstrich ruht bis Donnerstag 09:40 auf dem Trockengestell",
    )
    risky = replace(wordy, late_jobs=(held_up,) * 2, at_risk=(risk,) * 3)
    screens.set_rows(risky, "person")
    yield from drawn(driver, "day-risk-wordy")
    screens.show_late(risky)
    yield from drawn(driver, "day-risk-wordy-jobs")
    screens.show_late_job(risky, 0)
    yield from drawn(driver, "day-risk-wordy-job")
    crowd = (*late.people, *(f"{who} II" for who in late.people))
    screens.set_rows(replace(late, people=crowd, is_improving=True), "person")
    yield from drawn(driver, "day-crowd")


def show_wordy(driver: Driver, shop: FakeShop):
    """Put the shop's own matters on the screen with the longest words they may have."""
    from kiosk.rules.air import Air, Reading

    desk, matters = driver.desk, driver.desk.shopdesk
    shop.fahrenheit = True
    matters.air._sensors = lambda: "Sensors: away since Wed 15:20; " + LONG
    matters.air.open("Recorded: 68.9 °F and 55 %")
    driver.settle()
    yield "air-wordy"
    matters.air._ask_panel(matters_typed("-12.75"), print, back=print, wrong=LONG)
    yield from drawn(driver, "air-pad-wordy")
    for key in ("oil", "polyurethane-glue", "primer"):
        shop.found = [replace(one, product=key) for one in findings_of(NOW)]
        matters.products.open_product(key)
        driver.settle()
        yield f"product-{key}"
    view = desk.show
    matters.products.ask_figure(
        _view(driver, "primer"), 0, stage="window", typed="9999.999", wrong=LONG
    )
    yield from drawn(driver, "product-figure-wordy")
    assert desk.show is not view
    shop.read = Air([Reading(NOW - timedelta(hours=13), 6, 92)])
    matters.open_clock(SAMPLE)
    driver.settle()
    yield "clock-held"
    desk.show.picture.dispatch("on_release")
    driver.settle()
    yield "clock-held-picture"
    shop.read = Air([Reading(NOW - timedelta(hours=hours), 24 - hours, 55) for hours in (9, 6, 1)])
    matters.open_clock(SAMPLE)
    driver.settle()
    yield "clock-mixed"
    shop.at = NOW + timedelta(days=5)
    matters.open_clock(SAMPLE)
    driver.settle()
    yield "clock-old"
    shop.at, shop.read, shop.out = NOW, Air(), rags_of(NOW, pressing=True)
    desk.take_answer(SAMPLE)
    driver.settle()
    matters.open()
    yield from drawn(driver, "shop-all")


def show_wordy_bench(driver: Driver, shop: FakeShop):
    """Put the panel of a station on the bench with words half as long again."""
    from kiosk.rules.viewlines import StationView, ViewLine

    desk = driver.desk
    desk.shopdesk.open()
    desk.open_bench()
    shop.out = None
    line = ViewLine(
        "GLAZE G05: 12 zugeschnitten, noch zu holen",
        "Rückwandleiste unten links K7F-3Q97, Einlegeboden K7F-4AC3 und 10 weitere",
        "late",
    )
    shop.views = {
        desk.post.station: StationView(
            "Reihenfolge beim Aufhängen: 12 bereit, 14 noch nicht", (line,) * 6
        )
    }
    for name, answer in (("idle", None), ("scanned", SAMPLE)):
        desk.answer = answer
        desk.fit(desk.trim)
        driver.tick(11)
        driver.step(2)
        yield f"bench-panel-wordy-{name}"


def drawn(driver: Driver, name: str):
    driver.step(2)
    yield name


def matters_typed(panel: str):
    from kiosk.screens.airtyped import Typed

    return Typed("20.5", "55", panel)


def _view(driver: Driver, key: str):
    from kiosk.screens.productview import see_product

    return see_product(driver.shop, key)


if __name__ == "__main__":
    width, height = (int(side) for side in sys.argv[2].split("x"))
    print(json.dumps(draw(Path(sys.argv[1]), (width, height))))
