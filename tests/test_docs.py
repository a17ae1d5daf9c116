"""The documentation names what there is, and its links, figures and examples hold."""

import json
import re
import tomllib
from pathlib import Path

import pytest
import typer
from typer.testing import CliRunner

from kiosk.cli import app
from kiosk.cli.common import Exit
from kiosk.config import SETTINGS
from kiosk.rules.columns import NEEDED
from kiosk.rules.entries import STRIKABLE, Kind
from kiosk.rules.parts import KINDS
from kiosk.rules.route import NEEDS, USES, State, Step
from kiosk.rules.scanning import Outcome
from kiosk.rules.stages import STAGES
from kiosk.theme import OUTCOMES
from labels.stocks import DESIGNS, Stock

ROOT = Path(__file__).parents[1]
PAGES = [ROOT / "README.md", ROOT / "DEVELOPERS.md", *sorted((ROOT / "docs").glob("*.md"))]
README = PAGES[0].read_text("utf-8")
FORMATS = (ROOT / "docs/formats.md").read_text("utf-8")
RULES = (ROOT / "docs/rules.md").read_text("utf-8")
DRYING = (ROOT / "docs/drying.md").read_text("utf-8")
GUIDE = (ROOT / "docs/guide.md").read_text("utf-8")
LINK = re.compile(r"\]\(([^)\s]+)\)")
AT = "2026-03-09T08:00+00:00"


def headings(text: str) -> list[str]:
    """The headings of a page, without what stands in code blocks."""
    return re.findall(r"^#+ (.+)$", re.sub(r"```.*?```", "", text, flags=re.DOTALL), re.MULTILINE)


def anchor(heading: str) -> str:
    """A heading as the address of its section, the way code hosts make it."""
    return re.sub(r"[^\w\- ]", "", heading.lower()).replace(" ", "-")


def section(text: str, heading: str) -> str:
    """What stands below a heading, up to the next one of its level or above."""
    level = re.search(rf"^(#+) {re.escape(heading)}$", text, re.MULTILINE)
    assert level is not None, heading
    below = text[level.end() :]
    end = re.search(rf"^#{{1,{len(level[1])}}} ", below, re.MULTILINE)
    return below[: end.start()] if end else below


def rows(text: str) -> list[list[str]]:
    """The rows of all tables, cell by cell."""
    lines = [line for line in text.splitlines() if line.startswith("|")]
    return [[cell.strip() for cell in line.strip("|").split("|")] for line in lines]


def test_the_readme_runs_and_tests_in_its_first_thirty_lines():
    first = README.splitlines()[:30]

    commands = [line for line in first if line.startswith("python3 -m venv")]

    assert [line.split()[-1] for line in commands] == ["demo", "pytest"]
    assert all("-c .ci/constraints.txt" in line for line in commands)


def test_ci_runs_the_readme_test_line_as_it_stands():
    script = (ROOT / ".ci/run").read_text("utf-8")

    found = re.search(r"line=\$\(grep -m1 -E '([^']+)' README\.md\)", script)

    assert found is not None
    chosen = [line for line in README.splitlines() if re.search(found[1], line)]
    assert chosen[:1] == [line for line in README.splitlines() if line.endswith("-m pytest")]
    assert 'bash -euo pipefail -c "$line"' in script


def test_every_command_and_option_that_sets_something_is_in_formats():
    commands = dict(_commands(typer.main.get_command(app).commands))

    table = {_called(row[0]): " ".join(row) for row in rows(FORMATS) if _is_call(row)}

    assert set(table) == set(commands)
    everywhere = {"--shop", "--json", "--at", "--person", "--help", "--job"}
    for name, command in commands.items():
        options = {
            option for given in command.params for option in given.opts if option[:2] == "--"
        }
        for option in options - everywhere:
            assert option in table[name], f"{name} {option}"
        assert table[name].endswith("yes" if "--json" in options else "no"), name


