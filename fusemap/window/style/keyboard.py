"""A ring round what has the keyboard and would not show it by itself.

Fields and buttons have their ring by the style sheet, lists by the row the cursor is on. Pages of
text, lists with nothing in them, and those whose row is scrolled out of sight are ringed here, in
the `Highlight` of their palette; `ring_by` asks for it for anything else.
"""

from typing import Final

from PySide6.QtCore import QEvent, QObject, QRectF, Qt, QTimer, Slot
from PySide6.QtGui import QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import (
    QAbstractItemView,
    QAbstractScrollArea,
    QApplication,
    QPlainTextEdit,
    QWidget,
)
from shiboken6 import isValid

RING: Final = 2
"""How broad it is [px]."""
_ASKED: Final = "ringed"


class Ring(QWidget):
    """Lies over a widget, along its edge."""

    def __init__(self, around: QWidget) -> None:
        super().__init__(around)
        self.around = around
        self.setObjectName("keyboardRing")
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self.setAttribute(Qt.WidgetAttribute.WA_NoSystemBackground)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        around.installEventFilter(self)
        self._lie_over()
        self.show()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """As large as what it is round; no event is held back."""
        if watched is self.around and event.type() in (
            QEvent.Type.Resize,
            QEvent.Type.LayoutRequest,
        ):
            self._lie_over()
        return False

    def _lie_over(self) -> None:
        self.setGeometry(self.around.rect())
        self.raise_()

    def paintEvent(self, event: QPaintEvent) -> None:
        """The ring alone."""
        painter = QPainter(self)
        pen = QPen(self.around.palette().highlight().color(), RING)
        pen.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
        painter.setPen(pen)
        half = RING / 2
        painter.drawRect(QRectF(self.rect()).adjusted(half, half, -half, -half))
        painter.end()


class KeyboardRing(QObject):
    """Follows the keyboard through the whole application."""

    def __init__(self, app: QApplication) -> None:
        super().__init__(app)
        self.setObjectName("keyboardRings")
        self._ring: Ring | None = None
        self._view: QAbstractItemView | None = None
        self._soon = QTimer(self)
        self._soon.setSingleShot(True)
        self._soon.timeout.connect(self._look_again)
        app.focusChanged.connect(self._moved)

    @Slot("QWidget*", "QWidget*")
    def _moved(self, old: QWidget | None, new: QWidget | None) -> None:
        if new is None and old is not None and isValid(old) and _holds(old):
            return  # another window has it for a while
        self._follow(new if isinstance(new, QAbstractItemView) else None)
        self._show_round(new if new is not None and needs_ring(new) else None)

    def _follow(self, view: QAbstractItemView | None) -> None:
        """A list's own row may come into sight, or go."""
        old, self._view = self._view, view
        if old is not None and isValid(old):
            old.removeEventFilter(self)
            old.viewport().removeEventFilter(self)
        if view is not None:
            view.viewport().installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """What is painted may have another row with the cursor; no event is held back."""
        if event.type() == QEvent.Type.Paint:
            self._soon.start()
        return False

    def _look_again(self) -> None:
        view = self._view
        if view is not None and isValid(view) and view.hasFocus():
            self._show_round(view if needs_ring(view) else None)

    def _show_round(self, widget: QWidget | None) -> None:
        old, self._ring = self._ring, None
        if old is not None and isValid(old):
            if old.around is widget:
                self._ring = old
                return
            old.hide()
            old.deleteLater()
        if widget is not None:
            self._ring = Ring(widget)


def _holds(widget: QWidget) -> bool:
    """Whether it gets the keyboard back with its window."""
    return widget.isVisible() and widget.window().focusWidget() is widget


def follow_keyboard(app: QApplication) -> None:
    """Ring what has the keyboard from now on; once is enough."""
    if app.findChild(KeyboardRing) is None:
        KeyboardRing(app)


def ring_by(widget: QWidget, on: bool = True) -> None:
    """Ask for a ring round a widget that is neither a list nor a page of text, or for none."""
    widget.setProperty(_ASKED, on)


def needs_ring(widget: QWidget) -> bool:
    """Whether nothing else would show that it has the keyboard."""
    asked = widget.property(_ASKED)
    if asked is not None:
        return bool(asked)
    if isinstance(widget, QAbstractItemView):
        current = widget.currentIndex()
        place = widget.visualRect(current) if current.isValid() else None
        return place is None or not widget.viewport().rect().intersects(place)
    return isinstance(widget, QAbstractScrollArea) and not isinstance(widget, QPlainTextEdit)
