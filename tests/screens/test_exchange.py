"""The exchange beside the screens: begun and ended with the kiosk, and shown."""

import threading
from dataclasses import replace
from datetime import timedelta

import pytest
from fake_shop import NOW

from kiosk.rules.exchanging import Exchanged, Standing
from kiosk.screens.exchangefeed import ExchangeFeed
from kiosk.screens.worker import Worker, WorkerEnded

TOGETHER = Exchanged(
    Standing.TOGETHER, NOW, NOW, letter="K", names={"K": "door", "M": "saw"}, latest={"K": NOW}
)


class FakeThread:
    """An exchange that only counts what it is told."""

    def __init__(self, told):
        self.told, self.calls = told, []

    def start(self):
        self.calls.append("start")

    def wake(self):
        self.calls.append("wake")

    def now(self):
        self.calls.append("now")

    def stop(self):
        self.calls.append("stop")


@pytest.fixture
def joined(drive, shop):
    """A kiosk whose settings name a server, with a thread written by hand."""
    app = drive(shop)
    shop.settings = replace(shop.settings, server="postgresql://k@host/shop")
    feed = app.app.gear.exchange
    made = []

    def make(_settings, folder, _shop, _worker, told):
        made.append((FakeThread(told), folder))
        return made[-1][0]

    feed._make = make
    feed.start()
    app.settle()
    app.thread, app.folder = made[-1]
    return app


def test_it_begins_with_the_kiosk_and_ends_with_it(joined, shop):
    assert joined.thread.calls[:1] == ["start"]
    assert joined.folder == shop.settings_file.parent
    joined.close()
    assert joined.thread.calls[-1] == "stop"


def test_a_kiosk_alone_starts_nothing_and_shows_nothing(drive, shop):
    app = drive(shop)
    app.app.gear.exchange.start()
    app.settle()
    assert app.desk.bench.header.link.parent is None
    app.desk.shopdesk.exchange.open()
    app.settle()
    assert app.shows("This kiosk works alone")
    assert app.shows("cleatclock exchange --join")


def test_each_recorded_scan_is_sent_on(joined):
    before = joined.thread.calls.count("wake")
    joined.desk.scan("K7F3Q97")
    joined.settle()
    assert joined.thread.calls.count("wake") > before


def test_what_came_in_is_painted(joined, shop):
    asked = []
    whole = shop.floor
    shop.floor = lambda now=None: asked.append(now) or whole(now)
    joined.thread.told(replace(TOGETHER, taken=0))
    joined.settle()
    first = len(asked)
    joined.thread.told(replace(TOGETHER, taken=3))
    joined.settle()
    assert len(asked) > first


def test_head_and_board_say_how_it_stands(joined):
    joined.thread.told(TOGETHER)
    joined.settle()
    assert joined.shows("together")
    joined.thread.told(replace(TOGETHER, standing=Standing.APART, waiting=14))
    joined.settle()
    assert joined.shows("14 to send")
    assert joined.desk.board.link.mark.shape == "dot"


def test_a_refusal_and_a_wrong_clock_are_said_across_the_screen(joined):
    joined.thread.told(replace(TOGETHER, standing=Standing.REFUSED, words="mend it"))
    joined.settle()
    joined.app.tick()
    assert joined.shows("see Shop, Exchange")
    joined.desk.shopdesk.exchange.open()
    joined.settle()
    assert joined.shows("Mend it")
    joined.thread.told(replace(TOGETHER, ahead_ms=9_000))
    joined.settle()
    joined.app.tick()
    assert joined.shows("9 s ahead")


def test_the_screen_follows_and_asks_for_a_round(joined):
    joined.thread.told(TOGETHER)
    joined.settle()
    joined.desk.shopdesk.exchange.open()
    joined.settle()
    assert joined.shows("M saw")
    assert joined.shows("nothing yet")
    joined.thread.told(replace(TOGETHER, latest={"M": NOW - timedelta(hours=1)}))
    joined.settle()
    assert joined.desk.show is joined.desk.shopdesk.exchange._screen
    joined.tap(joined.button("Exchange now"))
    assert joined.thread.calls[-1] == "now"


def test_of_a_server_never_reached_no_clock_is_known(joined):
    words = "the server does not answer: connection refused"
    joined.thread.told(Exchanged(Standing.APART, NOW, words=words, letter="K"))
    joined.desk.shopdesk.exchange.open()
    joined.settle()

    assert joined.shows("The server does not answer")
    assert not joined.shows("as the server's")


def test_a_missing_driver_is_said(drive, shop):
    app = drive(shop)
    shop.settings = replace(shop.settings, server="postgresql://k@host/shop")
    feed = app.app.gear.exchange

    def missing(*_args):
        raise ImportError

    feed._make = missing
    feed.start()
    app.settle()
    assert "pip install 'psycopg[binary]'" in feed.state.words


def test_a_shop_that_cannot_be_opened_at_first_is_exchanged_later(drive, shop):
    app = drive(shop)
    shop.settings = replace(shop.settings, server="postgresql://k@host/shop")
    feed = app.app.gear.exchange
    made = []

    def make(*args):
        if not made:
            made.append(None)
            raise OSError("the disk is away")
        made.append(FakeThread(args[-1]))
        return made[-1]

    feed._make = make
    feed.start()
    app.settle()
    assert made == [None]
    app.tick()
    assert made[-1].calls[0] == "start"
    app.tick()
    assert len(made) == 2


def test_a_call_from_another_thread_is_answered_or_ends():
    worker = Worker(lambda call: call(0.0))
    assert worker.call(lambda: threading.current_thread().name) == "shop"
    with pytest.raises(ZeroDivisionError):
        worker.call(lambda: 1 // 0)
    worker.stop()
    with pytest.raises(WorkerEnded):
        worker.call(lambda: 1)


def test_a_call_that_waits_at_the_end_is_still_answered():
    worker = Worker(lambda call: call(0.0))
    hold, found = threading.Event(), []
    worker.ask(lambda: hold.wait(10), lambda _: None, fail=lambda _: None)
    thread = threading.Thread(target=lambda: found.append(worker.call(lambda: 7)))
    thread.start()
    while worker._jobs.qsize() == 0:  # until it waits behind the first
        thread.join(0.001)
    ender = threading.Thread(target=worker.stop)
    ender.start()
    hold.set()
    thread.join(10)
    ender.join(10)
    assert found == [7]


def test_a_feed_that_was_stopped_before_it_began_stays_so(shop):
    later = []
    worker = Worker(later.append)
    shop.settings = replace(shop.settings, server="postgresql://k@host/shop")
    made = []
    feed = ExchangeFeed(
        shop,
        worker,
        later=later.append,
        changed=lambda _: None,
        make=lambda *a: made.append(FakeThread(a)) or made[-1],
    )
    feed.start()
    worker.settle()
    feed.stop()
    for call in later:
        call(0.0)
    assert [one.calls for one in made] == [[]]
    worker.stop()
