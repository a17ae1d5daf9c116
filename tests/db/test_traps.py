"""What SQLite and peewee do in silence, each shown once and kept out of the log for good."""

import re
import threading
from contextlib import closing
from pathlib import Path

import apsw
import peewee
import pytest

import db
from db.backup import verify
from db.connect import DatabaseRefused, DbError, DiskFailed, ReadOnly, connect
from db.log import Changes, Draft, Log, Row
from db.records import TABLES, Record

NOTHING = Changes()


def nothing():
    return NOTHING


def draft(unit="U1", **body):
    return Draft("step_done", "J", unit, "Mara", body)


def append(log, *drafts, at=1_000, kiosk="K"):
    return log.append(drafts or (draft(),), kiosk=kiosk, wall_ms=at, changes=NOTHING)


@pytest.fixture
def log(tmp_path):
    opened = Log.open(tmp_path / "shop.db")
    yield opened
    opened.close()


@pytest.fixture
def other(tmp_path):
    opened = Log.open(tmp_path / "other.db")
    yield opened
    opened.close()


def test_two_open_files_each_keep_their_own_projection(log, other):
    changes = Changes(
        jobs=[("J", True, {})], units=[("J", "U1", True)], pieces=[("K222222", "J", "U1")]
    )

    log.append([draft()], kiosk="K", wall_ms=1, changes=changes)
    log.take_numbers("K", 5)

    assert log.find_piece("K222222") == ("J", "U1")
    assert log.open_units() == [("J", "U1")]
    assert (other.jobs(), other.units_of("J"), other.find_piece("K222222")) == ([], [], None)
    assert list(other.take_numbers("K", 1)) == [1]


def test_a_query_that_names_no_file_fails_instead_of_choosing_one(log):
    assert log.last_pos() == 0

    with pytest.raises(AttributeError):
        TABLES[0].select().count()


def test_a_deferred_transaction_that_reads_first_fails_where_ours_waits(log, tmp_path):
    # measured with four threads: 281 of 400; the wait for a lock does not help a stale snapshot
    path = tmp_path / "shop.db"
    deferred = apsw.Connection(str(path))
    with closing(deferred):
        deferred.execute("BEGIN")
        deferred.execute("SELECT max(seq) FROM entry").fetchone()
        append(log)

        with pytest.raises(apsw.BusyError):
            deferred.execute("UPDATE counter SET next = 1")

    statements = []
    log._db.connection().set_exec_trace(lambda _c, said, _v: statements.append(said) or True)
    append(log)
    assert statements[0] == "BEGIN IMMEDIATE"


def test_save_with_an_id_of_ours_would_lose_the_row_so_the_log_never_saves():
    sources = [path.read_text() for path in Path(next(iter(db.__path__))).glob("*.py")]
    file = peewee.SqliteDatabase(":memory:")

    class Note(peewee.Model):
        id = peewee.TextField(primary_key=True)
        text = peewee.TextField()

        class Meta:
            database = file

    file.create_tables([Note])
    Note(id="a", text="coat 2").save()
    kept = Note.select().count()
    file.close()

    assert kept == 0  # an UPDATE of no row, and no error
    traps = r"\.save\(|on_conflict_ignore|OR IGNORE INTO|OR REPLACE|\.replace\(\*\*|\.iterator\("
    assert not [found for text in sources for found in re.findall(traps, text)]


def test_a_true_retry_is_passed_over_but_a_used_place_in_the_sequence_is_refused(log, other):
    (row,) = append(log)
    other.merge([row], nothing)
    imposter = Row(**{name: getattr(row, name) for name in row.__slots__} | {"id": "f" * 32})

    again = other.merge([row], nothing)

    assert again == ()
    with pytest.raises(DbError):
        other.merge([imposter], nothing)
    assert [kept.id for kept in other.rows_after(0)] == [row.id]


def test_an_entry_that_lacks_something_is_refused_and_not_ignored(log, other):
    (row,) = append(log)
    broken = Row(**{name: getattr(row, name) for name in row.__slots__} | {"person": None})

    with pytest.raises(DbError):
        other.merge([broken], nothing)

    assert other.last_pos() == 0


def test_a_log_opened_by_one_thread_serves_another_on_the_same_connection(log):
    connection, seen = log._db.connection(), []

    def write():
        append(log)
        seen.append(log._db.connection())

    thread = threading.Thread(target=write)
    thread.start()
    thread.join()

    assert seen == [connection]
    assert log.last_pos() == 1


