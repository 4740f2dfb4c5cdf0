"""The questions about a lid, on one page: its size, its fuses, how it counts, gaps and relays.

Out: `lid()`, what was answered; `problem()`, what cannot be; `changed` at every answer. Rows and
columns alone are enough. Used for a new vehicle and, in a dialog, for a further panel of one.
"""

from collections.abc import Sequence
from itertools import pairwise
from typing import Final

from PySide6.QtCore import QSignalBlocker, Qt, Signal
from PySide6.QtGui import QKeyEvent, QPalette
from PySide6.QtWidgets import (
    QComboBox,
    QDialog,
    QDialogButtonBox,
    QFormLayout,
    QGridLayout,
    QLabel,
    QLayout,
    QLineEdit,
    QPushButton,
    QSizePolicy,
    QVBoxLayout,
    QWidget,
)

from fusemap.errors import FusemapError
from fusemap.text import Style
from fusemap.vehicle import edits
from fusemap.vehicle.edits.panels import Lid, Place, Unlike, labels_left
from fusemap.vehicle.texts import clean
from fusemap.vehicle.validity import MOST_ROWS, MOST_SLOTS
from fusemap.window.document import Document
from fusemap.window.forms import choices
from fusemap.window.forms.count_box import CountBox
from fusemap.window.forms.form import scrolled, side_by_side
from fusemap.window.forms.line_fields import why
from fusemap.window.panel.lid_grid import LidGrid
from fusemap.window.panel.slot_entry import next_label
from fusemap.window.parts.choice import Choice
from fusemap.window.parts.flow import Flow
from fusemap.window.parts.number_box import with_air
from fusemap.window.photo.lid_on_photo import LidOnPhoto
from fusemap.window.style.theme import space
from fusemap.window.texts.plain import plain_label

FIRST_SIZE: Final = (4, 6)
"""Rows and columns until those of the lid are entered."""
CORNERS: Final = ((False, False), (True, False), (False, True), (True, True))
"""From the right and from the bottom, for each corner the lid may count from."""


