"""A panel made as its lid shows it, in one step."""

from typing import Any

from msgspec.structs import replace

from fusemap.errors import EditRefused
from fusemap.text import say
from fusemap.vehicle import look_up, validity
from fusemap.vehicle.edits.panels import taken_slot_ids
from fusemap.vehicle.edits.shared import free_id, free_ids, refuse
from fusemap.vehicle.lid import Lid, Place
from fusemap.vehicle.model import Panel, Slot, Vehicle


def add_lid(vehicle: Vehicle, name: str, lid: Lid, **fields: Any) -> Vehicle:
    """Add a panel with the slots, gaps, relay places and labels of its lid.

    Raises `EditRefused` for a size no panel has, `InputProblem` for labels that are no series.
    """
    panel_id = free_id((panel.id for panel in vehicle.panels), "panel")
    empty = Panel(id=panel_id, name=name, rows=lid.rows, columns=lid.columns, **fields)
    refuse(validity.number_faults(empty, ""))
    refuse(validity.panel_faults(empty, ""))
    there = sum(1 for _ in look_up.slots(vehicle))
    if there + lid.rows * lid.columns - lid.count("gap") > validity.MOST_SLOTS:
        raise EditRefused(
            say("these would be more than {n} slots", n=validity.MOST_SLOTS),
            remedy=say("enter the rows and columns of one panel"),
        )
    panel = replace(empty, slots=_slots(vehicle, lid))
    refuse(validity.number_faults(panel, ""))
    return replace(vehicle, panels=(*vehicle.panels, panel))


def _slots(vehicle: Vehicle, lid: Lid) -> tuple[Slot, ...]:
    """The slots of the lid in reading order."""
    ids = free_ids(taken_slot_ids(vehicle), "slot")
    labels = lid.labelled()
    places = sorted(place for place in lid.places() if lid.kinds.get(place) != "gap")
    return tuple(_slot(next(ids), place, lid, labels.get(place, "")) for place in places)


def _slot(slot_id: str, place: Place, lid: Lid, label: str) -> Slot:
    return Slot(
        id=slot_id,
        row=place[0],
        column=place[1],
        label=label,
        kind="relay" if place in lid.kinds else "fuse",
        family=lid.family_at(place),
        orientation=lid.orientation,
    )
