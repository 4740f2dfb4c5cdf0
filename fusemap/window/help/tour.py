"""A short walk through the job, stage by stage, each step pointing at the part it speaks of.

It changes nothing in the vehicle. Next and Back walk, Escape or Leave ends it at any time, and so
does another page than that of the step; it can be taken up again where it was left.
"""

from collections.abc import Callable
from typing import TYPE_CHECKING

from msgspec import Struct
from PySide6.QtCore import QCoreApplication, QEvent, QObject, QPoint, QRect, Qt, Signal
from PySide6.QtGui import QKeyEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget
from shiboken6 import isValid

from fusemap.window.desk import Desk
from fusemap.window.parts.later import Later
from fusemap.window.style.theme import Theme, space

if TYPE_CHECKING:
    from fusemap.window.probe.tasks import Task, Tasks


def tr(text: str) -> str:
    """A text of this module in the user's language."""
    return QCoreApplication.translate("Tour", text)


class Step(Struct, frozen=True):
    """A title, a few words, the task whose page it is on, and the part of it they are about."""

    title: str
    text: str
    task: "Task"
    part: Callable[[Desk], QWidget]


def steps() -> tuple[Step, ...]:
    """The walk, in the order of the job's stages."""
    return (
        Step(
            tr("Panel"),
            tr(
                "The lid as it lies before you: its fuses, and what each is for. Type “15 Radio” "
                "and Enter, slot by slot; what must be left alone is marked by its name. At the "
                "head of the window: the stages, the next step, and whether all of it holds."
            ),
            "panel",
            lambda desk: _pane(desk, "panel"),
        ),
        Step(
            tr("Probe"),
            tr(
                "Beside the vehicle, with meter and number pad: one reading after the other, key "
                "off and key on. So it is known when a slot is live, from which side, and what it "
                "draws. What was not read counts as the most that it may be. Ctrl+D finds what "
                "drains the battery in the same way."
            ),
            "probe",
            _page,
        ),
        Step(
            tr("Plan"),
            tr(
                "Drag an accessory from here over the panel: each slot says whether it can take "
                "it, before you let go. Fuse and cable are proposed; the way of the current is "
                "drawn, with load and limit at each thing it passes, and what would be better."
            ),
            "plan",
            lambda desk: _pane(desk, "shelf"),
        ),
        Step(
            tr("Standing"),
            tr(
                "For how long it still starts: the charge over the days, with all that is not "
                "sure; what draws, and what would help most: tick it, and see before and after."
            ),
            "standing",
            _page,
        ),
        Step(
            tr("Paper"),
            tr(
                "The installation sheet with its order of work, a card for the lid, a map of the "
                "panel: to be looked at here, printed or saved."
            ),
            "paper",
            _page,
        ),
        Step(
            tr("Check"),
            tr(
                "After fitting: measure one thing after the other, and hold it beside what was "
                "predicted. What differs is said at once with its causes, and taken into the plan "
                "by one key. Ctrl+G finds anything by a few letters, F1 explains where you are."
            ),
            "check",
            _page,
        ),
    )


def _page(desk: Desk) -> QWidget:
    page = desk.pages.currentWidget()
    assert page is not None, "the step's page was shown before"
    return page


def _pane(desk: Desk, name: str) -> QWidget:
    work = desk.work
    assert work is not None, "the step's page was shown before"
    desk.focus_pane(name)
    return work.panels if name == "panel" else work.shelf


