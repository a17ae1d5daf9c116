"""What comes in any order, in any batches, leaves the projection that the whole log makes."""

import multiprocessing
import random
import tempfile
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from db.contents import looking_into
from kiosk.rules.entries import Kind, to_ms
from kiosk.rules.parts import as_body
from kiosk.store import Note, Store
from kiosk.store.proving import prove
from tests.builders import a_piece, a_unit

START = datetime(2026, 3, 9, 8, 0, tzinfo=UTC)
JOBS, UNITS = ("GLAZE", "KILN"), ("S1", "S2")
AHEAD_S = (0, 0, -7200, 90, 3600, 10**7)

_ABOUT = st.tuples(st.integers(0, 2), st.sampled_from(JOBS), st.sampled_from(UNITS))
_WHAT = st.one_of(
    st.sampled_from(("AB", "B", "ABC")).map(lambda parts: (Kind.UNIT_TAKEN, {"parts": parts})),
    st.just((Kind.UNIT_GONE, {})),
    st.sampled_from(("cut", "glue-up", "coat-1")).map(
        lambda step: (Kind.STEP_DONE, {"step": step})
    ),
    st.sampled_from("AB").map(lambda n: (Kind.UNIT_CODED, {"code": f"U{n}"})),
    st.just((Kind.PART_SPOILED, {"part": "A", "recut": "R"})),
    st.sampled_from(("first", "second")).map(lambda name: (Kind.JOB_OPENED, {"name": name})),
    st.just((Kind.JOB_CLOSED, {"name": "closed"})),
    st.just((Kind.LIST_TAKEN, {"revised": False})),
    st.sampled_from(("off", "wanted")).map(lambda choice: (Kind.QUESTION_ANSWERED, {"of": choice})),
    st.integers(0, 5).map(lambda back: (Kind.STRUCK, {"back": back})),
)
_ACTS = st.one_of(
    st.tuples(st.just("write"), _ABOUT, _WHAT),
    st.tuples(st.just("write"), _ABOUT, _WHAT),
    st.tuples(st.just("send"), st.integers(0, 2), st.integers(1, 5)),
    st.tuples(st.just("fetch"), st.integers(0, 2), st.integers(1, 5)),
    st.tuples(st.just("clock"), st.integers(0, 2), st.sampled_from(AHEAD_S)),
)


def listed(job, unit, parts):
    pieces = tuple(a_piece(f"{part} {job} {unit}") for part in parts)
    return as_body(replace(a_unit(unit, job=job), pieces=pieces))


class Apart:
    """Three kiosks with a file each, and what a server has of them."""

    def __init__(self, folder: Path, chance: random.Random) -> None:
        self.stores = []
        for letter in "KMN":
            (folder / letter).mkdir()
            self.stores.append(Store.open(folder / letter / "shop.db", letter))
            self.stores[-1].load()
        self.ahead, self.now, self.chance = [0, 0, 0], START, chance
        self.server: dict[str, object] = {}
        for job in JOBS:
            self.write(0, job, "", Kind.JOB_OPENED, {"name": "as it began"})

    def close(self) -> None:
        for store in self.stores:
            store.close()

    def do(self, act) -> None:
        self.now += timedelta(seconds=20)
        match act:
            case ("write", (kiosk, job, unit), (kind, body)):
                self.write(kiosk, job, unit, kind, body)
            case ("send", kiosk, count):
                self.send(kiosk, count)
            case ("fetch", kiosk, count):
                self.fetch(kiosk, count)
            case ("clock", kiosk, seconds):
                self.ahead[kiosk] = seconds

    def write(self, kiosk, job, unit, kind, body) -> None:
        store = self.stores[kiosk]
        now = self.now + timedelta(seconds=self.ahead[kiosk])
        if kind in (Kind.JOB_OPENED, Kind.JOB_CLOSED, Kind.LIST_TAKEN):
            unit = ""
        known = store.history(job, unit)
        # a code is made once: no two units share one
        own = {
            name: f"{body[name]} {job} {unit}" for name in ("code", "part", "recut") & body.keys()
        }
        notes = [Note(kind, job, unit, {**body, **own}, "Mara")]
        if kind == Kind.UNIT_TAKEN:
            notes = [replace(notes[0], body=listed(job, unit, body["parts"]))]
        elif kind == Kind.STRUCK:
            if not known:
                return
            target = known[-1 - body["back"] % len(known)].id
            notes = [replace(notes[0], body={"target": target})]
        elif kind == Kind.QUESTION_ANSWERED:
            answer = store.new_id(now)
            given = {"question": "gone:1", "choice": body["of"], "about": []}
            made = Kind.UNIT_GONE if body["of"] == "off" else Kind.UNIT_TAKEN
            again = listed(job, unit, "AB") if made == Kind.UNIT_TAKEN else {}
            notes = [
                Note(made, job, unit, {**again, "answer": answer}, "Mara"),
                replace(notes[0], body=given, id=answer),
            ]
        store.write(notes, now)

    def send(self, kiosk, count) -> None:
        store = self.stores[kiosk]
        rows = store.outbox(count)
        for row in rows:
            self.server.setdefault(row.id, replace(row, received_ms=to_ms(self.now)))
        if rows and self.chance.random() < 0.7:  # else the answer is lost on its way
            store.take_receipts([(row.id, self.server[row.id].received_ms) for row in rows])

    def fetch(self, kiosk, count) -> None:
        rows = [row for row in self.server.values() if row.kiosk != "KMN"[kiosk]]
        self.chance.shuffle(rows)
        self.stores[kiosk].take_in(rows[:count])

    def synchronise(self) -> None:
        for kiosk in range(3):
            while rows := self.stores[kiosk].outbox(2):
                for row in rows:
                    self.server.setdefault(row.id, replace(row, received_ms=to_ms(self.now)))
                self.stores[kiosk].take_receipts(
                    [(row.id, self.server[row.id].received_ms) for row in rows]
                )
        for kiosk in range(3):
            self.fetch(kiosk, 10**6)


