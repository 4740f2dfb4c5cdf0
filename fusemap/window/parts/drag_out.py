"""A drag that another button of the mouse gives up, as Escape does.

Qt lets go at the release of any button, so that a right click would drop what the left one carries.
In: a drag ready to go. Out: it was let go, or given up; nothing is dropped then, and nothing said.
"""

from typing import Final

from PySide6.QtCore import QCoreApplication, QEvent, QObject, Qt, QTimer
from PySide6.QtGui import QDrag, QKeyEvent, QMouseEvent

GIVEN_UP: Final = "dragGivenUp"
"""A property of the application: a drag can be over any of its windows."""


class _GivesUp(QObject):
    """Sees mouse and keys before the drag does, and the menu that a right click asks for."""

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """A button pressed besides the one that drags, or Escape, which Qt sees to."""
        if isinstance(event, QKeyEvent) and event.key() == Qt.Key.Key_Escape:
            _application().setProperty(GIVEN_UP, True)
            return False
        pressed = event.type() in (QEvent.Type.MouseButtonPress, QEvent.Type.MouseButtonDblClick)
        other = isinstance(event, QMouseEvent) and event.button() != Qt.MouseButton.LeftButton
        if pressed and other:
            _application().setProperty(GIVEN_UP, True)
            QDrag.cancel()
        return (pressed and other) or event.type() == QEvent.Type.ContextMenu


def carry(drag: QDrag, action: Qt.DropAction) -> None:
    """Drag until it is let go or given up."""
    gives_up, app = _GivesUp(), _application()
    app.setProperty(GIVEN_UP, False)
    # the drag has a filter of its own: the one that came last sees an event first
    QTimer.singleShot(0, gives_up, lambda: app.installEventFilter(gives_up))
    drag.exec(action)
    app.removeEventFilter(gives_up)
    app.setProperty(GIVEN_UP, False)


def is_given_up() -> bool:
    """Whether the drag that ends now was not let go."""
    return bool(_application().property(GIVEN_UP))


def _application() -> QCoreApplication:
    app = QCoreApplication.instance()
    assert app is not None
    return app
