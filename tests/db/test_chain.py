"""Each entry is tied to the one before it of its kiosk, also where a file had no links yet."""

import hashlib
import json

import apsw

from db.chain import FIRST, link
from db.log import Changes, Draft, Log


def append(log, number, kiosk="K"):
    draft = Draft("step_done", "J", f"U{number}", "Mara", {"step": "cut", "note": "ä ½"})
    return log.append([draft], kiosk=kiosk, wall_ms=1_000 + number, changes=Changes())[0]


def links_by_hand(rows):
    """Say what the links must be by SHA-256 over JSON, written a second time."""
    before: dict[str, str] = {}
    for row in sorted(rows, key=lambda row: (row.kiosk, row.seq)):
        body = json.dumps(row.body, ensure_ascii=False, separators=(",", ":"))
        told = [before.get(row.kiosk, ""), row.id, row.kiosk, row.seq, row.l, row.c, row.wall_ms,
                row.person, row.kind, row.job, row.unit, body]  # fmt: skip
        text = json.dumps(told, ensure_ascii=False, separators=(",", ":"))
        before[row.kiosk] = hashlib.sha256(text.encode()).hexdigest()
        yield row.id, before[row.kiosk]


def test_each_entry_is_tied_to_the_one_before_it_of_its_kiosk(tmp_path):
    log = Log.open(tmp_path / "shop.db")
    rows = [append(log, number, "K" if number % 3 else "M") for number in range(7)]

    assert {row.id: row.chain for row in rows} == dict(links_by_hand(rows))
    assert log.heads() == {"K": (4, rows[5].chain), "M": (3, rows[6].chain)}
    log.close()


def test_a_link_tells_of_every_field_and_of_what_was_before():
    fields = ("id", "K", 1, 2, 3, 4, "Mara", "step_done", "J", "U", "{}")
    found = {link(FIRST, fields), link("x", fields)}
    for place, value in enumerate(fields):
        other = value + 1 if isinstance(value, int) else value + "x"
        found.add(link(FIRST, (*fields[:place], other, *fields[place + 1 :])))
    assert len(found) == len(fields) + 2


def test_a_file_from_before_there_were_links_gets_the_same_ones(tmp_path):
    path = tmp_path / "shop.db"
    log = Log.open(path)
    rows = [append(log, number, "K" if number % 2 else "M") for number in range(5)]
    log.close()
    old = apsw.Connection(str(path))
    old.execute("ALTER TABLE entry DROP COLUMN chain; DROP TABLE own; PRAGMA user_version = 2;")
    old.close()

    log = Log.open(path)

    assert [row.chain for row in log.rows_after(0)] == [row.chain for row in rows]
    assert [row.id for row in log.outbox(9)] == [row.id for row in log.kiosk_rows("K", 0, 9)] + [
        row.id for row in log.kiosk_rows("M", 0, 9)
    ]
    log.close()
