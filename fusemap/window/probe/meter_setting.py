"""How the meter is set for the reading in hand, and where its tips go, in words and for drawing.

In: the session and the vehicle. Out: a `Holding`, the unit behind what is typed; nothing is drawn
here.
"""

from PySide6.QtCore import QCoreApplication

from fusemap.probing import to_be_sure
from fusemap.probing.session import Session, spot_in_hand
from fusemap.vehicle import Vehicle
from fusemap.window.beside.meter import Range, Setting
from fusemap.window.beside.meter_place import Holding

translate = QCoreApplication.translate


def holding(session: Session, vehicle: Vehicle) -> Holding:
    """How the meter is held for what is asked now."""
    if session.round.kind == "whole":
        if session.current_by == "clamp_current":
            return Holding(Setting("clamp", several=True), "none", translate(
                "Probe", "round all leads of the battery’s minus"))  # fmt: skip
        return Holding(Setting("10A"), "battery", translate(
            "Probe", "between the battery’s minus and its lead"))  # fmt: skip
    if session.round.kind == "contacts":
        return Holding(Setting("V"), "contacts", translate(
            "Probe", "red on a contact, black on bare metal"))  # fmt: skip
    across = _range(session, vehicle)
    if across == "clamp":
        return Holding(Setting("clamp"), "none", translate(
            "Probe", "round the one cable that feeds it"))  # fmt: skip
    if across == "mV":
        return Holding(Setting("mV"), "windows", translate(
            "Probe", "tips on the two windows of the fuse"))  # fmt: skip
    if across in ("mA", "10A"):
        return Holding(Setting("10A"), "contacts", translate(
            "Probe", "in the place of the fuse"))  # fmt: skip
    if session.instrument == "lamp":
        return Holding(Setting("none"), "body", translate(
            "Probe", "test lamp: clip on bare metal, tip on the fuse"))  # fmt: skip
    return Holding(Setting("V"), "body", translate(
        "Probe", "red on the fuse, black on bare metal"))  # fmt: skip


def _range(session: Session, vehicle: Vehicle) -> Range:
    """What a figure typed here would be read with."""
    spot = spot_in_hand(session)
    if spot is not None and (session.sure or session.feed is not None):
        across = session.unit == "mV" and to_be_sure.across_its_fuse(vehicle, spot)
        return "mV" if across else "clamp"
    if session.unit in ("A", "mA"):
        return "clamp" if session.current_by == "clamp_current" else "10A"
    if session.unit == "V":
        return "V"
    # by day live or dead is what is asked; asleep it is what flows
    if session.typed:
        return "mV" if _is_figure(session.typed) else "V"
    return "mV" if session.round.state == "asleep" else "V"


def _is_figure(typed: str) -> bool:
    return any(letter.isdigit() for letter in typed)


def on_its_display(session: Session, set_to: Range) -> str:
    """What stands on the drawn meter: the figure that is typed; a sign is on no display."""
    figure = session.round.kind != "contacts" and _is_figure(session.typed)
    shown = session.typed.lstrip("+-") if figure else "–"
    return shown if set_to == "V" or shown[-1:].isalpha() else f"{shown} {session.unit}"


def unit_behind(session: Session) -> str:
    """The unit behind the entry, or the signs that answer where live or dead is asked first.

    Nothing is measured by a sign, so that none has a unit; what is typed with its unit has it.
    """
    typed = session.typed
    if session.round.kind == "contacts" or typed[-1:].isalpha():
        return ""
    asks_signs = session.unit == "mV" and not session.sure and session.feed is None
    if asks_signs and typed:
        return session.unit if _is_figure(typed) else ""
    if asks_signs:
        # asleep millivolts are asked besides; by day they are told only by whoever types them
        return "+  −  mV" if session.round.state == "asleep" else "+  −"
    return session.unit
