"""What is drawn of a hunt's step: the fuse in its neighbourhood, those to pull on their panel.

In: the vehicle, the hunt, its step, what is typed. Out: paint. A step is drawn by the stage that
probing has (`probe/stage.py`), as the same reading would be there; what that does not know, several
fuses out and a wait, is drawn here.
"""

from datetime import datetime
from typing import Final

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPainterPath, QPen

from fusemap.probing.hunt import Hunt, Step, answer
from fusemap.probing.loads import Load
from fusemap.probing.plan import Round, seen_place
from fusemap.probing.session import Session, Unit
from fusemap.text import Amount, run_on
from fusemap.vehicle import Panel, Slot, Vehicle, look_up
from fusemap.window.beside.big import LEFT, draw_line
from fusemap.window.beside.meter import Setting
from fusemap.window.beside.meter_place import Holding
from fusemap.window.beside.scale import BODY, FIGURE, SMALL
from fusemap.window.probe.stage import Stage
from fusemap.window.style.signs import draw_padlock
from fusemap.window.style.theme import Theme

MAPPED: Final = ("pull", "put_back")
"""Steps that are drawn as a panel with the fuses marked."""
BRIDGED: Final = ("prepare", "wait")
"""Steps with a bridge across the meter in line."""


def as_session(hunt: Hunt, step: Step, typed: str) -> Session:
    """The session in which probing would ask for the same reading."""
    across = step.kind in ("across", "part") and step.quantity == "millivolts"
    unit: Unit = "mV" if across else "A"
    if typed.endswith(("a", "v")):
        units: dict[str, Unit] = {"ma": "mA", "mv": "mV"}
        unit = units.get(typed[-2:], "A" if typed.endswith("a") else "V")
    return Session(
        round=Round(kind="sweep" if across else "whole", state="asleep"),
        slot=step.slots[0] if across else None,
        # a row of a night has a time in it, and is on no meter's display
        typed="" if step.kind == "night" else typed.rstrip("mva"),
        unit=unit,
        locked_at=hunt.scene.locked_at,
        fuse_out=None,
        current_by="clamp_current" if across or step.kind == "feed" else hunt.whole_by,
        meter=hunt.meter,
    )


