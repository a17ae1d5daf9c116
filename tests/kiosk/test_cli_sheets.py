"""Sheets and stock by command, as a person or a script goes through them."""

import json
from pathlib import Path

import pypdfium2
import pytest
import zxingcpp
from typer.testing import CliRunner

from kiosk.cli import app
from kiosk.cli.sheets import _chosen
from kiosk.rules.lengths import Length
from kiosk.rules.sheets.model import Material
from kiosk.rules.sheets.views import Choice
from tests.sheetsaw import check_parts

LIST = """Unit;Name;Kind;Part;Qty;Length (mm);Width (mm);Thickness (mm);Material;Grain;Bevel
W1;Jar wall;wall;Face;1;3000;2400;;;;
P1;Jar panel;panel;Face;1;1400;900;18;Birch;length;
P1;Jar panel;panel;Cleat;2;839.5;89.5;18;Birch;length;45
P1;Jar panel;panel;Wall cleat;1;839.5;89.5;18;Birch;length;45
P1;Jar panel;panel;Spacer;2;89.5;45;18;Birch;;
S1;Jar shelf;shelf;Board;1;1160;400;18;Birch;length;
S1;Jar shelf;shelf;Bracket;3;380;180;18;Birch;width;
B1;Jar box;box;Side;4;420;320.5;18;Birch;length;
B1;Jar box;box;Back;2;418;597.5;6;Thin birch;;
"""
DAY = "2026-03-09T"
SHEET_KEYS = ["material", "thickness_mm", "length_mm", "width_mm", "parts", "cuts", "offcuts"]
PART_KEYS = ["code", "part", "x_mm", "y_mm", "length_mm", "width_mm", "turned"]
CUT_KEYS = ["number", "piece_in", "direction", "measure_mm", "piece_out", "rest"]


class Shop:
    """Runs commands on one shop file."""

    def __init__(self, folder: Path) -> None:
        self.folder, self.file = folder, folder / "shop.db"
        (folder / "settings.toml").write_text('zone = "UTC"\n', "utf-8")
        (folder / "list.csv").write_text(LIST, "utf-8")

    def run(self, *words: str, status: int = 0) -> str:
        result = CliRunner().invoke(app, [*words, "--shop", str(self.file)])
        assert result.exit_code == status, result.output
        return result.output

    def json(self, *words: str, status: int = 0):
        return json.loads(self.run(*words, "--json", status=status))

    def take_in(self):
        """Take the list in; return its rows by the codes of their pieces, the wall left out."""
        file = str(self.folder / "list.csv")
        rows = self.json("take-in", file, "--job", "JARS", "--at", f"{DAY}07:00")["parts"]
        return {code: row for row in rows if row["unit"] != "W1" for code in row["codes"]}

    def sheets(self, *words: str, status: int = 0):
        return self.json("sheets", "JARS", *words, status=status)


@pytest.fixture(scope="module")
def kept(tmp_path_factory):
    """A shop whose list is broken down and kept; its rows by code, and what was answered."""
    shop = Shop(tmp_path_factory.mktemp("sheets"))
    rows = shop.take_in()
    count = ("--size", "2440x1220", "--number", "5", "--trim", "5", "--at", f"{DAY}07:10")
    shop.run("stock", "--count", "Birch", "--thickness", "18", *count)
    return shop, rows, shop.sheets("--keep", "--tries", "10", "--at", f"{DAY}07:20")


@pytest.fixture
def shop(kept, tmp_path):
    """A copy of that shop, to cut in."""
    copy = Shop(tmp_path)
    copy.file.write_bytes(kept[0].file.read_bytes())
    return copy


def first_free(sheets):
    """The first sheet that has a cut which frees a part, and that cut."""
    return next((one, cut) for one in sheets for cut in one["cuts"] if cut["frees"])


def test_the_cuts_that_are_said_make_every_part_of_the_list(kept):
    _, rows, answer = kept

    check_parts(answer["sheets"], rows)


def test_the_answer_has_the_keys_it_is_documented_by(kept):
    _, rows, answer = kept

    assert answer["bound"] <= len(answer["sheets"])
    for sheet in answer["sheets"]:
        assert set(SHEET_KEYS) <= set(sheet)
        assert all(set(PART_KEYS) <= set(part) for part in sheet["parts"])
        assert all(set(CUT_KEYS) <= set(cut) for cut in sheet["cuts"])
        assert all(rows[part["code"]]["part"] == part["part"] for part in sheet["parts"])
    assert {(one["material"], one["thickness_mm"]) for one in answer["sheets"]} == {
        ("Birch", 18),
        ("Thin birch", 6),
    }


