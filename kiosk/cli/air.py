"""The commands about the shop's air: readings, clocks, findings, rags, and the handover sheet."""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path
from threading import Event
from typing import Annotated

import typer

from kiosk import airreport, report
from kiosk.actions import PaperSent, Shop
from kiosk.cli.common import (
    AsJson,
    At,
    Desk,
    Exit,
    Person,
    ShopFile,
    at_desk,
    end,
    end_problems,
    one_of,
    say,
    stop,
    writing,
)
from kiosk.dayreport import sent_json, sent_text
from kiosk.figure import draw_curve, to_png, to_svg
from kiosk.handover import write_handover
from kiosk.hangreport import bare_text
from kiosk.rules.air import Reading
from kiosk.rules.airwords import read_air, read_humidity, read_temperature
from kiosk.rules.curve import clock_curve
from kiosk.rules.problems import Problem
from kiosk.rules.scanning import Answer
from kiosk.sensors import Feed

app = typer.Typer()

WhatIf = Annotated[
    str, typer.Option("--what-if", help='Ask for another air from now on, such as "22C 45%".')
]
Job = Annotated[str, typer.Option("--job", help="A job's site; without it, the shop.")]
PICTURE = (1280, 800)


@app.command()
def air(
    temp: Annotated[str, typer.Option(help="Temperature, such as 18C or 64F.")] = "",
    humidity: Annotated[str, typer.Option(help="Relative humidity, such as 65.")] = "",
    surface: Annotated[str, typer.Option(help="The panel's own temperature.")] = "",
    speed: Annotated[float | None, typer.Option(help="Air speed in m/s, if measured.")] = None,
    file: Annotated[Path | None, typer.Option(help="A logger's file: CSV, TSV, XLSX, ODS.")] = None,
    dates: Annotated[str, typer.Option(help="day-first or month-first, if it is not clear.")] = "",
    dry_run: Annotated[bool, typer.Option("--dry-run", help="Only say what would come.")] = False,
    readings: Annotated[int, typer.Option(help="List this many of the latest readings.")] = 0,
    listen: Annotated[bool, typer.Option("--listen", help="Take in what sensors send.")] = False,
    job: Job = "",
    shop: ShopFile = None,
    as_json: AsJson = False,
    at: At = None,
    person: Person = None,
) -> None:
    """Record a reading of the air, take in a logger's file, or say what the air is now."""
    one_of(dates, ("", "day-first", "month-first"), "--dates")
    typed = bool(temp or humidity or surface or speed is not None)
    if sum((typed, file is not None, listen)) > 1:
        stop("Give one of: a reading, --file, --listen.", Exit.INPUT)
    if dry_run and file is None:
        stop("--dry-run goes with --file.", Exit.INPUT)
    if listen and at is not None:
        stop("--listen takes in what comes from now on; leave --at out.", Exit.INPUT)
    with at_desk(shop, at, records=typed or file is not None or listen) as desk:
        if listen:
            _listen(desk, job)
        elif file is not None:
            taken = desk.shop.take_air_file(
                file, job=job, dates=dates or None, dry_run=dry_run, person=desk.who(person)
            )
            text = airreport.file_text(taken, dry_run=dry_run)
            say(text, airreport.file_json(taken, desk.shop.zone), as_json)
            if taken.problems:
                raise typer.Exit(int(Exit.INPUT))
        else:
            if typed:
                reading = _reading(desk, temp, humidity, surface, speed, as_json=as_json)
                problems = desk.shop.take_reading(reading, job=job, person=desk.who(person))
                end_problems(problems, as_json)
            text = airreport.air_text(desk.shop, desk.now, job=job, readings=readings)
            answer = airreport.air_json(desk.shop, desk.now, job=job, readings=readings)
            say(text, answer, as_json)


