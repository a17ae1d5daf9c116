"""Printers of other tempers: every answer is the test's own, one operation at a time."""

import http.server
import threading
import time

import pytest

from labels.printing import PDF, PNG, PWG_RASTER, PrintRefused, Sheet, Stage, open_printer, wire
from labels.printing.wire import Attribute, Group, Message, decode, encode
from tests.labels.printers import labels_of, sheet_of

PRINT, VALIDATE, CANCEL, JOB, JOBS, PRINTER = 2, 4, 8, 9, 10, 11  # RFC 8011 section 5.4.15


def attributes(**values):
    """Return attributes by name; words are keywords, numbers are enums."""
    return tuple(
        Attribute(name.replace("_", "-"), _tag(value), value if _many(value) else (value,))
        for name, value in values.items()
    )


def _many(value):
    return isinstance(value, tuple)


def _tag(value):
    first = value[0] if _many(value) else value
    if isinstance(first, bool):
        return wire.BOOLEAN
    if isinstance(first, int):
        return wire.ENUM
    return wire.RESOLUTION if _many(first) else wire.KEYWORD


class Moody:
    """A printer that answers each operation as told, and remembers what it was asked."""

    def __init__(self):
        self.answers = {
            PRINTER: (0, Group(wire.PRINTER, attributes(
                printer_state=3, document_format_supported=(PWG_RASTER, PNG, PDF),
                pwg_raster_document_type_supported="black_1"))),
            VALIDATE: (0,),
            PRINT: (0, Group(wire.JOB, attributes(job_id=7, job_state=3))),
            JOB: (0, Group(wire.JOB, attributes(job_id=7, job_name="A-1", job_state=5))),
            JOBS: (0,),
            CANCEL: (0,),
        }  # fmt: skip
        self.asked, self.silent = [], set()
        moody = self

        class Handler(http.server.BaseHTTPRequestHandler):
            def do_POST(self):
                body = self.rfile.read(int(self.headers["Content-Length"]))
                request = decode(body)
                moody.asked.append(request)
                if request.code in moody.silent:
                    return
                code, *groups = moody.answers[request.code]
                answer = encode(Message(code, request.number, tuple(groups)))
                self.send_response(200)
                self.send_header("Content-Length", str(len(answer)))
                self.end_headers()
                self.wfile.write(answer)

            def log_message(self, *words):
                pass

        self.server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), Handler)
        self.uri = f"ipp://127.0.0.1:{self.server.server_port}/ipp/print"
        self.thread = threading.Thread(target=self.server.serve_forever, args=(0.02,))
        self.thread.start()

    def count(self, operation):
        return sum(request.code == operation for request in self.asked)

    def says(self, operation, code, tag=None, **values):
        groups = () if tag is None else (Group(tag, attributes(**values)),)
        self.answers[operation] = (code, *groups)

    def stop(self):
        self.server.shutdown()
        self.server.server_close()
        self.thread.join()


@pytest.fixture
def moody():
    made = Moody()
    yield made
    made.stop()


@pytest.fixture
def printer(moody):
    return open_printer(moody.uri, seconds=time.monotonic)


@pytest.fixture(scope="module")
def sheet(tmp_path_factory):
    return sheet_of(tmp_path_factory.mktemp("sheet"), labels_of(1))


def refusal(printer, sheet):
    with pytest.raises(PrintRefused) as error:
        printer.submit(sheet, key="A-1")
    return error.value.state


def form_sent(moody):
    (request,) = [each for each in moody.asked if each.code == PRINT]
    return request.first(wire.OPERATION).words("document-format")


def test_a_printer_that_would_leave_the_size_out_is_not_printed_to(moody, printer, sheet):
    moody.says(VALIDATE, 1, wire.UNSUPPORTED, media_col="x")  # successful-ok-ignored-…

    state = refusal(printer, sheet)

    assert (state.stage, state.reason) == (Stage.FAILED, "wrong-size")
    assert "50 × 25 mm" in state.words
    assert moody.count(PRINT) == 0