def test_a_kept_plan_is_shown_the_same_each_time(kept):
    shop, _, answer = kept

    first = shop.run("sheets", "JARS", "--json", "--at", f"{DAY}08:00")

    assert shop.run("sheets", "JARS", "--json", "--at", f"{DAY}08:00") == first
    assert json.loads(first)["sheets"] == answer["sheets"]


def test_before_the_plan_was_kept_there_was_none(kept):
    shop, _, answer = kept

    earlier = shop.sheets("--tries", "0", "--at", f"{DAY}07:15")

    assert answer["plan"] is not None
    assert earlier["plan"] is None


def test_nothing_is_kept_without_being_asked_for_and_the_same_tries_find_the_same(tmp_path):
    shop = Shop(tmp_path)
    rows = shop.take_in()
    asked = ("--tries", "5", "--at", f"{DAY}08:00")

    found = shop.sheets(*asked)

    assert found == shop.sheets(*asked)
    assert (found["plan"], found["kept_at"]) == (None, None)
    assert {row["choice"] for row in found["materials"]} == {1}
    assert any("nobody counted" in note for note in found["notes"])
    check_parts(found["sheets"], rows)
    assert "--keep" in shop.run("sheets", "JARS", *asked).splitlines()[0]


def test_a_search_that_is_ended_at_once_has_a_layout_of_every_part(kept):
    shop, rows, _ = kept

    found = shop.sheets("--anew", "--seconds", "0", "--tries", "1000000", "--at", f"{DAY}08:00")

    assert found["plan"] is None
    check_parts(found["sheets"], rows)


@pytest.mark.parametrize("how", [("--choice", "2"), ("--fewer-settings",), ("--tries", "9")])
def test_how_to_look_is_not_passed_over_where_a_plan_is_kept(kept, how):
    shop, _, _ = kept

    text = shop.run("sheets", "JARS", *how, "--at", f"{DAY}08:00", status=2)

    assert "go with --anew or --keep" in text


def test_of_two_ways_to_choose_only_one_is_taken(kept):
    shop, _, _ = kept

    both = ("--anew", "--choice", "2", "--fewer-settings")

    assert "does not go with" in shop.run("sheets", "JARS", *both, status=2)


def test_ctrl_c_takes_the_best_so_far(kept, monkeypatch):
    shop, rows, _ = kept

    class Pressed:
        def wait(self, _seconds):
            raise KeyboardInterrupt

    monkeypatch.setattr("kiosk.cli.sheets.Event", Pressed)

    found = shop.sheets("--anew", "--tries", "1000000", "--at", f"{DAY}08:00")

    check_parts(found["sheets"], rows)


def test_the_text_marks_one_next_cut_on_each_sheet(kept):
    shop, _, answer = kept

    text = shop.run("sheets", "JARS", "--at", f"{DAY}08:00")

    assert text.count(" NEXT ") == len(answer["sheets"])
    assert f"(at least {answer['materials'][0]['bound']})" in text


def test_labels_come_in_the_order_in_which_parts_are_freed(shop, kept):
    _, rows, answer = kept
    freed = [code for sheet in answer["sheets"] for cut in sheet["cuts"] for code in cut["frees"]]

    made = shop.json("labels", "JARS", "--out", str(shop.folder / "labels.pdf"))

    assert [code for code in made["codes"] if code in rows] == freed
    assert len(made["codes"]) == len(rows) + 1  # the wall's face comes last, it is on no sheet
    assert made["codes"][-1] not in rows


def test_labels_come_in_the_order_of_the_list_where_that_is_asked(shop, kept):
    _, rows, _ = kept

    out = str(shop.folder / "labels.pdf")
    made = shop.json("labels", "JARS", "--out", out, "--order", "list")

    assert made["codes"][1:] == list(rows)
    assert "--order" in shop.run("labels", "JARS", "--order", "size", status=2)


def test_a_cut_is_recorded_by_sheet_and_number(shop, kept):
    sheet, cut = first_free(kept[2]["sheets"])
    which = f"{sheet['sheet']}:{cut['number']}"

    done = shop.sheets("--cut", which, "--at", f"{DAY}08:00")

    parts, offcuts = done["labels"][: len(cut["frees"])], done["labels"][len(cut["frees"]) :]
    stock = shop.json("stock", "--at", f"{DAY}08:01")["offcuts"]
    assert (done["outcome"], parts) == ("recorded", cut["frees"])
    assert offcuts == [one["code"] for one in stock if one["sheet"] == sheet["key"]]
    after = shop.sheets("--at", f"{DAY}08:01")
    (now,) = [one for one in after["sheets"] if one["key"] == sheet["key"]]
    assert now["cuts"][cut["number"] - 1]["done"]
    assert now["cuts_done"] > 0
    assert now["next_cut"] == done["next_cut"]
    assert {part["code"] for part in now["parts"] if part["is_cut"]} == set(cut["frees"])
    again = shop.sheets("--cut", which, "--at", f"{DAY}08:02", status=1)
    assert again["outcome"] == "already"