def seen(store):
    """The projection, as the file has it and as the store holds it in memory."""
    with looking_into(store.file) as contents:
        lists = contents.lists()
    return lists, dict(store.jobs()), dict(store.states())


@settings(max_examples=40, deadline=None, suppress_health_check=list(HealthCheck))
@given(acts=st.lists(_ACTS, max_size=25), chance=st.randoms(use_true_random=False))
def test_the_projection_is_what_the_whole_log_makes(acts, chance):
    with tempfile.TemporaryDirectory(dir="/dev/shm") as folder:
        shop = Apart(Path(folder), chance)
        try:
            for act in acts:
                shop.do(act)
            for store in shop.stores:
                assert_settled(store)
            shop.synchronise()
            for store in shop.stores:
                assert_settled(store)
                proof = prove(store.file)
                assert (proof.problems, proof.lists) == ((), ())
            first, *others = [seen(store) for store in shop.stores]
            assert others == [first, first]
        finally:
            shop.close()


def assert_settled(store):
    found = seen(store)
    store.rebuild()
    assert found == seen(store)


def _work_on(path, kiosk, step):
    store = Store.open(path, kiosk)
    store.load()
    for number in range(15):
        at = START + timedelta(minutes=number)
        kind = Kind.JOB_OPENED if number % 2 else Kind.JOB_CLOSED
        (done,) = store.write([Note(Kind.STEP_DONE, "GLAZE", "S1", {"step": step}, "Ida")], at)
        store.write([Note(kind, "GLAZE", "", {"name": f"{step} {number}"}, "Ida")], at)
        if number % 3:
            store.write([Note(Kind.STRUCK, "GLAZE", "S1", {"target": done.id}, "Ida")], at)
    store.close()


def test_a_kiosk_and_a_command_that_write_at_once_leave_one_log_and_its_projection(tmp_path):
    store = Store.open(tmp_path / "shop.db", "K")
    spec = listed("GLAZE", "S1", "AB")
    store.write([Note(Kind.JOB_OPENED, "GLAZE", "", {"name": "as it began"})], START)
    store.write([Note(Kind.UNIT_TAKEN, "GLAZE", "S1", spec)], START)
    store.load()
    spawn = multiprocessing.get_context("spawn")
    both = [
        spawn.Process(target=_work_on, args=(store.file, "K", step)) for step in ("fill", "sand")
    ]

    for one in both:
        one.start()
    while any(one.is_alive() for one in both):
        both[0].join(0.02)
        both[1].join(0.02)
        store.refresh()
    store.refresh()

    assert [one.exitcode for one in both] == [0, 0]
    assert store.heads()["K"][0] == 2 + 2 * (15 + 15 + 10)
    assert prove(store.file).problems == ()
    assert_settled(store)
    store.close()
