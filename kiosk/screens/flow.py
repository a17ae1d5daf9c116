"""Full-screen questions: which station, what problem, and are you sure."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial

from kivy.uix.boxlayout import BoxLayout

from kiosk.actions import PROBLEMS
from kiosk.rules.cards import BACK, YES
from kiosk.rules.route import STATIONS
from kiosk.rules.words import _, capital, join, known, say
from kiosk.screens.choices import Choices
from kiosk.screens.face import Choice, Problems, Trim
from kiosk.screens.header import headline
from kiosk.widgets.fitting import FitLabel
from kiosk.widgets.marks import Mark
from kiosk.widgets.panels import BigButton

MOST_IN_TWO = 6  # with more, buttons in two columns would be lower than a gloved finger needs


class AskScreen(BoxLayout):
    """A title, a line of explanation, and large buttons; a scan works here as everywhere."""

    def __init__(
        self,
        trim: Trim,
        title: str,
        choices: Sequence[Choice],
        *,
        line: str = "",
        shape: str = "",
        columns: int = 0,
    ) -> None:
        sizes = trim.sizes
        columns = columns or (2 if len(choices) <= MOST_IN_TWO else 3)
        super().__init__(orientation="vertical", padding=[sizes.gap * 2] * 4, spacing=sizes.gap * 2)
        top = BoxLayout(size_hint_y=None, height=round(sizes.answer * 1.5), spacing=sizes.gap * 2)
        if shape:
            top.add_widget(Mark(shape=shape, size_hint_x=None, width=sizes.answer * 1.4))
        head = headline(trim, title)
        head.most = sizes.answer
        top.add_widget(head)
        self.add_widget(top)
        grid = Choices(trim, line, choices, columns=columns, most=round(sizes.answer * 0.7))
        self.asked = grid.asked
        self.buttons: list[BigButton] = grid.buttons
        self._head = grid.head
        self.add_widget(grid)

    def tell(self, words: str) -> None:
        """Say something in the line of explanation."""
        self._head.text = words


class WaitScreen(BoxLayout):
    """A question that a scan answers."""

    def __init__(self, trim: Trim, title: str, choices: Sequence[Choice]) -> None:
        sizes = trim.sizes
        super().__init__(orientation="vertical", padding=[sizes.gap * 2] * 4, spacing=sizes.gap * 2)
        self.add_widget(Mark(shape="scan"))
        self.add_widget(
            FitLabel(ladder=sizes.ladder, text=title, bold=True, most=sizes.answer, halign="center")
        )
        self._line = FitLabel(ladder=sizes.ladder, most=sizes.body, halign="center")
        self._line.size_hint_y = 0.5
        self.add_widget(self._line)
        row = BoxLayout(size_hint_y=None, height=sizes.touch, spacing=sizes.apart)
        self.asked = tuple(choices)
        self.buttons = [BigButton(one.words, one.act, sizes=sizes) for one in choices]
        for button in self.buttons:
            row.add_widget(button)
        self.add_widget(row)

    def tell(self, words: str) -> None:
        """Say something below the question."""
        self._line.text = words


def ask_problem(
    trim: Trim, name: str, *, pick: Callable[[str], object], back: Callable[[], object]
) -> AskScreen:
    """Return the question what is wrong with a part or unit."""
    choices = [
        Choice(capital(trouble.words), partial(pick, trouble.key), card=trouble.key)
        for trouble in PROBLEMS
    ]
    choices.append(Choice(_("Back"), back, card=BACK))
    line = _("Another part? Scan its label now.")
    return AskScreen(trim, say("What is wrong with {name}?", name=name), choices, line=line)


def ask_sure(
    trim: Trim,
    name: str,
    what: str,
    *,
    yes: Callable[[], object],
    back: Callable[[], object],
    note: str = "",
) -> AskScreen:
    """Return the question whether a problem is to be recorded."""
    trouble = next(trouble for trouble in PROBLEMS if trouble.key == what)
    words, then = capital(trouble.words), trouble.then
    choices = (Choice(_("Record it"), yes, "tick", YES), Choice(_("Back"), back, card=BACK))
    title = say("{problem}: {name}", problem=words, name=name)
    return AskScreen(trim, title, choices, line=join((then, note)))


def ask_station(
    trim: Trim, *, pick: Callable[[str], object], back: Callable[[], object]
) -> AskScreen:
    """Return the question which station this is."""
    choices = [Choice(capital(known(name, "station")), partial(pick, name)) for name in STATIONS]
    choices.append(Choice(_("Back"), back, card=BACK))
    line = _("Scans count for it from then on.")
    return AskScreen(trim, _("Which station is this?"), choices, line=line)


def say_problems(problems: Problems) -> str:
    """Return problems in words, each with its way out."""
    return join(join((one.message, one.remedy)) for one in problems)
