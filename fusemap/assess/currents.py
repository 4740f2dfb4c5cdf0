"""Currents and voltages everywhere, in every vehicle state at once.

The vehicle becomes one tree of resistances. Node 0 is the battery's terminals (behind its internal
resistance; while the engine runs the alternator holds its voltage there, up to the current that it
gives, and the battery gives the rest, see `electrics.charging`), then follow the feeds, two nodes
for each tapped slot (its live contact, and behind its host fuse), the accessories, and the
terminals of a second battery.
A slot that nobody taps needs no node: its measured own load is a constant current of its feed.
"""

from functools import cached_property

import numpy as np
from msgspec import Struct

from fusemap.assess.battery import battery_model
from fusemap.assess.cables import CableArrays, cable_arrays
from fusemap.assess.gather import TapArrays, tap_arrays
from fusemap.assess.result import FeedFigures, Floats, Mask, SlotFigures, TapFigures, worst
from fusemap.assess.sources import (
    SECOND,
    STARTER,
    FeedArrays,
    SlotArrays,
    feed_arrays,
    fuse_mohm,
    roots,
    slot_arrays,
)
from fusemap.assess.supply import RUNNING, TURNS, Alternator, Source, alternator, second_source
from fusemap.electrics.charging import Bus, Loads, SecondBus, solve_bus
from fusemap.electrics.network import Solution, tree
from fusemap.electrics.parked.draws import Way
from fusemap.vehicle import STATES, Vehicle


class Circuit(Struct, frozen=True, eq=False, dict=True):
    """The gathered arrays of a vehicle, its source in each state, and the order of its nodes.

    `tapped` are the columns of the slots that have a tap. `emf_v` [V, (states,)], while the engine
    runs what the alternator holds, else the battery's `resting_v`; `fault_v` [V] is the source in a
    short circuit: the lowest of these, or a low battery where that is lower. `alternator` is what
    it gives; `second` is the second battery, where there is one.
    `live_ohm` [Ω, (slots,)] is each live contact, `host_ohm` each host fuse with its load contact,
    `conductor_ohm` [Ω, (ways, taps)] each tap's cables out and back, warm.
    """

    slots: SlotArrays
    feeds: FeedArrays
    taps: TapArrays
    cables: CableArrays
    tapped: np.ndarray
    emf_v: Floats
    resting_v: float
    fault_v: float
    source_ohm: float
    contact_ohm: float
    live_ohm: Floats
    host_ohm: Floats
    conductor_ohm: Floats
    alternator: Alternator
    second: Source | None = None

    @property
    def link_a(self) -> float:
        """What a charger of the second battery takes from the first while the engine runs [A]."""
        return 0.0 if self.second is None else self.second.charger_a

    @cached_property
    def feed_nodes(self) -> slice:
        """Nodes of the feeds."""
        return slice(1, 1 + len(self.feeds.ids))

    @cached_property
    def live_nodes(self) -> slice:
        """Nodes at the live contacts of the tapped slots."""
        return slice(self.feed_nodes.stop, self.feed_nodes.stop + self.tapped.size)

    @cached_property
    def load_nodes(self) -> slice:
        """Nodes behind the host fuses of the tapped slots."""
        return slice(self.live_nodes.stop, self.live_nodes.stop + self.tapped.size)

    @cached_property
    def tap_nodes(self) -> slice:
        """Nodes at the accessories."""
        return slice(self.load_nodes.stop, self.load_nodes.stop + len(self.taps.ids))

    @cached_property
    def nodes(self) -> int:
        """How many nodes there are."""
        return int(self.tap_nodes.stop) + (self.second is not None)

    @cached_property
    def parents(self) -> np.ndarray:
        """The parent node of each node; a part without a feed (column −1) hangs on node 0."""
        return _parents(self)

    @cached_property
    def tap_roots(self) -> np.ndarray:
        """The battery each tap hangs on in the end [(taps,)], as `STARTER` or `SECOND`."""
        on = self.taps.slot >= 0
        feed = self.taps.feed.copy()
        feed[on] = self.slots.feed[self.taps.slot[on]]
        return _ends_of(feed, self.feeds)

    def fault_v_at(self, root: np.ndarray) -> Floats:
        """What drives a short behind these batteries [V]; of the shape of `root`."""
        low = self.fault_v if self.second is None else self.second.fault_v
        return np.where(root == SECOND, low, self.fault_v)

    def inner_ohm(self) -> dict[int, float]:
        """What each battery has inside [Ω], by `STARTER` and `SECOND`."""
        second = {} if self.second is None else {SECOND: float(self.second.ohm.max())}
        return {STARTER: self.source_ohm, **second}


