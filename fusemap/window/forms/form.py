"""A form: labelled fields under headings, shown anew when the vehicle has changed.

Refreshes only while it can be seen; what changed meanwhile is shown when it comes back into view.
"""

from collections.abc import Callable, Iterable

from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import (
    QFormLayout,
    QFrame,
    QHBoxLayout,
    QLabel,
    QScrollArea,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from fusemap.errors import EditRefused
from fusemap.vehicle import Vehicle
from fusemap.window.document import Document
from fusemap.window.forms.fields import Field
from fusemap.window.style.theme import Theme, space
from fusemap.window.texts.plain import plain_label


class Form(QWidget):
    """A column of labelled fields, built by `add`, `section` and `note`."""

    def __init__(self, document: Document, theme: Theme, key: str, name: str) -> None:
        super().__init__()
        self.document = document
        self.theme = theme
        self.fields: list[Field] = []
        self._stale = False
        self._headings: list[QLabel] = []
        self.setObjectName(key)
        self.setAccessibleName(name)
        self.rows = QFormLayout(self)
        self.rows.setRowWrapPolicy(QFormLayout.RowWrapPolicy.WrapLongRows)
        self.rows.setFieldGrowthPolicy(QFormLayout.FieldGrowthPolicy.ExpandingFieldsGrow)
        self.rows.setLabelAlignment(Qt.AlignmentFlag.AlignLeft)
        self._set_spacing()
        document.changed.connect(self._vehicle_changed)

    def section(self, title: str) -> QLabel:
        """A heading over the rows that follow."""
        heading = plain_label(text=title, wrap=False)
        font = heading.font()
        font.setBold(True)
        heading.setFont(font)
        heading.setContentsMargins(0, self.fontMetrics().height() // 2, 0, 0)
        self.rows.addRow(heading)
        return heading

    def note(self, text: str) -> QLabel:
        """A line of plain words."""
        label = plain_label(text=text)
        label.setProperty("muted", True)
        label.setSizePolicy(_as_high_as_its_words())
        self.rows.addRow(label)
        return label

    def add(self, label: str, field: QWidget, *, follow: Callable[[], None] | None = None) -> None:
        """A labelled field; a field of `fields` is refreshed with the form.

        `follow` is called at each refresh, after the field: to hide it, or to offer other choices.
        """
        if label:
            self.rows.addRow(label, field)
        else:
            self.rows.addRow(field)
        self.watch(field)
        if follow is not None:
            self.fields.append(Following(follow))

    def watch(self, field: "QWidget | Following") -> None:
        """Refresh with the form a field that stands somewhere inside one of its rows."""
        if hasattr(field, "refresh"):
            self.fields.append(field)

    def refresh(self) -> None:
        """Show the values as they are now; a place that is gone leaves the form as it was."""
        self._stale = False
        try:
            for field in self.fields:
                field.refresh()
        except EditRefused:
            self._stale = True

    def showEvent(self, event: QShowEvent) -> None:
        """Catch up with what changed while out of view."""
        super().showEvent(event)
        if self._stale:
            self.refresh()

    def changeEvent(self, event: QEvent) -> None:
        """Spacing follows the font."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self._set_spacing()

    def _set_spacing(self) -> None:
        height = self.fontMetrics().height()
        self.rows.setVerticalSpacing(height // 3)
        self.rows.setHorizontalSpacing(height)
        self.rows.setContentsMargins(height // 2, height // 2, height // 2, height // 2)

    def _vehicle_changed(self, old: Vehicle, new: Vehicle) -> None:
        if self.isVisible():
            self.refresh()
        else:
            self._stale = True


def _as_high_as_its_words() -> QSizePolicy:
    policy = QSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Minimum)
    policy.setHeightForWidth(True)
    return policy


class Following:
    """Calls a function at each refresh."""

    def __init__(self, follow: Callable[[], None]) -> None:
        self.refresh = follow


def scrolled(inside: QWidget) -> QScrollArea:
    """A widget in a frame that scrolls up and down when there is not enough room."""
    area = QScrollArea()
    area.setWidgetResizable(True)
    area.setFrameShape(QFrame.Shape.NoFrame)
    # What is inside takes the keyboard, and is scrolled to.
    area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
    area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAsNeeded)
    area.setWidget(inside)
    area.setObjectName(f"{inside.objectName()}Scroll")
    area.setAccessibleName(inside.accessibleName())
    return area


def side_by_side(*widgets: QWidget) -> QWidget:
    """Fields in one row of a form."""
    row = QWidget()
    line = QHBoxLayout(row)
    line.setContentsMargins(0, 0, 0, 0)
    line.setSpacing(space(row, "small"))
    for widget in widgets:
        line.addWidget(widget)
    return row


def below_each_other(widgets: Iterable[QWidget]) -> QWidget:
    """Fields under each other at one label."""
    whole = QWidget()
    column = QVBoxLayout(whole)
    column.setContentsMargins(0, 0, 0, 0)
    column.setSpacing(space(whole, "small"))
    for widget in widgets:
        column.addWidget(widget)
    return whole
