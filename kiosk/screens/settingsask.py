"""Ask for one setting in the way its kind needs: choices, figures, letters, a time of day."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from typing import Any
from zoneinfo import available_timezones

from kiosk.config import Setting
from kiosk.rules.words import _, number, say
from kiosk.screens.face import Choice, Trim
from kiosk.screens.figurepad import Ask, FigurePad
from kiosk.screens.flow import AskScreen
from kiosk.screens.productscreens import page_of
from kiosk.screens.settingssteps import Step, StepsScreen
from kiosk.screens.settingswords import UNITS, value_words
from kiosk.screens.wordpad import AskWords, WordPad
from kiosk.settingkinds import Among, Number, TimeOfDay, YesNo, Zone

MOST_CHOICES = 7  # buttons of 20 mm that fit beside Back
IN_TWO_COLUMNS = 6
STEP_MIN = 15  # a shop closes on a quarter of an hour (choice)
Put = Callable[[Any], None]
Options = Sequence[tuple[str, str]]  # values and their words


@dataclass(frozen=True, slots=True)
class AskActs:
    """What a question about a setting does: keep a value, go back, show another screen."""

    keep: Callable[[Any], object]
    back: Callable[[], object]
    put: Put


def ask_setting(
    trim: Trim, setting: Setting, now: Any, acts: AskActs, *, options: Options = ()
) -> None:
    """Ask for a setting.

    Args:
        trim: how screens are laid out here.
        setting: the row of SETTINGS.
        now: its value now.
        acts: what the answer does.
        options: values to choose from where the shop knows them, such as its products.
    """
    check = setting.check
    if options:
        ask_choice(trim, setting, now, acts, options=options)
    elif isinstance(check, YesNo):
        both = [(value, value_words(setting, value)) for value in (True, False)]
        ask_choice(trim, setting, now, acts, options=both)
    elif isinstance(check, Among):
        words = [(value, value_words(setting, value)) for value in check.words]
        ask_choice(trim, setting, now, acts, options=words)
    elif isinstance(check, Number):
        ask_number(trim, setting, acts, now=now)
    elif isinstance(check, TimeOfDay):
        ask_time(trim, setting, now, acts)
    else:
        ask_text(trim, setting, acts, typed=str(now))


def ask_choice(
    trim: Trim,
    setting: Setting,
    now: Any,
    acts: AskActs,
    *,
    options: Sequence[tuple[Any, str]],
    page: int = 0,
) -> None:
    """Ask for one of a few values; a tick stands at the one in use."""
    many = len(options) > MOST_CHOICES
    shown, pages = page_of(options, page, MOST_CHOICES - 1 if many else MOST_CHOICES)
    choices = [
        Choice(words, partial(acts.keep, value), "tick" if value == now else "")
        for value, words in shown
    ]
    if pages > 1:
        turn = partial(
            ask_choice, trim, setting, now, acts, options=options, page=(page + 1) % pages
        )
        choices.append(Choice(_("Others"), turn, "arrow"))
    choices.append(Choice(_("Back"), acts.back))
    columns = 2 if len(choices) <= IN_TWO_COLUMNS else 3
    acts.put(AskScreen(trim, setting.words, choices, line=setting.sentence, columns=columns))


def ask_number(
    trim: Trim, setting: Setting, acts: AskActs, *, now: Any, typed: str = "", wrong: str = ""
) -> None:
    """Ask for a figure within its range; what was typed stays when it is wrong."""
    check = setting.check
    assert isinstance(check, Number)
    question = say(
        "{what}: {low} to {high} (now {now})",
        what=setting.words,
        low=number(f"{check.low:g}"),
        high=number(f"{check.high:g}"),
        now=number(f"{now:g}"),
    )

    def use(text: str) -> None:
        value = read_number(text, is_whole=check.is_whole)
        problem = _("is no number") if value is None else check(value)
        if problem:
            said = say("{value} {wrong}.", value=text or "_", wrong=problem)
            ask_number(trim, setting, acts, now=now, typed=text, wrong=said)
        else:
            acts.keep(value)

    asked = Ask(question, UNITS.get(setting.unit, setting.unit), typed, wrong)
    acts.put(FigurePad(trim, asked, use=use, back=acts.back))


def read_number(text: str, *, is_whole: bool) -> float | int | None:
    """Return typed digits as a number, None where they are none."""
    try:
        value = float(text)
    except ValueError:
        return None
    return int(value) if is_whole and value == int(value) else value


def ask_time(trim: Trim, setting: Setting, now: str, acts: AskActs) -> None:
    """Ask for a time of day by hours and quarters."""
    hours, minutes = now.split(":")
    total = int(hours) * 60 + int(minutes)

    def step(by: int) -> None:
        nonlocal total
        total = (total + by) % (24 * 60)
        at = time_at()
        screen.tell(at.split(":"))
        screen.buttons[1].label.text = say("Use {time}", time=at)

    def time_at() -> str:
        return f"{total // 60:02}:{total % 60:02}"

    def quarter(way: int) -> None:
        to_quarter = total % STEP_MIN  # an odd minute goes to a quarter first
        step(STEP_MIN - to_quarter if way > 0 else -(to_quarter or STEP_MIN))

    steps = (
        Step(_("Hours"), hours, partial(step, -60), partial(step, 60)),
        Step(_("Minutes"), minutes, partial(quarter, -1), partial(quarter, 1)),
    )
    use = say("Use {time}", time=now)
    choices = (Choice(_("Back"), acts.back), Choice(use, lambda: acts.keep(time_at()), "tick"))
    screen = StepsScreen(trim, setting.words, steps, choices, line=setting.sentence)
    acts.put(screen)


def ask_text(
    trim: Trim, setting: Setting, acts: AskActs, *, typed: str = "", wrong: str = ""
) -> None:
    """Ask for letters; what was typed stays when it is wrong."""

    def use(text: str) -> None:
        value = read_zone(text) if isinstance(setting.check, Zone) else text
        if problem := setting.check(value):
            said = say("{value} {wrong}.", value=text or "_", wrong=problem)
            ask_text(trim, setting, acts, typed=text, wrong=said)
        else:
            acts.keep(value)

    asked = AskWords(setting.sentence, typed, wrong, may_be_empty=True)
    acts.put(WordPad(trim, asked, use=use, back=acts.back))


def read_zone(text: str) -> str:
    """Return a time zone by its name as zones write it, whatever its capitals and spaces."""
    wanted = text.strip().replace(" ", "_").lower()
    if wanted in ("", "local"):
        return "local"
    return next((name for name in available_timezones() if name.lower() == wanted), text)
