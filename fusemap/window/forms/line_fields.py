"""Fields of one line, for text and for numbers with their unit; `fields` has the whole set.

What cannot be read marks the field, with a sign besides the colour, and says why.
"""

from collections.abc import Callable
from typing import Any, TypeVar

from PySide6.QtCore import QEvent, QPointF, QRectF, QSize, Qt
from PySide6.QtGui import (
    QFontMetrics,
    QKeyEvent,
    QPainter,
    QPaintEvent,
    QPalette,
    QPolygonF,
)
from PySide6.QtWidgets import QLineEdit, QSizePolicy, QWidget

from fusemap.errors import FusemapError, InputProblem
from fusemap.text import Amount, Argument, Style, Text, Unit, say
from fusemap.units import NARROW_SPACE
from fusemap.vehicle.texts import clean
from fusemap.window.document import Document
from fusemap.window.forms.entry import read_in_unit, show_number

V = TypeVar("V")
Read = Callable[[], V]
Write = Callable[[V], bool]


def mark_wrong(field: QWidget, wrong: bool) -> None:
    """Mark a field as holding something that cannot be used."""
    if bool(field.property("wrong")) != wrong:
        field.setProperty("wrong", wrong)
        field.style().unpolish(field)
        field.style().polish(field)
        field.update()


def why(style: Style, error: FusemapError) -> str:
    """What is wrong and what to do, in the user's language."""
    what, remedy = style.show(error.what), style.show(error.remedy)
    return f"{what} ({remedy})" if remedy else what


