"""A copy is worth what it proves: read whole, folded anew, and held against its shop."""

import os
from contextlib import closing
from datetime import UTC, datetime, timedelta

import apsw
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from db.log import Changes, Draft, Log
from kiosk.actions import Shop
from kiosk.actions.drills import run_drill
from kiosk.clock import FixedClock
from kiosk.rules.entries import Kind
from kiosk.settingstext import load
from kiosk.store import Job, Note, Store, StoreError
from kiosk.store.notes import changes_of
from kiosk.store.proving import bring_back, compare, drill, prove, rebuild, take_copy

AT = datetime(2026, 3, 9, 8, 0, tzinfo=UTC)
# what bodies are made of, so that strange values stand where sound ones are looked for
KEYS = st.sampled_from(["pieces", "code", "part", "name", "recut", "kind", "hangs_on", "x"])
SETTINGS, _ = load('zone = "UTC"')
LIST = (
    "Unit;Kind;Part;Qty;Length (mm);Width (mm)\n"
    "S1;shelf;Board;3;300;200\nS2;shelf;Board;1;300;200\n"
)


def work(file, job="JARS", scans=2):
    """Take in a list of two units with four parts, and cut some."""
    store = Store.open(file, "K")
    shop = Shop(store, SETTINGS, FixedClock(AT))
    listed = file.with_name("list.csv")
    listed.write_text(LIST, "utf-8")
    taken = shop.take_in(listed, Job(job, "Jars"))
    codes = [piece.code for unit in taken.units for piece in unit.pieces]
    for code in codes[:scans]:
        shop.scan(code, station="cut")
    store.close()
    return codes


@pytest.fixture
def file(tmp_path):
    path = tmp_path / "shop.db"
    work(path)
    return path


def change(file, *statements):
    with closing(apsw.Connection(str(file))) as base:
        for statement in statements:
            base.execute(statement)


def rows(file, query):
    with closing(apsw.Connection(str(file))) as base:
        return base.execute(query).fetchall()


def test_a_sound_copy_is_counted(file, tmp_path):
    proof = take_copy(file, tmp_path / "copy.db")

    (entries,) = rows(file, "SELECT count(*) FROM entry")[0]
    assert proof.entries == entries > 4
    assert (proof.jobs, proof.units, proof.pieces) == (1, 2, 4)
    assert proof.latest == AT
    assert proof.problems == proof.lists == ()
    assert prove(tmp_path / "copy.db") == proof


def test_a_copy_is_made_while_the_shop_is_written_to(file, tmp_path):
    store = Store.open(file, "K")
    shop = Shop(store, SETTINGS, FixedClock(AT))
    shop.hold("S1", reason="cracked")

    proof = take_copy(file, tmp_path / "copy.db")
    shop.lift("S1")

    beside = compare(tmp_path / "copy.db", file)
    assert (beside.other, beside.since, beside.why) == (None, 1, "")
    store.close()
    assert proof.entries + 1 == prove(file).entries


@pytest.mark.parametrize(
    ("statement", "said"),
    [
        ("DELETE FROM piece WHERE code = (SELECT min(code) FROM piece)", "code "),
        ("UPDATE unit SET is_there = 0 WHERE unit = 'S2'", "unit JARS/S2"),
        ("INSERT INTO unit (job, unit, is_there) VALUES ('JARS', 'S9', 1)", "unit JARS/S9"),
        ("UPDATE job SET body = '{}'", "job JARS"),
        ("UPDATE job SET is_open = 0", "job JARS"),
    ],
)
def test_lists_that_do_not_follow_from_the_log_are_made_anew_in_the_copy_only(
    file, tmp_path, statement, said
):
    right = prove(file)
    change(file, statement)
    wrong = prove(file)

    proof = take_copy(file, tmp_path / "copy.db")

    assert proof.lists == wrong.lists
    assert said in "; ".join(proof.lists)
    assert prove(tmp_path / "copy.db") == right
    assert prove(file) == wrong
    assert not [one.name for one in tmp_path.iterdir() if ".part" in one.name]


