"""What may not hold: within its limit by what is known, past it at the most that it may be."""

from collections.abc import Iterator
from typing import Final

import numpy as np

from fusemap.assess import Assessment
from fusemap.assess.chain import feed_hop
from fusemap.assess.doubts import Doubt
from fusemap.assess.words import KIRCHHOFF
from fusemap.checks.finding import Finding, amperes, between, slot_finding, tap_finding
from fusemap.text import Text, in_row, many, run_on, say
from fusemap.vehicle import STATES, Vehicle, look_up
from fusemap.vehicle.words import STATE, FeedClass

UNMEASURED: Final = say(
    "what nobody measured may be as much as its fuse, or the feed, carries for long"
)
MEASURE_SLOT: Final = say(
    "Measure the slot's own load in these states, or move the accessory to a slot that was "
    "measured."
)
MEASURE_FEED: Final = say(
    "Measure the feed as a whole in these states, or its slots one by one, largest fuses first."
)
MEASURE_TAP: Final = say("Enter or measure what is not known; the chain says what that is.")


def may_not_hold(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """Every slot, feed and tap in use that may pass a limit."""
    for doubt in a.doubts:
        if doubt.place == "slot":
            yield _slot(vehicle, a, doubt)
        elif doubt.key in a.feed_hops:
            continue  # `feeds.cable_may_not_hold` tells it
        elif doubt.place in ("output", "link"):
            continue  # `outputs.lead_may_not_hold` and `sources.link_may_not_hold` tell it
        elif doubt.place == "feed":
            yield _feed(vehicle, a, doubt)
        else:
            yield _tap(vehicle, a, doubt)


def _slot(vehicle: Vehicle, a: Assessment, doubt: Doubt) -> Finding:
    slot = look_up.slot(vehicle, doubt.place_id)
    column, row = a.slots.index[slot.id], STATES.index(doubt.states[0])
    if doubt.key == "live_contact":
        known, most = (end.slots.live_contact_a[row, column] for end in (a.known, a.most))
        return slot_finding(
            slot,
            code="contact_may_not_hold",
            severity="caution",
            what=say("The live contact of the slot may carry too much."),
            sum=_between(known, most, a.slots.contact_limit_a[column], doubt),
            rule=UNMEASURED,
            source=KIRCHHOFF,
            remedy=MEASURE_SLOT,
        )
    known, most = (end.slots.host_a[row, column] for end in (a.known, a.most))
    return slot_finding(
        slot,
        code="host_may_not_hold",
        severity="caution",
        what=say("The host fuse may carry too much."),
        sum=_between(known, most, a.most.slots.host_limit_a[column], doubt),
        rule=UNMEASURED,
        source=KIRCHHOFF,
        remedy=MEASURE_SLOT,
    )


def _between(known: float, most: float, limit: float, doubt: Doubt) -> Text:
    """Both ends beside the limit, and the states: “3 A known, at most 9 A > 7.5 A (running)”."""
    return say(
        "{known} known, at most {most} > {limit} ({states})",
        known=amperes(float(known)),
        most=amperes(float(most)),
        limit=amperes(float(limit)),
        states=in_row(STATE[state].label for state in doubt.states),
    )


def _feed(vehicle: Vehicle, a: Assessment, doubt: Doubt) -> Finding:
    feed = look_up.feed(vehicle, doubt.place_id)
    column = a.feeds.index[feed.id]
    rows = [STATES.index(state) for state in doubt.states]
    row = max(rows, key=lambda each: float(a.most.feeds.current_a[each, column]))
    loads = [each.current_a[row, column] for each in (a.feeds, a.most.feeds)]
    missing = _unread(a, column, row)
    total = _between(loads[0], loads[1], float(a.most.feeds.limit_a[column]), doubt)
    return Finding(
        code="feed_may_not_hold",
        severity="caution",
        what=say("The feed “{feed}” may carry too much.", feed=feed.name),
        place="feed",
        place_id=feed.id,
        where=feed.name,
        sum=run_on(total, *missing, between="; "),
        rule=UNMEASURED,
        source=feed_hop(a, feed).basis.source,
        remedy=MEASURE_FEED,
    )


def _unread(a: Assessment, column: int, row: int) -> Iterator[Text]:
    """What of a feed was not measured: how many of its slots, and what else it carries."""
    below = a.circuit.slots.feed == column
    live = below & a.slots.live[row]
    unread = int(np.count_nonzero(live & ~a.slots.own_known[row]))
    if unread:
        yield many(
            "{n} of {all} slots below it not measured",
            "{n} of {all} slots below it not measured",
            unread,
            all=int(np.count_nonzero(live)),
        )
    if np.isnan(a.circuit.feeds.said_a[row, column]):
        yield say("what else it carries is not known")


def _tap(vehicle: Vehicle, a: Assessment, doubt: Doubt) -> Finding:
    tap = look_up.tap(vehicle, doubt.place_id)
    hop = a.chains.hop(tap.id, doubt.key)
    return tap_finding(
        a,
        tap,
        code="tap_may_not_hold",
        severity="note" if doubt.key == "inrush" else "caution",
        what=say("May not hold: {hop}.", hop=hop.title),
        sum=between(hop),
        rule=hop.basis.formula,
        source=hop.basis.source,
        remedy=MEASURE_TAP,
    )


def unseen_feed_heavy(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """Slots of one switched class whose feed nobody knows, with more than a usual relay takes."""
    limit = a.rule("relay_contact_a") * (a.rule("relay_24v_share") if vehicle.system_v == 24 else 1)
    switched: tuple[FeedClass, ...] = ("accessory", "ignition", "delayed_off", "lighting")
    for feed_class in switched:
        together = a.unseen.get(feed_class)
        if together is None or float(together.known_a.max()) <= limit * (1 + 1e-9):
            continue
        row = int(together.known_a.argmax())
        at = next(
            slot
            for slot, known in zip(a.circuit.slots.slots, a.circuit.slots.feed_known, strict=True)
            if slot.feed_class == feed_class and not known
        )
        yield slot_finding(
            at,
            code="unseen_feed_heavy",
            severity="caution",
            what=say(
                "Nobody said what supplies these slots; together they ask more than a usual relay "
                "carries."
            ),
            sum=many(
                "{n} slot of one class without a feed: {load} > {limit} ({state})",
                "{n} slots of one class without a feed: {load} > {limit} ({state})",
                together.slots,
                load=amperes(float(together.known_a[row])),
                limit=amperes(limit),
                state=STATE[STATES[row]].label,
            ),
            rule=a.rules["relay_contact_a"].label,
            source=a.rules["relay_contact_a"].source,
            remedy=say("Find out what supplies them and enter it as a feed with its fuse."),
        )
