"""Asks where on a photo the four corners of a panel's grid are.

In: a picture, the panel, the corners so far. Out: `fitted` with the four corners, when it is done.
`FitView` lays the grid over the photo, its corners to be dragged onto those of the panel and
`moved` at every change. By keyboard: Tab goes from corner to corner, the arrow keys move one, with
Shift in larger steps.
"""

from typing import Final

from PySide6.QtCore import QPointF, QRectF, QSize, QSizeF, Qt, Signal
from PySide6.QtGui import (
    QAccessible,
    QAccessibleEvent,
    QColor,
    QFocusEvent,
    QImage,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPainterPath,
    QPaintEvent,
    QPen,
    QPolygonF,
    QTransform,
)
from PySide6.QtWidgets import QDialog, QDialogButtonBox, QSizePolicy, QVBoxLayout, QWidget

from fusemap.text import Style, share
from fusemap.vehicle import Panel, PhotoPoint
from fusemap.vehicle.validity import is_grid
from fusemap.window.panel.card_places import scaled_font
from fusemap.window.style.theme import space
from fusemap.window.texts.plain import plain_label

Corners = tuple[PhotoPoint, ...]

STEP: Final = 0.002
"""What an arrow key moves a corner by [share of the picture]."""
LARGE_STEP: Final = 0.02
_ARROWS: Final = {
    Qt.Key.Key_Left: (-1, 0),
    Qt.Key.Key_Right: (1, 0),
    Qt.Key.Key_Up: (0, -1),
    Qt.Key.Key_Down: (0, 1),
}
_LIGHT, _DARK = QColor("#ffffff"), QColor("#10161c")
_ACCENT: Final = QColor("#0f7cc0")


