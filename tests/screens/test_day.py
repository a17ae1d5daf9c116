"""The day at the kiosk: the rule, the list, what it leads to, and how long steps take."""

import threading
from dataclasses import replace
from datetime import UTC, timedelta
from pathlib import Path

import pytest

from kiosk.rules.dayplan.day import DayStep
from kiosk.screens.dayplansamples import closed_day, empty_day, late_day, risk_day
from kiosk.screens.dayplanscreen import DayPlanScreen, StepScreen
from kiosk.screens.dayplanview import say_late_lines, say_risk_lines, see_rail
from kiosk.widgets.marks import Mark


@pytest.fixture
def kiosk(drive, shop):
    """A bench with the day open."""
    found = drive(shop)
    found.tap(found.desk.bench.day)
    assert isinstance(found.desk.show, DayPlanScreen)
    return found


def listed(kiosk):
    return [one.label.text for one in kiosk.desk.show.rows]


def bars(kiosk):
    """The words on the rule's bars."""
    rail = kiosk.desk.show.rail
    return [label.text for bar in rail.bars for label in bar.children if hasattr(label, "text")]


def test_the_bench_leads_to_the_day_and_back(kiosk):
    kiosk.tap(kiosk.button("Back"))
    assert kiosk.desk.show is kiosk.desk.bench


def test_shop_leads_to_the_day_and_back_to_shop(kiosk):
    kiosk.tap(kiosk.button("Back"))
    kiosk.tap(kiosk.desk.bench.shop)
    kiosk.tap(kiosk.button("The day"))
    assert isinstance(kiosk.desk.show, DayPlanScreen)
    kiosk.tap(kiosk.button("Back"))
    assert kiosk.button("Jobs")


def test_what_goes_on_stands_first_with_who_and_why(kiosk):
    assert listed(kiosk) == [
        "09:10 K14: glue up",
        "09:40 G01: hang",
        "09:50 K13: gather",
        "09:50 G08: coat 2",
    ]
    assert kiosk.shows("Noor, Tom")
    assert kiosk.shows("now: Clamp bench free at 09:10")
    assert kiosk.shows("Today, Wed 09:58, page 1 of 7")


def test_every_person_has_a_row_on_the_rule_and_bars_name_unit_and_step(kiosk):
    assert {"Mara", "Ivo", "Ada", "Noor", "Bea", "Tom"} <= set(kiosk.texts())
    assert {"10:00", "11:00", "12:00"} <= set(kiosk.texts())
    # both who hang G01 have it on their rows
    assert bars(kiosk).count("G01 hang") == 2


def test_a_bar_lies_where_its_time_is_on_the_rule(kiosk):
    rail = kiosk.desk.show.rail
    bar = next(
        one for one in rail.bars if any("G03" in getattr(c, "text", "") for c in one.children)
    )
    left = rail.x + 0.13 * rail.width
    # 10:30 to 11:15 on a rule from 09:15 to 13:15
    assert bar.x == pytest.approx(left + 0.87 * rail.width * 1.25 / 4, abs=2)
    assert bar.width == pytest.approx(0.87 * rail.width * 0.75 / 4, abs=3)


def test_the_switch_shows_a_row_for_each_station(kiosk):
    kiosk.tap(kiosk.button("By station"))
    assert {"assemble", "finish", "install"} <= set(kiosk.texts())
    assert "Tom" not in kiosk.texts()
    kiosk.tap(kiosk.button("By person"))
    assert "Tom" in kiosk.texts()


def test_more_steps_turn_the_page_and_move_the_rule(kiosk):
    kiosk.tap(kiosk.button("More steps"))
    first = listed(kiosk)
    assert kiosk.shows("page 2 of 7")
    kiosk.tap(kiosk.button("More steps"))
    assert listed(kiosk) != first
    assert "14:00" in kiosk.texts()


def test_the_last_page_is_followed_by_the_first(kiosk):
    for _page in range(7):
        kiosk.tap(kiosk.button("More steps"))
    assert kiosk.shows("page 1 of 7")


def test_a_step_that_is_scanned_ticks_itself_off(kiosk, shop):
    assert "09:50 G08: coat 2" in listed(kiosk)
    shop.tick_off("G08", "coat-2")
    kiosk.tick(11)
    assert "09:50 G08: coat 2" not in listed(kiosk)
    done = [bar for bar in kiosk.desk.show.rail.bars if _mark(bar) == "tick"]
    assert any("G08" in getattr(c, "text", "") for bar in done for c in bar.children)


