"""The way that a finding is about, as stations in a row, and the one where it breaks.

In: the assessed vehicle and a finding. Out: `Station`s from the battery on and the key of the one
in question; none where a finding is about no way. No Qt.
"""

from msgspec.structs import replace

from fusemap.assess import Assessment
from fusemap.checks.finding import Finding
from fusemap.text import say
from fusemap.vehicle import Tap, look_up
from fusemap.window.chosen.station_places import AT
from fusemap.window.chosen.stations import (
    Station,
    behind_key,
    feed_station,
    feed_way,
    slot_way,
    stations_of,
    way_behind,
)
from fusemap.window.findings.groups import figure_of, hop_of

Way = tuple[tuple[Station, ...], str]
NO_WAY: Way = ((), "")


def way_of(a: Assessment, finding: Finding) -> Way:
    """The way with the key of the station in question; an empty key where it is none of them."""
    stations, broken = _way(a, finding)
    if not stations:
        return NO_WAY
    return (Station("battery", "battery", say("Battery")), *stations), broken


def _way(a: Assessment, finding: Finding) -> Way:
    place_id = finding.place_id
    if finding.place == "tap" and place_id in a.chains:
        return _of_tap(a, finding, look_up.tap(a.vehicle, place_id))
    if finding.place == "slot" and place_id in a.slots.index:
        slot = look_up.slot(a.vehicle, place_id)
        here = [tap for tap in a.vehicle.taps if tap.slot == place_id and tap.id in a.chains]
        if len(here) == 1:
            return stations_of(a, here[0].id), "host"
        return slot_way(a, slot), "host"
    if finding.place == "feed" and place_id in a.feeds.index:
        feed = look_up.feed(a.vehicle, place_id)
        return feed_way(a, feed), feed_station(a, feed).key
    if finding.place == "accessory":
        leads = [tap for tap in a.vehicle.taps if tap.accessory == place_id and tap.id in a.chains]
        if leads:
            return stations_of(a, leads[0].id), "device"
        return way_behind(a, place_id), behind_key(place_id)
    return NO_WAY


def _of_tap(a: Assessment, finding: Finding, tap: Tap) -> Way:
    """The way of a tap; in question is where the hop stands that the finding is about."""
    stations, hop = stations_of(a, tap.id), hop_of(a, finding)
    if hop is None:
        return stations, "tap"
    key = f"feed:{hop.feed}" if AT[hop.key] == "feed" else AT[hop.key]
    figure = figure_of(a, finding)
    return tuple(
        replace(each, figure=figure, verdict=hop.verdict) if each.key == key else each
        for each in stations
    ), key
