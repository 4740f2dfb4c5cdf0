"""A view of one tap of what is selected, chosen above it where there are several.

In: `document.selection`. Chain and band are such views; each shows the tap in its own way.
"""

from fusemap.text import Text, run_on, say
from fusemap.vehicle import Tap, Vehicle, look_up
from fusemap.window.document import Document, Selection
from fusemap.window.parts.catching_up import CatchingUp
from fusemap.window.parts.choice import Choice
from fusemap.window.style.theme import Theme


def taps_of(vehicle: Vehicle, selection: Selection | None) -> tuple[Tap, ...]:
    """The taps that belong to what is selected: its own, or all that hang below it."""
    if selection is None:
        return ()
    kind, wanted = selection.kind, selection.id
    if kind == "tap":
        # the accessory's other lead can be chosen too
        mine = [tap for tap in vehicle.taps if tap.id == wanted]
        return tuple(t for t in vehicle.taps if mine and t.accessory == mine[0].accessory)
    if kind == "accessory":
        return _of_accessory(vehicle, wanted)
    if kind == "slot":
        return look_up.taps_on(vehicle, wanted)
    if kind == "panel":
        slots = {slot.id for slot in look_up.panel(vehicle, wanted).slots}
        return tuple(tap for tap in vehicle.taps if tap.slot in slots)
    if kind == "feed":
        return tuple(tap for tap in vehicle.taps if wanted in _feeds(vehicle, tap))
    return vehicle.taps if kind in ("battery", "vehicle") else ()


def _of_accessory(vehicle: Vehicle, accessory_id: str) -> tuple[Tap, ...]:
    """An accessory's taps, and behind a converter those of the converter it ends at."""
    accessory = look_up.accessory(vehicle, accessory_id)
    ends = [each.id for each in look_up.above(vehicle, accessory)][-1:]
    power = tuple(t for t in vehicle.taps if t.accessory in ends and t.lead == "power")
    return (*power, *(tap for tap in vehicle.taps if tap.accessory == accessory_id))


def _feeds(vehicle: Vehicle, tap: Tap) -> set[str]:
    """Every feed above a tap."""
    first = tap.feed if tap.slot is None else look_up.slot(vehicle, tap.slot).feed
    return {feed.id for feed in look_up.feeds_above(vehicle, first)}


def title_words(vehicle: Vehicle, tap: Tap) -> Text:
    """A tap by its accessory and its source, without making its chain."""
    name = look_up.accessory(vehicle, tap.accessory).name
    source = look_up.source_words(vehicle, tap)
    if tap.lead == "power":
        return run_on(name, source, between=": ")
    return say("{name}, sense lead: {source}", name=name, source=source)


class TapView(CatchingUp):
    """Which tap is shown; what of it, each view says in `show_chosen`."""

    def __init__(self, document: Document, theme: Theme, chooser_name: str) -> None:
        super().__init__(document)
        self._theme = theme
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
        titles = [self._title(tap) for tap in several]
        if titles != [self.chooser.itemText(row) for row in range(self.chooser.count())]:
            self.chooser.clear()
            self.chooser.addItems(titles)
        self.chooser.setVisible(len(ids) > 1)
        if titles:
            self.chooser.setCurrentIndex(ids.index(self._chosen))

    def _title(self, tap: Tap) -> str:
        return self._theme.style.show(title_words(self.document.vehicle, tap))

    def _selection_changed(self, selection: Selection | None) -> None:
        if selection is not None and selection.kind == "tap":
            self._chosen = selection.id
        self.show_soon()
