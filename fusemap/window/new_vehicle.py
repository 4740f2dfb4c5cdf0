"""What a new vehicle is started from: the rows and columns of its fuse panel's lid.

Out: the signal `asked` with name, rows, columns, fuse family and system voltage [V].
"""

from PySide6.QtCore import QRectF, QSize, Qt, Signal
from PySide6.QtGui import QPainter, QPaintEvent, QPalette
from PySide6.QtWidgets import (
    QComboBox,
    QFormLayout,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QPushButton,
    QSizePolicy,
    QSpinBox,
    QVBoxLayout,
    QWidget,
)

from fusemap.vehicle.texts import clean
from fusemap.vehicle.validity import MOST_ROWS
from fusemap.window.forms import choices
from fusemap.window.style.theme import space


class LidPreview(QWidget):
    """The lid as it will be: its rows and columns, numbered in reading order."""

    def __init__(self) -> None:
        super().__init__()
        self._rows = 1
        self._columns = 1
        self.setObjectName("lidPreview")
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)

    def set_size(self, rows: int, columns: int) -> None:
        """Show a lid of this size."""
        self._rows, self._columns = rows, columns
        text = self.tr("{rows} rows of {columns}: {count} slots")
        self.setAccessibleName(text.format(rows=rows, columns=columns, count=rows * columns))
        self.update()

    def sizeHint(self) -> QSize:
        """Room for a common lid."""
        em = self.fontMetrics().height()
        return QSize(em * 14, em * 7)

    def minimumSizeHint(self) -> QSize:
        """Still to be made out."""
        em = self.fontMetrics().height()
        return QSize(em * 8, em * 5)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the slots, and their numbers where there is room for them."""
        painter = QPainter(self)
        colours = self.palette()
        painter.setPen(colours.color(QPalette.ColorRole.Dark))
        painter.setBrush(colours.color(QPalette.ColorRole.Base))
        wide = min(self.width() / self._columns, self.fontMetrics().height() * 3.5)
        high = min(self.height() / self._rows, wide * 0.75)
        wide = min(wide, high * 2.5)
        left, top = 0.0, 0.0
        room = self.fontMetrics().horizontalAdvance("F000")
        for row in range(self._rows):
            for column in range(self._columns):
                place = QRectF(left + column * wide, top + row * high, wide, high)
                gap = max(0.5, wide * 0.06)
                painter.setPen(colours.color(QPalette.ColorRole.Dark))
                painter.drawRect(place.adjusted(gap, gap, -gap, -gap))
                if wide > room and high > self.fontMetrics().height():
                    painter.setPen(colours.color(QPalette.ColorRole.Text))
                    number = row * self._columns + column + 1
                    painter.drawText(place, Qt.AlignmentFlag.AlignCenter, f"F{number}")


class NewVehicle(QWidget):
    """Asks for the lid's rows and columns, its fuse family and a name."""

    asked = Signal(str, int, int, str, int)
    back = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("newVehicle")
        self.setAccessibleName(self.tr("New vehicle"))
        self.rows = self._spin_box("newRows", self.tr("Rows of the lid"), 4)
        self.columns = self._spin_box("newColumns", self.tr("Columns of the lid"), 6)
        self.family = self._combo_box("newFamily", self.tr("Most of its fuses are"))
        for key, words in choices.fuse_families():
            self.family.addItem(words, key)
        self.family.setCurrentIndex(max(0, self.family.findData("mini")))
        self.system = self._combo_box("newSystem", self.tr("System voltage"))
        for value, words in choices.system_voltages():
            self.system.addItem(words, value)
        self.name = QLineEdit()
        self.name.setObjectName("newName")
        self.name.setAccessibleName(self.tr("Name of the vehicle"))
        self.name.setPlaceholderText(self.tr("for instance: blue van"))
        self.name.returnPressed.connect(self._create)
        self._preview = LidPreview()
        self._same_height()
        self._lay_out()
        self._show_preview()

    def _lay_out(self) -> None:
        heading = heading_label(self.tr("How many rows and columns has the lid?"))
        hint = muted_label(
            self.tr(
                "Count every place on the lid's drawing, gaps and relays too. Rows, columns and "
                "slots can be added and removed later, and more panels."
            )
        )
        form = QFormLayout()
        form.setVerticalSpacing(space(self, "medium"))
        form.setRowWrapPolicy(QFormLayout.RowWrapPolicy.WrapLongRows)
        form.addRow(self.tr("&Rows"), self.rows)
        form.addRow(self.tr("&Columns"), self.columns)
        form.addRow(self.tr("Most &fuses are"), self.family)
        form.addRow(self.tr("&System"), self.system)
        form.addRow(self.tr("&Name"), self.name)
        self.button = QPushButton(self.tr("Crea&te vehicle"))
        self.button.setObjectName("newCreate")
        self.button.setDefault(True)
        self.button.clicked.connect(self._create)
        self.back_button = QPushButton(self.tr("&Back"))
        self.back_button.setObjectName("newBack")
        self.back_button.clicked.connect(self.back)
        buttons = QHBoxLayout()
        buttons.addWidget(self.button)
        buttons.addWidget(self.back_button)
        buttons.addStretch(1)
        column = QVBoxLayout(self)
        column.setSpacing(space(self, "medium"))
        for widget in (heading, hint):
            column.addWidget(widget)
        column.addLayout(form)
        column.addLayout(buttons)
        column.addSpacing(space(self, "medium"))
        column.addWidget(self._preview, 1)

    def _same_height(self) -> None:
        """Spin boxes as high as the other fields."""
        height = max(self.family.sizeHint().height(), self.name.sizeHint().height())
        for field in (self.rows, self.columns, self.family, self.system, self.name):
            field.setMinimumHeight(height)
            field.setMaximumWidth(self.fontMetrics().height() * 22)

    def _spin_box(self, key: str, name: str, value: int) -> QSpinBox:
        box = QSpinBox()
        box.setObjectName(key)
        box.setAccessibleName(name)
        box.setRange(1, MOST_ROWS)
        box.setValue(value)
        box.valueChanged.connect(self._show_preview)
        return box

    def _combo_box(self, key: str, name: str) -> QComboBox:
        box = QComboBox()
        box.setObjectName(key)
        box.setAccessibleName(name)
        return box

    def _show_preview(self) -> None:
        self._preview.set_size(self.rows.value(), self.columns.value())

    def _create(self) -> None:
        name = clean(self.name.text()) or self.tr("My vehicle")
        family, system = self.family.currentData(), self.system.currentData()
        self.asked.emit(name, self.rows.value(), self.columns.value(), family, system)


def muted_label(text: str) -> QLabel:
    """Words of lesser weight, as many lines as they need."""
    label = QLabel(text)
    label.setWordWrap(True)
    label.setProperty("muted", True)
    return label


def heading_label(text: str) -> QLabel:
    """A heading, half as large again as the text."""
    label = QLabel(text)
    font = label.font()
    font.setPointSizeF(font.pointSizeF() * 1.4)
    font.setBold(True)
    label.setFont(font)
    label.setWordWrap(True)
    return label
