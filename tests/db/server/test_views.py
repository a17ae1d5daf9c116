"""The views say what the rules say: the folds of the program are the oracle."""

import itertools
import re
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import psycopg
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from db.records import as_json
from db.server.prepare import prepare
from kiosk.rules.airlog import AirLog
from kiosk.rules.entries import LATEST_MS, Kind, standing_entries
from kiosk.rules.fold import fold_unit
from tests.builders import a_unit, an_entry, at, history, taken
from tests.strategies import answered_logs, logs

INSERT = (
    "INSERT INTO cleatclock.entry (shop, id, kiosk, seq, l, c, wall_ms, person, kind, job, unit,"
    " body, chain, received_ms) VALUES (%s, %s, %s, %s, %s, %s, %s, %s, %s, %s, %s, %s, '', %s)"
)
SHOPS = itertools.count()
MINUTE = 60_000


@pytest.fixture(scope="module")
def view(pg_server):
    """Puts entries into a shop of their own and reads views about it."""
    database = pg_server.new_database()
    with psycopg.connect(
        _prepared(pg_server.admin_url(database)), autocommit=True, options="-c timezone=UTC"
    ) as admin:
        yield lambda entries: _Views(admin, entries)


def _prepared(url):
    prepare(url, shop="shop")
    return url


class _Views:
    def __init__(self, admin, entries):
        self.admin, self.shop = admin, f"shop {next(SHOPS)}"
        admin.execute("INSERT INTO cleatclock.shop VALUES (%s, 0)", (self.shop,))
        rows = [
            (self.shop, e.id, e.kiosk, e.seq, e.l, e.c, e.wall_ms, e.person, e.kind, e.job, e.unit,
             as_json(e.body), e.received_ms)
            for e in entries
        ]  # fmt: skip
        admin.cursor().executemany(INSERT, rows)

    def __call__(self, columns, name, order="1"):
        query = f"SELECT {columns} FROM cleatclock.{name} WHERE shop = %s ORDER BY {order}"
        return self.admin.execute(query, (self.shop,)).fetchall()


def received(entry, ahead_ms=-1000):
    """The entry as a server stamped it, its kiosk's clock ahead of the server's by so much."""
    return replace(entry, received_ms=entry.wall_ms - ahead_ms)


def stamped(entries, aheads):
    return [received(one, ahead) for one, ahead in zip(entries, itertools.cycle(aheads))]


