"""Day sheets at a paper printer: a file of its own each, sent on, and kept whatever happens."""

import json
import shutil
import time
from datetime import UTC, date, datetime

import pypdfium2
import pytest
from typer.testing import CliRunner

from kiosk.actions import PaperPrinter, PaperSent, Shop, say_sent
from kiosk.actions.paperprints import sheet_name
from kiosk.check import run_checks
from kiosk.cli import app
from kiosk.clock import FixedClock
from kiosk.settingstext import load
from kiosk.store import Job, Store
from labels.printing import PrintRefused, PrintState, Stage, Ticket, open_printer
from tests.labels.printers import (
    OFFICE,
    PrintSystem,
    VirtualPrinter,
    read_raster,
    short_folder,
    until,
)

START = datetime(2026, 3, 9, 7, 30, tzinfo=UTC)  # a Monday
AT = "2026-03-09T07:30+00:00"
LIST = "Unit;Part;Qty;Length (mm);Width (mm);Finish\nS1;Side;2;600;300;clear\n"
READY = PrintState(Stage.WAITING, "The label waits for the printer.")
EMPTY = PrintState(Stage.STOPPED, "The roll is empty.", "Put a new one in.", "media-empty")
MISSING = PrintState(Stage.FAILED, "There is no printer of that name.", "Choose.", "no-printer")


class Scripted:
    """A printer that answers as told and keeps what it was given."""

    def __init__(self, *, state=READY, refusal=None):
        self.told, self.refusal, self.sheets, self.keys = state, refusal, [], []

    def submit(self, sheet, *, key):
        if self.refusal is not None:
            raise PrintRefused(self.refusal)
        self.sheets.append(sheet)
        self.keys.append(key)
        return Ticket(key, len(self.sheets), "Office")

    def state(self, ticket):
        return self.told


def at(printer, *, paper="a4"):
    return PaperPrinter("Office", paper, reach=lambda _name: printer)


@pytest.fixture
def settings():
    return 'zone = "UTC"\n'


@pytest.fixture
def shop(tmp_path, settings):
    (tmp_path / "settings.toml").write_text(settings, "utf-8")
    store = Store.open(tmp_path / "shop.db", "K")
    opened = Shop(store, load(settings)[0], FixedClock(START))
    for name in ("Mara", "Ivo"):
        opened.add_person(name)
    (tmp_path / "list.csv").write_text(LIST, "utf-8")
    assert opened.take_in(tmp_path / "list.csv", Job("JARS", hang_day="2026-03-20")).problems == ()
    yield opened
    opened.stop_improving()
    store.close()


@pytest.fixture
def file(shop):
    return shop.write_sheets("Mara").file


def run(tmp_path, *words, status=0):
    line = ["day", *words, "--evaluations", "0", "--at", AT, "--shop", str(tmp_path / "shop.db")]
    result = CliRunner().invoke(app, line)
    assert result.exit_code == status, result.output
    return result.output


# -- what the files are called ---------------------------------------------------------------------


def test_the_whole_day_and_each_person_have_a_file_of_their_own(shop, tmp_path):
    files = [shop.write_sheets(person).file for person in (None, "Mara", "Ivo")]

    assert [file.name for file in files] == [
        "day-2026-03-09.pdf",
        "day-2026-03-09-mara.pdf",
        "day-2026-03-09-ivo.pdf",
    ]
    pages = [len(pypdfium2.PdfDocument(file)) for file in files]
    assert pages[0] > pages[1] == 1
    assert len({file.read_bytes() for file in files}) == 3


@pytest.mark.parametrize(
    "people",
    [
        ("A/B", "A-B", "A B"),
        ("Mara", "MARA", "mara"),
        ("..", "//", "?"),
        ("Zo\u00eb", "Zoe\u0308"),  # the same letters in two ways (Unicode annex 15)
        ("x" * 300, "x" * 301),
        ("Straße", "Strasse"),
    ],
)
def test_no_two_people_share_a_file(people, tmp_path):
    names = [sheet_name(date(2026, 3, 9), one, people) for one in (None, *people)]

    assert len({name.casefold() for name in names}) == len(people) + 1
    for name in names:
        (tmp_path / name).write_text(name, "utf-8")  # a file system takes it
        assert not set(name) & set('/\\:*?"<>| ')
    assert len(list(tmp_path.iterdir())) == len(names)