class LidQuestions(QWidget):
    """Fields and the lid they describe. `form` takes further rows of who uses them."""

    changed = Signal()
    finished = Signal()
    """Enter was pressed in a field after which nothing more has to be answered."""

    def __init__(self, style: Style, labels: str = "F1") -> None:
        super().__init__()
        self._style = style
        self._ready = False
        self._kinds: dict[Place, Unlike] = {}
        self._families: dict[Place, str] = {}
        self._make_size()
        self._make_fuses()
        self._make_labels(labels)
        self._make_lines()
        for box in (self.family, self.orientation, self.along, self.corner):
            box.currentIndexChanged.connect(self._show)
        self.grid = LidGrid(self._style)
        self.grid.asked.connect(self._make)
        self.grid.moved.connect(self._show_lines)
        self.on_photo: LidOnPhoto | None = None
        self.summary = plain_label("lidSummary")
        self.form = QFormLayout()
        self._lay_out()
        self._ready = True
        self._show()

    # --- fields ---------------------------------------------------------------------------------

    def _make_size(self) -> None:
        self.rows = self._count_box("newRows", self.tr("Rows of the lid"), FIRST_SIZE[0])
        self.columns = self._count_box("newColumns", self.tr("Columns of the lid"), FIRST_SIZE[1])
        self.rows.lineEdit().returnPressed.connect(self._go_to_columns)
        self.columns.lineEdit().returnPressed.connect(self.finished)

    def _make_fuses(self) -> None:
        self.family = self._combo_box(
            "newFamily", self.tr("Most of its fuses are"), choices.fuse_families(self._style)
        )
        self.family.setCurrentIndex(max(0, self.family.findData("mini")))
        self.orientation = self._combo_box(
            "newOrientation",
            self.tr("The fuses stand"),
            (("upright", self.tr("upright")), ("lying", self.tr("lying"))),
        )

    def _make_labels(self, first: str) -> None:
        self.labels = QLineEdit(first)
        self.labels.setObjectName("newLabels")
        self.labels.setAccessibleName(self.tr("Labels on the lid"))
        self.labels.setPlaceholderText(self.tr("no labels"))
        self.labels.setToolTip(
            self.tr(
                "As printed on the lid: F1 counts on from there; F1-F12, F20, F21-F40 is taken as "
                "it stands; blank for no labels"
            )
        )
        self.labels.textChanged.connect(self._show)
        self.labels.returnPressed.connect(self.finished)
        self.along = self._combo_box(
            "newAlong",
            self.tr("Which way the labels run"),
            (("rows", self.tr("along the rows")), ("columns", self.tr("down the columns"))),
        )
        self.corner = self._combo_box(
            "newCorner",
            self.tr("Corner where they begin"),
            (
                (CORNERS[0], self.tr("from top left")),
                (CORNERS[1], self.tr("from top right")),
                (CORNERS[2], self.tr("from bottom left")),
                (CORNERS[3], self.tr("from bottom right")),
            ),
        )

    def _make_lines(self) -> None:
        as_most = ("", self.tr("like most fuses of this lid"))
        families = (as_most, *choices.fuse_families(self._style))
        self.row_family = self._combo_box("newRowFamily", "", families)
        self.column_family = self._combo_box("newColumnFamily", "", families)
        self.row_family.setPlaceholderText(self.tr("mixed"))
        self.column_family.setPlaceholderText(self.tr("mixed"))
        self.row_family.currentIndexChanged.connect(lambda _: self._set_line("row"))
        self.column_family.currentIndexChanged.connect(lambda _: self._set_line("column"))
        self._row_label, self._column_label = QLabel(), QLabel()
        self._asked = [self._row_label, self._column_label]
        self._row_label.setBuddy(self.row_family)
        self._column_label.setBuddy(self.column_family)

    def _count_box(self, key: str, name: str, value: int) -> CountBox:
        box = CountBox(self._style, key, name, 1, MOST_ROWS)
        box.setValue(value)
        box.judged.connect(self._show)
        return with_air(box)

    def _combo_box(self, key: str, name: str, words: Sequence[tuple[object, str]]) -> QComboBox:
        box = Choice()
        box.setObjectName(key)
        box.setAccessibleName(name)
        box.setSizePolicy(QSizePolicy.Policy.Minimum, QSizePolicy.Policy.Fixed)
        box.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToContents)
        for value, text in words:
            box.addItem(text, value)
        return box

    # --- how it is laid out ---------------------------------------------------------------------

    def _lay_out(self) -> None:
        self.form.setVerticalSpacing(space(self, "medium"))
        # Where rows may wrap, Qt gives a row that fits neither way less than its words need.
        self.form.setRowWrapPolicy(QFormLayout.RowWrapPolicy.DontWrapRows)
        columns = QLabel(self.tr("&Columns"))
        columns.setBuddy(self.columns)
        self.add_row(self.tr("&Rows"), self.rows, side_by_side(columns, self.columns))
        self.add_row(self.tr("Most &fuses are"), self.family, self.orientation)
        self.add_row(self.tr("&Labels"), self.labels)
        self.add_row(self.tr("Label&led"), self.along, self.corner)
        self._hint = hint = plain_label(
            "lidHint",
            self.tr("Space or a click on a place of the lid: slot, gap, relay place."),
        )
        hint.setProperty("muted", True)
        lines = QGridLayout()
        lines.setVerticalSpacing(space(self, "medium"))
        lines.setHorizontalSpacing(self.form.horizontalSpacing())
        pairs = ((self._row_label, self.row_family), (self._column_label, self.column_family))
        for row, (label, box) in enumerate(pairs):
            lines.addWidget(label, row, 0)
            lines.addWidget(box, row, 1)
        lines.setColumnStretch(2, 1)

        self._column = column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(space(self, "medium"))
        column.addLayout(self.form)
        column.addLayout(lines)
        column.addWidget(hint)
        column.addWidget(self.grid, 1)
        column.addWidget(self.summary)
        column.addStretch(0)
        self._same_height()

    def add_row(self, label: str, *fields: QWidget | QLayout) -> None:
        """A row of the form with one field or several; the label's letter goes to the first."""
        line = Flow(space(self, "medium"))
        for each in fields:
            if isinstance(each, QWidget):
                line.add(each)
        words = QLabel(label)
        first = fields[0]
        if isinstance(first, QWidget):
            words.setBuddy(first)
            # a label stands beside the middle of its field
            words.setMinimumHeight(first.sizeHint().height())
        self._asked.append(words)
        self.form.addRow(words, line)
        self._align()

    def _align(self) -> None:
        """Every field begins at the same distance from the edge, those of a line of the lid too."""
        widest = max(each.sizeHint().width() for each in self._asked)
        for each in self._asked:
            each.setMinimumWidth(widest)

    def draw_on(self, photo: LidOnPhoto | None) -> None:
        """Let the lid be drawn on its photo instead; with `None` as it was."""
        self.on_photo = photo
        for widget in (self.grid, self._hint):
            widget.setVisible(photo is None)
        self._column.setStretch(self._column.count() - 1, 0 if photo is None else 1)
        if photo is not None:
            photo.asked.connect(self._make)
            photo.moved_to.connect(self._show_lines)
            photo.sized.connect(self._resize)
        self._show()

    def _resize(self, rows: int, columns: int) -> None:
        """The grid on the photo was given more or fewer lines."""
        with QSignalBlocker(self.rows):
            self.rows.setValue(rows)
        self.columns.setValue(columns)
        self._show()

    @property
    def cursor_place(self) -> Place:
        """The place the keyboard is on."""
        return (self.grid if self.on_photo is None else self.on_photo).cursor_place

    def _same_height(self) -> None:
        """Spin boxes as high as the other fields, and none wider than its words need."""
        height = max(self.family.sizeHint().height(), self.labels.sizeHint().height())
        for field in (self.rows, self.columns, self.family, self.orientation, self.labels,
                      self.along, self.corner, self.row_family, self.column_family):  # fmt: skip
            field.setMinimumHeight(height)
        em = self.fontMetrics().height()
        self.labels.setMinimumWidth(em * 16)
        for box in (self.rows, self.columns):
            box.setMinimumWidth(em * 5)

    def in_order(self) -> tuple[QWidget, ...]:
        """The fields in the order of the Tab key: the form's, the lid comes after them."""
        return (
            self.rows, self.columns, self.family, self.orientation, self.labels, self.along,
            self.corner,
        )  # fmt: skip

    def lid_fields(self) -> tuple[QWidget, ...]:
        """The families of the cursor's row and column, and the lid, in the order of the Tab key."""
        return (self.row_family, self.column_family, self.grid)

    # --- answers --------------------------------------------------------------------------------

    def lid(self) -> Lid:
        """The lid as answered so far."""
        right, bottom = CORNERS[max(0, self.corner.currentIndex())]
        return Lid(
            rows=self.rows.value(),
            columns=self.columns.value(),
            family=self.family.currentData(),
            orientation=self.orientation.currentData(),
            families=dict(self._families),
            kinds=dict(self._kinds),
            labels=clean(self.labels.text()),
            along=self.along.currentData(),
            from_right=right,
            from_bottom=bottom,
        )

    def answer(self, lid: Lid) -> None:
        """Answer every question as this lid does."""
        self._ready = False
        self.rows.setValue(lid.rows)
        self.columns.setValue(lid.columns)
        self.labels.setText(lid.labels)
        for box, value in (
            (self.family, lid.family),
            (self.orientation, lid.orientation),
            (self.along, lid.along),
        ):
            box.setCurrentIndex(box.findData(value))
        self.corner.setCurrentIndex(CORNERS.index((lid.from_right, lid.from_bottom)))
        self._kinds, self._families = dict(lid.kinds), dict(lid.families)
        self._ready = True
        self._show()

    def problem(self) -> str:
        """What cannot be, in the user's words; empty when all is well."""
        for box in (self.rows, self.columns):
            if box.problem is not None:
                return f"{box.accessibleName()}: {why(self._style, box.problem)}"
        lid = self.lid()
        try:
            lid.labelled()
        except FusemapError as error:
            return f"{self._style.show(error.what)}; {self._style.show(error.remedy)}"
        if lid.rows * lid.columns - lid.count("gap") > MOST_SLOTS:
            words = self.tr("More than {most} slots: enter the rows and columns of one panel.")
            return words.format(most=MOST_SLOTS)
        return ""

    def show_problem(self) -> None:
        """Put the keyboard where something cannot be, to be typed over."""
        wrong = [box for box in (self.rows, self.columns) if box.problem is not None]
        at = wrong[0] if wrong else self.labels
        at.setFocus(Qt.FocusReason.OtherFocusReason)
        if wrong:
            wrong[0].selectAll()

    def _go_to_columns(self) -> None:
        self.columns.setFocus(Qt.FocusReason.TabFocusReason)
        self.columns.selectAll()

    def _make(self, place: Place, kind: Unlike | None) -> None:
        """Make a place a slot, a gap or a relay place."""
        if kind is None:
            self._kinds.pop(place, None)
        else:
            self._kinds[place] = kind
        self._show()

    def _line(self, axis: str) -> list[Place]:
        """The places in the row or column of the cursor."""
        row, column = self.cursor_place
        if axis == "row":
            return [(row, each) for each in range(self.columns.value())]
        return [(each, column) for each in range(self.rows.value())]

    def _set_line(self, axis: str) -> None:
        """The row or column of the cursor has fuses of another family."""
        box = self.row_family if axis == "row" else self.column_family
        if box.currentIndex() < 0:
            return
        for place in self._line(axis):
            self._families.pop(place, None)
            if box.currentData():
                self._families[place] = box.currentData()
        self._show()

    # --- showing --------------------------------------------------------------------------------

    def _show(self, *_: object) -> None:
        """The lid as it is now, and what there is in figures."""
        if not self._ready:
            return
        lid = self.lid()
        try:
            labels = lid.labelled()
        except FusemapError:
            labels = {}
        self.grid.show_lid(lid, labels)
        if self.on_photo is not None:
            self.on_photo.show_lid(lid, labels)
        self._show_lines()
        problem = self.problem()
        self.summary.setText(problem or self._figures(lid, labels))
        role = QPalette.ColorRole.BrightText if problem else QPalette.ColorRole.WindowText
        self.summary.setForegroundRole(role)
        self.changed.emit()

    def _figures(self, lid: Lid, labels: dict[Place, str]) -> str:
        slots = len(lid.fuse_places())
        parts = [
            self.tr("Fuse slots: {n}").format(n=slots),
            self.tr("gaps: {n}").format(n=lid.count("gap")),
            self.tr("relay places: {n}").format(n=lid.count("relay")),
        ]
        if lid.labels and slots > len(labels):
            parts.append(self.tr("without a label: {n}").format(n=slots - len(labels)))
        if left := labels_left(lid):
            parts.append(self.tr("labels too many: {n}").format(n=left))
        return " · ".join(parts)

    def _show_lines(self, *_: object) -> None:
        """Name the cursor's row and column, and their families."""
        row, column = self.cursor_place
        for axis, box, label, words in (
            ("row", self.row_family, self._row_label,
             self.tr("Fuses in row {n}").format(n=row + 1)),
            ("column", self.column_family, self._column_label,
             self.tr("Fuses in column {n}").format(n=column + 1)),
        ):  # fmt: skip
            label.setText(words)
            box.setAccessibleName(words)
            found = {self._families.get(place, "") for place in self._line(axis)}
            with QSignalBlocker(box):
                box.setCurrentIndex(box.findData(found.pop()) if len(found) == 1 else -1)
        self._align()


