"""What one slot has to show: the slot, what is tapped on it, and how much of its limit is used.

In: a panel, its vehicle, the assessment. Out: one frozen `SlotLook` per place [A, share 0…1], which
compares by content, so that a view redraws only what differs. Looks up, computes nothing. No Qt.
"""

from dataclasses import dataclass
from itertools import compress
from math import inf, isnan
from typing import TYPE_CHECKING

from fusemap.vehicle import STATES, Panel, Slot, State, Tap, Vehicle
from fusemap.vehicle.words import LeadName, WayRound

if TYPE_CHECKING:
    from fusemap.assess.assessment import Assessment
    from fusemap.assess.result import Floats

Place = tuple[int, int]


@dataclass(frozen=True, slots=True)
class TapMark:
    """One lead tapped on a slot."""

    tap_id: str
    accessory: str
    name: str
    lead: LeadName
    way_round: WayRound
    rating: float | None


@dataclass(frozen=True, slots=True)
class SlotLook:
    """A slot as it is shown.

    `share` of its tighter limit is used in `state`, its worst; `load_a` flows there through the
    host fuse, `limit_a` is what that may carry, `room_a` what could be added. Without `measured`
    the vehicle's own load is unknown in some state, and the true figures are at least these;
    `partly_measured` tells that it is known in some other. `live` are the states in which there is
    supply. Until it is `assessed` a slot has no figures.
    """

    slot: Slot
    taps: tuple[TapMark, ...] = ()
    share: float = 0.0
    state: State = "asleep"
    load_a: float = 0.0
    limit_a: float = float("inf")
    room_a: float = float("inf")
    measured: bool = True
    partly_measured: bool = False
    live: tuple[State, ...] = ()
    assessed: bool = True

    @property
    def overloaded(self) -> bool:
        """Whether the limit is passed."""
        return self.share > 1.0 + 1e-9


def tap_marks(vehicle: Vehicle) -> dict[str, tuple[TapMark, ...]]:
    """The leads tapped on every slot, by slot id."""
    names = {accessory.id: accessory.name for accessory in vehicle.accessories}
    found: dict[str, tuple[TapMark, ...]] = {}
    for tap in vehicle.taps:
        if tap.slot is not None:
            found[tap.slot] = (*found.get(tap.slot, ()), _mark(tap, names.get(tap.accessory, "")))
    return found


def _mark(tap: Tap, name: str) -> TapMark:
    rating = None if tap.fuse is None else tap.fuse.rating
    return TapMark(tap.id, tap.accessory, name, tap.lead, tap.way_round, rating)


def plain_looks(panel: Panel, vehicle: Vehicle) -> dict[Place, SlotLook]:
    """The same before any figure is known."""
    marks = tap_marks(vehicle)
    return {
        (slot.row, slot.column): SlotLook(slot, marks.get(slot.id, ()), assessed=False)
        for slot in panel.slots
    }


def looks(panel: Panel, vehicle: Vehicle, assessment: "Assessment") -> dict[Place, SlotLook]:
    """What every slot of a panel shows, by row and column of the panel."""
    import numpy as np  # not needed for the first painting

    figures = assessment.slots
    share, room = _numbers(figures.worst_share), _numbers(figures.room_a)
    worst = figures.shares.argmax(axis=0)
    load = _numbers(np.take_along_axis(figures.host_a, worst[np.newaxis], axis=0)[0])
    limit, measured = _numbers(figures.host_limit_a), np.all(figures.own_known, axis=0).tolist()
    read = np.any(figures.own_known & figures.live, axis=0).tolist()
    states, on = worst.tolist(), figures.live.T.tolist()
    marks = tap_marks(vehicle)
    found = {}
    for slot in panel.slots:
        column = figures.index.get(slot.id)
        taps = marks.get(slot.id, ())
        if column is None or slot.kind != "fuse":
            found[slot.row, slot.column] = SlotLook(slot, taps)
            continue
        found[slot.row, slot.column] = SlotLook(
            slot=slot,
            taps=taps,
            share=share[column],
            state=STATES[states[column]],
            load_a=load[column],
            limit_a=limit[column],
            room_a=room[column],
            measured=measured[column],
            partly_measured=read[column] and not measured[column],
            live=tuple(compress(STATES, on[column])),
        )
    return found


def _numbers(values: "Floats") -> list[float]:
    # NaN differs from itself; a place without a figure would be redrawn at every edit.
    return [inf if isnan(value) else value for value in values.tolist()]
