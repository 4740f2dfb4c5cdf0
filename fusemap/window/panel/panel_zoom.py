"""How large the cards of a panel are: fitted to the room there is until the user zooms.

In: the view and its model. Out: the size of the cells, and the size at which the delegate paints.
"""

from typing import Final

from PySide6.QtWidgets import QTableView

from fusemap.window.panel.panel_delegate import PanelDelegate
from fusemap.window.panel.slot_paint import card_size, scaled_font

ZOOMS: Final = (0.6, 0.7, 0.8, 0.9, 1.0, 1.15, 1.35, 1.6, 2.0, 2.5, 3.0)
FITTED: Final = (0.9, 1.6)
"""How small and how large the cards are made by themselves."""


class PanelZoom:
    """The size of the cards of one panel."""

    def __init__(self, view: QTableView, delegate: PanelDelegate) -> None:
        self._view = view
        self._delegate = delegate
        self._fits_itself = True

    @property
    def factor(self) -> float:
        """How much larger the cards are than the font of the window asks for."""
        return self._delegate.zoom

    @property
    def chosen(self) -> float | None:
        """The same as the user wants it; `None` while it is fitted to the room."""
        return None if self._fits_itself else self.factor

    def choose(self, factor: float | None) -> None:
        """Show the cards at this size from now on, with `None` fitted to the room."""
        self._fits_itself = factor is None
        self._set(self._fitting() if factor is None else factor)

    def step(self, steps: int) -> None:
        """Larger or smaller by so many steps, and from now on as the user wants it."""
        nearest = min(range(len(ZOOMS)), key=lambda n: abs(ZOOMS[n] - self.factor))
        self.choose(ZOOMS[max(0, min(len(ZOOMS) - 1, nearest + steps))])

    def fit(self) -> None:
        """Fit the cards to the room there is now, unless the user has chosen their size."""
        self.choose(self.chosen)

    def _fitting(self) -> float:
        """The largest size at which the whole panel can be seen, or at least its whole width."""
        model, room = self._view.model(), self._view.maximumViewportSize()
        rows, columns = model.rowCount(), model.columnCount()
        whole = self._largest(rows, columns, room.width(), room.height(), FITTED[1])
        if whole >= FITTED[0]:
            return whole
        bar = self._view.verticalScrollBar().sizeHint().width()
        return max(FITTED[0], self._largest(0, columns, room.width() - bar, room.height(), 1.0))

    def _largest(self, rows: int, columns: int, wide: int, high: int, zoom: float) -> float:
        """The largest size, from `zoom` down, at which so many rows and columns fit."""
        while zoom >= FITTED[0]:
            # A font grows in steps, so the size of a card is asked for, not reckoned.
            card = card_size(scaled_font(self._view.font(), zoom))
            if card.width() * columns <= wide and card.height() * rows <= high:
                return round(zoom, 2)
            zoom -= 0.04
        return 0.0

    def _set(self, factor: float) -> None:
        view = self._view
        self._delegate.zoom = factor
        cell = card_size(scaled_font(view.font(), factor))
        view.horizontalHeader().setDefaultSectionSize(cell.width())
        view.verticalHeader().setDefaultSectionSize(cell.height())
        view.horizontalScrollBar().setSingleStep(cell.width() // 4)
        view.verticalScrollBar().setSingleStep(cell.height() // 4)
        view.viewport().update()