def test_a_mended_copy_can_be_read_where_nothing_can_be_written(file, tmp_path):
    """As from a stick with its switch on: a file left in write-ahead mode could not be read."""
    change(file, "UPDATE job SET is_open = 0")
    take_copy(file, tmp_path / "copy.db")

    assert (tmp_path / "copy.db").read_bytes()[18:20] == b"\x01\x01"  # sqlite.org, "File Format"


def test_the_shops_own_lists_are_made_anew_when_asked(file):
    right = prove(file)
    change(file, "DELETE FROM piece", "UPDATE unit SET is_there = 0")

    found = rebuild(file)

    assert found.lists
    assert prove(file) == right


UNREADABLE = "UPDATE entry SET body = '{\"half' WHERE pos = 3"


def test_a_copy_with_an_entry_that_cannot_be_read_is_not_kept(file, tmp_path):
    change(file, UNREADABLE)

    with pytest.raises(StoreError, match="entry 3 of kiosk K is not as it was written"):
        take_copy(file, tmp_path / "copy.db")

    assert not list(tmp_path.glob("copy.db*"))


def test_a_copy_with_an_entry_that_cannot_be_read_is_not_brought_back(file, tmp_path):
    take_copy(file, tmp_path / "copy.db")
    change(tmp_path / "copy.db", UNREADABLE)
    before = file.read_bytes()

    with pytest.raises(StoreError, match="not whole"):
        bring_back(tmp_path / "copy.db", file)

    assert file.read_bytes() == before
    assert not list(tmp_path.glob("*before-restore*"))
    assert not list(tmp_path.glob("*.part*"))


def test_a_copy_that_differs_from_its_shop_is_not_kept(file, tmp_path, monkeypatch):
    """As where the disk gives other bytes to the copy than to the shop."""
    from kiosk.store import proving

    def spoil(shop, to, check):
        part = to.with_name("copy.db.part")
        backup(shop, part)
        change(part, "UPDATE entry SET person = 'nobody' WHERE pos = 5")
        raise StoreError("; ".join(check(part)))

    backup = proving.backup
    monkeypatch.setattr(proving, "backup", spoil)

    with pytest.raises(StoreError, match=r"^entry 5 is not as the shop has it$"):
        take_copy(file, tmp_path / "copy.db")


def test_a_damaged_copy_is_refused(file, tmp_path):
    take_copy(file, tmp_path / "copy.db")
    data = bytearray((tmp_path / "copy.db").read_bytes())
    data[4096 * 2 :] = b"\x55" * (len(data) - 4096 * 2)
    (tmp_path / "copy.db").write_bytes(data)

    with pytest.raises(StoreError):
        bring_back(tmp_path / "copy.db", file)
    assert not run_drill(tmp_path / "copy.db", file, AT).is_sound
    assert prove(tmp_path / "copy.db").problems


def test_what_comes_back_has_right_lists_whatever_the_copys_were(file, tmp_path):
    right = prove(file)
    take_copy(file, tmp_path / "copy.db")
    change(tmp_path / "copy.db", "DELETE FROM piece")

    proof, kept = bring_back(tmp_path / "copy.db", file)

    assert proof.lists
    assert prove(file) == right
    assert kept is not None


# -- the drill ---------------------------------------------------------------------------------


def test_a_drill_brings_a_copy_back_elsewhere_and_changes_nothing(file, tmp_path):
    take_copy(file, tmp_path / "copy.db")
    before = {one.name: one.read_bytes() for one in tmp_path.iterdir()}
    scratch = tmp_path / "scratch"
    scratch.mkdir()

    found = drill(tmp_path / "copy.db", file, scratch)

    assert found.proof == prove(file)
    assert (found.compared.other, found.compared.since) == (None, 0)
    again = {one.name: one.read_bytes() for one in tmp_path.iterdir() if one.is_file()}
    assert {name: again[name] for name in before} == before