def _commands(commands):
    """The commands by their names, those of a group by both words."""
    for name, command in commands.items():
        inner = getattr(command, "commands", None)
        yield from (
            [(f"{name} {one}", deeper) for one, deeper in inner.items()]
            if inner
            else [(name, command)]
        )


def _called(cell: str) -> str:
    """The words of a command before what is given to it: `cleatclock server list URL`."""
    return re.match(r"`cleatclock ([a-z-]+(?: [a-z-]+)*)", cell)[1]


def _is_call(row: list[str]) -> bool:
    return row[0].startswith("`cleatclock ")


@pytest.mark.parametrize(
    ("heading", "words"),
    [
        ("The log", tuple(Kind)),
        ("products.toml", tuple(STAGES)),
        ("JSON", (*State, *Outcome)),
        ("routes.toml", (*Step.__slots__, *USES, *NEEDS, *KINDS)),
        ("stocks.toml", (*(set(Stock.__slots__) - {"key"}), *DESIGNS)),
        ("settings.toml", tuple(setting.name for setting in SETTINGS)),
    ],
)
def test_every_word_of_a_format_is_in_its_section(heading, words):
    text = section(FORMATS, heading)

    missing = [word for word in words if f"`{word}`" not in text]

    assert missing == []


def test_a_settings_usual_value_is_the_one_in_use():
    usual = {
        row[0].strip("`"): row[1].strip("`") for row in rows(section(FORMATS, "settings.toml"))
    }

    plain = [one for one in SETTINGS if not isinstance(one.default, list)]

    assert len(plain) >= 10
    assert {one.name: usual[one.name] for one in plain} == {
        one.name: json.dumps(one.default) for one in plain
    }


def test_what_each_stage_means_is_said_in_the_words_of_the_program():
    said = {row[0].strip("`"): row[1] for row in rows(section(FORMATS, "products.toml"))}

    assert {stage: said[stage] for stage in STAGES} == {
        stage: how.words for stage, how in STAGES.items()
    }


def test_exit_statuses_needed_columns_and_what_can_be_struck_are_as_in_the_program():
    statuses = [row[0] for row in rows(section(FORMATS, "Exit status")) if row[0].isdigit()]
    needed = [row[0] for row in rows(section(FORMATS, "Part lists")) if row[1:2] == ["yes"]]
    struck = re.search(r"^(.+) can be struck\.$", section(FORMATS, "The log"), re.MULTILINE)

    assert statuses == [str(int(status)) for status in Exit]
    assert needed == list(NEEDED)
    assert struck is not None
    assert set(re.findall(r"`(\w+)`", struck[1])) == set(map(str, STRIKABLE))


def test_the_guide_explains_every_word_an_answer_is_headed_with():
    explained = [row[0] for row in rows(section(GUIDE, "5. Scan at the four stations"))[2:]]

    assert explained == [look.word for look in OUTCOMES.values()]


@pytest.fixture
def guide_shop(tmp_path):
    """The shop of the guide: its part list in a file, and a way to run commands."""
    (listed,) = re.findall(r"```\n(Unit;Unit name;.*?)```", GUIDE, re.DOTALL)
    file = tmp_path / "glaze-wall.csv"
    file.write_text(listed, "utf-8")
    (tmp_path / "settings.toml").write_text('zone = "UTC"\n', "utf-8")

    def run(*words: str) -> str:
        return CliRunner().invoke(app, [*words, "--shop", str(tmp_path / "shop.db")]).output

    run("take-in", str(file), "--job", "WALL", "--at", AT)
    return run, file, tmp_path


def test_the_guides_part_list_comes_in_as_the_guide_says(guide_shop):
    run, file, _ = guide_shop

    said = run("take-in", str(file), "--job", "AGAIN", "--at", AT)

    assert said.splitlines()[0].replace("AGAIN", "WALL") in GUIDE
    assert "6 pieces in 2 units taken in" in said