def _reading(
    desk: Desk, temp: str, humidity: str, surface: str, speed: float | None, *, as_json: bool
) -> Reading:
    """Return the reading as typed, or end with every problem in it."""
    fahrenheit, problems = desk.shop.fahrenheit, []
    degrees, wrong = read_temperature(temp, fahrenheit=fahrenheit)
    remedy = "Write --temp 18C --humidity 65."
    if wrong:
        problems.append(Problem(wrong, remedy, column="--temp", value=temp))
    percent, wrong = read_humidity(humidity)
    if wrong:
        problems.append(Problem(wrong, remedy, column="--humidity", value=humidity))
    panel = None
    if surface:
        panel, wrong = read_temperature(surface, fahrenheit=fahrenheit)
        if wrong:
            problems.append(Problem(wrong, "Write --surface 16C.", column="--surface"))
    end_problems(problems, as_json)
    return Reading(desk.now, degrees or 0.0, percent or 0.0, panel, speed, "typed")


def _listen(desk: Desk, job: str) -> None:
    """Take in what sensors send, for the shop or for a job's site, until the command is ended."""
    settings = desk.settings
    if not settings.mqtt_host:
        stop("No broker is set: write mqtt_host in settings.toml.", Exit.INPUT)

    def take(reading: Reading) -> None:
        problems = desk.shop.take_reading(reading, job=job)
        for problem in problems:
            typer.echo(report.problem_text(problem), err=True)
        if not problems:
            typer.echo(airreport.reading_text(reading, desk.shop))

    feed = Feed(
        settings.mqtt_host,
        settings.mqtt_port,
        settings.mqtt_topic,
        clock=desk.shop.clock,
        take=take,
        tell=lambda words: typer.echo(words, err=True),
        user=settings.mqtt_user,
        password=settings.mqtt_password,
        tls=settings.mqtt_tls,
    )
    feed.start()
    typer.echo(f"Listening at {settings.mqtt_host}; end with Ctrl+C.")
    try:
        with suppress(KeyboardInterrupt):
            Event().wait()
    finally:
        feed.stop()


@app.command()
def clock(
    unit: Annotated[str, typer.Argument(help="The unit's name, or a part's code.")],
    what_if: WhatIf = "",
    out: Annotated[Path | None, typer.Option(help="SVG or PNG file for its picture.")] = None,
    shop: ShopFile = None,
    as_json: AsJson = False,
    at: At = None,
) -> None:
    """Say how every clock of a unit stands, and draw the one its next step waits for."""
    with at_desk(shop, at) as desk:
        asked, words = supposed(desk, what_if, as_json=as_json)
        found = asked.clocks(unit, desk.now)
        if isinstance(found, Answer):
            say(report.answer_text(found), report.answer_json(found, asked.zone), as_json)
            end(found.outcome)
            return
        if out is not None:
            _draw(asked, unit, out, desk)
        text = airreport.clocks_text(found, desk.now, asked)
        head = f"{words}\n" if words else ""
        answer = airreport.clocks_json(found, desk.now, asked) | {"what_if": words or None}
        say(head + text, answer | {"file": str(out) if out else None}, as_json)


def _draw(shop: Shop, unit: str, out: Path, desk: Desk) -> None:
    drawn = shop.drawn_clock(unit, desk.now)
    if drawn is None:
        stop(f"Nothing on {unit} has a clock yet.", Exit.REFUSED)
    if out.suffix.lower() not in (".svg", ".png"):
        stop(f"{out} is neither SVG nor PNG.", Exit.INPUT)
    curve = clock_curve(
        drawn.clock,
        now=desk.now,
        zone=shop.zone,
        fahrenheit=shop.fahrenheit,
        window=drawn.windows,
        subject=f"{unit}, {drawn.reached.step.title}",
    )
    figure = draw_curve(curve, *PICTURE)
    with writing(out):
        if out.suffix.lower() == ".svg":
            out.write_text(to_svg(figure), "utf-8")
        else:
            to_png(figure, 1).save(out)


def supposed(desk: Desk, what_if: str, *, as_json: bool) -> tuple[Shop, str]:
    """Return the shop in the air asked about, and that air in words; as it is without one."""
    if not what_if:
        return desk.shop, ""
    asked, problems = read_air(what_if, fahrenheit=desk.shop.fahrenheit)
    end_problems(problems, as_json)
    if asked is None:
        stop('--what-if: write it like "22C 45%".', Exit.INPUT)
    return desk.shop.supposing(*asked, desk.now)


