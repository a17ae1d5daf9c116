"""Supervisors at the command line: asked at the terminal or from the environment, refused by 1."""

import contextlib
import json
import os
import select
import subprocess
import sys
from pathlib import Path

import argon2
import pytest
from typer.testing import CliRunner

from kiosk import pins
from kiosk.cli import app
from kiosk.rules.entries import Kind
from kiosk.store import Store

LIST = (
    "Unit;Kind;Part;Qty;Length (mm);Width (mm);Thickness (mm);Finish\n"
    "S1;shelf;Side;2;600;300;18;clear\n"
)
AT = "2026-03-09T08:00+00:00"
PIN, OTHER, WRONG = "274915", "830264", "555123"


class Terminal:
    """Runs commands on one shop's file; what is typed are the lines of `typed`."""

    def __init__(self, folder: Path) -> None:
        self.folder, self.file = folder, folder / "shop.db"
        (folder / "settings.toml").write_text('zone = "UTC"\n', "utf-8")
        (folder / "list.csv").write_text(LIST, "utf-8")
        self.run("take-in", str(folder / "list.csv"), "--job", "JARS", "--at", AT)

    def run(self, *words, status=0, typed=(), **env):
        lines = "".join(f"{line}\n" for line in typed)
        whole = [*words, "--shop", str(self.file)]
        result = CliRunner().invoke(app, whole, input=lines, env=env)
        assert result.exit_code == status, result.output
        assert not any(pin in result.output for pin in (PIN, OTHER, WRONG)), "a PIN is shown"
        return result

    def last(self, kind):
        store = Store.open(self.file, "K")
        body = store._log.kind_rows(kind)[-1].body
        store.close()
        return body


@pytest.fixture
def shop(tmp_path, monkeypatch):
    weak = argon2.PasswordHasher(time_cost=1, memory_cost=8, parallelism=1)
    monkeypatch.setattr(pins, "_HASHER", weak)
    return Terminal(tmp_path)


@pytest.fixture
def held(shop):
    """A shop with a supervisor."""
    shop.run("people", "--add", "Mara", "--add", "Ivo", "--set-pin", "Mara", typed=(PIN, PIN))
    return shop


def revise(shop):
    return ("take-in", str(shop.folder / "list.csv"), "--job", "JARS", "--revise")


def acts(shop):
    routes, products = shop.folder / "routes.toml", shop.folder / "products.toml"
    routes.write_text(shop.run("routes").stdout, "utf-8")
    products.write_text(shop.run("products").stdout, "utf-8")
    early = ("--station", "assemble", "--step", "glue-up", "--reason", "done earlier, not scanned")
    return {
        Kind.LIST_TAKEN: revise(shop),
        Kind.STEP_DONE: ("scan", "S1", *early),
        Kind.ROUTES_SET: ("routes", "--set", str(routes)),
        Kind.PRODUCTS_SET: ("products", "--set", str(products)),
        Kind.JOB_CLOSED: ("job", "JARS", "--close", "--reason", "called off"),
    }


def test_without_supervisors_no_command_asks(shop):
    for kind, words in acts(shop).items():
        shop.run(*words)
        assert "allowed_by" not in shop.last(kind)


def test_with_one_each_is_refused_and_done_once_the_pin_is_right(held):
    for kind, words in acts(held).items():
        result = held.run(*words, status=1)
        assert "needs a supervisor" in result.output
        result = held.run(*words, "--supervisor", "Mara", status=1, typed=(WRONG,))
        assert "The PIN is wrong. 4 tries left." in result.output
        held.run(*words, "--supervisor", "mara", "--person", "Ivo", typed=(PIN,))
        assert held.last(kind)["allowed_by"] == "Mara"


@pytest.mark.parametrize(
    "words",
    [
        ("--figure", "clear.recoat=90 min"),
        ("--reference", "clear=21C 70%"),
        ("--factor", "clear.sand=1.2"),
        ("--confirm", "clear"),
    ],
)
def test_each_figure_of_a_label_is_asked_for(held, words):
    held.run("products", *words, status=1)
    held.run("products", *words, "--supervisor", "Mara", CLEATCLOCK_PIN=PIN)
    assert held.last(Kind.PRODUCTS_SET)["allowed_by"] == "Mara"


def test_looking_asks_nobody(held):
    held.run(*revise(held), "--dry-run")
    held.run("routes")
    held.run("people")
    held.run("job", "JARS", "--name", "Jam jars")


def test_a_script_gives_the_pin_by_the_environment_and_reads_json(held):
    result = held.run(*revise(held), "--json", status=1)
    assert "needs a supervisor" in json.loads(result.stdout)["problems"][0]["message"]
    result = held.run(*revise(held), "--json", "--supervisor", "Mara", CLEATCLOCK_PIN=PIN)
    assert json.loads(result.stdout)["taken"] is True
    result = held.run(*revise(held), "--json", "--supervisor", "Mara", typed=(PIN,))
    assert json.loads(result.stdout)["taken"] is True  # the question is on the other output


def test_the_history_says_who_allowed_it(held):
    words = acts(held)[Kind.STEP_DONE]
    held.run(*words, "--supervisor", "Mara", "--person", "Ivo", CLEATCLOCK_PIN=PIN)
    row = json.loads(held.run("history", "S1", "--json").stdout)["entries"][-1]
    assert (row["person"], row["allowed_by"]) == ("Ivo", "Mara")
    assert "allowed by Mara" in row["words"]


def test_nobody_at_the_terminal_and_nobody_of_that_name_end_in_words(held):
    assert "No PIN was typed" in held.run(*revise(held), "--supervisor", "Mara", status=2).output
    result = held.run(*revise(held), "--supervisor", "Ivo", status=1, typed=(PIN,))
    assert "Ivo is no supervisor." in result.output


