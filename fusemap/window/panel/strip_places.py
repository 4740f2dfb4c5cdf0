"""Where everything in the feed strip stands, and its battery.

In: the size of the strip, the height of its font and its rows. Out: a `RowPlace` for each. What
yields where room is short: the amperes, then the names, then the bars; mark and figure stay.
"""

from collections.abc import Sequence

from msgspec import Struct
from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QPainter, QPen

from fusemap.window.panel.strip_rows import StripRow
from fusemap.window.style.theme import Theme

WIDE, FOLDED = 6.3, 5.1
"""Width of the strip and of the folded one, in heights of its font: a mark and a verdict beside it
have room in both."""
BUS, LEFT, RIGHT = 0.45, 1.05, 0.6
"""Where the bus runs; where what stands beside it begins, and how far from the right it ends."""
CEILING = 0.62
"""Room above the battery, where the way goes over it."""
BATTERY_HIGH, MARK, LINE, BAR, AIR = 1.75, 1.2, 1.0, 0.5, 0.3
BATTERY_WIDE, VERDICT = 2.2, 0.95
RING = 0.14
"""So far one mark stays from the next, however little room there is: one may have a ring."""
THIN_RING = 0.07
"""So far it stays from a figure: a ring is made thin there."""
SMALLEST = 0.55
"""So much smaller mark and figure become at most before the figure goes."""
READ = 10.5
"""The lowest line of a figure that is read [px]; lower ones go."""


class RowPlace(Struct, frozen=True):
    """Where one row of the strip stands, and what of it is shown."""

    whole: QRectF
    mark: QRectF
    name: QRectF
    bar: QRectF
    figure: QRectF
    amperes: QRectF


def places_in(
    wide: float, high: float, unit: float, rows: Sequence[StripRow], *, folded: bool
) -> list[RowPlace]:
    """Where every row stands: evenly from the top to the bottom."""
    if not rows:
        return []
    top = unit * CEILING
    room, others = high - top, len(rows) - 1
    head = min(unit * (BATTERY_HIGH + LINE * 2 + BAR + AIR * 1.5), room / len(rows))
    pitch = (room - head) / max(1, others)
    made = [_place(rows[0], QRectF(0, top, wide, head if others else room), unit, folded)]
    return made + [
        _place(row, QRectF(0, top + head + number * pitch, wide, pitch), unit, folded)
        for number, row in enumerate(rows[1:])
    ]


def _place(row: StripRow, whole: QRectF, unit: float, folded: bool) -> RowPlace:
    """What of a row is shown in its room."""
    left, right = unit * LEFT, whole.width() - unit * RIGHT
    room, battery = whole.height() / unit, row.feed_class is None
    mark = min(BATTERY_HIGH if battery else MARK, max(0.0, room - RING))
    figure = LINE if row.carried is not None else 0.0
    # the ring round the mark touches neither its own figure nor that of the row above
    ring = THIN_RING if figure and not battery else 0.0
    if figure and room < mark + figure + 2 * ring:
        # both are made smaller before the figure goes
        shrunk = (room - 2 * ring) / (mark + figure)
        mark, figure = (
            (mark * shrunk, figure * shrunk)
            if shrunk >= max(SMALLEST, READ / unit)
            else (mark, 0.0)
        )
    room -= mark + figure
    bar = BAR if room >= BAR + 2 * ring and (figure or row.key == "?") else 0.0
    # the ring round the next mark needs some air above it
    room -= bar + AIR
    named = not folded and room >= LINE * 0.95 and (not battery or bool(row.source))
    room -= LINE if named else 0.0
    amperes = not folded and row.carried is not None and room >= LINE * 0.95
    room -= LINE if amperes else 0.0

    at, places = whole.top(), []
    air = min(AIR, max(ring if figure else 0.0, room))
    name, last = (LINE if each else 0.0 for each in (named, amperes))
    for high in (mark + air, name, bar, figure, last):
        places.append(QRectF(left, at, right - left, high * unit))
        at += high * unit
    places[0].setHeight(mark * unit)
    return RowPlace(whole, *places)


def verdict_place(place: RowPlace, unit: float) -> QRectF:
    """Where the shape of a verdict stands: right of the mark, clear of the rows next to it."""
    side, line = min(unit * VERDICT, place.whole.height() * 0.92), place.mark
    return QRectF(line.right() - side, line.center().y() - side / 2, side, side)


def draw_battery(painter: QPainter, place: QRectF, theme: Theme) -> None:
    """The starter battery: its case, two posts, plus and minus."""
    high, wide = place.height(), place.width()
    case = QRectF(place.left(), place.top() + high * 0.22, wide, high * 0.74)
    painter.save()
    painter.setPen(QPen(theme.colour("bus"), max(1.0, high * 0.03)))
    painter.setBrush(theme.colour("part_pin"))
    for share_ in (0.16, 0.64):
        painter.drawRoundedRect(
            QRectF(place.left() + wide * share_, place.top() + high * 0.06, wide / 5, high * 0.22),
            high * 0.04, high * 0.04,
        )  # fmt: skip
    painter.setBrush(theme.colour("part"))
    painter.drawRoundedRect(case, high * 0.1, high * 0.1)
    painter.setPen(QPen(theme.colour("part_pin"), max(1.2, high * 0.06)))
    long, y = wide * 0.09, case.top() + case.height() * 0.55
    for share_ in (0.26, 0.74):
        x = place.left() + wide * share_
        painter.drawLine(QPointF(x - long, y), QPointF(x + long, y))
        if share_ < 0.5:
            painter.drawLine(QPointF(x, y - long), QPointF(x, y + long))
    painter.restore()
