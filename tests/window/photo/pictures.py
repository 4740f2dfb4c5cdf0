"""Pictures of an invented panel for the tests: every place of the grid in a colour of its own."""

import random
from pathlib import Path

from PySide6.QtCore import QBuffer, QByteArray, QIODevice, QRect
from PySide6.QtGui import QColor, QImage, QPainter

COLOURS = ("#d02020", "#20a020", "#2020d0", "#d0d020", "#20d0d0", "#d020d0", "#f08020", "#f0f0f0")


def picture(rows: int = 2, columns: int = 4, wide: int = 800, high: int = 400) -> QImage:
    """A grid of coloured places that fills the whole picture."""
    image = QImage(wide, high, QImage.Format.Format_RGB32)
    painter = QPainter(image)
    for place in range(rows * columns):
        row, column = divmod(place, columns)
        cell = QRect(column * wide // columns, row * high // rows, wide // columns, high // rows)
        painter.fillRect(cell, QColor(COLOURS[place % len(COLOURS)]))
    painter.end()
    return image


def noise(wide: int, high: int) -> QImage:
    """A picture that can hardly be made smaller: no two pixels alike."""
    made = random.Random(7).randbytes(wide * high * 4)
    return QImage(made, wide, high, wide * 4, QImage.Format.Format_RGB32).copy()


def content(image: QImage, form: str, **text: str) -> bytes:
    """The bytes of a picture's file, with texts in it where given."""
    for key, value in text.items():
        image.setText(key, value)
    buffer = QBuffer()
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    assert image.save(buffer, form)
    return bytes(QByteArray(buffer.data()).data())


def file_of(folder: Path, name: str, made: bytes) -> Path:
    """A file with these bytes."""
    path = folder / name
    path.write_bytes(made)
    return path
