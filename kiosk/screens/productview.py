"""See the shop's products on the shop's thread: words for lists, figures and limits."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from kiosk.rules.airwords import show_temperature
from kiosk.rules.cautions import say_cautions
from kiosk.rules.clockwords import say_air
from kiosk.rules.learning import Proposal
from kiosk.rules.products import Entered, Product
from kiosk.rules.stages import STAGES
from kiosk.rules.times import MONTHS
from kiosk.rules.words import _, join, say
from kiosk.screens.face import ShopFace

TYPICAL = _("typical, not from the label")
_DAY_MIN, _HOUR_MIN = 24 * 60, 60


@dataclass(frozen=True, slots=True)
class ProductLine:
    """One product in the list; typical where a figure in it is not from the label yet."""

    key: str
    title: str
    below: str
    in_use: bool
    typical: bool


@dataclass(frozen=True, slots=True)
class StageLine:
    """One figure of a product: the stage in words, its time, and who read it off the label."""

    stage: str
    words: str
    time: str
    who: str
    typical: bool


@dataclass(frozen=True, slots=True)
class ProductView:
    """One product as its screen shows it; of the proposals those with a factor come first.

    can_accept is False where no factor is proposed but the shop's own.
    """

    key: str
    title: str
    about: str
    limits: str
    cautions: str
    typical: bool
    stages: tuple[StageLine, ...]
    proposals: tuple[Proposal, ...] = ()
    can_accept: bool = False


def see_products(shop: ShopFace) -> tuple[ProductLine, ...]:
    """Return all products, those in use first; to be called on the shop's thread."""
    used = set(shop.products_in_use())
    return tuple(
        ProductLine(
            one.key,
            one.title,
            say(
                "{confirmed}; for {air}",
                confirmed=_say_confirmed(one),
                air=_say_reference(one, shop),
            ),
            one.key in used,
            bool(one.unconfirmed),
        )
        for one in shop.products()
    )


def see_product(shop: ShopFace, key: str) -> ProductView | None:
    """Return one product, None where it is gone; to be called on the shop's thread."""
    product = next((one for one in shop.products() if one.key == key), None)
    if product is None:
        return None
    found = [one for one in shop.proposals() if one.product == key]
    found.sort(key=lambda one: (one.factor is None, -one.count))
    about = [say("Figures for {air}", air=_say_reference(product, shop))]
    for stage, factor in product.factors.items():
        about.append(
            say(
                "{stage}: here {factor:g} times as long, from own findings",
                stage=STAGES[stage].words,
                factor=factor,
            )
        )
    return ProductView(
        product.key,
        product.title,
        join(about, "; "),
        _say_limits(product, fahrenheit=shop.fahrenheit),
        say_cautions(product.hazards, product.caution),
        bool(product.unconfirmed),
        tuple(_stage_line(product, stage) for stage in STAGES if stage in product.minutes),
        tuple(found),
        any(
            one.factor is not None and round(one.factor, 2) != product.factors.get(one.stage, 1.0)
            for one in found
        ),
    )


def _stage_line(product: Product, stage: str) -> StageLine:
    entered = product.entered.get(stage)
    who = TYPICAL if product.is_seed(stage) else _say_entered(entered)
    words = STAGES[stage].words
    return StageLine(stage, words, say_minutes(product.minutes[stage]), who, product.is_seed(stage))


def say_minutes(minutes: float) -> str:
    """Return a label's time as people say it: `45 min`, `2 h`, `2 h 30 min`, `3 d`, `2 d 12 h`."""
    if minutes < 2 * _HOUR_MIN and minutes % _HOUR_MIN:
        return say("{minutes:g} min", minutes=minutes)
    whole = round(minutes)
    days, hours, rest = whole // _DAY_MIN, whole % _DAY_MIN // _HOUR_MIN, whole % _HOUR_MIN
    if whole < 2 * _DAY_MIN:
        days, hours = 0, whole // _HOUR_MIN
    parts = ((days, _("{n} d")), (hours, _("{n} h")), (rest, _("{n} min")))
    return join(say(unit, n=count) for count, unit in parts if count) or _("0 min")


def say_confirmed_by(product: Product) -> str:
    """Return who confirmed a product's figures last, and when."""
    latest = max(product.entered.values(), key=lambda one: one.on, default=None)
    return _say_entered(latest)


def _say_confirmed(product: Product) -> str:
    left = len(product.unconfirmed)
    if not left:
        return say_confirmed_by(product)
    if left == len(product.minutes):
        return TYPICAL
    return say("{n} of {all} figures typical, not from the label", n=left, all=len(product.minutes))


def _say_entered(entered: Entered | None) -> str:
    words = [entered.by, _say_day(entered.on)] if entered else []
    if not any(words):
        return _("from the label")
    return say("from the label: {who}", who=join(words, ", "))


def _say_day(iso: str) -> str:
    try:
        day = date.fromisoformat(iso)
    except ValueError:  # written by hand into the file
        return iso
    return say("{day} {month} {year}", day=day.day, month=MONTHS[day.month - 1], year=day.year)


def _say_reference(product: Product, shop: ShopFace) -> str:
    return say_air(product.temperature_c, product.humidity, fahrenheit=shop.fahrenheit)


def _say_limits(product: Product, *, fahrenheit: bool) -> str:
    words = []
    if product.least_c is not None:
        words.append(
            say(
                "not below {temperature}",
                temperature=show_temperature(product.least_c, fahrenheit=fahrenheit),
            )
        )
    if product.most_humidity is not None:
        words.append(say("not above {humidity:g} % humidity", humidity=product.most_humidity))
    if product.dew_margin_c is not None:
        # a difference: 1 °C are 1.8 °F, without the 32
        margin = product.dew_margin_c * (1.8 if fahrenheit else 1.0)
        words.append(
            say(
                "{margin:.2g} {unit} above the dew point at least",
                margin=margin,
                unit="°F" if fahrenheit else "°C",
            )
        )
    return say("Must dry {limits}", limits=join(words, ", ")) if words else ""
