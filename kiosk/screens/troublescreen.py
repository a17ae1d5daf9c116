"""One print that did not come out: its code in very large letters, why, and what to do."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

from kiosk.rules.words import _, join, say
from kiosk.screens.face import Trim
from kiosk.screens.header import headline
from kiosk.screens.troubles import Trouble
from kiosk.theme import INK, WHITE
from kiosk.widgets.fitting import FitLabel
from kiosk.widgets.panels import BigButton, Panel, gap
from labels.codes import shown

MOST_CODES = 8  # as many as are still large; more labels are named in the list of a job
BY_HAND = _("Meanwhile write the code on the part by hand; it can be typed at the number pad.")


@dataclass(frozen=True, slots=True)
class TroubleActs:
    """What the buttons do; following is None where there is no other trouble.

    came_out logs what somebody saw come out.
    """

    retry: Callable[[], object]
    cancel: Callable[[], object]
    following: Callable[[], object] | None
    back: Callable[[], object]
    came_out: Callable[[], object] = lambda: None


class TroubleScreen(BoxLayout):
    """Title, code, reason and remedy, and below them Back, Retry, and apart from it Cancel.

    said tells what was done last.
    """

    def __init__(
        self, trim: Trim, trouble: Trouble, acts: TroubleActs, *, count: int = 1, said: str = ""
    ) -> None:
        sizes = trim.sizes
        super().__init__(orientation="vertical", padding=[sizes.gap] * 4, spacing=sizes.gap)
        self.trouble, self.count = trouble, count
        head = headline(trim, trouble.said)
        head.size_hint_y, head.height = None, round(sizes.answer * 1.2)
        head.most = round(sizes.answer * 0.8)
        self.add_widget(head)
        self.add_widget(_codes(trim, trouble))
        rows = (
            (join((trouble.words, trouble.remedy)), sizes.body, True),
            (join((said, BY_HAND if trouble.by_hand else "")), sizes.small, False),
        )
        for words, most, bold in rows:
            label = FitLabel(ladder=sizes.ladder, text=words, most=most, bold=bold)
            label.size_hint_y = 0.5 if bold else 0.25
            self.add_widget(label)
        self.add_widget(self._foot(trim, trouble, acts))

    def _foot(self, trim: Trim, trouble: Trouble, acts: TroubleActs) -> BoxLayout:
        sizes = trim.sizes
        row = BoxLayout(size_hint_y=None, height=sizes.touch, spacing=sizes.gap)
        self.back = BigButton(_("Back"), acts.back, sizes=sizes, size_hint_x=0.6)
        self.retry: BigButton | None = None
        self.cancel = BigButton(_("Cancel"), acts.cancel, sizes=sizes, shape="cross")
        buttons: list[Widget] = [self.back]
        if acts.following is not None:
            more = BigButton(
                say("Next of {count}", count=self.count), acts.following, sizes=sizes, shape="arrow"
            )
            buttons.append(more)
        if trouble.may_be_out:
            buttons.append(BigButton(_("It came out"), acts.came_out, sizes=sizes, shape="tick"))
        if trouble.may_retry:
            self.retry = BigButton(_("Retry"), acts.retry, sizes=sizes, fill=INK, ink=WHITE)
            buttons.append(self.retry)
        buttons += [gap(sizes.apart), self.cancel]
        for button in reversed(buttons) if trim.left_handed else buttons:
            row.add_widget(button)
        return row


def _codes(trim: Trim, trouble: Trouble) -> Panel:
    sizes = trim.sizes
    codes = [shown(code) for code in trouble.codes]
    more = len(codes) - MOST_CODES
    text: str = "   ".join(codes[:MOST_CODES])
    if more > 0:
        text = say("{codes}   and\u00a0{n}\u00a0more", codes=text, n=more)
    box = Panel(fill=WHITE, line=sizes.outline, padding=[sizes.gap * 2, sizes.gap])
    box.add_widget(
        FitLabel(
            ladder=sizes.ladder,
            text=text,
            bold=True,
            most=sizes.ladder[0],
            halign="center",
        )
    )
    return box
