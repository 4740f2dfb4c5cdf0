"""A choice whose words end in dots where there is not room for all of them."""

from collections.abc import Iterable

from PySide6.QtCore import QEvent, QSignalBlocker, Qt
from PySide6.QtGui import QHelpEvent, QShowEvent
from PySide6.QtWidgets import (
    QComboBox,
    QLabel,
    QStyle,
    QStyleOptionComboBox,
    QToolTip,
    QWidget,
)

from fusemap.window.texts.plain import plain_tip


class Choice(QComboBox):
    """A box to choose from; a name too long for it is cut between letters, and says so.

    It has a label of its own for screen readers, seen or not.
    """

    @classmethod
    def among(cls, key: str, name: str, offered: Iterable[tuple[object, str]]) -> "Choice":
        """One with a name, and what it offers: each value and the words for it."""
        box = cls()
        box.setObjectName(key)
        box.setAccessibleName(name)
        for value, words in offered:
            box.addItem(words, value)
        return box

    def show_value(self, value: object) -> None:
        """Show a value, the first where it is not offered, without telling anybody."""
        with QSignalBlocker(self):
            self.setCurrentIndex(max(0, self.findData(value)))

    def showEvent(self, event: QShowEvent) -> None:
        """By now it stands where it stays."""
        super().showEvent(event)
        give_label(self)

    def event(self, event: QEvent) -> bool:
        """Pointed at, it says whole what ends in dots."""
        if isinstance(event, QHelpEvent) and event.type() == QEvent.Type.ToolTip:
            option = QStyleOptionComboBox()
            self.initStyleOption(option)
            if option.currentText != self.currentText():
                QToolTip.showText(event.globalPos(), plain_tip(self.currentText()), self)
                return True
        return super().event(event)

    def initStyleOption(self, option: QStyleOptionComboBox) -> None:
        """Shorten what is painted, not what is chosen."""
        super().initStyleOption(option)
        room = self.style().subControlRect(
            QStyle.ComplexControl.CC_ComboBox,
            option,
            QStyle.SubControl.SC_ComboBoxEditField,
            self,
        )
        # Qt's own hint is some pixels less than large words need: they are drawn whole all the same
        option.currentText = self.fontMetrics().elidedText(
            self.currentText(),
            Qt.TextElideMode.ElideRight,
            room.width() + 2 + self.fontMetrics().height() // 10,
        )


def give_label(box: QWidget) -> None:
    """Give a box without a label beside it one that is not seen.

    On some desktops Qt tells a screen reader the value of a box where its name belongs, and the
    name by its label alone.
    """
    beside = box.parentWidget()
    if beside is None or any(
        label.buddy() is box
        for label in beside.findChildren(QLabel, options=Qt.FindChildOption.FindDirectChildrenOnly)
    ):
        return
    label = QLabel(box.accessibleName(), beside)
    label.setObjectName(f"{box.objectName()}_label")
    label.setBuddy(box)
    label.hide()