def test_what_else_a_printer_does_not_support_is_not_blamed_on_the_size(moody, printer, sheet):
    moody.says(VALIDATE, 0x040B, wire.UNSUPPORTED, print_scaling="none")

    assert refusal(printer, sheet).reason == "refused"


def test_a_printer_that_cannot_be_asked_first_is_printed_to(moody, printer, sheet):
    moody.says(VALIDATE, 0x0501)

    assert printer.submit(sheet, key="A-1").job == 7


def test_a_printer_that_gives_no_number_is_not_believed(moody, printer, sheet):
    moody.says(PRINT, 0)

    assert refusal(printer, sheet).stage is Stage.FAILED


def test_a_lost_answer_is_in_doubt_and_the_job_is_found_next_time(moody, printer, sheet):
    moody.silent.add(PRINT)
    state = refusal(printer, sheet)
    moody.says(JOBS, 0, wire.JOB, job_id=7, job_name="A-1", job_state=5)

    ticket = printer.submit(sheet, key="A-1")

    assert (state.stage, state.reason) == (Stage.WAITING, "in-doubt")
    assert ticket.job == 7
    assert printer.find("A-1") == ticket
    assert printer.find("A-2") is None
    assert moody.count(PRINT) == 1


@pytest.mark.parametrize("code", [0x0502, 0x0505, 0x0507])  # RFC 8011, appendix B.1.5
def test_a_printer_too_busy_to_list_its_jobs_is_not_printed_to(moody, printer, sheet, code):
    moody.says(JOBS, code)

    state = refusal(printer, sheet)

    assert (state.stage, state.reason) == (Stage.WAITING, "busy")
    assert moody.count(PRINT) == 0


@pytest.mark.parametrize("state", [7, 8])
def test_a_job_the_printer_dropped_is_no_reason_not_to_print_again(moody, printer, sheet, state):
    moody.says(JOBS, 0, wire.JOB, job_id=3, job_name="A-1", job_state=state)

    assert printer.submit(sheet, key="A-1").job == 7


@pytest.mark.parametrize(
    ("resolution", "form"), [((203, 203, 3), PWG_RASTER), ((80, 80, 4), PWG_RASTER),
        ((300, 300, 3), PNG)]
)  # fmt: skip
def test_raster_goes_only_to_a_printer_of_the_same_dots(moody, printer, sheet, resolution, form):
    moody.says(
        PRINTER, 0, wire.PRINTER, document_format_supported=(PWG_RASTER, PNG, PDF),
        pwg_raster_document_type_supported="black_1", printer_resolution_supported=(resolution,),
    )  # fmt: skip

    printer.submit(sheet, key="A-1")

    assert form_sent(moody) == (form,)


def test_a_print_system_gets_the_pdf(moody, printer, sheet):
    moody.says(
        PRINTER, 0, wire.PRINTER, cups_version="2.4.2",
        document_format_supported=(PWG_RASTER, PNG, PDF),
    )  # fmt: skip

    printer.submit(sheet, key="A-1")

    assert form_sent(moody) == (PDF,)


def test_a_printer_that_takes_none_of_our_forms_is_told(moody, printer, sheet):
    moody.says(PRINTER, 0, wire.PRINTER, document_format_supported="application/postscript")

    assert refusal(printer, sheet).reason == "wrong-format"


def test_several_labels_go_as_pdf_where_a_picture_holds_one(moody, printer, tmp_path):
    moody.says(PRINTER, 0, wire.PRINTER, document_format_supported=(PNG, PDF))

    printer.submit(sheet_of(tmp_path, labels_of(2)), key="A-1")

    assert form_sent(moody) == (PDF,)


