"""The questions about a new vehicle: its lid, its voltage, its name, beside the lid's picture.

Out: `asked`, with name, system voltage [V] and the `Lid`; `back`, where it is not made after all.
"""

from itertools import pairwise

from PySide6.QtCore import QPoint, QRect, Qt, Signal
from PySide6.QtGui import QImage, QPainter, QPaintEvent
from PySide6.QtWidgets import QHBoxLayout, QLineEdit, QPushButton, QVBoxLayout, QWidget

from fusemap.text import Style
from fusemap.vehicle.edits.panels import Lid
from fusemap.vehicle.texts import clean
from fusemap.window.forms import choices
from fusemap.window.panel.lid_questions import LidQuestions
from fusemap.window.parts.choice import Choice
from fusemap.window.parts.headings import heading_label, muted_label
from fusemap.window.style.theme import space


class NewVehicle(QWidget):
    """Asks for the lid's rows and columns and, who likes, for all else that it shows."""

    asked = Signal(str, int, object)
    back = Signal()

    def __init__(self, style: Style) -> None:
        super().__init__()
        self.setObjectName("newVehicle")
        self.setAccessibleName(self.tr("New vehicle"))
        self.questions = LidQuestions(style)
        self.rows, self.columns = self.questions.rows, self.questions.columns
        self.family = self.questions.family
        self.system = Choice()
        self.system.setObjectName("newSystem")
        self.system.setAccessibleName(self.tr("System voltage"))
        for value, words in choices.system_voltages():
            self.system.addItem(words, value)
        self.name = QLineEdit()
        self.name.setObjectName("newName")
        self.name.setAccessibleName(self.tr("Name of the vehicle"))
        self.name.setPlaceholderText(self.tr("for instance: blue van"))
        self.name.setMinimumWidth(self.fontMetrics().height() * 16)
        self.name.returnPressed.connect(self._create)
        self._fresh = (self.system.currentData(), self.questions.lid())
        self._last: tuple[int, Lid] | None = None
        self.questions.finished.connect(self._create)
        self.picture = _Picture()
        self._make_buttons()
        self._lay_out()

    def _make_buttons(self) -> None:
        self.button = QPushButton(self.tr("Crea&te vehicle"))
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
        heading = heading_label(self.tr("How many rows and columns has the lid?"))
        hint = muted_label(
            self.tr(
                "Count every place on the lid's drawing, gaps and relays too; Enter then makes the "
                "vehicle. The rest can be said here or later, and more panels be added."
            )
        )
        self.questions.add_row(self.tr("&System"), self.system)
        self.questions.add_row(self.tr("&Name"), self.name)
        buttons = QHBoxLayout()
        buttons.addWidget(self.button)
        buttons.addWidget(self.like_button)
        buttons.addWidget(self.back_button)
        buttons.addStretch(1)
        column = QVBoxLayout(self)
        column.setSpacing(space(self, "medium"))
        column.addWidget(heading)
        column.addWidget(hint)
        beside = QHBoxLayout()
        beside.setSpacing(space(self, "large"))
        beside.addWidget(self.questions, 3)
        beside.addWidget(self.picture, 4)
        column.addLayout(beside, 1)
        column.addLayout(buttons)
        order = (*self.questions.in_order(), self.system, self.name, *self.questions.lid_fields(),
                 self.button, self.like_button, self.back_button)  # fmt: skip
        for before, after in pairwise(order):
            QWidget.setTabOrder(before, after)

    def start_afresh(self) -> None:
        """Ask anew, as if no vehicle had been made; the last one's lid may be chosen."""
        self._answer(*self._fresh)
        self.name.clear()
        self.like_button.setVisible(self._last is not None)

    def show_picture(self, picture: QImage | None) -> None:
        """Show the lid's picture beside the questions, to count on; `None` for none."""
        self.picture.show_image(picture)

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

    def _create(self) -> None:
        if self.questions.problem():
            self.questions.labels.setFocus(Qt.FocusReason.OtherFocusReason)
            return
        name = clean(self.name.text()) or self.tr("My vehicle")
        self._last = (self.system.currentData(), self.questions.lid())
        self.asked.emit(name, *self._last)


class _Picture(QWidget):
    """The lid's picture, as large as there is room."""

    def __init__(self) -> None:
        super().__init__()
        self.setObjectName("newPicture")
        self.setAccessibleName(self.tr("Photo of the lid"))
        self._image: QImage | None = None
        self.hide()

    def show_image(self, image: QImage | None) -> None:
        """Another picture, or none."""
        self._image = image
        self.setVisible(image is not None)
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        """The whole picture, upright, at the head of the room."""
        if self._image is None:
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
        size = self._image.size().scaled(self.size(), Qt.AspectRatioMode.KeepAspectRatio)
        painter.drawImage(QRect(QPoint((self.width() - size.width()) // 2, 0), size), self._image)