class FitView(QWidget):
    """The photo with the grid over it; one corner is chosen."""

    moved = Signal()

    def __init__(self, image: QImage, panel: Panel, corners: Corners, style: Style) -> None:
        super().__init__()
        self._style = style
        self._image = image
        self._panel = panel
        self.corners = corners
        self.chosen = 0
        self._grip: QPointF | None = None
        self.setObjectName("fitView")
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMouseTracking(True)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self._tell()

    def sizeHint(self) -> QSize:
        """As large as there is room for."""
        em = self.fontMetrics().height()
        return QSize(em * 46, em * 32)

    def minimumSizeHint(self) -> QSize:
        """Still to be worked on."""
        em = self.fontMetrics().height()
        return QSize(em * 16, em * 12)

    # --- where things are -----------------------------------------------------------------------

    def picture(self) -> QRectF:
        """Where the photo is drawn, with room round it for the handles at its edges."""
        edge = self._handle()
        room = QRectF(self.rect()).adjusted(edge, edge, -edge, -edge)
        size = QSizeF(self._image.size()).scaled(room.size(), Qt.AspectRatioMode.KeepAspectRatio)
        place = QRectF(QPointF(0, 0), size)
        place.moveCenter(room.center())
        return place

    def at(self, corner: int) -> QPointF:
        """Where a corner is on the screen."""
        area, point = self.picture(), self.corners[corner]
        return QPointF(
            area.left() + point.across * area.width(), area.top() + point.down * area.height()
        )

    def _handle(self) -> float:
        return self.fontMetrics().height() * 0.7

    def _point(self, place: QPointF) -> PhotoPoint:
        """A place of the screen as one of the picture, on its edge where it lies outside."""
        area = self.picture()
        across = (place.x() - area.left()) / area.width()
        down = (place.y() - area.top()) / area.height()
        return PhotoPoint(across=_share(across), down=_share(down))

    # --- moving ---------------------------------------------------------------------------------

    def set_corners(self, corners: Corners) -> None:
        """Lay the grid elsewhere."""
        if corners != self.corners and is_grid(corners):
            self.corners = corners
            self._tell()
            self.update()
            self.moved.emit()

    def turn(self) -> None:
        """Turn the grid by a quarter: the photo was taken from another side."""
        self.set_corners((*self.corners[1:], self.corners[0]))

    def _move(self, corner: int, to: PhotoPoint) -> None:
        """Move a corner; where it would bend the grid inwards it stays."""
        self.set_corners(tuple(to if at == corner else c for at, c in enumerate(self.corners)))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """The arrow keys move the chosen corner."""
        way = _ARROWS.get(Qt.Key(event.key()))
        if way is None:
            super().keyPressEvent(event)
            return
        shift = bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier)
        step, point = LARGE_STEP if shift else STEP, self.corners[self.chosen]
        across = _share(point.across + way[0] * step)
        self._move(self.chosen, PhotoPoint(across=across, down=_share(point.down + way[1] * step)))

    def focusNextPrevChild(self, next: bool) -> bool:
        """Tab goes to the next corner, after the last one out of here."""
        to = self.chosen + (1 if next else -1)
        if not 0 <= to < len(self.corners):
            return super().focusNextPrevChild(next)
        self._choose(to)
        return True

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Come in by Tab at the first corner, backwards at the last."""
        super().focusInEvent(event)
        if event.reason() == Qt.FocusReason.TabFocusReason:
            self._choose(0)
        elif event.reason() == Qt.FocusReason.BacktabFocusReason:
            self._choose(len(self.corners) - 1)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Take the nearest corner, where one is near."""
        nearest = min(range(4), key=lambda at: _distance(self.at(at), event.position()))
        if (
            event.button() == Qt.MouseButton.LeftButton
            and _distance(self.at(nearest), event.position()) <= self._handle() * 2
        ):
            self._choose(nearest)
            self._grip = self.at(nearest) - event.position()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Drag the corner that was taken."""
        if self._grip is not None:
            self._move(self.chosen, self._point(event.position() + self._grip))

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """Let it go."""
        self._grip = None

    def _choose(self, corner: int) -> None:
        self.chosen = corner
        self._tell()
        self.update()

    # --- words ----------------------------------------------------------------------------------

    def corner_words(self) -> str:
        """The chosen corner and where it is."""
        names = (
            self.tr("top left"),
            self.tr("top right"),
            self.tr("bottom right"),
            self.tr("bottom left"),
        )
        point = self.corners[self.chosen]
        return self.tr("Corner {corner}: {across} from the left, {down} from the top").format(
            corner=names[self.chosen],
            across=self._style.show(share(point.across)),
            down=self._style.show(share(point.down)),
        )

    def _tell(self) -> None:
        self.setAccessibleName(self.corner_words())
        QAccessible.updateAccessibility(QAccessibleEvent(self, QAccessible.Event.NameChanged))

    # --- painting -------------------------------------------------------------------------------

    def paintEvent(self, event: QPaintEvent) -> None:
        """The photo, the grid as it would lie, its labels and its handles."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
        painter.drawImage(self.picture(), self._image)
        lay = self._lay()
        self._paint_lines(painter, lay)
        self._paint_labels(painter, lay)
        for corner in range(4):
            self._paint_handle(painter, corner)

    def _lay(self) -> QTransform:
        """The way from rows and columns to the screen."""
        area = QRectF(0, 0, self._panel.columns, self._panel.rows)
        grid = [area.topLeft(), area.topRight(), area.bottomRight(), area.bottomLeft()]
        seen = [self.at(corner) for corner in range(4)]
        made = QTransform.quadToQuad(QPolygonF(grid), QPolygonF(seen))
        return made if isinstance(made, QTransform) else QTransform()

    def _paint_lines(self, painter: QPainter, lay: QTransform) -> None:
        """Each line of the grid, light on dark, to be seen on any picture."""
        rows, columns = self._panel.rows, self._panel.columns
        lines = [((0, row), (columns, row)) for row in range(rows + 1)]
        lines += [((column, 0), (column, rows)) for column in range(columns + 1)]
        ends = [(lay.map(QPointF(*a)), lay.map(QPointF(*b))) for a, b in lines]
        for colour, wide in ((_DARK, 3.6), (_LIGHT, 1.6)):
            painter.setPen(QPen(colour, wide))
            for start, end in ends:
                painter.drawLine(start, end)

    def _paint_labels(self, painter: QPainter, lay: QTransform) -> None:
        """The labels of the slots, so that one sees which way the grid lies."""
        font = scaled_font(self.font(), 0.9, bold=True)
        for slot in self._panel.slots:
            middle = lay.map(QPointF(slot.column + 0.5, slot.row + 0.5))
            left = lay.map(QPointF(slot.column, slot.row + 0.5))
            path = QPainterPath()
            path.addText(QPointF(0, 0), font, slot.label)
            # No wider than four fifths of its place, so that the labels do not run together.
            room = 1.6 * _distance(middle, left)
            size = min(1.0, room / max(1.0, path.boundingRect().width()))
            path = QTransform.fromScale(size, size).map(path)
            path.translate(middle - path.boundingRect().center())
            painter.strokePath(path, QPen(_DARK, 3.0 * size))
            painter.fillPath(path, _LIGHT)

    def _paint_handle(self, painter: QPainter, corner: int) -> None:
        chosen = corner == self.chosen and self.hasFocus()
        size = self._handle() * (0.85 if chosen else 0.65)
        painter.setPen(QPen(_LIGHT, 3.0))
        fill = QColor(_ACCENT if chosen else _DARK)
        fill.setAlphaF(0.75 if chosen else 0.5)
        painter.setBrush(fill)
        painter.drawEllipse(self.at(corner), size, size)
        painter.setPen(QPen(_DARK, 1.2))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawEllipse(self.at(corner), size + 1.8, size + 1.8)
        painter.setBrush(_LIGHT)
        painter.drawEllipse(self.at(corner), 2.0, 2.0)