def test_dots_unscaled_and_labels_are_asked_for_where_the_printer_can(moody, printer, sheet):
    moody.says(
        PRINTER, 0, wire.PRINTER, document_format_supported=PDF, print_scaling_supported="none",
        media_type_supported=("stationery", "labels"), media_top_margin_supported=300,
    )  # fmt: skip

    printer.submit(sheet, key="A-1")

    job = next(each for each in moody.asked if each.code == PRINT).first(wire.JOB)
    members = {each.name for each in job.values("media-col")[0]}
    assert job.words("print-scaling") == ("none",)
    assert "media-type" in members
    assert "media-top-margin" not in members
    assert "media-left-margin" in members


def test_a_sheet_of_everyday_paper_keeps_the_printers_margins(moody, printer):
    printer.submit(Sheet(b"%PDF", PWG_RASTER, 210.0, 297.0, 203), key="A-1")

    job = next(each for each in moody.asked if each.code == PRINT).first(wire.JOB)
    assert [each.name for each in job.values("media-col")[0]] == ["media-size"]


def test_a_printer_that_will_not_cancel_says_so(moody, printer, sheet):
    ticket = printer.submit(sheet, key="A-1")
    moody.says(CANCEL, 0x0403)

    state = printer.cancel(ticket)

    assert (state.stage, state.reason) == (Stage.PRINTING, "not-cancelled")
    assert "at the printer itself" in state.remedy


def test_a_cancel_whose_answer_is_lost_is_told_and_can_be_asked_again(moody, printer, sheet):
    ticket = printer.submit(sheet, key="A-1")
    moody.silent.add(CANCEL)
    lost = printer.cancel(ticket)
    moody.silent.clear()
    moody.says(JOB, 0, wire.JOB, job_id=7, job_name="A-1", job_state=7)

    assert lost.reason == "not-cancelled"
    assert printer.cancel(ticket).ended


def test_a_second_cancel_does_not_ask_twice(moody, printer, sheet):
    ticket = printer.submit(sheet, key="A-1")
    printer.cancel(ticket)
    printer.cancel(ticket)

    assert moody.count(CANCEL) == 1


def test_a_print_that_has_ended_is_not_cancelled(moody, printer, sheet):
    ticket = printer.submit(sheet, key="A-1")
    moody.says(JOB, 0, wire.JOB, job_id=7, job_name="A-1", job_state=9)

    assert printer.cancel(ticket).stage is Stage.DONE
    assert moody.count(CANCEL) == 0


@pytest.mark.parametrize(("code", "reason"), [(0x0406, "forgotten"), (0x0500, "refused")])
def test_a_printer_that_does_not_tell_of_a_job_is_told(moody, printer, sheet, code, reason):
    ticket = printer.submit(sheet, key="A-1")
    moody.says(JOB, code)

    assert printer.state(ticket).reason == reason


def test_a_printer_that_does_not_say_how_it_is_is_told(moody, printer, sheet):
    moody.says(PRINTER, 0x0500)

    assert printer.check().reason == "refused"
    assert refusal(printer, sheet).reason == "refused"


def test_a_printer_that_falls_silent_while_it_prints_is_told(moody, printer, sheet):
    ticket = printer.submit(sheet, key="A-1")
    moody.silent.update({JOB, JOBS, PRINTER})

    assert printer.state(ticket).reason == "unreachable"
    assert printer.dots() == ()
    with pytest.raises(PrintRefused, match="does not answer"):
        printer.find("A-1")


def test_a_plain_printer_asked_for_encryption_is_told(moody):
    secure = open_printer(moody.uri.replace("ipp:", "ipps:"), seconds=time.monotonic)

    assert secure.check().reason == "encryption"
    assert moody.asked == []


def test_where_no_printer_is_set_every_question_says_so(sheet):
    nowhere = open_printer("", seconds=time.monotonic)

    state = refusal(nowhere, sheet)

    assert state.words == "No printer is set."
    assert "print the PDF" in state.remedy
    assert nowhere.check() == state
    assert nowhere.find("A-1") is None
    assert nowhere.dots() == ()
