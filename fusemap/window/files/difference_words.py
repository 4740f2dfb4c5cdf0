"""What differs between two vehicles, in the words of the window.

In: the differences of `fusemap.vehicle.difference`. Out: rows of two texts, which part and how. A
field without words of its own is shown by its name in the file, so that nothing is passed over.
"""

from collections.abc import Iterable
from typing import Any, Final

from msgspec import Struct
from PySide6.QtCore import QCoreApplication

from fusemap.text import Amount
from fusemap.vehicle import Fuse
from fusemap.vehicle.difference import Difference, FieldChange
from fusemap.vehicle.words import FIELD_UNITS, STATE, unit_of
from fusemap.window.texts.languages import said, style
from fusemap.window.texts.numbers import quantity

Row = tuple[str, str]
MOST_LETTERS: Final = 60
"""A longer text is cut for a row."""


def tr(text: str) -> str:
    """A text of this module in the user's language."""
    return QCoreApplication.translate("Difference", text)


PARTS: Final = {
    "vehicle": "Vehicle",
    "battery": "Battery",
    "second_battery": "Second battery",
    "parking": "Parking",
    "panel": "Panel",
    "slot": "Slot",
    "feed": "Feed",
    "accessory": "Accessory",
    "tap": "Tap",
    "rule": "Rule",
    "meter": "Meter",
    "reading": "Reading",
    "log entry": "Log entry",
    "signature": "Signature",
}
CHANGES: Final = {"added": "added", "removed": "removed"}
FIELDS: Final = {
    "name": "name",
    "system_v": "system voltage",
    "fuse": "fuse",
    "fuse.family": "fuse family",
    "fuse.rating": "fuse rating",
    "fuse.resistance_mohm": "fuse resistance",
    "circuit": "circuit",
    "label": "label",
    "kind": "kind",
    "family": "fuse family",
    "critical": "critical",
    "critical_reason": "why critical",
    "harmless": "what it really feeds",
    "largest_fuse_a": "largest fuse allowed",
    "feed_class": "feed class",
    "live_side": "live side",
    "feed": "feed",
    "parent": "feed above",
    "contact_limit_a": "contact limit",
    "limit_a": "limit",
    "watts": "watts",
    "amperes": "amperes",
    "standby_a": "standby current",
    "rest_current_a": "rest current",
    "capacity_ah": "capacity",
    "start_soc": "charge at the start",
    "soh": "health",
    "stand_days": "days parked",
    "temperature_c": "temperature",
    "slot": "slot",
    "way_round": "way round",
    "cable_out": "cable out",
    "cable_back": "cable back",
    "cable_out.length_m": "cable out, length",
    "cable_out.section_mm2": "cable out, section",
    "cable_back.length_m": "cable back, length",
    "cable_back.section_mm2": "cable back, section",
    "earth_point": "earth point",
    "joint": "joint",
    "note": "note",
    "rows": "rows",
    "columns": "columns",
    "order": "order",
    "photo": "photo",
    "photo.jpeg": "photo",
    "current_a": "current",
    "from_h": "from, hour of the day",
    "to_h": "to, hour of the day",
    "start_h": "starts at, hour of the day",
    "minutes": "lasting",
    "weekdays": "days of the week",
    "every_h": "every",
    "chemistry": "kind of battery",
    "age_years": "age",
    "reserve_min": "reserve capacity",
    "cca_a": "cold cranking current",
    "measured_cca_a": "cold cranking current measured",
    "parallel": "alike in parallel",
    "rest_v": "rest voltage",
    "low_soh": "health, at least",
    "high_soh": "health, at most",
    "low_soc": "charge, at least",
    "high_soc": "charge, at most",
    "resistance_mohm": "resistance",
    "link": "link",
    "linked_min": "linked after parking",
    "charger_a": "charger gives",
    "idle_a": "link itself draws",
    "accessory": "accessory",
    "delayed_off_min": "stays live for",
    "own_load": "own load",
    "other_load": "other load",
    "row": "row",
    "column": "column",
    "orientation": "orientation",
    "monitored": "monitored",
    "borrowed": "taken from elsewhere",
    "place": "place",
    "ambient_c": "ambient",
    "sleep_after_min": "asleep after locking",
    "locked_at_h": "parked at, hour of the day",
    "coldest_c": "coldest at the start",
    "awake_current_a": "current while still awake",
    "wake_ups": "wake-ups",
    "starts_by": "what starts it",
    "cranking_a": "cranking current",
    "low_temperature_c": "temperature, at least",
    "high_temperature_c": "temperature, at most",
    "low_rest_current_a": "rest current, at least",
    "high_rest_current_a": "rest current, at most",
    "drives": "drives",
    "spare_a": "alternator has to spare",
    "maintainer": "maintainer",
    "off_v": "cut-off: off below",
    "on_v": "cut-off: on again above",
    "delay_s": "cut-off: after",
    "output_v": "output voltage",
    "rating_a": "converter’s rating",
    "efficiency": "efficiency",
    "rated_v": "at voltage",
    "load_kind": "kind of load",
    "needs": "wanted feed",
    "leads": "leads",
    "works_in": "works while",
    "sense_a": "sense lead’s current",
    "duty": "duty",
    "duty_period_s": "duty, length of a cycle",
    "run_on_min": "runs on after locking",
    "timetable": "timetable",
    "cut_off": "voltage cut-off",
    "min_voltage_v": "least voltage",
    "inrush_multiple": "inrush, times its current",
    "inrush_s": "inrush lasts",
    "found": "found in the vehicle",
    "converter": "converter",
    "supplied_by": "supplied by",
    "current_spread": "spread of its current",
    "insulation": "insulation",
    "bundle": "bundled with",
    "colour": "colour",
    "ceiling_a": "tap’s own limit",
    "relay": "relay",
    "justification": "reason given",
    "relay_limit_a": "relay contacts",
    "relay_coil_a": "relay coil",
    "lead": "lead",
    "value": "value",
    "ranges": "ranges",
    "battery": "on battery",
    "section_mm2": "section",
    "length_m": "length",
    "rating": "rating",
}
THINGS: Final = ("fuse", "slot", "feed", "parent", "cable_out", "cable_back", "cut_off", "photo")
"""Fields that hold or name a thing: there is one, or none."""


