"""A card under the hand: where the pointer is over it it comes off the lid, pressed it is tinted.

In: events of the mouse at a cell. Out: which cell is pressed; the shadow's paint.
"""

from typing import Final

from PySide6.QtCore import (
    QAbstractItemModel,
    QEvent,
    QModelIndex,
    QPersistentModelIndex,
    QRectF,
    Qt,
)
from PySide6.QtGui import QColor, QGuiApplication, QPainter
from PySide6.QtWidgets import QStyledItemDelegate, QStyleOptionViewItem, QTableView, QWidget

from fusemap.window.style.theme import Theme

DOWN: Final = 0.11
REACH: Final = 0.33
"""How far it lies below the card, and how far beyond it, in heights of the card's font."""
STEPS: Final = 6
DARKEST: Final = {False: 60, True: 120}
"""How dark it is at the card in a light and in a dark theme [of 255]."""


def paint_shadow(painter: QPainter, card: QRectF, round_: float, unit: float, theme: Theme) -> None:
    """Paint it; the card itself is painted over it."""
    painter.save()
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(0, 0, 0, DARKEST[theme.dark] // STEPS))
    below = card.translated(0, unit * DOWN)
    for step in range(STEPS, 0, -1):
        wider = unit * REACH * step / STEPS
        part = below.adjusted(-wider, -wider, wider, wider)
        painter.drawRoundedRect(part, round_ + wider, round_ + wider)
    painter.restore()


class PressedCards(QStyledItemDelegate):
    """Knows on which cell the mouse is held down."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self._pressed = QPersistentModelIndex()

    def editorEvent(
        self,
        event: QEvent,
        model: QAbstractItemModel,
        option: QStyleOptionViewItem,
        index: QModelIndex | QPersistentModelIndex,
    ) -> bool:
        """A press or its end: the cell is painted anew."""
        kinds = (QEvent.Type.MouseButtonPress, QEvent.Type.MouseButtonRelease)
        if event.type() in kinds:
            down = event.type() == kinds[0]
            self._pressed = QPersistentModelIndex(index) if down else QPersistentModelIndex()
            if isinstance(option.widget, QTableView):
                option.widget.viewport().update()
        return super().editorEvent(event, model, option, index)

    def is_pressed(self, index: QModelIndex | QPersistentModelIndex) -> bool:
        """Whether the mouse is held down on this cell; let go elsewhere it is on none."""
        held = bool(QGuiApplication.mouseButtons() & Qt.MouseButton.LeftButton)
        return held and self._pressed.isValid() and self._pressed == QPersistentModelIndex(index)
