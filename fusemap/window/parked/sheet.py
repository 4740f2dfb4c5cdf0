"""What opens in the place of the lists: the battery's form, the parking's, how it is reckoned.

In: which of them, and the field to begin with. Out: `closed` when one is done with it. The forms
are the same as elsewhere in the window; they are made when they are first wanted.
"""

from collections.abc import Iterator

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtWidgets import (
    QHBoxLayout,
    QLabel,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from fusemap.assess.assessment import Assessment
from fusemap.window.document import Document
from fusemap.window.parked.assumed_view import AssumedView
from fusemap.window.parked.chart_figures import Case, ChartFigures
from fusemap.window.parts.home import first_stop
from fusemap.window.style.theme import Theme, space
from fusemap.window.texts.plain import embolden


class Sheet(QWidget):
    """One of the three; `head` is its heading with *Done*, for whoever shows it to place above."""

    closed = Signal()

    def __init__(self, document: Document, theme: Theme) -> None:
        super().__init__()
        self._document = document
        self._theme = theme
        self._made: dict[str, QWidget] = {}
        self.showing = ""
        self.setObjectName("parkedSheet")
        self.heading = QLabel()
        embolden(self.heading)
        self.done = QPushButton(self.tr("Done"))
        self.done.setObjectName("parkedSheetDone")
        self.done.clicked.connect(self.close_it)
        self.head = QWidget()
        head = QHBoxLayout(self.head)
        head.setContentsMargins(0, 0, 0, 0)
        head.addWidget(self.heading, 1)
        head.addWidget(self.done)
        self.head.hide()
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(space(self))
        self.hide()

    def show_form(self, form: str, field: str) -> None:
        """Show a form, with one of its fields in hand."""
        titles = {"battery": self.tr("Battery"), "parking": self.tr("Parking")}
        made = self._show(form, titles[form])
        wanted = made.findChild(QWidget, field) if field else first_stop(made)
        if wanted is not None:
            # its place is known once it was laid out
            QTimer.singleShot(0, wanted, lambda: self._focus(wanted))

    def _focus(self, field: QWidget) -> None:
        field.setFocus(Qt.FocusReason.ShortcutFocusReason)
        for area in _areas(field):
            area.ensureWidgetVisible(field, 0, field.height() * 3)

    def show_reckoned(self, a: Assessment, case: Case, figures: ChartFigures) -> None:
        """Show what the answer rests on."""
        made = self._show("reckoned", self.tr("How it is reckoned"))
        assert isinstance(made, AssumedView)
        made.show_case(a, case, figures)
        self.done.setFocus(Qt.FocusReason.OtherFocusReason)

    def _show(self, name: str, title: str) -> QWidget:
        if name not in self._made:
            self._made[name] = self._make(name)
            self._column.addWidget(self._made[name], 1)
        for key, each in self._made.items():
            each.setVisible(key == name)
        self.heading.setText(title)
        self.showing = name
        self.show()
        self.head.show()
        return self._made[name]

    def _make(self, name: str) -> QWidget:
        if name == "reckoned":
            return AssumedView(self._document, self._theme)
        # loaded when they are first needed: the page is shown sooner
        from fusemap.window.forms.parking_form import ParkingForm
        from fusemap.window.forms.vehicle_form import BatteryForm

        made = BatteryForm if name == "battery" else ParkingForm
        return made(self._document, self._theme)

    def close_it(self) -> None:
        """Back to the lists."""
        self.showing = ""
        self.hide()
        self.head.hide()
        self.closed.emit()


def _areas(widget: QWidget) -> Iterator[QScrollArea]:
    """The areas that scroll what is around a widget, from inside out."""
    parent = widget.parentWidget()
    while parent is not None:
        if isinstance(parent, QScrollArea):
            yield parent
        parent = parent.parentWidget()
