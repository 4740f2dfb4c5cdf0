"""The verdict on each tap's whole way, for all taps at once and without their words.

In: an assessed vehicle. Out: by tap id the verdict that its chain has; a chain put together in
words (`assessment.chains`) takes some ten times as long.
"""

from collections.abc import Iterator

import numpy as np

from fusemap.assess import Assessment
from fusemap.assess.sources import SECOND
from fusemap.assess.verdict import VERDICTS, Verdict, decides, verdict_of
from fusemap.vehicle import Feed, Tap, Vehicle, look_up


def tap_verdicts(vehicle: Vehicle, a: Assessment) -> dict[str, Verdict]:
    """Whether what every tap hangs on and is made of holds, from the battery to the accessory."""
    feeds = {feed.id: _feed(a, feed) for feed in vehicle.feeds}
    columns, along = a.taps.index, _along(a)
    return {
        tap.id: decides(
            (
                *_above(vehicle, tap, feeds),
                *along[columns[tap.id]],
                *_beside(a, columns[tap.id]),
            )
        )
        for tap in vehicle.taps
    }


def _along(a: Assessment) -> list[tuple[Verdict, ...]]:
    """The verdict that decides among a tap's own hops, for each tap; none where it has none."""
    first = np.minimum.reduce([each.rank for each in a.hops.values()])
    return [VERDICTS[rank : rank + 1] for rank in first.tolist()]


def _beside(a: Assessment, column: int) -> Iterator[Verdict]:
    """The link above what hangs on a second battery, and the leads behind a converter."""
    if a.circuit.tap_roots[column] == SECOND:
        yield from (limit.hop.verdict for limit in a.beside.link)
    for each in a.circuit.taps.behind.of(column):
        yield from (limit.hop.verdict for limit in a.beside.outputs[each.accessory.id])


def _feed(a: Assessment, feed: Feed) -> Verdict:
    """A feed with all that hangs below it."""
    if feed.limit_a is None and feed.fuse is None:
        return "unchecked"
    return feed_verdict(a, a.feeds.index[feed.id])


def feed_verdict(a: Assessment, column: int) -> Verdict:
    """Whether a feed holds with all that hangs below it."""
    ends = (a.feeds, a.most.feeds)
    known, most = (float(each.current_a[:, column].max()) for each in ends)
    limit, least = (float(each.limit_a[column]) for each in ends)
    return verdict_of(known, most, limit, least=least)


def _above(vehicle: Vehicle, tap: Tap, feeds: dict[str, Verdict]) -> Iterator[Verdict]:
    """The feeds above a tap; where nobody knows what supplies it, it cannot be checked."""
    first = tap.feed if tap.slot is None else look_up.slot(vehicle, tap.slot).feed
    if tap.slot is not None and first is None:
        yield "unchecked"
        return
    for feed in look_up.feeds_above(vehicle, first):
        yield feeds[feed.id]