class Tour(QObject):
    """The walk through one window."""

    made_anew = Signal(int)
    """The views were made anew in the middle of the walk, at this step."""
    left = Signal(int)
    """It has ended: at this step, to be taken up there; past the last one at the first."""

    def __init__(self, desk: Desk, tasks: "Tasks") -> None:
        super().__init__(desk)
        self._desk = desk
        self._tasks = tasks
        window = desk.window
        self._window = window
        self._steps = steps()
        self.at = 0
        self.frame = _Outline(window, desk.look.theme)
        self.card = _Card(window, self)
        self._part: QWidget | None = None
        self._page: QWidget | None = None
        self._ended = False
        self._later = Later(self._put, self)
        self._soon = Later(self._look_round, self)
        desk.pages.currentChanged.connect(self._page_changed)
        window.installEventFilter(self)

    def go(self, at: int) -> None:
        """Show a step on its page; past the last one it ends."""
        if not 0 <= at < len(self._steps):
            self.at = 0  # walked to its end it begins anew
            self.end()
            return
        self.at = at
        step = self._steps[at]
        if self._tasks.shown != step.task:
            self._tasks.show(step.task)
        self._page = self._desk.pages.currentWidget()
        self._point_at(step.part(self._desk))
        self.card.show_step(step, at, len(self._steps))
        self._put()

    def step(self, by: int) -> None:
        """Go on, or with −1 back; whoever has gone to another page meanwhile is left there."""
        if self._tasks.shown == self._steps[self.at].task:
            self.go(self.at + by)
        else:
            self.end()

    def end(self) -> None:
        """Take it away, if that has not been done; the window is as before."""
        if self._ended:
            return
        self._ended = True
        self._window.removeEventFilter(self)
        self._point_at(None)
        for widget in (self.card, self.frame):
            widget.hide()
            widget.deleteLater()
        self.left.emit(self.at)
        self.deleteLater()

    def _page_changed(self, index: int) -> None:
        """In the next turn: views made anew leave the page for a moment."""
        self._soon.start()

    def _look_round(self) -> None:
        """End on another page; go on at the same step where the views were made anew."""
        if self._ended:
            return
        if self._tasks.shown != self._steps[self.at].task:
            self.end()
        elif self._desk.pages.currentWidget() is not self._page:
            self.made_anew.emit(self.at)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Stay where it belongs when the window changes its size."""
        if event.type() in (QEvent.Type.Resize, QEvent.Type.Move):
            self._later.start()
        return super().eventFilter(watched, event)

    def _point_at(self, part: QWidget | None) -> None:
        if self._part is not None and isValid(self._part):
            self._part.removeEventFilter(self)
        self._part = part
        if part is not None:
            part.installEventFilter(self)

    def _put(self) -> None:
        """Outline and card beside the part, wherever that is now."""
        part = self._part
        if part is None or not isValid(part):
            return
        window = self._window
        place = QRect(part.mapTo(window, QPoint(0, 0)), part.size())
        self.frame.setGeometry(place)
        self.frame.show()
        self.frame.raise_()
        self.card.fit()
        edge = space(window, "large")
        x = place.right() - self.card.width() - edge
        if place.width() < window.width() // 2 and place.left() > window.width() // 3:
            x = place.left() - self.card.width() - edge
        y = place.center().y() - self.card.height() // 2
        if place.height() < self.card.height():  # a strip: above it, so that it is seen whole
            y = place.top() - self.card.height() - edge
        self.card.move(
            max(edge, min(x, window.width() - self.card.width() - edge)),
            max(edge, min(y, window.height() - self.card.height() - edge)),
        )
        self.card.show()
        self.card.raise_()
        self.card.next.setFocus()


class _Outline(QWidget):
    """A line round the part that is spoken of; lets everything through."""

    def __init__(self, window: QWidget, theme: Theme) -> None:
        super().__init__(window)
        self._theme = theme
        self.setObjectName("tourOutline")
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)

    def paintEvent(self, event: QPaintEvent) -> None:
        """A frame in the accent colour."""
        painter = QPainter(self)
        width = space(self, "small")
        painter.setPen(QPen(self._theme.colour("accent"), width))
        half = width // 2 + 1
        painter.drawRect(self.rect().adjusted(half, half, -half, -half))


class _Card(QFrame):
    """The words of a step, and its buttons."""

    def __init__(self, window: QWidget, tour: Tour) -> None:
        super().__init__(window)
        self._tour = tour
        self.setObjectName("tourCard")
        self.setFrameShape(QFrame.Shape.StyledPanel)
        self.setAutoFillBackground(True)
        self.setBackgroundRole(self.palette().ColorRole.Base)
        self.title = QLabel()
        font = self.title.font()
        font.setBold(True)
        self.title.setFont(font)
        self.text = QLabel()
        self.text.setWordWrap(True)
        self.count = QLabel()
        self.count.setProperty("muted", True)
        self.back = self._button("tourBack", tr("Back"), lambda: tour.step(-1))
        self.skip = self._button("tourSkip", tr("Leave"), tour.end)
        self.skip.setToolTip(tr("Guided tour in the help menu takes it up here again"))
        self.next = self._button("tourNext", tr("Next"), lambda: tour.step(1))
        row = QHBoxLayout()
        row.addWidget(self.count)
        row.addStretch(1)
        for button in (self.skip, self.back, self.next):
            row.addWidget(button)
        column = QVBoxLayout(self)
        column.setContentsMargins(*(space(self, "large"),) * 4)
        column.setSpacing(space(self, "medium"))
        column.addWidget(self.title)
        column.addWidget(self.text)
        column.addLayout(row)

    def show_step(self, step: Step, at: int, count: int) -> None:
        """Show a step's words."""
        self.title.setText(step.title)
        self.text.setText(step.text)
        self.setAccessibleName(f"{step.title}. {step.text}")
        self.count.setText(tr("{n} of {count}").format(n=at + 1, count=count))
        self.back.setEnabled(at > 0)
        self.next.setText(tr("Done") if at == count - 1 else tr("Next"))

    def fit(self) -> None:
        """As wide as a few words a line, as high as they need."""
        width = min(self.fontMetrics().averageCharWidth() * 60, self._tour._window.width() * 3 // 4)
        self.setFixedWidth(width)
        self.setFixedHeight(max(self.sizeHint().height(), self.heightForWidth(width)))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Escape ends it, Enter presses the button that the keyboard is on."""
        if event.key() == Qt.Key.Key_Escape:
            self._tour.end()
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            (self.back if self.back.hasFocus() else self._pressed()).click()
        else:
            super().keyPressEvent(event)

    def _pressed(self) -> QPushButton:
        return self.skip if self.skip.hasFocus() else self.next

    def _button(self, key: str, text: str, do: Callable[[], object]) -> QPushButton:
        button = QPushButton(text)
        button.setObjectName(key)
        button.clicked.connect(lambda: do())
        return button
