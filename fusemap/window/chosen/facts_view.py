"""Facts in rows, label and value; one that is not known is a button that leads on.

In: `Fact`s. Out: `asked` with the one that is to be settled. Where there is little room all of them
stand in one line, which a click opens.
"""

from collections.abc import Iterable

from PySide6.QtCore import QRectF, QSize, Qt, Signal
from PySide6.QtGui import QPainter, QPixmap
from PySide6.QtWidgets import QGridLayout, QHBoxLayout, QLabel, QVBoxLayout, QWidget

from fusemap.window.chosen.facts import Fact, in_a_line
from fusemap.window.chosen.links import LinkButton
from fusemap.window.chosen.parts_drawn import fuse_colours
from fusemap.window.parts.headings import muted_label
from fusemap.window.style.measures import px
from fusemap.window.style.theme import FEED_WIDE, Theme, draw_feed_mark
from fusemap.window.texts.plain import plain_label


class FactsView(QWidget):
    """A row for each fact."""

    asked = Signal(object)
    """This `Fact` is to be settled."""
    opened = Signal()
    """The one line was opened."""

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self._theme = theme
        self.facts: tuple[Fact, ...] = ()
        self.values: dict[str, QLabel | LinkButton] = {}
        self._signs: dict[str, QLabel] = {}
        self._placed: dict[int, tuple[QWidget, ...]] = {}
        """What stands in each row."""
        self.setObjectName("chosenFacts")
        self.setAccessibleName(self.tr("What is known"))
        self._rows = QWidget()
        self._grid = QGridLayout(self._rows)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setHorizontalSpacing(px(self, 12))
        self._grid.setVerticalSpacing(px(self, 2))
        self._grid.setColumnStretch(1, 1)
        self.line = LinkButton("chosenFactsLine")
        self.line.set_quiet()
        self.line.setAccessibleDescription(self.tr("Opens a row for each"))
        self.line.clicked.connect(self.opened)
        self.line.hide()
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self._rows)
        column.addWidget(self.line)
        self.hide()  # until there are any

    def show_facts(self, facts: tuple[Fact, ...]) -> None:
        """Show these; no row is made anew that says the same."""
        before = self.facts
        if facts == before:
            return
        self.facts = facts
        alike = [fact.key for fact in facts] == [fact.key for fact in before]
        if not alike:
            self._clear(tuple(self._placed))
            self.values, self._signs = {}, {}
        for row, fact in enumerate(facts):
            if not alike:
                self._add(row, fact)
            elif fact != before[row] and not self._say_anew(before[row], fact):
                self._clear((row,))
                self._signs.pop(fact.key, None)
                self._add(row, fact)
        self.line.show_words(self._theme.style.show(in_a_line(facts)))
        self.setVisible(bool(facts))

    def need(self, width: int) -> int:
        """How high it is at this width [px]."""
        if not self.facts:
            return 0
        if not self.line.isHidden():
            return self.line.heightForWidth(width)
        self._grid.invalidate()
        return self._grid.totalHeightForWidth(width)

    def stops(self) -> tuple[QWidget, ...]:
        """Where the keyboard stops, from the top."""
        return (*(v for v in self.values.values() if isinstance(v, LinkButton)), self.line)

    def fold(self, on: bool) -> None:
        """All in one line, or each in its row."""
        gone, come = (self._rows, self.line) if on else (self.line, self._rows)
        gone.hide()
        come.show()
        self.updateGeometry()  # what is around must not keep the height of both at once

    def _say_anew(self, before: Fact, fact: Fact) -> bool:
        """Another value in the same row, where it is built alike: whether it is."""
        value, picture = self.values[fact.key], self._picture(fact)
        if before.ask or fact.ask or before.label != fact.label or not isinstance(value, QLabel):
            return False
        if (fact.key in self._signs) != (picture is not None):
            return False
        value.setText(self._theme.style.show(fact.value))
        value.setAccessibleName(self._said(fact))
        if picture is not None:
            self._signs[fact.key].setPixmap(picture)
        return True

    def _said(self, fact: Fact) -> str:
        """A fact as a screen reader says it."""
        show = self._theme.style.show
        return f"{show(fact.label)}: {show(fact.value)}"

    def _clear(self, rows: Iterable[int]) -> None:
        for row in rows:
            for widget in self._placed.pop(row):
                self._grid.removeWidget(widget)
                widget.hide()
                widget.deleteLater()

    def _add(self, row: int, fact: Fact) -> None:
        show = self._theme.style.show
        title = muted_label(show(fact.label))
        title.setWordWrap(False)
        top = Qt.AlignmentFlag.AlignTop
        title.setContentsMargins(0, px(self, 2 if not fact.ask else 5), 0, 0)
        title.setAlignment(top)
        self._grid.addWidget(title, row, 0, top)
        value = self._value(fact, show(fact.value))
        value.setAccessibleName(self._said(fact))
        self.values[fact.key] = value
        holder = QWidget()
        line = QHBoxLayout(holder)
        line.setContentsMargins(0, 0, 0, 0)
        line.setSpacing(px(self, 6))
        picture = self._picture(fact)
        if picture is not None:
            self._signs[fact.key] = sign = QLabel()
            sign.setPixmap(picture)
            wide = round(picture.deviceIndependentSize().width())
            sign.setFixedSize(wide, px(self, 24 if fact.ask else 22))
            line.addWidget(sign, 0, top)
        line.addWidget(value, 1)
        self._grid.addWidget(holder, row, 1)
        self._placed[row] = (title, holder)

    def _value(self, fact: Fact, words: str) -> QLabel | LinkButton:
        if not fact.ask:
            value = plain_label(f"fact_{fact.key}", words)
            value.setContentsMargins(0, px(self, 2), 0, 0)
            value.setMinimumHeight(px(self, 22))
            value.setAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop)
            return value
        button = LinkButton(f"fact_{fact.key}")
        button.set_flush()
        button.show_words(words)
        button.clicked.connect(lambda: self.asked.emit(fact))
        return button

    def _picture(self, fact: Fact) -> QPixmap | None:
        """The fuse's colour or the feed's mark, for the eye; the words say the same."""
        high = px(self, 16)
        if fact.fuse is not None:
            size = QSize(px(self, 12), high)
        elif fact.feed_class is not None:
            size = QSize(round(high * FEED_WIDE), high)
        else:
            return None
        ratio = 2.0
        pixmap = QPixmap(size * ratio)
        pixmap.setDevicePixelRatio(ratio)
        pixmap.fill(Qt.GlobalColor.transparent)
        painter = QPainter(pixmap)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        place = QRectF(0.5, 0.5, size.width() - 1, size.height() - 1)
        if fact.fuse is not None:
            painter.setPen(self._theme.colour("frame"))
            painter.setBrush(fuse_colours(fact.fuse, self._theme)[0])
            painter.drawRoundedRect(place, 2, 2)
        elif fact.feed_class is not None:
            draw_feed_mark(painter, place, fact.feed_class, self._theme)
        painter.end()
        return pixmap
