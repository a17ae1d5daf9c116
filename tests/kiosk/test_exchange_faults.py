"""Kiosks and a real PostgreSQL over a network that fails, clocks that lie, rows tampered with."""

import queue
from contextlib import closing
from datetime import UTC, datetime, timedelta

import psycopg
import pytest

import db.exchange
from db.log import Changes, Draft
from kiosk.exchange import Exchange, Standing
from kiosk.rules.entries import Kind
from kiosk.store import Note, Store
from kiosk.store.link import Forked, Link, ServerAway, swap
from tests.proxy import Fault, Proxy

START = datetime(2026, 3, 9, 8, 0, tzinfo=UTC)
PATIENCE_S = 60  # of a machine with other work
UNIT = {"kind": "panel", "name": "Panel", "pieces": []}


class Kiosk:
    """A kiosk's file, and a round of exchange whenever it is asked for."""

    def __init__(self, folder, letter, url):
        folder.mkdir(exist_ok=True)
        self.letter, self.url, self.n = letter, url, 0
        self.store = Store.open(folder / "shop.db", letter)

    def write(self, count=1, *, unit="G1", at=None, kind=Kind.STEP_DONE, spec=None, **body):
        for _one in range(count):
            self.n += 1
            now = at or START + timedelta(minutes=self.n)
            told = spec or body or {"step": f"{self.letter}{self.n}"}
            self.store.write([Note(kind, "GLAZE", unit, told, "Mara")], now)

    def take_unit(self):
        self.write(kind=Kind.JOB_OPENED, unit="", name="Glaze store")
        self.write(kind=Kind.UNIT_TAKEN, spec=UNIT)

    def round(self, **more):
        with closing(Link.open(self.url)) as link:
            return swap(self.store, link, clock=lambda: 0, **more)

    def rows(self, *, stamped=True):
        keys = ("kiosk", "seq", "id", "l", "c", "wall_ms", "kind", "body", "chain")
        keys += ("received_ms",) if stamped else ()
        rows = self.store._log.rows_after(0)
        return sorted([tuple(str(getattr(row, key)) for key in keys) for row in rows])

    def order(self):
        return [entry.body.get("step") for entry in self.store.history("GLAZE", "G1")]


@pytest.fixture
def proxy(prepared):
    made = Proxy(prepared.server.port, delay_s=0.005)
    yield made
    made.close()


@pytest.fixture
def kiosks(tmp_path, prepared, proxy):
    made = [Kiosk(tmp_path / one, one, proxy.url(prepared.add_kiosk(one))) for one in "KM"]
    yield made
    for one in made:
        one.store.close()


def on_server(prepared, query="SELECT kiosk, seq FROM cleatclock.entry ORDER BY 1, 2"):
    with psycopg.connect(prepared.admin_url) as line:
        return line.execute(query).fetchall()


def tamper(prepared, query):
    with psycopg.connect(prepared.admin_url) as line:
        assert line.execute(query).rowcount == 1


def settled(*kiosks, stamped=True):
    """Rounds until everybody has everything; all must then be equal."""
    for _pass in range(2):
        for one in kiosks:
            one.round()
    rows = [one.rows(stamped=stamped) for one in kiosks]
    assert all(one == rows[0] for one in rows)
    assert all(one.store.states() == kiosks[0].store.states() for one in kiosks)
    return rows[0]


@pytest.mark.parametrize("at", [b"INSERT", b"COMMIT"])
@pytest.mark.parametrize("fault", [Fault.AFTER_REQUEST, Fault.BEFORE_REPLY])
def test_an_answer_that_is_lost_makes_no_double(kiosks, proxy, prepared, fault, at):
    here, there = kiosks
    here.take_unit()
    here.write(8)
    proxy.do(fault, at=at)
    with pytest.raises(ServerAway):
        here.round()
    assert proxy.cuts == 1
    assert here.store.waiting() == 10
    if (fault, at) == (Fault.BEFORE_REPLY, b"COMMIT"):
        assert len(on_server(prepared)) == 10  # saved, and not known to be

    assert len(settled(here, there)) == 10
    assert on_server(prepared) == [("K", n) for n in range(1, 11)]
    assert here.store.waiting() == 0


@pytest.mark.parametrize("fault", [Fault.REFUSE, Fault.SWALLOW])
def test_a_server_that_does_not_answer_is_away(kiosks, proxy, fault, monkeypatch):
    monkeypatch.setattr(db.exchange, "WATCHDOG_S", 0.2)
    here, there = kiosks
    here.take_unit()
    with closing(Link.open(here.url)) as link:
        proxy.do(fault)
        with pytest.raises(ServerAway):
            swap(here.store, link, clock=lambda: 0)
    proxy.mend()
    assert len(settled(here, there)) == 2