def _ends_of(column: np.ndarray, feeds: FeedArrays) -> np.ndarray:
    """The battery above columns of feeds, themselves among them where they are none."""
    if not len(feeds.ids):
        return column
    return np.where(column >= 0, roots(feeds)[np.maximum(column, 0)], column)


def circuit(vehicle: Vehicle, rules: dict[str, float]) -> Circuit:
    """Gather a vehicle's circuit."""
    slots = slot_arrays(vehicle, rules)
    taps = tap_arrays(vehicle, slots, rules)
    hosts = [None if column < 0 else slots.slots[column].fuse for column in taps.slot]
    battery = battery_model(vehicle.battery, vehicle.system_v)
    emf_v = np.where(TURNS, rules["charging_v"] * vehicle.system_v / 12, battery.emf_v)
    low_v = rules["fault_min_v"] * vehicle.system_v / 12
    contact_ohm = rules["contact_resistance_mohm"] / 1000
    cables = cable_arrays(taps, hosts, rules)
    return Circuit(
        slots=slots,
        feeds=feed_arrays(vehicle, rules),
        taps=taps,
        cables=cables,
        tapped=np.array(sorted({int(column) for column in taps.slot if column >= 0}), dtype=int),
        emf_v=emf_v,
        resting_v=battery.emf_v,
        fault_v=min(float(emf_v.min()), low_v),
        source_ohm=float(np.asarray(battery.wells.terminal_ohm)),
        contact_ohm=contact_ohm,
        live_ohm=np.full(len(slots.ids), contact_ohm),
        host_ohm=host_ohm(slots, contact_ohm),
        conductor_ohm=cables.conductor_ohm(worst(taps.asked_a)),
        alternator=alternator(vehicle, rules),
        second=second_source(vehicle, rules),
    )


def _parents(c: Circuit) -> np.ndarray:
    """The parent node of each node; a part without a feed (column −1) hangs on node 0."""
    position = np.searchsorted(c.tapped, c.taps.slot)
    first = np.where(c.taps.through_host > 0, c.load_nodes.start, c.live_nodes.start)
    return np.concatenate(
        [
            [-1],
            _node(c, c.feeds.parent),
            _node(c, c.slots.feed[c.tapped]),
            np.arange(c.live_nodes.start, c.live_nodes.stop),
            np.where(c.taps.slot >= 0, first + position, _node(c, c.taps.feed)),
            [] if c.second is None else [-1],
        ]
    ).astype(np.intp)


def _node(c: Circuit, column: np.ndarray) -> np.ndarray:
    """The nodes of columns of feeds, those of the batteries among them."""
    return np.where(column == SECOND, c.nodes - 1, column + 1)


def host_ohm(slots: SlotArrays, contact_ohm: float, *, most: bool = False) -> Floats:
    """Resistance [Ω, (slots,)] of host fuse and load contact; see `fuse_mohm` for `most`."""
    fuses = [fuse_mohm(slot.fuse, most=most) / 1000 for slot in slots.slots]
    return np.array(fuses, dtype=float) + contact_ohm


def _resistances(c: Circuit) -> Floats:
    return np.concatenate(
        [
            [c.source_ohm],
            c.feeds.ohm,
            c.live_ohm[c.tapped],
            c.host_ohm[c.tapped],
            c.cables.fixed_ohm + c.conductor_ohm.sum(axis=0),
            [] if c.second is None else [c.second.ohm[0]],
        ]
    )


class TapWays(Struct, frozen=True, eq=False):
    """The way from the battery's terminals to each tap's device: branches with their ohms [Ω].

    `own_v` is what the vehicle's own loads cost on it [V, (states, taps)].
    """

    branches: tuple[Way, ...]
    own_v: Floats