# -- sending ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("paper", "size"), [("a4", (210.0, 297.0)), ("letter", (215.9, 279.4))]
)  # ISO 216; ANSI/ASME Y14.1
def test_sheets_are_sent_as_they_are_with_the_size_of_the_paper(shop, paper, size):
    sheets, printer = shop.write_sheets(paper=paper), Scripted()

    sent = at(printer, paper=paper).send(sheets.file)

    (sheet,) = printer.sheets
    assert sheet.data == sheets.file.read_bytes()
    assert (sheet.mime, (sheet.width_mm, sheet.height_mm)) == ("application/pdf", size)
    assert sent == PaperSent(sheets.file, "Office", is_sent=True)
    assert say_sent(sent)[0] == "Sent to the paper printer Office"


def test_what_is_asked_for_twice_is_printed_twice(file):
    printer = Scripted()

    at(printer).send(file)
    at(printer).send(file)

    assert len(set(printer.keys)) == 2
    assert all(len(key) <= 40 for key in printer.keys)  # printers cut longer names short


def test_a_printer_that_takes_nothing_says_why_and_the_file_stays(file):
    sent = at(Scripted(refusal=MISSING)).send(file)

    assert (sent.is_sent, sent.failed) == (False, True)
    words, line = say_sent(sent)
    assert words == "Not printed at Office"
    assert line.startswith("There is no printer of that name. Choose one of the list")
    assert str(file) in line
    assert file.is_file()


def test_sheets_that_wait_for_paper_are_sent_and_say_so(file):
    sent = at(Scripted(state=EMPTY)).send(file)

    assert (sent.is_sent, sent.failed) == (True, False)
    words, line = say_sent(sent)
    assert words == "Sent to the paper printer Office, which does not print now"
    assert line.startswith("The printer is out of paper. Put paper in; it prints by itself then.")


def test_a_job_the_queue_drops_at_once_is_not_called_sent(file):
    dropped = PrintState(Stage.FAILED, "The printer gave the label up.", "Retry.", "given-up")

    sent = at(Scripted(state=dropped)).send(file)

    assert (sent.is_sent, sent.trouble) == (False, "The printer gave the sheets up.")


def test_without_a_printer_the_file_is_all(shop):
    sheets = shop.write_sheets("Mara")
    sent = sheets.send()

    assert sheets.printer.where == ""
    assert say_sent(sent) == ("Written as PDF", f"Written to {sheets.file}.")
    assert sent.file.is_file()


def test_the_test_page_is_of_the_paper_and_leaves_no_file(tmp_path):
    printer = Scripted()
    sent = at(printer, paper="letter").test(shop="Glaze studio", at=START)

    (page,) = pypdfium2.PdfDocument(printer.sheets[0].data)
    assert page.get_size() == pytest.approx((612, 792), abs=1)  # 8.5 × 11 in, in points
    assert (sent.file, sent.is_sent) == (None, True)
    assert say_sent(sent)[1] == ""


def test_queues_are_listed_or_it_is_said_why_there_are_none():
    def printer(*found):
        return PaperPrinter("", "a4", discover=lambda: found)

    assert printer(("Office", "Labels"), ()).queues() == (("Office", "Labels"), "")
    assert printer((), ()).queues()[1] == "No print queue is known to this computer."
    words = "This computer has no print system. Choose one in the settings, or print the PDF."
    assert printer((), (words,)).queues() == ((), words)


# -- the command line, and the check ---------------------------------------------------------------


def test_the_command_writes_where_no_printer_is_set(shop, tmp_path):
    said = run(tmp_path, "--print", "--for", "Ivo")
    answer = json.loads(run(tmp_path, "--print", "--json"))

    assert said.strip() == f"Written to {tmp_path / 'day-2026-03-09-ivo.pdf'}."
    assert (answer["file"], answer["printer"], answer["sent"]) == (
        str(tmp_path / "day-2026-03-09.pdf"), None, False,
    )  # fmt: skip
    assert (tmp_path / "day-2026-03-09.pdf").is_file()


def test_print_goes_with_no_other_file_and_with_people_who_work_that_day(shop, tmp_path):
    assert "does not go with --out" in run(tmp_path, "--print", "--out", "x.pdf", status=2)
    assert "Nobody called Ada" in run(tmp_path, "--print", "--for", "Ada", status=2)


