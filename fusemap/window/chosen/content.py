"""What the pane says of what is selected, made of the vehicle and its assessment. No Qt.

In: a selection, the tap that is looked at, and the assessment where figures are ready. Out: a
`Content`: head, facts, the way with all its feeds and with them folded, the findings about it.
"""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from msgspec import Struct

from fusemap.circuits import counts_critical
from fusemap.text import NOTHING, Argument, Style, run_on, say
from fusemap.vehicle import Accessory, Tap, Vehicle, look_up
from fusemap.vehicle.words import span_words
from fusemap.window.chosen import facts
from fusemap.window.chosen.accessory_facts import accessory_facts, accessory_head
from fusemap.window.chosen.facts import Fact, Head
from fusemap.window.document import Selection, taps_of

if TYPE_CHECKING:
    from fusemap.assess import Assessment
    from fusemap.checks.finding import Finding
    from fusemap.window.chosen.stations import Station

CHOSEN = ("slot", "tap", "accessory", "feed", "battery")
"""What can be chosen here; of a panel or the vehicle there is its page alone."""


class Content(Struct, frozen=True):
    """All that is shown; `folded` is the way with all feeds at one station."""

    head: Head
    facts: tuple[Fact, ...] = ()
    title: Argument = NOTHING
    way: "tuple[Station, ...]" = ()
    folded: "tuple[Station, ...]" = ()
    places: frozenset[tuple[str, str]] = frozenset()
    taps: int = 0
    alone: bool = False
    place_it: str = ""

    def about(self, findings: "Sequence[Finding]") -> "tuple[Finding, ...]":
        """The findings about it, worst first."""
        return tuple(f for f in findings if (f.place, f.place_id) in self.places)

    def above(self, findings: "Sequence[Finding]") -> "tuple[Finding, ...]":
        """The findings about the feeds above it, worst first."""
        feeds = {hop.feed for station in self.way for hop in station.hops if hop.feed}
        return tuple(f for f in findings if f.place == "feed" and f.place_id in feeds)


def content_of(
    vehicle: Vehicle,
    a: "Assessment | None",
    selection: Selection | None,
    tap: Tap | None,
    style: Style,
) -> Content:
    """What there is to say of a selection; `tap` is the one of its taps that is looked at."""
    if selection is None or selection.kind not in CHOSEN:
        return Content(Head("", say("Nothing is chosen"), NOTHING))
    if selection.kind == "slot":
        return _of_slot(vehicle, a, selection, tap, style)
    if selection.kind == "feed":
        return _of_feed(vehicle, a, selection)
    if selection.kind == "battery":
        head = Head("", say("Battery"), say("what the vehicle starts from, and stands on"))
        found = facts.battery_facts(vehicle)
        return Content(head, found, places=frozenset({("battery", "battery")}))
    return _of_accessory(vehicle, a, selection, tap)


def whole_content(vehicle: Vehicle, a: "Assessment", found: "Sequence[Finding]") -> Content:
    """Where nothing is chosen: the answer about the whole vehicle."""
    # it comes with what reckons, which the window starts without
    from fusemap.checks import verdict_words, whole_verdict

    verdict = whole_verdict(vehicle, a, found)
    words = verdict_words(vehicle, a, found, verdict)
    return Content(Head("", say("The whole vehicle"), words, verdict=verdict))


def _of_slot(
    vehicle: Vehicle,
    a: "Assessment | None",
    selection: Selection,
    tap: Tap | None,
    style: Style,
) -> Content:
    slot = look_up.slot(vehicle, selection.id)
    taps = taps_of(vehicle, selection)
    alone = slot.kind != "fuse" or (counts_critical(slot) and not taps)
    way, folded = _ways(a, slot.id, tap) if not alone else ((), ())
    return Content(
        facts.slot_head(slot),
        facts.slot_facts(vehicle, a, slot, style),
        _way_title(vehicle, a, tap) if tap else NOTHING,
        way,
        folded,
        frozenset({("slot", slot.id), *_places(taps)}),
        len(taps),
        alone,
    )


def _of_accessory(
    vehicle: Vehicle, a: "Assessment | None", selection: Selection, tap: Tap | None
) -> Content:
    taps = taps_of(vehicle, selection)
    wanted = selection.id
    if selection.kind == "tap":
        wanted = look_up.tap(vehicle, selection.id).accessory
    accessory = look_up.accessory(vehicle, wanted)
    behind = accessory.supplied_by is not None
    way, folded = _ways(a, None, tap) if tap and not behind else _behind(a, accessory)
    slots = {("slot", each.slot) for each in taps if each.slot is not None}
    unplaced = not taps and accessory.supplied_by is None
    return Content(
        accessory_head(vehicle, accessory),
        accessory_facts(vehicle, accessory),
        _way_title(vehicle, a, tap) if tap else NOTHING,
        way,
        folded,
        frozenset({("accessory", accessory.id), *_places(taps), *slots}),
        len(taps),
        place_it=accessory.id if unplaced else "",
    )


def _of_feed(vehicle: Vehicle, a: "Assessment | None", selection: Selection) -> Content:
    feed = look_up.feed(vehicle, selection.id)
    way: tuple[Station, ...] = ()
    if a is not None:
        # it comes with what reckons, which the window starts without
        from fusemap.window.chosen.stations import feed_station, slots_of

        way = (feed_station(a, feed), *slots_of(a, feed))
    return Content(
        facts.feed_head(vehicle, feed),
        facts.feed_facts(vehicle, feed),
        way=way,
        folded=way,
        places=frozenset({("feed", feed.id)}),
    )


def _places(taps: Sequence[Tap]) -> frozenset[tuple[str, str]]:
    accessories = (("accessory", tap.accessory) for tap in taps)
    return frozenset((*accessories, *(("tap", tap.id) for tap in taps)))


def _ways(
    a: "Assessment | None", slot_id: str | None, tap: Tap | None
) -> "tuple[tuple[Station, ...], tuple[Station, ...]]":
    """The way with every feed, and with the feeds folded; none while figures are not ready."""
    if a is None:
        return (), ()
    # it comes with what reckons, which the window starts without
    from fusemap.window.chosen.stations import both_ways, slot_way

    if tap is not None:
        return both_ways(a, tap.id)
    if slot_id is None:
        return (), ()
    slot = look_up.slot(a.vehicle, slot_id)
    return slot_way(a, slot), slot_way(a, slot, folded=True)


def _behind(
    a: "Assessment | None", accessory: Accessory
) -> "tuple[tuple[Station, ...], tuple[Station, ...]]":
    """The same of what hangs behind a converter; none of what does not."""
    if a is None or accessory.supplied_by is None:
        return (), ()
    # it comes with what reckons, which the window starts without
    from fusemap.window.chosen.stations import way_behind

    return way_behind(a, accessory.id), way_behind(a, accessory.id, folded=True)


def _way_title(vehicle: Vehicle, a: "Assessment | None", tap: Tap) -> Argument:
    """Whose way it is, and what flows there."""
    name: Argument = look_up.accessory(vehicle, tap.accessory).name
    if tap.lead == "sense":
        name = say("{name}, sense lead", name=name)
    if a is None or tap.id not in a.taps.index:
        return name
    column = a.taps.index[tap.id]
    low, high = (float(end.taps.current_a[:, column].max()) for end in (a.known, a.most))
    return run_on(name, span_words(low, max(low, high), "A"), between=", ")
