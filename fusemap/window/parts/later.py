"""Work done once in the next turn of the event loop, however often it is asked for meanwhile.

`Later` is the call, `LaterStill` one that gives way to the painting of an edit; `CatchingUp` a view
of the vehicle that is filled only while somebody can see it: whatever changes is shown once, and a
view that is out of sight catches up when it comes into view. `InSight` does the same without
waiting for the next turn.
"""

from collections.abc import Callable

from PySide6.QtCore import QEvent, QObject, QTimer
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QWidget
from shiboken6 import isValid

from fusemap.window.document import Document

FIGURES, VERDICT, REST = 1, 2, 3
"""After so many paintings of a window that opens they are reckoned."""


class Later(QTimer):
    """Calls `do` once after `start()`, in the next turn of the event loop."""

    def __init__(self, do: Callable[[], object], parent: QObject) -> None:
        super().__init__(parent)
        self._do = do
        self._left = 0
        """So many paintings it still waits for."""
        self._painted: QWidget | None = None
        """What was painted, and is to be once more."""
        self.setSingleShot(True)
        self.setInterval(0)
        self.timeout.connect(self._due)

    def start_when_painted(
        self, widget: QWidget, after: int = REST, at_latest_ms: int | None = None
    ) -> None:
        """Start when a widget was painted so often: a window that opens is seen first, then its
        cards with their `FIGURES`, then the `VERDICT`, and what waits longest keeps none of them.

        Where nothing is painted, a window that is covered say, it is called so much later [ms].
        """
        self._left = after

        widget.installEventFilter(self)
        if at_latest_ms is not None:
            self.start(at_latest_ms)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """The last painting it waits for starts the timer; no event is held back."""
        if event.type() == QEvent.Type.Paint and isinstance(watched, QWidget):
            watched.removeEventFilter(self)
            self._left -= 1
            self._painted = watched if self._left > 0 else None
            self.start(0)

        return False

    def _due(self) -> None:
        widget, self._painted = self._painted, None
        if widget is None:
            self._do()
        elif isValid(widget):  # what came at this painting is reckoned before the next
            widget.installEventFilter(self)
            widget.update()


class LaterStill(Later):
    """The same a turn after the next: what an edit changed in lid and pane is painted by then."""

    def __init__(self, do: Callable[[], object], parent: QObject) -> None:
        self._then = Later(do, parent)
        super().__init__(self._then.start, parent)


class CatchingUp(QWidget):
    """What such views have in common; each says in `fill` what it shows."""

    def __init__(self, document: Document) -> None:
        super().__init__()
        self.document = document
        self._stale = True
        self._later = Later(self._catch_up, self)
        document.changed.connect(self.show_soon)

    def fill(self) -> None:
        """Show the vehicle as it is now."""
        raise NotImplementedError

    def refresh(self, *_: object) -> None:
        """Show the vehicle as it is now, without waiting."""
        self._stale = False
        self.fill()

    def show_soon(self, *_: object) -> None:
        """Show what changed, soon or when this comes into view."""
        self._stale = True
        self._later.start()

    def came_into_view(self) -> None:
        """Catch up at once; a view that takes long says so first and does it later."""
        self._catch_up()

    def _catch_up(self) -> None:
        """Show what changed, if anybody can see it."""
        if self._stale and self.isVisible():
            self.refresh()

    def showEvent(self, event: QShowEvent) -> None:
        """Catch up with what changed while out of view."""
        super().showEvent(event)
        self.came_into_view()


class InSight(QWidget):
    """A view filled with every change while it is in sight, else when it comes into sight.

    Whoever makes it connects what changes with `changed`, after the parts that are to know first.
    """

    _stale = True

    def fill(self) -> None:
        """Show the vehicle as it is now, and note that it is no longer stale."""
        raise NotImplementedError

    def changed(self, *_: object) -> None:
        """Show what changed, now or when this comes into sight."""
        if self.isVisible():
            self.fill()
        else:
            self._stale = True

    def showEvent(self, event: QShowEvent) -> None:
        """Catch up with what changed while out of sight."""
        super().showEvent(event)
        if self._stale:
            self.fill()