def test_a_drill_tells_how_much_came_since(file, tmp_path):
    take_copy(file, tmp_path / "copy.db")
    before = prove(file).entries
    work(file, "TINS", scans=0)

    made = run_drill(tmp_path / "copy.db", file, AT)

    assert made.is_sound
    assert made.found.compared.since == prove(file).entries - before > 0
    assert not list(tmp_path.glob(".drill-*"))


def test_a_drill_tells_where_the_shop_went_another_way(file, tmp_path):
    take_copy(file, tmp_path / "early.db")
    early = prove(file).entries
    work(file, "TINS")
    take_copy(file, tmp_path / "late.db")
    bring_back(tmp_path / "early.db", file)
    work(file, "POTS")

    made = run_drill(tmp_path / "late.db", file, AT)

    assert made.is_sound
    assert made.found.compared.other == early + 1
    assert made.found.compared.since == prove(file).entries - early


def test_a_drill_needs_no_shop(file, tmp_path):
    take_copy(file, tmp_path / "copy.db")
    file.unlink()

    made = run_drill(tmp_path / "copy.db", tmp_path / "shop.db", AT)

    assert made.is_sound
    assert "is not there" in made.found.compared.why


def test_a_drill_of_a_copy_that_is_gone_says_so(file, tmp_path):
    made = run_drill(tmp_path / "none.db", file, AT)

    assert not made.is_sound
    assert "none.db is not there" in made.why


def test_odd_entries_of_other_programs_are_proved_like_any(file, tmp_path):
    log = Log.open(file)
    for kind, unit, body in (
        ("unit_taken", "S7", {"pieces": [{"no": "code"}, 7]}),
        ("unit_taken", "S8", {"pieces": "many", "name": 8}),
        ("unit_coded", "S1", {"code": ["a"]}),
        ("job_opened", "", {"name": None}),
        ("never_heard_of", "S1", {"x": 1}),
    ):
        log.append([Draft(kind, "JARS", unit, "", body)], kiosk="M", wall_ms=1, changes=Changes())
    log.close()

    proof = take_copy(file, tmp_path / "copy.db")

    assert proof.problems == ()
    assert prove(tmp_path / "copy.db").lists == ()


json = st.recursive(
    st.none() | st.booleans() | st.integers() | st.text(max_size=4),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(KEYS, inner, max_size=4),
    max_leaves=8,
)


@settings(max_examples=300, deadline=None)
@given(st.sampled_from(list(Kind)), st.dictionaries(KEYS, json, max_size=5))
def test_no_body_of_any_kind_stops_a_proof(kind, body):
    changes = changes_of([Note(kind, "JARS", "S1", body)])

    assert all(isinstance(code, str) for code, _job, _unit in changes.pieces)


def test_a_clock_that_was_far_off_stops_no_proof(file, tmp_path):
    log = Log.open(file)
    draft = Draft("rags_cleared", "", "", "", {})
    log.append([draft], kiosk="M", wall_ms=2**60, changes=Changes())
    log.close()

    proof = take_copy(file, tmp_path / "copy.db")

    assert proof.problems == ()
    assert proof.latest.year == 2100


def test_a_scratch_folder_that_a_power_cut_left_behind_goes(file, tmp_path):
    take_copy(file, tmp_path / "copy.db")
    left, young = tmp_path / ".drill-left", tmp_path / ".drill-young"
    for folder, at in ((left, AT - timedelta(days=2)), (young, AT)):
        folder.mkdir()
        os.utime(folder, (at.timestamp(), at.timestamp()))

    assert run_drill(tmp_path / "copy.db", file, AT).is_sound

    assert young.is_dir()
    assert not left.exists()


def test_an_empty_shop_can_be_copied_and_proved(tmp_path):
    Store.open(tmp_path / "shop.db", "K").close()

    proof = take_copy(tmp_path / "shop.db", tmp_path / "copy.db")

    assert (proof.entries, proof.latest, proof.problems) == (0, None, ())