def _mark(bar):
    return next((one.shape for one in bar.children if hasattr(one, "shape")), "")


def test_without_news_the_screen_is_left_as_it_is(kiosk, shop):
    before = kiosk.desk.show
    shop.planned = replace(shop.planned, at=shop.planned.at + timedelta(seconds=11))
    kiosk.tick(11)
    assert kiosk.desk.show is before


def test_the_next_minute_moves_the_clock(kiosk, shop):
    shop.planned = replace(shop.planned, at=shop.planned.at + timedelta(seconds=61))
    kiosk.tick(11)
    assert kiosk.shows("Today, Wed 09:59")


def test_news_keep_the_page(kiosk, shop):
    kiosk.tap(kiosk.button("More steps"))
    shop.planned = replace(shop.planned, notes=("G14 is on hold",))
    kiosk.tick(11)
    assert kiosk.shows("page 2 of 7")
    assert kiosk.shows("1 note: see Print, times")


def test_what_could_not_be_planned_is_listed(drive, shop):
    shop.planned = replace(shop.planned, notes=("G14 is on hold", "K07 has no route"))
    kiosk = drive(shop)
    kiosk.tap(kiosk.desk.bench.day)
    kiosk.tap(kiosk.button("Print, times"))
    kiosk.tap(kiosk.button("To know: 2"))
    assert kiosk.shows("K07 has no route")


def test_a_step_says_all_and_leads_to_its_unit(kiosk):
    went = []
    kiosk.desk.shopdesk.day._unit = lambda job, unit, back: went.append((job, unit, back))
    row = next(one for one in kiosk.desk.show.rows if "G08" in one.label.text)
    kiosk.tap(row)
    assert isinstance(kiosk.desk.show, StepScreen)
    for words in (
        "GLAZE, G08: coat 2",
        "09:50 to 10:25, 35 min",
        "Mara at finish",
        "window closes 15:10",
        "scuff first: 10 min of it",
        "Oily rags can catch fire",
    ):
        assert kiosk.shows(words), words
    kiosk.tap(kiosk.button("Unit G08"))
    job, unit, back = went[0]
    assert (job, unit) == ("GLAZE", "G08")
    back()
    assert isinstance(kiosk.desk.show, StepScreen)
    kiosk.tap(kiosk.button("Back"))
    assert isinstance(kiosk.desk.show, DayPlanScreen)


def test_a_load_has_no_unit_to_go_to(kiosk, shop):
    load = next(one for one in shop.planned.steps if one.step == "load")
    kiosk.desk.shopdesk.day.show_step(shop.planned, load)
    kiosk.step(2)
    assert [one.label.text for one in kiosk.desk.show.buttons] == ["Back"]


def test_what_must_be_begun_before_closing_is_listed_with_its_rest(kiosk):
    kiosk.tap(kiosk.button("Before closing: 3"))
    assert kiosk.shows("16:10 G11: glue up")
    assert kiosk.shows("begin by 16:15; rests 14:35 h, until Thu 07:30; Bea, Noor at assemble")


def test_late_jobs_are_told_with_the_change_that_would_help(kiosk, shop):
    assert not [text for text in kiosk.texts() if text.startswith("Late")]
    shop.planned = late_day(UTC)
    kiosk.tick(11)
    assert kiosk.shows("GLAZE 9:30 h late, expected Fri 17:00; held up by G08 and 2 more the same")
    assert kiosk.shows("1 other job late; would help: 2 more slots at Clamp bench (GLAZE 1 day")
    kiosk.tap(kiosk.button("Late: 2"))
    assert kiosk.shows("GLAZE late")
    held_up = "held up by G08 and 2 more the same day: coat 2 rests until Fri 09:40"
    assert kiosk.shows(
        f"9:30 h late, expected Fri 17:00; {held_up}; its day held in 35 of 99 trial"
    )
    assert kiosk.shows("3:30 h late, expected 20 Mar 11:30")
    assert kiosk.shows("hang day Fri")
    assert kiosk.shows("What would help most: 2 more slots")
    kiosk.tap(kiosk.desk.show.rows[0])
    assert kiosk.shows(f"Held {held_up[5:]}")


