"""Letters are handed out once each, and a kiosk's login may do what a kiosk must and no more."""

from concurrent.futures import ThreadPoolExecutor

import psycopg
import pytest
from psycopg import errors

from db.connect import DbError
from db.server.kiosks import add_kiosk, list_kiosks, remove_kiosk, renew_kiosk
from db.server.link import ServerRefused
from db.server.prepare import prepare
from tests.pgserver import Prepared

COLUMNS = "shop, id, kiosk, seq, l, c, wall_ms, person, kind, job, unit, body, chain"
FREE = "CAPREWKBX"


def entry(entry_id: str, *, kiosk: str = "K", shop: str = "shop", seq: int = 1) -> str:
    values = (
        f"'{shop}', '{entry_id}', '{kiosk}', {seq}, 5, 0, 5, 'Ida', 'struck', '', '', '{{}}', ''"
    )
    return f"INSERT INTO cleatclock.entry ({COLUMNS}) VALUES ({values})"


def do(url: str, query: str) -> list[tuple]:
    with psycopg.connect(url) as connection:
        found = connection.execute(query)
        return found.fetchall() if found.description else []


@pytest.fixture(scope="module")
def shops(pg_server):
    """Two shops in one database: kiosks K and A of the one, B of the other, an entry each."""
    database = pg_server.new_database()
    here = Prepared(pg_server, database)
    for shop in ("shop", "other"):
        prepare(here.admin_url, shop=shop)
    urls = {}
    for letter, shop in (("K", "shop"), ("A", "shop"), ("B", "other")):
        made = add_kiosk(here.admin_url, name=letter, letters=FREE, letter=letter, shop=shop)
        urls[letter] = made.url
        do(made.url, entry(f"first-{letter}", kiosk=letter, shop=shop))
    urls["admin"] = here.admin_url
    return urls


def test_a_kiosk_reads_all_of_its_shop_and_nothing_of_another(shops):
    for letter, seen in (("K", ["A", "K"]), ("A", ["A", "K"]), ("B", ["B"])):
        read = do(shops[letter], "SELECT kiosk FROM cleatclock.entry ORDER BY kiosk")
        kiosks = do(shops[letter], "SELECT letter FROM cleatclock.kiosk ORDER BY letter")

        assert [row[0] for row in read] == seen
        assert [row[0] for row in kiosks] == seen


def test_a_repeated_entry_is_passed_over_and_a_reused_place_is_not(shops):
    again = entry("first-K") + " ON CONFLICT (shop, id) DO NOTHING RETURNING received_ms"

    assert do(shops["K"], again) == []
    with pytest.raises(errors.UniqueViolation):
        do(shops["K"], entry("another") + " ON CONFLICT (shop, id) DO NOTHING")


