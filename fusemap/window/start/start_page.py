"""The first page: four doors, what was open, and behind a door the questions about a new lid.

In: recent files and demo vehicles; out: signals that say what was chosen. A new vehicle is told by
`asked`, with name, system voltage [V] and the `Lid`.
"""

from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QDragEnterEvent, QDropEvent, QImage, QKeyEvent, QResizeEvent
from PySide6.QtWidgets import (
    QHBoxLayout,
    QLabel,
    QLayout,
    QPushButton,
    QStackedWidget,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from fusemap.text import Text
from fusemap.window.forms.form import scrolled
from fusemap.window.parts.dropped import take_copy
from fusemap.window.parts.flow import Flow
from fusemap.window.parts.headings import muted_label
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
from fusemap.window.start.recent import RecentLooks, RecentRow, SaidRow
from fusemap.window.style.icons import icon
from fusemap.window.style.letters import FIGURE, letters
from fusemap.window.style.measures import px
from fusemap.window.style.sheet import as_icon, as_link
from fusemap.window.style.theme import Theme, space
from fusemap.window.texts.plain import plain_tip

MOST_RECENT = 5
"""So many files are offered to go on with; the menu has them all."""
EDGE = 64
"""Left and right of the page, where it is wide enough [px of the design]."""
MOST_WIDE = 1440
"""No wider than so the page is filled; on a larger screen it stands in the middle [px of the
design]."""


class StartPage(QStackedWidget):
    """What the window shows while no vehicle is open, and for a new one."""

    asked = Signal(str, int, object)
    back = Signal()
    menu_wanted = Signal()
    find_wanted = Signal()
    open_file = Signal()
    open_path = Signal(object)
    open_demo = Signal(str)
    door_opened = Signal(str)
    """One of the doors: accessory, drain, photo, look."""
    picture_dropped = Signal(object)
    """A picture was let go here: its file, or itself."""

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        style = theme.style
        self.setObjectName("startPage")
        self.setAccessibleName(self.tr("Start"))
        self.setAcceptDrops(True)
        self._came_by_door = False
        self.new = NewVehicle(style)
        self.new.asked.connect(self.asked)
        self.new.back.connect(self._go_back)
        self.doors = DoorRow(self._make_doors())
        self._recent = QVBoxLayout()
        self._looks = RecentLooks(self)
        self._demos = Flow(space(self))
        self._front = scrolled(self._make_front(theme))

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

    def _make_front(self, theme: Theme) -> QWidget:
        front = QWidget()
        front.setObjectName("startDoors")
        whole = QVBoxLayout(front)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(0)
        whole.addLayout(self._make_head(theme))
        column = self._column = QVBoxLayout()
        whole.addLayout(column, 1)

        column.setSpacing(space(self))
        heading = QLabel(self.tr("What is to be done?"))
        heading.setFont(letters(self, FIGURE, strong=True))
        heading.setWordWrap(True)
        column.addWidget(heading)
        column.addWidget(
            muted_label(
                self.tr(
                    "Map the fuse panel, see what every fuse and cable carries, and how long the "
                    "vehicle may stand."
                )
            )
        )
        column.addSpacing(px(self, 12))
        column.addWidget(self.doors)
        column.addSpacing(px(self, 24))
        column.addLayout(self._make_recent())
        column.addStretch(1)
        column.addLayout(self._make_foot())
        return front

    def _make_head(self, theme: Theme) -> QHBoxLayout:
        """Where the rail is on other pages: the menu, and the way to anything by its name."""
        size = px(self, 18)
        self.menu = as_icon(QToolButton())
        self.menu.setObjectName("startMenu")
        self.menu.setAccessibleName(self.tr("Menu"))
        self.menu.setToolTip(self.tr("Menu"))
        self.menu.setIcon(icon("menu", theme.colour("text"), size))
        self.menu.clicked.connect(lambda: self.menu_wanted.emit())
        find = self._button("startFind", self.tr("Find anything"), self.find_wanted.emit)
        find.setIcon(icon("search", theme.colour("muted_text"), size))
        find.setMinimumWidth(px(self, 240))
        for each in (self.menu, find):
            each.setIconSize(QSize(size, size))
        head = QHBoxLayout()
        head.setContentsMargins(px(self, 8), px(self, 8), px(self, 16), 0)
        head.addWidget(self.menu)
        head.addStretch(1)
        head.addWidget(find)
        return head

    def resizeEvent(self, event: QResizeEvent) -> None:
        """The doors keep a distance from the edges, as far as there is room for it."""
        super().resizeEvent(event)
        self._give_room()

    def _give_room(self) -> None:
        edge = max(space(self, "wide"), min(px(self, EDGE), self.width() // 21))
        edge = max(edge, (self.width() - px(self, MOST_WIDE)) // 2)
        self._column.setContentsMargins(edge, px(self, 12), edge, px(self, 16))

    def _make_recent(self) -> QVBoxLayout:
        self._heading = heading = QLabel(self.tr("Go on with"))
        heading.setFont(letters(self, strong=True))
        row = QHBoxLayout()
        row.addWidget(heading)
        row.addStretch(1)
        row.addWidget(as_link(self._button("startOpen", self.tr("&Open a file…"),
                                           self.open_file.emit)))  # fmt: skip
        column = QVBoxLayout()
        column.setSpacing(px(self, 4))
        column.addLayout(row)
        column.addLayout(self._recent)
        self._recent.setSpacing(px(self, 4))
        return column

    def _make_foot(self) -> QVBoxLayout:
        lid = self._button(
            "startLid", self.tr("Count the &rows and columns of a lid"), self.ask_lid
        )
        first = QHBoxLayout()
        first.setSpacing(px(self, 4))
        first.addWidget(muted_label_line(self.tr("No photo, no list?")))
        first.addWidget(as_link(lid))
        first.addStretch(1)
        ways = QHBoxLayout()
        self._demos_are = muted_label_line(self.tr("Demo vehicles:"))
        # as high as the line of buttons beside it: both stand on one line of words
        self._demos_are.setFixedHeight(lid.sizeHint().height())
        ways.addWidget(self._demos_are, 0, Qt.AlignmentFlag.AlignTop)
        ways.addWidget(self._demos, 1)

        column = QVBoxLayout()
        column.setSpacing(px(self, 4))
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
        saved: Path | None = None,
        left: Text | None = None,
    ) -> None:
        """Offer these files, these demo vehicles (key, title, story), and what is in hand.

        `saved` is the file that what is in hand stands in as it is: it has its row there. `left` is
        what comes before all else there: a fuse that was left out.
        """
        first = not (recent or in_hand)
        words = self.tr("Look at a demo vehicle") if first else self.tr("Go on with")
        self._heading.setText(words)
        _clear(self._recent)
        for link in self._demos.widgets():
            link.hide()
            link.deleteLater()
        if in_hand and saved not in recent[:MOST_RECENT]:
            words = self.tr("open in this window")
            if left is not None:
                words = f"⚠ {theme.style.show(left)}"
            row = SaidRow(theme, "startBack", in_hand, words)
            row.clicked.connect(lambda: self.back.emit())
            self._recent.addWidget(row)
        self._show_files(recent[:MOST_RECENT], theme)
        self._demos_are.setVisible(not first)
        for demo in demos:
            if first:
                self._recent.addWidget(self._demo_row(theme, *demo))
            else:
                self._demos.add(self._demo_link(*demo))

    def _show_files(self, files: Sequence[Path], theme: Theme) -> None:
        names = [path.stem for path in files]
        rows = [RecentRow(p, theme, with_folder=names.count(p.stem) > 1) for p in files]
        for row in rows:
            row.clicked.connect(partial(self._open_recent, row.path))
            self._recent.addWidget(row)
        self._looks.take(rows, theme)

    def _demo_row(self, theme: Theme, key: str, title: str, story: str) -> QPushButton:
        """A demo vehicle with the beginning of its story, where there is nothing else yet."""
        row = SaidRow(theme, f"demo_{key}", title, story.split(". ")[0].rstrip(".") + ".", story)
        row.clicked.connect(partial(self._demo, key))
        return row

    def _demo_link(self, key: str, title: str, story: str) -> QPushButton:
        link = as_link(
            self._button(f"demo_{key}", title.replace("&", "&&"), partial(self._demo, key))
        )
        link.setToolTip(plain_tip(story))
        link.setAccessibleDescription(story)
        return link

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

    def go_on_from(self, earlier: "StartPage") -> bool:
        """Show the questions as they were answered on an earlier page; False where none were."""
        asking = earlier.currentIndex() != 0
        if asking:
            drawn = earlier.new.on_photo
            picture = None if drawn is None else drawn.image
            self.ask_lid(by_door=earlier._came_by_door, picture=picture)
        self.new.go_on_from(earlier.new)
        return asking

    def _go_back(self) -> None:
        if self._came_by_door:
            self.show_doors()
        else:
            self.back.emit()

    def _open_recent(self, path: Path, checked: bool = False) -> None:
        self.open_path.emit(path)

    def _demo(self, key: str, checked: bool = False) -> None:
        self.open_demo.emit(key)

    # --- keys and drops -------------------------------------------------------------------------

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """A door's number opens it, the arrows go from door to door; Escape leads back to them."""
        if self.currentIndex() != 0 and event.key() == Qt.Key.Key_Escape:
            self._go_back()
            return
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