def test_a_slow_network_only_takes_longer(kiosks, proxy):
    here, there = kiosks
    here.take_unit()
    proxy.do(Fault.DELAY)
    assert here.round().sent == 2
    proxy.mend()
    assert len(settled(here, there)) == 2


def test_a_fresh_kiosk_catches_up_in_batches(kiosks):
    here, there = kiosks
    here.take_unit()
    here.write(48)
    here.round(batch=7)
    told = []
    done = there.round(batch=20, told=lambda sent, taken: told.append((sent, taken)))
    assert (done.taken, told) == (50, [(0, 20), (0, 40), (0, 50)])
    settled(here, there)


def test_a_clock_ten_years_ahead_leaves_the_order_right_everywhere(kiosks, tmp_path, prepared):
    here, there = kiosks
    now = datetime.now(UTC)
    here.write(kind=Kind.JOB_OPENED, unit="", at=now, name="Glaze store")
    here.write(kind=Kind.UNIT_TAKEN, at=now, spec=UNIT)
    here.write(at=now + timedelta(days=3652), step="cut")
    settled(here, there)
    later = now + timedelta(minutes=3)
    there.write(at=later, step="glue")
    settled(here, there)
    here.write(at=later + timedelta(minutes=3), step="fill")  # its clock is right again
    settled(here, there)
    fresh = Kiosk(tmp_path / "P", "P", prepared.add_kiosk("P"))
    settled(here, there, fresh)

    assert here.order()[1:] == there.order()[1:] == fresh.order()[1:]
    assert here.order()[1:3] == ["cut", "glue"]
    assert set(here.order()[1:]) == {"cut", "glue", "fill"}
    fresh.store.close()


@pytest.mark.parametrize(
    "how",
    [
        "UPDATE cleatclock.entry SET body = '{\"step\":\"hung\"}' WHERE kiosk = 'K' AND seq = 3",
        "UPDATE cleatclock.entry SET person = 'Jo' WHERE kiosk = 'K' AND seq = 3",
        "DELETE FROM cleatclock.entry WHERE kiosk = 'K' AND seq = 3",
    ],
)
def test_a_row_tampered_with_is_said_and_stops_only_that_kiosk(kiosks, prepared, tmp_path, how):
    here, there = kiosks
    here.take_unit()
    here.write(3)
    here.round()
    tamper(prepared, how)
    there.write(2)
    third = Kiosk(tmp_path / "P", "P", prepared.add_kiosk("P"))
    third.write(1)

    found = there.round()
    assert "entry 3 of kiosk K" in found.wrong
    assert (found.sent, found.taken) == (2, 0)
    third.round()
    again = there.round()
    assert "kiosk K" in again.wrong
    assert again.taken == 1
    assert {row[0] for row in there.rows()} == {"M", "P"}

    with psycopg.connect(prepared.admin_url) as line:  # the way out that the docs name
        line.execute("DELETE FROM cleatclock.entry WHERE kiosk = 'K' AND seq >= 3")
    # what was sent again arrived twice: here the first time is known, there the second
    assert len(settled(here, there, third, stamped=False)) == 8
    third.store.close()


def test_a_tampered_head_is_seen_by_whoever_has_it_already(kiosks, prepared):
    here, there = kiosks
    here.take_unit()
    settled(here, there)
    tamper(prepared, "UPDATE cleatclock.entry SET chain = 'x' WHERE kiosk = 'K' AND seq = 2")
    assert "kiosk K" in there.round().wrong
    with pytest.raises(Forked):
        here.round()


def test_a_kind_of_a_newer_program_is_kept_and_passed_on(kiosks, prepared, tmp_path):
    here, there = kiosks
    here.take_unit()
    draft = Draft("weighed_by_crane", "GLAZE", "G1", "Mara", {"kg": 12.5, "ö": [1, {"a": None}]})
    here.store._log.append([draft], kiosk="K", wall_ms=1, changes=Changes())
    here.store.refresh()
    settled(here, there)
    fresh = Kiosk(tmp_path / "P", "P", prepared.add_kiosk("P"))
    rows = settled(here, there, fresh)
    assert "weighed_by_crane" in str(rows)
    assert there.store.states() != {}
    fresh.store.close()