@pytest.mark.parametrize("settings", ['zone = "UTC"\npaper_printer = "two words"\n'])
def test_a_name_no_queue_can_have_is_said_and_the_sheets_are_kept(shop, tmp_path):
    said = run(tmp_path, "--print", status=3)
    answer = json.loads(run(tmp_path, "--print", "--json", status=3))

    assert said.startswith("Not printed at two words. two words is no name of a print queue.")
    assert (answer["printer"], answer["sent"]) == ("two words", False)
    assert answer["words"] == "two words is no name of a print queue."
    assert (tmp_path / "day-2026-03-09.pdf").stat().st_size > 1000


def other(tmp_path, *words, status=0):
    result = CliRunner().invoke(
        app, [*words, "--json", "--at", AT, "--shop", str(tmp_path / "shop.db")]
    )
    assert result.exit_code == status, result.output
    return json.loads(result.output)


def test_the_board_and_the_handover_sheet_are_written_where_no_printer_is_set(shop, tmp_path):
    board = other(tmp_path, "board", "--print")
    sheet = other(tmp_path, "handover", "JARS", "--print", "--out", str(tmp_path / "jars.pdf"))

    assert (board["file"], board["sent"]) == (str(tmp_path / "board-2026-03-09.pdf"), False)
    assert (sheet["file"], sheet["sent"], sheet["pages"]) == (str(tmp_path / "jars.pdf"), False, 1)
    assert all(len(pypdfium2.PdfDocument(one["file"])) >= 1 for one in (board, sheet))
    line = ["board", "--print", "--out", "x.pdf", "--shop", str(tmp_path / "shop.db")]
    assert "does not go with --out" in CliRunner().invoke(app, line).output


@pytest.mark.parametrize(
    "settings", ['zone = "UTC"\npaper = "letter"\npaper_printer = "two words"\n']
)
def test_board_and_handover_sheet_are_kept_where_the_printer_takes_nothing(shop, tmp_path):
    board = other(tmp_path, "board", "--print", status=3)
    sheet = other(
        tmp_path, "handover", "JARS", "--print", "--out", str(tmp_path / "jars.pdf"), status=3
    )

    for one in (board, sheet):
        assert (one["printer"], one["sent"]) == ("two words", False)
        (page, *_more) = pypdfium2.PdfDocument(one["file"])
        assert page.get_size() == pytest.approx((612, 792), abs=1)  # 8.5 × 11 in, in points


def line_of(tmp_path, text):
    found = run_checks(tmp_path / "shop.db", load(text)[0], ())
    return next(one for one in found if one.name == "paper")


def test_the_check_has_a_line_for_the_paper_printer(tmp_path):
    none = line_of(tmp_path, "")
    bad = line_of(tmp_path, 'paper_printer = "two words"\n')

    assert (none.ok, none.detail) == (
        True, "no paper printer is set; day sheets are written as PDF",
    )  # fmt: skip
    assert (bad.ok, bad.remedy) == (False, "Choose one of the list in the settings.")


# -- a real print system and a real office printer, on loopback ------------------------------------


@pytest.fixture(scope="module")
def office():
    """Give a print system with the queue Office to a printer with A4 and Letter."""
    folder = short_folder()
    virtual = VirtualPrinter(folder / "printer", formats="image/pwg-raster", attributes=OFFICE)
    system = PrintSystem(folder / "system")
    system.add("Office", virtual.uri)
    yield system, virtual
    system.stop()
    virtual.stop()
    shutil.rmtree(folder)


@pytest.fixture
def queue(office, monkeypatch):
    system, virtual = office
    monkeypatch.setenv("CUPS_SERVER", system.server)
    # what the test before printed is over, and says nothing of the queue any more
    printer = open_printer("Office", seconds=time.monotonic)
    until(lambda: printer.check().words == "The printer is ready.", "the queue to be at rest")
    return system, virtual


OFFICE_SET = 'zone = "UTC"\npaper_printer = "Office"\n'


