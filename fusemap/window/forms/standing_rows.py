"""Rows of the parking and battery forms: ends of a range, drives, a maintainer, a second battery.

In: the part as the document has it. Out: one edit per finished field.
"""

from functools import partial
from typing import Any, Final

from msgspec.structs import replace
from PySide6.QtCore import QCoreApplication
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QToolButton, QWidget

from fusemap.text import Style
from fusemap.vehicle import Drive, Maintainer, SecondBattery, Vehicle, edits
from fusemap.window.document import Document
from fusemap.window.forms import choices
from fusemap.window.forms.accessory_choices import side_by_side
from fusemap.window.forms.day_entry import read_days, show_days
from fusemap.window.forms.fields import ChoiceField, NumberField, TextField
from fusemap.window.forms.part_form import PartForm
from fusemap.window.style.theme import Theme

FIRST_DRIVE: Final = Drive(start_h=7.5, minutes=20.0, weekdays=("mon", "tue", "wed", "thu", "fri"))
"""What a drive is until its figures are entered."""
SUN: Final = Maintainer(kind="solar", current_a=0.3, from_h=9.0, to_h=15.0)


def between(
    form: PartForm, low: str, high: str, label: str, unit: str, scale: float = 1.0, hint: str = ""
) -> None:
    """A row with the two ends of a range; blank takes the program's proposal."""
    made = []
    for field, end in ((low, form.tr("low end")), (high, form.tr("high end"))):
        made.append(_end(form, field, f"{label}, {end}", unit, scale, hint))
    form.add(label, side_by_side(*made))
    for each in made:
        form.watch(each)


def _end(form: PartForm, field: str, name: str, unit: str, scale: float, hint: str) -> NumberField:
    return NumberField(
        form.document,
        form.theme.style,
        lambda: getattr(form.part(), field),
        lambda value: form.write(field, name, value),
        name=name,
        unit=unit,
        scale=scale,
        optional=True,
        placeholder=form.tr("usual"),
        key=f"{form.objectName()}_{field}",
        hint=hint,
    )


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
            document,
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


# --- second battery -----------------------------------------------------------------------------


class SecondBatteryForm(PartForm):
    """A second battery for accessories, if there is one."""

    def __init__(self, document: Document, theme: Theme) -> None:
        super().__init__(
            document,
            theme,
            "second",
            QCoreApplication.translate("SecondBatteryForm", "Second battery"),
            lambda: document.vehicle.second_battery or SecondBattery(),
            edits.change_second_battery,
        )
        self.rows.setContentsMargins(0, 0, 0, 0)
        self.switch = QPushButton()
        self.switch.setObjectName("second_switch")
        self.switch.clicked.connect(self._add_or_remove)
        self.rows.addRow(self.switch)
        self._fields: list[QWidget] = []
        self._add_fields()
        self.refresh()

    def _add_fields(self) -> None:
        self._fields = [
            self.note(
                self.tr(
                    "Accessories that hang on it say so in their own form. Parted from the "
                    "starter battery, it has a forecast of its own."
                )
            ),
            self.choice("chemistry", self.tr("Kind"), choices.chemistries()),
            self.number("capacity_ah", self.tr("Capacity (20 h)"), "Ah", optional=True),
            self.number("age_years", self.tr("Age"), "years", optional=True),
            self._share("soh", self.tr("Health"), 150),
            self._share("start_soc", self.tr("Charge when parked"), 100),
            self.choice(
                "link",
                self.tr("Charged through"),
                [
                    ("relay", self.tr("Relay that joins both while driving")),
                    ("dcdc", self.tr("DC-DC charger")),
                ],
            ),
            self.number(
                "linked_min",
                self.tr("Joined after locking for"),
                "min",
                least=0,
                hint=self.tr("0 where ignition opens it; a voltage-sensing relay stays for a time"),
            ),
            self.number(
                "charger_a",
                self.tr("Charger takes"),
                "A",
                optional=True,
                hint=self.tr("What a DC-DC charger takes from the starter battery's side"),
            ),
            self.number("idle_a", self.tr("Link itself draws"), "mA", scale=0.001, least=0),
        ]

    def _share(self, field: str, label: str, most: float) -> NumberField:
        return self.number(field, label, "%", scale=0.01, optional=True, least=0, most=most)

    def _add_or_remove(self) -> None:
        there = self.document.vehicle.second_battery is not None
        text = self.tr("Remove second battery") if there else self.tr("Add second battery")
        new = None if there else SecondBattery()
        self.document.apply(text, edits.set_second_battery, new)

    def refresh(self) -> None:
        """Show it as it is now; its fields only where there is one."""
        super().refresh()
        second = self.document.vehicle.second_battery
        add, remove = self.tr("Add second battery"), self.tr("Remove second battery")
        self.switch.setText(add if second is None else remove)
        for field in getattr(self, "_fields", ()):
            self.rows.setRowVisible(field, second is not None)
        if second is not None and self._fields:
            charger = next(f for f in self._fields if f.objectName() == "second_charger_a")
            self.rows.setRowVisible(charger, second.link == "dcdc")
