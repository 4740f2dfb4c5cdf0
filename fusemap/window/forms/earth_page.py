"""The earth points: a list of them, over the form of the one that is chosen."""

from PySide6.QtCore import Qt
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import (
    QHBoxLayout,
    QListWidget,
    QListWidgetItem,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from fusemap.text import Amount, Argument, in_row, many
from fusemap.vehicle import EarthPoint, Vehicle, edits
from fusemap.window.document import Document, Selection
from fusemap.window.forms import choices
from fusemap.window.forms.form import PartForm, scrolled
from fusemap.window.style.theme import Theme

ID = Qt.ItemDataRole.UserRole


class EarthPage(QWidget):
    """List and form, and buttons to add and remove earth points."""

    def __init__(self, document: Document, theme: Theme) -> None:
        super().__init__()
        self._document = document
        self._style = theme.style
        self._stale = True
        self.setObjectName("earthPage")
        self.setAccessibleName(self.tr("Earth points"))
        self.list = QListWidget()
        self.list.setObjectName("earthList")
        self.list.setAccessibleName(self.tr("Earth points"))
        self.form = EarthForm(document, theme)
        self.add = QPushButton(self.tr("Add earth point"))
        self.add.setObjectName("earth_add")
        self.remove = QPushButton(self.tr("Remove earth point"))
        self.remove.setObjectName("earth_remove")
        self._lay_out()
        self.list.currentItemChanged.connect(self._chosen)
        self.add.clicked.connect(self._add)
        self.remove.clicked.connect(self._remove)
        document.changed.connect(self._vehicle_changed)
        document.selected.connect(self._selected)
        self._selected(document.selection)
        self.fill()

    def _lay_out(self) -> None:
        buttons = QHBoxLayout()
        buttons.addWidget(self.add)
        buttons.addWidget(self.remove)
        buttons.addStretch(1)
        column = QVBoxLayout(self)
        column.addWidget(self.list, 1)
        column.addLayout(buttons)
        column.addWidget(scrolled(self.form), 2)

    def fill(self) -> None:
        """Show the points as they are now."""
        self._stale = False
        vehicle = self._document.vehicle
        self.list.blockSignals(True)
        self.list.clear()
        for point in vehicle.earths:
            item = QListWidgetItem(self._words(vehicle, point))
            item.setData(ID, point.id)
            self.list.addItem(item)
            if point.id == self.form.earth_id:
                self.list.setCurrentItem(item)
        self.list.blockSignals(False)
        if self.list.currentItem() is None:
            self.list.setCurrentRow(0)
            self._chosen(self.list.currentItem())
        self.remove.setEnabled(bool(vehicle.earths))

    def _words(self, vehicle: Vehicle, point: EarthPoint) -> str:
        there = sum(tap.earth == point.id for tap in vehicle.taps)
        said: list[Argument] = [
            point.name,
            many("{n} accessory goes back here", "{n} accessories go back here", there),
        ]
        if point.resistance_mohm is not None:
            said.append(Amount(point.resistance_mohm, "mΩ"))
        return self._style.show(in_row(said))

    def showEvent(self, event: QShowEvent) -> None:
        """Catch up with what changed while out of view."""
        super().showEvent(event)
        if self._stale:
            self.fill()

    def _selected(self, selection: Selection | None) -> None:
        if selection is not None and selection.kind == "earth":
            self.form.show_earth(selection.id)
            self.fill()

    def _vehicle_changed(self, old: Vehicle, new: Vehicle) -> None:
        if self.isVisible():
            self.fill()
        else:
            self._stale = True

    def _chosen(self, item: QListWidgetItem | None) -> None:
        self.form.show_earth("" if item is None else item.data(ID))

    def _add(self) -> None:
        vehicle = self._document.vehicle
        name = self.tr("Earth point {n}").format(n=len(vehicle.earths) + 1)
        if self._document.apply(self.tr("Add earth point"), edits.add_earth, name):
            self.form.show_earth(self._document.vehicle.earths[-1].id)
            self.fill()

    def _remove(self) -> None:
        text = self.tr("Remove earth point {name}").format(name=self.form.part_name())
        if self._document.apply(text, edits.remove_earth, self.form.earth_id):
            self.form.show_earth("")
            self.fill()


class EarthForm(PartForm):
    """The earth point that was chosen last."""

    def __init__(self, document: Document, theme: Theme) -> None:
        self.earth_id = ""
        name = self.tr("Earth point")
        super().__init__(document, theme, "earth", name, self._point, self._change)
        self.text("name", self.tr("Name"), placeholder=self.tr("bolt behind the side trim"))
        self.choice("kind", self.tr("It is"), choices.earth_kinds())
        self.choice("place", self.tr("Where it sits"), choices.places())
        self.number(
            "stud_mm",
            self.tr("Thread"),
            "mm",
            optional=True,
            placeholder=self.tr("not looked at"),
            hint=self.tr("8 for M8"),
        )
        self._others = self.number(
            "others",
            self.tr("Eyelets there"),
            whole=True,
            least=0,
            optional=True,
            placeholder=self.tr("not counted"),
            hint=self.tr("How many of the vehicle’s own sit under this screw"),
        )
        self.choice("sensitive", self.tr("A sensor or radio on it"), choices.yes_no())
        self._sensor = self.choice("sensor", self.tr("Battery sensor on it"), choices.yes_no())
        self.number(
            "resistance_mohm",
            self.tr("Measured"),
            "mΩ",
            least=0,
            optional=True,
            placeholder=self.tr("not measured"),
            hint=self.tr(
                "To the battery’s minus post: millivolts between them, divided by the amperes that "
                "flow; an ohmmeter cannot tell"
            ),
        )

    def part_name(self) -> str:
        """The point by name."""
        return self._point().name

    def show_earth(self, earth_id: str) -> None:
        """Show another point."""
        self.earth_id = earth_id
        self.refresh()

    def refresh(self) -> None:
        """Show the point as it is now."""
        point = self._point()
        self.setEnabled(bool(point.id))
        super().refresh()
        if hasattr(self, "_sensor"):
            self.rows.setRowVisible(self._sensor, point.kind == "battery_minus")
            self.rows.setRowVisible(self._others, point.kind == "body")

    def _point(self) -> EarthPoint:
        there = self.document.vehicle.earths
        return next((e for e in there if e.id == self.earth_id), EarthPoint(id="", name=""))

    def _change(self, vehicle: Vehicle, **changes: object) -> Vehicle:
        return edits.change_earth(vehicle, self.earth_id, **changes)
