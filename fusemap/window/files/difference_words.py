"""What differs between states of a vehicle, in words.

In: the differences of `fusemap.vehicle.difference`. Out: rows of two texts, which part and how. A
field without words of its own is shown by its name in the file, so that nothing is passed over.
"""

from collections.abc import Callable, Iterable
from typing import Any, Final

from msgspec import Struct

from fusemap.circuits import FUNCTION_WORDS
from fusemap.text import Amount, Argument, Text, in_row, run_on, say
from fusemap.vehicle import BATTERY, Fuse
from fusemap.vehicle.difference import Difference, FieldChange
from fusemap.vehicle.words import FIELD_UNITS, STATE, STRAIGHT, unit_of
from fusemap.window.forms import choices

Row = tuple[Text, Text]
MOST_LETTERS: Final = 60
"""A longer text is cut for a row."""


PARTS: Final = {
    "vehicle": say("Vehicle"),
    "battery": say("Battery"),
    "second_battery": say("Second battery"),
    "parking": say("Parking"),
    "panel": say("Panel"),
    "slot": say("Slot"),
    "feed": say("Feed"),
    "earth": say("Earth point"),
    "socket": say("Socket"),
    "accessory": say("Accessory"),
    "tap": say("Tap"),
    "rule": say("Rule"),
    "meter": say("Meter"),
    "reading": say("Reading"),
    "log entry": say("Log entry"),
    "signature": say("Signature"),
}
CHANGES: Final = {"added": say("added"), "removed": say("removed")}
FIELDS: Final = {
    "name": say("name"),
    "system_v": say("system voltage"),
    "fuse": say("fuse"),
    "fuse.family": say("fuse family"),
    "fuse.rating": say("fuse rating"),
    "fuse.resistance_mohm": say("fuse resistance"),
    "circuit": say("circuit"),
    "label": say("label"),
    "kind": say("kind"),
    "family": say("fuse family"),
    "critical": say("critical"),
    "critical_reason": say("why critical"),
    "harmless": say("what it really feeds"),
    "largest_fuse_a": say("largest fuse allowed"),
    "feed_class": say("feed class"),
    "live_side": say("live side"),
    "feed": say("feed"),
    "parent": say("feed above"),
    "contact_limit_a": say("contact limit"),
    "limit_a": say("limit"),
    "watts": say("watts"),
    "amperes": say("amperes"),
    "standby_a": say("standby current"),
    "rest_current_a": say("rest current"),
    "capacity_ah": say("capacity"),
    "start_soc": say("charge at the start"),
    "soh": say("health"),
    "stand_days": say("days parked"),
    "temperature_c": say("temperature"),
    "slot": say("slot"),
    "way_round": say("way round"),
    "cable_out": say("cable out"),
    "cable_back": say("cable back"),
    "cable_out.length_m": say("cable out, length"),
    "cable_out.section_mm2": say("cable out, section"),
    "cable_back.length_m": say("cable back, length"),
    "cable_back.section_mm2": say("cable back, section"),
    "earth_point": say("earth point"),
    "joint": say("joint"),
    "note": say("note"),
    "rows": say("rows"),
    "columns": say("columns"),
    "order": say("order"),
    "photo": say("photo"),
    "photo.jpeg": say("photo"),
    "current_a": say("current"),
    "from_h": say("from, hour of the day"),
    "to_h": say("to, hour of the day"),
    "start_h": say("starts at, hour of the day"),
    "minutes": say("lasting"),
    "weekdays": say("days of the week"),
    "every_h": say("every"),
    "chemistry": say("kind of battery"),
    "age_years": say("age"),
    "reserve_min": say("reserve capacity"),
    "cca_a": say("cold cranking current"),
    "measured_cca_a": say("cold cranking current measured"),
    "parallel": say("alike in parallel"),
    "rest_v": say("rest voltage"),
    "low_soh": say("health, at least"),
    "high_soh": say("health, at most"),
    "low_soc": say("charge, at least"),
    "high_soc": say("charge, at most"),
    "resistance_mohm": say("resistance"),
    "link": say("link"),
    "linked_min": say("linked after parking"),
    "charger_a": say("charger gives"),
    "idle_a": say("link itself draws"),
    "accessory": say("accessory"),
    "delayed_off_min": say("stays live for"),
    "own_load": say("own load"),
    "own_most": say("own load, at most"),
    "other_load": say("other load"),
    "carried": say("measured as a whole"),
    "row": say("row"),
    "column": say("column"),
    "orientation": say("orientation"),
    "monitored": say("monitored"),
    "borrowed": say("taken from elsewhere"),
    "place": say("place"),
    "ambient_c": say("ambient"),
    "sleep_after_min": say("asleep after locking"),
    "locked_at_h": say("parked at, hour of the day"),
    "coldest_c": say("coldest at the start"),
    "awake_current_a": say("current while still awake"),
    "wake_ups": say("wake-ups"),
    "starts_by": say("what starts it"),
    "cranking_a": say("cranking current"),
    "engine_fuel": say("engine"),
    "engine_l": say("engine’s size"),
    "night_logged": say("a night was followed"),
    "locked_on": say("locked on"),
    "night_c": say("lowest of the night"),
    "day_c": say("highest of the day"),
    "topped_up": say("topped up by the drive battery"),
    "top_up_min": say("topped up for"),
    "top_up_times": say("topped up, times at most"),
    "top_up_a": say("topped up with"),
    "stand_readings": say("standings followed"),
    "label_standard": say("standard of the cold cranking current"),
    "charged_by": say("charged by"),
    "crank_readings": say("starts followed"),
    "figures_from": say("figures are from"),
    "rest_from": say("standby current is from"),
    "parked_mode": say("does while parked"),
    "low_temperature_c": say("temperature, at least"),
    "high_temperature_c": say("temperature, at most"),
    "low_rest_current_a": say("rest current, at least"),
    "high_rest_current_a": say("rest current, at most"),
    "drives": say("drives"),
    "spare_a": say("alternator has to spare"),
    "alternator_a": say("alternator’s rated current"),
    "alternator_idle_a": say("alternator’s current at idle"),
    "maintainer": say("maintainer"),
    "off_v": say("cut-off: off below"),
    "on_v": say("cut-off: on again above"),
    "delay_s": say("cut-off: after"),
    "output_v": say("output voltage"),
    "rating_a": say("converter’s rating"),
    "efficiency": say("efficiency"),
    "rated_v": say("at voltage"),
    "load_kind": say("kind of load"),
    "needs": say("wanted feed"),
    "leads": say("leads"),
    "works_in": say("works while"),
    "sense_a": say("sense lead’s current"),
    "duty": say("duty"),
    "duty_period_s": say("duty, length of a cycle"),
    "run_on_min": say("runs on after locking"),
    "output_w": say("gives out"),
    "short_s": say("works at a time, at most"),
    "timetable": say("timetable"),
    "cut_off": say("voltage cut-off"),
    "min_voltage_v": say("least voltage"),
    "inrush_multiple": say("inrush, times its current"),
    "inrush_s": say("inrush lasts"),
    "found": say("found in the vehicle"),
    "converter": say("converter"),
    "supplied_by": say("supplied by"),
    "current_spread": say("spread of its current"),
    "insulation": say("insulation"),
    "bundle": say("bundled with"),
    "colour": say("colour"),
    "ceiling_a": say("tap’s own limit"),
    "relay": say("relay"),
    "justification": say("what the circuit feeds"),
    "found_how": say("how that was found"),
    "function": say("what the circuit is"),
    "relay_limit_a": say("relay contacts"),
    "relay_coil_a": say("relay coil"),
    "switch": say("switch in the lead"),
    "switch_limit_a": say("switch’s contact"),
    "timer_min": say("timer opens after"),
    "fuse_failed": say("its fuse opened before"),
    "seen_empty": say("seen without a fuse"),
    "lead_cable": say("cable behind the converter"),
    "lead_back": say("return behind the converter"),
    "lead_fuse": say("fuse behind the converter"),
    "further": say("further way"),
    "added": say("added"),
    "cable": say("cable"),
    "unfused_m": say("fuse after"),
    "sleeve": say("before the fuse"),
    "link_cable": say("cable of the link"),
    "near_fuse": say("link’s fuse, starter end"),
    "far_fuse": say("link’s fuse, second end"),
    "earth": say("earth point"),
    "socket": say("socket"),
    "pin": say("pin of the socket"),
    "pins": say("pins"),
    "module": say("module of its lamps"),
    "returns_joined": say("returns joined in the trailer"),
    "lamps_joined": say("tail lamps bridged in the trailer"),
    "lead": say("lead"),
    "value": say("value"),
    "ranges": say("ranges"),
    "battery": say("on battery"),
    "section_mm2": say("section"),
    "length_m": say("length"),
    "rating": say("rating"),
}
THINGS: Final = ("fuse", "slot", "feed", "parent", "cable_out", "cable_back", "cut_off", "photo")
"""Fields that hold or name a thing: there is one, or none."""


