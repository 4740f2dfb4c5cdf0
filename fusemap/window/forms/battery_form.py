"""What the battery's label and a meter say about the battery; and a second one for accessories.

In: the battery as the document has it. Out: one edit per finished field.
"""

from PySide6.QtCore import QCoreApplication
from PySide6.QtWidgets import QPushButton, QWidget

from fusemap.vehicle import SecondBattery, edits
from fusemap.window.document import Document
from fusemap.window.forms import choices
from fusemap.window.forms.fields import NumberField
from fusemap.window.forms.part_form import PartForm, between
from fusemap.window.style.theme import Theme


class BatteryForm(PartForm):
    """The battery; blank fields are reckoned from the others or from its kind."""

    def __init__(self, document: Document, theme: Theme) -> None:
        super().__init__(
            document,
            theme,
            "battery",
            self.tr("Battery"),
            lambda: document.vehicle.battery,
            edits.change_battery,
        )
        self._add_label()
        self._add_condition()
        self._add_readings()
        self._add_ranges()
        self.section(self.tr("Second battery"))
        self.second = SecondBatteryForm(document, theme)
        self.rows.addRow(self.second)
        self._show_hint()

    def _add_label(self) -> None:
        self.section(self.tr("On its label"))
        self._pair = self.note(
            self.tr("With 24 V enter the figures of one of the two 12 V batteries in series.")
        )
        self.choice("chemistry", self.tr("Kind"), choices.chemistries())
        self.number("capacity_ah", self.tr("Capacity (20 h)"), "Ah", optional=True)
        self.number("reserve_min", self.tr("Reserve capacity"), "min", optional=True)
        self.number("cca_a", self.tr("Cold cranking current"), "A", optional=True)
        self.number(
            "parallel", self.tr("Alike in parallel"), whole=True, least=1, hint=self.tr("usually 1")
        )

    def _add_condition(self) -> None:
        self.section(self.tr("Its condition"))
        self.number(
            "age_years",
            self.tr("Age"),
            "years",
            optional=True,
            hint=self.tr("Where its health is not known it is reckoned from this"),
        )
        self.number(
            "soh",
            self.tr("Health"),
            "%",
            scale=0.01,
            optional=True,
            least=1,
            most=150,
            hint=self.tr("Capacity left, as a share of the label's; a tester may say"),
        )
        self.number(
            "start_soc",
            self.tr("Charge when parked"),
            "%",
            scale=0.01,
            optional=True,
            least=0,
            most=100,
            hint=self.tr("Where blank, the usual charge for its age and use is taken"),
        )

    def _add_readings(self) -> None:
        self.section(self.tr("Measured"))
        self.number(
            "rest_v",
            self.tr("Rest voltage"),
            "V",
            optional=True,
            hint=self.tr("Of the whole system, after hours without charge or load"),
        )
        self.number("resistance_mohm", self.tr("Internal resistance"), "mΩ", optional=True)
        self.number(
            "measured_cca_a",
            self.tr("Cold cranking, tested"),
            "A",
            optional=True,
            hint=self.tr("What a tester says today; it tells of cranking, not of capacity"),
        )

    def _add_ranges(self) -> None:
        self.section(self.tr("How sure is that?"))
        self.note(self.tr("Blank takes a usual range; it is said beside the parked forecast."))
        between(self, "low_soh", "high_soh", self.tr("Health between"), "%", 0.01)
        between(self, "low_soc", "high_soc", self.tr("Charge between"), "%", 0.01)

    def refresh(self) -> None:
        """Show the battery as it is now."""
        super().refresh()
        self._show_hint()

    def _show_hint(self) -> None:
        self._pair.setVisible(self.document.vehicle.system_v == 24)


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