def marks_of(widget):
    """Yield each mark above the rule with the words beside it, from left to right."""
    row = next(
        one
        for one in widget.walk(restrict=True)
        if any(isinstance(child, Mark) for child in one.children)
    )
    beside = list(reversed(row.children))
    for mark, label in zip(beside[::2], beside[1::2], strict=True):
        assert isinstance(mark, Mark)
        yield mark.shape, label.text


def test_late_jobs_and_those_at_risk_stand_above_the_rule_with_their_marks(kiosk, shop):
    shop.planned = risk_day(UTC)
    kiosk.tick(11)
    late, risk = marks_of(kiosk.desk.show)
    assert (late[0], risk[0]) == ("late", "question")
    assert late[1].replace("\u00a0", " ").startswith("GLAZE 9:30 h late, expected Fri 17:00")
    assert risk[1].replace("\u00a0", " ") == "KILN at risk: held in 57 of 99 trial runs"
    kiosk.tap(kiosk.button("Late: 1, at risk: 1"))
    assert kiosk.shows("Late and at risk")
    kiosk.tap(kiosk.desk.show.rows[1])
    assert kiosk.shows("KILN is at risk")
    assert kiosk.shows(
        "Planned in time, expected 20 Mar 14:10; hang day Fri 20 Mar 2026; its day held"
    )
    kiosk.tap(kiosk.button("Back"))
    assert kiosk.shows("Late and at risk")


def test_a_job_at_risk_is_told_where_none_is_late(kiosk, shop):
    shop.planned = replace(risk_day(UTC), late_jobs=())
    kiosk.tick(11)
    assert [shape for shape, _words in marks_of(kiosk.desk.show)] == ["question"]
    kiosk.tap(kiosk.button("At risk: 1"))
    assert [row.label.text for row in kiosk.desk.show.rows] == ["KILN at risk"]
    assert not kiosk.shows("Late")


def test_the_line_above_the_rule_says_less_before_it_writes_smaller():
    day = risk_day(UTC)
    said = say_late_lines(day.late_jobs * 2, day.change)
    assert said[0].startswith("GLAZE 9:30 h late, expected Fri 17:00; held up by G08")
    assert "1 other job late; would help: 2 more slots" in said[0]
    assert said[1:] == (
        said[0].split("; would help")[0],
        "GLAZE 9:30 h late, expected Fri 17:00; 1 other job late",
        "2 jobs late",
    )
    assert say_risk_lines(day.at_risk * 3) == (
        "KILN at risk: held in 57 of 99 trial runs; 2 other jobs at risk",
        "3 jobs at risk",
    )
    assert (say_late_lines((), ""), say_risk_lines(())) == ((), ())


def test_a_day_without_steps_says_where_to_look(drive, shop):
    shop.planned = empty_day(UTC)
    kiosk = drive(shop)
    kiosk.tap(kiosk.desk.bench.day)
    assert kiosk.shows("Nothing is planned for today.")
    assert kiosk.desk.show.rail is None


def test_a_closed_day_says_so_and_when_work_goes_on(drive, shop):
    shop.planned = closed_day(UTC)
    kiosk = drive(shop)
    kiosk.tap(kiosk.desk.bench.day)
    assert kiosk.shows("The shop is closed today. Work goes on Thu 07:30. What is due stands on")
    assert not kiosk.shows("Nothing is planned")


def test_a_search_shows_a_quiet_line_and_can_be_stopped(kiosk, shop):
    kiosk.tap(kiosk.button("Print, times"))
    kiosk.tap(kiosk.button("Look for a better plan"))
    assert shop.asked == [("improve_day",)]
    assert kiosk.shows("A better plan is being looked for")
    kiosk.tap(kiosk.button("Stop"))
    assert shop.asked[-1] == ("stop_improving",)
    assert not kiosk.shows("A better plan is being looked for")


def test_a_better_plan_is_shown_as_soon_as_it_is_heard_of(kiosk, shop):
    kiosk.tap(kiosk.button("Print, times"))
    kiosk.tap(kiosk.button("Look for a better plan"))
    shop.planned = replace(shop.planned, is_improving=False, is_best=True)
    shop.heard()
    kiosk.step(2)
    kiosk.settle()
    assert kiosk.shows("proved best")


