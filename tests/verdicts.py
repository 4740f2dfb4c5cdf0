"""Every verdict there is on a vehicle, by hop and place: (hop, id of tap, slot or feed)."""

import numpy as np

from fusemap.assess import Assessment
from fusemap.assess.currents import feeds_over
from fusemap.assess.verdict import Verdict, verdict_of

Hop = tuple[str, str]
SLOT_HOPS = ("live_contact", "host_fuse")


def verdicts(a: Assessment) -> dict[Hop, Verdict]:
    """All verdicts of taps, slots and feeds, tapped or not."""
    found: dict[Hop, Verdict] = {}
    for key, hop in a.hops.items():
        if key in SLOT_HOPS:
            continue
        masks: tuple[tuple[Verdict, np.ndarray], ...] = (
            ("unchecked", hop.unchecked),
            ("holds", hop.given),
            ("may_not_hold", hop.unsure),
            ("fails", hop.broken),
        )
        for verdict, mask in masks:
            found |= {(key, a.taps.ids[c]): verdict for c in np.flatnonzero(mask).tolist()}
    known, most = a.known, a.most
    slots = (
        ("live_contact", known.slots.live_contact_a, most.slots.live_contact_a,
         a.slots.contact_limit_a, most.slots.contact_limit_a),
        ("host_fuse", known.slots.host_a, most.slots.host_a,
         a.slots.host_limit_a, most.slots.host_limit_a),
    )  # fmt: skip
    for key, low, high, limit, least in slots:
        for column, place in enumerate(a.slots.ids):
            ends = float(low[:, column].max()), float(high[:, column].max())
            hard = float(least[column])
            found[key, place] = verdict_of(*ends, float(limit[column]), least=hard)
    for column, place in enumerate(a.feeds.ids):
        ends = (
            float(known.feeds.current_a[:, column].max()),
            float(most.feeds.current_a[:, column].max()),
        )
        limit, least = (float(each.feeds.limit_a[column]) for each in (known, most))
        found["feed", place] = verdict_of(*ends, limit, least=least)
    return found


def in_use(a: Assessment) -> set[Hop]:
    """The hops of taps, of tapped slots, and of the feeds above taps."""
    tapped = {tap.slot for tap in a.vehicle.taps}
    over = feeds_over(a.circuit).any(axis=1)
    feeds = {feed for feed, used in zip(a.feeds.ids, over, strict=True) if used}
    return {
        hop
        for hop in verdicts(a)
        if (hop[0] == "feed" and hop[1] in feeds)
        or (hop[0] in SLOT_HOPS and hop[1] in tapped)
        or hop[0] not in ("feed", *SLOT_HOPS)
    }
