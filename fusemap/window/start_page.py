"""The first page: start from the lid of a fuse panel, open a file, or look at a demo vehicle.

In: recent files and demo vehicles; out: signals that say what was chosen. A new vehicle is told by
`asked`, with name, system voltage [V] and the `Lid`.
"""

from collections.abc import Callable, Sequence
from functools import partial
from itertools import pairwise
from pathlib import Path

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QPalette
from PySide6.QtWidgets import (
    QFrame,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from fusemap.text import Style
from fusemap.vehicle.edits.panels import Lid
from fusemap.vehicle.texts import clean
from fusemap.window.forms import choices
from fusemap.window.forms.form import scrolled
from fusemap.window.panel.lid_questions import LidQuestions
from fusemap.window.parts.choice import Choice
from fusemap.window.style.theme import space
from fusemap.window.texts.plain import plain_tip


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
        column.addWidget(self.questions, 1)
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


class StartPage(QWidget):
    """What the window shows while no vehicle is open, and for a new one."""

    asked = Signal(str, int, object)
    back = Signal()
    open_file = Signal()
    open_path = Signal(object)
    open_demo = Signal(str)

    def __init__(self, style: Style) -> None:
        super().__init__()
        self.setObjectName("startPage")
        self.setAccessibleName(self.tr("Start"))
        self.new = NewVehicle(style)
        self.new.asked.connect(self.asked)
        self.new.back.connect(self.back)
        self._recent = QVBoxLayout()
        self._demos = QVBoxLayout()
        inside = QWidget()
        grid = QGridLayout(inside)
        edge = space(self, "wide")
        grid.setContentsMargins(edge, edge, edge, edge)
        grid.setHorizontalSpacing(edge)
        grid.addWidget(self.new, 0, 0)
        line = QFrame()
        line.setFrameShape(QFrame.Shape.VLine)
        line.setFrameShadow(QFrame.Shadow.Plain)
        line.setForegroundRole(QPalette.ColorRole.Mid)
        grid.addWidget(line, 0, 1)
        grid.addLayout(self._other_ways(), 0, 2)
        grid.setColumnStretch(0, 3)
        grid.setColumnStretch(2, 2)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(scrolled(inside))

    def show_choices(
        self, recent: Sequence[Path], demos: Sequence[tuple[str, str, str]], *, can_go_back: bool
    ) -> None:
        """Offer these files, and these demo vehicles: key, title, story."""
        self.new.back_button.setVisible(can_go_back)
        _clear(self._recent)
        for path in recent:
            button = self._choice(f"recent_{path.stem}", path.stem, partial(self._open, path))
            button.setToolTip(plain_tip(str(path)))
            self._recent.addWidget(button)
        _clear(self._demos)
        for key, title, story in demos:
            self._demos.addWidget(self._choice(f"demo_{key}", title, partial(self._open_demo, key)))
            self._demos.addWidget(muted_label(story))

    def _other_ways(self) -> QVBoxLayout:
        button = QPushButton(self.tr("&Open a file…"))
        button.setObjectName("startOpen")
        button.clicked.connect(self.open_file)
        column = QVBoxLayout()
        column.setSpacing(space(self, "medium"))
        column.addWidget(heading_label(self.tr("Look at a demo vehicle")))
        column.addLayout(self._demos)
        column.addSpacing(space(self, "large"))
        column.addWidget(heading_label(self.tr("Go on with a vehicle")))
        column.addWidget(button, 0, Qt.AlignmentFlag.AlignLeft)
        column.addLayout(self._recent)
        column.addStretch(1)
        return column

    def _choice(self, key: str, text: str, do: Callable[[], None]) -> QPushButton:
        button = QPushButton(text.replace("&", "&&"))
        button.setObjectName(key)
        button.setStyleSheet("text-align: left; padding: 0.4em 0.8em;")
        button.clicked.connect(do)
        return button

    def _open(self, path: Path, checked: bool = False) -> None:
        self.open_path.emit(path)

    def _open_demo(self, key: str, checked: bool = False) -> None:
        self.open_demo.emit(key)


def _clear(column: QVBoxLayout) -> None:
    while (old := column.takeAt(0)) is not None:
        if (widget := old.widget()) is not None:
            widget.deleteLater()
