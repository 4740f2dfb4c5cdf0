"""What is typed in a field and not entered yet, entered before it would be left behind."""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QAbstractSpinBox, QLineEdit, QPlainTextEdit, QWidget
from shiboken6 import isValid

TYPED_INTO = (QLineEdit, QPlainTextEdit, QAbstractSpinBox)


def finish_typing(window: QWidget) -> None:
    """Enter what stands in the field that has the keyboard, as leaving it does.

    A shortcut or the window's cross is pressed from within a field, which is not left by that.
    """
    at = window.focusWidget()
    if not isinstance(at, TYPED_INTO):
        return
    at.clearFocus()
    if isValid(at) and at.isVisible():
        at.setFocus(Qt.FocusReason.OtherFocusReason)