@pytest.mark.parametrize(
    ("paper", "told", "dots"),
    [
        ("a4", "x-dimension=21000 y-dimension=29700", (3508, 2480)),  # ISO 216 at 300 dpi
        ("letter", "x-dimension=21590 y-dimension=27940", (3300, 2550)),  # 11 × 8.5 in at 300 dpi
    ],
)
@pytest.mark.parametrize("settings", [OFFICE_SET])
def test_a_sheet_comes_out_of_an_office_printer_on_its_paper(queue, shop, paper, told, dots):
    _system, virtual = queue
    before = set(virtual.printed())

    sent = shop.write_sheets("Mara", paper=paper).send()

    assert sent.is_sent, sent
    (out,) = until(lambda: set(virtual.printed()) - before, "the sheet to come out")
    assert told in virtual.told(out.stem)["IPP_MEDIA_COL"]
    (page,) = read_raster(out.read_bytes())
    assert page.shape == pytest.approx(dots, abs=2)
    assert 0.002 < page.mean() < 0.4  # something is on it, and it is no black page


@pytest.mark.parametrize("settings", [OFFICE_SET])
def test_board_and_handover_sheet_come_out_of_it_too(queue, shop, tmp_path):
    _system, virtual = queue
    before = set(virtual.printed())
    board = other(tmp_path, "board", "--print")
    sheet = other(tmp_path, "handover", "JARS", "--print", "--out", str(tmp_path / "jars.pdf"))

    assert board["sent"]
    assert sheet["sent"]
    until(lambda: len(set(virtual.printed()) - before) == 2, "both to come out")


@pytest.mark.parametrize("settings", [OFFICE_SET])
def test_a_paused_queue_keeps_the_sheets_and_prints_them_later(queue, shop, tmp_path):
    system, virtual = queue
    before = set(virtual.printed())
    system.run("cupsdisable", "-r", "Changing the toner", "Office")
    said = run(tmp_path, "--print", "--for", "Mara")
    checked = line_of(tmp_path, OFFICE_SET)
    system.run("cupsenable", "Office")

    assert said.startswith("Sent to the paper printer Office, which does not print now.")
    assert "The printer is paused: Changing the toner." in said
    assert (checked.ok, checked.detail) == (
        False, "Office: The printer is paused: Changing the toner.",
    )  # fmt: skip
    assert until(lambda: set(virtual.printed()) - before, "the sheet to come out")
    assert line_of(tmp_path, OFFICE_SET).ok


@pytest.mark.parametrize("settings", [OFFICE_SET])
def test_a_queue_that_takes_nothing_is_said_and_nothing_is_lost(queue, shop, tmp_path):
    system, _virtual = queue
    system.run("cupsreject", "Office")
    said = run(tmp_path, "--print", status=3)
    system.run("cupsaccept", "Office")

    assert "The printer takes no prints now. Let its queue accept prints again" in said
    assert (tmp_path / "day-2026-03-09.pdf").is_file()


@pytest.mark.parametrize("settings", ['zone = "UTC"\npaper_printer = "Nowhere"\n'])
def test_a_queue_that_is_not_there_is_said(queue, shop, tmp_path):
    said = run(tmp_path, "--print", status=3)

    assert "There is no printer of that name. Choose one of the list" in said
    assert (tmp_path / "day-2026-03-09.pdf").is_file()
    assert not line_of(tmp_path, 'paper_printer = "Nowhere"\n').ok


def test_the_test_page_comes_out_and_the_queue_is_listed(queue):
    _system, virtual = queue
    printer, before = PaperPrinter("Office", "a4"), set(virtual.printed())

    assert "Office" in printer.queues()[0]
    assert printer.test(shop="", at=START).is_sent
    (out,) = until(lambda: set(virtual.printed()) - before, "the test page to come out")
    (page,) = read_raster(out.read_bytes())
    # 100 mm are 1181 dots at 300 dpi: the longest stroke that is not the frame's
    inside = page[400:-400, 300:-300]
    longest = max(_run(row) for row in inside)
    assert longest == pytest.approx(1181, abs=6)


def _run(row):
    """Return the longest run of ink in a row of dots."""
    most = now = 0
    for dot in row:
        now = now + 1 if dot else 0
        most = max(most, now)
    return most


@pytest.mark.parametrize("settings", [OFFICE_SET])
def test_without_a_print_system_it_is_said_and_the_sheets_are_kept(shop, tmp_path, monkeypatch):
    monkeypatch.setenv("PATH", str(tmp_path))

    assert "This computer has no print system." in run(tmp_path, "--print", status=3)
    assert (tmp_path / "day-2026-03-09.pdf").is_file()
