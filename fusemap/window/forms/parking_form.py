"""How the vehicle is parked: for how long, how cold, what it draws by itself and what charges it.

Wake-ups and drives are lists that can grow. Out: one edit per finished field.
"""

from collections.abc import Callable
from functools import partial
from typing import Any, Final, Literal

from msgspec import Struct
from msgspec.structs import replace
from PySide6.QtCore import QCoreApplication
from PySide6.QtWidgets import QPushButton, QToolButton, QVBoxLayout, QWidget

from fusemap.assess.parked.inputs import WEATHER_K
from fusemap.text import Style, rise
from fusemap.vehicle import Drive, Maintainer, Vehicle, WakeUp, edits
from fusemap.window.document import Document
from fusemap.window.forms import choices
from fusemap.window.forms.entry import read_days, show_days
from fusemap.window.forms.fields import CheckField, ChoiceField, NumberField, TextField
from fusemap.window.forms.form import PartForm, between
from fusemap.window.parts.flow import Flow
from fusemap.window.style.sheet import as_link
from fusemap.window.style.theme import Theme, space

FIRST_WAKE_UP: Final = WakeUp(every_h=24.0, minutes=5.0, current_a=1.0)
"""What a wake-up is until its figures are entered."""
FIRST_DRIVE: Final = Drive(start_h=7.5, minutes=20.0, weekdays=("mon", "tue", "wed", "thu", "fri"))
"""What a drive is until its figures are entered."""
SUN: Final = Maintainer(kind="solar", current_a=0.3, from_h=9.0, to_h=15.0)
"""What a solar panel gives until its figures are entered."""


