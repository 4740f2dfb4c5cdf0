"""Places in doubt: those that may pass a limit, and do not by what is known.

In: the hops of taps, added feeds, leads and the link at both ends. Out: a `Doubt` each; those of
slots and feeds are told in `sure`, since answers settle them together.
"""

from collections.abc import Iterator, Mapping
from typing import Literal

import numpy as np
from msgspec import Struct

from fusemap.assess.figures import Figures
from fusemap.assess.hops.kind import HopFigures
from fusemap.assess.hops.limit import Beside
from fusemap.assess.result import HopKey
from fusemap.vehicle import STATES, State

Place = Literal["slot", "feed", "tap", "output", "link"]
"""An `output` is the lead of an accessory behind a converter, the `link` that of two batteries."""


class Doubt(Struct, frozen=True):
    """A place that may pass its limit in some states, and does not by what is known."""

    place: Place
    place_id: str
    key: HopKey
    states: tuple[State, ...]


Held = Mapping[HopKey, HopFigures]


def at_taps(a: Figures, hops: Mapping[HopKey, HopFigures]) -> Iterator[Doubt]:
    """Hops of single taps; those of a whole slot are its own."""
    for key, figures in hops.items():
        if key in ("live_contact", "host_fuse"):
            continue
        for column in np.flatnonzero(figures.unsure).tolist():
            row = int(figures.state[column])
            yield Doubt("tap", a.taps.ids[column], key, () if row < 0 else (STATES[row],))


def at_cables(a: Figures, feed_hops: Held) -> Iterator[Doubt]:
    """Cables of added feeds."""
    for key, figures in feed_hops.items():
        for column in np.flatnonzero(figures.unsure).tolist():
            yield Doubt("feed", a.feeds.ids[column], key, ())


def at_leads(beside: Beside) -> Iterator[Doubt]:
    """Leads behind converters, and the link between two batteries."""
    for hop in (limit.hop for limit in beside.single):
        if hop.verdict == "may_not_hold":
            states = () if hop.state is None else (hop.state,)
            place: Place = "output" if hop.behind else "link"
            yield Doubt(place, hop.behind or "link", hop.key, states)