class AddPanelDialog(QDialog):
    """Asks what the lid of the panel shows; its labels count on from those there are."""

    added = Signal(str)

    def __init__(self, parent: QWidget, document: Document, style: Style) -> None:
        super().__init__(parent)
        self._document = document
        self.setObjectName("addPanelDialog")
        self.setWindowTitle(self.tr("Add panel"))
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.questions = LidQuestions(style, next_label(document.vehicle))
        number = len(document.vehicle.panels) + 1
        self.name = QLineEdit(self.tr("Panel {n}").format(n=number))
        self.name.setObjectName("addPanelName")
        self.name.setAccessibleName(self.tr("Name of the panel"))
        self.name.setMinimumWidth(self.fontMetrics().height() * 16)
        self.place = Choice()
        self.place.setObjectName("addPanelPlace")
        self.place.setAccessibleName(self.tr("Where the panel sits"))
        for value, words in choices.places():
            self.place.addItem(words, value)
        self._lay_out()
        self.questions.finished.connect(self._add)
        self.questions.rows.setFocus(Qt.FocusReason.TabFocusReason)
        self.questions.rows.selectAll()

    def _lay_out(self) -> None:
        self.questions.add_row(self.tr("&Name"), self.name)
        self.questions.add_row(self.tr("&Where it sits"), self.place)
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Cancel)
        add = buttons.addButton(self.tr("&Add panel"), QDialogButtonBox.ButtonRole.AcceptRole)
        add.setObjectName("addPanelAdd")
        buttons.accepted.connect(self._add)
        buttons.rejected.connect(self.reject)
        column = QVBoxLayout(self)
        column.setSpacing(space(self, "medium"))
        area = scrolled(self.questions)
        area.setObjectName("addPanelScroll")
        column.addWidget(area, 1)
        column.addWidget(buttons)
        order = (*self.questions.in_order(), self.name, self.place, *self.questions.lid_fields(),
                 add, *buttons.buttons())  # fmt: skip
        for before, after in pairwise(order):
            QWidget.setTabOrder(before, after)
        em = self.fontMetrics().height()
        room = self.screen().availableSize()
        self.resize(min(em * 46, room.width() * 9 // 10), min(em * 42, room.height() * 9 // 10))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter is for the field it is pressed in: a box would take it for “Add” at once."""
        if event.key() not in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            super().keyPressEvent(event)
        elif isinstance(button := self.focusWidget(), QPushButton):
            button.click()

    def _add(self) -> None:
        if self.questions.problem():
            self.questions.show_problem()
            return
        name = clean(self.name.text()) or self.tr("Panel {n}").format(n=1)
        document, lid = self._document, self.questions.lid()
        where = {"place": self.place.currentData()}
        if document.apply(self.tr("Add panel"), edits.add_lid, name, lid, **where):
            self.added.emit(document.vehicle.panels[-1].id)
            self.accept()
