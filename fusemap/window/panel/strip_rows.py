"""What the feed strip of a panel says: battery, then each feed behind which slots of it hang.

In: a panel, the vehicle and, when it is there, its assessment. Out: `StripRow`s in the order of
the current. A feed that serves slots of two classes stands once for each: the strip is the legend,
too. Slots of which nobody knows what supplies them have a row of their own. No Qt.
"""

from collections.abc import Sequence
from itertools import pairwise
from typing import TYPE_CHECKING, Final

from msgspec import Struct

from fusemap.text import Argument, say
from fusemap.vehicle import BATTERY, FEED_CLASSES, Feed, FeedClass, Panel, Slot, Vehicle, look_up

if TYPE_CHECKING:  # they would load the numbers before the window is shown
    from fusemap.assess.assessment import Assessment
    from fusemap.assess.verdict import Verdict

INFINITE: Final = float("inf")
SECOND: Final = say("second battery")
"""What a row says that does not hang on the starter battery."""


class Carried(Struct, frozen=True):
    """What a feed carries in its worst state [A], known and at most; its limit, and the least."""

    known_a: float
    most_a: float
    limit_a: float
    verdict: "Verdict"
    least_a: float | None = None

    @property
    def shares(self) -> tuple[float, float]:
        """Both ends as shares of the limit; zero where there is none."""
        if not 0 < self.limit_a < INFINITE:
            return 0.0, 0.0
        hard = self.limit_a if self.least_a is None else max(self.least_a, 1e-9)
        return self.known_a / self.limit_a, self.most_a / hard


class StripRow(Struct, frozen=True):
    """One station of the strip.

    `key` is “battery”, “feed:…” or “?”; `feed_class` that of its mark, `None` at the battery;
    `feeds` the ids of what it stands for, `slots` those behind it on this panel. `source` is the
    name of what a further panel hangs on, or that it is the second battery. `carried` is `None`
    while it is being reckoned, or cannot be.
    """

    key: str
    feed_class: FeedClass | None
    feeds: tuple[str, ...]
    slots: frozenset[str]
    source: Argument = ""
    carried: Carried | None = None


def strip_rows(
    panel: Panel, vehicle: Vehicle, assessment: "Assessment | None"
) -> tuple[StripRow, ...]:
    """The stations of a panel's strip, from the battery downwards."""
    behind: dict[tuple[FeedClass, str], set[str]] = {}
    unknown: set[str] = set()
    for slot in panel.slots:
        if slot.kind != "fuse" or slot.feed_class == "unfed":
            continue
        if is_unknown(slot):
            unknown.add(slot.id)
        else:
            behind.setdefault((slot.feed_class, str(slot.feed)), set()).add(slot.id)
    order = {feed.id: number for number, feed in enumerate(vehicle.feeds)}
    keys = sorted(behind, key=lambda k: (FEED_CLASSES.index(k[0]), order.get(k[1], -1)))
    feeds = [feed for _, feed in keys]
    flows = {feed: carried(vehicle, assessment, feed) for feed in {*feeds} - {BATTERY}}
    seconds = {feed for feed in feeds if is_second(vehicle, feed)}
    rows = [_head(panel, vehicle, assessment, feeds, second=bool(feeds) and seconds == set(feeds))]
    rows += [
        StripRow(
            f"feed:{feed}" if feed != BATTERY else "battery",
            feed_class,
            () if feed == BATTERY else (feed,),
            frozenset(behind[feed_class, feed]),
            source=SECOND if feed in seconds and seconds != set(feeds) else "",
            carried=flows.get(feed),
        )
        for feed_class, feed in keys
    ]
    if unknown:
        rows.append(StripRow("?", "unknown", (), frozenset(unknown)))
    return tuple(rows)


def is_unknown(slot: Slot) -> bool:
    """Whether nobody knows from where a slot is supplied, or when."""
    return slot.feed is None or slot.feed_class == "unknown"


def is_second(vehicle: Vehicle, feed: str) -> bool:
    """Whether a feed hangs on the second battery."""
    if vehicle.second_battery is None or feed == BATTERY:
        return False
    return list(look_up.feeds_above(vehicle, feed))[-1].battery == "second"


def _head(
    panel: Panel,
    vehicle: Vehicle,
    assessment: "Assessment | None",
    feeds: Sequence[str],
    *,
    second: bool,
) -> StripRow:
    """The battery with the feed next to it; on a panel behind others their names.

    Where all of it hangs on the `second` battery that is said first.
    """
    ways = [tuple(_down(vehicle, feed)) for feed in feeds]
    shared: list[Feed] = []
    for level in zip(*ways, strict=False):
        if any(one.id != other.id for one, other in pairwise(level)):
            break
        shared.append(level[0])
    own = {feed for feed in feeds if feed != BATTERY}
    above = [feed for feed in shared if feed.id not in own]
    source: Argument = above[-1].name if above and panel.id != vehicle.panels[0].id else ""
    return StripRow(
        "battery",
        None,
        tuple(feed.id for feed in above),
        frozenset(),
        source=SECOND if second else source,
        carried=carried(vehicle, assessment, above[0].id) if above else None,
    )


def _down(vehicle: Vehicle, feed: str) -> list[Feed]:
    return list(look_up.feeds_above(vehicle, feed))[::-1]


def carried(vehicle: Vehicle, assessment: "Assessment | None", feed_id: str) -> Carried | None:
    """What a feed carries in its worst state; the most at most what its own fuse is rated for."""
    if assessment is None:
        return None
    from fusemap.assess.verdict import verdict_of  # the numbers: not before the first painting

    column = assessment.feeds.index[feed_id]
    known = float(assessment.feeds.current_a[:, column].max())
    most = max(known, float(assessment.most.feeds.current_a[:, column].max()))
    fuse = look_up.feed(vehicle, feed_id).fuse
    if fuse is not None:
        most = max(known, min(most, fuse.rating))
    limit, least = (
        float(each.limit_a[column]) for each in (assessment.feeds, assessment.most.feeds)
    )
    return Carried(known, most, limit, verdict_of(known, most, limit, least=least), least)
