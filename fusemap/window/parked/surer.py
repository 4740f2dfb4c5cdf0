"""What would make it surer: the figures that make most of the doubt, and where each is entered.

In: the band's shares. Out: up to three of them as buttons with their share; `wanted` tells where
the reading is taken or the figure is typed.
"""

from itertools import zip_longest
from typing import Final, Literal

from msgspec import Struct
from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QBoxLayout, QLabel, QSizePolicy, QVBoxLayout, QWidget

from fusemap.assess.parked.band import ParkedBand
from fusemap.assess.parked.start_spans import START
from fusemap.text import Text, say, share
from fusemap.vehicle import Vehicle, look_up
from fusemap.window.parked.figure_label import DOTS, figure_label
from fusemap.window.parked.links import link_button, link_sheet
from fusemap.window.style.letters import SMALL, letters
from fusemap.window.style.theme import Theme, space
from fusemap.window.texts.plain import embolden, plain_label, plain_tip

Kind = Literal["battery", "parking", "accessory", "probe", "start"]
MOST: Final = 3
WORTH: Final = 0.005
"""Shares of the doubt below this are not worth a reading [-]."""
ACCESSORY: Final = "accessory "
AT_REST: Final = " at rest"


class Surer(Struct, frozen=True):
    """One figure that would narrow the answer: its share of the doubt [-], what to do, where.

    `kind` is the form it is typed in with the `field`'s name, or where it is read and the `id`.
    """

    share: float
    title: Text
    more: Text
    kind: Kind
    field: str = ""
    id: str = ""


def surer(vehicle: Vehicle, band: ParkedBand) -> tuple[Surer, ...]:
    """The figures that would narrow it most and can be had, the best first."""
    by_key = {each.key: each for each in band.inputs}
    found = []
    for each in band.shares:
        given = by_key.get(each.name)
        if given is None or given.remedy is None or each.share < WORTH:
            continue
        made = _of_vehicle(vehicle, each.name, each.share)
        if made is None and each.name.startswith(ACCESSORY):
            made = _of_accessory(vehicle, each.name, each.share)
        if made is not None:
            found.append(made)
    return tuple(found[:MOST])


def _of_vehicle(vehicle: Vehicle, key: str, part: float) -> Surer | None:
    """A figure of the battery, or of the vehicle as a whole."""
    if key == START:
        return _of_start(vehicle, part)
    rows: dict[str, tuple[Text, Text, Kind, str]] = {
        "charge": (
            say("Rest voltage after a night"),
            say("no load, no charge, two minutes"),
            "battery",
            "battery_rest_v",
        ),
        "health": (
            say("Capacity, tested by discharge"),
            say("a conductance tester tells only of cranking"),
            "battery",
            "battery_soh",
        ),
        "capacity": (
            say("Capacity off the label"),
            say("in ampere-hours, at 20 hours"),
            "battery",
            "battery_capacity_ah",
        ),
        "coldest": (
            say("Coldest when it must start"),
            say("the coldest night"),
            "parking",
            "parking_coldest_c",
        ),
        "rest": (
            say("Rest current of the whole vehicle"),
            say("an hour after locking, over some minutes"),
            "parking",
            "parking_rest_current_a",
        ),
        "awake": (
            say("Current over a night"),
            say("how long it stays awake, how often it wakes"),
            "parking",
            "parking_awake_current_a",
        ),
        "unlogged wake-ups": (
            say("Current over a night"),
            say("how often it wakes, and for how long"),
            "parking",
            "parking_night_logged",
        ),
    }
    if key not in rows:
        return None
    return Surer(part, *rows[key])


def _of_start(vehicle: Vehicle, part: float) -> Surer:
    if vehicle.parking.engine_fuel == "unknown" and not vehicle.battery.crank_readings:
        more = say("or enter which engine it has")
        return Surer(part, say("One start, followed with a meter"), more, "start")
    more = say("its lowest voltage, when it is cold")
    return Surer(part, say("One start, followed with a meter"), more, "start")