def test_following_the_next_cut_frees_every_part_and_keeps_every_offcut(shop, kept):
    sheet = min(kept[2]["sheets"], key=lambda one: len(one["cuts"]))
    number, due = sheet["next_cut"], []

    while number is not None:
        which = f"{sheet['sheet']}:{number}"
        done = shop.sheets("--cut", which, "--at", f"{DAY}08:{number:02}")
        due += done["labels"]
        number = done["next_cut"]

    (now,) = [one for one in shop.sheets()["sheets"] if one["key"] == sheet["key"]]
    stock = {one["code"]: one for one in shop.json("stock")["offcuts"]}
    assert all(cut["done"] for cut in now["cuts"])
    assert now["parts_cut"] == len(now["parts"]) > 0
    freed = [code for cut in sheet["cuts"] for code in cut["frees"]]
    assert [code for code in due if code not in stock] == freed
    kept_of = {(one["piece"], one["length_mm"], one["width_mm"]) for one in stock.values()}
    assert kept_of == {
        (one["piece"], one["length_mm"], one["width_mm"]) for one in sheet["offcuts"]
    }


@pytest.mark.parametrize("which", ["S99:1", "S1", "S1:x", "S1:999"])
def test_a_cut_that_is_not_there_is_told(shop, which):
    shop.run("sheets", "JARS", "--cut", which, "--at", f"{DAY}08:00", status=2)


def test_a_scan_at_cut_makes_the_cuts_that_lead_to_it(shop, kept):
    sheet, cut = first_free(kept[2]["sheets"])
    at = ("--at", f"{DAY}08:00")

    for code in cut["frees"]:
        shop.json("scan", code, "--station", "cut", *at)

    after = shop.sheets("--at", f"{DAY}08:01")
    (now,) = [one for one in after["sheets"] if one["key"] == sheet["key"]]
    assert now["cuts"][cut["number"] - 1]["done"]
    assert after["parts_cut"] == len(cut["frees"])


def test_a_spoiled_part_finds_a_place_by_itself(shop, kept):
    _, rows, _answer = kept
    bracket = next(code for code, row in rows.items() if row["part"] == "Bracket")
    shop.json("scan", bracket, "--station", "cut", "--at", f"{DAY}08:00")

    recut = shop.json("spoil", bracket, "--reason", "edge torn", "--at", f"{DAY}08:05")["code"]

    after = shop.sheets("--at", f"{DAY}08:06")
    lying = [part["code"] for sheet in after["sheets"] for part in sheet["parts"]]
    assert recut != bracket
    assert lying.count(recut) == 1
    assert recut not in after["unplanned"]
    check_parts(after["sheets"], rows | {recut: rows[bracket]})


def test_maps_and_cuts_are_written(shop, kept):
    out = shop.folder / "maps.pdf"

    made = shop.sheets("--out", str(out), "--at", f"{DAY}08:00")

    assert made["files"] == [str(out)]
    pages = _pages(out)
    assert pages > len(kept[2]["sheets"])  # before them stands what to fetch
    shop.run("sheets", "JARS", "--out", "maps.txt", status=2)
    printed = shop.sheets("--print", "--sheet", "s2", "--at", f"{DAY}08:00")
    assert 1 <= _pages(printed["file"]) < pages - 1
    assert "S9" in shop.run("sheets", "JARS", "--print", "--sheet", "S9", status=2)
    assert (printed["printer"], printed["sent"]) == (None, False)
    assert Path(printed["file"]).parent == shop.folder


def _pages(file):
    document = pypdfium2.PdfDocument(str(file))
    count = len(document)
    document.close()
    return count


def test_an_offcut_has_a_code_and_a_label_and_is_cut_from_first(tmp_path):
    shop = Shop(tmp_path)
    rows = shop.take_in()
    size = ("--thickness", "6", "--size", "620 x 430", "--at", f"{DAY}07:10")

    added = shop.json("stock", "--offcut", "Thin birch", *size)

    code = added["code"]
    page = next(iter(pypdfium2.PdfDocument(added["file"]))).render(scale=4, grayscale=True)
    assert {one.text for one in zxingcpp.read_barcodes(page.to_numpy().squeeze())} == {code}
    (there,) = shop.json("stock", "--at", f"{DAY}07:11")["offcuts"]
    assert (there["code"], there["length_mm"], there["width_mm"]) == (code, 620, 430)
    found = shop.sheets("--tries", "5", "--at", f"{DAY}07:12")
    assert code in [sheet["offcut"] for sheet in found["sheets"]]
    check_parts(found["sheets"], rows)

    shop.json("stock", "--gone", code, "--why", "broken", "--at", f"{DAY}07:13")

    assert shop.json("stock", "--at", f"{DAY}07:14")["offcuts"] == []
    shop.run("stock", "--gone", code, "--at", f"{DAY}07:15", status=1)


