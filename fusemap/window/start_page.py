"""The first page: start from the lid of a fuse panel, open a file, or look at a demo vehicle.

In: recent files and demo vehicles; out: signals that say what was chosen.
"""

from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QPalette
from PySide6.QtWidgets import (
    QFrame,
    QGridLayout,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from fusemap.text import Style
from fusemap.window.forms.form import scrolled
from fusemap.window.new_vehicle import NewVehicle, heading_label, muted_label
from fusemap.window.style.theme import space
from fusemap.window.texts.plain import plain_tip


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
