"""The day on paper: every step where it belongs, nothing over the edge, nothing over another."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta, timezone

import pypdfium2
import pytest

from kiosk.figure.day import draw_day, lay_out_day
from kiosk.figure.paper import SIZES
from kiosk.figure.shapes import Box, Line, Words, overlap
from kiosk.rules.dayplan.day import DayPlan, DayStep, LateJob
from kiosk.screens.dayplansamples import closed_day, empty_day, late_day, sample_day

AT = datetime(2026, 3, 11, 9, 58, tzinfo=UTC)
LONG = "Fresh air while it is wet; fans at the room, not at the film. " * 5


def pages(day, *, paper="a4", person=None, zone=UTC, shop="Studio"):
    return lay_out_day(day, size=SIZES[paper], zone=zone, person=person, shop=shop)


def words(page):
    return [one.text for one in page.words]


def sheet_of(person, found):
    return [page for page in found if f"Studio: {person}" in words(page)]


def wordy(day):
    """The day with names, reasons and cautions far longer than usual."""
    steps = tuple(
        replace(one, unit=f"Glaze store {one.unit}", title=f"{one.title} and the back of it",
                why=LONG[:120], caution=LONG, extra=LONG[:70])
        for one in day.steps
    )  # fmt: skip
    return replace(day, steps=steps, before_closing=steps, change=LONG, notes=(LONG,))


def test_all_people_stand_on_the_first_page_with_the_hours():
    (first, *_rest) = pages(sample_day(UTC))
    assert {"Mara", "Ivo", "Ada", "Noor", "Bea", "Tom"} <= set(words(first))
    assert {"08:00", "12:00", "16:00"} <= set(words(first))


def test_every_step_stands_on_the_sheet_of_each_who_does_it():
    day = sample_day(UTC)
    found = pages(day)
    for step in day.steps:
        times = f"{step.starts:%H:%M} to {step.ends:%H:%M}"
        for person in step.people:
            said = [text for page in sheet_of(person, found) for text in words(page)]
            assert times in said, (person, step)
            assert step.unit in said


def test_a_sheet_says_station_length_reason_and_caution():
    said = " ".join(words(sheet_of("Mara", pages(sample_day(UTC)))[0]))
    assert "finish, 35 min" in said
    assert "window closes 15:10" in said
    assert "scuff first: 10 min of it" in said
    assert "Oily rags can catch fire by themselves" in said


def test_who_works_together_is_named_on_both_sheets():
    found = pages(sample_day(UTC))
    assert any("with Tom" in text for text in words(sheet_of("Noor", found)[0]))
    assert any("with Noor" in text for text in words(sheet_of("Tom", found)[0]))


def test_times_are_the_shops():
    west = timezone(timedelta(hours=-8))
    day = DayPlan(
        AT, people=("Mara",),
        steps=(DayStep("GLAZE", "G05", "coat-1", "coat 1", "finish", ("Mara",), AT, AT),),
    )  # fmt: skip
    (only,) = pages(day, person="Mara", zone=west)
    assert "01:58 to 01:58" in words(only)


def test_the_lists_say_what_rests_overnight_and_what_is_late():
    said = [text for page in pages(late_day(UTC)) for text in words(page)]
    assert "Before closing" in said
    found = [text for text in said if text.startswith("begin by")]
    assert len(found) == 3
    assert "begin by 16:15; rests 14:35 h, until Thu 07:30" in found
    assert "9:30 h late, expected Fri 17:00" in said
    assert "hang day Fri 13 Mar 2026" in said
    assert any("2 more slots" in text for text in said)
    held_up = "held up by G08 and 2 more the same day: coat 2 rests until Fri 09:40"
    assert held_up in " ".join(said)
    assert "its day held in 35 of 99 trial runs" in " ".join(said)


def test_jobs_at_risk_are_told_with_their_chance():
    risk = LateJob("JARS", AT.date(), AT, 70 / 99, "expected 15:20", 99)
    said = [
        text for page in pages(replace(sample_day(UTC), at_risk=(risk,))) for text in words(page)
    ]
    heading = said.index("At risk")
    assert {"JARS", "expected 15:20", "its day held in 70 of 99 trial runs"} <= set(said[heading:])
    assert "At risk" not in [text for page in pages(sample_day(UTC)) for text in words(page)]


def test_a_day_without_late_jobs_says_nothing_of_them():
    assert "Late jobs" not in [text for page in pages(sample_day(UTC)) for text in words(page)]


def test_what_could_not_be_planned_is_said():
    day = replace(sample_day(UTC), notes=("G14 is on hold",))
    (page,) = [page for page in pages(day) if "G14 is on hold" in words(page)]
    assert "To know" in words(page)


def test_one_persons_sheet_alone_has_their_part_of_the_list():
    (only,) = pages(sample_day(UTC), person="Ada")
    assert "Studio: Ada" in words(only)
    assert "Before closing" in words(only)
    assert "K13" in words(only)
    assert "16:10 to 16:55" not in words(only)


def test_a_day_nobody_works_is_one_page_that_says_so():
    day = closed_day(UTC)
    (only,) = pages(day)
    assert day.closed in words(only)
    (late,) = pages(replace(day, late_jobs=late_day(UTC).late_jobs))
    assert {day.closed, "Late jobs"} <= set(words(late))
    (mine,) = pages(day, person="Mara")
    assert day.closed in words(mine)


def test_what_was_done_on_a_closed_day_keeps_its_sheets():
    day = replace(sample_day(UTC), closed=closed_day(UTC).closed)
    assert len(pages(day)) == len(pages(sample_day(UTC)))


def test_somebody_without_steps_has_a_sheet_that_says_so():
    (only,) = pages(empty_day(UTC), person="Mara")
    assert "Nothing is planned for today." in words(only)


def test_a_done_step_is_ticked_and_others_are_not():
    day = sample_day(UTC)
    person = "Mara"
    done = sum(one.state == "done" for one in day.steps if person in one.people)
    assert done == 3
    (only,) = pages(day, person=person)
    ticks = [one for one in only.shapes if isinstance(one, Line) and len(one.points) == 3]
    assert len(ticks) == done


def test_a_step_of_a_minute_is_drawn_as_a_stroke(tmp_path):
    step = DayStep("GLAZE", "G05", "cut", "cut", "cut", ("Mara",), AT, AT + timedelta(minutes=1))
    day = DayPlan(
        AT, hours=((AT, AT + timedelta(hours=9)),), people=("Mara",),
        steps=(step, replace(step, starts=step.ends, ends=step.ends + timedelta(minutes=1),
                             state="done")),
    )  # fmt: skip
    boxes = [one for page in pages(day) for one in page.shapes if isinstance(one, Box)]
    assert all(one.bottom > one.top for one in boxes)
    assert draw_day(day, tmp_path / "day.png", paper="a4", zone=UTC)


def test_a_dozen_people_take_two_pages_of_the_rule():
    day = sample_day(UTC)
    crowd = replace(day, people=(*day.people, *(f"{who} II" for who in day.people)))
    found = pages(crowd)
    assert "Mara" in words(found[0])
    assert "Mara II" in words(found[1])
    assert "Mara II" not in words(found[0])


DAYS = {
    "usual": sample_day(UTC),
    "late": late_day(UTC),
    "none": empty_day(UTC),
    "wordy": wordy(late_day(UTC)),
}


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("name", list(DAYS))
def test_no_words_leave_the_page_or_lie_over_others(name, paper):
    for page in pages(DAYS[name], paper=paper):
        for one in page.words:
            left, top, right, bottom = one.edges
            assert min(left, top) >= 0, one
            assert right <= page.width, one
            assert bottom <= page.height, one
        for at, one in enumerate(page.words):
            for other in page.words[at + 1 :]:
                assert not overlap(inner(one), inner(other)), (one, other)


def inner(one: Words):
    """The letters themselves: between capitals and base line, as tails of one line may touch."""
    left, _top, right, _bottom = one.edges
    return left, one.y - 0.66 * one.size, right, one.y


def test_a_long_day_is_broken_between_entries_and_loses_none():
    day = wordy(sample_day(UTC))
    found = pages(day, person="Mara")
    assert len(found) > 1
    said = [text for page in found for text in words(page)]
    mine = [one for one in day.steps if "Mara" in one.people]
    times = {f"{one.starts:%H:%M} to {one.ends:%H:%M}" for one in mine}
    assert times <= set(said)


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_a_pdf_has_the_pages_and_the_size_of_the_paper(paper, tmp_path):
    day = late_day(UTC)
    (file,) = draw_day(day, tmp_path / "day.pdf", paper=paper, zone=UTC)
    document = pypdfium2.PdfDocument(file)
    assert len(document) == len(pages(day, paper=paper))
    # ISO 216: 210 by 297 mm; letter: 8.5 by 11 inches; in points of 1/72 inch
    wanted = {"a4": (595.3, 841.9), "letter": (612.0, 792.0)}[paper]
    assert document[0].get_size() == pytest.approx(wanted, abs=0.5)


def test_pictures_are_numbered_one_a_page(tmp_path):
    files = draw_day(sample_day(UTC), tmp_path / "day.png", paper="a4", zone=UTC)
    assert [file.name for file in files][:2] == ["day-1.png", "day-2.png"]
    assert all(file.stat().st_size > 5000 for file in files)
    (only,) = draw_day(sample_day(UTC), tmp_path / "ada.png", paper="a4", zone=UTC, person="Ada")
    assert only.name == "ada.png"


def test_other_paper_is_refused(tmp_path):
    with pytest.raises(KeyError):
        draw_day(empty_day(UTC), tmp_path / "day.pdf", paper="a5", zone=UTC)
