"""Pictures of invented fuse panels, drawn as a telephone might see them, to try the program on.

A panel of dark plastic with holders, labels and fuses in the colours that their standards name is
drawn straight; then it is lit, tilted, shadowed, soiled, blurred and sent through JPEG. Plastics
are not the program's screen colours: each panel's fuses differ from them as makers' fuses differ
from each other, and each fuse a little more. No real picture is among them.
"""

from base64 import b64decode
from collections.abc import Sequence
from dataclasses import dataclass
from random import Random

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QImage, QPainter, QPolygonF, QTransform

from fusemap.photo.places import Point
from fusemap.window.photo import taking

CELL = (132, 150)
"""A place of the straight drawing [px]."""
RATINGS = (2.0, 3.0, 4.0, 5.0, 7.5, 10.0, 15.0, 20.0, 25.0, 30.0)
SEEN = (1, 2, 1, 4, 5, 6, 6, 5, 2, 3)
"""How often a rating is drawn: as in a usual car the middle ones most (no source)."""

# The plastics by their names in the standards, from memory of how they look; not the table's.
PLASTICS = {
    2.0: (150, 152, 156), 3.0: (120, 70, 150), 4.0: (232, 140, 165), 5.0: (214, 176, 122),
    7.5: (128, 76, 40), 10.0: (204, 40, 38), 15.0: (44, 110, 190), 20.0: (246, 206, 40),
    25.0: (236, 238, 240), 30.0: (44, 150, 80),
    1.0: (30, 30, 32), 35.0: (40, 150, 150), 40.0: (236, 120, 40),
}  # fmt: skip


@dataclass(frozen=True)
class How:
    """How a picture is taken. `gains` colour its light; all else is 0 for none."""

    name: str
    gains: tuple[float, float, float] = (1.0, 1.0, 1.0)
    bright: float = 1.0
    tilt: float = 0.04
    blur: int = 1
    noise: float = 0.01
    quality: int = 80
    shadow: float = 0.0
    glare: int = 0
    dirt: int = 0
    plastic: int = 34
    size: tuple[int, int] = (1280, 960)
    empty: float = 0.14
    """How many of the places are empty."""
    off: float = 9.0
    """How far the makers' plastics are from those of the standards [of 255]."""


@dataclass(frozen=True)
class Taken:
    """A picture, where its grid is, what is really in each place (`None` empty), and its grey."""

    how: How
    pixels: NDArray[np.uint8]
    corners: tuple[Point, ...]
    rows: int
    columns: int
    truth: dict[tuple[int, int], float | None]
    labels: dict[tuple[int, int], str]
    grey: tuple[float, float, float]
    """The encoded colour of a sheet of grey paper that lies beside the panel."""


WAYS = (
    How("daylight, straight", tilt=0.0),
    How("incandescent lamp", gains=(1.45, 1.0, 0.52)),
    How("blue shade", gains=(0.78, 1.0, 1.38)),
    How("green workshop tube", gains=(0.9, 1.08, 0.82), noise=0.02),
    How("dim, noisy", bright=0.4, noise=0.035, gains=(1.15, 1.0, 0.8)),
    How("too bright", bright=1.45),
    How("hard shadow", shadow=0.6, tilt=0.08),
    How("glare", glare=9, bright=1.1),
    How("dirt", dirt=46, gains=(1.08, 1.0, 0.9)),
    How("steep tilt", tilt=0.2, shadow=0.25),
    How("blurred, strong JPEG", blur=5, quality=28, noise=0.02),
    How("small, JPEG", size=(720, 540), quality=35, blur=2),
    How("grey plastic, torch in the middle", plastic=92, shadow=-0.5, gains=(0.95, 1.0, 1.1)),
    How("all at once", gains=(1.25, 1.0, 0.7), bright=0.8, tilt=0.1, blur=2, noise=0.02,
        quality=50, shadow=0.4, glare=4, dirt=16),
)  # fmt: skip
"""Fourteen ways to take a picture, each of another panel."""


def taken(
    how: How, seed: int, rows: int = 4, columns: int = 8, ratings: Sequence[float] = ()
) -> Taken:
    """A picture of a panel of its own, taken so; with these ratings, each as often, if given."""
    random = Random(seed)
    truth: dict[tuple[int, int], float | None] = {}
    for row in range(rows):
        for column in range(columns):
            empty = random.random() < how.empty
            among = (ratings, None) if ratings else (RATINGS, SEEN)
            truth[row, column] = None if empty else random.choices(*among)[0]
    labels = {place: f"F{n + 1}" for n, place in enumerate(truth)}
    straight = _drawn(how, truth, labels, rows, columns, random)
    tilted, corners = _tilted(how, straight, random)
    pixels, grey = _lit(how, tilted, np.random.default_rng(seed))
    wrong = [tuple(at + random.uniform(-0.004, 0.004) for at in corner) for corner in corners]
    return Taken(how, pixels, tuple(wrong), rows, columns, truth, labels, grey)


