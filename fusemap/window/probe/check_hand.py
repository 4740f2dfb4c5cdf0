"""The check by hand: keys of the keyboard by their names, and what a step asks to take out."""

from typing import Final

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent

from fusemap.probing.check_step import CheckStep
from fusemap.vehicle import Vehicle, look_up
from fusemap.window.probe.taken_out import Out, fuse_of, lead_of

ENTER: Final = (Qt.Key.Key_Return, Qt.Key.Key_Enter)
STEPPED: Final[dict[int, int]] = {
    Qt.Key.Key_Up: -1, Qt.Key.Key_Left: -1, Qt.Key.Key_Down: 1, Qt.Key.Key_Right: 1,
}  # fmt: skip
NAMED: Final[dict[int, str]] = {
    Qt.Key.Key_Backspace: "back", Qt.Key.Key_Escape: "clear", Qt.Key.Key_End: "end",
    Qt.Key.Key_I: "in",
}  # fmt: skip


def key_of(event: QKeyEvent) -> str:
    """The name of a key of the check; empty for one that is not for it."""
    held = event.modifiers() & ~(
        Qt.KeyboardModifier.KeypadModifier | Qt.KeyboardModifier.ShiftModifier
    )
    if held:
        return ""
    if event.key() in ENTER:
        return "enter"
    if event.key() in STEPPED:
        return "next" if STEPPED[event.key()] > 0 else "before"
    text = event.text().lower().replace("−", "-")
    return NAMED.get(event.key(), text if text.strip() and text.isprintable() else "")


def asked_out(vehicle: Vehicle, step: CheckStep | None) -> tuple[Out, ...]:
    """What a step asks to take out: the host fuse, or the lead for a meter in line."""
    if step is None or step.target != "tap":
        return ()
    tap = look_up.tap(vehicle, step.target_id)
    if step.key == "stays_on" and tap.slot is not None:
        return (fuse_of(look_up.slot(vehicle, tap.slot), "check"),)
    if step.key == "current" and step.quantity == "inline_current":
        return (lead_of(vehicle, tap, "check"),)
    return ()


def said_back(step: CheckStep, value: float) -> tuple[str, str] | None:
    """What an answer says to be back: the fuse of a circuit that works again, the lead to a device
    that has its voltage.
    """
    if step.key == "host" and value:
        return "fuse", step.target_id
    low, high = step.agrees
    if step.key == "volts" and low <= abs(value) <= high:
        return "lead", step.target_id
    return None