@app.command()
def found(
    unit: Annotated[str | None, typer.Argument(help="The unit's name, or a part's code.")] = None,
    dry: Annotated[bool, typer.Option("--dry", help="It is dry already.")] = False,
    tacky: Annotated[bool, typer.Option("--tacky", help="It is still tacky.")] = False,
    tested: Annotated[
        bool, typer.Option("--tested", help="What was at risk is tested, and sound.")
    ] = False,
    shop: ShopFile = None,
    as_json: AsJson = False,
    at: At = None,
    person: Person = None,
) -> None:
    """Record that a coat is dry already or still tacky; without a unit, say what was learnt."""
    if unit is not None and sum((dry, tacky, tested)) != 1:
        stop("Say which: --dry, --tacky or --tested.", Exit.INPUT)
    with at_desk(shop, at, records=unit is not None) as desk:
        if unit is None:
            rows = desk.shop.proposals()
            say(airreport.proposals_text(rows), airreport.proposals_json(rows), as_json)
            return
        who = desk.who(person)
        if tested:
            answer = desk.shop.test_passed(unit, person=who)
        else:
            answer = desk.shop.find(unit, dry=dry, person=who)
        say(report.answer_text(answer), report.answer_json(answer, desk.shop.zone), as_json)
        end(answer.outcome)


@app.command()
def rags(
    done: Annotated[bool, typer.Option("--done", help="They are out; tick them off.")] = False,
    shop: ShopFile = None,
    as_json: AsJson = False,
    at: At = None,
    person: Person = None,
) -> None:
    """Say whether oily rags still lie about, or tick them off."""
    with at_desk(shop, at, records=done) as desk:
        if done:
            answer = desk.shop.clear_rags(person=desk.who(person))
            say(report.answer_text(answer), report.answer_json(answer, desk.shop.zone), as_json)
            end(answer.outcome)
            return
        rags_now = desk.shop.rags(desk.now)
        text = airreport.rags_text(rags_now, desk.shop, desk.now)
        say(text, airreport.rags_json(rags_now, desk.shop.zone), as_json)


@app.command()
def handover(
    job: Annotated[str, typer.Argument(help="The job's code.")],
    out: Annotated[Path | None, typer.Option(help="PDF file to write.")] = None,
    print_: Annotated[
        bool, typer.Option("--print", help="Print it too, where paper_printer is set.")
    ] = False,
    shop: ShopFile = None,
    as_json: AsJson = False,
    at: At = None,
) -> None:
    """Write the sheet for the client: from when each unit may be wiped and loaded, with what."""
    with at_desk(shop, at) as desk:
        known = desk.shop.jobs().get(job)
        if known is None:
            have = ", ".join(desk.shop.jobs()) or "none yet"
            stop(f"There is no job {job}. Jobs are: {have}.", Exit.INPUT)
        ends, hanging = desk.shop.ends(job, desk.now), desk.shop.hanging(job, desk.now)
        file = out or Path(f"{job.lower()}-handover.pdf")
        with writing(file):
            pages = write_handover(
                file,
                job_name=known.name or job,
                site=known.site,
                shop_name=desk.settings.shop,
                ends=ends,
                now=desk.now,
                zone=desk.shop.zone,
                paper=desk.settings.paper,
                hanging=hanging,
                system=desk.shop.job_system(job),
            )
        sent = desk.shop.paper_printer().send(file) if print_ else PaperSent(file)
        answer = {"job": job, "units": airreport.ends_json(ends, desk.shop.zone)}
        where = sent_text(sent) if print_ else file
        dates = airreport.ends_text(ends, desk.now, desk.shop.zone)
        text = "\n".join([dates, *bare_text(hanging), str(where)])
        told = sent_json(sent) if print_ else {"file": str(file)}
        say(text, answer | told | {"pages": pages}, as_json)
        if sent.failed:
            raise typer.Exit(int(Exit.MACHINERY))