def _drawn(how, truth, labels, rows, columns, random) -> QImage:  # type: ignore[no-untyped-def]
    wide, high = CELL
    image = QImage(wide * columns, high * rows, QImage.Format.Format_RGB32)
    image.fill(QColor(how.plastic, how.plastic, how.plastic + 3))
    painter = QPainter(image)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    others = sorted(PLASTICS.keys() - set(RATINGS))
    maker = {each: _off(PLASTICS[each], random, how.off) for each in (*RATINGS, *others)}
    for (row, column), rating in truth.items():
        cell = QRectF(column * wide, row * high, wide, high)
        _holder(painter, cell, how)
        if rating is not None:
            _fuse(painter, cell, rating, _off(maker[rating], random, 5), random)
        painter.setPen(QColor(225, 225, 222) if how.plastic < 128 else QColor(30, 30, 34))
        painter.setFont(QFont("DejaVu Sans", 11, QFont.Weight.Bold))
        at = cell.adjusted(3, 2, 0, -wide * 0.98)
        painter.drawText(at, Qt.AlignmentFlag.AlignLeft, labels[row, column])
    painter.end()
    return image


def _off(colour, random, by):  # type: ignore[no-untyped-def]
    """A plastic like this one: lighter or darker, and a little of another hue."""
    lighter = random.gauss(0, by)
    return tuple(
        int(min(252, max(4, part + lighter + random.gauss(0, by * 0.7)))) for part in colour
    )


def _holder(painter: QPainter, cell: QRectF, how: How) -> None:
    """The hole, with its two contacts, and the rim between places."""
    hole = cell.adjusted(cell.width() * 0.27, cell.height() * 0.17, -cell.width() * 0.27,
                         -cell.height() * 0.09)  # fmt: skip
    painter.setPen(QColor(*(max(0, how.plastic - 14),) * 3))
    painter.setBrush(QColor(*(max(0, how.plastic - 8),) * 3))
    painter.drawRect(hole)
    painter.setBrush(QColor(110, 104, 92))
    painter.setPen(Qt.PenStyle.NoPen)
    for share in (0.22, 0.78):
        at = QPointF(hole.center().x(), hole.top() + hole.height() * share)
        painter.drawRect(QRectF(at.x() - 5, at.y() - 2, 10, 4))


def _fuse(painter, cell, rating, colour, random):  # type: ignore[no-untyped-def]
    body = cell.adjusted(cell.width() * 0.24, cell.height() * 0.15, -cell.width() * 0.24,
                         -cell.height() * 0.07).translated(random.uniform(-3, 3),
                                                           random.uniform(-3, 3))  # fmt: skip
    ink = QColor(*colour)
    if rating == 25.0:
        ink.setAlpha(150)  # one looks into it
    painter.setPen(QColor(*(int(part * 0.55) for part in colour)))
    painter.setBrush(ink)
    painter.drawRoundedRect(body, 6, 6)
    light = QColor(255, 255, 255, 38)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(light)
    painter.drawRoundedRect(body.adjusted(4, 4, -body.width() * 0.62, -4), 4, 4)
    painter.setBrush(QColor(0, 0, 0, 40))
    painter.drawRoundedRect(body.adjusted(body.width() * 0.7, 4, -3, -4), 4, 4)
    painter.setBrush(QColor(172, 170, 164))
    for share in (0.12, 0.88):
        y = body.top() + body.height() * share
        painter.drawRect(QRectF(body.center().x() - 9, y - 4, 18, 8))
    dark = rating in (4.0, 5.0, 20.0, 25.0)
    painter.setPen(QColor(40, 38, 36) if dark else QColor(240, 240, 236))
    painter.setFont(QFont("DejaVu Sans", 20, QFont.Weight.Bold))
    painter.drawText(body, Qt.AlignmentFlag.AlignCenter, f"{rating:g}")