def _share(value: float) -> float:
    """A share of the picture, to a tenth of a thousandth: finer than a pixel of it."""
    return round(min(1.0, max(0.0, value)), 4)


def _distance(one: QPointF, other: QPointF) -> float:
    return (one - other).manhattanLength()


_INSET = 0.08
FIRST_CORNERS: Corners = tuple(
    PhotoPoint(across=across, down=down)
    for across, down in (
        (_INSET, _INSET), (1 - _INSET, _INSET), (1 - _INSET, 1 - _INSET), (_INSET, 1 - _INSET),
    )
)  # fmt: skip
"""Where the corners of a new photo are, a little inside: there they can be taken hold of."""


class FitDialog(QDialog):
    """The photo with the grid over it, and what can be done to it."""

    fitted = Signal(object)

    def __init__(
        self, parent: QWidget, image: QImage, panel: Panel, corners: Corners, style: Style
    ) -> None:
        super().__init__(parent)
        self.setObjectName("fitDialog")
        self.setWindowTitle(self.tr("Fit the photo"))
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.view = FitView(image, panel, corners, style)
        self.where = plain_label("fitWhere")
        self.where.setProperty("muted", True)
        self.view.moved.connect(self._show)
        hint = plain_label(
            "fitHint",
            self.tr(
                "Drag each corner of the grid onto the outer corner of the panel’s corner slot. "
                "By keyboard: Tab from corner to corner, arrow keys, with Shift in larger steps."
            ),
        )
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Cancel)
        done = buttons.addButton(self.tr("&Done"), QDialogButtonBox.ButtonRole.AcceptRole)
        done.setObjectName("fitDone")
        turn = buttons.addButton(self.tr("&Turn the grid"), QDialogButtonBox.ButtonRole.ActionRole)
        turn.setObjectName("fitTurn")
        turn.setToolTip(self.tr("A quarter: for a photo that was taken from another side"))
        turn.clicked.connect(self.view.turn)
        buttons.accepted.connect(self._done)
        buttons.rejected.connect(self.reject)
        column = QVBoxLayout(self)
        column.setSpacing(space(self, "medium"))
        column.addWidget(hint)
        column.addWidget(self.view, 1)
        column.addWidget(self.where)
        column.addWidget(buttons)
        self._show()
        room, em = self.screen().availableSize(), self.fontMetrics().height()
        self.resize(min(em * 56, room.width() * 9 // 10), min(em * 44, room.height() * 9 // 10))
        self.view.setFocus(Qt.FocusReason.OtherFocusReason)

    def _show(self) -> None:
        self.where.setText(self.view.corner_words())

    def _done(self) -> None:
        self.fitted.emit(self.view.corners)
        self.accept()
