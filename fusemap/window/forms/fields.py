"""Editors for one field each: they show what the vehicle says and ask for an edit.

Each is made with `read`, which gives the value as it is now, and `write`, which asks for the edit
and says whether it was done; a field holds no value of its own. A value is written when it is
finished (Enter, or leaving the field), not at each key. What cannot be read as a value marks the
field and is told through `document.refused`; Escape brings back what the vehicle says.
"""

from collections.abc import Sequence
from typing import Any, Final, Protocol

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QFocusEvent, QWheelEvent
from PySide6.QtWidgets import QCheckBox, QComboBox, QPlainTextEdit, QSizePolicy

from fusemap.vehicle.texts import clean
from fusemap.window.forms.line_fields import (
    LineField,
    NumberField,
    Read,
    TextField,
    Write,
    mark_wrong,
)
from fusemap.window.parts.choice import Choice

__all__ = [
    "CheckField",
    "ChoiceField",
    "Field",
    "LineField",
    "NoteField",
    "NumberField",
    "Read",
    "TextField",
    "Write",
    "mark_wrong",
]


class Field(Protocol):
    """What a form needs of a field."""

    def refresh(self) -> None:
        """Show the value as it is now."""


NARROW_LETTERS: Final = 18
"""So many letters a narrow choice shows at least."""


class ChoiceField(Choice):
    """One of several values, each with its words; `choices` may be replaced later."""

    def __init__(
        self,
        read: Read[Any],
        write: Write[Any],
        choices: Sequence[tuple[Any, str]],
        *,
        name: str,
        key: str = "",
        hint: str = "",
    ) -> None:
        super().__init__()
        self._read = read
        self._write = write
        self._values: list[Any] = []
        self._narrow = False
        self.setObjectName(key or name)
        self.setAccessibleName(name)
        self.setToolTip(hint)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        # all fields of a form are equally wide
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.activated.connect(self._chosen)
        self.currentIndexChanged.connect(self.updateGeometry)
        self.set_choices(choices)

    def keep_narrow(self) -> None:
        """Its longest words do not make the form wider: they end in dots, and the list has all."""
        self._narrow = True
        self.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.setMinimumContentsLength(NARROW_LETTERS)

    def minimumSizeHint(self) -> QSize:
        """Room for what is chosen: the list has the longer ones.

        A form lays label and field side by side as if there were nothing between them: that, too.
        """
        least = super().minimumSizeHint()
        if self._narrow or not self.count():
            return least
        advance = self.fontMetrics().horizontalAdvance
        widest = max(advance(self.itemText(row)) for row in range(self.count()))
        spare = widest - advance(self.currentText()) - self.fontMetrics().height()
        return QSize(least.width() - spare, least.height())

    def _measure(self) -> None:
        """Ask for the room its words need.

        Left at `AdjustToContents`, Qt gives it that size a moment later, whatever its form says.
        """
        if self._narrow:
            return
        policy = QComboBox.SizeAdjustPolicy
        self.setSizeAdjustPolicy(policy.AdjustToContents)
        self.setSizeAdjustPolicy(policy.AdjustToContentsOnFirstShow)

    def set_choices(self, choices: Sequence[tuple[Any, str]]) -> None:
        """Offer other values, and show the one there is now."""
        words = [text for _, text in choices]
        if words != [self.itemText(row) for row in range(self.count())]:
            self.clear()
            self.addItems(words)
            self._measure()
        self._values = [value for value, _ in choices]
        self.refresh()

    def refresh(self) -> None:
        """Show the value as it is now."""
        value = self._read()
        self.setCurrentIndex(self._values.index(value) if value in self._values else -1)

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Turning the wheel scrolls the form; it changes a value only where that was meant."""
        if self.hasFocus():
            super().wheelEvent(event)
        else:
            event.ignore()

    def _chosen(self, row: int) -> None:
        if self._values[row] != self._read() and not self._write(self._values[row]):
            self.refresh()


class CheckField(QCheckBox):
    """Yes or no."""

    def __init__(
        self,
        read: Read[bool],
        write: Write[bool],
        *,
        text: str,
        name: str = "",
        key: str = "",
        hint: str = "",
    ) -> None:
        super().__init__(text)
        self._read = read
        self._write = write
        self.setObjectName(key or name or text)
        self.setAccessibleName(name or text)
        self.setToolTip(hint)
        self.clicked.connect(self._clicked)
        self.refresh()

    def refresh(self) -> None:
        """Show the value as it is now."""
        self.setChecked(self._read())

    def _clicked(self, on: bool) -> None:
        if not self._write(on):
            self.refresh()


class NoteField(QPlainTextEdit):
    """A few lines of text, written on leaving the field."""

    def __init__(
        self,
        read: Read[str],
        write: Write[str],
        *,
        name: str,
        key: str = "",
        hint: str = "",
        placeholder: str = "",
        lines: int = 3,
    ) -> None:
        super().__init__()
        self._read = read
        self._write = write
        self._shown = ""
        self._lines = lines
        self.setObjectName(key or name)
        self.setAccessibleName(name)
        self.setToolTip(hint)
        self.setPlaceholderText(placeholder)
        self.setTabChangesFocus(True)
        self.refresh()

    def sizeHint(self) -> QSize:
        """As high as its lines."""
        height = self.fontMetrics().lineSpacing() * (self._lines + 1)
        return QSize(super().sizeHint().width(), height)

    def minimumSizeHint(self) -> QSize:
        """At least two lines."""
        return QSize(super().minimumSizeHint().width(), self.fontMetrics().lineSpacing() * 3)

    def refresh(self) -> None:
        """Show the text as it is now, unless something else is just being typed."""
        now = self._read()
        typing = self.hasFocus() and self.toPlainText() != self._shown
        if now != self._shown or not typing:
            self._shown = now
            if self.toPlainText() != now:
                self.setPlainText(now)

    def commit(self) -> None:
        """Ask for what was typed."""
        text = clean(self.toPlainText(), lines=True)
        if text != self._shown and self._write(text):
            self._shown = text
        self.refresh()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Leaving the field finishes it."""
        super().focusOutEvent(event)
        if event.reason() != Qt.FocusReason.PopupFocusReason:
            self.commit()
