"""What printers say of labels is said of sheets at a paper printer, and never of labels."""

import pytest

from kiosk.rules.paperwords import paper_remedy, say_paper
from kiosk.rules.words import Phrase
from labels.printing.jobs import fold_job
from labels.printing.values import PDF, Sheet
from labels.printing.wire import ENUM, JOB, PRINTER, Attribute, Group
from labels.printing.words import (
    find_reason,
    given_up,
    gone,
    in_doubt,
    no_print_system,
    refused,
    refused_ask,
    unreachable,
    wrong_format,
    wrong_size,
)

# RFC 8011 section 5.4.12 and PWG 5100.9: the keywords of what stops a printer
KEYWORDS = (
    "media-empty", "media-needed", "media-jam", "cover-open", "door-open", "interlock-open",
    "input-tray-missing", "output-area-full", "marker-supply-empty", "toner-empty",
    "marker-waste-full", "paused", "moving-to-paused", "offline", "connecting-to-device",
    "timed-out", "shutdown", "stopped", "spool-area-full",
)  # fmt: skip
SHEET = Sheet(b"%PDF", PDF, 210.0, 297.0, 200)
HELD, STOPPED = 4, 6  # RFC 8011 section 5.3.7


def job_at(state):
    return fold_job(
        Group(JOB, (Attribute("job-state", ENUM, (state,)),)),
        Group(PRINTER, ()),
        still=0.0,
        ours=False,
    )


STATES = (
    *(find_reason([one]) for one in KEYWORDS),
    *(refused(code, SHEET) for code in (0x0401, 0x0406, 0x040A, 0x040B, 0x0500, 0x0506, 0x0507)),
    *(refused_ask(code) for code in (0x0406, 0x0500)),
    unreachable("Office"), in_doubt(), wrong_size(), wrong_format(), given_up(), gone(),
    no_print_system(), job_at(HELD), job_at(STOPPED),
)  # fmt: skip


@pytest.mark.parametrize("state", STATES, ids=lambda state: f"{state.reason}-{state.words[:24]}")
def test_no_word_of_labels_and_rolls_is_said_of_paper(state):
    said = f"{say_paper(state.words)} {paper_remedy(state.reason)}".lower()

    assert not [word for word in ("label", "roll", "ribbon", "stock") if word in said.split()]
    assert "label" not in said
    assert isinstance(say_paper(state.words), Phrase)


@pytest.mark.parametrize(
    "reason", [*KEYWORDS, "unreachable", "rejecting", "no-printer", "no-print-system", "given-up"]
)
def test_each_trouble_that_is_known_has_a_remedy_of_its_own(reason):
    assert paper_remedy(reason) != paper_remedy("honey-jar-open")


def test_what_somebody_wrote_of_a_pause_stays():
    state = find_reason(["paused"], message="Mara is at lunch")

    assert say_paper(state.words) == "The printer is paused: Mara is at lunch."
    assert "resume the queue" in paper_remedy(state.reason)


def test_a_trouble_nobody_knows_leads_to_the_printer():
    assert paper_remedy("honey-jar-open") == "Look at its display."
