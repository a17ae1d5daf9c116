"""Set the routes and products of a shop, and mark figures as read off a label."""

from __future__ import annotations

import tomllib
from collections.abc import Callable, Mapping

from kiosk.actions.core import seed_text
from kiosk.actions.permits import Permits
from kiosk.rules.entries import Kind
from kiosk.rules.permission import Act, Permit
from kiosk.rules.problems import Problem
from kiosk.rules.productedit import (
    confirm_in_text,
    factor_in_text,
    figure_in_text,
    reference_in_text,
)
from kiosk.rules.productfile import parse_products
from kiosk.rules.products import Entered, Product
from kiosk.rules.route import parse_routes
from kiosk.rules.stages import STAGES
from kiosk.rules.words import _, say
from kiosk.store import Note

NOBODY = "not named"  # who entered a figure at a kiosk where nobody says who works


class Catalogue(Permits):
    """Routes and products of a shop."""

    def set_text(
        self, kind: Kind, text: str, *, person: str = "", permit: Permit | None = None
    ) -> tuple[Problem, ...]:
        """Set the shop's routes or products; with any problem nothing is set.

        permit: of a supervisor for `act_of(kind)`, where there is one.
        """
        if problems := self.refused(act_of(kind), permit):
            return problems
        if kind == Kind.ROUTES_SET:
            problems = parse_routes(text)[1]
        else:
            products, problems = parse_products(text, seed_text("products.toml"))
            problems = (*problems, *(() if problems else self._lost_figures(products)))
        if not problems:
            body = {"text": text, **self.marked(permit)}
            self.store.write([Note(kind, body=body, person=person)], self.now())
            self._setup = None
        return problems

    def routes_text(self) -> str:
        """Return the shop's routes as TOML text, with its comments."""
        return self.text_of(Kind.ROUTES_SET)

    def shipped_routes(self) -> str:
        """Return the routes that ship, as TOML text."""
        return seed_text("routes.toml")

    def set_routes(
        self, text: str, *, person: str = "", permit: Permit | None = None
    ) -> tuple[Problem, ...]:
        """Set the shop's routes; with any problem nothing is set."""
        return self.set_text(Kind.ROUTES_SET, text, person=person, permit=permit)

    def _lost_figures(self, products: Mapping[str, Product]) -> tuple[Problem, ...]:
        """Name what the shop works with now and a new products file would take away."""
        found = []
        for key in sorted(self._in_use()):
            old, new = self.setup.products.get(key), products.get(key)
            if old is not None and new is None:
                words = say(
                    "{key} is in use, but not in this file, which replaces all products.", key=key
                )
                found.append(Problem(words, _("Edit what `cleatclock products` prints.")))
            elif old is not None and new is not None:
                lost = ", ".join(sorted(set(old.minutes) - set(new.minutes) - {"window"}))
                if lost:
                    words = say(
                        "{key} is in use, but has no figure for {lost} any more.",
                        key=key,
                        lost=lost,
                    )
                    found.append(Problem(words, _("Add it from the label.")))
        return tuple(found)

    def products_in_use(self) -> tuple[str, ...]:
        """Return the keys of the products the shop works with now."""
        return tuple(sorted(self._in_use() & set(self.setup.products)))

    def products(self) -> tuple[Product, ...]:
        """Return all products, those in use first."""
        used = set(self.products_in_use())
        return tuple(sorted(self.setup.products.values(), key=lambda one: one.key not in used))

    def _in_use(self) -> set[str]:
        finishes = {state.spec.finish for state in self.store.states().values()}
        return (set(self.setup.uses.values()) | finishes) - {""}

    def unconfirmed(self) -> list[str]:
        """Return the products in use whose figures nobody has confirmed from the label."""
        products = self.setup.products
        return sorted(key for key in self._in_use() if key in products and products[key].seed)

    def unknown_uses(self) -> list[str]:
        """Return in words each setting that names a product the shop does not have."""
        roles = {"glue": "glue", "filler": "filler", "wall_paint": "coat", "stripe": "coat"}
        found: list[str] = []
        for name, role in roles.items():
            key = getattr(self.settings, name)
            product = self.setup.products.get(key)
            if product is None or product.role != role:
                have = [one.key for one in self.setup.products.values() if one.role == role]
                found.append(
                    say(
                        "{name} = {key!r} is none of {names}; no clock runs on it",
                        name=name,
                        key=key,
                        names=", ".join(have),
                    )
                )
        return found

    def confirm_product(
        self, key: str, *, person: str = "", permit: Permit | None = None
    ) -> tuple[Problem, ...]:
        """Mark all of a product's figures as read off the label, by this person, today."""
        return self._edit(
            key, person, permit, lambda text, by: confirm_in_text(text, key, entered=by)
        )

    def set_figure(
        self,
        key: str,
        stage: str,
        minutes: float,
        *,
        person: str = "",
        permit: Permit | None = None,
    ) -> tuple[Problem, ...]:
        """Set one figure of a product as its label has it, in minutes at its reference air."""
        if stage not in STAGES:
            words = say("There is no stage {stage}.", stage=stage)
            return (
                Problem(
                    words, say("Use {names}.", names=", ".join(STAGES)), column="stage", value=stage
                ),
            )
        return self._edit(
            key,
            person,
            permit,
            lambda text, by: figure_in_text(text, key, stage, minutes=minutes, entered=by),
        )

    def set_reference(
        self,
        key: str,
        temperature_c: float,
        humidity: float,
        *,
        person: str = "",
        permit: Permit | None = None,
    ) -> tuple[Problem, ...]:
        """Set the air a product's figures are for, as its label has it."""
        return self._edit(
            key,
            person,
            permit,
            lambda text, by: reference_in_text(
                text, key, temperature_c=temperature_c, humidity=humidity, entered=by
            ),
        )

    def accept_factor(
        self,
        key: str,
        stage: str,
        factor: float,
        *,
        person: str = "",
        permit: Permit | None = None,
    ) -> tuple[Problem, ...]:
        """Let a stage of a product take this many times as long as its label says from now on."""
        return self._edit(
            key,
            person,
            permit,
            lambda text, by: factor_in_text(text, key, stage, factor, entered=by),
        )

    def _edit(
        self, key: str, person: str, permit: Permit | None, change: Callable[[str, Entered], str]
    ) -> tuple[Problem, ...]:
        products = self.setup.products
        if key not in products:
            return (
                Problem(
                    say("There is no product {key}.", key=key),
                    say("Products are: {names}.", names=", ".join(products)),
                ),
            )
        before = self.text_of(Kind.PRODUCTS_SET)
        today = self.now().astimezone(self.zone).date()
        text = change(before, Entered(person or NOBODY, today.isoformat()))
        if text == before and key not in tomllib.loads(before):
            remedy = say("Write it below [{key}] and set the file.", key=key)
            return (
                Problem(
                    say("The table of {key} was not found in the products file.", key=key), remedy
                ),
            )
        return self.set_text(Kind.PRODUCTS_SET, text, person=person, permit=permit)


def act_of(kind: Kind) -> Act:
    """Return what setting the routes or the products is, for the permit it may need."""
    return Act.ROUTES if kind == Kind.ROUTES_SET else Act.PRODUCTS