class ParkingForm(PartForm):
    """Parking habits and rest currents; wake-ups and drives are lists that can grow."""

    def __init__(self, document: Document, theme: Theme) -> None:
        super().__init__(
            document,
            theme,
            "parking",
            self.tr("Parking"),
            lambda: document.vehicle.parking,
            edits.change_parking,
        )
        self._lists: list[GrowingList] = []
        self._add_habits()
        self._add_start()
        self._add_currents()
        self._add_wake_ups()
        self._add_charging()
        self.refresh()

    def _add_habits(self) -> None:
        self.section(self.tr("How it is parked"))
        self.number("stand_days", self.tr("Longest time it stands"), "days", least=0)
        self.number("locked_at_h", self.tr("Parked at, hour of the day"), "h", least=0, most=24)
        self.text(
            "locked_on",
            self.tr("Locked on"),
            hint=self.tr("A day like 2025-05-17: the forecast then says dates"),
        )
        self.number("temperature_c", self.tr("Temperature at the battery"), "°C")
        swing = self.tr("Where both are known they take the place of the one temperature")
        for field, label in (
            ("night_c", self.tr("Lowest of the night")),
            ("day_c", self.tr("Highest of the day")),
        ):
            self.number(field, label, "°C", optional=True, hint=swing)
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

    def _add_topping(self) -> None:
        """What the drive battery of a hybrid or electric car gives while it stands."""
        self._topped = self.choice(
            "topped_up",
            self.tr("Topped up by the drive battery"),
            [
                ("unknown", self.tr("Not known (not counted on)")),
                ("no", self.tr("No")),
                ("yes", self.tr("Yes")),
            ],
            hint=self.tr("The owner’s manual says; some do so a few times only"),
        )
        usual = self.tr("as usual")
        figures = (
            ("top_up_min", self.tr("For, at a time"), "min"),
            ("top_up_times", self.tr("Times at most"), ""),
            ("top_up_a", self.tr("With"), "A"),
        )
        self._topping = tuple(
            self.number(field, label, unit, least=0, optional=True, placeholder=usual)
            for field, label, unit in figures
        )

    def _add_charging(self) -> None:
        self.section(self.tr("What charges it"))
        self._add_topping()
        self.maintainer = MaintainerForm(self.document, self.theme)
        self.rows.addRow(self.maintainer)
        for field, label, placeholder, hint in self._alternator():
            self.number(field, label, "A", optional=True, placeholder=placeholder, hint=hint)
        drives = ListOf(
            "drives",
            "drive",
            self.tr("Drive {n}"),
            self.tr("Drive {n}, {what}"),
            self.tr("Remove drive"),
            self.tr("Remove drive {n}"),
            (
                ("start_h", self.tr("at, hour of the day"), "h", 1.0),
                ("minutes", self.tr("lasting"), "min", 1.0),
            ),
            self.tr("Drive {n}, days"),
        )
        add = self._add_button("addDrive", self.tr("Add usual drive"), add_drive)
        self._lists.append(GrowingList(self, drives, add))

    def _alternator(self) -> tuple[tuple[str, str, str, str], ...]:
        """Field, label, what stands where it is blank, and hint."""
        return (
            ("alternator_a", self.tr("Alternator’s label, rated"), "",
             self.tr("The larger of its two figures, as 100 of “50/100 A”")),
            ("alternator_idle_a", self.tr("Alternator’s label, at idle"),
             self.tr("by its rated current"), self.tr("The smaller of its two figures")),
            ("spare_a", self.tr("Alternator has to spare"), "",
             self.tr("On the road, beyond what the vehicle uses itself")),
        )  # fmt: skip

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
        wake_ups = ListOf(
            "wake_ups",
            "wakeUp",
            self.tr("Wake-up {n}"),
            self.tr("Wake-up {n}, {what}"),
            self.tr("Remove wake-up"),
            self.tr("Remove wake-up {n}"),
            (
                ("every_h", self.tr("Every"), "h", 1.0),
                ("minutes", self.tr("for"), "min", 1.0),
                ("current_a", self.tr("drawing"), "mA", 0.001),
            ),
        )
        add = self._add_button("addWakeUp", self.tr("Add wake-up"), add_wake_up)
        self._lists.append(GrowingList(self, wake_ups, add))
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

    def _add_button(self, key: str, words: str, edit: Callable[[Vehicle], Vehicle]) -> QPushButton:
        button = QPushButton(words)
        button.setObjectName(f"parking_{key}")
        button.clicked.connect(lambda: self.document.apply(words, edit))
        return button

    def refresh(self) -> None:
        """Show the parking as it is now, with a row for each wake-up and each drive."""
        for each in self._lists:
            each.show()
        super().refresh()
        parking = self.document.vehicle.parking
        by_cranking = parking.starts_by == "cranking"
        for field in self._cranking:
            self.rows.setRowVisible(field, by_cranking)
        self.rows.setRowVisible(self._topped, not by_cranking)
        for field in self._topping:
            self.rows.setRowVisible(field, not by_cranking and parking.topped_up == "yes")


# --- lists that can grow ------------------------------------------------------------------------

ListName = Literal["wake_ups", "drives"]


class ListOf(Struct, frozen=True):
    """A list of the parking with its words: {n} is the number of a part, {what} one of its fields.

    `figures` are its numbers: name, what it is, unit, scale. `days` names the field for weekdays,
    where it has them.
    """

    name: ListName
    key: str
    one: str
    field: str
    remove: str
    remove_one: str
    figures: tuple[tuple[str, str, str, float], ...]
    days: str = ""


class GrowingList:
    """Such a list in its form: a row for each part, above the button that adds one."""

    def __init__(self, form: PartForm, of: ListOf, add: QPushButton) -> None:
        self._form = form
        self._of = of
        self._add = add
        self._rows: list[ListRow] = []
        form.rows.addRow(add)
        self.show()

    def show(self) -> None:
        """Have as many rows as there are parts now."""
        form, wanted = self._form, len(getattr(self._form.document.vehicle.parking, self._of.name))
        while len(self._rows) > wanted:
            row = self._rows.pop()
            for field in row.fields:
                form.fields.remove(field)
            form.rows.removeRow(row)
        while len(self._rows) < wanted:
            row = ListRow(form.document, form.theme.style, self._of, len(self._rows))
            self._rows.append(row)
            form.rows.insert_above(self._add, row)
            for field in row.fields:
                form.watch(field)


