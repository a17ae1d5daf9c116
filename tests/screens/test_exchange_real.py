"""A kiosk with its real shop, beside another one, through a real server."""

from dataclasses import replace
from datetime import UTC, datetime

import pytest

from kiosk.app import late_shop
from kiosk.check import run_checks
from kiosk.clock import SystemClock
from kiosk.joining import PASSFILE, join
from kiosk.rules.entries import Kind
from kiosk.rules.exchanging import Standing
from kiosk.settingsfile import read_settings
from kiosk.store import Note, Store
from kiosk.store.link import Link, swap

UNIT = {"kind": "panel", "name": "Panel", "pieces": []}
PATIENCE = 3_000  # frames of the loop, on a machine with other work


def clock():
    return round(datetime.now(UTC).timestamp() * 1000)


def joined(folder, url):
    folder.mkdir()
    store = Store.open(folder / "shop.db", "K")
    files = {"passfile": folder / PASSFILE, "settings_file": folder / "settings.toml"}
    join(store, url, clock=clock, **files)
    store.close()
    return folder / "shop.db", read_settings(folder / "settings.toml")[0]


@pytest.fixture
def kiosk(tmp_path, prepared, drive):
    path, settings = joined(tmp_path / "K", prepared.add_kiosk("K"))
    app = drive(late_shop(path, replace(settings, zone="UTC"), SystemClock()), station="finish")
    app.path = path
    return app


def until(app, fits):
    for _frame in range(PATIENCE):
        app.step()
        app.app.worker.settle()
        if fits():
            return
        app.app.gear.exchange._thread and app.app.gear.exchange._thread._thread.join(0.005)
    raise AssertionError(app.app.gear.exchange.state)


def test_work_of_another_kiosk_reaches_the_board_and_ours_the_server(kiosk, prepared, tmp_path):
    feed = kiosk.app.gear.exchange
    until(kiosk, lambda: feed.state and feed.state.standing is Standing.TOGETHER)
    other = Store.open(tmp_path / "other.db", "M")
    other.write([Note(Kind.JOB_OPENED, "GLAZE", "", {"name": "Glaze"})], datetime.now(UTC))
    other.write([Note(Kind.UNIT_TAKEN, "GLAZE", "G1", UNIT)], datetime.now(UTC))
    link = Link.open(prepared.add_kiosk("M"))
    swap(other, link, clock=clock)

    until(kiosk, lambda: kiosk.desk.signs.has_job and kiosk.desk.floor.bands)
    kiosk.app.worker.ask(
        lambda: kiosk.shop.hold("G1", reason="damp"), lambda _: None, fail=lambda _: None
    )
    kiosk.settle()
    kiosk.app.look()
    until(kiosk, lambda: feed.state.sent == 1)
    swap(other, link, clock=clock)
    assert [one.kind for one in other.history("GLAZE", "G1")][-1] == Kind.HOLD_PUT
    link.close()
    other.close()


def test_check_says_how_the_kiosk_stands_to_the_server(tmp_path, prepared):
    path, settings = joined(tmp_path / "K", prepared.add_kiosk("K"))

    def line(settings):
        found = run_checks(path, settings, ())
        return next(one for one in found if one.name == "exchange")

    assert line(settings).ok
    assert "kiosk K of shop" in line(settings).detail
    alone = line(replace(settings, server=""))
    assert alone.ok
    assert "alone" in alone.detail
    away = line(replace(settings, server="postgresql://k@127.0.0.1:9/x"))
    assert (away.ok, "does not answer" in away.detail) == (False, True)
    wrong = line(replace(settings, kiosk_letter="M"))
    assert (wrong.ok, "works as M" in wrong.detail) == (False, True)
