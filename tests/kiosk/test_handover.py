from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import pypdfium2
import pytest

from kiosk.handover import PAPERS, compose_rows, write_handover
from kiosk.handover.pages import Head, draw_pages, paginate, wrap
from kiosk.handover.words import ADVICE, ESTIMATE, NOTHING, say_hour
from kiosk.rules.ends import Ends
from labels.artwork.letters import width_of
from tests.builders import ZONE, at

NOW = at("w2 Mon 10:00")


def ends(unit="S1", **fields) -> Ends:
    given = {
        "name": f"Glaze store shelf {unit}",
        "at": {"hang": at("w2 Mon 09:10"), "wipe": at("w2 Thu 15:20"), "load": at("w3 Thu 15:00")},
    }
    return Ends(unit, **(given | fields))


def write(path, units, **fields) -> int:
    given = {
        "job_name": "GLAZE", "site": "Kiln room", "shop_name": "Bench and Cleat",
        "now": NOW, "zone": ZONE, "notes": (),
    }  # fmt: skip
    return write_handover(path, ends=units, **(given | fields))


def rendered(path):
    document = pypdfium2.PdfDocument(path)
    try:
        return [page.render(scale=0.5, grayscale=True).to_pil().copy() for page in document]
    finally:
        document.close()


# -- the rows ------------------------------------------------------------------------------------


def test_a_row_says_from_when_rounded_up_to_the_full_hour():
    (row,) = compose_rows([ends()], now=NOW, zone=ZONE)
    assert row.cells == (
        ("S1 Glaze store shelf S1", ""),
        ("Mon 9 Mar, 10:00", ""),
        ("Thu 12 Mar, 16:00", ""),
        ("Thu 19 Mar, 15:00", ""),
    )


def test_what_is_not_known_says_why_and_hanging_stays_blank():
    unknown = ends(at={}, why=dict.fromkeys(("hang", "wipe", "load"), "coat 2 is not on yet"))
    (row,) = compose_rows([unknown], now=NOW, zone=ZONE)
    assert row.cells[1:] == (("", ""), ("", "coat 2 is not on yet"), ("", "coat 2 is not on yet"))


def test_a_use_with_neither_a_time_nor_a_reason_is_blank():
    (row,) = compose_rows([ends(at={})], now=NOW, zone=ZONE)
    assert set(row.cells[1:]) == {("", "")}


def test_only_what_is_still_to_come_is_marked_as_an_estimate():
    (row,) = compose_rows([ends(estimated=True)], now=NOW, zone=ZONE)
    assert [below for _, below in row.cells] == ["", "", ESTIMATE, ESTIMATE]


def test_figures_nobody_confirmed_are_marked_with_their_products():
    (row,) = compose_rows([ends(seeds=("Enamel", "Primer"))], now=NOW, zone=ZONE)
    assert row.cells[0] == ("S1 Glaze store shelf S1", "typical figures: Enamel, Primer")


def test_a_unit_without_a_name_goes_by_its_code():
    (row,) = compose_rows([ends(name="")], now=NOW, zone=ZONE)
    assert row.cells[0][0] == "S1"


@pytest.mark.parametrize(
    ("when", "zone", "words"),
    [
        (datetime(2026, 3, 27, 14, 0, tzinfo=UTC), ZONE, "Fri 27 Mar, 15:00"),
        (datetime(2026, 3, 27, 14, 0, 0, 1, tzinfo=UTC), ZONE, "Fri 27 Mar, 16:00"),
        (datetime(2026, 12, 31, 22, 30, tzinfo=UTC), ZONE, "Fri 1 Jan 2027, 00:00"),
        # 29 March 2026, 02:00 becomes 03:00 (tz database)
        (datetime(2026, 3, 29, 0, 30, tzinfo=UTC), ZONE, "Sun 29 Mar, 03:00"),
        (datetime(2026, 3, 27, 14, 0, tzinfo=UTC), ZoneInfo("Asia/Kathmandu"), "Fri 27 Mar, 20:00"),
        # 4 October 2026, 02:00 becomes 02:30 (tz database)
        (
            datetime(2026, 10, 3, 15, 10, tzinfo=UTC),
            ZoneInfo("Australia/Lord_Howe"),
            "Sun 4 Oct, 03:00",
        ),
    ],
)
def test_hours_are_rounded_up_in_the_shops_own_time(when, zone, words):
    assert say_hour(when, now=NOW, zone=zone) == words


# -- the pages -----------------------------------------------------------------------------------