@pytest.mark.parametrize(
    "query",
    [
        entry("x1", kiosk="A", seq=2),
        entry("x2", kiosk="B", shop="other", seq=2),
        entry("x3", kiosk="K", shop="other"),
        entry("x4", seq=2).replace("chain)", "chain, received_ms)")[:-1] + ", 7)",
        entry("first-K") + " ON CONFLICT (shop, id) DO UPDATE SET person = 'Eve'",
        "UPDATE cleatclock.entry SET person = 'Eve'",
        "UPDATE cleatclock.entry SET received_ms = 7",
        "UPDATE cleatclock.kiosk SET letter = 'X'",
        "INSERT INTO cleatclock.kiosk SELECT 'shop', 'X', session_user, '', 1",
        "DELETE FROM cleatclock.entry",
        "DELETE FROM cleatclock.kiosk",
        "SELECT * FROM cleatclock.entry FOR UPDATE",
        "TRUNCATE cleatclock.entry",
        "DROP TABLE cleatclock.entry",
        "DROP SCHEMA cleatclock CASCADE",
        "ALTER TABLE cleatclock.entry DISABLE ROW LEVEL SECURITY",
        "ALTER TABLE cleatclock.entry DISABLE TRIGGER ALL",
        "DROP POLICY entry_reads ON cleatclock.entry",
        "CREATE POLICY mine ON cleatclock.entry USING (true)",
        "CREATE OR REPLACE FUNCTION cleatclock.own_shop() RETURNS text LANGUAGE sql AS 'SELECT 1'",
        "CREATE TABLE cleatclock.mine (a int)",
        "CREATE TABLE public.mine (a int)",
        "CREATE TEMP TABLE mine (a int)",
        "CREATE SCHEMA mine",
        "CREATE FUNCTION public.mine() RETURNS int LANGUAGE sql AS 'SELECT 1'",
        "CREATE ROLE mine",
        "ALTER ROLE session_user SUPERUSER",
        "GRANT SELECT ON cleatclock.step TO PUBLIC",
        "SET ROLE admin",
        "SET SESSION AUTHORIZATION admin",
        "SET session_replication_role = replica",
        "SELECT * FROM cleatclock.shop",
        "SELECT * FROM cleatclock.step",
        "SELECT * FROM cleatclock.happened",
        "SELECT * FROM pg_authid",
        "SELECT pg_read_file('/etc/passwd')",
        "SELECT lo_create(0)",
        "SELECT lo_import('/etc/passwd')",
        "COPY (SELECT 1) TO PROGRAM 'cat'",
        "COPY (SELECT 1) TO '/tmp/cleatclock-copy'",
        "COPY cleatclock.entry (id) FROM PROGRAM 'echo 1'",
    ],
)
def test_what_a_kiosk_must_not_do_is_refused(shops, query):
    before = do(shops["admin"], "SELECT * FROM cleatclock.entry ORDER BY id")

    with pytest.raises(errors.InsufficientPrivilege):
        do(shops["K"], query)

    assert do(shops["admin"], "SELECT * FROM cleatclock.entry ORDER BY id") == before


def test_what_a_kiosk_grants_counts_for_nothing(shops):
    do(shops["K"], "GRANT ALL ON cleatclock.entry TO PUBLIC")  # only warned about

    may = "SELECT has_table_privilege('pg_monitor', 'cleatclock.entry', 'SELECT')"
    assert do(shops["admin"], may) == [(False,)]


def test_taking_another_role_opens_no_other_shop(shops):
    # a member of the group may become the group: it is told from the login itself who it is
    query = "SELECT set_config('role', 'cleatclock_kiosk', false), (SELECT count(*)"
    query += " FROM cleatclock.entry WHERE shop <> 'shop')"

    assert do(shops["K"], query) == [("cleatclock_kiosk", 0)]


def test_a_body_that_is_no_object_is_refused(shops):
    for body in ("[1]", "no json", "{", "NaN"):
        with pytest.raises((errors.CheckViolation, errors.InvalidTextRepresentation)):
            do(shops["K"], entry("odd", seq=2).replace("'{}'", f"'{body}'"))


def test_the_first_free_letter_is_given_and_one_seen_in_entries_is_not(prepared):
    kiosk = prepared.add_kiosk("C")
    do(kiosk, entry("1", kiosk="C"))
    do(prepared.admin_url, entry("2", kiosk="A"))

    given = add_kiosk(prepared.admin_url, name="door", letters=FREE)

    assert given.letter == "P"
    # a kiosk that comes back to a rebuilt server has entries there already
    back = add_kiosk(prepared.admin_url, name="bench", letters=FREE, letter="A")
    assert back.letter == "A"


def test_a_letter_is_never_given_twice_even_after_its_kiosk_was_removed(prepared):
    prepared.add_kiosk("C", "bench by the door")

    with pytest.raises(ServerRefused, match="taken by the kiosk 'bench by the door'"):
        prepared.add_kiosk("C")
    assert remove_kiosk(prepared.admin_url, "C") == "bench by the door"
    with pytest.raises(ServerRefused, match="taken"):
        prepared.add_kiosk("C")
    assert add_kiosk(prepared.admin_url, name="next", letters="CA").letter == "A"
    with pytest.raises(ServerRefused, match="all letters"):
        add_kiosk(prepared.admin_url, name="third", letters="CA")
    with pytest.raises(ServerRefused, match="one of CA, not X"):
        add_kiosk(prepared.admin_url, name="cards", letters="CA", letter="X")


