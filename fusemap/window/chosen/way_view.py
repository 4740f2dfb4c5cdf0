"""The stations of a way, one below the other, and the sum behind each of them.

In: `Station`s. Out: a click or Enter opens a station, once more closes it; one that stands for a
slot leads there. `places` says where each station's pad is, for whoever draws the way through them;
`moved` when that changed.
"""

from collections.abc import Iterator
from typing import TYPE_CHECKING

from PySide6.QtCore import QPoint, QPointF, QSize, Qt, Signal
from PySide6.QtGui import QPainter, QPaintEvent, QPen, QResizeEvent
from PySide6.QtWidgets import QToolButton, QVBoxLayout, QWidget

from fusemap.text import say
from fusemap.window.chosen.measures import label, sized, small
from fusemap.window.chosen.station_button import PAD, PITCH, StationButton
from fusemap.window.document import Document
from fusemap.window.parts.later import Later
from fusemap.window.parts.sources import open_tables
from fusemap.window.style.measures import px
from fusemap.window.style.sheet import as_link
from fusemap.window.style.theme import Theme
from fusemap.window.texts.plain import copyable_label

if TYPE_CHECKING:
    from fusemap.assess import Hop
    from fusemap.window.chosen.stations import Station


class StationSum(QWidget):
    """All that is reckoned of one station: sums, what went into them, sources, the tables."""

    def __init__(self, document: Document, theme: Theme, key: str) -> None:
        super().__init__()
        self._document, self._theme = document, theme
        self._source = ""
        self.setObjectName(f"stationSum_{key}")
        column = QVBoxLayout(self)
        column.setContentsMargins(px(self, PAD + 14), 0, 0, px(self, 8))
        column.setSpacing(px(self, 4))
        self.words = copyable_label(f"stationWords_{key}")
        self.words.setTextInteractionFlags(
            Qt.TextInteractionFlag.TextSelectableByMouse
            | Qt.TextInteractionFlag.TextSelectableByKeyboard
        )
        self.words.setFont(small(self.font()))
        self.words.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.tables = as_link(QToolButton())
        self.tables.setObjectName(f"stationTables_{key}")
        self.tables.setText(self.tr("The tables behind it"))
        self.tables.clicked.connect(self._show_tables)
        column.addWidget(self.words)
        column.addWidget(self.tables, 0, Qt.AlignmentFlag.AlignLeft)

    def show_station(self, station: "Station") -> None:
        """Say all that is reckoned of it."""
        # it comes with what reckons, which the window starts without
        from fusemap.window.chosen.stations import parts_of

        hops = tuple(parts_of(station))
        text = "\n\n".join(self._words(hop) for hop in hops)
        self.words.setText(text or self.tr("Nothing is reckoned here."))
        self.words.setAccessibleName(self.words.text())
        self._source = "; ".join(str(hop.basis.source) for hop in hops if hop.basis.source)
        self.tables.setVisible(bool(self._source))

    def _words(self, hop: "Hop") -> str:
        # it comes with what reckons, which the window starts without
        from fusemap.assess.verdict import GROUND_WORDS
        from fusemap.window.chain.chain_hops import load_words, margin_words
        from fusemap.window.parts.headline import basis_text

        show = self._theme.style.show
        lines = [f"{show(hop.title)}: {show(margin_words(hop))}", show(load_words(hop))]
        if hop.missing:
            lines.append(show(hop.missing.capital()))
        lines.append(basis_text(hop.basis, self._theme.style))
        lines.append(show(say("Limit: {ground}", ground=GROUND_WORDS[hop.ground])))
        return "\n".join(line for line in lines if line)

    def source_here(self) -> str:
        """The text that names the sources."""
        return self._source

    def _show_tables(self) -> None:
        open_tables(self, self._source)


