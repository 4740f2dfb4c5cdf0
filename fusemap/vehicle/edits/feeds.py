"""Edits of feeds: each hangs on its parent, or on the battery where it has none."""

from typing import Any

from msgspec.structs import replace

from fusemap.errors import EditRefused
from fusemap.text import say
from fusemap.vehicle import look_up, validity
from fusemap.vehicle.edits.shared import free_id, keeps_id, refuse, swap, without
from fusemap.vehicle.model import Feed, Panel, Vehicle


def add_feed(vehicle: Vehicle, name: str, **fields: Any) -> Vehicle:
    """Add a feed."""
    taken = (*(f.id for f in vehicle.feeds), *look_up.read_ids(vehicle, "feed"))
    feed = Feed(id=free_id(taken, "feed"), name=name, **fields)
    return _with_feeds(vehicle, (*vehicle.feeds, feed), feed)


def change_feed(vehicle: Vehicle, feed_id: str, **changes: Any) -> Vehicle:
    """Change a feed's fields; its parent may not lie below it."""
    keeps_id(changes)
    feed = replace(look_up.feed(vehicle, feed_id), **changes)
    return _with_feeds(vehicle, swap(vehicle.feeds, feed), feed)


def _with_feeds(vehicle: Vehicle, feeds: tuple[Feed, ...], feed: Feed) -> Vehicle:
    refuse(validity.number_faults(feed, ""))
    if feed.parent is not None:
        look_up.find(feeds, feed.parent, "feed")
    if validity.parent_cycle(feeds) is not None:
        raise EditRefused(
            say("“{name}” would be above itself", name=feed.name),
            where="parent",
            remedy=say("choose another parent"),
        )
    return replace(vehicle, feeds=feeds)


def remove_feed(vehicle: Vehicle, feed_id: str) -> Vehicle:
    """Remove a feed; what hung below it hangs on its parent from now on."""
    gone = look_up.feed(vehicle, feed_id)
    feeds = tuple(
        replace(f, parent=gone.parent) if f.parent == feed_id else f
        for f in without(vehicle.feeds, feed_id)
    )
    panels = tuple(_without_feed(panel, gone) for panel in vehicle.panels)
    taps = tuple(replace(t, feed=gone.parent) if t.feed == feed_id else t for t in vehicle.taps)
    return replace(vehicle, feeds=feeds, panels=panels, taps=taps)


def _without_feed(panel: Panel, gone: Feed) -> Panel:
    """The panel with its slots on the feed above the gone one; itself when none hung there."""
    if all(slot.feed != gone.id for slot in panel.slots):
        return panel
    return replace(
        panel,
        slots=tuple(replace(s, feed=gone.parent) if s.feed == gone.id else s for s in panel.slots),
    )
