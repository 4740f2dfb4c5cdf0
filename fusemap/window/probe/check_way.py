"""The way of one accessory's current as a row: what agreed, what differs, where to measure.

In: the vehicle, the steps of the check, the one in hand. Out: stations as values; the row that
draws them and knows where the tips of a meter go on it.
"""

from collections.abc import Sequence
from itertools import pairwise
from typing import Final, Literal

from msgspec import Struct
from PySide6.QtCore import QCoreApplication, QPointF, QRectF, Qt
from PySide6.QtGui import QFont, QFontMetricsF, QPainter, QPaintEvent, QPen, QPolygonF

from fusemap.probing import final_check
from fusemap.probing.check_step import CheckStep
from fusemap.text import Words, given, run_on, say
from fusemap.vehicle import Fuse, Tap, Vehicle, look_up
from fusemap.vehicle.words import TAP
from fusemap.window.beside.big import draw_line
from fusemap.window.beside.meter import Setting
from fusemap.window.beside.meter_place import Holding
from fusemap.window.beside.pieces import Piece
from fusemap.window.beside.scale import SMALL
from fusemap.window.probe.check_parts import Part, draw_part
from fusemap.window.style.signs import draw_verdict
from fusemap.window.style.theme import Theme

translate = QCoreApplication.translate
Judged = Literal["", "agrees", "differs"]

WHERE: Final[dict[str, Part]] = {
    "stays_on": "slot", "host": "slot", "host_drop": "slot", "grips": "tap", "current": "tap",
    "warm": "tap", "volts": "accessory", "output": "accessory", "polarity": "cable",
    "cut_off": "accessory",
    "earth": "earth", "earth_point": "earth", "lamp_pin": "socket",
    "rest": "cable", "evening": "battery", "morning": "battery", "lamps": "vehicle",
}  # fmt: skip
"""At which station each step is done."""
RED_BLACK: Final[dict[str, tuple[Part, Part]]] = {
    "host_drop": ("battery", "slot"),
    "volts": ("accessory", "accessory"),
    "polarity": ("cable", "cable"),
    "output": ("accessory", "accessory"),
    "cut_off": ("accessory", "accessory"),
    "earth": ("accessory", "battery"),
    "earth_point": ("earth", "battery"),
    "current": ("tap", "tap"),
    "lamp_pin": ("socket", "socket"),
    # never a meter in its current range across the battery: that is a short circuit
    "rest": ("cable", "battery"),
    "evening": ("battery", "battery"),
    "morning": ("battery", "battery"),
}
"""On which stations the red and the black tip go."""
PARTED: Final[dict[str, Part]] = {
    # the minus lead is off its post while the meter is between the two
    "rest": "battery",
    # nothing is connected before plus and minus are right
    "polarity": "cable",
}
"""Behind which station the way is open during a step."""
PAD: Final = 84.0
TOP: Final = 18.0
"""A pad's size, and how far below the row's top it stands [px of the design]."""
LABEL: Final = SMALL / 28
"""The size of a name below its pad, as a share of its line."""


class Station(Struct, frozen=True):
    """One thing the current passes: what it is, its name, what the check says of it."""

    part: Part
    name: Words
    judged: Judged = ""
    in_hand: bool = False
    fuse: Fuse | None = None


def stations(vehicle: Vehicle, steps: Sequence[CheckStep], step: CheckStep) -> tuple[Station, ...]:
    """The way that a step belongs to; of a tow socket and of the whole vehicle no lead is on it."""
    tap = final_check.tap_of(vehicle, step)
    own = [each for each in steps if _way_of(vehicle, each) == _way_of(vehicle, step)]
    whole: list[tuple[Part, Words, Fuse | None]] = [
        ("battery", say("Battery"), None), ("cable", say("Minus lead"), None),
        ("vehicle", say("Vehicle"), None),
    ]  # fmt: skip
    made = whole if tap is None else _of_tap(vehicle, tap)
    if step.target == "socket":
        socket = look_up.socket(vehicle, step.target_id)
        made = [("battery", say("Battery"), None), ("socket", socket.name, None)]
    there = {part for part, _, _ in made}
    here = WHERE.get(step.key, "battery")
    if here not in there:
        here = "cable" if "cable" in there else "battery"
    return tuple(
        Station(part, name, _judged(part, own), part == here, fuse) for part, name, fuse in made
    )


