"""Routes changed at the kiosk of a real shop: shown first, kept as by command, and undone."""

from datetime import UTC, datetime

import pytest

from kiosk.actions.core import seed_text
from kiosk.app import late_shop
from kiosk.clock import FixedClock
from kiosk.rules.entries import Kind
from kiosk.rules.route import parse_routes
from kiosk.screens.routechange import LARGEST, read_file
from kiosk.settingstext import load
from kiosk.store import Store

AT = datetime(2026, 3, 11, 15, 40, tzinfo=UTC)
SETTINGS = load('zone = "UTC"\n')[0]
SHIPPED = parse_routes(seed_text("routes.toml"))[0]


@pytest.fixture
def file(tmp_path):
    path = tmp_path / "shop.db"
    Store.open(path, "K").close()
    return path


@pytest.fixture
def kiosk(file, drive):
    kiosk = drive(late_shop(file, SETTINGS, FixedClock(AT)), person="Mara")
    kiosk.tap(kiosk.desk.bench.shop)
    kiosk.tap(kiosk.button("The shop itself"))
    kiosk.tap(kiosk.button("Routes"))
    return kiosk


def routes_in(file):
    store = Store.open(file, "K")
    body = store.last_body(Kind.ROUTES_SET)
    store.close()
    return parse_routes(str(body["text"]))[0] if body else SHIPPED


def change_first(kiosk):
    kiosk.tap(kiosk.desk.show.rows[0])
    kiosk.tap(kiosk.button("Change it"))


def test_a_third_coat_is_shown_first_then_kept_then_taken_back(kiosk, file):
    change_first(kiosk)
    assert kiosk.shows("2 coats, with filler, scuffed between coats")
    kiosk.tap(kiosk.button("One coat more"))
    kiosk.tap(kiosk.button("Show this route"))
    kiosk.tap(kiosk.button("More"))
    assert kiosk.shows("coat 3")
    assert routes_in(file) == SHIPPED  # shown is not kept
    kiosk.tap(kiosk.button("Keep it"))
    assert "coat-3" in [step.name for step in routes_in(file)["shelf"].steps]
    assert routes_in(file)["panel"] == SHIPPED["panel"]
    kiosk.tap(kiosk.button("As before"))
    assert routes_in(file) == SHIPPED


def test_filler_and_scuffing_are_left_out_and_all_is_as_shipped_again(kiosk, file):
    change_first(kiosk)
    kiosk.tap(kiosk.button("Without filler"))
    kiosk.tap(kiosk.button("Without scuffing"))
    assert kiosk.shows("without filler, not scuffed between coats")
    kiosk.tap(kiosk.button("Show this route"))
    kiosk.tap(kiosk.button("Keep it"))
    kept = {step.name for step in routes_in(file)["shelf"].steps}
    assert not kept & {"fill", "scuff-2"}
    kiosk.tap(kiosk.button("More routes"))
    change_first(kiosk)
    kiosk.tap(kiosk.button("As shipped"))
    kiosk.tap(kiosk.button("Keep it"))
    assert routes_in(file) == SHIPPED


def pick(kiosk, path):
    files = kiosk.desk.shopdesk.upkeep.routes.change.files
    kiosk.tap(kiosk.button("Take from a file"))
    files.look(path.parent)
    kiosk.settle()
    row = next(one for one in kiosk.desk.show.rows if one.label.text == path.name)
    kiosk.tap(row)


def test_a_file_s_routes_are_shown_and_kept(kiosk, file, tmp_path):
    own = tmp_path / "stick" / "ours.toml"
    own.parent.mkdir()
    own.write_text(seed_text("routes.toml").replace('title = "Box"', 'title = "Crate"'), "utf-8")
    pick(kiosk, own)
    assert kiosk.shows("Not kept yet: these routes")
    assert kiosk.shows("Crate")
    kiosk.tap(kiosk.button("Keep it"))
    assert routes_in(file)["box"].title == "Crate"


def test_a_file_with_a_mistake_is_refused_with_the_way_out(kiosk, file, tmp_path):
    own = tmp_path / "stick" / "ours.toml"
    own.parent.mkdir()
    own.write_text(seed_text("routes.toml").replace('"recoat"]]', '"recote"]]', 1), "utf-8")
    pick(kiosk, own)
    assert kiosk.shows("Nothing was changed")
    assert kiosk.shows("names no stage")
    assert routes_in(file) == SHIPPED


def test_what_is_no_text_too_large_or_gone_is_refused(tmp_path):
    strange, large = tmp_path / "a.toml", tmp_path / "b.toml"
    strange.write_bytes(b"\xff\xfe\x00")
    large.write_bytes(b"#" * (LARGEST + 1))
    for path in (strange, large, tmp_path / "none.toml"):
        text, problems = read_file(path)
        assert text == ""
        assert problems[0].remedy
