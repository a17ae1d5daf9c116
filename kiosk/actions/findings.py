"""Keep what people find at the bench, dry or still tacky, and say what it teaches."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import datetime

from kiosk.actions.lookup import Found, Lookup
from kiosk.rules.drying import run_clock
from kiosk.rules.entries import Kind, to_ms
from kiosk.rules.fold import UnitState
from kiosk.rules.harm import TESTED, harms
from kiosk.rules.learning import Finding, Proposal, propose
from kiosk.rules.productfile import LEAST_FACTOR, MOST_FACTOR
from kiosk.rules.reasons import say_step
from kiosk.rules.route import Step
from kiosk.rules.scanning import Answer, Outcome
from kiosk.rules.words import _, say
from kiosk.store import Note

# What a finger can tell, in the order in which it is asked for; full strength it cannot.
TOUCHED = ("recoat", "sand", "touch")


class Findings(Lookup):
    """What people found of coats and joints."""

    def find(self, text: str, *, dry: bool, person: str = "") -> Answer:
        """Record that a coat is dry already, or still tacky, as a person found it at the bench."""
        found = self.find_unit(text)
        if isinstance(found, Answer):
            return found
        spec, now = found.state.spec, self.now()
        notes = self.finding_notes(found, dry=dry, person=person, now=now)
        if not notes:
            words = _("Nothing on it dries")
            return Answer(Outcome.ELSEWHERE, words, job=spec.job, unit=spec.unit)
        (entry,) = self.store.write(notes, now)
        said = _("dry already") if dry else _("still tacky")
        return Answer(
            Outcome.RECORDED,
            say("{step}: {found}", step=say_step(str(entry.body["step"])), found=said),
            _("Kept with the air of now; the clocks stay as they are."),
            entry=entry.id,
            job=spec.job,
            unit=spec.unit,
            unit_name=spec.name,
        )

    def test_passed(self, text: str, *, person: str = "") -> Answer:
        """Record that what the air put at risk on a unit was tested and found sound."""
        found = self.find_unit(text)
        if isinstance(found, Answer):
            return found
        spec, now = found.state.spec, self.now()
        if not harms(found.state, self.setup, now=now):
            return Answer(
                Outcome.ALREADY, _("Nothing on it is at risk"), job=spec.job, unit=spec.unit
            )
        body = {"step": "", "stage": TESTED, "dry": True, "at_ms": to_ms(now)}
        note = Note(Kind.DRYNESS_FOUND, spec.job, spec.unit, body, person)
        (entry,) = self.store.write([note], now)
        words = _("Tested: it goes on")
        return Answer(Outcome.RECORDED, words, entry=entry.id, job=spec.job, unit=spec.unit)

    def finding_notes(self, found: Found, *, dry: bool, person: str, now: datetime) -> list[Note]:
        """Return what is to be written of a finding; empty where nothing on the unit dries."""
        asked = self._asked_about(found)
        if asked is None:
            return []
        spec, (step, stage) = found.state.spec, asked
        body: dict[str, object] = {
            "step": step.name,
            "stage": stage,
            "dry": dry,
            "at_ms": to_ms(now),
        }
        done, product = found.state.done[step.name], self.setup.product(step, spec)
        air = self.setup.air(step, spec)
        clock = run_clock(product, stage, done.at, air=air) if product else None
        if clock is not None:
            body["share"] = round(clock.dose(now) / clock.target, 4)
        if (node := air.at(to_ms(now))) is not None:
            body["temperature_c"], body["humidity"] = round(node[1], 2), round(node[2], 2)
        return [Note(Kind.DRYNESS_FOUND, spec.job, spec.unit, body, person)]

    def _asked_about(self, found: Found) -> tuple[Step, str] | None:
        """Return the step whose drying the next step waits for, and to which stage."""
        state, setup = found.state, self.setup
        standing = self.standing(state.spec.job, state.spec.unit)
        waits = standing.step.waits if standing and standing.step else ()
        waited = {wait.after: wait.stage for wait in waits if wait.stage in TOUCHED}
        # what was put on last is what a finger meets
        for step in reversed(setup.steps(state.spec)):
            product = setup.product(step, state.spec) if step.name in state.done else None
            if product is None or not step.uses or product.role == "glue":
                continue
            stage = waited.get(step.name, "")
            stage = stage or next((one for one in TOUCHED if one in product.minutes), "")
            if stage:
                return step, stage
        return None

    def findings(self) -> list[Finding]:
        """Return all findings with the share of the clock they were made at.

        Of several looks at one coat the first counts: whoever looks again and again until it is dry
        would make it seem slower.
        """
        found: list[Finding] = []
        for job, unit in self.store.units_with(Kind.DRYNESS_FOUND):
            state = self.store.state(job, unit)
            if state is not None:
                found += self._findings_of(state)
        return found

    def _findings_of(self, state: UnitState) -> Iterator[Finding]:
        setup, seen = self.setup, set()
        steps = {step.name: step for step in setup.steps(state.spec)}
        for one in state.findings:
            step, done = steps.get(one.step), state.done.get(one.step)
            product = setup.product(step, state.spec) if step and done else None
            # of a coat that was struck and put on again, what was found of the first says nothing
            if step is None or done is None or product is None or one.at < done.at:
                continue
            if (one.step, one.stage) in seen:
                continue
            seen.add((one.step, one.stage))
            # against the label, not against a factor accepted before
            plain = replace(product, factors={})
            air = setup.air(step, state.spec)
            clock = run_clock(plain, one.stage, done.at, air=air, coat=max(1, step.number))
            if clock is None:
                continue
            share = clock.dose(one.at) / clock.target
            if air.first_ms is None or done.at.timestamp() * 1000 < air.first_ms:
                share = one.share or share  # the air of then is not at hand any more
            yield Finding(
                one.at,
                product.key,
                one.stage,
                share,
                one.dry,
                one.temperature_c,
                one.humidity,
                one.person,
                state.spec.unit,
            )

    def proposals(self) -> list[Proposal]:
        """Return what the findings say of each product and stage; nothing of it is applied."""
        found = self.findings()
        keys = dict.fromkeys((one.product, one.stage) for one in found)
        rows = [propose(found, product=product, stage=stage) for product, stage in keys]
        return [_acceptable(row) for row in rows]


def _acceptable(row: Proposal) -> Proposal:
    """Return a proposal without its factor where no product may be given such a one."""
    if row.factor is None or LEAST_FACTOR <= row.factor <= MOST_FACTOR:
        return row
    words = say(
        "{words} That is no factor of a film: look at label and thermometer first.", words=row.words
    )
    return replace(row, factor=None, words=words)
