"""The questions about a new vehicle: its lid, its voltage, its name; the lid drawn on its picture.

Out: `asked`, with name, system voltage [V] and the `Lid`; `back`, where it is not made after all.
"""

from itertools import pairwise

from PySide6.QtCore import QMargins, QSize, Qt, Signal
from PySide6.QtGui import QImage, QResizeEvent
from PySide6.QtWidgets import QBoxLayout, QLineEdit, QPushButton, QVBoxLayout, QWidget

from fusemap.text import Style
from fusemap.vehicle.edits.panels import Lid
from fusemap.vehicle.texts import clean
from fusemap.window.forms import choices
from fusemap.window.panel.lid_questions import LidQuestions
from fusemap.window.parts.choice import Choice
from fusemap.window.parts.flow import Flow
from fusemap.window.parts.headings import heading_label, muted_label
from fusemap.window.parts.layouts import turn
from fusemap.window.photo.fit_view import Corners
from fusemap.window.photo.lid_on_photo import LidOnPhoto
from fusemap.window.style.sheet import as_main
from fusemap.window.style.theme import space


class NewVehicle(QWidget):
    """Asks for the lid's rows and columns and, who likes, for all else that it shows."""

    asked = Signal(str, int, object)
    back = Signal()

    def __init__(self, style: Style) -> None:
        super().__init__()
        self.setObjectName("newVehicle")
        self.setAccessibleName(self.tr("New vehicle"))
        self._style = style
        self.questions = LidQuestions(style)
        self.rows, self.columns = self.questions.rows, self.questions.columns
        self.family = self.questions.family
        offered = choices.system_voltages()
        self.system = Choice.among("newSystem", self.tr("System voltage"), offered)
        self.name = QLineEdit()
        self.name.setObjectName("newName")
        self.name.setAccessibleName(self.tr("Name of the vehicle"))
        self.name.setPlaceholderText(self.tr("for instance: blue van"))
        self.name.setMinimumWidth(self.fontMetrics().height() * 16)
        self.name.returnPressed.connect(self._create)
        self._fresh = (self.system.currentData(), self.questions.lid())
        self._last: tuple[int, Lid] | None = None
        self.questions.finished.connect(self._go_on)
        self.on_photo: LidOnPhoto | None = None
        self._drawn: tuple[QImage, Corners] | None = None
        """The picture drawn on last: whoever comes back to it finds the grid as it lay."""
        self.turn_button = QPushButton(self.tr("T&urn the grid"))
        self.turn_button.setObjectName("newTurn")
        self.turn_button.setToolTip(
            self.tr("A quarter: for a photo that was taken from another side")
        )
        self.turn_button.clicked.connect(self._turn)
        self.turn_button.hide()
        self._make_buttons()
        self._lay_out()

    def _make_buttons(self) -> None:
        self.button = as_main(QPushButton(self.tr("Crea&te vehicle")))
        self.button.setObjectName("newCreate")
        self.button.setDefault(True)
        self.button.clicked.connect(self._create)
        self.like_button = QPushButton(self.tr("Li&ke the last one"))
        self.like_button.setObjectName("newLikeLast")
        self.like_button.setToolTip(self.tr("The lid of the vehicle that was made last, to change"))
        self.like_button.clicked.connect(self._answer_like_last)
        self.like_button.hide()
        self.back_button = QPushButton(self.tr("&Back"))
        self.back_button.setObjectName("newBack")
        self.back_button.clicked.connect(self.back)

    def _lay_out(self) -> None:
        self._heading, self._hint = heading_label(""), muted_label("")
        self._say()
        self.questions.add_row(self.tr("&System"), self.system)
        self.questions.add_row(self.tr("&Name"), self.name)
        buttons = Flow(space(self))
        for each in (self.button, self.like_button, self.turn_button, self.back_button):
            buttons.add(each)
        column = QVBoxLayout(self)
        column.setSpacing(space(self, "medium"))
        column.addWidget(self._heading)
        column.addWidget(self._hint)
        self._beside = QBoxLayout(QBoxLayout.Direction.LeftToRight)
        self._beside.setSpacing(space(self, "large"))
        self._beside.addWidget(self.questions, 3)
        column.addLayout(self._beside, 1)
        column.addWidget(buttons)
        order = (*self.questions.in_order(), self.system, self.name, *self.questions.lid_fields(),
                 self.button, self.like_button, self.turn_button, self.back_button)  # fmt: skip
        for before, after in pairwise(order):
            QWidget.setTabOrder(before, after)

    def minimumSizeHint(self) -> QSize:
        """As narrow as the wider of the questions and the picture."""
        hint = super().minimumSizeHint()
        if self.on_photo is None:
            return hint
        parts = (self.questions, self.on_photo, self.button)
        wide = max(each.minimumSizeHint().width() for each in parts)
        return QSize(wide + self._edges(), hint.height())

    def resizeEvent(self, event: QResizeEvent) -> None:
        """The picture beside the questions where there is room for both, else below them."""
        super().resizeEvent(event)
        self._turn_parts()

    def _turn_parts(self) -> None:
        if self.on_photo is None:
            turn(self._beside, True)
            return
        parts = (self.questions, self.on_photo)
        both = sum(each.minimumSizeHint().width() for each in parts) + self._beside.spacing()
        turn(self._beside, self.width() - self._edges() >= both)

    def _edges(self) -> int:
        """What is left free on both sides [px]."""
        layout = self.layout()
        edges = QMargins() if layout is None else layout.contentsMargins()
        return edges.left() + edges.right()

    def start_afresh(self) -> None:
        """Ask anew, as if no vehicle had been made; the last one's lid may be chosen."""
        self._answer(*self._fresh)
        self._drawn = None
        self.name.clear()
        self.like_button.setVisible(self._last is not None)

    def go_on_from(self, earlier: "NewVehicle") -> None:
        """Answer as far as another page was answered, right or wrong: one in another language."""
        self._last = earlier._last
        self._answer(earlier.system.currentData(), earlier.questions.lid())
        for mine, its in ((self.rows, earlier.rows), (self.columns, earlier.columns)):
            mine.lineEdit().setText(its.text())
        self.name.setText(earlier.name.text())
        self.like_button.setVisible(self._last is not None)
        if self.on_photo is not None and earlier.on_photo is not None:
            self.on_photo.set_corners(earlier.on_photo.corners)

    def _say(self) -> None:
        """What is asked: the size of a lid, or its grid on the picture."""
        if self.on_photo is None:
            self._heading.setText(self.tr("How many rows and columns has the lid?"))
            self._hint.setText(
                self.tr(
                    "Count every place on the lid's drawing, gaps and relays too; Enter then makes "
                    "the vehicle. The rest can be said here or later, and more panels be added."
                )
            )
            return
        self._heading.setText(self.tr("Draw the grid on the picture"))
        by_mouse = self.tr(
            "Drag the four corners onto those of the panel, also outside the picture; drag a line "
            "until the rows or columns fit; click on gaps and relay places."
        )
        by_keys = self.tr(
            "By keyboard: Tab from corner to corner and to the places, arrows move, Ctrl and "
            "arrows make rows and columns, Space makes a gap."
        )
        self._hint.setText(f"{by_mouse}\n{by_keys}")

    def show_picture(self, picture: QImage | None) -> None:
        """Let the lid be drawn on its picture; `None` for none."""
        if self.on_photo is not None:
            self._drawn = self.on_photo.image, self.on_photo.corners
            self._beside.removeWidget(self.on_photo)
            self.on_photo.hide()
            self.on_photo.deleteLater()
            self.on_photo = None
        if picture is not None:
            grid = self.questions.grid
            self.on_photo = LidOnPhoto(picture, self._style, grid.place_words)
            self.on_photo.done.connect(self._create)
            if self._drawn is not None and self._drawn[0] == picture:
                self.on_photo.set_corners(self._drawn[1])
            self._beside.addWidget(self.on_photo, 5)
            QWidget.setTabOrder(self.questions.lid_fields()[1], self.on_photo)
            QWidget.setTabOrder(self.on_photo, self.button)
        self.questions.draw_on(self.on_photo)
        self.turn_button.setVisible(picture is not None)
        self._say()
        self._turn_parts()

    def _turn(self) -> None:
        if self.on_photo is not None:
            self.on_photo.turn()

    def _answer_like_last(self) -> None:
        if self._last is not None:
            self._answer(*self._last)
            self.begin()

    def _answer(self, system_v: int, lid: Lid) -> None:
        self.system.setCurrentIndex(self.system.findData(system_v))
        self.questions.answer(lid)

    def begin(self) -> None:
        """Put the keyboard on the first question, to be typed over."""
        self.rows.setFocus(Qt.FocusReason.TabFocusReason)
        self.rows.selectAll()

    def _go_on(self) -> None:
        """The size is said: now its grid on the picture, else make the vehicle."""
        if self.on_photo is None:
            self._create()
        else:
            self.on_photo.setFocus(Qt.FocusReason.TabFocusReason)

    def _create(self) -> None:
        if self.questions.problem():
            self.questions.show_problem()
            return
        name = clean(self.name.text()) or self.tr("My vehicle")
        self._last = (self.system.currentData(), self.questions.lid())
        self.asked.emit(name, *self._last)
