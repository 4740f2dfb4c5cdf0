"""Which taps belong to what is selected, and what stands at the two ends of a chain. No Qt widgets.

In: the vehicle, what is selected, the assessment. Out: taps and sentences.
"""

from typing import TYPE_CHECKING

from PySide6.QtCore import QCoreApplication

from fusemap.vehicle import STATES, Tap, Vehicle, look_up, supply
from fusemap.window.document import Selection
from fusemap.window.panel.slot_words import state_words
from fusemap.window.texts.languages import said
from fusemap.window.texts.numbers import quantity

if TYPE_CHECKING:
    from fusemap.assess import Assessment


def tr(text: str) -> str:
    """A text of this module in the user's language."""
    return QCoreApplication.translate("ChainView", text)


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
    ends = [each.id for each in supply.above(vehicle, accessory)][-1:]
    power = tuple(t for t in vehicle.taps if t.accessory in ends and t.lead == "power")
    return (*power, *(tap for tap in vehicle.taps if tap.accessory == accessory_id))


def _feeds(vehicle: Vehicle, tap: Tap) -> set[str]:
    """Every feed above a tap."""
    first = tap.feed if tap.slot is None else look_up.slot(vehicle, tap.slot).feed
    return {feed.id for feed in look_up.feeds_above(vehicle, first)}


def title_words(assessment: "Assessment", tap: Tap) -> str:
    """A tap by its accessory and its source, without making its chain."""
    name = look_up.accessory(assessment.vehicle, tap.accessory).name
    lead = "" if tap.lead == "power" else tr(", sense lead")
    return f"{name}{lead}: {said(look_up.source_words(assessment.vehicle, tap))}"


def start_words(assessment: "Assessment") -> str:
    """The battery with its lowest and highest voltage over the vehicle states."""
    volts = [float(v) for v in assessment.battery_v]
    low, high = volts.index(min(volts)), volts.index(max(volts))
    words = [_at(volts[row], row) for row in dict.fromkeys((low, high))]
    return tr("Battery: {voltages}").format(voltages=", ".join(words))


def _at(volts: float, row: int) -> str:
    return tr("{volts} ({state})").format(
        volts=quantity(volts, "V"), state=state_words(STATES[row])
    )


def end_words(tap: Tap) -> str:
    """How the current comes back to the battery."""
    if tap.lead == "sense":
        return tr("Sense lead: back through the accessory's own return")
    at = tr(" at {point}").format(point=tap.earth_point) if tap.earth_point else ""
    if tap.cable_back is not None:
        return tr("Back by its own cable{at}").format(at=at)
    return tr("Back by the body{at}").format(at=at)