SUPPLY: Final[dict[str, dict[str | None, Text]]] = {
    "slot": {None: say("not known"), BATTERY: STRAIGHT},
    "tap": {None: say("battery")},
}
"""What a feed's id stands for where it names no feed."""


CHOICES: Final[dict[str, Callable[[], tuple[tuple[str, str], ...]]]] = {
    "battery": choices.batteries,
    "charged_by": choices.charged_by,
    "chemistry": choices.chemistries,
    "engine_fuel": choices.engines,
    "figures_from": choices.figures_from,
    "label_standard": choices.label_standards,
    "load_kind": choices.load_kinds,
    "needs": choices.needs,
    "place": choices.places,
    "rest_from": choices.figures_from,
    "sleeve": choices.sleeves,
    "way_round": choices.ways_round,
}
"""Fields of which the window offers a choice, with its words."""


def rows(differences: Iterable[Difference]) -> list[Row]:
    """Each difference as (which part, how it differs)."""
    return [row(difference) for difference in differences]


def row(difference: Difference) -> Row:
    """One difference as (which part, how it differs)."""
    part = PARTS.get(difference.part, difference.part.replace("_", " "))
    what = run_on(part, _cut(difference.name))
    if difference.change in CHANGES:
        return what, CHANGES[difference.change]
    changes = (_change(field, difference.part) for field in difference.fields)
    return what, run_on(*changes, between="; ")


