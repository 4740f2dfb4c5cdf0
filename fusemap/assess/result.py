"""What `assess` says about a vehicle: arrays over vehicle states × slots, feeds and taps.

States run along the first axis in the order of `fusemap.vehicle.STATES`. Limits that do not exist
(an empty slot has no fuse) are infinite. Everything is frozen; what costs more, the chains and the
parked forecast, is computed when first asked for.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property
from typing import Literal

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from fusemap.assess.verdict import Ground, Verdict, decides, verdict_of
from fusemap.text import ENGLISH, NOTHING, Amount, Argument, Text, Words, rise
from fusemap.vehicle import STATES, State

Floats = NDArray[np.float64]
Mask = NDArray[np.bool_]


Severity = Literal["stop", "caution", "note"]
"""Unsafe or impossible; works but not as it should; worth knowing."""

HopKey = Literal[
    "feed", "live_contact", "host_fuse", "tap", "accessory_fuse", "lasting", "sense", "switch",
    "relay", "inrush", "socket", "trailer_core", "trailer_overload", "section", "section_back",
    "heat_out", "heat_back", "overload", "short", "far_end", "drop", "voltage", "converter",
    "feed_unfused", "feed_heat", "feed_overload", "feed_short", "feed_far_end",
    "output_fuse", "output_heat", "output_heat_back", "output_fault", "output_drop",
    "output_voltage",
    "link_near_fuse", "link_far_fuse", "link_heat", "link_overload", "link_short", "link_far_end",
]  # fmt: skip
"""What a hop is; `hops` says for each but a feed what it bears, may bear and what passing it means.
"""


class Basis(Struct, frozen=True):
    """How a number came about: the sum in words, what went into it, and where the rule is from."""

    formula: Text
    inputs: tuple[tuple[Argument, Argument], ...] = ()
    source: Words = ""

    @property
    def text(self) -> str:
        """All of it on a few lines, in English."""
        show = ENGLISH.show
        inputs = (f"{show(name)} = {show(value)}" for name, value in self.inputs)
        source = [f"Source: {show(self.source)}"] if self.source else []
        return "\n".join([show(self.formula), *inputs, *source])


class Hop(Struct, frozen=True):
    """One step of a chain: what it has to bear, what it may bear, and how both came about.

    `load` is what is known of it, `most` the end on the unsafe side: the most it may be, or, where
    the load must be *at least* its limit (`at_most` false), the least. `least` is the end of a
    limit that gets lower where it gets warmer. `ground` says where the limit is from. Where it
    cannot be checked, load or limit is NaN and `missing` says what is
    missing. `state` is the vehicle state in which it is worst, `None` where states play no part.
    `feed` is the feed's id where it is one, `behind` the accessory's at the end of a lead behind a
    converter. One that is `chosen` is a chosen size and no load: at its least, nothing is used up.
    """

    key: HopKey
    title: Text
    quantity: Text
    load: float
    limit: float
    unit: str
    basis: Basis
    state: State | None = None
    at_most: bool = True
    chosen: bool = False
    feed: str = ""
    most: float | None = None
    least: float | None = None
    ground: Ground = "published"
    missing: Text = NOTHING
    behind: str = ""

    @property
    def id(self) -> str:
        """What tells it from the other hops of its chain."""
        place = self.feed or self.behind
        return f"{self.key}:{place}" if place else self.key

    @property
    def end(self) -> float:
        """The load's end on the unsafe side."""
        return self.load if self.most is None else self.most

    @property
    def hard(self) -> float:
        """The limit's end on the unsafe side."""
        return self.limit if self.least is None else self.least

    @property
    def decides(self) -> float:
        """The limit that decides: one that may be passed is the lower one."""
        return self.hard if self.verdict == "may_not_hold" else self.limit

    @property
    def sure(self) -> bool:
        """Whether both ends of the load are the same."""
        return self.end == self.load or self.end != self.end

    @property
    def verdict(self) -> Verdict:
        """Whether it holds."""
        return verdict_of(self.load, self.end, self.limit, at_most=self.at_most, least=self.least)

    @property
    def margin(self) -> float:
        """What is left until the limit by what is known, negative when it is passed [unit]."""
        return self.limit - self.load if self.at_most else self.load - self.limit

    @property
    def room(self) -> Amount:
        """How far it is from the limit on either side; between two temperatures, a difference."""
        size = abs(self.margin)
        return rise(size, 2) if self.unit == "°C" else Amount(size, self.unit, significant=2)

    @property
    def share(self) -> float:
        """How much of the limit is used by what is known; above 1 the limit is passed."""
        return self._share_of(self.load, self.limit)

    @property
    def most_share(self) -> float:
        """How much of the limit may be used."""
        return self._share_of(self.end, self.hard)

    def _share_of(self, load: float, limit: float) -> float:
        above, below = (load, limit) if self.at_most else (limit, load)
        if not above > 0 or below != below or below == float("inf"):
            return 0.0
        return above / below if below > 0 else float("inf")

    @property
    def passed(self) -> bool:
        """Whether what is known does not pass the limit; one that cannot be checked passes none."""
        return self.verdict != "fails"


