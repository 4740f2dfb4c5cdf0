"""Do something once, soon, however often it is asked for meanwhile.

What takes long to show is shown after the panel was painted: a timer of no length fires when the
events that wait, painting among them, have been dealt with.
"""

from collections.abc import Callable

from PySide6.QtCore import QObject, QTimer


class Later(QTimer):
    """Calls `do` once after `start()`, in the next turn of the event loop."""

    def __init__(self, do: Callable[[], None], parent: QObject) -> None:
        super().__init__(parent)
        self.setSingleShot(True)
        self.setInterval(0)
        self.timeout.connect(do)
