"""Doubts that the sun alone leaves: how warm a place gets settles them.

In: figures at both ends and the doubts about hops. Out: those that would hold where the places of
which nobody said it get no warmer than usual, cables and fuses alike.
"""

from collections.abc import Iterator
from typing import Final

from msgspec.structs import replace

from fusemap.assess.doubts import Doubt, Held, at_cables, at_leads, at_taps
from fusemap.assess.ends import both_ends
from fusemap.assess.figures import Figures
from fusemap.assess.hops import hop_figures
from fusemap.assess.hops.feed import feed_hop_figures
from fusemap.assess.hops.limit import Beside
from fusemap.assess.result import HopKey
from fusemap.assess.sources import unsaid_places
from fusemap.assess.verdict import verdict_of
from fusemap.vehicle import RuleChoice

WARM: Final[frozenset[HopKey]] = frozenset(
    {"heat_out", "heat_back", "overload", "drop", "voltage", "feed_heat", "feed_overload"}
)
"""Hops of cables that get warmer where their place does."""


def by_the_warmth(a: Figures, hops: Held, beside: Beside) -> tuple[Doubt, ...]:
    """What would hold where the places of which nobody said it get no warmer than usual."""
    places = unsaid_places(a.vehicle)
    if not places:
        return ()
    found = (*_of_warm_fuses(a, hops), *_at_warm_leads(beside))
    low = [d for d in (*at_taps(a, hops), *at_cables(a, beside.feeds)) if d.key in WARM]
    if not low:
        return found
    keys = [f"ambient_{place}_c" for place in places]
    said = (RuleChoice(key=key, value=a.rule(key)) for key in keys)
    vehicle, values = replace(a.vehicle, rules=(*a.vehicle.rules, *said)), a.rule_values
    usual = Figures(vehicle, a.rules, *both_ends(a.circuit, vehicle, values))
    left = {(d.place, d.place_id, d.key) for d in at_taps(usual, hop_figures(usual))}
    left |= {(d.place, d.place_id, d.key) for d in at_cables(usual, feed_hop_figures(usual))}
    return (*found, *(d for d in low if (d.place, d.place_id, d.key) not in left))


def _of_warm_fuses(a: Figures, hops: Held) -> Iterator[Doubt]:
    """Fuses of taps that carry what they may have to, but for the sun."""
    for doubt in at_taps(a, hops):
        held, column = hops[doubt.key], a.taps.index[doubt.place_id]
        ends = held.load[column], held.most[column], held.limit[column]
        if held.least is not None and verdict_of(*ends, at_most=held.at_most) == "holds":
            yield doubt


def _at_warm_leads(beside: Beside) -> Iterator[Doubt]:
    """The same behind converters and in the link."""
    hops = {(each.hop.behind or "link", each.hop.key): each.hop for each in beside.single}
    for doubt in at_leads(beside):
        hop = hops[doubt.place_id, doubt.key]
        usual = verdict_of(hop.load, hop.end, hop.limit, at_most=hop.at_most)
        if hop.hard < hop.limit and usual == "holds":
            yield doubt
