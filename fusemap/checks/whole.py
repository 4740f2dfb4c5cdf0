"""The verdict on a whole vehicle: of all that is used, and of what the findings say.

Green is said only where everything that is used holds by its high end, everything on the shelf has
its place, and no finding says that something is wrong or not known.
"""

from collections.abc import Iterable, Iterator
from typing import Final

import numpy as np

from fusemap.assess import Assessment
from fusemap.assess.currents import feeds_over
from fusemap.assess.hops.kind import NO_VERDICT
from fusemap.assess.verdict import SLACK, VERDICTS, Verdict, decides
from fusemap.checks.each_tap import feed_verdict
from fusemap.checks.finding import Finding
from fusemap.vehicle import Vehicle

NOT_KNOWN: Final = frozenset(
    {
        "cable_not_given",
        "class_unknown",
        "converter_not_placed",
        "converter_rating_unknown",
        "earth_sensor_unknown",
        "feed_cable_not_given",
        "feed_unknown",
        "feed_without_limit",
        "host_fuse_missing",
        "link_not_entered",
        "looks_monitored",
        "not_placed",
        "output_cable_not_given",
        "readings_contradict",
        "sense_not_placed",
        "unclear_tapped",
        "unseen_feed_heavy",
    }
)
"""Findings that say that something which decides is not known."""


def whole_verdict(vehicle: Vehicle, a: Assessment, found: Iterable[Finding]) -> Verdict:
    """Whether the vehicle as planned holds."""
    return decides((*_currents(vehicle, a), *_told(found)))


def _currents(vehicle: Vehicle, a: Assessment) -> Iterator[Verdict]:
    for figures in (*a.hops.values(), *a.feed_hops.values()):
        yield from (VERDICTS[rank] for rank in set(figures.rank.tolist()) - {NO_VERDICT})
    yield from (limit.hop.verdict for limit in a.beside.single)
    used = feeds_over(a.circuit).any(axis=1)
    for column in np.flatnonzero(used).tolist():
        yield feed_verdict(a, column)
    if a.doubts:
        yield "may_not_hold"
    slots = a.slots
    over = (slots.host_a > slots.host_limit_a * (1 + SLACK)).any()
    if over or (slots.live_contact_a > slots.contact_limit_a * (1 + SLACK)).any():
        yield "fails"
    tapped = a.circuit.taps.slot[a.circuit.taps.slot >= 0]
    # one whose feed nobody knows may hang on a feed in use
    asking = tapped if not used.any() else np.flatnonzero(slots.live.any(axis=0))
    if not a.circuit.slots.feed_known[asking].all():
        yield "unchecked"


def _told(found: Iterable[Finding]) -> Iterator[Verdict]:
    for finding in found:
        if finding.severity == "stop":
            yield "fails"
        elif finding.code in NOT_KNOWN:
            yield "unchecked"
