"""A button that paints itself and leads somewhere: by the mouse, by Space, by Enter."""

from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QEnterEvent, QKeyEvent
from PySide6.QtWidgets import QAbstractButton


class LeadingButton(QAbstractButton):
    """What such buttons have in common; what they look like is their own."""

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter presses it."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.click()
        else:
            super().keyPressEvent(event)

    def enterEvent(self, event: QEnterEvent) -> None:
        """Light up under the mouse."""
        super().enterEvent(event)
        self.update()

    def leaveEvent(self, event: QEvent) -> None:
        """And go out again."""
        super().leaveEvent(event)
        self.update()
