"""Findings in the order one works them off: by what they say, each with its figure.

In: a finding, and the assessed vehicle for its figure. Out: its `Group`, and the figure with both
its ends where it has one. No Qt.
"""

from collections.abc import Iterable
from math import isfinite, isnan
from typing import TYPE_CHECKING, Final, Literal

from fusemap.checks.finding import Finding
from fusemap.text import NOTHING, Argument, Duration, Text, run_on, say

if TYPE_CHECKING:
    from fusemap.assess import Assessment, Hop

Group = Literal["fails", "may_not_hold", "unchecked", "caution", "note"]
GROUPS: Final[tuple[Group, ...]] = ("fails", "may_not_hold", "unchecked", "caution", "note")
"""In this order they stand in the list."""
GROUP_WORDS: Final[dict[Group, Text]] = {
    "fails": say("Does not hold: put it right"),
    "may_not_hold": say("May not hold: make sure"),
    "unchecked": say("Cannot be said: answer or measure"),
    "caution": say("Works, but mind this"),
    "note": say("Worth knowing"),
}
"""What is said of each group, and what is to be done about it."""
UNSAID: Final = frozenset(
    (
        "class_unknown", "live_side_unknown", "own_load_unknown", "feed_unknown",
        "feed_without_limit", "looks_critical", "looks_monitored", "unclear_tapped",
        "converter_rating_unknown", "host_fuse_missing", "cable_not_given", "somebody_elses_word",
        "readings_contradict", "found_fitted",
    )
)  # fmt: skip
"""Codes of findings that say only that something is not known."""
STANDING: Final = frozenset(
    ("stands_too_short", "stands_perhaps_too_short", "never_starts", "does_not_start_now")
)
"""Codes of findings whose figure is how long the vehicle may stand."""
LOADED: Final = frozenset(
    (
        "host_overloaded", "contact_overloaded", "host_may_not_hold", "contact_may_not_hold",
        "own_load_unknown", "class_unknown", "feed_overloaded", "feed_may_not_hold",
    )
)  # fmt: skip
"""Codes of findings whose figure is the share of the limit at their slot or feed."""


def group_of(finding: Finding) -> Group:
    """What a finding says: it fails or may, cannot be said, wants care, is good to know."""
    if finding.severity == "stop":
        return "fails"
    if finding.code.endswith("may_not_hold"):
        return "may_not_hold"
    if finding.code in UNSAID:
        return "unchecked"
    return "caution" if finding.severity == "caution" else "note"


def grouped(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Findings by their groups; within one as they were."""
    return tuple(sorted(findings, key=lambda each: GROUPS.index(group_of(each))))


def figure_of(a: "Assessment", finding: Finding) -> Argument:
    """The figure that a finding is about, both its ends; nothing where it is about none."""
    # it comes with what reckons, which the window starts without
    from fusemap.window.chosen.stations import share_words

    if finding.code in STANDING:
        return standing_words(a)
    if finding.place == "tap" and finding.place_id in a.chains:
        hop = hop_of(a, finding)
        return NOTHING if hop is None else _of_hop(hop)
    if finding.code not in LOADED:
        return NOTHING
    for ends, index in (
        ((a.known.slots, a.most.slots), a.slots.index),
        ((a.known.feeds, a.most.feeds), a.feeds.index),
    ):
        column = index.get(finding.place_id)
        if column is not None:
            known, most = (float(end.worst_share[column]) for end in ends)
            return share_words(known, max(known, most))
    return NOTHING


def hop_of(a: "Assessment", finding: Finding) -> "Hop | None":
    """The hop of a tap that a finding is about."""
    # it comes with what reckons, which the window starts without
    from fusemap.assess.hops import keys_of
    from fusemap.window.chosen.stations import deciding

    hops, keys = a.chains[finding.place_id].hops, keys_of(finding.code)
    if finding.code == "tap_may_not_hold":
        return deciding(hop for hop in hops if hop.verdict == "may_not_hold" and hop.key != "feed")
    return deciding(hop for hop in hops if hop.key in keys)


def _of_hop(hop: "Hop") -> Argument:
    """A current by its share of the limit; what is warm, lost or left by itself."""
    # it comes with what reckons, which the window starts without
    from fusemap.window.chosen.stations import share_words, span_of

    if hop.unit == "A" and isfinite(hop.share):
        return share_words(hop.share, hop.most_share)
    return NOTHING if isnan(hop.load) else span_of(hop)


def standing_words(a: "Assessment") -> Argument:
    """How long it may stand, between the ends of nine in ten of the vehicles that this may be."""
    low, high = a.band.low_h, a.band.high_h
    if not isfinite(high) and low <= 0:
        horizon = Duration(a.parked.forecast.horizon_h)
        return say("0 to over {time}", time=horizon)
    if not isfinite(high):
        return say("{low} and more", low=Duration(low))
    if str(Duration(low)) == str(Duration(high)):
        return Duration(low)
    return run_on(Duration(low), Duration(high), between="–")
