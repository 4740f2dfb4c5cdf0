"""Checks at added feeds: is the cable strong enough and protected, and its fuse near the source.

What passing a limit means is said where the limit is, in `assess.hops.feed`; this adds the place
and the sum.
"""

from collections.abc import Iterator

import numpy as np

from fusemap.assess import Assessment, Hop
from fusemap.assess.hops.feed import FEED_HOPS, FeedHop, made_hop
from fusemap.assess.hops.feed_cables import FeedCables, FeedView
from fusemap.checks.finding import Finding, between, passed
from fusemap.text import Text, say
from fusemap.vehicle import Feed, Vehicle


def cable_dangers(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """Every added feed whose cable passes one of its limits."""
    cables = FeedCables(a)
    for kind in FEED_HOPS if a.feed_hops else ():
        for column in np.flatnonzero(a.feed_hops[kind.key].broken).tolist():
            yield _passed(FeedView(cables, column), kind, a)


def _passed(v: FeedView, kind: FeedHop, a: Assessment) -> Finding:
    breach, hop = kind.breach(v), made_hop(v, kind, a.feed_hops[kind.key])
    return _finding(
        v.feed, kind.code, breach.severity, breach.what, passed(hop), hop, breach.remedy
    )


def cable_may_not_hold(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """Every added feed whose cable may pass one of its limits."""
    cables = FeedCables(a)
    for kind in FEED_HOPS if a.feed_hops else ():
        for column in np.flatnonzero(a.feed_hops[kind.key].unsure).tolist():
            v = FeedView(cables, column)
            hop = made_hop(v, kind, a.feed_hops[kind.key])
            yield _finding(
                v.feed,
                code="feed_cable_may_not_hold",
                severity="caution",
                what=say("May not hold: {hop}.", hop=hop.title),
                sum_=between(hop),
                hop=hop,
                remedy=say("Enter or measure what is not known; the chain says what that is."),
            )


def cable_not_given(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """An added feed of whose cable, or whose fuse, nothing is entered."""
    cables = FeedCables(a)
    for column, feed in enumerate(vehicle.feeds):
        if not feed.added:
            continue
        v = FeedView(cables, column)
        if feed.cable is not None and v.guard is not None:
            continue
        bare = v.guard is None
        yield Finding(
            code="feed_cable_not_given" if feed.cable is None else "feed_fuse_missing",
            severity="stop" if bare and feed.cable is not None else "caution",
            what=say("Nothing protects this feed’s cable: there is no fuse above it.")
            if bare
            else say("No cable is entered for this feed: nothing of it can be checked."),
            place="feed",
            place_id=feed.id,
            where=feed.name,
            sum=v.missing(),
            rule=say("every cable has a fuse at its source that its section can bear"),
            source=say("ISO 13590:2018; ABYC E-11, for boats"),
            remedy=say("Enter the cable and its fuse; fit the fuse next to the source."),
        )


def _finding(
    feed: Feed, code: str, severity: str, what: Text, sum_: Text, hop: Hop, remedy: Text
) -> Finding:
    return Finding(
        code=code,
        severity=severity,  # type: ignore[arg-type]
        what=what,
        place="feed",
        place_id=feed.id,
        where=feed.name,
        sum=sum_,
        rule=hop.basis.formula,
        source=hop.basis.source,
        remedy=remedy,
    )
