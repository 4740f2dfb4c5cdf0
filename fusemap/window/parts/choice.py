"""A choice whose words end in dots where there is not room for all of them."""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QComboBox, QStyle, QStyleOptionComboBox


class Choice(QComboBox):
    """A box to choose from; a name too long for it is cut between letters, and says so."""

    def initStyleOption(self, option: QStyleOptionComboBox) -> None:
        """Shorten what is painted, not what is chosen."""
        super().initStyleOption(option)
        room = self.style().subControlRect(
            QStyle.ComplexControl.CC_ComboBox,
            option,
            QStyle.SubControl.SC_ComboBoxEditField,
            self,
        )
        option.currentText = self.fontMetrics().elidedText(
            self.currentText(), Qt.TextElideMode.ElideRight, room.width()
        )