def tap_ways(c: Circuit) -> TapWays:
    """The ways to all taps."""
    on_way, ohm = tree(c.parents).on_way, _resistances(c)
    ohm[0] = 0.0  # inside the battery
    if c.second is not None:
        ohm[-1] = 0.0
    own = _loads(c)
    own[:, c.tap_nodes] = 0.0
    terminals = {0} if c.second is None else {0, c.nodes - 1}
    return TapWays(
        tuple(
            tuple((int(n), float(ohm[n])) for n in np.flatnonzero(row) if int(n) not in terminals)
            for row in on_way[c.tap_nodes]
        ),
        own @ on_way * ohm @ on_way[c.tap_nodes].T,
    )


def _loads(c: Circuit) -> Floats:
    """Current asked at every node [A, (states, nodes)]."""
    asked = np.zeros((len(STATES), c.nodes))
    asked[:, c.feed_nodes] = c.feeds.other_a
    asked[RUNNING, 0] = c.link_a
    asked[:, c.load_nodes] = c.slots.own_a[:, c.tapped]
    asked[:, c.tap_nodes] = c.taps.asked_a
    untapped = np.ones(len(c.slots.ids), dtype=bool)
    untapped[c.tapped] = False
    np.add.at(asked.T, _node(c, c.slots.feed[untapped]), c.slots.own_a[:, untapped].T)
    return asked


def _own_branches(c: Circuit, feeds_own_a: Floats) -> Floats:
    """What the vehicle's own loads come to in the branch into each node [A, (states, nodes)]."""
    own = np.zeros((len(STATES), c.nodes))
    own[:, c.feed_nodes] = feeds_own_a
    own[:, c.live_nodes] = own[:, c.load_nodes] = c.slots.own_a[:, c.tapped]
    own[:, 0] = c.slots.own_a[:, c.slots.feed == STARTER].sum(axis=1)
    own[:, 0] += feeds_own_a[:, c.feeds.parent == STARTER].sum(axis=1)
    own[RUNNING, 0] += c.link_a
    if c.second is not None:
        own[:, -1] = feeds_own_a[:, c.feeds.parent == SECOND].sum(axis=1)
    return own


def _live(c: Circuit) -> Mask:
    live = np.ones((len(STATES), c.nodes), dtype=bool)
    live[:, c.live_nodes] = live[:, c.load_nodes] = c.slots.live[:, c.tapped]
    live[:, c.tap_nodes] = c.taps.live
    return live


class Currents(Struct, frozen=True, eq=False):
    """Everything the network solve gives, sorted by what it belongs to.

    While the engine runs the alternator gives at most `limit_a` [A]; where that is too little
    (`limited`) the battery gives `from_battery_a` [A] beside it.
    """

    slots: SlotFigures
    feeds: FeedFigures
    taps: TapFigures
    battery_a: Floats
    battery_v: Floats
    second_a: Floats
    second_v: Floats
    limit_a: float
    limited: bool
    from_battery_a: float


def vehicle_own_a(c: Circuit, feeds_own_a: Floats | None = None) -> float:
    """What the vehicle takes of its alternator by itself [A]; see `currents` for feeds_own_a."""
    if feeds_own_a is not None:
        return float(_own_branches(c, feeds_own_a)[RUNNING, 0]) - c.link_a
    own = _loads(c)[RUNNING]
    own[c.tap_nodes] = 0.0
    return float(own @ tree(c.parents).on_way[:, 0]) - c.link_a


def known_spare_a(c: Circuit) -> float:
    """What the alternator is known to have to spare on the road [A]."""
    return c.alternator.spare_a(vehicle_own_a(c))


def currents(
    c: Circuit, feeds_own_a: Floats | None = None, limit_a: float | None = None
) -> Currents:
    """Solve the circuit in all states and sort the results.

    feeds_own_a: what the vehicle's own loads come to in each feed [A, (states, feeds)], where that
    is not the sum of what hangs below it; limit_a: what the alternator gives at most [A], where
    that is not what it is known to.
    """
    if limit_a is None:
        own_a = vehicle_own_a(c, feeds_own_a)
        limit_a = own_a + c.alternator.spare_a(own_a)
    parents = c.parents
    found = solve_bus(tree(parents), _bus(c, limit_a), _second_bus(c), _bus_loads(c, feeds_own_a))
    solution = found.solution
    flows = solution.current_a + (0.0 if feeds_own_a is None else _own_branches(c, feeds_own_a))
    return Currents(
        slots=slot_figures(c, solution.current_a[:, c.tap_nodes]),
        feeds=FeedFigures(
            c.feeds.ids,
            flows[:, c.feed_nodes],
            c.feeds.limit_a,
            solution.voltage_v[:, c.feed_nodes],
        ),
        taps=_tap_figures(c, solution, parents[c.tap_nodes]),
        battery_a=flows[:, 0],
        battery_v=solution.voltage_v[:, 0],
        second_a=flows[:, -1] if c.second is not None else np.zeros(len(STATES)),
        second_v=solution.voltage_v[:, -1] if c.second is not None else np.zeros(len(STATES)),
        limit_a=limit_a,
        limited=bool(found.limited[RUNNING]),
        from_battery_a=float(found.from_battery_a[RUNNING]),
    )


