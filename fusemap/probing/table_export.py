"""Slots and readings as CSV, for a spreadsheet; what is written here can be pasted again."""

import csv
import io
from typing import Final

from fusemap.probing import evidence
from fusemap.probing.paste import STATE_COLUMNS
from fusemap.spreadsheets import guarded
from fusemap.vehicle import Reading, Slot, State, Vehicle, look_up

HEADING: Final = ("Panel", "Slot", "Rating", "Family", "Circuit", "Feed class", "Live side",
                  "Asleep", "Accessory", "Ignition", "Running", "mV", "Note")  # fmt: skip


def export(vehicle: Vehicle) -> str:
    """The slots with what was read of them as CSV, which can be pasted again."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(HEADING)
    for panel in vehicle.panels:
        for slot in panel.slots:
            if slot.kind == "fuse":
                writer.writerow([guarded(panel.name), *_exported(vehicle, slot)])
    return out.getvalue()


def _exported(vehicle: Vehicle, slot: Slot) -> list[str]:
    latest: dict[tuple[str, State], Reading] = {}
    for reading in evidence.of_slot(vehicle, slot.id):
        if not reading.lamps_on:
            latest[reading.quantity, reading.state] = reading
    live = ["" if (r := latest.get(("live", s))) is None else ("live" if r.yes else "dead")
            for s in STATE_COLUMNS]  # fmt: skip
    mv = latest.get(("millivolts", "asleep"))
    return [
        guarded(slot.label),
        "" if slot.fuse is None else f"{slot.fuse.rating:g}",
        slot.family,
        guarded(slot.circuit),
        slot.feed_class,
        slot.live_side,
        *live,
        "" if mv is None else f"{mv.value:g}",
        guarded(slot.note),
    ]


HISTORY_HEADING: Final = ("When", "What", "Slot", "State", "Minutes after locking", "Quantity",
                          "Value", "Unit", "By", "Verified", "Withdrawn", "Note")  # fmt: skip


def export_history(vehicle: Vehicle) -> str:
    """Every reading ever taken as CSV, raw, in the order they were taken."""
    names = {slot.id: look_up.slot_name(slot) for slot in look_up.slots(vehicle)}
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(HISTORY_HEADING)
    for reading in vehicle.readings:
        minutes = "" if reading.after_lock_min is None else f"{reading.after_lock_min:g}"
        writer.writerow(
            [
                reading.when,
                reading.target,
                guarded(names.get(reading.target_id, reading.target_id)),
                reading.state,
                minutes,
                reading.quantity,
                f"{reading.value:g}",
                reading.unit,
                guarded(reading.by),
                "yes" if reading.verified else "no",
                "yes" if reading.withdrawn else "no",
                guarded(reading.note),
            ]
        )
    return out.getvalue()
