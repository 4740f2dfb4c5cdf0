"""How the vehicle is parked: for how long, how cold, what it draws by itself and what charges it.

Wake-ups and drives are lists that can grow. Out: one edit per finished field.
"""

from functools import partial
from typing import Any, Final

from msgspec.structs import replace
from PySide6.QtCore import QCoreApplication
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QToolButton, QWidget

from fusemap.assess.parked.band import WEATHER_K
from fusemap.text import Style, rise
from fusemap.vehicle import Drive, Maintainer, Vehicle, WakeUp, edits
from fusemap.window.document import Document
from fusemap.window.forms import choices
from fusemap.window.forms.entry import read_days, show_days
from fusemap.window.forms.fields import CheckField, ChoiceField, NumberField, TextField
from fusemap.window.forms.form import PartForm, between
from fusemap.window.style.theme import Theme

FIRST_WAKE_UP: Final = WakeUp(every_h=24.0, minutes=5.0, current_a=1.0)
"""What a wake-up is until its figures are entered."""
FIRST_DRIVE: Final = Drive(start_h=7.5, minutes=20.0, weekdays=("mon", "tue", "wed", "thu", "fri"))
"""What a drive is until its figures are entered."""
SUN: Final = Maintainer(kind="solar", current_a=0.3, from_h=9.0, to_h=15.0)
"""What a solar panel gives until its figures are entered."""


class ParkingForm(PartForm):
    """Parking habits and rest currents; the wake-ups are a list that can grow."""

    def __init__(self, document: Document, theme: Theme) -> None:
        super().__init__(
            document,
            theme,
            "parking",
            self.tr("Parking"),
            lambda: document.vehicle.parking,
            edits.change_parking,
        )
        self._wake_ups: list[WakeUpRow] = []
        self._drives: list[DriveRow] = []
        self._add_habits()
        self._add_start()
        self._add_currents()
        self._add_wake_ups()
        self._add_charging()

    def _add_habits(self) -> None:
        self.section(self.tr("How it is parked"))
        self.number("stand_days", self.tr("Longest time it stands"), "days", least=0)
        self.number("locked_at_h", self.tr("Parked at, hour of the day"), "h", least=0, most=24)
        self.number("temperature_c", self.tr("Temperature at the battery"), "°C")
        self.number(
            "coldest_c",
            self.tr("Coldest when it must start"),
            "°C",
            optional=True,
            placeholder=self.tr("the same"),
        )
        between(
            self,
            "low_temperature_c",
            "high_temperature_c",
            self.tr("Temperature between"),
            "°C",
            hint=self.tr("What the weather may bring; blank takes {span} either way").format(
                span=self.theme.style.show(rise(WEATHER_K))
            ),
        )

    def _add_start(self) -> None:
        self.section(self.tr("What a start takes"))
        self.choice(
            "starts_by",
            self.tr("Starts by"),
            [
                ("cranking", self.tr("Cranking the engine")),
                ("contactors", self.tr("Closing contactors (hybrid, electric)")),
            ],
        )
        self._cranking = (
            self.choice("engine_fuel", self.tr("Engine"), choices.engines()),
            self.number(
                "engine_l",
                self.tr("Its size"),
                "l",
                optional=True,
                hint=self.tr("With engine and size the voltage while cranking is reckoned"),
            ),
            self.number(
                "cranking_a",
                self.tr("Starter takes, warm"),
                "A",
                optional=True,
                placeholder=self.tr("by the engine’s size"),
                hint=self.tr("Measured with a clamp at a usual start, while the engine turns"),
            ),
        )

    def _add_charging(self) -> None:
        self.section(self.tr("What charges it"))
        self.maintainer = MaintainerForm(self.document, self.theme)
        self.rows.addRow(self.maintainer)
        self.number(
            "spare_a",
            self.tr("Alternator has to spare"),
            "A",
            optional=True,
            hint=self.tr("On the road, beyond what the vehicle uses itself"),
        )
        add = QPushButton(self.tr("Add usual drive"))
        add.setObjectName("parking_addDrive")
        add.clicked.connect(self._add_drive)
        self.rows.addRow(add)
        self._show_drives()

    def _show_drives(self) -> None:
        wanted = len(self.document.vehicle.parking.drives)
        while len(self._drives) > wanted:
            row = self._drives.pop()
            for field in row.fields:
                self.fields.remove(field)
            self.rows.removeRow(row)
        while len(self._drives) < wanted:
            drive = DriveRow(self.document, self.theme.style, len(self._drives))
            self._drives.append(drive)
            self.rows.insertRow(self.rows.rowCount() - 1, drive)
            for field in drive.fields:
                self.watch(field)

    def _add_drive(self) -> None:
        self.document.apply(self.tr("Add usual drive"), add_drive)

    def _add_currents(self) -> None:
        self.section(self.tr("What it draws by itself"))
        self.note(
            self.tr(
                "Measure the whole vehicle at the battery: locked, key away, and left alone until "
                "the current has settled."
            )
        )
        self.number(
            "rest_current_a", self.tr("Rest current, asleep"), "mA", scale=0.001, optional=True
        )
        self.number(
            "awake_current_a", self.tr("Locked, still awake"), "mA", scale=0.001, optional=True
        )
        between(
            self,
            "low_rest_current_a",
            "high_rest_current_a",
            self.tr("Rest current between"),
            "mA",
            0.001,
            self.tr("The least and the most it may be; blank takes a usual range"),
        )
        self.number("sleep_after_min", self.tr("Asleep after locking"), "min", least=0)

    def _add_wake_ups(self) -> None:
        self.section(self.tr("When it wakes by itself"))
        add = QPushButton(self.tr("Add wake-up"))
        add.setObjectName("parking_addWakeUp")
        add.clicked.connect(self._add_wake_up)
        self._add_button = add
        self.rows.addRow(add)
        self.add(
            "",
            CheckField(
                lambda: self.document.vehicle.parking.night_logged,
                lambda on: self.write("night_logged", self.tr("A night was followed"), on),
                text=self.tr("A night was followed with a meter: there are no others"),
                key="parking_night_logged",
                hint=self.tr("Else wake-ups that nobody logged are reckoned with, up to a most"),
            ),
        )
        self._show_wake_ups()

    def refresh(self) -> None:
        """Show the parking as it is now, with a row for each wake-up."""
        self._show_wake_ups()
        self._show_drives()
        super().refresh()
        by_cranking = self.document.vehicle.parking.starts_by == "cranking"
        for field in self._cranking:
            self.rows.setRowVisible(field, by_cranking)

    def _show_wake_ups(self) -> None:
        wanted = len(self.document.vehicle.parking.wake_ups)
        while len(self._wake_ups) > wanted:
            row = self._wake_ups.pop()
            for field in row.fields:
                self.fields.remove(field)
            self.rows.removeRow(row)
        while len(self._wake_ups) < wanted:
            row = WakeUpRow(self.document, self.theme.style, len(self._wake_ups))
            self._wake_ups.append(row)
            self.rows.insertRow(self._row_of(self._add_button), row)
            for field in row.fields:
                self.watch(field)

    def _row_of(self, widget: QWidget) -> int:
        """At which row of the form a widget stands."""
        return self.rows.getWidgetPosition(widget)[0]  # type: ignore[no-any-return,index]

    def _add_wake_up(self) -> None:
        self.document.apply(self.tr("Add wake-up"), add_wake_up)


