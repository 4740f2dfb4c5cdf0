"""A box for a count that keeps whatever is typed and says what is wrong with it.

A box of Qt's own takes no letter and no figure that would lead too far: of “999” one 9 is left, of
“abc-7” a 7, and nothing is said. In: the least and the most there may be. Out: the count that was
right last, and what is wrong with the entry as it stands.
"""

from collections.abc import Iterator
from contextlib import contextmanager

from PySide6.QtCore import QEvent, QRectF, Qt, Signal
from PySide6.QtGui import (
    QFocusEvent,
    QHideEvent,
    QKeyEvent,
    QPaintEvent,
    QShowEvent,
    QValidator,
)
from PySide6.QtWidgets import QSpinBox, QStyle, QStyleOptionSpinBox

from fusemap.errors import InputProblem
from fusemap.text import Style, say
from fusemap.window.forms.entry import read_number
from fusemap.window.forms.line_fields import mark_wrong, paint_mark, why
from fusemap.window.parts.number_box import AIR
from fusemap.window.style.measures import px

ENTER = (Qt.Key.Key_Return, Qt.Key.Key_Enter)


class CountBox(QSpinBox):
    """A whole number with its bounds; `judged` is told whenever what is typed has changed."""

    judged = Signal()
    refused = Signal(object)
    """Enter was pressed on a wrong entry, or it was left: what is wrong."""

    def __init__(self, style: Style, key: str, name: str, least: int, most: int) -> None:
        super().__init__()
        self._style = style
        self.setObjectName(key)
        self.setAccessibleName(name)
        self.setRange(least, most)
        self.lineEdit().textChanged.connect(self._judge)
        self.valueChanged.connect(self._judge)

    @property
    def problem(self) -> InputProblem | None:
        """What is wrong with the entry as it stands."""
        try:
            self._read(self.text())
        except InputProblem as error:
            return error
        return None

    def _read(self, text: str) -> int:
        """The count that was typed. Raises `InputProblem` where it is none that may be."""
        name, least, most = self.accessibleName(), self.minimum(), self.maximum()
        bounds = say("type a number from {least} to {most}", least=least, most=most)
        try:
            value = read_number(text.removesuffix(self.suffix()), "", name)
        except InputProblem as error:
            raise InputProblem(error.what, name, bounds) from None
        if value is None:
            raise InputProblem(say("it cannot be blank"), name, bounds)
        if value != int(value):
            raise InputProblem(say("{value} is not a whole number", value=value), name, bounds)
        if value < least:
            raise InputProblem(say("{value} is too small", value=value), name, bounds)
        if value > most:
            raise InputProblem(say("{value} is too large", value=value), name, bounds)
        return int(value)

    # --- what Qt asks ---------------------------------------------------------------------------

    def validate(self, text: str, position: int) -> tuple[QValidator.State, str, int]:
        """Anything may be typed; a count that may be is taken at once."""
        try:
            self._read(text)
        except InputProblem:
            return QValidator.State.Intermediate, text, position
        return QValidator.State.Acceptable, text, position

    def valueFromText(self, text: str) -> int:
        """The count; asked for an entry that may be alone."""
        try:
            return self._read(text)
        except InputProblem:
            return self.value()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """A wrong entry that is left stays as it was typed, and is told."""
        with self._kept():
            super().focusOutEvent(event)
        if self.problem is not None:
            self.refused.emit(self.problem)

    def changeEvent(self, event: QEvent) -> None:
        """Another window was turned to, or something else of this one's looks has changed."""
        with self._kept():
            super().changeEvent(event)

    def hideEvent(self, event: QHideEvent) -> None:
        """Another page is looked at; the entry waits."""
        with self._kept():
            super().hideEvent(event)

    def showEvent(self, event: QShowEvent) -> None:
        """The entry has waited."""
        with self._kept():
            super().showEvent(event)

    @contextmanager
    def _kept(self) -> Iterator[None]:
        """Qt puts the last right value into the place of a wrong entry: that is put back."""
        typed = self.lineEdit().text() if self.problem is not None else None
        yield
        if typed is not None and self.lineEdit().text() != typed:
            self.lineEdit().setText(typed)

    def stepBy(self, steps: int) -> None:
        """An arrow leads out of a wrong entry, to the last right value."""
        super().stepBy(steps)
        self._judge()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter does not lead on from a wrong entry: the next keys type over it."""
        if event.key() in ENTER and self.problem is not None:
            self.selectAll()
            self.refused.emit(self.problem)
        else:
            super().keyPressEvent(event)

    # --- how it looks ---------------------------------------------------------------------------

    def _judge(self, *_: object) -> None:
        problem = self.problem
        words = "" if problem is None else why(self._style, problem)
        if self.toolTip() != words:
            self.setToolTip(words)
            self.setAccessibleDescription(words)
            room = 0 if problem is None else round(self.fontMetrics().ascent() * 1.3)
            self.lineEdit().setTextMargins(px(self, AIR), 0, room, 0)
            mark_wrong(self, problem is not None)
        self.judged.emit()

    def paintEvent(self, event: QPaintEvent) -> None:
        """A wrong entry carries a mark besides its colour."""
        super().paintEvent(event)
        paint_mark(self, self._mark_place())

    def _mark_place(self) -> QRectF:
        """At the right end of what is typed, before the arrows."""
        option = QStyleOptionSpinBox()
        self.initStyleOption(option)
        field = self.style().subControlRect(
            QStyle.ComplexControl.CC_SpinBox, option, QStyle.SubControl.SC_SpinBoxEditField, self
        )
        side = self.fontMetrics().ascent()
        return QRectF(field.right() - side * 1.1, (self.height() - side) / 2, side, side)
