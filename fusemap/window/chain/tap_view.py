"""A view of one tap of what is selected, chosen above it where there are several.

In: `document.selection`. Chain and band are such views; each shows the tap in its own way.
"""

from fusemap.vehicle import Tap
from fusemap.window.chain.chain_words import taps_of, title_words
from fusemap.window.document import Document, Selection
from fusemap.window.parts.catching_up import CatchingUp
from fusemap.window.parts.choice import Choice


class TapView(CatchingUp):
    """Which tap is shown; what of it, each view says in `show_chosen`."""

    def __init__(self, document: Document, chooser_name: str) -> None:
        super().__init__(document)
        self._taps: tuple[Tap, ...] = ()
        self._chosen = ""
        self.chooser = Choice()
        self.chooser.setObjectName(chooser_name)
        self.chooser.setAccessibleName(self.tr("Which tap"))
        self.chooser.activated.connect(lambda row: self.show_tap(self._taps[row].id))
        document.selected.connect(self._selection_changed)

    def show_chosen(self) -> None:
        """Show the chosen tap, or that there is none."""
        raise NotImplementedError

    def show_tap(self, tap_id: str) -> None:
        """Show this tap, where it is among those of what is selected."""
        self._chosen = tap_id
        self.refresh()

    def fill(self) -> None:
        """Show the chosen tap, or the first there is, as it is now."""
        self._taps = taps_of(self.document.vehicle, self.document.selection)
        ids = [tap.id for tap in self._taps]
        if self._chosen not in ids:
            self._chosen = ids[0] if ids else ""
        self._fill_chooser(ids)
        self.show_chosen()

    def _fill_chooser(self, ids: list[str]) -> None:
        several = self._taps if len(ids) > 1 else ()
        titles = [title_words(self.document.assessment, tap) for tap in several]
        if titles != [self.chooser.itemText(row) for row in range(self.chooser.count())]:
            self.chooser.clear()
            self.chooser.addItems(titles)
        self.chooser.setVisible(len(ids) > 1)
        if titles:
            self.chooser.setCurrentIndex(ids.index(self._chosen))

    def _selection_changed(self, selection: Selection | None) -> None:
        if selection is not None and selection.kind == "tap":
            self._chosen = selection.id
        self.show_soon()
