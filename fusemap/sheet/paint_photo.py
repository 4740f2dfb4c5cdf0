"""The photo of a lid on paper with its places marked: a label at each, black where one is tapped.

In: a `PhotoPicture` and the width there is. Out: strips. Where two marks would lie on each other
the one of the tapped place is kept. Lengths are dots of 1/1200 inch.
"""

from collections.abc import Iterator
from typing import Final

from PySide6.QtCore import QBuffer, QByteArray, QIODevice, QPointF, QRectF, QSizeF, Qt
from PySide6.QtGui import QColor, QImage, QImageReader, QPainter, QPolygonF

from fusemap.photo.jpeg import LONGEST_SIDE, kept_jpeg
from fusemap.photo.places import corners_of
from fusemap.sheet.content import PhotoPicture, SlotPicture
from fusemap.sheet.paint_flow import Strip, lines, nothing, set_line
from fusemap.sheet.paint_ink import (
    GREY,
    INK,
    SMALLEST,
    WHITE,
    draw_line,
    metrics,
    mm,
    pen,
    pt,
    set_text,
)

HIGHEST_MM: Final = 118.0
MARK: Final = mm(3.6)
"""Height of a mark."""


def image_of(block: PhotoPicture) -> QImage | None:
    """The picture, where it is written as a vehicle keeps one."""
    content = kept_jpeg(block.photo.jpeg)
    if content is None:
        return None
    buffer = QBuffer()
    buffer.setData(content)
    buffer.open(QIODevice.OpenModeFlag.ReadOnly)
    reader = QImageReader(buffer, QByteArray(b"jpeg"))
    reader.setAutoDetectImageFormat(False)
    size = reader.size()
    if size.isEmpty() or max(size.width(), size.height()) > LONGEST_SIDE:
        return None
    image = reader.read()
    return None if image.isNull() else image


def photo_strips(block: PhotoPicture, wide: float) -> Iterator[Strip]:
    """The name, the photo with its marks, what they mean; nothing where it cannot be drawn."""
    image = image_of(block)
    if image is None:
        return
    name = set_text(block.name, wide, 9.5, bold=True)
    for index in range(name.lines):
        above = 0.0 if index else pt(6)
        yield Strip(name.line_height, set_line(name, index), keep=True, gap=above)
    room = QSizeF(wide, mm(HIGHEST_MM))
    size = QSizeF(image.size()).scaled(room, Qt.AspectRatioMode.KeepAspectRatio)

    def draw(painter: QPainter, x: float, y: float) -> None:
        place = QRectF(QPointF(x, y), size)
        painter.drawImage(place, image)
        painter.setPen(pen(0.6, WHITE))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        for slot in block.slots:
            painter.drawPolygon(QPolygonF(outline(block, slot, place)))
        for slot, at in marks(block, place):
            _draw_mark(painter, at, slot)

    yield Strip(size.height(), draw, keep=True, gap=pt(3))
    note = set_text(block.note, wide, SMALLEST, colour=GREY)
    yield Strip(pt(2), nothing, keep=True)
    yield from lines(note, keep_first=9)
    yield Strip(pt(3), nothing)


def marks(block: PhotoPicture, place: QRectF) -> Iterator[tuple[SlotPicture, QRectF]]:
    """Every mark with where it lies on a photo that fills a place, those of tapped places first."""
    taken: list[QRectF] = []
    for slot in sorted(block.slots, key=lambda each: not each.badges):
        if slot.kind == "blocked" or not (slot.label or slot.badges):
            continue
        words = words_of(slot)
        wide = metrics(SMALLEST, True).horizontalAdvance(words) + mm(1.6)
        at = QRectF(0, 0, wide, MARK)
        at.moveCenter(_middle(block, slot, place))
        at.moveLeft(max(place.left(), min(at.left(), place.right() - wide)))
        at.moveTop(max(place.top(), min(at.top(), place.bottom() - MARK)))
        if not any(at.intersects(other) for other in taken):
            taken.append(at)
            yield slot, at


def words_of(slot: SlotPicture) -> str:
    """What stands at a place: its label, and the numbers of what is tapped there."""
    numbers = f"({', '.join(slot.badges)})" if slot.badges else ""
    return " ".join(part for part in (slot.label, numbers) if part)


def _middle(block: PhotoPicture, slot: SlotPicture, place: QRectF) -> QPointF:
    quad = outline(block, slot, place)
    return QPointF(
        sum(point.x() for point in quad) / len(quad), sum(point.y() for point in quad) / len(quad)
    )


def outline(block: PhotoPicture, slot: SlotPicture, place: QRectF) -> list[QPointF]:
    """The four corners of a place on the photo."""
    corners = [(corner.across, corner.down) for corner in block.photo.corners]
    quad = corners_of(corners, (block.rows, block.columns), (slot.row, slot.column), -0.04)
    return [
        QPointF(place.left() + x * place.width(), place.top() + y * place.height()) for x, y in quad
    ]


def _draw_mark(painter: QPainter, at: QRectF, slot: SlotPicture) -> None:
    black = bool(slot.badges)
    painter.setPen(pen(0.6, WHITE if black else INK))
    painter.setBrush(QColor(INK if black else WHITE))
    painter.drawRoundedRect(at, mm(0.6), mm(0.6))
    ink = WHITE if black else INK
    draw_line(painter, at, words_of(slot), SMALLEST, bold=True, align="centre", colour=ink)
