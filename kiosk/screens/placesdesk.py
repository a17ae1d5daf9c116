"""Lead through the places: name, slots, what rests there, their order on the board."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import partial

from kiosk.config import PlaceSetting
from kiosk.rules.words import _, join, say, say_n
from kiosk.screens.face import Choice, DeskFace, Problems, ShopFace
from kiosk.screens.flow import AskScreen, say_problems
from kiosk.screens.rows import Listed, ListScreen, Row
from kiosk.screens.settingssteps import Step, StepsScreen
from kiosk.screens.settingswords import role_words
from kiosk.screens.wordpad import AskWords, WordPad
from kiosk.settingkinds import MOST_SLOTS, ROLES

NEW_SLOTS = 4
Places = tuple[PlaceSetting, ...]
Keep = Callable[..., None]


class PlacesDesk:
    """The screens about places; each change is kept at once."""

    def __init__(
        self, shop: ShopFace, desk: DeskFace, *, keep: Keep, back: Callable[[], object]
    ) -> None:
        """Take `keep`, which keeps a setting, and `back`, which leads to the shop's upkeep."""
        self._shop, self._desk, self._keep, self._back = shop, desk, keep, back
        self._places: Places = ()
        self._screen: StepsScreen | None = None

    def open(self) -> None:
        """Show the places as they are kept."""
        self._places = self._shop.settings.places
        self._list()

    def _list(self, page: int = 0) -> None:
        rows = [
            Row(
                place.name,
                role_words(place.role),
                partial(self.open_place, number),
                value=_slots(place.slots),
            )
            for number, place in enumerate(self._places)
        ]
        line = _("Where units rest or wait, in the order of the board. Tap one to change it.")
        shown = Listed(_("Places"), rows, line)
        add = (Choice(_("Add a place"), self.ask_name),)
        desk = self._desk
        desk.put(
            ListScreen(desk.trim, shown, turn=self._list, back=self._back, page=page, extra=add)
        )

    # -- one place -------------------------------------------------------------------------------

    def open_place(self, number: int) -> None:
        """Show what can be done with a place."""
        place, desk = self._places[number], self._desk
        last = len(self._places) - 1
        choices = [
            Choice(_("Rename"), partial(self.ask_name, number)),
            Choice(_("What rests here"), partial(self.ask_role, number)),
            Choice(_("Take away"), partial(self.ask_away, number)),
            Choice(_("Back"), self.open),
        ]
        if number > 0:
            choices.append(Choice(_("Further up"), partial(self._move, number, number - 1)))
        if number < last:
            choices.append(Choice(_("Further down"), partial(self._move, number, number + 1)))
        steps = (
            Step(
                _("Slots"),
                str(place.slots),
                partial(self._slot, number, -1),
                partial(self._slot, number, 1),
            ),
        )
        where = say("place {number} of {count}", number=number + 1, count=last + 1)
        line = join((role_words(place.role), where), "; ")
        self._screen = StepsScreen(desk.trim, place.name, steps, choices, line=line)
        desk.put(self._screen)

    def _slot(self, number: int, by: int) -> None:
        slots = min(max(self._places[number].slots + by, 1), MOST_SLOTS)
        if slots != self._places[number].slots:
            places = list(self._places)
            places[number] = replace(places[number], slots=slots)
            if self._screen is not None:
                self._screen.tell((str(slots),))
            self._set(tuple(places), lambda: None)  # the figure stands there already

    def _change(self, number: int, place: PlaceSetting) -> None:
        places = list(self._places)
        places[number] = place
        self._set(tuple(places), partial(self.open_place, number))

    def _move(self, number: int, to: int) -> None:
        places = list(self._places)
        places.insert(to, places.pop(number))
        self._set(tuple(places), partial(self.open_place, to))

    def ask_role(self, number: int) -> None:
        """Ask what rests at a place."""
        place, desk = self._places[number], self._desk
        choices = [
            Choice(
                role_words(role),
                partial(self._change, number, replace(place, role=role)),
                "tick" if role == place.role else "",
            )
            for role in ROLES
        ]
        choices.append(Choice(_("Back"), partial(self.open_place, number)))
        title = say("What rests at {place}?", place=place.name)
        desk.put(AskScreen(desk.trim, title, choices))

    # -- names -----------------------------------------------------------------------------------

    def ask_name(self, number: int | None = None, typed: str = "", wrong: str = "") -> None:
        """Ask for the name of a place, a new one where no number is given."""
        old = "" if number is None else self._places[number].name
        if number is None:
            question = _("What do you call the new place?")
        else:
            question = say(
                "What do you call {place} now? Its printed label names the old place.", place=old
            )
        ask = AskWords(question, typed or old, wrong, may_be_empty=True)
        back = self.open if number is None else partial(self.open_place, number)
        use = partial(self._take_name, number)
        self._desk.put(WordPad(self._desk.trim, ask, use=use, back=back))

    def _take_name(self, number: int | None, name: str) -> None:
        others = [one.name for at, one in enumerate(self._places) if at != number]
        if not name:
            self.ask_name(number, wrong=_("A place needs a name."))
        elif name in others:
            said = say("There is a place {name} already.", name=name)
            self.ask_name(number, name, said)
        elif number is None:
            places = (*self._places, PlaceSetting(name, NEW_SLOTS, "coat"))
            self._set(places, partial(self.ask_role, len(places) - 1))
        else:
            self._change(number, replace(self._places[number], name=name))

    # -- taking away -----------------------------------------------------------------------------

    def resting(self, name: str) -> tuple[str, ...]:
        """Return the units that the board shows at a place now."""
        floor = self._desk.floor
        shown = [one for one in floor.places if one.name == name] if floor else []
        return tuple(tile.unit for one in shown for tile in one.slots if tile is not None)

    def ask_away(self, number: int) -> None:
        """Take a place away; where units rest there, ask first."""
        place, desk = self._places[number], self._desk
        units = self.resting(place.name)
        if not units:
            self._take_away(number)
            return
        choices = (
            Choice(_("Take it away"), partial(self._take_away, number), "tick"),
            Choice(_("Back"), partial(self.open_place, number)),
        )
        title = say_n(
            "{n} unit rests at {place}. Take the place away?",
            "{n} units rest at {place}. Take the place away?",
            len(units),
            place=place.name,
        )
        line = say("{units}: the board shows them elsewhere then.", units=", ".join(units))
        desk.put(AskScreen(desk.trim, title, choices, line=line))

    def _take_away(self, number: int) -> None:
        before, place = self._places, self._places[number]
        left = tuple(one for at, one in enumerate(before) if at != number)
        self._set(left, partial(self._gone, before, place))

    def _gone(self, before: Places, place: PlaceSetting) -> None:
        desk = self._desk
        choices = (
            Choice(_("More places"), self.open),
            Choice(_("Put it back"), partial(self._set, before, self.open)),
            Choice(_("To the bench"), desk.open_bench),
        )
        title = say("{place} is taken away", place=place.name)
        desk.put(AskScreen(desk.trim, title, choices, shape="tick"))

    # -- keeping ---------------------------------------------------------------------------------

    def _set(self, places: Places, show: Callable[[], object]) -> None:
        """Keep the places and show what comes next; a tap meanwhile counts on from these."""
        self._places = places

        def then(problems: Problems) -> None:
            if not problems:
                show()
                return
            desk, line = self._desk, say_problems(problems)
            choices = (Choice(_("Back"), self.open),)
            title = _("Nothing was changed")
            desk.put(AskScreen(desk.trim, title, choices, line=line, shape="question"))

        self._keep("places", places, then=then)


def _slots(count: int) -> str:
    return say_n("{n} slot", "{n} slots", count)
