"""What to buy at the command: JSON, text, table and paper, for jobs as they stand."""

import csv
import json
import re
from datetime import UTC, datetime
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pypdfium2
import pytest
from typer.testing import CliRunner

from kiosk.actions import Shop as Actions
from kiosk.cli import app
from kiosk.clock import FixedClock
from kiosk.figure.buying import Head, draw_buying
from kiosk.figure.paper import SIZES
from kiosk.figure.shapes import overlap
from kiosk.rules.buying.model import BuyingList, BuyLine, Group
from kiosk.rules.problems import Problem
from kiosk.rules.sheets.checks import codes_on
from kiosk.settingstext import load
from kiosk.store import Job, Store

AT = "2026-03-09T08:00"
LIST = """Unit;Name;Kind;Part;Qty;Length (mm);Width (mm);Thickness (mm);Material;Edge;Bevel;Finish
S1;Jar shelf;shelf;Board;1;1160;400;18;=Birch;front;;oil
S1;Jar shelf;shelf;Cleat;1;1120;70;18;=Birch;;45;oil
"""


class Shop:
    """Runs commands on one shop file."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        (folder / "settings.toml").write_text('zone = "UTC"\nshop = "Studio"\n', "utf-8")
        (folder / "list.csv").write_text(LIST, "utf-8")
        for job in ("JARS", "POTS"):
            self.run("take-in", str(folder / "list.csv"), "--job", job, "--at", AT)

    def run(self, *words: str, status: int = 0) -> str:
        result = CliRunner().invoke(app, [*words, "--shop", str(self.folder / "shop.db")])
        assert result.exit_code == status, result.output
        return result.output

    def buy(self, *words: str):
        return json.loads(self.run("buy", *words, "--json", "--at", "2026-03-09T12:00"))


@pytest.fixture
def shop(tmp_path):
    return Shop(tmp_path)


def needed(answer, group):
    return sum(one["needed"] for one in answer["lines"] if one["group"] == group)


def test_a_list_says_what_how_much_and_from_what(shop):
    answer = shop.buy("JARS")

    assert (answer["jobs"], answer["whole"], answer["allowance_percent"]) == (["JARS"], False, 10)
    # 2 x (1.16 x 0.4 + 1.12 x 0.07) + 2 x (1.56 + 1.19) x 0.018 = 1.1838 m2, two coats at 25 m2/l
    oil = next(one for one in answer["lines"] if one["group"] == "coat")
    assert oil == {
        "group": "coat",
        "what": "Hardwax oil",
        "amount": 0.2,
        "unit": "l",
        "needed": 0.095,
        "basis": "2.37 m² in all coats left together, 25 m² a litre",
        "instead": False,
    }
    assert any("Oily rags" in one for one in answer["cautions"])
    assert answer["problems"] == []


def test_several_jobs_make_one_list_and_none_means_all(shop):
    one, both = shop.buy("JARS"), shop.buy("JARS", "POTS")

    assert needed(both, "edging") == pytest.approx(2 * needed(one, "edging"))
    assert shop.buy() == both


def test_what_is_done_is_left_out_but_not_from_the_whole_job(shop):
    before, whole = shop.buy("JARS"), shop.buy("JARS", "--whole")
    glue = ("--station", "assemble", "--step", "glue-up", "--reason", "seen")
    shop.run("scan", "JARS/S1", *glue, "--at", "2026-03-09T09:00")

    after = shop.buy("JARS")

    assert {"sheets", "cleats", "glue", "screws", "edging"} <= {
        one["group"] for one in before["lines"]
    }
    assert {one["group"] for one in after["lines"]} == {"filler", "coat", "discs"}
    assert shop.buy("JARS", "--whole") == whole


def test_the_allowance_is_that_of_the_settings_or_of_the_command(shop):
    (shop.folder / "settings.toml").write_text("buying_allowance_percent = 25\n", "utf-8")

    assert shop.buy("JARS")["allowance_percent"] == 25
    assert shop.buy("JARS", "--allowance", "0")["allowance_percent"] == 0


def test_the_shops_own_figures_count_and_their_mistakes_are_said(shop):
    usual = shop.buy("JARS")
    own = shop.folder / "buying.toml"
    own.write_text("glue_g_m2 = 100\nlove = 3\n", "utf-8")

    found = shop.buy("JARS")

    assert needed(found, "glue") == pytest.approx(needed(usual, "glue") / 2, abs=0.001)
    assert [one["column"] for one in found["problems"]] == ["love"]
    own.write_bytes(b"\xff\xfe\x00bad")
    assert "cannot be read" in shop.buy("JARS")["problems"][0]["message"]
    assert shop.buy("JARS")["lines"] == usual["lines"]


def test_a_job_that_is_not_open_is_refused_with_the_way_out(shop):
    said = shop.run("buy", "NONE", status=2)

    assert "No open job is called NONE." in said
    assert "cleatclock job" in said


def test_text_for_people(shop):
    said = shop.run("buy", "JARS")

    assert re.search(r"^ *0\.2 l +Hardwax oil$", said, re.MULTILINE)
    assert "10 % allowance" in said


def test_a_shop_without_jobs_has_nothing_to_buy(tmp_path):
    (tmp_path / "settings.toml").write_text('zone = "UTC"\n', "utf-8")
    result = CliRunner().invoke(app, ["buy", "--shop", str(tmp_path / "empty.db")])

    assert result.exit_code == 0
    assert result.output.startswith("Nothing is to be bought.")


def test_the_table_has_the_keys_of_the_json_and_no_formula(shop):
    out = shop.folder / "buy.csv"
    shop.run("buy", "JARS", "--out", str(out))

    with out.open(encoding="utf-8-sig", newline="") as stream:
        rows = list(csv.DictReader(stream, strict=True))
    answer = shop.buy("JARS")

    assert list(rows[0]) == list(answer["lines"][0])
    assert [float(row["amount"]) for row in rows] == [one["amount"] for one in answer["lines"]]
    # a material that begins like a formula
    assert rows[0]["what"] == "'=Birch, 2440 × 1220 × 18 mm"


def test_paper_is_a_pdf_or_pictures_and_nothing_else(shop):
    pdf, png = shop.folder / "buy.pdf", shop.folder / "buy.png"
    shop.run("buy", "JARS", "--out", str(pdf), "--paper", "letter")
    shop.run("buy", "JARS", "--out", str(png))

    page = pypdfium2.PdfDocument(pdf)[0]
    assert [round(side) for side in page.get_size()] == [612, 792]  # points; US letter
    assert png.read_bytes()[:4] == b"\x89PNG"
    assert "ends in .csv or .pdf" in shop.run("buy", "--out", "buy.doc", status=2)
    assert "cannot be written" in shop.run(
        "buy", "--out", str(shop.folder / "none" / "buy.pdf"), status=2
    )


def test_without_a_paper_printer_the_list_is_kept_as_a_pdf(shop):
    words = ("buy", "JARS", "--print", "--at", "2026-03-09T12:00")
    sent = json.loads(shop.run(*words, "--json"))
    again = json.loads(shop.run(*words, "--json"))

    file = Path(sent["file"])
    assert (file.name, sent["printer"], sent["sent"]) == ("buy-2026-03-09-JARS.pdf", None, False)
    assert again["file"] == sent["file"]
    assert len(pypdfium2.PdfDocument(file)) >= 1
    assert "--print does not go with --out" in shop.run(*words, "--out", "a.pdf", status=2)


# -- the pages -------------------------------------------------------------------------------------

HEAD = Head("Studio", datetime(2026, 3, 9, 8, 0, tzinfo=UTC))


def a_line(at, what="Birch plywood 18, 2440 × 1220 × 18 mm", basis="2 sheets by the plan"):
    return BuyLine(
        group=Group.EDGING,
        what=f"{what} {at}",
        amount=Decimal("12345.6"),
        unit="m",
        needed=Fraction(1),
        basis=basis,
    )


def a_list(count, **more):
    lines = tuple(a_line(at) for at in range(count))
    return BuyingList(jobs=("GLAZE",), whole=False, allowance=10, lines=lines, **more)


LONG = "Fresh air while it is wet; fans at the room, not at the film. " * 9


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("count", [0, 1, 40])
def test_every_line_and_note_stands_on_a_page_with_nothing_over_another(paper, count):
    problem = Problem("It has no thickness.", "Give it one.")
    found = a_list(count, assumptions=(LONG, "Glue."), cautions=(LONG,), problems=(problem,))
    wordy = tuple(a_line(at, LONG[:90], LONG[:160]) for at in range(count))

    pages = draw_buying(
        BuyingList(
            jobs=("GLAZE", "KILN" * 30), whole=True, allowance=10,
            lines=(*found.lines, *wordy), assumptions=found.assumptions,
            cautions=found.cautions, problems=found.problems,
        ),
        HEAD,
        paper=paper,
    )  # fmt: skip

    width, height = SIZES[paper]
    for page in pages:
        for at, one in enumerate(page.words):
            left, top, right, bottom = one.edges
            assert left >= 0, one
            assert right <= width, one
            assert 0 <= top < bottom <= height, one
            assert not any(overlap(one.edges, other.edges) for other in page.words[:at]), one
    said = [one.text for page in pages for one in page.words]
    assert sum("12345.6 m" in text for text in said) == 2 * count
    assert {"Not reckoned", "Take care", "How it was reckoned", "Glue."} <= set(said)
    assert f"page 1 of {len(pages)}" in said
    assert ("Nothing is to be bought." in said) == (count == 0)


def test_a_list_without_notes_has_no_headings_of_them():
    (page,) = draw_buying(a_list(1), HEAD, paper="a4")

    said = {one.text for one in page.words}
    assert not {"Not reckoned", "Take care", "How it was reckoned"} & said
    assert "What to buy for GLAZE" in said
    assert "Studio, for what is left to do, 10 % allowance, made 2026-03-09 08:00" in said


# -- sheets by a plan, and what is in stock --------------------------------------------------------


@pytest.fixture
def planned(tmp_path):
    """A shop with one job of six shelves and its kept plan, at its actions."""
    settings, _ = load('kiosk_letter = "K"\nzone = "UTC"\nkerf_mm = 3.0\ntrim_mm = 0.0\n')
    store = Store.open(tmp_path / "shop.db", "K")
    shop = Actions(store, settings, FixedClock(datetime(2026, 3, 9, 9, 0, tzinfo=UTC)))
    rows = "".join(f"S{at};shelf;Board;1;1200;1000;18;Birch\n" for at in range(6))
    file = tmp_path / "six.csv"
    file.write_text(
        "Unit;Kind;Part;Qty;Length (mm);Width (mm);Thickness (mm);Material\n" + rows, "utf-8"
    )
    assert not shop.take_in(file, Job("SIX", "", "", "", "mm")).problems
    yield shop
    store.close()


def sheets_of(buying):
    return [one for one in buying.lines if one.group is Group.SHEETS]


def plan(shop):
    assert not shop.begin_sheets("SIX", tries=20, processes=0)
    shop.wait_sheets()
    return shop.keep_sheets("SIX")


def test_a_kept_plan_gives_the_number_and_sheets_begun_are_not_bought_again(planned):
    # two boards lie on a sheet of 2440 x 1220, one beside the other, so three sheets
    (before,) = sheets_of(planned.buying(["SIX"]))
    view = plan(planned)

    (line,) = sheets_of(planned.buying(["SIX"]))
    first = view.sheets[0]
    for number in [one.number for one in first.lines]:
        assert planned.make_cut("SIX", first.key, number).outcome in ("recorded", "already")
    (rest,) = sheets_of(planned.buying(["SIX"]))

    assert before.basis.startswith("3 without a plan, for 7.20 m² of parts: 3 at least, ")
    assert line.basis == "3 sheets by the plan; nobody counted what is in stock"
    assert (line.amount, rest.amount) == (3, 2)
    assert sheets_of(planned.buying(["SIX"], whole=True))[0].amount == 3


def test_counted_sheets_are_taken_off_but_not_those_that_other_jobs_take(planned):
    answer = planned.count_sheets("Birch", "18", length="2440", width="1220", count="4", trim="0")
    assert not answer.problems
    plan(planned)
    (line,) = sheets_of(planned.buying(["SIX"]))
    file = planned.store.folder / "six.csv"
    assert not planned.take_in(file, Job("MORE", "", "", "", "mm")).problems

    (other,) = sheets_of(planned.buying(["MORE"], allowance=0))
    (both,) = sheets_of(planned.buying(["MORE", "SIX"], allowance=0))

    assert (line.amount, line.basis) == (0, "3 sheets by the plan; less 4 in stock")
    # four sheets, three of them planned for the first job: one is free
    assert other.basis.endswith("less 1 in stock")
    assert both.amount == other.amount
    assert sheets_of(planned.buying(["MORE"], whole=True))[0].amount == other.amount + 1


def test_a_sheet_whose_parts_no_list_asks_for_any_more_is_not_bought(planned):
    view = plan(planned)
    file = planned.store.folder / "six.csv"
    gone = {view.names[code].unit for code in codes_on(view.sheets[0].planned)}
    rows = file.read_text("utf-8").splitlines(keepends=True)
    file.write_text("".join(row for row in rows if row[:2] not in gone), "utf-8")
    assert not planned.take_in(file, Job("SIX", "", "", "", "mm"), revise=True).problems

    (line,) = sheets_of(planned.buying(["SIX"]))

    assert (len(gone), line.amount) == (2, 2)


def test_a_job_that_is_not_open_is_among_the_problems(planned):
    spare = planned.buying(["SIX", "NONE"])

    assert [one.value for one in spare.problems] == ["NONE"]
    assert spare.jobs == ("SIX",)
