"""The first page: four doors, what was open, and behind a door the questions about a new lid.

In: recent files and demo vehicles; out: signals that say what was chosen. A new vehicle is told by
`asked`, with name, system voltage [V] and the `Lid`.
"""

from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QDragEnterEvent, QDropEvent, QImage, QKeyEvent, QResizeEvent
from PySide6.QtWidgets import (
    QHBoxLayout,
    QLabel,
    QLayout,
    QPushButton,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from fusemap.text import Style
from fusemap.window.forms.form import scrolled
from fusemap.window.parts.dropped import take_copy
from fusemap.window.parts.flow import Flow
from fusemap.window.parts.headings import heading_label, muted_label
from fusemap.window.photo import taking
from fusemap.window.start.door_pictures import (
    Draw,
    draw_accessory,
    draw_drain,
    draw_look,
    draw_photo,
)
from fusemap.window.start.doors import Door, DoorRow
from fusemap.window.start.new_vehicle import NewVehicle
from fusemap.window.start.recent import RecentLooks, RecentRow
from fusemap.window.style.theme import Theme, space
from fusemap.window.texts.plain import plain_tip

MOST_RECENT = 5
"""So many files are offered to go on with; the menu has them all."""


class StartPage(QStackedWidget):
    """What the window shows while no vehicle is open, and for a new one."""

    asked = Signal(str, int, object)
    back = Signal()
    open_file = Signal()
    open_path = Signal(object)
    open_demo = Signal(str)
    door_opened = Signal(str)
    """One of the doors: accessory, drain, photo, look."""
    picture_dropped = Signal(object)
    """A picture was let go here: its file, or itself."""

    def __init__(self, style: Style) -> None:
        super().__init__()
        self.setObjectName("startPage")
        self.setAccessibleName(self.tr("Start"))
        self.setAcceptDrops(True)
        self._style = style
        self._came_by_door = False
        self.new = NewVehicle(style)
        self.new.asked.connect(self.asked)
        self.new.back.connect(self._go_back)
        self.doors = DoorRow(self._make_doors())
        self._recent = QVBoxLayout()
        self._looks = RecentLooks(self)
        self._demos = Flow(space(self))
        self._front = scrolled(self._make_front())
        inside = QWidget()
        column = QVBoxLayout(inside)
        column.setContentsMargins(*(space(self, "wide"),) * 4)
        column.addWidget(self.new)
        self.addWidget(self._front)
        self.addWidget(scrolled(inside))

    # --- the doors ------------------------------------------------------------------------------

    def _make_doors(self) -> list[Door]:
        kinds: tuple[tuple[str, str, str, Draw], ...] = (
            (
                "accessory",
                self.tr("Add an accessory"),
                self.tr(
                    "A camera, a socket, a cool box: where it may take its power, with which fuse "
                    "and cable."
                ),
                draw_accessory,
            ),
            (
                "drain",
                self.tr("What drains my battery?"),
                self.tr("Read what it draws asleep, then fuse by fuse to the circuit."),
                draw_drain,
            ),
            (
                "photo",
                self.tr("I have a photo of the lid"),
                self.tr("Lay the grid on the picture, then type what each fuse is for."),
                draw_photo,
            ),
            (
                "look",
                self.tr("Only look"),
                self.tr("A family estate with faults in it, and a tour through the job."),
                draw_look,
            ),
        )
        doors = []
        for number, (key, title, words, draw) in enumerate(kinds, start=1):
            door = Door(key, number, title, words, draw)
            door.clicked.connect(partial(self._open_door, key))
            doors.append(door)
        return doors

    def _open_door(self, key: str, checked: bool = False) -> None:
        self.door_opened.emit(key)

    def _make_front(self) -> QWidget:
        front = QWidget()
        front.setObjectName("startDoors")
        column = self._column = QVBoxLayout(front)
        self._keep_together()
        column.setSpacing(space(self))
        column.addWidget(heading_label(self.tr("What is to be done?")))
        column.addWidget(
            muted_label(
                self.tr(
                    "Map the fuse panel, see what every fuse and cable carries, and how long the "
                    "vehicle may stand."
                )
            )
        )
        column.addSpacing(space(self))
        column.addWidget(self.doors)
        column.addSpacing(space(self, "large"))
        column.addLayout(self._make_recent())
        column.addStretch(1)
        column.addLayout(self._make_foot())
        return front

    def resizeEvent(self, event: QResizeEvent) -> None:
        """On a large screen nothing is wider than the doors beside each other."""
        super().resizeEvent(event)
        self._keep_together()

    def _keep_together(self) -> None:
        edge = space(self, "wide")
        right = max(edge, self.width() - edge - self.doors.widest())
        self._column.setContentsMargins(edge, edge, right, space(self, "large"))

    def _make_recent(self) -> QVBoxLayout:
        self._heading = heading = QLabel(self.tr("Go on with"))
        font = heading.font()
        font.setBold(True)
        heading.setFont(font)
        self.back_button = self._button("startBack", "", self.back.emit)
        self.back_button.setAccessibleName(heading.text())
        row = QHBoxLayout()
        row.addWidget(heading)
        row.addWidget(self.back_button)
        row.addStretch(1)
        row.addWidget(self._button("startOpen", self.tr("&Open a file…"), self.open_file.emit))
        column = QVBoxLayout()
        column.setSpacing(space(self, "small"))
        column.addLayout(row)
        column.addLayout(self._recent)
        return column

    def _make_foot(self) -> QVBoxLayout:
        lid = self._button(
            "startLid", self.tr("Count the &rows and columns of a lid"), self.ask_lid
        )
        first = QHBoxLayout()
        first.addWidget(lid)
        first.addStretch(1)
        ways = QHBoxLayout()
        words = muted_label_line(self.tr("Demo vehicles:"))
        ways.addWidget(words, 0, Qt.AlignmentFlag.AlignTop)
        ways.addLayout(self._demos, 1)
        column = QVBoxLayout()
        column.setSpacing(space(self))
        column.addLayout(first)
        column.addLayout(ways)
        column.addWidget(
            muted_label(
                self.tr(
                    "Keep to the vehicle maker’s instructions. Airbags, brakes, steering: leave "
                    "alone."
                )
            )
        )
        return column

    def _button(self, key: str, text: str, do: Callable[[], object]) -> QPushButton:
        button = QPushButton(text)
        button.setObjectName(key)
        button.setMinimumHeight(self.fontMetrics().height() * 2)
        button.clicked.connect(lambda: do())
        return button

    # --- what is shown --------------------------------------------------------------------------

    def show_choices(
        self,
        recent: Sequence[Path],
        demos: Sequence[tuple[str, str, str]],
        theme: Theme,
        *,
        in_hand: str,
    ) -> None:
        """Offer these files, these demo vehicles (key, title, story), and what is in hand."""
        self.back_button.setVisible(bool(in_hand))
        self.back_button.setText(in_hand.replace("&", "&&"))
        self.back_button.setAccessibleName(f"{self._heading.text()} {in_hand}")
        self._heading.setVisible(bool(recent or in_hand))
        _clear(self._recent)
        shown = recent[:MOST_RECENT]
        names = [path.stem for path in shown]
        rows = [RecentRow(p, self._style, with_folder=names.count(p.stem) > 1) for p in shown]
        for row in rows:
            row.clicked.connect(partial(self._open_recent, row.path))
            self._recent.addWidget(row)
        self._looks.take(rows, theme)
        _clear(self._demos)
        for key, title, story in demos:
            button = self._button(f"demo_{key}", title.replace("&", "&&"), partial(self._demo, key))
            button.setToolTip(plain_tip(story))
            button.setAccessibleDescription(story)
            self._demos.addWidget(button)

    def show_doors(self) -> None:
        """Show the doors, the keyboard on the first."""
        self.setCurrentIndex(0)
        self.doors.doors[0].setFocus(Qt.FocusReason.TabFocusReason)

    def ask_lid(self, *, by_door: bool = True, picture: QImage | None = None) -> None:
        """Show the questions about a lid, beside its picture where there is one.

        `by_door`: the way back is to the doors.
        """
        self._came_by_door = by_door
        self.new.show_picture(picture)
        self.new.back_button.setVisible(True)
        self.setCurrentIndex(1)
        self.new.begin()

    def _go_back(self) -> None:
        if self._came_by_door:
            self.show_doors()
        else:
            self.back.emit()

    def _open_recent(self, path: Path, checked: bool = False) -> None:
        self.open_path.emit(path)

    def _demo(self, key: str) -> None:
        self.open_demo.emit(key)

    # --- keys and drops -------------------------------------------------------------------------

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """A door's number opens it, the arrows go from door to door."""
        if self.currentIndex() == 0:
            number = event.text()
            doors = self.doors.doors
            if number.isdecimal() and 1 <= int(number) <= len(doors):
                doors[int(number) - 1].click()
                return
        super().keyPressEvent(event)

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        """A picture of a lid may be dropped anywhere here; a vehicle file goes to the window."""
        if taking.holds_picture(event.mimeData()):
            take_copy(event)
        else:
            event.ignore()

    def dropEvent(self, event: QDropEvent) -> None:
        """As through the door for a photo."""
        picture = taking.picture_in(event.mimeData())
        if picture is not None:
            take_copy(event)
            self.picture_dropped.emit(picture)
        else:
            event.ignore()


def muted_label_line(text: str) -> QLabel:
    """Words of lesser weight in one line."""
    label = muted_label(text)
    label.setWordWrap(False)
    return label


def _clear(row: QLayout) -> None:
    while (old := row.takeAt(0)) is not None:
        if (widget := old.widget()) is not None:
            widget.hide()
            widget.deleteLater()
