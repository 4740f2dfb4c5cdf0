"""The vehicle's own tables: every slot, every accessory, every feed with what it carries.

In: a vehicle and its assessment. Out: rows of words, both ends of each figure. No Qt.
"""

from typing import TYPE_CHECKING, Final

from msgspec import Struct

from fusemap.text import NOTHING, Argument, Style, Text, in_row, say
from fusemap.vehicle import Accessory, Feed, Slot, Vehicle, look_up
from fusemap.window.chosen import facts
from fusemap.window.chosen.accessory_facts import accessory_facts, seat
from fusemap.window.texts.folded import folded

if TYPE_CHECKING:  # the numbers
    from fusemap.assess import Assessment
    from fusemap.window.chosen.stations import Station

Row = tuple[Argument, ...]
Place = tuple[str, str]
"""What a row is about: its kind and id."""
SLOT_FACTS: Final = ("fuse", "feed", "side", "load", "parked")
"""The facts of a slot that have a column, by their keys."""
ACCESSORY_FACTS: Final = ("current", "needs", "inrush", "rest")
FEED_FACTS: Final = ("from", "limit", "others")


class OwnTable(Struct, frozen=True):
    """Its key, what it is called, its columns, and a row for each of `places`."""

    key: str
    title: Text
    columns: tuple[Text, ...]
    places: tuple[Place, ...]
    rows: tuple[Row, ...]


def own_tables(vehicle: Vehicle, a: "Assessment", style: Style) -> tuple[OwnTable, ...]:
    """All of them, in the order in which one fills them."""
    return (
        OwnTable(
            "own_slots",
            say("Slots of this vehicle"),
            (
                *(say("Slot"), say("Circuit"), say("Load"), say("Verdict")),
                *(say("Fuse"), say("Feed"), say("Live side"), say("Own load"), say("Parked")),
                *(say("Accessories"), say("Panel")),
            ),
            tuple(("slot", each.id) for each in look_up.slots(vehicle)),
            tuple(_slot(vehicle, a, each, style) for each in look_up.slots(vehicle)),
        ),
        OwnTable(
            "own_accessories",
            say("Accessories of this vehicle"),
            (
                *(say("Accessory"), say("Verdict"), say("Sits"), say("Current"), say("Needs")),
                *(say("Inrush"), say("Rest current")),
            ),
            tuple(("accessory", each.id) for each in vehicle.accessories),
            tuple(_accessory(vehicle, a, each) for each in vehicle.accessories),
        ),
        OwnTable(
            "own_feeds",
            say("Feeds of this vehicle"),
            (
                *(say("Feed"), say("Load"), say("Of its limit"), say("Verdict")),
                *(say("From"), say("May carry"), say("Besides slots")),
            ),
            tuple(("feed", each.id) for each in vehicle.feeds),
            tuple(_feed(vehicle, a, each) for each in vehicle.feeds),
        ),
    )


def fitting_rows(table: OwnTable, text: str, style: Style) -> dict[Place, tuple[str, ...]]:
    """Its rows in words, those in which every word typed stands."""
    wanted = folded(text.strip(' “”"')).split()
    shown = (tuple(style.show(cell) for cell in row) for row in table.rows)
    return {
        place: row
        for place, row in zip(table.places, shown, strict=True)
        if all(word in folded(" ".join(row)) for word in wanted)
    }


def _slot(vehicle: Vehicle, a: "Assessment", slot: Slot, style: Style) -> Row:
    told = {each.key: each.value for each in facts.slot_facts(vehicle, a, slot, style)}
    taps = look_up.taps_on(vehicle, slot.id)
    names = [look_up.accessory(vehicle, tap.accessory).name for tap in taps]
    load: tuple[Argument, Argument] = (NOTHING, NOTHING)
    if slot.id in a.slots.index and slot.fuse is not None:
        # it comes with what reckons, which the window starts without
        from fusemap.window.chosen.stations import slot_station

        load = _load(slot_station(a, slot))
    return (
        *(look_up.slot_words(slot), slot.circuit),
        *load,
        *(told.get(key, NOTHING) for key in SLOT_FACTS),
        in_row(names) if names else NOTHING,
        look_up.panel_of(vehicle, slot.id).name,
    )


def _accessory(vehicle: Vehicle, a: "Assessment", accessory: Accessory) -> Row:
    told = {each.key: each.value for each in accessory_facts(vehicle, accessory)}
    return (
        accessory.name,
        _worst(a, accessory),
        seat(vehicle, accessory),
        *(told.get(key, NOTHING) for key in ACCESSORY_FACTS),
    )


def _worst(a: "Assessment", accessory: Accessory) -> Argument:
    """The worst verdict on any thing on the ways of its leads; nothing where none is judged."""
    # it comes with what reckons, which the window starts without
    from fusemap.assess.verdict import VERDICT_WORDS, VERDICTS
    from fusemap.window.chosen.stations import stations_of

    taps = [tap for tap in a.vehicle.taps if tap.accessory == accessory.id]
    found = [each.verdict for tap in taps for each in stations_of(a, tap.id)]
    judged = [each for each in found if each is not None]
    return VERDICT_WORDS[min(judged, key=VERDICTS.index)] if judged else NOTHING


def _feed(vehicle: Vehicle, a: "Assessment", feed: Feed) -> Row:
    # it comes with what reckons, which the window starts without
    from fusemap.window.chosen.stations import feed_station

    told = {each.key: each.value for each in facts.feed_facts(vehicle, feed)}
    station = feed_station(a, feed)
    return (
        feed.name,
        station.left,
        *_load(station),
        *(told.get(key, NOTHING) for key in FEED_FACTS),
    )


def _load(station: "Station") -> tuple[Argument, Argument]:
    """Both ends of what it carries, and what becomes of that."""
    # it comes with what reckons, which the window starts without
    from fusemap.assess.verdict import VERDICT_WORDS

    verdict = NOTHING if station.verdict is None else VERDICT_WORDS[station.verdict]
    return station.figure, verdict
