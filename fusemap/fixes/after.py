"""What a way out makes of the place of its finding: the share of the limit, at both its ends.

In: the effect of a fix and its finding. Out: an `After`, or `None` where the place has no share.
"""

from msgspec import Struct

from fusemap.assess import Assessment, Hop
from fusemap.assess.chain import feed_hop
from fusemap.assess.hops import keys_of
from fusemap.assess.verdict import VERDICTS, Verdict, verdict_of
from fusemap.checks import Finding
from fusemap.fixes.trial import Effect
from fusemap.vehicle import Vehicle, look_up


def stops_after(effect: Effect) -> int:
    """How many findings one stops for there are with a fix done."""
    return sum(each.severity == "stop" for each in effect.found)


class After(Struct, frozen=True):
    """How much of its limit a place uses afterwards [-]: by what is known, and at most."""

    known: float
    most: float
    verdict: Verdict


def after(before: Vehicle, effect: Effect, finding: Finding) -> After | None:
    """The place of a finding with its fix done; of a tap the hop that decides there.

    Where the fix moves a lead to another slot, it is that slot.
    """
    a = effect.after
    moved = _moved_to(before, effect.vehicle)
    if moved and finding.place in ("slot", "tap"):
        return _slot(a, moved)
    if finding.place == "slot" and finding.place_id in a.slots.index:
        return _slot(a, finding.place_id)
    if finding.place == "feed" and finding.place_id in a.feeds.index:
        return _hop(feed_hop(a, look_up.feed(a.vehicle, finding.place_id)))
    if finding.place == "tap" and finding.place_id in a.chains:
        return _tap(a, finding)
    return None


def _moved_to(before: Vehicle, now: Vehicle) -> str:
    """The slot that a lead sits on now and did not before; empty where there is none."""
    old = {(tap.accessory, tap.lead): tap.slot for tap in before.taps}
    for tap in now.taps:
        if tap.slot is not None and old.get((tap.accessory, tap.lead), tap.slot) != tap.slot:
            return tap.slot
    return ""


def _slot(a: Assessment, slot_id: str) -> After:
    column = a.slots.index[slot_id]
    known, most = (float(end.slots.worst_share[column]) for end in (a.known, a.most))
    return After(known, max(known, most), verdict_of(known, most, 1.0))


def _tap(a: Assessment, finding: Finding) -> After | None:
    chain, keys = a.chains[finding.place_id], keys_of(finding.code)
    about = [hop for hop in chain.hops if hop.key in keys and hop.verdict != "unchecked"]
    if not about:
        return None if chain.worst is None else _hop(chain.worst)
    return _hop(min(about, key=lambda hop: (VERDICTS.index(hop.verdict), -hop.most_share)))


def _hop(hop: Hop) -> After | None:
    if hop.verdict == "unchecked":
        return None
    return After(hop.share, max(hop.share, hop.most_share), hop.verdict)
