"""What is sent to who helps holds what is needed, and no name of the shop."""

import io
import json
import zipfile

import pytest
from typer.testing import CliRunner

from kiosk.appliance import Scrub, logbook
from kiosk.cli import app
from kiosk.demo import PEOPLE, run_demo
from kiosk.settingstext import load
from kiosk.store import Store

SETTINGS = """
shop = "Kiln and Jar"
zone = "Europe/Dublin"
person = "Orla Byrne"
mqtt_host = "sensors.kiln.example"
mqtt_user = "wheel"
mqtt_password = "celadon-42"
mqtt_topic = "kiln/loft"
printer = "ipp://192.168.7.9/ipp/print"
paper_printer = "Celadon-Laser"
scanner_device = "/dev/input/by-id/usb-serial-77812"
server = "postgresql://cleatclock_k_77aa@127.0.0.1:9/kilnjar"
places = [{ name = "Loft rack", slots = 6, role = "coat" }]
"""
SECRET = (
    "Kiln and Jar", "Orla", "Byrne", "sensors.kiln", "wheel", "celadon-42", "kiln/loft",
    "192.168.7.9", "Celadon-Laser", "/dev/input/by-id/usb-serial-77812", "Loft rack",
    "cleatclock_k_77aa", "kilnjar", "raku-fire-1250",
)  # fmt: skip


@pytest.fixture(scope="module")
def sample(tmp_path_factory):
    folder = tmp_path_factory.mktemp("sample")
    run_demo(keep=folder / "glazeworks.db")
    (folder / "settings.toml").write_text(SETTINGS, "utf-8")
    (folder / "server.pass").write_text("*:*:*:*:raku-fire-1250\n", "utf-8")
    (folder / "server.pass").chmod(0o600)
    return folder / "glazeworks.db"


@pytest.fixture
def names(sample):
    """Every name in the shop: people, jobs, sites, units."""
    store = Store.open(sample, "K")
    jobs = store.jobs().values()
    units = {name for key, state in store.states().items() for name in (key[1], state.spec.name)}
    found = {*PEOPLE, *units, *(one.code for one in jobs), *(one.name for one in jobs)}
    found |= {one.site for one in jobs}
    people = set(store.people())
    store.close()
    assert people == set(PEOPLE)
    assert len(found) > 40
    return {name for name in found if name} | set(SECRET)


@pytest.fixture
def bundle(sample, tmp_path, monkeypatch):
    """Make a bundle of the sample shop, whose logs are full of names."""
    monkeypatch.setattr(logbook, "log_folder", lambda: tmp_path / "logs")

    def make(*, tell=()):
        (tmp_path / "logs").mkdir(exist_ok=True)
        file = logbook.log_file(sample, "bench")
        file.write_text("".join(f"2026-03-11 ERROR lost: {name!r}\n" for name in tell), "utf-8")
        out = tmp_path / "bundle.zip"
        words = ["check", "--bundle", str(out), "--shop", str(sample)]
        ran = CliRunner().invoke(app, words)
        with zipfile.ZipFile(out) as made:
            return ran, {name: made.read(name).decode() for name in made.namelist()}

    return make


def test_a_bundle_holds_no_name_of_the_shop(bundle, names, sample):
    _ran, files = bundle(tell=[*names, f"{sample}", f"{sample.parent}/labels"])
    assert files["logs/bench.log"].count("ERROR lost") == len(names) + 2
    for name, text in files.items():
        found = [one for one in (*names, sample.stem, str(sample.parent)) if one in text + name]
        # a short name of a unit may be part of another word, which tells nothing of it
        assert [one for one in found if _as_a_word(one, text)] == [], name
        assert [one for one in found if len(one) > 3] == [], name


def _as_a_word(name, text):
    return Scrub({"x": [name]}).clean(text) != Scrub().clean(text)


def test_a_name_in_other_letters_is_taken_out_too(bundle):
    _ran, files = bundle(tell=["MARA", "glaze/g01", "ivo"])
    log = files["logs/bench.log"].lower()
    assert not [word for word in ("mara", "glaze", "g01", "ivo") if word in log]


def test_a_bundle_says_what_a_helper_needs(bundle):
    ran, files = bundle(tell=["Traceback"])
    assert "look into it before you send it" in ran.output
    checks = {one["name"]: one for one in json.loads(files["checks.json"])}
    assert {"disk", "database", "display", "printer", "paper", "log"} <= set(checks)
    versions = json.loads(files["versions.json"])
    assert versions["kivy"] == "2.3.1"
    assert versions["sqlite"][0] == "3"
    assert {"python", "system", "cleatclock"} <= set(versions)
    settings = json.loads(files["settings.json"])
    assert settings["mqtt_password"] == settings["mqtt_host"] == settings["shop"] == "(set)"
    assert settings["zone"] == "Europe/Dublin"
    assert settings["places"] == [{"slots": 6, "role": "coat"}]
    counts = json.loads(files["counts.json"])["entries"]
    assert counts["unit_taken"] == 44
    assert counts["step_done"] > 100
    assert "Traceback" in files["logs/bench.log"]


def test_every_setting_is_told_of_or_kept_back(bundle):
    _ran, files = bundle()
    told = json.loads(files["settings.json"])
    assert list(told) == list(load("")[0].__slots__)


def test_of_a_damaged_file_no_logs_go_out_and_that_is_said(tmp_path, monkeypatch):
    monkeypatch.setattr(logbook, "log_folder", lambda: tmp_path)
    (tmp_path / "shop.db").write_bytes(b"no database " * 100)
    logbook.log_file(tmp_path / "shop.db", "bench").write_text("Mara was here\n", "utf-8")
    out = tmp_path / "b.zip"
    words = ["check", "--bundle", str(out), "--shop", str(tmp_path / "shop.db")]
    ran = CliRunner().invoke(app, words)
    assert ran.exit_code == 3
    assert "logs are left out" in ran.output
    with zipfile.ZipFile(out) as made:
        assert not [name for name in made.namelist() if "log" in name]
        assert "logs are left out" in json.loads(made.read("counts.json"))["problem"]


def test_a_shop_without_a_file_gets_none_by_being_looked_at(tmp_path, monkeypatch):
    monkeypatch.setattr(logbook, "log_folder", lambda: tmp_path / "none")
    out = tmp_path / "b.zip"
    words = ["check", "--json", "--bundle", str(out), "--shop", str(tmp_path / "shop.db")]
    answer = json.loads(CliRunner().invoke(app, words).output)
    assert answer["bundle"] == str(out)
    assert not (tmp_path / "shop.db").exists()
    with zipfile.ZipFile(io.BytesIO(out.read_bytes())) as made:
        assert json.loads(made.read("counts.json")) == {"entries": {}}


def test_a_bundle_that_cannot_be_written_is_said(tmp_path, monkeypatch):
    monkeypatch.setattr(logbook, "log_folder", lambda: tmp_path / "none")
    out = tmp_path / "no" / "b.zip"
    words = ["check", "--bundle", str(out), "--shop", str(tmp_path / "shop.db")]
    ran = CliRunner().invoke(app, words)
    assert ran.exit_code == 2
    assert "cannot be written" in ran.output