@settings(
    max_examples=30,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
@given(
    entries=logs(),
    aheads=st.lists(st.sampled_from((-1000, 0, 50_000, 90_000, 86_400_000)), min_size=1),
)
def test_steps_units_and_coats_are_as_the_program_folds_them(view, entries, aheads):
    entries = stamped(entries, aheads)
    state = fold_unit(entries)
    ask = view(entries)

    steps = ask("part, step, id, at, person, kiosk, early", "steps_done")
    (unit,) = ask("unit_kind, finish, is_gone", "units")
    last = ask("step, at", "unit_last_step")
    coats = ask("coats, last_at", "coats_per_unit")

    assert {row[1]: row[2:] for row in steps if not row[0]} == as_rows(state.done)
    for piece in state.pieces:
        mine = {row[1]: row[2:] for row in steps if row[0] == piece.piece.code}
        assert mine == as_rows(piece.done)
    assert unit == (state.spec.kind, state.spec.finish or None, state.gone)
    found = state.last
    told = [(None, None)] if found is None else [(name_of(state, found), found.at)]
    assert last == ([] if state.gone else told)
    coated = [one.at for step, one in state.done.items() if step.startswith("coat-")]
    assert coats == ([] if state.gone else [(len(coated), max(coated, default=None))])


@settings(
    max_examples=40,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
@given(
    entries=answered_logs(),
    aheads=st.lists(st.sampled_from((-1000, 0, 50_000, 90_000, 86_400_000)), min_size=1),
)
def test_what_answers_brought_about_counts_as_long_as_they_do(view, entries, aheads):
    entries = stamped(entries, aheads)

    rows = view(entries)("id", "happened", "ordered_ms, l, c, kiosk, seq")

    assert [row[0] for row in rows] == [one.id for one in standing_entries(entries)]


def as_rows(done):
    return {
        step: (one.entry, one.at, one.person, one.kiosk, one.early) for step, one in done.items()
    }


def name_of(state, found):
    return next(step for step, one in state.done.items() if one is found)


@settings(
    max_examples=30,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
@given(
    st.lists(
        st.tuples(
            st.sampled_from(("K", "L")),
            st.integers(0, 20),
            st.lists(
                st.one_of(
                    st.tuples(
                        st.integers(0, 3).map(lambda n: 1_772_000_000_000 + n * MINUTE),
                        st.sampled_from((20, 21.5, -20, 60.1, None, True, 10**400)),
                        st.sampled_from((50, 0, 100, 100.5, 44.2)),
                        st.sampled_from((None, 18, 70, "warm")),
                        st.sampled_from((None, 0, 0.3, 11, 10**7)),
                    ).map(list),
                    st.sampled_from(
                        ([], 3, "row", [1.5, 20, 50, None, None], [True, 20, 50], None, {"a": 1})
                    ),
                ),
                max_size=4,
            ),
        ),
        max_size=6,
    ),
    st.lists(st.integers(0, 5), max_size=2),
)
def test_air_is_as_the_program_gathers_it(view, written, struck):
    entries = [
        an_entry(
            Kind.AIR_READ,
            {"source": "sensor", "readings": readings},
            when=at("08:00") + timedelta(minutes=minute),
            seq=place + 1,
            kiosk=kiosk,
            unit=replace(a_unit(), unit=""),
        )
        for place, (kiosk, minute, readings) in enumerate(written)
    ]
    targets = [entries[place].id for place in struck if place < len(entries)]
    entries += [
        an_entry(Kind.STRUCK, {"target": target}, seq=100 + place)
        for place, target in enumerate(targets)
    ]
    entries = stamped(entries, (-1000,))
    log = AirLog()
    for entry in entries:
        log.take(entry)

    rows = view(entries)(
        "at, temperature_c, humidity, surface_c, speed_m_s, source", "air_readings", "at"
    )

    assert rows == [
        (one.at, one.temperature_c, one.humidity, one.surface_c, one.speed_m_s, one.source)
        for one in log.readings()
    ]


def test_of_two_scans_of_a_step_the_one_written_first_counts(view):
    entries = [
        taken(a_unit()),
        an_entry(Kind.STEP_DONE, {"step": "sand"}, when="09:00", seq=2),
        # made up for later, and said to have happened before
        an_entry(Kind.STEP_DONE, {"step": "sand", "at_ms": 1_772_000_000_000}, when="10:00", seq=3),
    ]
    # ahead of its server's clock by hours, it would sort last
    entries.append(an_entry(Kind.STEP_DONE, {"step": "fill"}, when="20:00", seq=1, kiosk="K2"))
    entries.append(an_entry(Kind.STEP_DONE, {"step": "fill"}, when="10:00", seq=4))
    entries = stamped(entries, (-1000, -1000, -1000, 12 * 60 * MINUTE, -1000))

    rows = view(entries)("step, id", "steps_done", "step")

    state = fold_unit(entries)
    assert rows == [("fill", "K2-1"), ("sand", "K1-2")]
    assert dict(rows) == {step: one.entry for step, one in state.done.items()}


def test_of_two_readings_of_one_moment_the_later_written_counts(view):
    moment = 1_772_000_000_000
    air = replace(a_unit(), unit="")
    written = (
        (2, "09:00", [[moment, 20, 50, None, None], [moment, 21, 50, None, 10]]),
        (1, "08:00", [[moment, 19, 50, None, None], [moment + 1, 19, 50, None, None]]),
        (3, "10:00", [[moment, 22, 50, None, 10.5], [moment, 23, 50, 61, None]]),  # of no shop
    )
    entries = [
        received(
            an_entry(
                Kind.AIR_READ, {"source": "typed", "readings": rows}, when=when, seq=seq, unit=air
            )
        )
        for seq, when, rows in written
    ]

    rows = view(entries)("temperature_c, speed_m_s", "air_readings", "at")

    assert rows == [(21.0, 10.0), (19.0, None)]


def test_what_counts_happened_when_the_program_says_it_did(view):
    odd = ({"at_ms": 5}, {"at_ms": "5"}, {"at_ms": -1}, {"at_ms": 5.0}, {"at_ms": LATEST_MS},
           {"at_ms": None}, {})  # fmt: skip
    entries = [an_entry(Kind.RAGS_CLEARED, body, seq=seq) for seq, body in enumerate(odd, start=1)]
    entries += [
        an_entry(Kind.RAGS_CLEARED, seq=20, wall_ms=-5),
        an_entry(Kind.RAGS_CLEARED, seq=21, wall_ms=2**60),
        an_entry(Kind.JOB_OPENED, seq=22),
        an_entry(Kind.STRUCK, {"target": "K1-22"}, seq=23),  # cannot be struck
        an_entry(Kind.STRUCK, {"target": "K1-23"}, seq=24),  # nor can a strike
        an_entry(Kind.STRUCK, {"target": "K1-3"}, seq=25),
    ]
    entries = [replace(one, received_ms=2**40) for one in entries]

    rows = view(entries)("id, at, ordered_ms", "happened", "ordered_ms, c, kiosk, seq")

    assert rows == [(one.id, one.at, one.order[0]) for one in standing_entries(entries)]


def test_a_nul_sign_in_a_body_breaks_no_view(view):
    names = ["a\0b", "\0\0", "back\\u0000slash", "\\\0", "\\", 'q"\0"']
    entries = [
        received(an_entry(Kind.JOB_OPENED, {"name": name}, seq=seq, unit=a_unit(job=str(seq))))
        for seq, name in enumerate(names, start=1)
    ]

    rows = view(entries)("name", "jobs", "job")

    assert [row[0] for row in rows] == [name.replace("\0", "\ufffd") for name in names]


def test_the_last_word_on_a_job_counts(view):
    opened = {"name": "Kiln room", "site": "yard", "hang_day": "2026-03-20"}
    entries = [
        an_entry(Kind.JOB_OPENED, opened, seq=1, when="08:00"),
        an_entry(Kind.JOB_CLOSED, opened | {"name": "Kiln"}, seq=3, when="10:00"),
        an_entry(Kind.JOB_OPENED, opened, seq=2, when="09:00"),
        an_entry(Kind.JOB_OPENED, opened, seq=4, when="09:00", unit=a_unit(job="OPEN")),
    ]

    rows = view(map(received, entries))("job, is_open, name, site, hang_day", "jobs")

    assert rows == [
        ("GLAZE", False, "Kiln", "yard", "2026-03-20"),
        ("OPEN", True, "Kiln room", "yard", "2026-03-20"),
    ]


def test_a_unit_is_told_with_its_job_open_or_not(view):
    spec, other = a_unit("S1"), a_unit("S2", job="OPEN")
    entries = [
        taken(spec, seq=1),
        an_entry(Kind.STEP_DONE, {"step": "sand"}, seq=2, when="08:00"),
        taken(other, seq=3),
        an_entry(Kind.JOB_OPENED, seq=4, unit=replace(spec, unit=""), when="06:00"),
        an_entry(Kind.JOB_CLOSED, seq=5, unit=replace(spec, unit=""), when="10:00"),
        an_entry(Kind.JOB_CLOSED, seq=6, unit=replace(other, unit=""), when="09:00"),
        an_entry(Kind.JOB_OPENED, seq=7, unit=replace(other, unit=""), when="10:00"),
        taken(replace(spec, kind="box", finish="oil"), seq=8, when="09:00"),
    ]

    ask = view(map(received, entries))

    told = ask("unit, unit_kind, step, job_is_open", "unit_last_step", "unit")
    assert told == [("S1", "box", "sand", False), ("S2", "shelf", None, True)]
    assert ask("unit, unit_kind, finish", "units", "unit") == [
        ("S1", "box", "oil"),
        ("S2", "shelf", "clear"),
    ]
    assert ask("unit, finish, coats", "coats_per_unit", "unit") == [
        ("S1", "oil", 0),
        ("S2", "clear", 0),
    ]


def test_steps_are_counted_by_day_person_and_kind(view):
    lines = ("cut A 09:00", "cut B 09:10", "glue-up 10:00", "sand Tue 08:00", "sand Tue 08:10")
    entries = history(*lines)
    entries[2] = replace(entries[2], person="Ole")

    rows = view(map(received, entries))(
        "day, person, step, steps, units", "steps_per_day", "1, 2, 3"
    )

    assert [(f"{row[0]:%a}", *row[1:]) for row in rows] == [
        ("Mon", "Ida", "cut", 1, 1),
        ("Mon", "Ida", "glue-up", 1, 1),
        ("Mon", "Ole", "cut", 1, 1),
        ("Tue", "Ida", "sand", 1, 1),  # scanned twice, done once
    ]


def test_intervals_run_from_scan_to_scan_of_one_person_and_day(view):
    spec = a_unit()
    scans = (
        ("08:00", "Ida", "K1", "cut"),
        ("08:04", "Ole", "K1", "gather"),
        ("08:10", "Ida", "K2", "glue-up"),  # at the other kiosk
        ("08:30", "", "K1", "fill"),
        ("08:31", "", "K2", "sand"),  # nobody named: another kiosk, another person
        ("08:45", "", "K1", "mask"),
        ("Tue 08:00", "Ida", "K1", "hang"),
    )
    entries = [taken(spec)] + [
        an_entry(Kind.STEP_DONE, {"step": step}, when=when, person=person, kiosk=kiosk, seq=seq)
        for seq, (when, person, kiosk, step) in enumerate(scans, start=2)
    ]

    rows = view(map(received, entries))(
        "person, step, before_at, minutes, unit_kind", "touch_intervals", "at"
    )

    assert rows == [
        ("Ida", "glue-up", at("08:00"), 10.0, "shelf"),
        ("", "mask", at("08:30"), 15.0, "shelf"),
    ]


def test_one_shop_strikes_nothing_of_another(view):
    scan = received(an_entry(Kind.STEP_DONE, {"step": "cut"}))
    mine = view([scan])

    view([received(an_entry(Kind.STRUCK, {"target": scan.id}, seq=2))])

    assert len(mine("*", "steps_done")) == 1


def test_the_page_on_several_kiosks_names_all_views_and_its_queries_run(view):
    page = (Path(__file__).parents[3] / "docs/several-kiosks.md").read_text("utf-8")
    queries = [
        query
        for block in re.findall(r"```sql\n(.*?)```", page, re.DOTALL)
        for query in block.split(";")
        if query.strip()
    ]
    views = "SELECT viewname FROM pg_views WHERE schemaname = 'cleatclock'"
    ask = view(map(received, history("cut A 09:00", "glue-up 10:00", "coat-1 Tue 09:00")))
    told = {row[0] for row in re.findall(r"^\| `(\w+)` \| ()", page, re.MULTILINE)}

    with ask.admin.transaction():
        ask.admin.execute("SET LOCAL ROLE cleatclock_report")
        for query in queries:
            ask.admin.execute(query).fetchall()

    assert {row[0] for row in ask.admin.execute(views)} <= told
    assert len(queries) == 10


def test_who_reads_the_reports_reads_the_views_and_nothing_else(pg_server):
    database = pg_server.new_database()
    with psycopg.connect(_prepared(pg_server.admin_url(database))) as admin:
        views = "SELECT viewname FROM pg_views WHERE schemaname = 'cleatclock'"
        names = [row[0] for row in admin.execute(views)]
        admin.execute("SET ROLE cleatclock_report")
        for name in names:
            admin.execute(f"SELECT * FROM cleatclock.{name}")
        for name in ("entry", "kiosk"):
            with pytest.raises(psycopg.errors.InsufficientPrivilege), admin.transaction():
                admin.execute(f"SELECT * FROM cleatclock.{name}")

    assert len(names) == 10
