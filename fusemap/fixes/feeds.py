"""What to do about an added feed or an earth point: edits that are tried on the vehicle."""

from collections.abc import Iterator
from functools import partial
from typing import Final

from msgspec.structs import replace

from fusemap import tables
from fusemap.assess.hops.feed import MM, rule_key
from fusemap.fixes.fix import Case, Fix
from fusemap.text import Section, given, say
from fusemap.vehicle import Cable, Feed, Fuse, edits, look_up

MOST_SECTION_MM2: Final = 95.0
"""Thicker battery cable is nothing that is laid by hand [mm²]; ours."""


def _feed(case: Case) -> Feed:
    return look_up.feed(case.vehicle, case.place_id)


def thicken_feed(case: Case) -> Iterator[Fix]:
    """The thinnest section that removes the finding."""
    feed = _feed(case)
    if feed.cable is None:
        return
    thicker = [
        row.area_mm2
        for row in tables.standard_sections()
        if feed.cable.section_mm2 < row.area_mm2 <= MOST_SECTION_MM2
    ]
    yield from case.mildest([_with_section(feed, feed.cable, area) for area in thicker])


def _with_section(feed: Feed, cable: Cable, area_mm2: float) -> Fix:
    edit = partial(edits.change_feed, feed_id=feed.id, cable=replace(cable, section_mm2=area_mm2))
    return Fix(say("Use a cable of {section} for this feed", section=Section(area_mm2)), edit)


def smaller_feed_fuse(case: Case) -> Iterator[Fix]:
    """The largest smaller rating of its fuse's family that removes the finding."""
    feed = _feed(case)
    if feed.fuse is None:
        return
    ratings = tables.fuse_family(feed.fuse.family).ratings_a
    smaller = sorted((r for r in ratings if r < feed.fuse.rating), reverse=True)
    yield from case.first(_with_fuse(feed, feed.fuse, rating) for rating in smaller)


def _with_fuse(feed: Feed, fuse: Fuse, rating_a: float) -> Fix:
    other = replace(fuse, rating=rating_a, resistance_mohm=None)
    edit = partial(edits.change_feed, feed_id=feed.id, fuse=other)
    return Fix(say("Fit a fuse of {rating} for this feed", rating=given(rating_a, "A")), edit)


def nearer_fuse(case: Case) -> Iterator[Fix]:
    """The fuse as near as the rule asks; and in a sleeve, where that is enough."""
    feed = _feed(case)
    if feed.fuse is None:
        return
    if feed.sleeve != "sleeved":
        yield Fix(
            say("Put the cable before the fuse into a sleeve, from end to end"),
            partial(edits.change_feed, feed_id=feed.id, sleeve="sleeved"),
        )
    most_mm = case.a.rule(rule_key(feed))
    yield Fix(
        say(
            "Put the fuse within {length} of where the current is taken",
            length=given(most_mm, "mm"),
        ),
        partial(edits.change_feed, feed_id=feed.id, unfused_m=most_mm / MM),
    )


def spread_earths(case: Case) -> Iterator[Fix]:
    """An earth point of its own for the last one that came to a crowded or shared point."""
    there = [tap for tap in case.vehicle.taps if tap.earth == case.place_id]
    if len(there) > 1:
        name = look_up.accessory(case.vehicle, there[-1].accessory).name
        edit = partial(edits.change_tap, tap_id=there[-1].id, earth=None)
        yield Fix(say("Give “{accessory}” an earth point of its own", accessory=name), edit)