def rows(differences: Iterable[Difference]) -> list[Row]:
    """Each difference as (which part, how it differs)."""
    return [row(difference) for difference in differences]


def row(difference: Difference) -> Row:
    """One difference as (which part, how it differs)."""
    part = tr(PARTS.get(difference.part, difference.part.replace("_", " ")))
    what = f"{part} {_cut(difference.name)}".rstrip()
    if difference.change in CHANGES:
        return what, tr(CHANGES[difference.change])
    return what, "; ".join(_field(change) for change in difference.fields)


def _field(change: FieldChange) -> str:
    words = _words(change.name)
    before, after = _value(change.name, change.before), _value(change.name, change.after)
    if (
        before == after or change.name == "photo.jpeg"
    ):  # a long text that differs further on, or a list of equal length
        return tr("{field} changed").format(field=words)
    return f"{words} {before} → {after}"


def _words(name: str) -> str:
    """A field's words: of the whole way, of its last part, else its name in the file."""
    last = name.rpartition(".")[2]
    load = name.rpartition(".")[0]
    if load.endswith("_load"):
        words = said(STATE[last].label)  # type: ignore[index]
        return f"{tr(FIELDS[load])}, {words}"
    known = name if name in FIELDS else last
    return tr(FIELDS[known]) if known in FIELDS else _plain(name)


def _plain(name: str) -> str:
    """A field's name in the file, to be read: without its unit, which the value has."""
    last = name.rpartition(".")[2]
    for end in FIELD_UNITS:
        if end.startswith("_"):
            last = last.removesuffix(end)
    return f"{name[: -len(name.rpartition('.')[2])]}{last}".replace(".", ", ").replace("_", " ")


def _value(name: str, value: Any) -> str:
    match value:
        case None:
            return tr("none") if name.rpartition(".")[2] in THINGS else tr("not given")
        case bool():
            return tr("yes") if value else tr("no")
        case int() | float():
            return _number(name.rpartition(".")[2], value)
        case str():
            return f"“{_cut(value)}”" if value else tr("empty")
        case Fuse():
            return quantity(value.rating, "A")
        case tuple():
            return tr("entries: {n}").format(n=len(value))
        case Struct():
            return tr("given")
    return _cut(str(value))


def _number(name: str, value: float) -> str:
    return style().show(Amount(value, unit_of(name)))


def _cut(text: str) -> str:
    """A text on one line, not too long."""
    line = " ".join(text.split())
    return line if len(line) <= MOST_LETTERS else f"{line[:MOST_LETTERS]}…"