def test_at_a_real_terminal_nothing_of_a_pin_is_shown(held):
    """Type it at a terminal of the system's own, whose echo only the command can turn off."""
    words = [sys.executable, "-m", "kiosk", *revise(held), "--supervisor", "Mara"]
    ours, theirs = os.openpty()
    with subprocess.Popen(
        [*words, "--shop", str(held.file)],
        stdin=theirs, stdout=theirs, stderr=theirs, start_new_session=True,
    ) as ran:  # fmt: skip
        os.close(theirs)
        seen = b""
        while b"PIN of Mara: " not in seen:  # the last blank comes once nothing is echoed
            if not select.select([ours], [], [], 60)[0]:
                ran.kill()
                pytest.fail(f"nobody was asked for a PIN: {seen!r}")
            seen += os.read(ours, 1024)
        os.write(ours, f"{PIN}\n".encode())
        with contextlib.suppress(OSError):  # the other end is closed
            while more := os.read(ours, 1024):
                seen += more
    os.close(ours)
    assert ran.returncode == 0, seen
    assert PIN.encode() not in seen
    assert held.last(Kind.LIST_TAKEN)["allowed_by"] == "Mara"


def test_wrong_tries_are_locked_out_from_one_command_to_the_next_whatever_time_is_stated(held):
    words = (*revise(held), "--supervisor", "Mara")
    for _number in range(5):
        held.run(*words, status=1, CLEATCLOCK_PIN=WRONG)
    for more in ((), ("--at", "2026-01-05T08:00"), ("--at", AT)):
        result = held.run(*words, *more, status=1, CLEATCLOCK_PIN=PIN)
        assert "Not now." in result.output
    assert held.last(Kind.PIN_REFUSED)["wrong"] == 5


def test_a_pin_is_typed_twice_and_refused_where_it_differs_or_is_none(shop):
    shop.run("people", "--add", "Mara")
    result = shop.run("people", "--set-pin", "Mara", status=2, typed=(PIN, OTHER))
    assert "not the same" in result.output
    result = shop.run("people", "--set-pin", "Mara", status=2, CLEATCLOCK_NEW_PIN="1234")
    assert "6 to 12 digits" in result.output
    assert "Nobody on the list" in shop.run("people", "--set-pin", "Ada", status=2).output
    rows = json.loads(shop.run("people", "--json").stdout)["people"]
    assert [row["supervisor"] for row in rows] == [False]


def test_a_second_supervisor_is_made_by_the_first_and_resets_a_forgotten_pin(held):
    new = {"CLEATCLOCK_NEW_PIN": OTHER}
    held.run("people", "--set-pin", "Ivo", status=1, **new)
    held.run("people", "--set-pin", "Ivo", "--supervisor", "Mara", CLEATCLOCK_PIN=PIN, **new)
    assert "Ivo can be asked" in held.run("people", "--reset-pin", "Mara", status=1).output
    reset = ("people", "--reset-pin", "Mara", "--supervisor", "Ivo", "--json")
    result = held.run(*reset, CLEATCLOCK_PIN=OTHER, CLEATCLOCK_NEW_PIN="448899001")
    assert held.last(Kind.PIN_SET)["how"] == "reset"
    assert {row["name"] for row in json.loads(result.stdout)["people"] if row["supervisor"]} == {
        "Mara",
        "Ivo",
    }
    held.run(*revise(held), "--supervisor", "Mara", CLEATCLOCK_PIN="448899001")


def test_several_pins_are_reset_by_one_word_also_that_of_who_allows_it(held):
    typed = (PIN, OTHER, OTHER, "448899001", "448899001")
    reset = ("people", "--reset-pin", "Mara", "--reset-pin", "Ivo", "--supervisor", "Mara")
    held.run("people", "--set-pin", "Ivo", "--supervisor", "Mara", typed=(PIN, WRONG, WRONG))

    held.run(*reset, typed=typed)

    held.run(*revise(held), "--supervisor", "Mara", CLEATCLOCK_PIN=OTHER)
    held.run(*revise(held), "--supervisor", "Ivo", CLEATCLOCK_PIN="448899001")


def test_of_several_pins_none_is_reset_where_a_name_is_not_known(held):
    reset = ("people", "--reset-pin", "Mara", "--reset-pin", "Ada", "--supervisor", "Mara")
    result = held.run(*reset, status=1, CLEATCLOCK_PIN=PIN, CLEATCLOCK_NEW_PIN=OTHER)
    assert "Nobody on the list is called Ada" in result.output
    held.run(*revise(held), "--supervisor", "Mara", CLEATCLOCK_PIN=PIN)


def test_the_last_supervisors_pin_is_reset_by_whoever_has_the_file(held):
    held.run("people", "--reset-pin", "Ivo", status=1)
    held.run("people", "--reset-pin", "Mara", "--person", "Ada", typed=(OTHER, OTHER))
    assert held.last(Kind.PIN_SET)["how"] == "by_file"
    held.run(*revise(held), "--supervisor", "Mara", CLEATCLOCK_PIN=OTHER)


def test_a_supervisor_leaves_the_list_or_loses_the_pin_by_a_supervisors_word(held):
    held.run("people", "--off", "Mara", status=1)
    held.run("people", "--drop-pin", "Mara", status=1)
    held.run("people", "--off", "Ivo")
    held.run("people", "--drop-pin", "Mara", "--supervisor", "Mara", CLEATCLOCK_PIN=PIN)
    held.run(*revise(held))
