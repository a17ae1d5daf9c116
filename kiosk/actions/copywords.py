"""Say how it stands with the copies of the shop's file, and what a proof showed."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, tzinfo
from pathlib import Path

from kiosk.actions.copies import FOLDER, last_noted
from kiosk.actions.copyfaults import say_fault
from kiosk.actions.copynotes import (
    Drill,
    LastDrill,
    Night,
    SecondState,
    first_work,
    read_night_note,
)
from kiosk.actions.servercopy import dump_hint
from kiosk.config import Settings
from kiosk.rules.keeping import is_too_old
from kiosk.rules.times import say_time
from kiosk.rules.words import Phrase, _, join, say, say_n
from kiosk.settingstext import zone_of
from kiosk.store.proving import Compared, Proof


@dataclass(frozen=True, slots=True)
class Told:
    """How it stands with the nightly copies: in brief, and one sentence after the other.

    wrong is the one of them that says what somebody has to look into, empty where there is none.
    """

    brief: Phrase
    lines: tuple[Phrase, ...]
    wrong: str = ""


@dataclass(frozen=True, slots=True)
class Proved:
    """What bringing a copy back showed, in sentences; doubts are those that confirm nothing."""

    is_sound: bool
    lines: tuple[Phrase, ...]
    doubts: tuple[Phrase, ...] = ()


def tell_copies(night: Night, drill: LastDrill, *, settings: Settings, now: datetime) -> Told:
    """Return how it stands with the nightly copies, their proof and the second folder."""
    zone = zone_of(settings)
    made, wrong = say_made(night, now=now, zone=zone), say_wrong(night, now=now, zone=zone)
    lines = (
        made,
        wrong,
        say_last_drill(drill, now=now, zone=zone),
        say_second(night, settings, now=now, zone=zone),
        dump_hint(settings.server),
    )
    brief = (
        _("Something is wrong: see how it stands.") if wrong else "",
        made if night.at else "",
        say_second_briefly(night, settings),
    )
    return Told(join(brief), tuple(line for line in lines if line), wrong)


def say_night(night: Night, *, now: datetime, zone: tzinfo) -> Phrase:
    """Return the last good nightly copy with its proof, and what went wrong since."""
    return join((say_made(night, now=now, zone=zone), say_wrong(night, now=now, zone=zone)))


def say_made(night: Night, *, now: datetime, zone: tzinfo) -> Phrase:
    """Return the last good nightly copy with its proof."""
    if night.at is None:
        return _("No nightly copy was made yet.")
    when = say_time(night.at, now=now, zone=zone)
    proof = Proof(night.entries, night.jobs, night.units, night.pieces)
    return say("Nightly copy: {when}, proved: {counts}.", when=when, counts=say_counts(proof))


def say_wrong(night: Night, *, now: datetime, zone: tzinfo) -> Phrase:
    """Return what the last nightly copy found wrong, or why there was none; empty: nothing."""
    mended = failed = ""
    if night.lists:
        mended = say(
            "The shop's own lists do not follow from its log ({lists}); in the copy they do. End "
            "every kiosk, then: cleatclock check --rebuild.",
            lists=night.lists,
        )
    if night.tried is not None:
        when = say_time(night.tried, now=now, zone=zone)
        failed = say("The try of {when} failed: {why}.", when=when, why=say_fault(night.why))
    return join((mended, failed))


def say_second(night: Night, settings: Settings, *, now: datetime, zone: tzinfo) -> Phrase:
    """Return how it stands with the second folder: away is no fault, only said."""
    folder = settings.second_folder
    if not folder:
        return _("No second folder is set: a copy beside the shop's file is lost with its disk.")
    if folder != night.second or not night.second_state:
        return say("The second folder {folder} gets the copies with the next one.", folder=folder)
    if night.second_state == SecondState.DONE:
        if night.same_disk:
            return say(
                "The second folder {folder} has every copy, but lies on the same disk.",
                folder=folder,
            )
        return say("The second folder {folder} has every copy.", folder=folder)
    if night.second_at is None:
        has: str = _("it has no copy yet")
    else:
        when = say_time(night.second_at, now=now, zone=zone)
        has = say("it has every copy up to {when}", when=when)
    if night.second_state == SecondState.AWAY:
        return say(
            "The second folder {folder} is away; {has}. It is made good when it is back.",
            folder=folder,
            has=has,
        )
    return say(
        "The second folder {folder} did not take the copies: {why}; {has}. It is tried again.",
        folder=folder,
        why=say_fault(night.second_why),
        has=has,
    )


def say_second_briefly(night: Night, settings: Settings) -> Phrase:
    """Return the same in a few words."""
    if not settings.second_folder:
        return _("No second folder is set.")
    if settings.second_folder == night.second and night.second_state in _BRIEFLY:
        return _BRIEFLY[SecondState(night.second_state)]
    return _("The second folder gets the copies with the next one.")


_BRIEFLY = {
    SecondState.DONE: _("The second folder has every copy."),
    SecondState.AWAY: _("The second folder is away."),
    SecondState.FAILED: _("The second folder did not take the copies."),
}


def say_last_drill(drill: LastDrill, *, now: datetime, zone: tzinfo) -> Phrase:
    """Return when a copy was last proved by bringing it back; empty where none was."""
    if drill.at is None:
        return join(())
    when, file = say_time(drill.at, now=now, zone=zone), Path(drill.file).name
    if drill.is_sound:
        return say("Brought back as a drill {when}: {file}.", when=when, file=file)
    return say("The drill of {when} FAILED: {file} is not sound.", when=when, file=file)


def say_counts(proof: Proof) -> Phrase:
    """Return what was counted in a copy: `1,234 entries, 2 jobs, 14 units, 120 codes`."""
    return join(
        (
            say_n("{count:,} entry", "{count:,} entries", proof.entries, count=proof.entries),
            say_n("{n} job", "{n} jobs", proof.jobs),
            say_n("{n} unit", "{n} units", proof.units),
            say_n("{count:,} code", "{count:,} codes", proof.pieces, count=proof.pieces),
        ),
        ", ",
    )


def say_drill(drill: Drill, *, now: datetime, zone: tzinfo) -> tuple[Phrase, ...]:
    """Return what bringing a copy back showed, and so what it proved, in sentences."""
    file = Path(drill.file)
    if drill.found is None or drill.found.proof.problems:
        wrong = (drill.why,) if drill.found is None else drill.found.proof.problems
        why = join((say_fault(one) for one in wrong), "; ")
        return (
            say("{file} cannot be brought back: {why}.", file=file, why=why),
            _("Nothing was changed. Prove another copy, and look at the health of the disk."),
        )
    proof = drill.found.proof
    until = _("never") if proof.latest is None else say_time(proof.latest, now=now, zone=zone)
    whole = say(
        "{file} was brought back into a scratch folder, opened, and found whole.", file=file
    )
    read = say(
        "All that is in it was read: {counts}; the last entry is of {until}.",
        counts=say_counts(proof),
        until=until,
    )
    lists = _("Its log, folded anew, gives just these jobs, units and codes.")
    if proof.lists:
        lists = say(
            "These did not follow from its log, and were made anew: {lists}.",
            lists="; ".join(proof.lists),
        )
    return whole, read, lists, _say_compared(drill.found.compared)


def tell_drill(drill: Drill, *, now: datetime, zone: tzinfo) -> Proved:
    """Return what bringing a copy back showed, and which of it is in doubt."""
    lines, found = say_drill(drill, now=now, zone=zone), drill.found
    if found is None or not drill.is_sound:
        return Proved(drill.is_sound, lines, lines)
    _whole, _read, lists, compared = lines
    beside = found.compared
    doubts = (
        *((lists,) if found.proof.lists else ()),
        *((compared,) if beside.why or beside.other is not None else ()),
    )
    return Proved(drill.is_sound, lines, doubts)


def _say_compared(beside: Compared) -> Phrase:
    if beside.why:
        return say("There was no shop's file to compare it with: {why}.", why=say_fault(beside.why))
    if beside.other is not None:
        return say(
            "From entry {place} on the shop has others: it was brought back from another copy "
            "since, or one of the two is damaged.",
            place=beside.other,
        )
    if not beside.since:
        return _("Each entry is as the shop has it, which recorded nothing since.")
    return say_n(
        "Each entry is as the shop has it, which recorded one more since.",
        "Each entry is as the shop has it, which recorded {n} more since.",
        beside.since,
    )


def judge_copies(shop: Path, settings: Settings, now: datetime) -> tuple[bool, Phrase, Phrase]:
    """Return whether the last good copy is young enough, how it stands, and what to know or do.

    Only notes are read, never the second folder: it may not answer for minutes.
    """
    zone, night = zone_of(settings), read_night_note(shop)
    noted, file = last_noted(shop)
    # a copy on a stick may lie in a drawer; one beside the shop's file is there or it is not
    if file is not None and file.parent == shop.parent / FOLDER and not file.is_file():
        noted = None
    nightly = night.at if night.file and Path(night.file).is_file() else None
    made = [at for at in (nightly, noted) if at is not None and at <= now]
    last, begun = max(made, default=None), first_work(shop)
    if last is None:
        is_well = begun is None or not is_too_old(now, begun)
        words: Phrase = _("No copy was ever made.")
        if is_well:
            words = _("No copy was made yet; the first is made in the coming night.")
    else:
        is_well = not is_too_old(now, last)
        words = say("The last good copy: {when}.", when=say_time(last, now=now, zone=zone))
    wrong = say_wrong(night, now=now, zone=zone)
    said = join((words, wrong))
    if not is_well:
        remedy = _("Leave a kiosk on at night, or make one now: cleatclock backup --nightly")
        return False, said, remedy
    return not night.lists, said, say_second(night, settings, now=now, zone=zone)