def _change(change: FieldChange, part: str) -> Text:
    field = _field(change.name)
    before, after = (_value(change.name, each, part) for each in (change.before, change.after))
    # a long text that differs further on, or a list of equal length
    if str(before) == str(after) or change.name == "photo.jpeg":
        return say("{field} changed", field=field)
    return run_on(field, before, "→", after)


def _field(name: str) -> Argument:
    """A field's words: of the whole way, of its last part, else its name in the file."""
    load, _, last = name.rpartition(".")
    if load.endswith(("_load", "_most", "carried")):
        return in_row([FIELDS[load.rpartition(".")[2]], STATE[last].label])  # type: ignore[index]
    return FIELDS.get(name) or FIELDS.get(last) or _plain(name)


def _plain(name: str) -> str:
    """A field's name in the file, to be read: without its unit, which the value has."""
    last = name.rpartition(".")[2]
    for end in FIELD_UNITS:
        if end.startswith("_"):
            last = last.removesuffix(end)
    return f"{name[: -len(name.rpartition('.')[2])]}{last}".replace(".", ", ").replace("_", " ")


def _value(name: str, value: Any, part: str) -> Argument:
    field = name.rpartition(".")[2]
    if field == "feed" and value in SUPPLY.get(part, {}):
        return SUPPLY[part][value]
    match value:
        case None:
            return say("none") if field in THINGS else say("not given")
        case bool():
            return say("yes") if value else say("no")
        case int() | float():
            return Amount(value, unit_of(field))
        case "comfort" | "control" | "supply" | "unclear" if field == "function":
            return FUNCTION_WORDS[value]
        case str() if field in CHOICES and value in dict(CHOICES[field]()):
            return dict(CHOICES[field]())[value]
        case str():
            return f"“{_cut(value)}”" if value else say("empty")
        case Fuse():
            return Amount(value.rating, "A")
        case tuple():
            return say("entries: {n}", n=len(value))
        case Struct():
            return say("given")
    return _cut(str(value))


def _cut(text: str) -> str:
    """A text on one line, not too long."""
    line = " ".join(text.split())
    return line if len(line) <= MOST_LETTERS else f"{line[:MOST_LETTERS]}…"