def _way_of(vehicle: Vehicle, step: CheckStep) -> Tap | str | None:
    """The lead or the socket whose way a step is on; `None` for the whole vehicle."""
    return step.target_id if step.target == "socket" else final_check.tap_of(vehicle, step)


def _of_tap(vehicle: Vehicle, tap: Tap) -> list[tuple[Part, Words, Fuse | None]]:
    accessory = look_up.accessory(vehicle, tap.accessory)
    second = look_up.battery_of_tap(vehicle, tap) == "second"
    battery = say("Second battery") if second else say("Battery")
    found: list[tuple[Part, Words, Fuse | None]] = [("battery", battery, None)]
    if tap.slot is not None:
        slot = look_up.slot(vehicle, tap.slot)
        rating = () if slot.fuse is None else (given(slot.fuse.rating, "A"),)
        label = run_on(look_up.slot_words(slot), *rating, between=", ")
        found.append(("slot", label, slot.fuse))
    rating = () if tap.fuse is None else (given(tap.fuse.rating, "A"),)
    kind = say("Tap") if tap.slot is not None else TAP[tap.kind].capital()
    found.append(("tap", run_on(kind, *rating, between=", "), tap.fuse))
    found.append(("cable", say("Cable"), None))
    found.append(("accessory", accessory.name, None))
    if tap.lead == "power":
        found.append(("earth", say("Earth"), None))
    return found


def _judged(part: Part, steps: Sequence[CheckStep]) -> Judged:
    """What the steps done at a station say: one that differs outweighs all."""
    verdicts = [step.verdict for step in steps if WHERE.get(step.key) == part]
    if "differs" in verdicts:
        return "differs"
    return "agrees" if verdicts and "open" not in verdicts else ""


def holding(step: CheckStep) -> Holding:
    """How the meter is set for a step; where it is held is told by the step itself."""
    if not step.unit:
        return Holding(Setting("none"), "none", "")
    if step.key == "polarity":
        return Holding(Setting("V"), "contacts", translate(
            "Check", "Connect nothing before it is right"))  # fmt: skip
    if step.quantity == "clamp_current":
        return Holding(Setting("clamp"), "none", "")
    if step.quantity == "inline_current":
        return Holding(Setting("10A"), "contacts", translate(
            "Check", "Afterwards red back into VΩ"))  # fmt: skip
    return Holding(Setting("mV" if step.unit == "mV" else "V"), "contacts", "")


