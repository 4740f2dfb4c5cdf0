"""A small panel to probe, and readings in few words; every figure is invented."""

from typing import Any

from fusemap.vehicle import Fuse, Slot, Vehicle, edits, look_up, reading_edits

WHEN = "2025-05-17T18:30:00"


def bench(rating: float = 15.0, **slot: Any) -> Vehicle:
    """A vehicle with one slot, a mini fuse in it."""
    vehicle = edits.add_panel(Vehicle(name="Bench"), "Dash", 1, 1)
    return edits.change_slot(vehicle, "slot-1", fuse=Fuse(family="mini", rating=rating), **slot)


def slot(vehicle: Vehicle, slot_id: str = "slot-1") -> Slot:
    return look_up.slot(vehicle, slot_id)


def read(vehicle: Vehicle, *readings: dict[str, Any]) -> Vehicle:
    """The vehicle with these readings of its first slot, where they do not say of what."""
    return reading_edits.add_readings(
        vehicle, [{"when": WHEN, "target_id": "slot-1"} | one for one in readings]
    )


def live(state: str = "asleep", minute: float | None = None, **more: Any) -> dict[str, Any]:
    return {"quantity": "live", "value": 1.0, "state": state, "after_lock_min": minute} | more


def dead(state: str = "asleep", minute: float | None = None, **more: Any) -> dict[str, Any]:
    return live(state, minute, **more) | {"value": 0.0}


def mv(value: float, state: str = "asleep", **more: Any) -> dict[str, Any]:
    return {"quantity": "millivolts", "value": value, "state": state} | more


def whole(amperes: float, state: str = "asleep", **more: Any) -> dict[str, Any]:
    return {
        "quantity": "inline_current", "value": amperes, "state": state,
        "target": "vehicle", "target_id": "",
    } | more  # fmt: skip


def english(*texts: object) -> str:
    """Texts in English, one behind the other, with ordinary spaces."""
    return " ".join(str(text) for text in texts).replace("\u202f", " ")