def test_every_json_key_is_in_formats(guide_shop):
    run, file, folder = guide_shop
    wrong = folder / "wrong.csv"
    wrong.write_text(file.read_text("utf-8").replace(";2;1140;", ";two;1140;"), "utf-8")
    glue = ("scan", "S1", "--station", "assemble", "--step", "glue-up")
    answers = [
        run("take-in", str(file), "--job", "NEW", "--dry-run", "--json"),
        run("take-in", str(wrong), "--job", "NEW", "--json"),
        run("labels", "WALL", "--out", str(folder / "labels.pdf"), "--json", "--at", AT),
        run(*glue, "--json", "--at", AT),
        run(*glue, "--reason", "done", "--json", "--at", AT),
        run("board", "--json", "--at", AT),
        run("due", "--json", "--at", AT),
        run("history", "S1", "--job", "WALL", "--json", "--at", AT),
        run("job", "--json"),
        run("job", "WALL", "--close", "--json"),
        run("stocks", "--json"),
        run("stock", "--offcut", "Thin", "--size", "620x430", "--json", "--at", AT),
        run("stock", "--json", "--at", AT),
        run("sheets", "WALL", "--tries", "0", "--json", "--at", AT),
        run("sheets", "WALL", "--tries", "0", "--keep", "--json", "--at", AT),
        run("sheets", "WALL", "--cut", "S1:1", "--json", "--at", AT),
    ]  # fmt: skip
    less = file.read_text("utf-8").replace(";760;", ";700;").replace("Bracket;2", "Lip;1")
    wrong.write_text(less, "utf-8")
    answers.append(run("take-in", str(wrong), "--job", "WALL", "--revise", "--dry-run", "--json"))

    keys = set().union(*(_keys(json.loads(answer)) for answer in answers))

    assert {"pieces", "hands_at", "offers", "remedy", "size_after_mm", "reprints"} <= keys
    assert {"piece_in", "alternatives", "reserved", "next_cut"} <= keys
    text = section(FORMATS, "JSON")
    assert sorted(key for key in keys if f"`{key}`" not in text) == []


def _keys(value: object) -> set[str]:
    if isinstance(value, dict):
        return set(value).union(*map(_keys, value.values()))
    return set().union(*map(_keys, value)) if isinstance(value, list) else set()


def test_the_seed_figures_are_those_that_ship():
    shipped = tomllib.loads((ROOT / "kiosk/data/products.toml").read_text("utf-8"))
    written: dict[str, dict[str, int]] = {}

    for heading in ("Glues", "Fillers", "Coats"):
        table = [row for row in rows(section(RULES, heading)) if len(row) > 2]
        stages = [cell for cell in table[0][1:] if cell in STAGES]
        for row in table[2:]:
            cells = zip(stages, row[1:], strict=False)
            found = {stage: re.match(r"\d+", cell) for stage, cell in cells}
            written[row[0].strip("`")] = {k: int(one[0]) for k, one in found.items() if one}

    assert written == {key: product["minutes"] for key, product in shipped.items()}


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_every_relative_link_resolves(page):
    text = page.read_text("utf-8")

    broken = []
    for link in LINK.findall(text):
        if link.startswith(("http://", "https://", "mailto:")):
            continue
        name, _, part = link.partition("#")
        target = page.parent / name if name else page
        there = target.exists()
        if not there or (part and part not in map(anchor, headings(target.read_text("utf-8")))):
            broken.append(link)

    assert broken == []


def test_every_section_of_the_rules_that_code_refers_to_is_there():
    known = {"rules": headings(RULES), "drying": headings(DRYING)}
    code = [file for top in ("kiosk", "labels", "db") for file in (ROOT / top).rglob("*")]
    texts = [file.read_text("utf-8") for file in code if file.suffix in (".py", ".toml")]

    found = re.compile(r'docs/(rules|drying)\.md,?\s+(?:#\s*)?"([^"]+)"')
    named = {pair for text in texts for pair in found.findall(text)}

    assert {("rules", "Codes"), ("drying", "Band")} <= named
    assert [pair for pair in named if pair[1] not in known[pair[0]]] == []
