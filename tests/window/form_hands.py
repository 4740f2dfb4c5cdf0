"""What a user does with a form, for its tests: type into a field, choose, press a button."""

from typing import Any

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QAbstractButton, QComboBox, QLineEdit, QWidget


def shown(widget: QWidget, qtbot: Any) -> Any:
    """The widget on the screen."""
    qtbot.addWidget(widget)
    with qtbot.waitExposed(widget):
        widget.show()
    return widget


def enter(form: QWidget, qtbot: Any, key: str, text: str) -> QLineEdit:
    """Type over what stands in a field, and press Enter."""
    field = form.findChild(QLineEdit, key)
    assert field is not None, key
    field.selectAll()
    qtbot.keyClick(field, Qt.Key.Key_Delete)
    qtbot.keyClicks(field, text)
    qtbot.keyClick(field, Qt.Key.Key_Return)
    return field


def choose(form: QWidget, key: str, words: str) -> None:
    """Choose with the mouse."""
    field = form.findChild(QComboBox, key)
    row = field.findText(words)
    assert row >= 0, [field.itemText(i) for i in range(field.count())]
    field.setCurrentIndex(row)
    field.activated.emit(row)


def click(form: QWidget, qtbot: Any, key: str) -> None:
    """Press a button."""
    button = form.findChild(QAbstractButton, key)
    assert button is not None, key
    qtbot.mouseClick(button, Qt.MouseButton.LeftButton)