def test_the_day_and_one_persons_sheet_are_written_where_no_printer_is_set(kiosk, shop):
    kiosk.tap(kiosk.button("Print, times"))
    kiosk.tap(kiosk.button("Print the day"))
    assert kiosk.shows("Written to day-all.pdf.")
    kiosk.tap(kiosk.button("Back"))
    kiosk.tap(kiosk.button("Print, times"))
    kiosk.tap(kiosk.button("Print for Noor"))
    assert kiosk.shows("Written to day-Noor.pdf.")
    assert shop.asked == [("write_sheets", None), ("write_sheets", "Noor")]
    assert shop.paper.sent == []


def print_for_noor(kiosk, shop):
    shop.settings = replace(shop.settings, paper_printer="Office")
    kiosk.tap(kiosk.button("Print, times"))
    kiosk.tap(kiosk.button("Print for Noor"))


def test_with_a_paper_printer_the_sheets_are_sent_there_and_it_is_said(kiosk, shop):
    print_for_noor(kiosk, shop)

    assert kiosk.shows("Sent to the paper printer Office")
    assert kiosk.shows("It is kept as day-Noor.pdf.")
    assert shop.paper.sent == [Path("day-Noor.pdf")]


def test_a_printer_that_takes_nothing_is_said_and_tried_again(kiosk, shop):
    shop.paper.trouble = "The printer is being mended."
    print_for_noor(kiosk, shop)
    assert kiosk.shows("Not printed at Office")
    assert kiosk.shows("The printer is being mended. Mend it. It is kept as day-Noor.pdf.")

    shop.paper.trouble = ""
    kiosk.tap(kiosk.button("Try again"))

    assert kiosk.shows("Sent to the paper printer Office")
    assert shop.asked == [("write_sheets", "Noor")] * 2


@pytest.fixture
def sending(kiosk, shop, monkeypatch):
    """A kiosk that sends sheets to a printer that answers only when the event is set."""
    waited, send = threading.Event(), shop.paper.send

    def slow(file):
        waited.wait()
        return send(file)

    monkeypatch.setattr("kiosk.screens.worker.Worker.patience_s", 0.2)
    shop.paper.send = slow
    print_for_noor(kiosk, shop)
    assert kiosk.shows("Sending to the paper printer Office …")
    yield waited
    waited.set()


def answer(kiosk, waited):
    (hanging,) = [one for one in threading.enumerate() if one.name == "aside"]
    waited.set()
    hanging.join(30)
    kiosk.settle()


def test_a_print_system_that_does_not_answer_holds_up_no_scan(kiosk, shop, sending):
    kiosk.scan("K7F3Q97")

    assert shop.scans == ["K7F3Q97"]
    assert kiosk.desk.show is kiosk.desk.bench
    answer(kiosk, sending)
    assert shop.paper.sent == [Path("day-Noor.pdf")]
    assert kiosk.desk.show is kiosk.desk.bench


def test_who_went_on_is_told_of_sheets_that_do_not_come(kiosk, shop, sending):
    kiosk.tap(kiosk.button("To the bench"))
    shop.paper.trouble = "The printer is being mended."
    answer(kiosk, sending)

    assert kiosk.shows("Not printed at Office")


def test_what_cannot_be_shown_says_so(drive, shop):
    kiosk = drive(shop)

    def refuse(now=None):
        raise RuntimeError("no plan")

    shop.day = refuse
    kiosk.tap(kiosk.desk.bench.day)
    assert kiosk.shows("The day could not be shown. Try again.")


# -- how much of the day the rule shows ----------------------------------------------------------


@pytest.mark.parametrize(("minutes", "hours"), [(4, 1), (8, 2), (20, 4), (90, 4)])
def test_the_rule_shows_less_of_a_day_of_short_steps(minutes, hours):
    day = empty_day(UTC)
    step = DayStep("GLAZE", "G1", "cut", "cut", "cut", ("Mara",), day.at, day.at)
    steps = tuple(
        replace(step, starts=day.at, ends=day.at + timedelta(minutes=minutes)) for _at in range(3)
    )
    rail = see_rail(replace(day, steps=steps), steps, zone=UTC, by="person", first_page=True)
    assert rail.ends - rail.starts == timedelta(hours=hours)
