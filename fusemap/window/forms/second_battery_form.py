"""The second battery, if there is one, and the link between it and the starter battery.

In: what its label and a meter say, the link's cable and fuses. Out: one edit per finished field.
"""

from typing import Final

from PySide6.QtCore import QCoreApplication, Qt
from PySide6.QtWidgets import QPushButton, QScrollArea, QWidget

from fusemap.text import say
from fusemap.vehicle import Cable, Fuse, SecondBattery, edits
from fusemap.window.document import Document
from fusemap.window.forms import choices
from fusemap.window.forms.cable_fields import CableFields
from fusemap.window.forms.fields import NumberField
from fusemap.window.forms.form import MayBeAbsent, PartForm
from fusemap.window.forms.found_by import FOUND_BY, SECOND_BATTERY
from fusemap.window.forms.fuse_fields import FuseFields
from fusemap.window.parts.later import Later
from fusemap.window.style.theme import Theme

FIRST_LINK: Final = Cable(section_mm2=16.0, length_m=2.0, place="engine_bay")
"""The cable of a link until its figures are entered."""
FIRST_LINK_FUSE: Final = Fuse(family="", rating=60.0)
"""A fuse of the link until its family is chosen: it gets this rating, or the next to it [A]."""


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
        self._begun = Later(self._go_to_fields, self)
        self._add_fields()
        self._add_link()
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
            self.number(
                "rest_v",
                self.tr("Rest voltage"),
                "V",
                optional=True,
                hint=self.tr("After hours without charge or load; blank for what its kind shows"),
            ),
            self.number(
                "resistance_mohm",
                self.tr("Internal resistance"),
                "mΩ",
                optional=True,
                placeholder=self.tr("by its kind and size"),
            ),
        ]

    def _add_link(self) -> None:
        """The link's fuses and its cable: either battery feeds a short of it."""
        self._link_title = self.section(self.tr("Link between the batteries"))
        self._link_note = self.note(
            self.tr("The link is live from both ends: a fuse close to each battery.")
        )
        self._near = self._fuse("near_fuse", self.tr("Fuse, starter end"))
        self._far = self._fuse("far_fuse", self.tr("Fuse, second end"))
        part = MayBeAbsent(
            lambda: self._second().link_cable,
            lambda label, cable: self.write("link_cable", label, cable),
            lambda: FIRST_LINK,
        )
        self._cable = CableFields(
            self,
            say("Cable of the link"),
            self.tr("Its cable is known"),
            part,
            "second_link_cable",
        )

    def _fuse(self, field: str, label: str) -> FuseFields:
        part = MayBeAbsent(
            lambda: getattr(self._second(), field),
            lambda words, fuse: self.write(field, words, fuse),
            lambda: FIRST_LINK_FUSE,
        )
        return FuseFields(self, label, part, f"second_{field}_", one_of=True)

    def _second(self) -> SecondBattery:
        return self.document.vehicle.second_battery or SecondBattery()

    def _share(self, field: str, label: str, most: float) -> NumberField:
        return self.number(field, label, "%", scale=0.01, optional=True, least=0, most=most)

    def _add_or_remove(self) -> None:
        there = self.document.vehicle.second_battery is not None
        text = self.tr("Remove second battery") if there else self.tr("Add second battery")
        new = None if there else SecondBattery()
        if self.document.apply(text, edits.set_second_battery, new) and not there:
            self._begun.start()

    def _go_to_fields(self) -> None:
        """The keyboard on the first of its fields, and as many in sight as go below the button."""
        first = self._fields[1]
        if not first.isVisible():
            return
        first.setFocus(Qt.FocusReason.OtherFocusReason)
        above = self.parentWidget()
        while above is not None and not isinstance(above, QScrollArea):
            above = above.parentWidget()
        if above is not None:
            for each in (*self._fields[::-1], self.switch):
                if each.isVisible():
                    above.ensureWidgetVisible(each)

    def refresh(self) -> None:
        """Show it as it is now; its fields only where there is one."""
        if hasattr(self, "_cable"):
            self._near.offer()
            self._far.offer()
        super().refresh()
        second = self.document.vehicle.second_battery
        add, remove = self.tr("Add second battery"), self.tr("Remove second battery")
        self.switch.setText(add if second is None else remove)
        also = self.theme.style.show(SECOND_BATTERY)
        self.switch.setProperty(FOUND_BY, also if second is None else "")
        for place, field in enumerate(getattr(self, "_fields", ())):
            field.setProperty(FOUND_BY, also if place == 0 and second is not None else "")
            self.rows.setRowVisible(field, second is not None)
        if not hasattr(self, "_cable"):
            return
        self._cable.show_rows(second is not None)
        for line in (self._link_title, self._link_note):
            self.rows.setRowVisible(line, second is not None)
        for fuse in (self._near, self._far):
            self.rows.setRowVisible(fuse.row, second is not None)
        if second is not None:
            charger = next(f for f in self._fields if f.objectName() == "second_charger_a")
            self.rows.setRowVisible(charger, second.link == "dcdc")
