"""Do something once, soon, however often it is asked for meanwhile.

What takes long to show is shown after the panel was painted: a timer of no length fires when the
events that wait, painting among them, have been dealt with.
"""

from collections.abc import Callable

from PySide6.QtCore import QEvent, QObject, QTimer
from PySide6.QtWidgets import QWidget


class Later(QTimer):
    """Calls `do` once after `start()`, in the next turn of the event loop."""

    def __init__(self, do: Callable[[], object], parent: QObject) -> None:
        super().__init__(parent)
        self.setSingleShot(True)
        self.setInterval(0)
        self.timeout.connect(do)

    def start_when_painted(self, widget: QWidget) -> None:
        """Start when a widget is painted next: so that a window that opens is seen first."""
        widget.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """The first paint starts the timer; no event is held back."""
        if event.type() == QEvent.Type.Paint:
            watched.removeEventFilter(self)
            self.start()
        return False
