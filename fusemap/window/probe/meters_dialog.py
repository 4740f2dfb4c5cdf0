"""The meters that readings are taken with: last digit, share of the reading, counts, by quantity.

In: the document. Out: edits of its meters. What the leaflet states decides how wide the band of
every reading is; where nothing is entered a usual meter is assumed and shown.
"""

from typing import Final

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QHBoxLayout,
    QHeaderView,
    QLineEdit,
    QPushButton,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from fusemap.errors import InputProblem
from fusemap.probing.evidence import USUAL
from fusemap.text import Style, given, say
from fusemap.vehicle import Meter, MeterRange, Vehicle, reading_edits
from fusemap.vehicle.parts import UNITS
from fusemap.vehicle.words import Quantity
from fusemap.window.document import Document
from fusemap.window.forms.entry import read_number
from fusemap.window.parts.choice import Choice
from fusemap.window.style.theme import space
from fusemap.window.texts.plain import plain_label

ROWS: Final[tuple[Quantity, ...]] = ("millivolts", "clamp_current", "inline_current", "volts")


class MetersDialog(QDialog):
    """A list of meters, and the figures of the one chosen."""

    def __init__(self, parent: QWidget, document: Document, style: Style) -> None:
        super().__init__(parent)
        self._document = document
        self._style = style
        self.setObjectName("metersDialog")
        self.setWindowTitle(self.tr("Meters"))
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self._build()
        document.changed.connect(self._vehicle_changed)
        self.refresh()

    def _build(self) -> None:
        self.meters = Choice()
        self.meters.setObjectName("metersChoice")
        self.meters.setAccessibleName(self.tr("Meter"))
        self.meters.activated.connect(self._show)
        self.add = self._button("metersAdd", self.tr("&Add a meter"), self._add)
        self.remove = self._button("metersRemove", self.tr("&Remove"), self._remove)
        self.name = QLineEdit()
        self.name.setObjectName("metersName")
        self.name.setAccessibleName(self.tr("Name of the meter"))
        self.name.setMaxLength(80)
        self.name.editingFinished.connect(self._rename)
        self.table = QTableWidget(len(ROWS), 3)
        self.table.setObjectName("metersTable")
        self.table.setAccessibleName(self.tr("How far it may be off"))
        self.table.setHorizontalHeaderLabels(
            [self.tr("Last digit"), self.tr("± % of reading"), self.tr("± counts")]
        )
        words = {
            "millivolts": self.tr("Millivolts [mV]"),
            "clamp_current": self.tr("Clamp [A]"),
            "inline_current": self.tr("In line [A]"),
            "volts": self.tr("Volts [V]"),
        }
        self.table.setVerticalHeaderLabels([words[row] for row in ROWS])
        self.table.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Stretch)
        self.table.verticalHeader().setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        self.table.cellChanged.connect(self._written)
        self.words = plain_label("metersWords")
        self._lay_out()

    def _button(self, key: str, text: str, do: object) -> QPushButton:
        button = QPushButton(text)
        button.setObjectName(key)
        button.clicked.connect(do)
        button.setAutoDefault(False)
        return button

    def _lay_out(self) -> None:
        row = QHBoxLayout()
        row.addWidget(self.meters, 1)
        row.addWidget(self.add)
        row.addWidget(self.remove)
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close)
        buttons.rejected.connect(self.reject)
        column = QVBoxLayout(self)
        column.setSpacing(space(self, "medium"))
        column.addWidget(plain_label("metersIntro", self.tr(
            "The meter’s leaflet states how far it may be off: a share of the reading and a number "
            "of last digits (counts). The smallest range is what counts beside the vehicle."
        )))  # fmt: skip
        column.addLayout(row)
        column.addWidget(self.name)
        column.addWidget(self.table, 1)
        column.addWidget(self.words)
        column.addWidget(buttons)
        em = self.fontMetrics().height()
        self.resize(em * 36, em * 24)

    # --- showing --------------------------------------------------------------------------------

    def meter(self) -> Meter | None:
        """The meter shown."""
        wanted = self.meters.currentData()
        return next((m for m in self._document.vehicle.meters if m.id == wanted), None)

    def _vehicle_changed(self, old: Vehicle, new: Vehicle) -> None:
        if old.meters != new.meters:
            self.refresh()

    def refresh(self) -> None:
        """Show the meters as they are now, the one chosen before if it is still there."""
        kept = self.meters.currentData()
        self.meters.clear()
        for meter in self._document.vehicle.meters:
            self.meters.addItem(meter.name or self.tr("Meter"), meter.id)
        self.meters.setCurrentIndex(max(0, self.meters.findData(kept)))
        self._show()

    def _show(self) -> None:
        meter = self.meter()
        for part in (self.remove, self.name, self.table):
            part.setEnabled(meter is not None)
        self.name.setText("" if meter is None else meter.name)
        self.words.setText(
            self.tr("No meter yet: a usual one is assumed, as shown.") if meter is None else ""
        )
        self.table.blockSignals(True)
        for at, quantity in enumerate(ROWS):
            used = _range(meter, quantity)
            figures = (
                given(used.resolution, UNITS[quantity]),
                given(round(used.share * 100, 6)),
                given(used.counts),
            )
            for column, figure in enumerate(figures):
                self.table.setItem(at, column, QTableWidgetItem(self._style.show(figure)))
        self.table.blockSignals(False)

    # --- asking ---------------------------------------------------------------------------------

    def _add(self) -> None:
        name = self.tr("Meter {n}").format(n=len(self._document.vehicle.meters) + 1)
        if self._document.apply(
            self.tr("Add a meter"), reading_edits.add_meter, name, USUAL.values()
        ):
            self.meters.setCurrentIndex(self.meters.count() - 1)
            self._show()
            self.name.setFocus()
            self.name.selectAll()

    def _remove(self) -> None:
        meter = self.meter()
        if meter is not None:
            self._document.apply(self.tr("Remove a meter"), reading_edits.remove_meter, meter.id)

    def _rename(self) -> None:
        meter = self.meter()
        if meter is not None and self.name.text().strip() not in ("", meter.name):
            self._document.apply(
                self.tr("Rename a meter"), reading_edits.change_meter, meter.id,
                name=self.name.text().strip(),
            )  # fmt: skip

    def _written(self, row: int, column: int) -> None:
        """A figure was typed: the range of that quantity is made anew."""
        meter = self.meter()
        item = self.table.item(row, column)
        if meter is None or item is None:
            return
        quantity = ROWS[row]
        try:
            new = changed_range(_range(meter, quantity), column, item.text())
        except InputProblem as problem:
            self._show()
            self.words.setText(self._style.show(problem.text))
            return
        ranges = [each for each in meter.ranges if each.quantity != quantity]
        self._document.apply(
            self.tr("Change a meter"), reading_edits.change_meter, meter.id, ranges=[*ranges, new]
        )


def _range(meter: Meter | None, quantity: Quantity) -> MeterRange:
    """The finest range a meter has for a quantity, else the usual one."""
    own = [each for each in (meter.ranges if meter else ()) if each.quantity == quantity]
    return min(own, key=lambda each: each.resolution, default=USUAL[quantity])


def changed_range(old: MeterRange, column: int, text: str) -> MeterRange:
    """A range with one figure as typed. Raises `InputProblem` for one that cannot be."""
    # loaded when it is first needed: the start stays short
    from msgspec.structs import replace

    unit = (UNITS[old.quantity], "%", "")[column]
    value = read_number(text, unit)
    if value is None or value < 0 or (column == 0 and value == 0):
        raise InputProblem(
            say("it has to be a number above nothing"), remedy=say("see the meter’s leaflet")
        )
    if column == 0:
        return replace(old, resolution=value)
    if column == 1:
        if value >= 100:
            raise InputProblem(
                say("a meter is not off by all it reads"), remedy=say("type per cent")
            )
        return replace(old, share=value / 100)
    return replace(old, counts=value)
