"""What can be done to the slots chosen on a panel, each one step of the history.

In: the document and a view that says which cells are chosen. Menus, keys and buttons call these.
"""

from collections.abc import Sequence
from typing import Any, Protocol

from msgspec.structs import replace
from PySide6.QtCore import QCoreApplication, QModelIndex

from fusemap.text import Text, given
from fusemap.vehicle import FeedClass, Slot, edits, look_up
from fusemap.vehicle.words import FEED, KIND, LiveSide, Orientation, SlotKind
from fusemap.window.document import Document
from fusemap.window.panel import slot_entry
from fusemap.window.panel.panel_model import PanelModel
from fusemap.window.panel.slot_words import SIDES, family_name, slot_names, tr


class Chooses(Protocol):
    """What the commands need of the view."""

    def chosen(self) -> list[QModelIndex]:
        """The chosen cells, the current one first."""

    def currentIndex(self) -> QModelIndex:
        """The cell of the cursor."""


class PanelCommands:
    """Edits of the chosen slots; each says whether it was done."""

    def __init__(self, document: Document, model: PanelModel, view: Chooses) -> None:
        self._document = document
        self._model = model
        self._view = view
        self._style = model.style

    # --- what is chosen -------------------------------------------------------------------------

    def slots(self) -> list[Slot]:
        """The chosen slots, the current one first."""
        found = (self._model.slot(index) for index in self._view.chosen())
        return [slot for slot in found if slot is not None]

    def fuse_slots(self) -> list[Slot]:
        """Those of them that hold fuses."""
        return [slot for slot in self.slots() if slot.kind == "fuse"]

    def gaps(self) -> list[QModelIndex]:
        """The chosen places without a slot."""
        return [index for index in self._view.chosen() if self._model.gap(index)]

    def _named(self, slots: Sequence[Slot]) -> str:
        return slot_names(slots, self._style)

    def _change(self, what: Text | str, slots: Sequence[Slot], **changes: Any) -> bool:
        if not slots:
            return False
        text = f"{self._named(slots)}: {self._style.show(what)}"
        return self._document.apply(text, edits.change_slots, [s.id for s in slots], **changes)

    # --- fuses ----------------------------------------------------------------------------------

    def set_rating(self, rating: float) -> bool:
        """Put a fuse of this rating [A] into the chosen slots."""
        slots = self.fuse_slots()
        text = f"{self._named(slots)}: {self._style.show(given(rating, 'A'))}"
        ids = [slot.id for slot in slots]
        return bool(ids) and self._document.apply(text, slot_entry.set_rating, ids, rating)

    def clear(self) -> bool:
        """Take the fuses out; where there are none, take the slots away."""
        slots = self.slots()
        fused = [slot for slot in slots if slot.fuse is not None]
        if fused:
            return self.empty_fuses(fused)
        return self.remove_slots(slots)

    def empty_fuses(self, slots: Sequence[Slot] | None = None) -> bool:
        """Take the fuses out."""
        slots = self.fuse_slots() if slots is None else slots
        ids = [slot.id for slot in slots]
        text = tr("{slots}: no fuse").format(slots=self._named(slots))
        return bool(ids) and self._document.apply(text, slot_entry.set_rating, ids, None)

    # --- slots and lines ------------------------------------------------------------------------

    def remove_slots(self, slots: Sequence[Slot] | None = None) -> bool:
        """Leave gaps where these slots were."""
        slots = self.slots() if slots is None else slots
        ids = [slot.id for slot in slots]
        text = tr("Remove {slots}").format(slots=self._named(slots))
        return bool(ids) and self._document.apply(text, slot_entry.remove_slots, ids)

    def add_slots(self, kind: SlotKind = "fuse") -> bool:
        """Put a slot on every chosen gap."""
        places = sorted(self._model.place(index) for index in self.gaps())
        text = tr("Add slot") if len(places) == 1 else tr("Add {n} slots").format(n=len(places))
        return bool(places) and self._document.apply(
            text, slot_entry.add_slots, self._model.panel_id, places, kind
        )

    def insert_line(self, axis: str, *, after: bool) -> bool:
        """Insert an empty row or column of the screen before or after the cursor."""
        line, at = self._line(axis)
        # On a panel shown turned or mirrored, what comes after on the screen may come before on it.
        forward = self._forward(axis)
        at += 1 if after == forward else 0
        return self._document.apply(
            tr("Insert row") if axis == "row" else tr("Insert column"),
            edits.insert_line,
            self._model.panel_id,
            line,
            at,
        )

    def remove_line(self, axis: str) -> bool:
        """Remove the row or column of the screen at the cursor, with its slots."""
        line, at = self._line(axis)
        return self._document.apply(
            tr("Remove row") if axis == "row" else tr("Remove column"),
            edits.remove_line,
            self._model.panel_id,
            line,
            at,
        )

    def _line(self, axis: str) -> tuple[str, int]:
        """The panel's own axis and index of the cursor's row or column on the screen."""
        line = self._model.arrangement.axis(axis)
        row, column = self._model.place(self._view.currentIndex())
        return line, row if line == "row" else column

    def _forward(self, axis: str) -> bool:
        """Whether the screen's axis counts in the panel's direction."""
        arrangement = self._model.arrangement
        line = arrangement.axis(axis)
        step = (1, 0) if line == "row" else (0, 1)
        start, end = arrangement.shown(0, 0), arrangement.shown(*step)
        return end > start

    # --- marks ----------------------------------------------------------------------------------

    def set_feed_class(self, feed_class: FeedClass) -> bool:
        """Say in which states the chosen slots are live."""
        words = FEED[feed_class].feed
        return self._change(words, self.fuse_slots(), feed_class=feed_class)

    def set_supply(self, feed: str | None) -> bool:
        """Say what supplies the chosen slots: a feed, the battery itself, or that it is unknown."""
        slots = self.fuse_slots()
        if not slots:
            return False
        supplied = replace(slots[0], feed=feed)
        return self._change(
            look_up.supply_words(self._document.vehicle, supplied), slots, feed=feed
        )

    def toggle_critical(self) -> bool:
        """Mark the chosen circuits as to be left alone, or no longer."""
        slots = self.fuse_slots()
        on = not all(slot.critical for slot in slots)
        words = tr("leave alone") if on else tr("need not be left alone")
        return self._change(words, slots, critical=on)

    def toggle_monitored(self) -> bool:
        """Mark the chosen circuits as watched by the vehicle, or no longer."""
        slots = self.fuse_slots()
        on = not all(slot.monitored for slot in slots)
        return self._change(tr("watched") if on else tr("not watched"), slots, monitored=on)

    def shown_sides(self) -> set[LiveSide]:
        """The live sides of the chosen slots as they are seen on the screen."""
        return {self._model.arrangement.side(slot.live_side) for slot in self.fuse_slots()}

    def set_live_side(self, shown: LiveSide) -> bool:
        """Say on which side, as seen on the screen, the live contact is."""
        side = self._model.arrangement.panel_side(shown)
        return self._change(SIDES[shown], self.fuse_slots(), live_side=side)

    def turn_fuses(self) -> bool:
        """Lay an upright fuse down, stand a lying one up."""
        slots = self.fuse_slots()
        lying = not all(slot.orientation == "lying" for slot in slots)
        to: Orientation = "lying" if lying else "upright"
        return self._change(tr("lying") if lying else tr("upright"), slots, orientation=to)

    def set_family(self, family: str) -> bool:
        """Say which fuses fit the chosen slots; another family empties them."""
        slots = [slot for slot in self.fuse_slots() if slot.family != family]
        return self._change(family_name(family), slots, family=family)

    def set_kind(self, kind: SlotKind) -> bool:
        """Make the chosen places fuse slots, relays or blocked."""
        slots = [slot for slot in self.slots() if slot.kind != kind]
        changes = {} if kind == "fuse" else {"fuse": None}
        return self._change(KIND[kind], slots, kind=kind, **changes)

    # --- taps -----------------------------------------------------------------------------------

    def taps(self) -> list[tuple[str, str]]:
        """The leads tapped on the chosen slots: id and name."""
        looks = (self._model.look(index) for index in self._view.chosen())
        return [(tap.tap_id, tap.name) for look in looks if look for tap in look.taps]

    def take_off(self, tap_id: str) -> bool:
        """Take an accessory's lead off its slot."""
        vehicle = self._document.vehicle
        tap = look_up.tap(vehicle, tap_id)
        name = look_up.accessory(vehicle, tap.accessory).name
        text = QCoreApplication.translate("Slot", "Take {name} off").format(name=name)
        return self._document.apply(text, edits.unplace, tap_id)