class Chain(Struct, frozen=True):
    """All hops from the battery to one accessory and back, in the order of the current.

    Those that cannot be checked are among them: where there is one, not every hop is known to hold.
    """

    tap_id: str
    title: Text
    hops: tuple[Hop, ...]

    @property
    def unchecked(self) -> tuple[Hop, ...]:
        """The hops that could not be held against a limit."""
        return tuple(hop for hop in self.hops if hop.verdict == "unchecked")

    @property
    def verdict(self) -> Verdict:
        """The verdict of all hops together."""
        return decides(hop.verdict for hop in self.hops)

    @property
    def worst(self) -> Hop | None:
        """The hop that may use most of its limit; a chosen size only where it does not hold."""
        checked = [hop for hop in self.hops if hop.verdict != "unchecked"]
        loads = [hop for hop in checked if not (hop.chosen and hop.passed)]
        return max(loads or checked, key=lambda hop: hop.most_share, default=None)


class RuleValue(Struct, frozen=True):
    """A named rule as it holds for this vehicle; `published` says that its default is."""

    key: str
    label: Text
    value: float
    unit: str
    default: float
    source: Text
    published: bool = False

    @property
    def changed(self) -> bool:
        """Whether this vehicle has its own value."""
        return self.value != self.default

    @property
    def ground(self) -> Ground:
        """Where a limit that this rule sets is from."""
        return "user" if self.changed else "published" if self.published else "assumed"


class SlotFigures(Struct, frozen=True, eq=False, dict=True):
    """Currents at every slot [A, (states, slots)] and what may flow there [A, (slots,)].

    `own_a` is the vehicle's own load where the slot is live, `own_known` whether it was measured;
    `accessory_a` the sum of what is tapped here. `feed_a` is what the slot asks of its feed.
    """

    ids: tuple[str, ...]
    live: Mask
    own_a: Floats
    own_known: Mask
    accessory_a: Floats
    host_a: Floats
    live_contact_a: Floats
    load_contact_a: Floats
    host_limit_a: Floats
    contact_limit_a: Floats
    ambient_c: Floats

    @cached_property
    def index(self) -> Mapping[str, int]:
        """Which column is which slot."""
        return {slot_id: column for column, slot_id in enumerate(self.ids)}

    @cached_property
    def shares(self) -> Floats:
        """Share of the tighter limit in use, of host fuse and contacts [(states, slots)]."""
        contact = np.maximum(self.live_contact_a, self.load_contact_a)
        return np.maximum(
            _share(self.host_a, self.host_limit_a), _share(contact, self.contact_limit_a)
        )

    @cached_property
    def worst_share(self) -> Floats:
        """The same in the worst state [(slots,)]."""
        return worst(self.shares)

    @cached_property
    def room_a(self) -> Floats:
        """What host fuse and live contact could both take in addition [A, (slots,)]."""
        host = self.host_limit_a - worst(self.host_a)
        contact = self.contact_limit_a - worst(self.live_contact_a)
        return np.asarray(np.minimum(host, contact))

    def worst_state(self, slot_id: str) -> State:
        """The state in which this slot uses most of its limit."""
        return STATES[int(np.argmax(self.shares[:, self.index[slot_id]]))]


class FeedFigures(Struct, frozen=True, eq=False, dict=True):
    """Current through every feed [A, (states, feeds)], its limit [A, (feeds,)], its voltage [V]."""

    ids: tuple[str, ...]
    current_a: Floats
    limit_a: Floats
    voltage_v: Floats

    @cached_property
    def index(self) -> Mapping[str, int]:
        """Which column is which feed."""
        return {feed_id: column for column, feed_id in enumerate(self.ids)}

    @cached_property
    def worst_share(self) -> Floats:
        """How much of its limit each feed uses in its worst state [(feeds,)]."""
        return worst(_share(self.current_a, self.limit_a))


class TapFigures(Struct, frozen=True, eq=False, dict=True):
    """Every tap: current drawn, voltage at the accessory [(states, taps)], fuse limit [(taps,)].

    `works` says whether the accessory works in the state, `live` whether its lead has supply.
    `collapsed` marks a constant-power load whose supply cannot give that power.
    """

    ids: tuple[str, ...]
    live: Mask
    works: Mask
    current_a: Floats
    voltage_v: Floats
    source_v: Floats
    collapsed: Mask
    fuse_limit_a: Floats

    @cached_property
    def index(self) -> Mapping[str, int]:
        """Which column is which tap."""
        return {tap_id: column for column, tap_id in enumerate(self.ids)}

    @cached_property
    def drop_v(self) -> Floats:
        """What the way from slot to accessory and back costs [V, (states, taps)]."""
        return np.where(self.live, self.source_v - self.voltage_v, 0.0)


def worst(values: Floats) -> Floats:
    """The largest over the states of an array (states, …); zero where there is nothing."""
    return np.asarray(values.max(axis=0, initial=0.0))


def _share(load_a: Floats, limit_a: Floats) -> Floats:
    with np.errstate(divide="ignore", invalid="ignore"):
        share = load_a / limit_a
    return np.where(load_a > 0, share, 0.0)