def _tilted(how, straight, random):  # type: ignore[no-untyped-def]
    wide, high = how.size
    image = QImage(wide, high, QImage.Format.Format_RGB32)
    image.fill(QColor(70, 68, 64))
    painter = QPainter(image)
    painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
    painter.fillRect(QRectF(2, 2, wide * 0.08, high * 0.05), QColor(128, 128, 128))
    edge = [(0.08, 0.14), (0.92, 0.14), (0.92, 0.88), (0.08, 0.88)]
    corners = [tuple(at + random.uniform(-1, 1) * how.tilt * 0.6 for at in c) for c in edge]
    if how.tilt >= 0.2:  # seen from below: the far side is smaller
        corners = [(0.24, 0.2), (0.8, 0.16), (0.97, 0.9), (0.05, 0.86)]
    corners = [(min(1.0, max(0.0, x)), min(1.0, max(0.06, y))) for x, y in corners]
    small = straight.scaled(wide, high, Qt.AspectRatioMode.KeepAspectRatio,
                            Qt.TransformationMode.SmoothTransformation)  # fmt: skip
    area = QRectF(small.rect())
    square = [area.topLeft(), area.topRight(), area.bottomRight(), area.bottomLeft()]
    onto = [QPointF(x * wide, y * high) for x, y in corners]
    painter.setTransform(QTransform.quadToQuad(QPolygonF(square), QPolygonF(onto)))
    painter.drawImage(0, 0, small)
    painter.end()
    return image, tuple(corners)


def array_of(image: QImage) -> NDArray[np.uint8]:
    """The pixels of a picture: height × width × 3."""
    image = image.convertToFormat(QImage.Format.Format_RGB888)
    lines = np.frombuffer(image.constBits(), np.uint8).reshape(image.height(), -1)
    return lines[:, : image.width() * 3].reshape(image.height(), image.width(), 3).copy()


def image_of(pixels: NDArray[np.uint8]) -> QImage:
    """The same the other way."""
    high, wide = pixels.shape[:2]
    form = QImage.Format.Format_RGB888
    return QImage(np.ascontiguousarray(pixels).tobytes(), wide, high, wide * 3, form).copy()


def _lit(how, image, random):  # type: ignore[no-untyped-def]
    encoded = array_of(image) / 255.0
    linear = np.where(encoded <= 0.04045, encoded / 12.92, ((encoded + 0.055) / 1.055) ** 2.4)
    high, wide = linear.shape[:2]
    y, x = np.mgrid[0:high, 0:wide]
    u, v = x / wide, y / high
    light = np.array(how.gains) * how.bright * np.ones((high, wide, 1))
    light *= (1.08 - 0.25 * ((u - 0.5) ** 2 + (v - 0.5) ** 2))[..., None]
    if how.shadow > 0:  # an edge across the picture, half soft
        light *= (1 - how.shadow / (1 + np.exp(-(u * 0.8 + v * 0.5 - 0.72) * 22)))[..., None]
    elif how.shadow < 0:
        far = (u - 0.5) ** 2 + (v - 0.5) ** 2
        light *= (0.55 - how.shadow * 1.6 * np.exp(-far * 7))[..., None]
    linear = linear * light
    for _ in range(how.dirt):
        at, size = random.random(2), random.uniform(0.006, 0.03)
        spot = np.exp(-(((u - at[0]) * 1.3) ** 2 + (v - at[1]) ** 2) / size**2) * 0.6
        linear = linear * (1 - spot[..., None]) + np.array([0.07, 0.05, 0.03]) * spot[..., None]
    for _ in range(how.glare):
        at, size = random.random(2), random.uniform(0.01, 0.035)
        spot = np.exp(-(((u - at[0]) / 2) ** 2 + (v - at[1]) ** 2) / size**2) * 1.6
        linear = linear + spot[..., None]
    linear += 0.004  # light scattered in the lens
    encoded = np.where(linear <= 0.0031308, linear * 12.92,
                       1.055 * np.maximum(linear, 1e-9) ** (1 / 2.4) - 0.055)  # fmt: skip
    encoded += random.normal(0, how.noise, encoded.shape)
    encoded = _blurred(np.clip(encoded, 0, 1), how.blur)
    pixels = (encoded * 255 + 0.5).astype(np.uint8)
    packed = _jpeg(image_of(pixels), how.quality)
    seen = array_of(packed)
    patch = seen[int(high * 0.02) : int(high * 0.04), int(wide * 0.02) : int(wide * 0.06)]
    grey = tuple(float(each) for each in np.median(patch.reshape(-1, 3), axis=0) / 255)
    return seen, grey


def _blurred(encoded, by):  # type: ignore[no-untyped-def]
    for axis in (0, 1):
        parts = [np.roll(encoded, step, axis) for step in range(-by, by + 1)]
        encoded = sum(parts) / len(parts)
    return encoded


def _jpeg(image: QImage, quality: int) -> QImage:
    """Sent by a telephone at this quality, then kept as the program keeps it."""
    rough = QImage.fromData(taking._jpeg(image, quality))
    return QImage.fromData(b64decode(taking.pack(rough)))