def test_every_row_is_on_a_page_once_and_in_order():
    rows = compose_rows([ends(f"S{n}") for n in range(70)], now=NOW, zone=ZONE)
    pages = paginate(rows, height=PAPERS["a4"][1])
    assert len(pages) > 2
    assert tuple(item for page in pages for item in page) == rows


def test_an_empty_line_never_opens_a_page():
    for page in paginate([""] * 5 + ["words", ""] * 60, height=PAPERS["letter"][1]):
        assert page[0] != ""


def test_the_usual_advice_is_given_in_plain_words():
    said = " ".join(ADVICE)
    for word in ("label decides", "no guarantee", "overnight", "confirmed from the label"):
        assert word in said


def test_words_are_wrapped_to_their_width_and_a_word_too_wide_is_cut():
    lines = wrap(f"wipe with a damp cloth {'x' * 200} only", 300, size=28)
    assert all(width_of(line, 28) <= 300 for line in lines)
    assert " ".join(lines).startswith("wipe with a damp cloth x")
    assert any(line.endswith("…") for line in lines)


def test_nothing_is_drawn_beyond_the_edges_of_the_paper():
    long = ends(name="Glaze store shelf with a name that goes on and on " * 3,
                seeds=("Enamel of a kind with a very long title", "Primer"),
                at={}, why={"wipe": "the second thin coat of the paint of the wall behind it " * 4,
                            "load": "x" * 300})  # fmt: skip
    rows = compose_rows([long, ends()] * 12, now=NOW, zone=ZONE)
    head = Head("GLAZE " * 40, "Kiln room " * 40, "", "Mon 9 Mar 2026")
    for page in draw_pages(head, rows, notes=["Note " * 200], size=PAPERS["a4"]):
        left, top, right, bottom = page.point(lambda dot: 255 - dot).getbbox()
        assert left >= 130
        assert top >= 130
        assert right <= page.width - 130
        assert bottom <= page.height - 80


# -- the file ------------------------------------------------------------------------------------


@pytest.mark.parametrize(("paper", "size"), [("a4", (595, 842)), ("letter", (612, 792))])
def test_a_short_sheet_is_one_page_of_the_paper(tmp_path, paper, size):
    path = tmp_path / "handover.pdf"
    assert write(path, [ends()], paper=paper) == 1
    document = pypdfium2.PdfDocument(path)
    assert document[0].get_size() == pytest.approx(size, abs=0.5)
    document.close()


def test_many_units_run_over_pages_that_all_show_something(tmp_path):
    path = tmp_path / "handover.pdf"
    count = write(path, [ends(f"S{n}") for n in range(40)], notes=["No scouring cream."])
    pages = rendered(path)
    assert count == len(pages) > 1
    assert all(page.getextrema()[0] < 100 for page in pages)


def test_a_sheet_without_units_still_gives_the_advice(tmp_path):
    assert write(tmp_path / "handover.pdf", []) == 1


def test_the_same_sheet_gives_the_same_bytes(tmp_path):
    one, other = tmp_path / "one.pdf", tmp_path / "other.pdf"
    for path in (one, other):
        write(path, [ends()])
    assert one.read_bytes() == other.read_bytes()


def test_a_disk_that_refuses_keeps_the_older_file_and_leaves_no_rest(tmp_path, monkeypatch):
    path = tmp_path / "handover.pdf"
    path.write_bytes(b"older")

    def refuse(self, target):
        raise OSError("no space")

    monkeypatch.setattr("pathlib.Path.replace", refuse)
    with pytest.raises(OSError, match="no space"):
        write(path, [ends()])
    assert path.read_bytes() == b"older"
    assert list(tmp_path.iterdir()) == [path]


def test_a_folder_that_is_not_there_is_an_os_error(tmp_path):
    with pytest.raises(OSError, match="handover"):
        write(tmp_path / "gone" / "handover.pdf", [ends()])


def test_what_nothing_may_be_put_on_has_no_date_for_goods():
    units = [ends(), ends(unit="S2"), ends(unit="S3")]
    loads = {"S1": ("19 kg", "evenly spread"), "S2": ("NOT RATED", NOTHING)}
    rows = compose_rows(units, now=NOW, zone=ZONE, loads=loads)
    assert [row.cells[3] for row in rows] == [
        ("Thu 19 Mar, 15:00", ""),
        ("", "load nothing"),
        ("Thu 19 Mar, 15:00", ""),
    ]
    assert rows[1].cells[2][0] == "Thu 12 Mar, 16:00"
    assert [row.cells[4][0] for row in rows] == ["19 kg", "NOT RATED", "not checked"]
