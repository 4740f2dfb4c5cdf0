"""What differs between two vehicles, in the words of the window.

In: the differences of `fusemap.vehicle.difference`. Out: rows of two texts, which part and how. A
field without words of its own is shown by its name in the file, so that nothing is passed over.
"""

from collections.abc import Iterable
from typing import Any, Final

from msgspec import Struct
from PySide6.QtCore import QCoreApplication

from fusemap.vehicle import Fuse
from fusemap.vehicle.difference import Difference, FieldChange
from fusemap.window.texts.numbers import percent, quantity

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
}
UNITS: Final = {
    "watts": "W",
    "amperes": "A",
    "rating": "A",
    "system_v": "V",
    "_a": "A",
    "_v": "V",
    "_mohm": "mΩ",
    "_ah": "Ah",
    "_mm2": "mm²",
    "_min": "min",
    "_m": "m",
    "_c": "°C",
    "_s": "s",
    "_h": "h",
    "asleep": "A",
    "awake": "A",
    "accessory": "A",
    "ignition": "A",
    "running": "A",
}
SHARES: Final = ("soh", "_soc", "duty", "across", "down")
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
    words = tr(FIELDS[change.name]) if change.name in FIELDS else _plain(change.name)
    before, after = _value(change.name, change.before), _value(change.name, change.after)
    if (
        before == after or change.name == "photo.jpeg"
    ):  # a long text that differs further on, or a list of equal length
        return tr("{field} changed").format(field=words)
    return f"{words} {before} → {after}"


def _plain(name: str) -> str:
    """A field's name in the file, to be read: without its unit, which the value has."""
    last = name.rpartition(".")[2]
    for end in UNITS:
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
    if name.endswith(SHARES):
        return percent(value)
    unit = next((unit for end, unit in UNITS.items() if name.endswith(end)), "")
    return quantity(value, unit).rstrip()


def _cut(text: str) -> str:
    """A text on one line, not too long."""
    line = " ".join(text.split())
    return line if len(line) <= MOST_LETTERS else f"{line[:MOST_LETTERS]}…"
