"""A button whose words wrap where they are longer than the room for them."""

from PySide6.QtCore import QSize, Qt
from PySide6.QtWidgets import QLabel, QPushButton, QVBoxLayout

from fusemap.window.style.theme import space


class WrappingButton(QPushButton):
    """A button whose words wrap: a label lies on it and lets the mouse through."""

    def __init__(self, text: str = "") -> None:
        super().__init__()
        self._label = QLabel()
        self._label.setTextFormat(Qt.TextFormat.PlainText)
        self._label.setWordWrap(True)
        self._label.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self._label.setObjectName("wayWords")
        column = QVBoxLayout(self)
        edge = space(self, "small")
        column.setContentsMargins(edge * 2, edge, edge * 2, edge)
        column.addWidget(self._label)
        policy = self.sizePolicy()
        policy.setHeightForWidth(True)
        policy.setVerticalPolicy(policy.Policy.Minimum)
        self.setSizePolicy(policy)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.show_words(text)

    def show_words(self, text: str) -> None:
        """Put these words on it."""
        self._label.setText(text)
        self.setAccessibleName(text)

    def words(self) -> str:
        """What stands on it."""
        return self._label.text()

    def hasHeightForWidth(self) -> bool:
        """As high as its words need."""
        return True

    def heightForWidth(self, width: int) -> int:
        """As high as its words need at this width."""
        layout = self.layout()
        assert layout is not None
        return max(layout.heightForWidth(width), self.fontMetrics().height() * 2)

    def sizeHint(self) -> QSize:
        """The room its words would like."""
        layout = self.layout()
        assert layout is not None
        return layout.sizeHint()

    def minimumSizeHint(self) -> QSize:
        """The least it gets by with."""
        layout = self.layout()
        assert layout is not None
        return layout.minimumSize()