# --- wake-ups -----------------------------------------------------------------------------------


class WakeUpRow(QWidget):
    """One wake-up: how often, for how long, and what it draws then."""

    def __init__(self, document: Document, style: Style, index: int) -> None:
        super().__init__()
        self._document = document
        self._style = style
        self._index = index
        self.fields = (
            self._field("every_h", self.tr("Every"), "h"),
            self._field("minutes", self.tr("for"), "min"),
            self._field("current_a", self.tr("drawing"), "mA", 0.001),
        )
        self._remove = QToolButton()
        self._remove.setText(self.tr("Remove"))
        self._remove.setObjectName(f"wakeUp{index}_remove")
        self._remove.setAccessibleName(self.tr("Remove wake-up {n}").format(n=index + 1))
        self._remove.clicked.connect(self._take_away)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        for field in self.fields:
            row.addWidget(field)
        row.addWidget(self._remove)

    def _field(self, name: str, label: str, unit: str, scale: float = 1.0) -> NumberField:
        number = self._index + 1
        return NumberField(
            self._document,
            self._style,
            lambda: getattr(self._document.vehicle.parking.wake_ups[self._index], name),
            partial(self._write, name),
            name=self.tr("Wake-up {n}, {what}").format(n=number, what=label),
            unit=unit,
            scale=scale,
            key=f"wakeUp{self._index}_{name}",
            hint=label,
        )

    def _write(self, name: str, value: float) -> bool:
        text = self.tr("Wake-up {n}").format(n=self._index + 1)
        return self._document.apply(text, change_wake_up, self._index, name, value)

    def _take_away(self) -> None:
        self._document.apply(self.tr("Remove wake-up"), remove_wake_up, self._index)


def add_wake_up(vehicle: Vehicle) -> Vehicle:
    """The edit that adds a wake-up."""
    return edits.change_parking(vehicle, wake_ups=(*vehicle.parking.wake_ups, FIRST_WAKE_UP))


def change_wake_up(vehicle: Vehicle, index: int, field: str, value: float) -> Vehicle:
    """The edit that changes one figure of a wake-up."""
    changed = list(vehicle.parking.wake_ups)
    changed[index] = replace(changed[index], **{field: value})
    return edits.change_parking(vehicle, wake_ups=tuple(changed))


def remove_wake_up(vehicle: Vehicle, index: int) -> Vehicle:
    """The edit that removes one wake-up."""
    left = list(vehicle.parking.wake_ups)
    del left[index]
    return edits.change_parking(vehicle, wake_ups=tuple(left))