class HuntPicture(Stage):
    """Draws the step in hand."""

    def __init__(self, theme: Theme) -> None:
        super().__init__(theme)
        self._step: Step | None = None
        self._now: Load | None = None
        self.setObjectName("huntPicture")
        self.setAccessibleName(self.tr("Step in hand"))

    def show_step(self, vehicle: Vehicle, hunt: Hunt, step: Step, typed: str) -> None:
        """Show where a hunt is."""
        self._step, self._now = step, answer(hunt, vehicle).now
        self._bridged = step.kind in BRIDGED
        self.show_session(vehicle, as_session(hunt, step, typed))

    def description(self) -> str:
        """The step for a screen reader."""
        if self._step is None:
            return ""
        return self._theme.style.show(self._step.title)

    def _draw_no_slot(self, painter: QPainter, whole: QRectF) -> None:
        step = self._step
        assert step is not None  # it is shown with its session
        if step.kind in MAPPED:
            self._draw_panel(painter, whole, step)
        elif step.kind == "wait":
            self._draw_wait(painter, whole, step)
        else:
            self._draw_whole(painter, whole, step)

    def _draw_whole(self, painter: QPainter, whole: QRectF, step: Step) -> None:
        """What is looked at, and below it what the whole vehicle drew in this hunt."""
        unit, colour = self._unit, self._theme.colour
        line = QRectF(whole.left(), whole.top() + whole.height() * 0.06, whole.width(),
                      whole.height() * 0.2)  # fmt: skip
        draw_line(painter, line, self._no_slot_words(), colour("text"), bold=True,
                  most=min(0.8, FIGURE * unit / line.height()), align=LEFT)  # fmt: skip
        below = QRectF(line.left(), line.bottom(), whole.width(), whole.bottom() - line.bottom())
        if step.kind == "prepare":
            side = below.height() * 0.6
            lock = QRectF(0, 0, side, side)
            lock.moveCenter(below.center())
            draw_padlock(painter, lock, colour("accent"), colour("window"))
        elif self._now is not None:
            current = Amount(self._now.current_a, "A", significant=2)
            big = QRectF(below.left(), below.top(), below.width(), below.height() * 0.4)
            draw_line(painter, big, self._theme.style.show(run_on(current)), colour("accent"),
                      bold=True, align=LEFT)  # fmt: skip
            small = QRectF(big.left(), big.bottom(), big.width(), below.height() * 0.2)
            words = self.tr("the whole vehicle, when it was read last")
            draw_line(painter, small, words, colour("muted_text"), align=LEFT,
                      most=min(0.8, SMALL * unit / max(1.0, small.height())))  # fmt: skip

    def _holding(self) -> Holding:
        if self._step is not None and self._step.kind == "feed":
            return Holding(Setting("clamp", several=True), "none",
                           self.tr("round all cables that feed the panel, together"))  # fmt: skip
        return super()._holding()

    def _no_slot_words(self) -> str:
        assert self._step is not None
        assert self._vehicle is not None
        if self._step.kind == "feed":
            return look_up.panel(self._vehicle, self._step.panel).name
        return {
            "prepare": self.tr("All off, key away, locked"),
            "catch": self.tr("Watch the whole current"),
            "night": self.tr("A meter or logger over night"),
        }.get(self._step.kind, self.tr("Whole vehicle, all fuses in"))

    # --- a wait ---------------------------------------------------------------------------------

    def _draw_wait(self, painter: QPainter, whole: QRectF, step: Step) -> None:
        """What is left of it, as large as there is room, and until when."""
        unit = self._unit
        big = whole.adjusted(0, whole.height() * 0.1, 0, -whole.height() * 0.3)
        draw_line(painter, big, step.clock, self._theme.colour("text"), bold=True, most=0.9)
        below = QRectF(whole.left(), big.bottom(), whole.width(), whole.height() * 0.2)
        words = "" if step.due is None else self.tr("until {time}").format(time=_clock(step.due))
        draw_line(painter, below, words, self._theme.colour("muted_text"),
                  most=min(0.8, BODY * 1.4 * unit / below.height()))  # fmt: skip

    # --- fuses out ------------------------------------------------------------------------------

    def _draw_panel(self, painter: QPainter, whole: QRectF, step: Step) -> None:
        """The panels they are on as they are seen, all that are to be moved marked on them."""
        assert self._vehicle is not None
        mine = set(step.slots)
        panels = [p for p in self._vehicle.panels if mine & {slot.id for slot in p.slots}]
        gap = 10 * self._unit
        high = (whole.height() - gap * (len(panels) - 1)) / len(panels)
        for number, panel in enumerate(panels):
            top = whole.top() + number * (high + gap)
            place = QRectF(whole.left(), top, whole.width(), high)
            self._draw_one_panel(painter, place, panel, step)

    def _draw_one_panel(self, painter: QPainter, whole: QRectF, panel: Panel, step: Step) -> None:
        assert self._session is not None
        unit = self._unit
        rim = whole.adjusted(3 * unit, 3 * unit, -3 * unit, -3 * unit)
        painter.setPen(QPen(self._theme.colour("lid_edge"), 5 * unit))
        painter.setBrush(self._theme.colour("lid_top"))
        painter.drawRoundedRect(rim, 20 * unit, 20 * unit)
        inside = rim.adjusted(16 * unit, 14 * unit, -16 * unit, -14 * unit)
        places = {slot.id: seen_place(panel, slot, self._session.order) for slot in panel.slots}
        rows = 1 + max(row for row, _ in places.values())
        columns = 1 + max(column for _, column in places.values())
        wide, high = inside.width() / columns, min(inside.height() / rows, 150 * unit)
        top = inside.center().y() - high * rows / 2
        for slot in panel.slots:
            row, column = places[slot.id]
            cell = QRectF(inside.left() + column * wide, top + row * high, wide, high)
            self._draw_cell(painter, cell, slot, step)

    def _draw_cell(self, painter: QPainter, cell: QRectF, slot: Slot, step: Step) -> None:
        unit = self._unit
        edge = min(5 * unit, cell.width() * 0.08)
        place = cell.adjusted(edge, edge, -edge, -edge)
        marked = slot.id in step.slots
        colour = self._theme.colour
        painter.setPen(QPen(colour("accent" if marked else "line"), (3 if marked else 1.5) * unit))
        painter.setBrush(colour("accent" if marked else "slot_empty"))
        painter.drawRoundedRect(place, 8 * unit, 8 * unit)
        name = place.adjusted(place.width() * 0.08, 0, -place.width() * 0.08, 0)
        if marked:
            arrow = QRectF(place.left(), place.top() + place.height() * 0.08, place.width(),
                           place.height() * 0.38)  # fmt: skip
            _draw_arrow(painter, arrow, colour("accent_text"), up=step.kind == "pull")
            name.setTop(arrow.bottom())
        most = min(0.85, (FIGURE if marked else BODY) * unit / max(1.0, name.height()))
        ink = colour("accent_text" if marked else "muted_text")
        draw_line(painter, name, self._name(slot), ink, bold=marked, most=most)


def _draw_arrow(painter: QPainter, place: QRectF, ink: QColor, *, up: bool) -> None:
    """An arrow out of the panel, or back into it."""
    side = min(place.width() * 0.5, place.height())
    box = QRectF(0, 0, side, side)
    box.moveCenter(place.center())
    path = QPainterPath(QPointF(box.center().x(), box.top()))
    path.lineTo(box.right(), box.top() + side * 0.5)
    path.lineTo(box.right() - side * 0.3, box.top() + side * 0.5)
    path.lineTo(box.right() - side * 0.3, box.bottom())
    path.lineTo(box.left() + side * 0.3, box.bottom())
    path.lineTo(box.left() + side * 0.3, box.top() + side * 0.5)
    path.lineTo(box.left(), box.top() + side * 0.5)
    path.closeSubpath()
    painter.save()
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(ink)
    if not up:
        painter.translate(0, 2 * box.center().y())
        painter.scale(1, -1)
    painter.drawPath(path)
    painter.restore()


def _clock(due: datetime) -> str:
    return f"{due:%H:%M}"