def test_a_server_brought_back_from_a_copy_gets_what_it_lacks_again(kiosks, prepared):
    here, there = kiosks
    here.take_unit()
    here.write(4)
    before = settled(here, there)
    with psycopg.connect(prepared.admin_url) as line:
        line.execute("DELETE FROM cleatclock.entry WHERE seq > 3")
    here.write(1)
    assert there.round().wrong == ""
    here.round()
    assert on_server(prepared) == [("K", n) for n in range(1, 8)]
    after = settled(here, there)
    assert after[:6] == before  # the stamps of the first time count


def test_a_board_beside_a_bench_follows_what_the_bench_has_sent(tmp_path):
    bench = Kiosk(tmp_path / "K", "K", "")
    bench.take_unit()
    bench.write(at=START + timedelta(days=3652), step="coat-1")
    board = Store.open(tmp_path / "K" / "shop.db", "K")
    board.load()
    at = round((START + timedelta(hours=1)).timestamp() * 1000)
    bench.store.take_receipts([(row.id, at) for row in bench.store.outbox(9)])

    assert board.refresh()
    assert board.states() == bench.store.states()
    assert "coat-1" in str(board.states())
    assert not board.refresh()
    board.close()
    bench.store.close()


class Watched:
    """A kiosk's thread, and what it told."""

    def __init__(self, kiosk, tmp_path):
        self.told = queue.Queue()
        self.exchange = Exchange(
            kiosk.url,
            passfile=tmp_path / "none",
            letter=kiosk.letter,
            door=lambda: kiosk.store,
            ask=lambda call: call(),
            clock=type("Clock", (), {"now": staticmethod(lambda: datetime.now(UTC))}),
            told=self.told.put,
        )
        self.exchange.start()

    def until(self, fits):
        while True:
            state = self.told.get(timeout=PATIENCE_S)
            if fits(state):
                return state


@pytest.fixture
def watched(kiosks, tmp_path, monkeypatch):
    monkeypatch.setattr(db.exchange, "WATCHDOG_S", 0.3)
    monkeypatch.setattr("kiosk.exchange.EVERY_S", 0.2)
    monkeypatch.setattr("kiosk.exchange.FIRST_WAIT_S", 0.05)
    made = Watched(kiosks[0], tmp_path)
    yield made
    made.exchange.stop()
    assert not made.exchange._thread.is_alive()


def test_the_thread_notices_a_hung_server_and_goes_on_by_itself(watched, kiosks, proxy):
    watched.until(lambda state: state.standing is Standing.TOGETHER)
    proxy.do(Fault.SWALLOW)
    kiosks[0].take_unit()
    apart = watched.until(lambda state: state.standing is Standing.APART and state.waiting)
    assert apart.waiting == 2
    assert "does not answer" in apart.words
    proxy.mend()
    state = watched.until(lambda state: state.standing is Standing.TOGETHER)
    assert (state.waiting, state.sent) == (0, 2)
    assert state.names == {"K": "K", "M": "M"}
    assert set(state.latest) == {"K"}


def test_the_thread_goes_on_after_the_server_was_restarted(watched, kiosks, pg):
    watched.until(lambda state: state.standing is Standing.TOGETHER)
    pg.stop("immediate")
    watched.until(lambda state: state.standing is Standing.APART)
    kiosks[0].take_unit()
    pg.start()
    assert watched.until(lambda state: state.sent == 2).standing is Standing.TOGETHER


def test_the_bell_brings_news_without_waiting(kiosks, tmp_path, monkeypatch):
    monkeypatch.setattr("kiosk.exchange.EVERY_S", PATIENCE_S * 10)
    one = Watched(kiosks[0], tmp_path)
    one.until(lambda state: state.standing is Standing.TOGETHER)
    kiosks[1].take_unit()
    kiosks[1].round()
    assert one.until(lambda state: state.taken == 2).standing is Standing.TOGETHER
    kiosks[0].write(1)
    one.exchange.wake()
    assert one.until(lambda state: state.sent == 1).waiting == 0
    one.exchange.stop()


def test_a_refusal_is_told_and_a_person_may_ask_again(kiosks, tmp_path):
    here = kiosks[0]
    here.letter = "W"  # the settings say another letter than the server
    one = Watched(here, tmp_path)
    state = one.until(lambda state: state.standing is Standing.REFUSED)
    assert "works as W" in state.words
    one.exchange.now()
    one.until(lambda state: state.standing is Standing.REFUSED)
    one.exchange.stop()
