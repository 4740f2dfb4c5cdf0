"""The history of the file format, and how older files are brought up to the newest version.

=======  ==========  ===============================================================================
Version  Since       What changed
=======  ==========  ===============================================================================
1        0.1         The first: a vehicle as `fusemap.vehicle.model` describes it.
2        0.1         Readings, meters and signatures of the vehicle; `borrowed` of a slot; `found`
                     of an accessory.
3        0.1         `converter` and `supplied_by` of an accessory; `relay_limit_a` and
                     `relay_coil_a` of a tap.
4        0.1         `photo` of a panel.
5        0.1         `harmless` of a slot; `largest_fuse_a` of an accessory.
6        0.1         `own_most` of a slot and of a borrowed one, `function` of a slot, `carried` of
                     a feed, `found_how` of a tap. No `feed` of a slot means that it is not known,
                     “battery” in its place straight from the battery.
7        0.1         `label_standard`, `charged_by` and `crank_readings` of the battery;
                     `engine_fuel`, `engine_l` and `night_logged` of the parking; `figures_from` and
                     `parked_mode` of an accessory. A start has other named rules.
8        0.1         `further` of a cable; `added`, `cable`, `unfused_m`, `sleeve`, `battery` and
                     `cut_off` of a feed; `kind` of a panel; `fuse_failed` and `seen_empty` of a
                     slot; `earths` of the vehicle; `earth`, `switch`, `switch_limit_a`,
                     `timer_min`, `socket` and `pin` of a tap; `sockets` of the vehicle;
                     `lead_cable`, `lead_back`, `lead_fuse`, `short_s`, `output_w` and `rest_from`
                     of an accessory; `rest_v`, `resistance_mohm`, `link_cable`, `near_fuse` and
                     `far_fuse` of the second battery; `stand_readings` of the battery;
                     `locked_on`, `night_c`, `day_c`, `topped_up`, `top_up_min`,
                     `top_up_times` and `top_up_a` of the parking; `battery` of a
                     maintainer; `fuses_out` of a reading, readings of a hunt, of a panel and of
                     the kind `polarity`. The corners of a photo may lie beside it.
=======  ==========  ===============================================================================

The rules. Any change of the fields makes a new version, so that an older program says "newer than
this program" and nothing is lost silently. A field never changes its type, a default never changes
its value. An upgrade is one small function in `UPGRADES`, from its version to the next: it takes
the file's fields as plain dicts and lists and returns them changed; a demo file of its version and
a test come with it. All versions are read; the newest is written.
"""

from collections.abc import Callable, Mapping
from itertools import count
from typing import Any

from fusemap.vehicle import BATTERY

Fields = dict[str, Any]
Upgrade = Callable[[Fields], Fields]


def _with_readings(fields: Fields) -> Fields:
    """Version 1 to 2: what is new is left out of the file where there is none of it."""
    return fields


def _with_converters(fields: Fields) -> Fields:
    """Version 2 to 3: what is new is left out of the file where there is none of it."""
    return fields


def _with_photos(fields: Fields) -> Fields:
    """Version 3 to 4: what is new is left out of the file where there is none of it."""
    return fields


def _with_answers(fields: Fields) -> Fields:
    """Version 4 to 5: what is new is left out of the file where there is none of it.

    A slot whose name looks like one to leave alone, and that has no mark, was never asked about in
    writing: it stays unanswered.
    """
    return fields


def _with_feeds_not_known(fields: Fields) -> Fields:
    """Version 5 to 6: no feed of a slot was the battery and was nobody's word, and is not known.

    A feed that had the id that now stands for the battery gets another one.
    """
    feeds, readings = _parts(fields, "feeds"), _parts(fields, "readings")
    if all(feed.get("id") != BATTERY for feed in feeds):
        return fields
    readings = [each for each in readings if each.get("target") == "feed"]
    taken = {str(part.get(name)) for part in feeds for name in ("id", "parent")}
    taken |= {str(reading.get("target_id")) for reading in readings}
    own = next(name for n in count(1) if (name := f"feed-{n}") not in taken)
    slots = [slot for panel in _parts(fields, "panels") for slot in _parts(panel, "slots")]
    for parts, name in (
        (feeds, "id"),
        (feeds, "parent"),
        (slots, "feed"),
        (_parts(fields, "taps"), "feed"),
        (readings, "target_id"),
    ):
        for part in parts:
            if part.get(name) == BATTERY:
                part[name] = own
    return fields


def _parts(fields: Fields, name: str) -> list[Fields]:
    """The parts of a list that are such: nothing has looked at the file's fields yet."""
    found = fields.get(name)
    return [part for part in found if isinstance(part, dict)] if isinstance(found, list) else []


def _with_starts(fields: Fields) -> Fields:
    """Version 6 to 7: what is new is left out of the file where there is none of it.

    The charge a start needs was held to a line through 25 °C, and is now, where no engine is known,
    to one through 15 °C: what somebody set for the one is set for the other. The
    starter's current by the size of the battery is no more asked for.
    """
    rules = {each["key"]: each["value"] for each in fields.get("rules", [])}
    slope = rules.get("crank_soc_slope_per_k", 0.007)
    renewed: dict[str, float] = {}
    if "crank_soc_base" in rules:
        renewed["start_line_soc"] = min(0.9, max(0.1, rules["crank_soc_base"] + 10.0 * slope))
    if "crank_soc_slope_per_k" in rules:
        renewed["start_line_slope_per_k"] = slope
    if "crank_soc_band" in rules:
        renewed |= dict.fromkeys(("start_line_less", "start_line_more"), rules["crank_soc_band"])
    kept = [each for each in fields.get("rules", []) if each["key"] not in RULES_OF_THUMB]
    kept += [{"key": key, "value": value} for key, value in renewed.items()]
    if not kept:
        return {name: value for name, value in fields.items() if name != "rules"}
    return fields | {"rules": kept}


def _with_added(fields: Fields) -> Fields:
    """Version 7 to 8: what is new is left out of the file where there is none of it.

    Nobody was asked whether the drive battery tops the 12 V battery up: that is not known.
    """
    return fields


RULES_OF_THUMB = (
    "crank_soc_base",
    "crank_soc_slope_per_k",
    "crank_soc_band",
    "cranking_a_per_ah",
)
"""Named rules of a start that there are no more."""


UPGRADES: Mapping[int, Upgrade] = {
    1: _with_readings,
    2: _with_converters,
    3: _with_photos,
    4: _with_answers,
    5: _with_feeds_not_known,
    6: _with_starts,
    7: _with_added,
}
"""The upgrade from each version to the next."""


def upgraded(
    fields: Fields, version: int, newest: int, upgrades: Mapping[int, Upgrade] = UPGRADES
) -> Fields:
    """The fields of a file of `version` as a file of version `newest` has them."""
    for step in range(version, newest):
        fields = upgrades[step](fields)
    return fields