def test_sheets_are_counted_in_the_units_they_are_typed_in(tmp_path):
    shop = Shop(tmp_path)
    at = ("--at", f"{DAY}07:10")

    shop.run("stock", "--count", "Maple", "--thickness", "3/4 in", "--size", '96" x 48"', *at)
    shop.run("stock", "--count", "Maple", "--thickness", "3/4 in", "--size", "60x40 in", *at)

    found = shop.json("stock", "--at", f"{DAY}07:11")["sheets"]
    sizes = {(one["length_mm"], one["width_mm"], one["thickness_mm"]) for one in found}
    assert sizes == {(2438.4, 1219.2, 19.05), (1524, 1016, 19.05)}
    assert {one["count"] for one in found} == {None}


@pytest.mark.parametrize(
    ("words", "status", "said"),
    [
        (("sheets", "NONE"), 2, "no job NONE"),
        (("sheets", "JARS", "--out", "a.pdf", "--print"), 2, "--print"),
        (("sheets", "JARS", "--cut", "S1:1", "--keep"), 2, "--cut"),
        (("stock", "--count", "Birch"), 2, "--size"),
        (("stock", "--count", "Birch", "--size", "2440"), 2, "length x width"),
        (("stock", "--count", "Birch", "--gone", "K2"), 2, "at a time"),
        (("stock", "--count", "", "--size", "2440x1220"), 2, "Material"),
        (("stock", "--size", "900x400"), 2, "--size goes with"),
        (("stock", "--number", "3"), 2, "--number goes with"),
        (("stock", "--offcut", "Birch", "--size", "900x400", "--number", "3"), 2, "one by one"),
        (("stock", "--count", "Birch", "--size", "96x48"), 2, "unit"),
        (("stock", "--gone", "K2X-K8HH"), 2, "K2X-K8HH"),
        (("sheets", "JARS", "--sheet", "S1"), 2, "--sheet goes with"),
        (("stock", "--count", "Birch", "--size", "0x4"), 2, ""),
        (("stock", "--count", "Birch", "--size", "900x400", "--number", "few"), 2, "few"),
    ],
)
def test_what_is_asked_wrongly_is_told_with_the_way_out(shop, words, status, said):
    assert said in shop.run(*words, status=status)


def test_where_a_slip_is_stands_once(shop):
    words = ("--count", "Birch", "--thickness", "abc", "--size", "900x400")
    assert shop.run("stock", *words, status=2).count("Thickness") == 1


def test_a_cut_beyond_the_last_is_told_which_there_are(shop):
    sheet = shop.json("sheets", "JARS")["sheets"][0]
    last = sheet["cuts"][-1]["number"]
    which = f"{sheet['sheet']}:{last + 1}"
    assert f"are 1 to {last}." in shop.run("sheets", "JARS", "--cut", which, status=2)


def test_a_part_larger_than_any_sheet_is_named(tmp_path):
    shop = Shop(tmp_path)
    shop.take_in()
    count = ("--size", "1000x800", "--number", "9", "--at", f"{DAY}07:10")
    shop.run("stock", "--count", "Birch", "--thickness", "18", *count)

    found = shop.sheets("--tries", "0", "--at", f"{DAY}08:00")

    assert any("Face" in one["message"] for one in found["problems"])
    assert {sheet["material"] for sheet in found["sheets"]} == {"Thin birch"}
    # said on paper too, which is drawn from the same
    assert {one["code"] for sheet in found["sheets"] for one in sheet["parts"]}.isdisjoint(
        found["unplanned"]
    )
    assert found["unplanned"]


def test_of_several_materials_each_takes_its_own_choice():
    def choice(name, number, settings):
        material = Material(name, Length(1))
        return Choice(
            material=material, number=number, planned=(), sheets=number, offcuts=0, bound=1,
            cuts=9, settings=settings,
        )  # fmt: skip

    choices = [choice("A", 0, 9), choice("A", 1, 7), choice("A", 2, 5), choice("B", 0, 3)]

    def numbers(number, *, last=False):
        return [(one.material.name, one.number) for one in _chosen(choices, number, last=last)]

    assert numbers(0) == [("A", 0), ("B", 0)]
    assert numbers(1) == [("A", 1), ("B", 0)]
    assert numbers(0, last=True) == [("A", 2), ("B", 0)]
