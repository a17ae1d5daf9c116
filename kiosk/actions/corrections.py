"""Correct what was recorded: strike, hold, lift, spoil."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import timedelta

from kiosk.actions.lookup import Found
from kiosk.actions.scans import Scans
from kiosk.rules.airlog import readings_of
from kiosk.rules.clockwords import say_readings
from kiosk.rules.entries import STRIKABLE, STRIKABLE_LAST, Entry, Kind, from_ms, to_ms
from kiosk.rules.entrywords import say_allowed, say_of_hanging, say_of_sheets
from kiosk.rules.reasons import say_reason, say_spoiled, say_step, say_trouble
from kiosk.rules.scanning import Answer, Offer, Outcome
from kiosk.rules.times import say_time
from kiosk.rules.words import _, capital, known, say
from kiosk.store import Note
from labels import codes

STRIKE_WITHIN = timedelta(minutes=15)  # after that a second tap would undo others' work; choice
RECENT = 50  # how far back Strike last looks past entries struck already


class Corrections(Scans):
    """Corrections of what a shop has recorded."""

    def strike(self, entry_id: str, *, person: str = "") -> Answer:
        """Void an entry by its id: what it recorded counts no more; the entry itself is kept."""
        self.store.refresh()
        entry = self.store.find_entry(entry_id)
        if entry is None:
            return Answer(
                Outcome.UNKNOWN,
                _("No such entry"),
                say("{entry_id} is not in the log.", entry_id=entry_id),
            )
        if entry.kind not in STRIKABLE:
            return Answer(
                Outcome.ELSEWHERE,
                _("This cannot be struck"),
                _("A list is mended by revising it; labels, once printed, stay printed."),
                entry=entry.id,
            )
        job = self.jobs().get(entry.job)
        is_answer = entry.kind == Kind.QUESTION_ANSWERED
        if job is not None and not job.open and not is_answer:
            return self._closed(entry.job, entry.unit)
        if entry.id in self.store.strikes(entry):
            return self._about(Outcome.ALREADY, entry, _("Already struck"), self.say_entry(entry))
        note = Note(Kind.STRUCK, entry.job, entry.unit, {"target": entry.id}, person)
        self.store.write([note, *self.taken_back(entry, person)], self.now())
        return self._about(Outcome.RECORDED, entry, _("Struck"), self.say_entry(entry))

    def strike_last(self, *, person: str = "") -> Answer:
        """Void the latest entry of this kiosk that is not struck yet."""
        for entry in self.store.last_entries(RECENT, STRIKABLE_LAST):
            if entry.id in self.store.strikes(entry):
                continue
            if self.now() - from_ms(entry.wall_ms) > STRIKE_WITHIN:
                said = self.say_entry(entry)
                detail = say("The latest is {said}; strike it by its id from history.", said=said)
                return Answer(
                    Outcome.ELSEWHERE, _("Too long ago to strike so"), detail, entry=entry.id
                )
            return self.strike(entry.id, person=person)
        detail = _("This kiosk has recorded nothing that could still be struck.")
        return Answer(Outcome.UNKNOWN, _("Nothing to strike"), detail)

    def say_entry(self, entry: Entry) -> str:
        """Return an entry in words: what, for which unit, when and by whom."""
        match entry.kind:
            case Kind.STEP_DONE:
                what = say_step(str(entry.body.get("step", "")))
            case Kind.PART_SPOILED:
                what = _("part spoiled")
            case Kind.HOLD_PUT:
                what = say(
                    "on hold: {reason}", reason=say_reason(str(entry.body.get("reason", "")))
                )
            case Kind.DRYNESS_FOUND:
                what = _("found dry") if entry.body.get("dry") else _("found still tacky")
            case Kind.AIR_READ:
                what = say_readings(readings_of(entry.body), fahrenheit=self.fahrenheit)
            case Kind.RAGS_CLEARED:
                what = _("oily rags are out")
            case Kind.QUESTION_ANSWERED:
                what = _("question answered")
            case _:
                said_so = say_of_sheets(entry) or say_of_hanging(entry)
                what = said_so or known(entry.kind.replace("_", " "), "entry")
        what = say_allowed(what, entry)
        when = say_time(entry.at, now=self.now(), zone=self.zone)
        said = say("{what}, {time}", what=what, time=when)
        if entry.person:
            said = say("{what}, {time} by {person}", what=what, time=when, person=entry.person)
        return say("{unit}: {said}", unit=entry.unit, said=said) if entry.unit else said

    def _about(self, outcome: Outcome, entry: Entry, message: str, detail: str) -> Answer:
        state = self.store.state(entry.job, entry.unit)
        standing = self.standing(entry.job, entry.unit)
        return Answer(
            outcome,
            message,
            detail,
            next=self._next(standing, self.now()) if standing else "",
            entry=entry.id,
            job=entry.job,
            unit=entry.unit,
            unit_name=state.spec.name if state else "",
        )

    def hold(
        self, text: str, reason: str, *, person: str = "", beside: Sequence[Note] = ()
    ) -> Answer:
        """Put a unit, given by a part's code or by name, on hold; beside is written with it."""
        found = self.find_unit(text)
        if isinstance(found, Answer):
            return found
        spec = found.state.spec
        now = self.now()
        body = {"reason": reason or "on hold", "at_ms": to_ms(now)}
        notes = [*beside, Note(Kind.HOLD_PUT, spec.job, spec.unit, body, person)]
        *_, entry = self.store.write(notes, now)
        return self._about(
            Outcome.RECORDED, entry, say("{unit} is on hold", unit=spec.unit), reason
        )

    def lift(self, text: str, *, person: str = "") -> Answer:
        """Lift every hold of a unit, given by a part's code or by name."""
        found = self.find_unit(text)
        if isinstance(found, Answer):
            return found
        spec = found.state.spec
        if not found.state.holds:
            return Answer(
                Outcome.ALREADY,
                _("Not on hold"),
                say("{unit} has no hold.", unit=spec.unit),
                job=spec.job,
                unit=spec.unit,
            )
        now = self.now()
        bodies = [{"target": hold.entry, "at_ms": to_ms(now)} for hold in found.state.holds]
        notes = [Note(Kind.HOLD_LIFTED, spec.job, spec.unit, body, person) for body in bodies]
        entries = self.store.write(notes, now)
        return self._about(
            Outcome.RECORDED, entries[-1], say("{unit} goes on", unit=spec.unit), _("Hold lifted.")
        )

    def spoil(self, text: str, reason: str = "", *, person: str = "") -> Answer:
        """Mark a part as spoiled and give its recut a code of its own."""
        found = self.find_unit(text)
        if isinstance(found, Answer):
            return found
        piece = found.piece
        if piece is None:
            return Answer(
                Outcome.ELSEWHERE,
                _("Which part?"),
                _("Scan the label of the spoiled part."),
                job=found.state.spec.job,
                unit=found.state.spec.unit,
            )
        if piece.spoiled:
            return Answer(
                Outcome.ALREADY,
                say("Already spoiled: {part}", part=piece.piece.part),
                say("Its recut carries {code}.", code=codes.shown(piece.recut)),
                code=piece.recut,
            )
        (number,) = self.store.take_numbers(1)
        recut = codes.code_for(self.settings.kiosk_letter, number)
        spec = found.state.spec
        now, part = self.now(), piece.piece.code
        why = reason or "spoiled"
        body = {"part": part, "reason": why, "recut": recut, "at_ms": to_ms(now)}
        notes = [Note(Kind.PART_SPOILED, spec.job, spec.unit, body, person)]
        if found.state.last is not None:
            # glued in or coated already: nobody but a person can say what must be done again
            held = {"reason": say_spoiled(piece.piece.part), "at_ms": to_ms(now)}
            notes.append(Note(Kind.HOLD_PUT, spec.job, spec.unit, held, person))
        entry = self.store.write(notes, now)[0]
        answer = self._about(
            Outcome.RECORDED, entry, say("Spoiled: {part}", part=piece.piece.part), ""
        )
        return replace(
            answer,
            detail=say(
                "Cut it again; the recut is {code}. The old label is void.", code=codes.shown(recut)
            ),
            code=recut,
            part=piece.piece.part,
            size=self._size(spec.job, piece),
        )

    def problem(self, code: str, what: str, *, person: str = "", note: str = "") -> Answer:
        """Record a problem: a spoiled part is recut, anything else puts the unit on hold.

        Args:
            code: a part's code or a unit's name.
            what: the key of one of PROBLEMS.
            person: who says so.
            note: more words for the log.
        """
        if what == "spoiled":
            return self.spoil(code, note, person=person)
        reading = codes.parse(code)
        found = self.find_unit(code)
        notes = []
        if what == "too_tacky" and isinstance(found, Found):
            notes = self.finding_notes(found, dry=False, person=person, now=self.now())
        part = ""
        if reading.code and isinstance(found, Found) and found.piece and what == "missing":
            part = found.piece.piece.part
        reason = say_trouble(what, part=part, note=note)
        answer = self.hold(code, reason, person=person, beside=notes)
        if what == "failed_coat" and isinstance(found, Found):
            return replace(answer, offers=self._again(found))
        return answer

    def _again(self, found: Found) -> tuple[Offer, ...]:
        """Offer to strike the last coat of a unit: who sands it off will put it on again."""
        before, steps = found.state.done, self.setup.steps(found.state.spec)
        done = [(before[one.name], one) for one in steps if one.is_coat and one.name in before]
        if not done:
            return ()
        last, step = max(done, key=lambda pair: pair[0].at)
        words = say("{step} must be done again", step=capital(say_step(step.title)))
        return (Offer("again", last.entry, words),)