class WayRow(Piece):
    """Draws the stations on one line, the one in hand ringed."""

    def __init__(self, theme: Theme) -> None:
        super().__init__("checkWay", self.tr("Way of the current"), theme)
        self._stations: tuple[Station, ...] = ()
        self._parted: Part | None = None

    def show_stations(self, stations: tuple[Station, ...], parted: Part | None = None) -> None:
        """Show this way, with a gap behind the part `parted`: the battery's lead is off, or the
        accessory is not connected yet.
        """
        self._stations, self._parted = stations, parted
        show = self._theme.style.show
        told = []
        for station in stations:
            judged = {"agrees": self.tr("agrees"), "differs": self.tr("differs"), "": ""}
            words = (show(station.name), judged[station.judged],
                     self.tr("here") if station.in_hand else "")  # fmt: skip
            told.append(" ".join(filter(None, words)))
        self._told(", ".join(told))

    def places(self) -> list[tuple[Station, QRectF]]:
        """Every station with its pad, left to right over the whole width."""
        side = PAD * self._unit
        many = len(self._stations)
        top = TOP * self._unit
        room = self.width() - side - 24 * self._unit
        step = room / (many - 1) if many > 1 else 0.0
        return [
            (station, QRectF(12 * self._unit + number * step, top, side, side))
            for number, station in enumerate(self._stations)
        ]

    def tips(self, step: CheckStep) -> tuple[QPointF, QPointF] | None:
        """Where the red and the black tip go for a step, in this row's own places."""
        wanted = RED_BLACK.get(step.key)
        places = {station.part: pad for station, pad in self.places()}
        if wanted is None or not set(wanted) <= set(places):
            return None
        red, black = (places[part] for part in wanted)
        aside = QPointF(red.width() * 0.2, 0) if wanted[0] == wanted[1] else QPointF(0, 0)
        ends = [QPointF(pad.center().x(), pad.top() + 6 * self._unit) for pad in (red, black)]
        return ends[0] - aside, ends[1] + aside

    def paintEvent(self, event: QPaintEvent) -> None:
        """Draw the line, then the pads on it."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        places = self.places()
        for (first, one), (_, other) in pairwise(places):
            if first.part != self._parted:
                self._draw_line(painter, one, other)
        for station, pad in places:
            self._draw_pad(painter, pad, station, len(places))

    def _draw_line(self, painter: QPainter, one: QRectF, other: QRectF) -> None:
        y, unit = one.center().y(), self._unit
        painter.setPen(QPen(self._theme.colour("way"), 10 * unit))
        painter.drawLine(QPointF(one.right(), y), QPointF(other.left(), y))
        painter.setPen(QPen(self._theme.colour("way_chevron"), 2.5 * unit))
        for share in (0.33, 0.67):
            x = one.right() + (other.left() - one.right()) * share
            painter.drawPolyline(QPolygonF([
                QPointF(x - 3 * unit, y - 4 * unit), QPointF(x + 2 * unit, y),
                QPointF(x - 3 * unit, y + 4 * unit),
            ]))  # fmt: skip

    def _draw_pad(self, painter: QPainter, pad: QRectF, station: Station, many: int) -> None:
        unit, colour = self._unit, self._theme.colour
        painter.setPen(QPen(colour("line"), 1.5))
        painter.setBrush(colour("raised"))
        painter.drawRoundedRect(pad, 12 * unit, 12 * unit)
        if station.in_hand:
            ring = pad.adjusted(-5 * unit, -5 * unit, 5 * unit, 5 * unit)
            painter.setPen(QPen(colour("accent"), 4 * unit))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRoundedRect(ring, 15 * unit, 15 * unit)
        edge = 10 * unit
        draw_part(painter, pad.adjusted(edge, edge, -edge, -edge), station.part, self._theme,
                  station.fuse)  # fmt: skip
        if station.judged:
            side = 28 * unit
            mark = QRectF(pad.right() - side * 0.6, pad.top() - side * 0.35, side, side)
            verdict = "holds" if station.judged == "agrees" else "fails"
            draw_verdict(painter, mark, verdict, self._theme)  # type: ignore[arg-type]
        words = self._theme.style.show(station.name)
        label, align = self._label_place(painter.font(), pad, many, words, station.in_hand)
        ink = colour("text" if station.in_hand else "muted_text")
        draw_line(painter, label, words, ink, bold=station.in_hand, most=LABEL, align=align)

    def _label_place(
        self, letters: QFont, pad: QRectF, many: int, words: str, bold: bool
    ) -> tuple[QRectF, Qt.AlignmentFlag]:
        """Below the middle of its pad; at an end of the row, where that is too narrow, at the
        edge."""
        unit, middle = self._unit, pad.center().x()
        wide = min(self.width() / max(1, many) - 6 * unit, 330 * unit)
        label = QRectF(middle - wide / 2, pad.bottom() + 6 * unit, wide, SMALL / LABEL * unit)
        beyond = max(-label.left(), label.right() - self.width(), 0.0)
        font = QFont(letters)
        font.setBold(bold)
        font.setPixelSize(max(1, round(label.height() * LABEL)))
        if QFontMetricsF(font).horizontalAdvance(words) <= wide - 2 * beyond:
            return label.adjusted(beyond, 0, -beyond, 0), Qt.AlignmentFlag.AlignCenter
        label.moveLeft(min(max(0.0, label.left()), self.width() - wide))
        side = Qt.AlignmentFlag.AlignCenter
        if beyond:
            at_left = middle < self.width() / 2
            side = Qt.AlignmentFlag.AlignLeft if at_left else Qt.AlignmentFlag.AlignRight
            side |= Qt.AlignmentFlag.AlignVCenter
        return label, side