class WayView(QWidget):
    """The stations of one way; those that are open are kept by their keys."""

    moved = Signal()
    """A station stands elsewhere than before."""
    toggled = Signal()
    """A sum was opened or closed."""

    def __init__(self, document: Document, theme: Theme, name: str = "chosenWay") -> None:
        super().__init__()
        self._document, self._theme = document, theme
        self.stations: tuple[Station, ...] = ()
        self.buttons: dict[str, StationButton] = {}
        self.opened: dict[str, StationSum] = {}
        self.setObjectName(name)
        self.setAccessibleName(self.tr("Stations of the way"))
        self.title = label(f"{name}Title", sized(self.font(), 14, strong=True))
        self.title.setContentsMargins(0, 0, 0, px(self, 4))
        self._pitch, self._lines = PITCH, True
        self._told = Later(self.moved.emit, self)
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(0)
        self._column.addWidget(self.title)

    def show_way(self, title: str, stations: "tuple[Station, ...]") -> None:
        """Show these; what stays keeps its widget, and with it the keyboard."""
        self.title.setText(title)
        self.title.setVisible(bool(title) and bool(stations))
        keys = [each.key for each in stations]
        if keys != list(self.buttons):
            self._make(keys)
        before, self.stations = self.stations, stations
        for station in stations:
            self.buttons[station.key].show_station(station, self._pitch, lines=self._lines)
            if station.key in self.opened:
                self.opened[station.key].show_station(station)
        self._told.start()
        if _threads(before) != _threads(stations):
            self.update()  # a station that says something else is painted anew by itself

    def _make(self, keys: list[str]) -> None:
        for key in [each for each in self.buttons if each not in keys]:
            self._drop(self.buttons.pop(key))
            if key in self.opened:
                self._drop(self.opened.pop(key))
        self.buttons = {key: self.buttons.get(key) or self._button(key) for key in keys}
        for key, button in self.buttons.items():
            self._column.removeWidget(button)
            self._column.addWidget(button)
            if key in self.opened:
                self._column.removeWidget(self.opened[key])
                self._column.addWidget(self.opened[key])
            button.show()

    def _button(self, key: str) -> StationButton:
        button = StationButton(self._theme)
        button.clicked.connect(lambda: self.toggle(key))
        return button

    def _drop(self, widget: QWidget) -> None:
        self._column.removeWidget(widget)
        widget.hide()
        widget.deleteLater()

    def set_room(self, pitch: int, *, lines: bool) -> None:
        """How far one stands from the next, and whether there is room for second lines."""
        if (pitch, lines) != (self._pitch, self._lines):
            self._pitch, self._lines = pitch, lines
            for station in self.stations:
                self.buttons[station.key].show_station(station, pitch, lines=lines)

    def need(self, width: int) -> int:
        """How high it is at this width [px]."""
        title = 0 if self.title.isHidden() else self.title.heightForWidth(width)
        sums = sum(each.height() for each in self.opened.values())
        return title + sums + sum(each.heightForWidth(width) for each in self.buttons.values())

    def minimumSizeHint(self) -> QSize:
        """As high as its stations are in the width they have: what is around is not scrolled for
        words that would wrap in less.
        """
        hint = super().minimumSizeHint()
        return QSize(hint.width(), min(hint.height(), self.need(max(hint.width(), self.width()))))

    def stops(self) -> Iterator[QWidget]:
        """Where the keyboard stops, from the top: each station, and the sum that is open below."""
        for key, button in self.buttons.items():
            yield button
            if key in self.opened:
                yield from (self.opened[key].words, self.opened[key].tables)

    # --- opened and closed ----------------------------------------------------------------------

    def toggle(self, key: str) -> None:
        """Open what is closed, close what is open; a slot is gone to."""
        station = next((each for each in self.stations if each.key == key), None)
        if station is None:
            return
        if station.slot_id:
            self._document.select("slot", station.slot_id)
        elif key in self.opened:
            self._drop(self.opened.pop(key))
        else:
            shown = StationSum(self._document, self._theme, key)
            shown.show_station(station)
            self.opened[key] = shown
            self._column.insertWidget(self._column.indexOf(self.buttons[key]) + 1, shown)
            shown.show()
        self.toggled.emit()
        self._told.start()

    # --- where they stand -----------------------------------------------------------------------

    def places(self, within: QWidget) -> tuple[tuple[str, QPointF], ...]:
        """Each station's key and the middle of its pad, in the coordinates of this widget."""
        found = []
        for station in self.stations:
            button = self.buttons[station.key]
            corner = button.mapTo(within, QPoint(0, 0))
            found.append((station.key, button.pad().center() + QPointF(corner)))
        return tuple(found)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """They move with the room, and need another height."""
        super().resizeEvent(event)
        if event.oldSize().width() != event.size().width():
            self.updateGeometry()
        self._told.start()

    def paintEvent(self, event: QPaintEvent) -> None:
        """The way behind the pads: dotted where the lid shows it, drawn where it leaves the lid."""
        if any(station.slot_id for station in self.stations):
            return
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        places = dict(self.places(self))
        for one, other in zip(self.stations, self.stations[1:], strict=False):
            inside = other.in_lid or one.in_lid
            colour = self._theme.colour("muted_text" if inside else "accent")
            style = Qt.PenStyle.DotLine if inside else Qt.PenStyle.SolidLine
            painter.setPen(QPen(colour, px(self, 2 if inside else 4), style))
            painter.drawLine(places[one.key], places[other.key])
        painter.end()


def _threads(stations: "tuple[Station, ...]") -> list[tuple[str, bool, bool]]:
    """What the lines behind the stations are drawn by."""
    return [(each.key, each.in_lid, bool(each.slot_id)) for each in stations]