# --- drives -------------------------------------------------------------------------------------


class DriveRow(QWidget):
    """One drive: when it begins, how long it lasts, on which days."""

    def __init__(self, document: Document, style: Style, index: int) -> None:
        super().__init__()
        self._document = document
        self._style = style
        self._index = index
        self.fields: tuple[Any, ...] = (
            self._number("start_h", self.tr("at, hour of the day"), "h"),
            self._number("minutes", self.tr("lasting"), "min"),
            self._days(),
        )
        remove = QToolButton()
        remove.setText(self.tr("Remove"))
        remove.setObjectName(f"drive{index}_remove")
        remove.setAccessibleName(self.tr("Remove drive {n}").format(n=index + 1))
        remove.clicked.connect(self._take_away)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        for field in self.fields:
            row.addWidget(field)
        row.addWidget(remove)

    def _drive(self) -> Drive:
        return self._document.vehicle.parking.drives[self._index]

    def _number(self, name: str, label: str, unit: str) -> NumberField:
        return NumberField(
            self._document,
            self._style,
            lambda: getattr(self._drive(), name),
            partial(self._write, name),
            name=self.tr("Drive {n}, {what}").format(n=self._index + 1, what=label),
            unit=unit,
            key=f"drive{self._index}_{name}",
            hint=label,
        )

    def _days(self) -> TextField:
        name = self.tr("Drive {n}, days").format(n=self._index + 1)
        return TextField(
            self._document,
            self._style,
            lambda: show_days(self._drive().weekdays, self._style.language),
            lambda text: self._write("weekdays", read_days(text, name, self._style.language)),
            name=name,
            key=f"drive{self._index}_weekdays",
            hint=self.tr("Days of the week, like Mon–Fri, Sun, or daily"),
        )

    def _write(self, name: str, value: Any) -> bool:
        text = self.tr("Drive {n}").format(n=self._index + 1)
        return self._document.apply(text, change_drive, self._index, name, value)

    def _take_away(self) -> None:
        self._document.apply(self.tr("Remove drive"), remove_drive, self._index)


def add_drive(vehicle: Vehicle) -> Vehicle:
    """The edit that adds a drive: the way to work, and after it the way back."""
    drives = vehicle.parking.drives
    new = FIRST_DRIVE if not drives else replace(drives[-1], start_h=17.0)
    return edits.change_parking(vehicle, drives=(*drives, new))


def change_drive(vehicle: Vehicle, index: int, field: str, value: Any) -> Vehicle:
    """The edit that changes one figure of a drive."""
    changed = list(vehicle.parking.drives)
    changed[index] = replace(changed[index], **{field: value})
    return edits.change_parking(vehicle, drives=tuple(changed))


def remove_drive(vehicle: Vehicle, index: int) -> Vehicle:
    """The edit that removes one drive."""
    left = list(vehicle.parking.drives)
    del left[index]
    return edits.change_parking(vehicle, drives=tuple(left))


# --- maintainer ---------------------------------------------------------------------------------


class MaintainerForm(PartForm):
    """What keeps the battery up while parked, if anything."""

    def __init__(self, document: Document, theme: Theme) -> None:
        super().__init__(
            document,
            theme,
            "maintainer",
            QCoreApplication.translate("MaintainerForm", "Maintainer"),
            lambda: document.vehicle.parking.maintainer or Maintainer(),
            change_maintainer,
        )
        self.rows.setContentsMargins(0, 0, 0, 0)
        self.kind = ChoiceField(
            lambda: getattr(document.vehicle.parking.maintainer, "kind", None),
            self._choose,
            [
                (None, self.tr("None")),
                ("mains", self.tr("Charger on the mains")),
                ("solar", self.tr("Solar panel")),
            ],
            name=self.tr("Charged while parked by"),
            key="maintainer_kind",
        )
        self.add(self.tr("Charged while parked by"), self.kind)
        hint = self.tr("What reaches the battery on a usual day, in these hours")
        self._figures = (
            self.number("current_a", self.tr("Gives"), "A", least=0, hint=hint),
            self.number("from_h", self.tr("From, hour of the day"), "h", least=0, most=24),
            self.number("to_h", self.tr("To, hour of the day"), "h", least=0, most=24),
        )
        self.refresh()

    def _choose(self, kind: Any) -> bool:
        made = {"mains": Maintainer(), "solar": SUN}.get(kind)
        return self.document.apply(
            self.tr("Charged while parked by"), edits.change_parking, maintainer=made
        )

    def refresh(self) -> None:
        """Show it as it is now, and its figures where there is one."""
        super().refresh()
        for field in getattr(self, "_figures", ()):
            self.rows.setRowVisible(field, self.document.vehicle.parking.maintainer is not None)


def change_maintainer(vehicle: Vehicle, **changes: Any) -> Vehicle:
    """The edit that changes figures of the maintainer."""
    now = vehicle.parking.maintainer or Maintainer()
    return edits.change_parking(vehicle, maintainer=replace(now, **changes))
