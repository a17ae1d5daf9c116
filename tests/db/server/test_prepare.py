"""A database is prepared once, again without harm, and its steps never change."""

import psycopg

from db.server.kiosks import list_kiosks
from db.server.prepare import prepare


def test_preparing_twice_does_nothing_the_second_time(pg):
    database = pg.new_database()

    first = prepare(pg.admin_url(database), shop="shop")
    second = prepare(pg.admin_url(database), shop="shop")

    assert any("001_log.sql" in line for line in first)
    assert second == []


def test_a_kiosk_writes_and_reads_its_entry(prepared):
    url = prepared.add_kiosk("K")

    with psycopg.connect(url) as kiosk:
        kiosk.execute(
            "INSERT INTO cleatclock.entry (shop, id, kiosk, seq, l, c, wall_ms, person, kind, job,"
            " unit, body, chain) VALUES ('shop', 'a', 'K', 1, 1, 0, 1, '', 'struck', '', '', '{}',"
            " '') ON CONFLICT (shop, id) DO NOTHING"
        )
        rows = kiosk.execute("SELECT id, received_ms FROM cleatclock.entry").fetchall()

    assert [row[0] for row in rows] == ["a"]
    (known,) = list_kiosks(prepared.admin_url)
    assert (known.letter, known.entries, known.last_ms) == ("K", 1, rows[0][1])