class LineField(QLineEdit):
    """One line of text that is written when finished; the base of text and number fields."""

    def __init__(
        self, document: Document, style: Style, name: str, key: str = "", hint: str = ""
    ) -> None:
        super().__init__()
        self._document = document
        self._style = style
        self._name = name
        self._hint = hint
        self._shown = ""
        self.setObjectName(key or name)
        self.setAccessibleName(name)
        self.setToolTip(hint)
        self.editingFinished.connect(self.commit)

    def refresh(self) -> None:
        """Show the value as it is now, unless something else is just being typed."""
        now = self._text_now()
        typing = self.hasFocus() and self.text() != self._shown
        if now != self._shown or not (typing or self.property("wrong")):
            self._show(now)

    def commit(self) -> None:
        """Ask for what was typed; done on Enter and on leaving the field."""
        if self.text() == self._shown:
            self._clear_mark()
            return
        try:
            done = self._write_text(clean(self.text()))
        except FusemapError as error:
            self._document.refused.emit(error)
            self._mark(why(self._style, error))
            return
        if done:
            self._show(self._text_now())
        else:
            self._mark(self.tr("This was refused; Escape brings the old value back."))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Escape brings back what the vehicle says."""
        changed = self.text() != self._shown or bool(self.property("wrong"))
        if event.key() == Qt.Key.Key_Escape and changed:
            self._show(self._text_now())
        else:
            super().keyPressEvent(event)

    def paintEvent(self, event: QPaintEvent) -> None:
        """A wrong field carries a mark besides its colour."""
        super().paintEvent(event)
        paint_mark(self, self._mark_place())

    def _mark_place(self) -> QRectF:
        side = self.fontMetrics().ascent()
        right = self.width() - self.textMargins().right() - side * 1.3
        return QRectF(right, (self.height() - side) / 2, side, side)

    def _show(self, text: str) -> None:
        self._shown = text
        if self.text() != text:
            self.setText(text)
            self.setCursorPosition(0)
        self._clear_mark()

    def _mark(self, why: str) -> None:
        self.setToolTip(why)
        self.setAccessibleDescription(why)
        mark_wrong(self, True)

    def _clear_mark(self) -> None:
        self.setToolTip(self._hint)
        self.setAccessibleDescription(self._hint)
        mark_wrong(self, False)

    def _text_now(self) -> str:
        raise NotImplementedError

    def _write_text(self, text: str) -> bool:
        raise NotImplementedError


def paint_mark(field: QWidget, place: QRectF) -> None:
    """Over a wrong field, and no other, a triangle with an exclamation mark."""
    if not field.property("wrong"):
        return
    painter, palette = QPainter(field), field.palette()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(palette.color(QPalette.ColorRole.BrightText))
    top = QPointF(place.center().x(), place.top())
    painter.drawPolygon(QPolygonF([top, place.bottomRight(), place.bottomLeft()]))
    painter.setPen(palette.color(QPalette.ColorRole.Base))
    font = painter.font()
    font.setBold(True)
    font.setPointSizeF(font.pointSizeF() * 0.75)
    painter.setFont(font)
    painter.drawText(
        place.adjusted(0, place.height() * 0.25, 0, 0), Qt.AlignmentFlag.AlignCenter, "!"
    )


class TextField(LineField):
    """A line of text."""

    def __init__(
        self,
        document: Document,
        style: Style,
        read: Read[str],
        write: Write[str],
        *,
        name: str,
        key: str = "",
        hint: str = "",
        placeholder: str = "",
    ) -> None:
        super().__init__(document, style, name, key, hint)
        self._read = read
        self._write = write
        self.setPlaceholderText(placeholder)
        self.refresh()

    def _text_now(self) -> str:
        return self._read()

    def _write_text(self, text: str) -> bool:
        return self._write(text.strip())


class NumberField(LineField):
    """A number with its unit; blank means not known, where that is allowed.

    `scale` is the size of the shown unit in the stored one (0.01 for a share shown in %). `whole`
    takes whole numbers only; `least` and `most` are in the shown unit.
    """

    def __init__(
        self,
        document: Document,
        style: Style,
        read: Read[float | None],
        write: Write[Any],
        *,
        name: str,
        unit: str = "",
        key: str = "",
        hint: str = "",
        scale: float = 1.0,
        optional: bool = False,
        whole: bool = False,
        least: float | None = None,
        most: float | None = None,
        placeholder: str | None = None,
    ) -> None:
        super().__init__(document, style, name, key, hint)
        self._read = read
        self._write = write
        self.unit = self._style.show(Unit(unit))
        self._kept_unit = unit
        self._scale = scale
        self._optional = optional
        self._whole = whole
        self._least = least
        self._most = most
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
        if unit:
            self.setAccessibleName(f"{name} [{self.unit}]")
        if placeholder is None and optional:
            placeholder = self.tr("not known")
        self.setPlaceholderText(placeholder or "")
        self._make_room_for_unit()
        self.refresh()

    def sizeHint(self) -> QSize:
        """Wide enough for eight digits or the placeholder, and the unit; mostly all the same."""
        metrics = QFontMetrics(self.font())
        words = metrics.horizontalAdvance(self.placeholderText() + "  ")
        text = max(metrics.horizontalAdvance("00000000"), words) + self.textMargins().right()
        wide = max(text + metrics.averageCharWidth() * 3, metrics.horizontalAdvance("0" * 17))
        return QSize(wide, super().sizeHint().height())

    def minimumSizeHint(self) -> QSize:
        """Narrower, but a number is never cut."""
        metrics = QFontMetrics(self.font())
        text = metrics.horizontalAdvance("00000000") + self.textMargins().right()
        return QSize(text + metrics.averageCharWidth() * 3, super().minimumSizeHint().height())

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the unit at the right end."""
        super().paintEvent(event)
        if self.unit:
            painter = QPainter(self)
            painter.setPen(self.palette().color(QPalette.ColorRole.PlaceholderText))
            inside = self.rect().adjusted(0, 0, -self.fontMetrics().averageCharWidth(), 0)
            where = Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignRight
            painter.drawText(inside, where, self.unit)

    def changeEvent(self, event: QEvent) -> None:
        """A new font needs other room for the unit."""
        super().changeEvent(event)
        if event.type() in (QEvent.Type.FontChange, QEvent.Type.StyleChange):
            self._make_room_for_unit()

    def set_unit(self, unit: str) -> None:
        """Show another unit."""
        self._kept_unit = unit
        self.unit = self._style.show(Unit(unit))
        self.setAccessibleName(f"{self._name} [{self.unit}]" if unit else self._name)
        self._make_room_for_unit()
        self.update()

    def _make_room_for_unit(self) -> None:
        unit = getattr(self, "unit", "")
        metrics = self.fontMetrics()
        room = metrics.horizontalAdvance(unit) + metrics.averageCharWidth() // 2 if unit else 0
        if self.textMargins().right() != room:
            self.setTextMargins(0, 0, room, 0)

    def _text_now(self) -> str:
        value = self._read()
        if value is None:
            return ""
        kept = value / self._scale
        shown = self._style.in_unit(kept, self._kept_unit)
        return self._style.decimal(show_number(shown if shown == kept else round(shown, 3)))

    def _write_text(self, text: str) -> bool:
        value = read_in_unit(text, self._kept_unit, self._style, self._name)
        self._check(value)
        if value is None:
            return self._write(None)
        return self._write(int(value) if self._whole else value * self._scale)

    def _check(self, value: float | None) -> None:
        if value is None:
            if not self._optional:
                raise InputProblem(say("it cannot be blank"), self._name, self._range_words())
        elif self._whole and value != int(value):
            raise InputProblem(
                say("{value} is not a whole number", value=value),
                self._name,
                say("type one like {example}", example=4),
            )
        elif self._least is not None and value < self._least:
            raise InputProblem(
                say("{value} is too small", value=self._figure(value)),
                self._name,
                say("{least} is the least", least=self._figure(self._least)),
            )
        elif self._most is not None and value > self._most:
            raise InputProblem(
                say("{value} is too large", value=self._figure(value)),
                self._name,
                say("{most} is the most", most=self._figure(self._most)),
            )

    def _figure(self, value: float) -> Argument:
        """A figure with all its digits, as it is typed; one turned into feet has fewer."""
        if self._kept_unit == "%":
            return Text(f"{{n}}{NARROW_SPACE}%", {"n": value}, bare=True)
        turned = self._style.unit(self._kept_unit) != self._kept_unit
        return Amount(value, self._kept_unit, exact=not turned)

    def _range_words(self) -> Text:
        if self._least is not None and self._most is not None:
            least, most = self._figure(self._least), self._figure(self._most)
            return say("type a number from {least} to {most}", least=least, most=most)
        return say("type a number")
