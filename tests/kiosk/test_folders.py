"""Folders and sticks, as a person looks through them for a part list."""

import os
from pathlib import Path

from kiosk.folders import look_into, own_folders, read_through, sticks


def make(folder: Path, name: str, at: int) -> Path:
    path = folder / name
    path.write_text("a;b", "utf-8")
    os.utime(path, (at, at))
    return path


def test_lists_stand_newest_first_then_folders(tmp_path):
    for at, name in enumerate(("old.csv", "new.XLSX", "mid.ods", "mid.tsv")):
        make(tmp_path, name, 1_700_000_000 + at * 60)
    (tmp_path / "sub").mkdir()
    spots, problem = look_into(tmp_path)
    assert problem is None
    assert [spot.name for spot in spots] == ["mid.tsv", "mid.ods", "new.XLSX", "old.csv", "sub"]
    assert [spot.is_folder for spot in spots] == [False] * 4 + [True]


def test_what_is_hidden_or_no_table_is_left_out(tmp_path):
    for name in (".secret.csv", "~lock.list.csv", "photo.jpg", "list.csv"):
        make(tmp_path, name, 1_700_000_000)
    (tmp_path / "gone.csv").symlink_to(tmp_path / "nowhere.csv")
    assert [spot.name for spot in look_into(tmp_path)[0]] == ["list.csv"]


def test_a_stick_pulled_out_is_said_with_the_way_out(tmp_path):
    spots, problem = look_into(tmp_path / "STICK")
    assert spots == ()
    assert "STICK cannot be opened" in problem.message
    assert problem.remedy


def test_sticks_are_found_where_systems_mount_them(tmp_path):
    (tmp_path / "LISTS").mkdir()
    make(tmp_path, "file.csv", 1_700_000_000)
    assert [(one.name, one.is_stick) for one in sticks([tmp_path])] == [("LISTS", True)]
    assert sticks([tmp_path / "missing"]) == ()


def test_a_persons_own_folders_are_there(tmp_path, monkeypatch):
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "none"))
    for name in ("XDG_DOWNLOAD_DIR", "XDG_DOCUMENTS_DIR", "XDG_DESKTOP_DIR"):
        monkeypatch.delenv(name, raising=False)
    (tmp_path / "Downloads").mkdir()
    assert [one.path for one in own_folders()] == [tmp_path / "Downloads", tmp_path]


def test_a_file_is_read_through_or_said_not_to_be_there(tmp_path):
    (tmp_path / "list.csv").write_bytes(b"x" * 3_000_000)
    assert read_through(tmp_path / "list.csv")
    assert not read_through(tmp_path / "none.csv")
