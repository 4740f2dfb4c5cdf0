"""How the meter is set for the reading in hand, and where its tips go, in words and for drawing.

In: the session and the vehicle. Out: a `Holding`; nothing is drawn here.
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
    figure = any(letter.isdigit() for letter in session.typed)
    return "mV" if session.round.state == "asleep" or figure else "V"