def test_kiosks_let_in_at_once_get_letters_of_their_own(prepared):
    with ThreadPoolExecutor(4) as pool:
        made = list(
            pool.map(lambda name: add_kiosk(prepared.admin_url, name=name, letters=FREE), "1234")
        )

    assert sorted(one.letter for one in made) == sorted(FREE[:4])
    assert len({one.role for one in made}) == 4


def test_a_removed_kiosk_is_put_out_at_once_and_stays_out(prepared):
    url = prepared.add_kiosk("K")
    do(url, entry("1"))
    with psycopg.connect(url, autocommit=True) as connected:
        remove_kiosk(prepared.admin_url, "K")

        with pytest.raises(psycopg.OperationalError):
            connected.execute("SELECT count(*) FROM cleatclock.entry")
    with pytest.raises(psycopg.OperationalError):
        do(url, "SELECT 1")
    (known,) = list_kiosks(prepared.admin_url)
    assert (known.entries, known.removed_ms is not None) == (1, True)
    with pytest.raises(ServerRefused, match="no kiosk K is in use"):
        remove_kiosk(prepared.admin_url, "K")


def test_a_new_password_ends_the_old_one(prepared):
    old = prepared.add_kiosk("K")

    new = renew_kiosk(prepared.admin_url, "K").url

    assert do(new, "SELECT letter FROM cleatclock.kiosk") == [("K",)]
    with pytest.raises(psycopg.OperationalError, match="password"):
        do(old, "SELECT 1")
    with pytest.raises(ServerRefused, match="no kiosk A"):
        renew_kiosk(prepared.admin_url, "A")


def test_who_is_in_with_the_old_password_is_put_out(prepared):
    old = add_kiosk(prepared.admin_url, name="bench", letters="K").url
    with psycopg.connect(old) as inside:
        renew_kiosk(prepared.admin_url, "K")

        with pytest.raises(psycopg.OperationalError, match="terminating"):
            inside.execute("SELECT 1")


def test_the_password_is_in_no_log_and_kept_as_scram(prepared):
    made = add_kiosk(prepared.admin_url, name="bench", letters="K")
    password = made.url.split(":")[2].split("@")[0]

    kept = do(
        prepared.admin_url, f"SELECT rolpassword FROM pg_authid WHERE rolname = '{made.role}'"
    )
    assert kept[0][0].startswith("SCRAM-SHA-256$")
    assert made.role in prepared.server.log  # its log of statements is on
    assert len(password) == 48
    assert password not in prepared.server.log


def test_an_address_over_the_network_asks_who_the_server_is(prepared):
    url = prepared.admin_url.replace("127.0.0.1", "10.9.8.7") + "?hostaddr=127.0.0.1"
    named = url + "&sslmode=disable"

    assert add_kiosk(named, name="a", letters="A").url.endswith("?sslmode=disable")
    # the tests' server has no certificate, so only the address itself can be looked at
    with pytest.raises(DbError):
        add_kiosk(url + "&sslmode=verify-full", name="b", letters="B")
    assert add_kiosk(url, name="b", letters="B").url.endswith("?sslmode=verify-full")


def test_with_several_shops_one_must_be_named(shops):
    with pytest.raises(ServerRefused, match="--shop; there is other, shop"):
        add_kiosk(shops["admin"], name="c", letters="C")
    with pytest.raises(ServerRefused, match="--shop"):
        list_kiosks(shops["admin"], shop="third")

    assert [one.letter for one in list_kiosks(shops["admin"], shop="shop")] == ["A", "K"]
    assert [one.letter for one in list_kiosks(shops["admin"])] == ["B", "A", "K"]


def test_a_login_that_a_restored_server_lacks_is_made_again(prepared):
    made = add_kiosk(prepared.admin_url, name="bench", letters="K")
    do(made.url, entry("1"))
    do(prepared.admin_url, f"DROP OWNED BY {made.role}; DROP ROLE {made.role}")

    again = renew_kiosk(prepared.admin_url, "K")

    assert again.role == made.role
    assert do(again.url, "SELECT id FROM cleatclock.entry") == [("1",)]