def _bus(c: Circuit, limit_a: float) -> Bus:
    """The first battery's terminals in all states."""
    return Bus(
        held_v=c.emf_v,
        limit_a=np.where(TURNS, limit_a, np.inf),
        battery_v=np.where(TURNS, c.resting_v, c.emf_v),
        battery_ohm=np.full(len(STATES), c.source_ohm),
        turns=TURNS,
    )


def _second_bus(c: Circuit) -> SecondBus | None:
    if c.second is None:
        return None
    asks = np.full(len(STATES), c.second.asks)
    return SecondBus(c.second.emf_v, c.second.ohm, c.second.link_ohm, asks)


def _bus_loads(c: Circuit, feeds_own_a: Floats | None) -> Loads:
    """All loads of the network; the vehicle's own as what flows besides, where they are given."""
    loads, own = _loads(c), np.zeros((len(STATES), c.nodes))
    if feeds_own_a is not None:
        own = _own_branches(c, feeds_own_a)
        loads[:, : c.tap_nodes.start] = 0.0
        loads[:, c.tap_nodes.stop :] = 0.0
    exponent = np.zeros(c.nodes)
    exponent[c.tap_nodes] = c.taps.exponent
    at_v = np.full(c.nodes, 12.0)
    at_v[c.tap_nodes] = c.taps.asked_at_v
    return Loads(_resistances(c), loads, at_v, exponent, _live(c), own)


def slot_figures(c: Circuit, drawn: Floats) -> SlotFigures:
    """The currents at the slots, of what each tap draws [A, (states, taps)]."""
    s, t = c.slots, c.taps
    on = t.slot >= 0

    def through(mask: Floats) -> Floats:
        summed = np.zeros_like(s.own_a)
        np.add.at(summed.T, t.slot[on], (drawn[:, on] * mask[on]).T)
        return summed

    return SlotFigures(
        ids=s.ids,
        live=s.live,
        own_a=s.own_a,
        own_known=s.own_known,
        accessory_a=through(np.ones_like(t.through_host)),
        host_a=np.minimum(s.own_a, s.host_own_a) + through(t.through_host),
        live_contact_a=s.own_a + through(t.through_live),
        load_contact_a=s.own_a + through(t.through_load),
        host_limit_a=s.host_limit_a,
        contact_limit_a=s.contact_limit_a,
        ambient_c=s.ambient_c,
    )


def _tap_figures(c: Circuit, solution: Solution, parents: np.ndarray) -> TapFigures:
    return TapFigures(
        ids=c.taps.ids,
        live=c.taps.live,
        works=c.taps.works,
        current_a=solution.current_a[:, c.tap_nodes],
        voltage_v=solution.voltage_v[:, c.tap_nodes],
        source_v=solution.voltage_v[:, parents],
        collapsed=np.asarray(solution.collapsed)[:, c.tap_nodes],
        fuse_limit_a=c.taps.fuse_limit_a,
    )


def feeds_downwards(feeds: FeedArrays) -> list[int]:
    """Columns of the feeds, every parent before what hangs on it."""
    order: list[int] = []
    left = set(range(len(feeds.ids)))
    while left:
        ready = sorted(i for i in left if int(feeds.parent[i]) not in left)
        order.extend(ready)
        left -= set(ready)
    return order


def feeds_over(c: Circuit) -> Mask:
    """Which feeds lie above which taps [(feeds, taps)]."""
    above = tree(c.parents).on_way[c.tap_nodes, c.feed_nodes]
    return np.asarray(above.T > 0)
