"""A page as the window puts it together: lid, lane and a stand-in for the pane; the way over it.

The stand-in has the stations of a tap as a pane shows them, one below the other, and nothing else:
what the way is asked for here is where it runs and what it visits.
"""

from PySide6.QtCore import QPointF, Signal
from PySide6.QtWidgets import QApplication, QBoxLayout, QHBoxLayout, QVBoxLayout, QWidget

from fusemap.vehicle import Vehicle
from fusemap.window.document import Document, taps_of
from fusemap.window.panel.panel_pages import PanelPages
from fusemap.window.style.theme import LIGHT, Theme
from fusemap.window.way.way_overlay import Drawn, WayOverlay

PITCH = 44.0


class Stations(QWidget):
    """A pane that has nothing but stations."""

    stations_moved = Signal()

    def __init__(self, document: Document) -> None:
        super().__init__()
        self._document = document
        self.keys: tuple[str, ...] = ()
        self.setFixedWidth(300)
        document.selected.connect(self.fill)
        document.changed.connect(self.fill)

    def fill(self, *_: object) -> None:
        """The stations of the first tap of what is selected."""
        vehicle, selection = self._document.vehicle, self._document.selection
        taps = taps_of(vehicle, selection) if selection is not None else ()
        self.keys = () if not taps else self._keys(taps[0].slot is not None)
        self.stations_moved.emit()

    @staticmethod
    def _keys(hosted: bool) -> tuple[str, ...]:
        return ("feed:x", *(("host",) if hosted else ()), "tap", "cable", "device", "earth")

    def station_places(self) -> tuple[tuple[str, QPointF], ...]:
        """One below the other, from near the top."""
        return tuple((key, QPointF(30, 60 + PITCH * n)) for n, key in enumerate(self.keys))


class LidPage(QWidget):
    """Lid and pane, and the way over both."""

    def __init__(self, vehicle: Vehicle, theme: Theme = LIGHT, *, below: bool = False) -> None:
        super().__init__()
        self.document = Document(vehicle)
        self.panels = PanelPages(self.document, theme)
        self.pane = Stations(self.document)
        box: QBoxLayout = QVBoxLayout(self) if below else QHBoxLayout(self)
        box.setContentsMargins(12, 4, 12, 8)
        box.setSpacing(24)
        if below:
            self.pane.setFixedSize(600, 380)
        box.addWidget(self.panels, 1)
        box.addWidget(self.pane)
        self.way = WayOverlay(self, self.panels, self.pane)
        self.resize(1366, 592)
        _ = self.document.assessment
        self.show()
        self.follow()

    def follow(self) -> tuple[Drawn, ...]:
        """What is drawn once everything that moved has been told."""
        for _ in range(4):
            QApplication.processEvents()
        return self.way.drawn
