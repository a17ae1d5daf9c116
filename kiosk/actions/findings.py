"""Keep what people find at the bench, dry or still tacky, and say what it teaches."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

from kiosk.actions.lookup import Found, Lookup
from kiosk.rules.drying import run_clock
from kiosk.rules.entries import Kind, to_ms
from kiosk.rules.learning import Finding, Proposal, propose
from kiosk.rules.route import Step
from kiosk.rules.scanning import Answer, Outcome
from kiosk.store import Note

# The stage a finding at the bench is about: what the person was about to do.
_ASKED = ("recoat", "sand", "touch", "clamp")


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
            words = "Nothing on it dries"
            return Answer(Outcome.ELSEWHERE, words, job=spec.job, unit=spec.unit)
        (entry,) = self.store.write(notes, now)
        said = "dry already" if dry else "still tacky"
        return Answer(
            Outcome.RECORDED,
            f"{str(entry.body['step']).replace('-', ' ')}: {said}",
            "Kept with the air of now; the clocks stay as they are.",
            entry=entry.id,
            job=spec.job,
            unit=spec.unit,
            unit_name=spec.name,
        )

    def finding_notes(self, found: Found, *, dry: bool, person: str, now: datetime) -> list[Note]:
        """Return what is to be written of a finding; empty where nothing on the unit dries."""
        asked = self._asked_about(found)
        if asked is None:
            return []
        spec, (step, stage) = found.state.spec, asked
        body = {"step": step.name, "stage": stage, "dry": dry, "at_ms": to_ms(now)}
        return [Note(Kind.DRYNESS_FOUND, spec.job, spec.unit, body, person)]

    def _asked_about(self, found: Found) -> tuple[Step, str] | None:
        """Return the step whose drying the next step waits for, and to which stage."""
        state, setup = found.state, self.setup
        standing = self.standing(state.spec.job, state.spec.unit)
        by_name = {step.name: step for step in setup.steps(state.spec)}
        waits = standing.step.waits if standing and standing.step else ()
        for wait in waits:
            if wait.after in state.done:
                return by_name[wait.after], wait.stage
        last = [step for step in by_name.values() if step.uses and step.name in state.done]
        for step in reversed(last):
            product = setup.product(step, state.spec)
            stage = next((one for one in _ASKED if product and one in product.minutes), "")
            if stage:
                return step, stage
        return None

    def findings(self) -> list[Finding]:
        """Return the findings of the open jobs with the share of the clock they were made at.

        Of several looks at one coat the first counts: whoever looks again and again until it is dry
        would make it seem slower.
        """
        setup, found = self.setup, []
        for state in self.store.states().values():
            steps = {step.name: step for step in setup.steps(state.spec)}
            first = {(one.step, one.stage): one for one in reversed(state.findings)}
            for one in first.values():
                step, done = steps.get(one.step), state.done.get(one.step)
                product = setup.product(step, state.spec) if step and done else None
                if step is None or done is None or product is None:
                    continue
                air = setup.air(step, state.spec)
                # against the label, not against a factor accepted before
                plain = replace(product, factor=1.0)
                clock = run_clock(plain, one.stage, done.at, air=air, coat=max(1, step.number))
                if clock is None:
                    continue
                node = air.at(one.at.timestamp() * 1000)
                found.append(
                    Finding(
                        one.at,
                        product.key,
                        one.stage,
                        clock.dose(one.at) / clock.target,
                        one.dry,
                        node[1] if node else None,
                        node[2] if node else None,
                        one.person,
                        state.spec.unit,
                    )
                )
        return found

    def proposals(self) -> list[Proposal]:
        """Return what the findings say of each product and stage; nothing of it is applied."""
        found = self.findings()
        keys = dict.fromkeys((one.product, one.stage) for one in found)
        return [propose(found, product=product, stage=stage) for product, stage in keys]
