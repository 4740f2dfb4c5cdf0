"""The quiet bar at the foot of the window: why something was refused, and what to do about it.

It takes no focus and stops nothing; Escape or its button closes it, and the next step that works.
Where there is something to choose, a button for each choice stands in it.
"""

from collections.abc import Callable, Sequence
from functools import partial

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QAccessible, QAccessibleEvent
from PySide6.QtWidgets import (
    QFrame,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QSizePolicy,
    QToolButton,
    QWidget,
)

from fusemap.errors import FusemapError
from fusemap.window.style.theme import Theme, severity_icon, space
from fusemap.window.texts.languages import said

Choice = tuple[str, Callable[[], object]]
"""What a button says, and what it calls; the message is taken away first."""


class MessageBar(QFrame):
    """Shows one message at a time, or nothing."""

    closed = Signal()

    def __init__(self, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._theme = theme
        self.setObjectName("messageBar")
        self.setAccessibleName(self.tr("Message"))
        self._icon = QLabel()
        self._text = QLabel()
        self._text.setObjectName("messageText")
        self._text.setWordWrap(True)
        self._text.setTextFormat(Qt.TextFormat.PlainText)
        self._text.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self._text.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        self._close = QToolButton()
        self._close.setObjectName("messageClose")
        self._close.setText(self.tr("Close"))
        self._close.setAccessibleName(self.tr("Close the message"))
        self._close.setAutoRaise(True)
        self._close.clicked.connect(self.clear)
        row = QHBoxLayout(self)
        row.setContentsMargins(*(space(self, "medium"),) * 4)
        row.setSpacing(space(self, "medium"))
        row.addWidget(self._icon, 0, Qt.AlignmentFlag.AlignTop)
        row.addWidget(self._text, 1)
        self._choices = QHBoxLayout()
        row.addLayout(self._choices)
        row.addWidget(self._close, 0, Qt.AlignmentFlag.AlignTop)
        self.hide()

    @property
    def text(self) -> str:
        """The message shown; empty when there is none."""
        return self._text.text() if not self.isHidden() else ""

    def set_theme(self, theme: Theme) -> None:
        """Draw in another theme from the next message on."""
        self._theme = theme

    def show_error(self, error: FusemapError, choices: Sequence[Choice] = ()) -> None:
        """Say what is wrong, where, and what to do; offer the choices there are."""
        where, what, remedy = said(error.where), said(error.what), said(error.remedy)
        what = f"{where}: {_stopped(what)}" if where else _sentence(what)
        text = what + (f" {_sentence(remedy)}" if remedy else "")
        self._say(text, "stop", choices)

    def show_note(self, text: str, choices: Sequence[Choice] = ()) -> None:
        """Say that something was done; offer the choices there are."""
        self._say(text, "note", choices)

    def clear(self) -> None:
        """Take the message away."""
        if not self.isHidden():
            self.hide()
            self.closed.emit()

    def _say(self, text: str, kind: str, choices: Sequence[Choice] = ()) -> None:
        self.offer(choices)
        severity = "stop" if kind == "stop" else "note"
        size = self.fontMetrics().height()
        icon = severity_icon(severity, self._theme, size, self.devicePixelRatioF())  # type: ignore[arg-type]
        self._icon.setPixmap(icon.pixmap(size, size))
        self._text.setText(text)
        self.setAccessibleDescription(text)
        self.setProperty("kind", kind)
        self.style().unpolish(self)
        self.style().polish(self)
        self.show()
        QAccessible.updateAccessibility(QAccessibleEvent(self, QAccessible.Event.Alert))

    def offer(self, choices: Sequence[Choice]) -> None:
        """A button for each choice, in place of those there were."""
        while (old := self._choices.takeAt(0)) is not None:
            if (button := old.widget()) is not None:
                button.hide()
                button.deleteLater()
        for number, (text, do) in enumerate(choices):
            made = QPushButton(text)
            made.setObjectName(f"messageChoice{number}")
            # A click leaves the keyboard where it is: the button is gone right after.
            made.setFocusPolicy(Qt.FocusPolicy.TabFocus)
            made.clicked.connect(partial(self._chosen, do))
            self._choices.addWidget(made, 0, Qt.AlignmentFlag.AlignTop)

    def _chosen(self, do: Callable[[], object], checked: bool = False) -> None:
        self.clear()
        do()


def _sentence(text: str) -> str:
    """With a capital and a full stop."""
    return _stopped(text[:1].upper() + text[1:])


def _stopped(text: str) -> str:
    """With a full stop."""
    return text if text.endswith((".", "!", "?")) else f"{text}."