def _of_accessory(vehicle: Vehicle, key: str, part: float) -> Surer | None:
    """What an accessory takes: read at its slot where it has one, else typed into its form."""
    accessory_id = key.removeprefix(ACCESSORY).removesuffix(AT_REST)
    found = [each for each in vehicle.accessories if each.id == accessory_id]
    if not found:
        return None
    title = say("What {accessory} draws, parked", accessory=found[0].name)
    tap = look_up.tap_of(vehicle, accessory_id)
    if tap is not None and tap.slot is not None:
        slot = look_up.place_words(look_up.slot(vehicle, tap.slot))
        more = say("clamp or millivolts at {slot}", slot=slot)
        return Surer(part, title, more, "probe", id=tap.slot)
    return Surer(part, title, say("clamp at its lead"), "accessory", id=accessory_id)


class SurerRow(QWidget):
    """The heading, and side by side what would narrow it most."""

    wanted = Signal(object)
    """Where to take this reading: a `Surer`."""

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self._theme = theme
        self.shown: tuple[Surer, ...] = ()
        self.setObjectName("parkedSurer")
        self.setStyleSheet(link_sheet(theme))
        self.setAccessibleName(self.tr("What would make it surer"))
        heading = QLabel(self.tr("What would make it surer"))
        embolden(heading)
        self.state = plain_label("parkedMeasureNext")
        self.state.setProperty("muted", True)
        self._row = QBoxLayout(QBoxLayout.Direction.LeftToRight)
        self._row.setSpacing(space(self))
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(space(self, "small"))
        head = QBoxLayout(QBoxLayout.Direction.LeftToRight)
        head.addWidget(heading)
        head.addWidget(self.state, 1)
        column.addLayout(head)
        column.addLayout(self._row)
        self._places = [SurerOne(number, theme) for number in range(MOST)]
        for place in self._places:
            place.wanted.connect(self.wanted)
            self._row.addWidget(place, 1, Qt.AlignmentFlag.AlignTop)
        # as high as its words need, however they wrap; the chart above has what is left
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Minimum)

    def turn(self, wide: bool) -> None:
        """Side by side, or one below the other."""
        ways = QBoxLayout.Direction
        self._row.setDirection(ways.LeftToRight if wide else ways.TopToBottom)
        top = Qt.AlignmentFlag.AlignTop if wide else Qt.AlignmentFlag(0)
        for place in self._places:
            self._row.setAlignment(place, top)

    def show_found(self, found: tuple[Surer, ...], *, waiting: bool = False) -> None:
        """Show these; while they are reckoned what is to be done stays, and its figure is dots."""
        if waiting:
            self.state.setText("…")
            for place in self._places:
                place.figure.setText(DOTS)
            return
        if found:
            self.state.setText(self.tr("share of the doubt each takes away"))
        else:
            self.state.setText(self.tr("Nothing that can be measured would narrow this much."))
        self.shown = found
        for each, place in zip_longest(found, self._places):
            place.show_one(each)


class SurerOne(QWidget):
    """One of them: the share, large, and beside it what to do and how."""

    wanted = Signal(object)
    """This reading is to be taken: a `Surer`."""

    def __init__(self, number: int, theme: Theme) -> None:
        super().__init__()
        self._style = theme.style
        self._shown: Surer | None = None
        self.figure = figure_label(f"surer{number}_share")
        # named before it is known which reading it stands for
        self.button = link_button(self.tr("What would make it surer"))
        self.button.setObjectName(f"surer{number}")
        self.button.clicked.connect(lambda: self.wanted.emit(self._shown))
        self.more = plain_label(f"surer{number}_more")
        self.more.setProperty("muted", True)
        self.more.setFont(letters(self, SMALL))
        column = QVBoxLayout()
        column.setSpacing(0)
        column.addWidget(self.button)
        column.addWidget(self.more)
        row = QBoxLayout(QBoxLayout.Direction.LeftToRight, self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(space(self))
        row.addWidget(self.figure, 0, Qt.AlignmentFlag.AlignTop)
        row.addLayout(column, 1)
        self.hide()

    def show_one(self, each: Surer | None) -> None:
        """Show this one; nothing where there are fewer."""
        self._shown = each
        self.setVisible(each is not None)
        if each is None:
            return
        title, more = self._style.show(each.title), self._style.show(each.more)
        self.figure.setText(self._style.show(share(each.share)))
        self.button.show_words(title)
        self.button.setAccessibleDescription(more)
        self.button.setToolTip(plain_tip(f"{title}: {more}"))
        self.more.setText(more)
