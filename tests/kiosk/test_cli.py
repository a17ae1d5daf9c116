"""The command line as a person or a script meets it: exit status, JSON keys, words."""

import json
from contextlib import closing
from pathlib import Path

import apsw
import pytest
from typer.testing import CliRunner

from kiosk.cli import app

LIST = """Unit;Name;Kind;Part;Qty;Length (mm);Width (mm);Thickness (mm);Finish;Hangs on
P1;Jar panel;panel;Face;1;1200;600;18;;
S1;Jar shelf;shelf;Side;2;300;200;18;clear;P1
S1;Jar shelf;shelf;Board;1;764;200;18;clear;P1
"""
AT = "2026-03-09T10:00+00:00"


class Shop:
    """Runs commands on one shop file."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.file = folder / "shop.db"
        (folder / "settings.toml").write_text('zone = "UTC"\n', "utf-8")
        (folder / "list.csv").write_text(LIST, "utf-8")

    def run(self, *words: str, status: int = 0) -> str:
        result = CliRunner().invoke(app, [*words, "--shop", str(self.file)])
        assert result.exit_code == status, result.output
        return result.output

    def json(self, *words: str, status: int = 0):
        return json.loads(self.run(*words, "--json", status=status))

    def take_in(self, *words: str):
        file = str(self.folder / "list.csv")
        return self.json("take-in", file, "--job", "JARS", "--at", "2026-03-09T07:00", *words)

    def scan(self, code: str, station: str, at: str = AT, *words: str, status: int = 0):
        return self.json("scan", code, "--station", station, "--at", at, *words, status=status)


@pytest.fixture
def shop(tmp_path):
    return Shop(tmp_path)


@pytest.fixture
def codes(shop):
    """The codes of the parts of a job taken in: face, side, side, board."""
    return [code for part in shop.take_in()["parts"] for code in part["codes"]]


def unit(shop, name, at=AT):
    (found,) = [one for one in shop.json("board", "--at", at)["units"] if one["unit"] == name]
    return found


def test_a_list_comes_in_with_a_code_for_every_piece(shop):
    taken = shop.take_in()

    assert taken["pieces"] == 4
    assert taken["problems"] == []
    side = taken["parts"][1]
    assert (side["unit"], side["part"], side["quantity"]) == ("S1", "Side", 2)
    assert (side["length_mm"], side["width_mm"], side["thickness_mm"]) == (300, 200, 18)
    assert len({code for part in taken["parts"] for code in part["codes"]}) == 4


def test_a_list_with_a_problem_is_taken_in_not_at_all(shop):
    text = LIST.replace("764", "76o") + "S2;Other;shelf;Board;1;300;200;;nope;\n"
    (shop.folder / "list.csv").write_text(text, "utf-8")

    taken = shop.json("take-in", str(shop.folder / "list.csv"), "--job", "JARS", status=2)

    assert {problem["row"] for problem in taken["problems"]} == {4, 5}
    assert all(problem["message"] and problem["remedy"] for problem in taken["problems"])
    assert any(problem["value"] == "nope" for problem in taken["problems"])
    assert shop.json("job")["jobs"] == []


def test_a_dry_run_keeps_nothing(shop):
    taken = shop.take_in("--dry-run")

    assert taken["pieces"] == 4
    assert taken["taken"] is False
    assert taken["parts"][0]["codes"] == []
    assert shop.json("board")["units"] == []


def test_the_same_job_is_not_taken_in_twice(shop, codes):
    taken = shop.json("take-in", str(shop.folder / "list.csv"), "--job", "JARS", status=2)

    assert "--revise" in taken["problems"][0]["remedy"]


def test_a_revised_list_never_changes_what_is_cut(shop, codes):
    shop.scan(codes[3], "cut")
    text = LIST.replace("764", "800").replace("Side;2;300", "Side;3;300")
    (shop.folder / "list.csv").write_text(text, "utf-8")

    taken = shop.take_in("--revise")

    assert [change["part"] for change in taken["protected"]] == ["Board"]
    assert [change["quantity_after"] for change in taken["added"]] == [1]
    board = next(part for part in taken["parts"] if part["part"] == "Board")
    assert (board["length_mm"], board["codes"]) == (764, [codes[3]])
    assert unit(shop, "S1")["parts_wanted"] == 4


def test_a_part_that_changes_after_its_label_was_printed_gets_a_new_code(shop, codes):
    shop.run("labels", "JARS", "--out", str(shop.folder / "labels.pdf"))
    (shop.folder / "list.csv").write_text(LIST.replace("764", "800"), "utf-8")

    taken = shop.take_in("--revise")

    board = next(part for part in taken["parts"] if part["part"] == "Board")
    assert board["codes"] != [codes[3]]
    old = shop.scan(codes[3], "cut", AT, status=1)
    assert old["outcome"] == "elsewhere"
    assert "no longer" in old["message"].lower()


def test_scans_lead_a_shelf_from_cut_to_the_clamps_and_out(shop, codes):
    for code in codes[1:]:
        assert shop.scan(code, "cut")["outcome"] == "recorded"
    assert unit(shop, "S1")["standing"] == "to_assemble"
    for code in codes[1:]:
        assert shop.scan(code, "assemble", "2026-03-09T10:05")["step"] == "gather"

    glued = shop.scan(codes[1], "assemble", "2026-03-09T10:20")

    # white PVA: 60 minutes in the clamps, kiosk/data/products.toml
    assert glued["step"] == "glue-up"
    assert glued["ready_at"] == "2026-03-09T11:20:00+00:00"
    assert unit(shop, "S1", "2026-03-09T11:19:59")["standing"] == "glue_curing"
    assert unit(shop, "S1", "2026-03-09T11:20")["standing"] == "to_prepare"


def test_too_early_is_refused_with_the_time_and_goes_ahead_with_a_reason(shop, codes):
    for code in codes[1:]:
        shop.scan(code, "cut")
        shop.scan(code, "assemble", "2026-03-09T10:05")
    shop.scan(codes[1], "assemble", "2026-03-09T10:20")

    early = shop.scan(codes[1], "finish", "2026-03-09T10:40", status=1)

    assert early["outcome"] == "too_early"
    assert "40 min" in early["message"]
    assert early["ready_at"] == "2026-03-09T11:20:00+00:00"
    ahead = shop.scan(
        codes[1], "finish", "2026-03-09T10:40", "--step", "fill", "--reason", "not stressed"
    )
    assert ahead["outcome"] == "recorded"
    assert "not stressed" in ahead["detail"]


def test_a_second_scan_says_when_and_by_whom_and_records_nothing(shop, codes):
    shop.scan(codes[0], "cut", AT, "--person", "Mara")

    again = shop.scan(codes[0], "cut", "2026-03-09T10:30", status=1)

    assert again["outcome"] == "already"
    assert "10:00 by Mara" in again["detail"]
    assert len(shop.json("history", "P1", "--job", "JARS")["entries"]) == 2


def test_a_unit_that_hangs_on_another_waits_for_it(shop, codes):
    shop.scan(codes[0], "cut")
    panel = unit(shop, "P1")
    assert panel["standing"] == "ready_to_hang"

    shop.scan("P1", "install", "2026-03-09T11:00")

    assert unit(shop, "P1", "2026-03-09T11:00")["standing"] == "hung"


def test_a_slip_is_told_and_likely_codes_are_offered(shop, codes):
    code = codes[0]
    swapped = code[:2] + code[3] + code[2] + code[4:]
    if swapped == code:
        swapped = code[:3] + code[4] + code[3] + code[5:]

    slip = shop.scan(swapped, "cut", status=2)

    assert slip["outcome"] == "slip"
    assert code in [offer["value"] for offer in slip["offers"]]
    assert unit(shop, "P1")["parts_done"] == 0


def test_an_unknown_but_sound_code_is_told_apart_from_a_slip(shop, codes):
    assert shop.scan("K7F3Q97", "cut", status=2)["outcome"] == "unknown"
    assert shop.scan("hello there", "cut", status=2)["outcome"] == "unknown"


def test_one_unreadable_letter_is_recovered(shop, codes):
    code = codes[0]

    answer = shop.scan(f"{code[:4]}?{code[5:]}", "cut")

    assert (answer["outcome"], answer["code"]) == ("recorded", code)


def test_strike_voids_the_last_entry_and_keeps_it_in_the_history(shop, codes):
    shop.scan(codes[0], "cut")

    struck = shop.json("strike", "--at", "2026-03-09T10:10")

    assert struck["message"] == "Struck"
    assert unit(shop, "P1", "2026-03-09T10:10")["standing"] == "to_cut"
    entries = shop.json("history", "P1", "--job", "JARS")["entries"]
    assert [entry["struck"] for entry in entries] == [False, True, False]
    assert shop.json("strike", status=2)["message"] == "Nothing to strike"


def test_hold_and_lift(shop, codes):
    shop.run("hold", "S1", "--reason", "coat failed", "--at", AT)

    held = shop.scan(codes[1], "cut", "2026-03-09T10:10", status=1)

    assert held["outcome"] == "on_hold"
    assert unit(shop, "S1")["why"].endswith("coat failed")
    shop.run("lift", "S1", "--at", "2026-03-09T10:20")
    assert unit(shop, "S1", "2026-03-09T10:20")["standing"] == "to_cut"
    assert shop.scan(codes[1], "cut", "2026-03-09T10:30")["outcome"] == "recorded"


def test_a_spoiled_part_gets_a_recut_with_a_code_and_label_of_its_own(shop, codes):
    shop.scan(codes[0], "cut")

    spoiled = shop.json("spoil", codes[0], "--reason", "torn edge", "--at", "2026-03-09T10:10")

    recut = spoiled["code"]
    assert recut not in codes
    assert "recut" in unit(shop, "P1", "2026-03-09T10:10")["why"]
    assert shop.scan(codes[0], "cut", "2026-03-09T10:20", status=1)["outcome"] == "on_hold"
    run = shop.json("labels", "JARS", "--new", "--part", recut, "--out", str(shop.folder / "r.png"))
    assert run["codes"] == [recut]
    assert shop.scan(recut, "cut", "2026-03-09T10:30")["outcome"] == "recorded"


def test_labels_are_written_in_list_order_and_a_reprint_keeps_the_code(shop, codes):
    out = str(shop.folder / "labels.pdf")

    first = shop.json("labels", "JARS", "--out", out)
    second = shop.json("labels", "JARS", "--out", out, "--part", codes[1])

    assert first["codes"] == codes
    assert (first["labels"], first["pages"], first["reprints"]) == (4, 4, 0)
    assert (second["codes"], second["reprints"]) == ([codes[1]], 1)
    kinds = [entry["kind"] for entry in shop.json("history", "S1", "--job", "JARS")["entries"]]
    assert kinds.count("labels_printed") == 2


@pytest.mark.parametrize(
    "words",
    [
        ["labels", "NONE"],
        ["labels", "JARS", "--stock", "none"],
        ["labels", "JARS", "--part", "K222223"],
        ["labels", "JARS", "--stock", "a4-21", "--skip", "21"],
        ["scan", "K222223", "--station", "kitchen"],
        ["board", "--at", "yesterday"],
        ["take-in", "nowhere.csv", "--job", "X"],
    ],
)
def test_wrong_input_ends_with_status_2_and_a_way_out(shop, codes, words):
    output = shop.run(*words, status=2)

    assert len(output.strip()) > 20


def test_a_broken_file_ends_with_status_3_and_words(shop):
    shop.file.write_bytes(b"no database " * 100)

    output = shop.run("board", status=3)

    assert "shop.db" in output
    assert "Traceback" not in output


def test_routes_and_products_are_set_only_when_sound(shop, codes):
    text = shop.run("products")
    file = shop.folder / "products.toml"
    file.write_text(text.replace("clamp = 60", "clamp = 90", 1), "utf-8")
    shop.run("products", "--set", str(file))
    file.write_text(text.replace("clamp = 60", "clamp = -1", 1), "utf-8")

    output = shop.run("products", "--set", str(file), status=2)

    assert "clamp" in output
    assert "clamp = 90" in shop.run("products")
    shop.run("products", "--confirm", "clear")
    assert "seed = false" in shop.run("products")
    shop.run("products", "--confirm", "nothing", status=2)


def test_a_job_closes_only_when_all_is_hung(shop, codes):
    refused = shop.run("job", "JARS", "--close", status=1)
    assert "not hung" in refused

    for name in ("P1", "S1"):
        for step in ("cut", "gather", "glue-up", "fill", "sand", "coat-1", "scuff-2", "coat-2"):
            for code in codes:
                CliRunner().invoke(
                    app,
                    [
                        "scan",
                        code,
                        "--station",
                        "cut",
                        "--step",
                        step,
                        "--reason",
                        "done earlier",
                        "--at",
                        AT,
                        "--shop",
                        str(shop.file),
                    ],
                )
        shop.run(
            "scan",
            name,
            "--station",
            "install",
            "--step",
            "hang",
            "--reason",
            "done earlier",
            "--at",
            "2026-03-09T12:00",
        )
    shop.run("job", "JARS", "--close")

    assert shop.json("board")["units"] == []
    assert shop.scan(codes[0], "cut", "2026-03-10T10:00", status=1)["outcome"] == "elsewhere"
    assert shop.json("job")["jobs"][0]["open"] is False


def test_board_keys_are_those_of_the_formats(shop, codes):
    board = shop.json("board", "--at", AT)

    assert set(board) >= {"at", "counts", "units"}
    assert set(board["units"][0]) >= {
        "job", "unit", "name", "kind", "standing", "next_step", "station", "place", "hands_at",
        "earliest", "latest", "window_closes_at", "coats_done", "coats_wanted", "why",
    }  # fmt: skip
    assert sum(board["counts"].values()) == len(board["units"]) == 2


def test_backup_and_restore_bring_the_shop_back(shop, codes):
    copy = str(shop.folder / "copy.db")
    shop.run("backup", copy)
    shop.scan(codes[0], "cut")

    shop.run("restore", copy)

    assert unit(shop, "P1")["standing"] == "to_cut"


def test_the_same_question_gets_the_same_answer_twice(shop, codes):
    shop.scan(codes[0], "cut")

    assert shop.run("board", "--json", "--at", AT) == shop.run("board", "--json", "--at", AT)


def test_check_names_each_part_of_the_machine(shop, codes):
    result = CliRunner().invoke(app, ["check", "--json", "--shop", str(shop.file)])

    checks = {one["name"]: one for one in json.loads(result.output)["checks"]}
    assert set(checks) == {
        "disk", "database", "exchange", "copies", "settings", "display", "fonts", "scanner",
        "printer", "paper", "stocks", "log",
    }  # fmt: skip
    assert checks["database"]["ok"]
    assert checks["fonts"]["ok"]


def test_check_counts_what_waits_beside_the_shops_file(shop, codes):
    # as long as it is open, the work waits
    with closing(apsw.Connection(str(shop.file))) as reader:
        reader.execute("SELECT count(*) FROM entry").fetchall()
        reader.execute("BEGIN")
        reader.execute("SELECT count(*) FROM entry").fetchall()
        shop.scan(codes[0], "cut")
        waiting = shop.file.with_name("shop.db-wal").stat().st_size
        result = CliRunner().invoke(app, ["check", "--json", "--shop", str(shop.file)])

    (told,) = (one for one in json.loads(result.output)["checks"] if one["name"] == "database")
    both = (shop.file.stat().st_size // 1024) + waiting // 1024
    assert waiting > 1024
    assert told["ok"]
    assert f"({both:,} KiB, {waiting // 1024:,} of them in shop.db-wal)" in told["detail"]
    assert "cleatclock backup" in told["remedy"]


def test_check_finds_a_stock_whose_offset_leads_off_the_page(shop, codes):
    file = shop.folder / "stocks.toml"
    file.write_text("[50x25]\noffset_x_mm = 9.5\n", "utf-8")

    result = CliRunner().invoke(app, ["check", "--json", "--shop", str(shop.file)])

    (told,) = (one for one in json.loads(result.output)["checks"] if one["name"] == "stocks")
    assert not told["ok"]
    assert "The offset of 50x25 pushes its labels over the edge of the page" in told["detail"]
    assert "offset_x_mm may be" in told["detail"]
    assert told["remedy"] == f"Mend {file}."
    said = CliRunner().invoke(app, ["stocks", "--shop", str(shop.file)])
    assert "The offset of 50x25" in said.output


def test_check_finds_a_stock_that_is_set_and_not_there(shop, codes):
    (shop.folder / "settings.toml").write_text('label_stock = "tag"\n', "utf-8")

    result = CliRunner().invoke(app, ["check", "--json", "--shop", str(shop.file)])

    (told,) = (one for one in json.loads(result.output)["checks"] if one["name"] == "stocks")
    assert (told["ok"], told["detail"]) == (False, "There is no label stock tag.")
    assert "50x25" in told["remedy"]


def test_a_lost_label_is_found_and_printed_again_with_a_reason(shop, codes):
    answer = shop.json("find", "jar", "764")
    assert [(one["part"], one["code"], one["printed"]) for one in answer["parts"]] == [
        ("Board", codes[3], 0)
    ]
    said = shop.run("find", "board")
    assert f"cleatclock labels JARS --part {codes[3]}" in said
    assert "No part fits" in shop.run("find", "nothing", status=2)
    out = str(shop.folder / "one.pdf")
    shop.run("labels", "JARS", "--part", codes[3], "--reason", "label lost", "--out", out)
    assert shop.json("find", "board")["parts"][0]["printed"] == 1


def test_labels_for_units_and_places_are_written(shop, codes):
    out = str(shop.folder / "u.pdf")
    assert shop.json("labels", "JARS", "--units", "--out", out)["labels"] == 2
    assert shop.json("labels", "JARS", "--unit", "S1", "--out", out)["labels"] == 1
    assert shop.json("labels", "--places", "--out", out)["labels"] == 3
    assert "Say whose labels" in shop.run("labels", status=2)
    assert "--printer does not go with" in shop.run(
        "labels", "JARS", "--printer", "x", "--out", out, status=2
    )


def test_a_printer_that_is_not_there_is_said_and_nothing_counts_as_printed(shop, codes):
    words = ("labels", "JARS", "--part", codes[0], "--wait", "0")
    answer = shop.json(*words, "--printer", "ipp://127.0.0.1:9/none", status=3)
    assert answer["print_job"]["stage"] != "done"
    assert answer["print_job"]["words"]
    assert "not printed yet" in shop.run(*words, "--printer", "ipp://127.0.0.1:9/none", status=3)
    assert shop.json("find", codes[0])["parts"][0]["printed"] == 0
    assert "There is no job NONE" in shop.run("labels", "NONE", "--printer", "x", status=2)


def test_labels_without_a_name_never_overwrite_those_not_printed_yet(shop, codes, monkeypatch):
    monkeypatch.chdir(shop.folder)
    files = [shop.json("labels", "JARS", "--part", codes[0], "--at", AT)["file"] for _ in range(2)]
    assert len(set(files)) == 2
    assert all((shop.folder / file).read_bytes().startswith(b"%PDF") for file in files)
    said = shop.run("labels", "JARS", "--part", codes[0], "--at", AT)
    assert f"{codes[0]}-" in said
    places = shop.json("labels", "--places")["file"]
    assert places.startswith("places-")


def test_places_are_printed_and_a_printer_that_is_not_set_is_said(shop, codes):
    words = ("labels", "--places", "--wait", "0", "--printer", "ipp://127.0.0.1:9/none")
    answer = shop.json(*words, status=3)
    assert answer["labels"] == 3
    assert answer["print_job"]["stage"] != "done"
    said = shop.run("labels", "JARS", "--printer", "set", status=2)
    assert (
        said.strip() == "No printer is set. Name one: --printer NAME, or printer in the settings."
    )


def test_a_label_in_a_picture_is_scanned(shop, codes):
    picture = shop.folder / "label.png"
    shop.run("labels", "JARS", "--part", codes[0], "--out", str(picture))
    answer = shop.json("scan", "--picture", str(picture), "--station", "cut", "--at", AT)
    assert (answer["outcome"], answer["code"]) == ("recorded", codes[0])
    (shop.folder / "no.png").write_bytes(b"no picture")
    assert "no.png" in shop.run("scan", "--picture", str(shop.folder / "no.png"), status=2)
    sheet = shop.folder / "two.png"
    shop.run("labels", "JARS", "--stock", "a4-65", "--out", str(sheet))
    assert "scan one of them" in shop.run("scan", "--picture", str(sheet), status=2)
    assert "Say which" in shop.run("scan", "--station", "cut", status=2)


def test_a_sample_label_and_a_test_page_are_drawn(shop):
    for option in ("--preview", "--ruler"):
        answer = shop.json("stocks", option, "50x25", "--out", str(shop.folder / "p.png"))
        assert Path(answer["file"]).stat().st_size > 500
    assert "There is no label stock" in shop.run("stocks", "--ruler", "none", status=2)
    bad = str(shop.folder / "no" / "p.png")
    assert "could not be written" in shop.run("stocks", "--ruler", "50x25", "--out", bad, status=3)


def test_printers_are_listed_or_it_is_said_that_there_are_none(shop):
    assert isinstance(shop.json("printers")["printers"], list)
    (shop.folder / "settings.toml").write_text('printer = "ipp://127.0.0.1:9/none"\n', "utf-8")
    (one,) = [row for row in shop.json("printers")["printers"] if row["in_use"]]
    assert (one["ok"], bool(one["words"])) == (False, True)
    (shop.folder / "settings.toml").write_text('paper_printer = "two words"\n', "utf-8")
    (one,) = [row for row in shop.json("printers")["printers"] if row["for_paper"]]
    assert (one["printer"], one["in_use"], one["ok"]) == ("two words", False, False)


def test_a_column_can_be_named_at_the_command(shop):
    odd = "Piece of it;Long side;Short side;Count\nSide;300;200;2\n"
    (shop.folder / "odd.csv").write_text(odd, "utf-8")
    args = ["take-in", str(shop.folder / "odd.csv"), "--job", "ODD", "--at", AT]
    named = [f"--column={pair}" for pair in ("Piece of it=part", "Long side=length")]

    taken = shop.json(*args, *named, "--column", "Short side=width")

    assert (taken["taken"], taken["pieces"]) == (True, 2)
    assert taken["columns"][1] == {"heading": "Long side", "meaning": "length"}
    wrong = shop.json(*args, "--column", "Depth=width", status=2)
    assert "no column headed “Depth”" in wrong["problems"][0]["message"]
    assert "HEADING=meaning" in shop.run(*args, "--column", "Depth", status=2)