class ListRow(QWidget):
    """One part of such a list, by its number: its fields, and the button that removes it."""

    def __init__(self, document: Document, style: Style, of: ListOf, index: int) -> None:
        super().__init__()
        self._document = document
        self._style = style
        self._of = of
        self._index = index
        self.fields: list[NumberField | TextField] = [self._number(*each) for each in of.figures]
        if of.days:
            self.fields.append(self._days())
        remove = as_link(QToolButton())
        remove.setText(self.tr("Remove"))
        remove.setObjectName(f"{of.key}{index}_remove")
        remove.setAccessibleName(self._named(of.remove_one))
        remove.clicked.connect(self._take_away)
        row = Flow(space(self, "small"))
        for widget in (*self.fields, remove):
            row.add(widget)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(row)

    def _named(self, words: str, what: str = "") -> str:
        return words.format(n=self._index + 1, what=what)

    def _part(self) -> Any:
        return getattr(self._document.vehicle.parking, self._of.name)[self._index]

    def _number(self, name: str, label: str, unit: str, scale: float) -> NumberField:
        return NumberField(
            self._document,
            self._style,
            lambda: getattr(self._part(), name),
            partial(self._write, name),
            name=self._named(self._of.field, label),
            unit=unit,
            scale=scale,
            key=f"{self._of.key}{self._index}_{name}",
            hint=label,
        )

    def _days(self) -> TextField:
        name = self._named(self._of.days)
        return TextField(
            self._document,
            self._style,
            lambda: show_days(self._part().weekdays, self._style.language),
            lambda text: self._write("weekdays", read_days(text, name, self._style.language)),
            name=name,
            key=f"{self._of.key}{self._index}_weekdays",
            hint=self.tr("Days of the week, like Mon–Fri, Sun, or daily"),
        )

    def _write(self, field: str, value: Any) -> bool:
        step = self._named(self._of.one)
        return self._document.apply(step, change_in, self._of.name, self._index, field, value)

    def _take_away(self) -> None:
        self._document.apply(self._of.remove, remove_from, self._of.name, self._index)


def add_wake_up(vehicle: Vehicle) -> Vehicle:
    """The edit that adds a wake-up."""
    return edits.change_parking(vehicle, wake_ups=(*vehicle.parking.wake_ups, FIRST_WAKE_UP))


def add_drive(vehicle: Vehicle) -> Vehicle:
    """The edit that adds a drive: the way to work, and after it the way back."""
    drives = vehicle.parking.drives
    new = FIRST_DRIVE if not drives else replace(drives[-1], start_h=17.0)
    return edits.change_parking(vehicle, drives=(*drives, new))


def change_in(vehicle: Vehicle, name: ListName, index: int, field: str, value: Any) -> Vehicle:
    """The edit that changes one field of a wake-up or a drive."""
    parts = list(getattr(vehicle.parking, name))
    parts[index] = replace(parts[index], **{field: value})
    return edits.change_parking(vehicle, **{name: tuple(parts)})


def remove_from(vehicle: Vehicle, name: ListName, index: int) -> Vehicle:
    """The edit that removes a wake-up or a drive."""
    parts = list(getattr(vehicle.parking, name))
    del parts[index]
    return edits.change_parking(vehicle, **{name: tuple(parts)})


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
        self._charged = self.choice(
            "battery",
            self.tr("It charges"),
            [("starter", self.tr("Starter battery")), ("second", self.tr("Second battery"))],
        )
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
        vehicle = self.document.vehicle
        kept = vehicle.parking.maintainer
        for field in getattr(self, "_figures", ()):
            self.rows.setRowVisible(field, kept is not None)
        if hasattr(self, "_charged"):
            either = vehicle.second_battery is not None or (kept and kept.battery == "second")
            self.rows.setRowVisible(self._charged, kept is not None and bool(either))


def change_maintainer(vehicle: Vehicle, **changes: Any) -> Vehicle:
    """The edit that changes figures of the maintainer."""
    now = vehicle.parking.maintainer or Maintainer()
    return edits.change_parking(vehicle, maintainer=replace(now, **changes))
