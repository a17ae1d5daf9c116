"""The arrows between modules, and what the wheel holds."""

import subprocess
import zipfile
from pathlib import Path

from importlinter import configuration
from importlinter.application import use_cases

ROOT = Path(__file__).parent.parent
VISIBLE = {
    "README.md", "DEVELOPERS.md", "pyproject.toml", "kiosk", "labels", "tests", "db", "docs",
}  # fmt: skip


def test_every_import_contract_is_kept():
    configuration.configure()

    assert use_cases.lint_imports(config_filename=str(ROOT / "pyproject.toml"), cache_dir=None)


def test_the_visible_top_level_is_what_a_newcomer_is_told():
    listed = subprocess.run(
        ["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=False
    ).stdout.split()

    tops = {name.split("/")[0] for name in listed}
    assert {top for top in tops if not top.startswith(".")} <= VISIBLE


def test_the_wheel_holds_the_three_packages_and_all_their_data(tmp_path):
    from hatchling.builders.wheel import WheelBuilder

    (built,) = WheelBuilder(str(ROOT)).build(directory=str(tmp_path))

    names = set(zipfile.ZipFile(built).namelist())
    tops = {name.split("/")[0] for name in names if ".dist-info" not in name}
    assert tops == {"kiosk", "labels", "db"}
    for source in ("kiosk", "labels", "db"):
        for file in (ROOT / source).rglob("*"):
            if file.suffix in {".kv", ".toml", ".csv", ".po", ".py", ".typed", ".sql"}:
                assert str(file.relative_to(ROOT)) in names
    assert any(name.endswith("licenses/docs/LICENSE") for name in names)