def test_threads_that_share_a_log_take_turns(log):
    def write():
        for _ in range(25):
            append(log, draft(), draft())

    threads = [threading.Thread(target=write) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()

    rows = log.rows_after(0)
    assert [row.seq for row in rows] == list(range(1, 201))
    assert [(row.l, row.c) for row in rows] == sorted({(row.l, row.c) for row in rows})


def test_another_thread_reads_nothing_that_is_not_yet_committed(log):
    seen = []
    reader = threading.Thread(target=lambda: seen.append(log.last_pos()))

    with log._writing():
        log._insert(log._rows_of([draft()], "K", 1_000))
        reader.start()
        reader.join(timeout=0.05)
        waited = reader.is_alive()
    reader.join()

    assert waited
    assert seen == [1]


def test_a_closed_log_stays_closed(tmp_path):
    log = Log.open(tmp_path / "shop.db")
    log.close()

    with pytest.raises(DbError):
        append(log)


def test_reading_leaves_the_write_ahead_log_free_to_shrink(log, tmp_path):
    for _ in range(20):
        append(log, *[draft(text="x" * 2_000) for _ in range(20)])
        next(iter(log.units_rows([("J", "U1")])))

    log._db.execute_sql("PRAGMA wal_checkpoint(TRUNCATE)").fetchone()

    assert (tmp_path / "shop.db-wal").stat().st_size == 0


@pytest.mark.parametrize(
    ("name", "wanted"),
    [("journal_size_limit", 16 * 1024 * 1024), ("cell_size_check", 1), ("busy_timeout", 10_000)],
)
def test_the_lesser_settings_hold_too(tmp_path, name, wanted):
    database = connect(tmp_path / "shop.db")

    (found,) = database.execute_sql(f"PRAGMA {name}").fetchone()

    database.close()
    assert found == wanted


def test_a_new_files_folder_is_synced_once(tmp_path, monkeypatch):
    # in a strict reading of POSIX a new name may vanish at power loss until its folder is synced
    synced = []
    monkeypatch.setattr("db.connect.sync_folder", synced.append)

    Log.open(tmp_path / "shop.db").close()
    Log.open(tmp_path / "shop.db").close()

    assert synced == [tmp_path]


def test_a_file_that_may_not_be_written_is_refused_before_it_is_touched(tmp_path, monkeypatch):
    path = tmp_path / "shop.db"
    Log.open(path).close()
    monkeypatch.setattr("os.access", lambda *_: False)

    with pytest.raises(DatabaseRefused, match="cannot be written"):
        Log.open(path)


def test_a_file_that_turns_read_only_is_told_in_words_and_works_again_after(log):
    log._db.execute_sql("PRAGMA query_only = 1")

    with pytest.raises(ReadOnly, match="give the kiosk's user"):
        append(log)

    log._db.execute_sql("PRAGMA query_only = 0")
    assert append(log)[0].seq == 1


def test_a_write_the_system_refuses_is_told_in_words_and_the_next_one_works(log, tmp_path):
    resource = pytest.importorskip("resource")
    signal = pytest.importorskip("signal")
    append(log)
    before = resource.getrlimit(resource.RLIMIT_FSIZE)
    heard = signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    resource.setrlimit(resource.RLIMIT_FSIZE, (200_000, before[1]))
    try:
        with pytest.raises(DiskFailed, match="did not take"):
            append(log, draft(text="x" * 500_000))
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, before)
        signal.signal(signal.SIGXFSZ, heard)

    assert append(log)[0].seq == 2
    assert verify(tmp_path / "shop.db") == []


@pytest.mark.parametrize("body", [{"text": "\ud800"}, {"mm": float("nan")}])
def test_what_cannot_be_kept_as_text_is_refused_whole(log, body):
    with pytest.raises(DbError, match="cannot keep"):
        append(log, draft(), draft(**body))

    assert log.last_pos() == 0


def test_damage_is_told_in_words_with_the_way_out_by_every_question(tmp_path):
    path = tmp_path / "shop.db"
    full = Log.open(path)
    append(full, *[draft(text="x" * 3_000) for _ in range(100)])
    full.close()
    data = bytearray(path.read_bytes())
    data[8192:] = b"\x55" * (len(data) - 8192)
    path.write_bytes(data)

    log = Log.open(path)

    for ask in (log.last_pos, log.open_units, log.jobs, lambda: log.rows_after(0)):
        with pytest.raises(DatabaseRefused, match=r"damaged.*restore"):
            ask()
    with pytest.raises(DatabaseRefused, match=r"damaged.*restore"):
        append(log)
    log.close()


def test_bodies_are_kept_compact_and_as_people_wrote_them(log):
    (row,) = append(log, draft(name="Ton­mühle ½″"))

    ((kept,),) = log._db.execute_sql("SELECT body FROM entry").fetchall()

    assert kept == '{"name":"Ton­mühle ½″"}'
    assert log.row(row.id).body == {"name": "Ton­mühle ½″"}


def test_the_tables_peewee_knows_are_those_of_the_file(log):
    for table in TABLES:
        columns = {column.name for column in log._db.get_columns(table._meta.table_name)}
        indexes = {
            tuple(index.columns)
            for index in log._db.get_indexes(table._meta.table_name)
            if not index.name.startswith("sqlite_")
        }
        declared = {tuple(fields) for fields, _ in table._meta.indexes}
        declared |= {(name,) for name, kind in table._meta.fields.items() if kind.unique}

        assert columns == set(table._meta.columns)
        assert indexes == declared
    assert {table.__name__ for table in Record.__subclasses__()} == {t.__name__ for t in TABLES}
