"""Currents and voltages everywhere, in every vehicle state at once.

The vehicle becomes one tree of resistances. Node 0 is the battery's terminals (behind its internal
resistance; the alternator holds its voltage there while the engine runs), then follow the feeds,
two nodes for each tapped slot (its live contact, and behind its host fuse), the accessories, and
the terminals of a second battery. What hangs there has that battery's voltage for its own: the
difference of the two is taken off on the way, which is the same in a linear network.
A slot that nobody taps needs no node: its measured own load is a constant current of its feed.
"""

import numpy as np
from msgspec import Struct

from fusemap.assess.battery import (
    CHARGER_A,
    CHARGER_SHARE,
    battery_model,
    ohm_at_most,
    second_model,
)
from fusemap.assess.cables import CableArrays, cable_arrays
from fusemap.assess.gather import TapArrays, tap_arrays
from fusemap.assess.result import FeedFigures, Floats, Mask, SlotFigures, TapFigures, worst
from fusemap.assess.sources import (
    SECOND,
    STARTER,
    FeedArrays,
    SlotArrays,
    cable_mohm,
    feed_arrays,
    fuse_mohm,
    roots,
    slot_arrays,
)
from fusemap.electrics.network import Solution, solve, tree
from fusemap.electrics.parked.draws import Way
from fusemap.vehicle import STATES, SecondBattery, Vehicle

RUNNING = STATES.index("running")


class Source(Struct, frozen=True, eq=False):
    """A second battery as its circuit sees it: voltage and inner resistance [V, Ω, (states,)].

    With its link closed these are what link and battery come to together. `fault_v` [V] drives a
    short; `charger_a` [A] is what a DC-DC charger takes on its other side.
    """

    emf_v: Floats
    ohm: Floats
    fault_v: float
    charger_a: float = 0.0


class Circuit(Struct, frozen=True, eq=False):
    """The gathered arrays of a vehicle, its source in each state, and the order of its nodes.

    `tapped` are the columns of the slots that have a tap. `emf_v` [V, (states,)]; `fault_v` [V] is
    the source in a short circuit: the lowest of these, or a low battery where that is lower.
    `second` is the second battery, where there is one.
    `live_ohm` [Ω, (slots,)] is each live contact, `host_ohm` each host fuse with its load contact,
    `conductor_ohm` [Ω, (ways, taps)] each tap's cables out and back, warm.
    """

    slots: SlotArrays
    feeds: FeedArrays
    taps: TapArrays
    cables: CableArrays
    tapped: np.ndarray
    emf_v: Floats
    fault_v: float
    source_ohm: float
    contact_ohm: float
    live_ohm: Floats
    host_ohm: Floats
    conductor_ohm: Floats
    second: Source | None = None

    @property
    def link_a(self) -> float:
        """What a charger of the second battery takes from the first while the engine runs [A]."""
        return 0.0 if self.second is None else self.second.charger_a

    @property
    def feed_nodes(self) -> slice:
        """Nodes of the feeds."""
        return slice(1, 1 + len(self.feeds.ids))

    @property
    def live_nodes(self) -> slice:
        """Nodes at the live contacts of the tapped slots."""
        return slice(self.feed_nodes.stop, self.feed_nodes.stop + self.tapped.size)

    @property
    def load_nodes(self) -> slice:
        """Nodes behind the host fuses of the tapped slots."""
        return slice(self.live_nodes.stop, self.live_nodes.stop + self.tapped.size)

    @property
    def tap_nodes(self) -> slice:
        """Nodes at the accessories."""
        return slice(self.load_nodes.stop, self.load_nodes.stop + len(self.taps.ids))

    @property
    def nodes(self) -> int:
        """How many nodes there are."""
        return int(self.tap_nodes.stop) + (self.second is not None)

    @property
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
    running = np.arange(len(STATES)) == RUNNING
    emf_v = np.where(running, rules["charging_v"] * vehicle.system_v / 12, battery.emf_v)
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
        fault_v=min(float(emf_v.min()), low_v),
        source_ohm=float(np.asarray(battery.wells.terminal_ohm)),
        contact_ohm=contact_ohm,
        live_ohm=np.full(len(slots.ids), contact_ohm),
        host_ohm=host_ohm(slots, contact_ohm),
        conductor_ohm=cables.conductor_ohm(worst(taps.asked_a)),
        second=second_source(vehicle, rules),
    )


def second_source(
    vehicle: Vehicle, rules: dict[str, float], *, linked: bool = True
) -> Source | None:
    """The second battery in every state, `linked` or left alone; `None` where there is none.

    Left alone it is as weak as it may be.

    While the engine runs a relay joins it to the alternator's voltage through the link: a voltage
    behind the two resistances side by side (Thévenin). A DC-DC charger gives its current up to the
    charging voltage; none is said to give a usual one. Not known resistances of the link are none.
    """
    second = vehicle.second_battery
    if second is None:
        return None
    model = second_model(second, vehicle.system_v)
    charge = model.start_soc if linked else model.ranges["charge"][0]
    own_v = second.rest_v if second.rest_v is not None else float(model.wells.ocv(charge))
    own_ohm = float(np.asarray(model.wells.terminal_ohm)) if linked else ohm_at_most(model)
    emf, ohm = np.full(len(STATES), own_v), np.full(len(STATES), own_ohm)
    charging = rules["charging_v"] * vehicle.system_v / 12
    low = min(own_v, rules["fault_min_v"] * vehicle.system_v / 12)
    taken = 0.0
    if second.link == "dcdc":
        taken = CHARGER_A if second.charger_a is None else second.charger_a
    if not linked:
        return Source(emf, ohm, low, taken)
    if second.link == "dcdc":
        emf[RUNNING] = max(own_v, min(charging, own_v + CHARGER_SHARE * taken * own_ohm))
    elif charging > own_v:
        link = max(link_ohm(second, rules), LEAST_OHM)
        both = 1 / link + 1 / max(own_ohm, LEAST_OHM)
        emf[RUNNING] = (charging / link + own_v / max(own_ohm, LEAST_OHM)) / both
        ohm[RUNNING] = 1 / both
    return Source(emf, ohm, low, taken)


LEAST_OHM = 1e-6
"""What stands for no resistance in a quotient [Ω]."""


def link_ohm(second: SecondBattery, rules: dict[str, float]) -> float:
    """Resistance of the link between two batteries, as far as it is known [Ω]."""
    cable = second.link_cable
    copper = 0.0 if cable is None else cable_mohm(cable, rules)
    return (copper + fuse_mohm(second.near_fuse) + fuse_mohm(second.far_fuse)) / 1000


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
    on_way, ohm = tree(_parents(c)).on_way, _resistances(c)
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
    """Everything the network solve gives, sorted by what it belongs to."""

    slots: SlotFigures
    feeds: FeedFigures
    taps: TapFigures
    battery_a: Floats
    battery_v: Floats
    second_a: Floats
    second_v: Floats


def currents(c: Circuit, feeds_own_a: Floats | None = None) -> Currents:
    """Solve the circuit in all states and sort the results.

    feeds_own_a: what the vehicle's own loads come to in each feed [A, (states, feeds)], where that
    is not the sum of what hangs below it.
    """
    parents = _parents(c)
    loads, own = _loads(c), np.zeros((len(STATES), c.nodes))
    if feeds_own_a is not None:
        own = _own_branches(c, feeds_own_a)
        loads[:, : c.tap_nodes.start] = 0.0
        loads[:, c.tap_nodes.stop :] = 0.0
    ohm = _resistances(c)
    if c.second is not None:
        ohm = np.tile(ohm, (len(STATES), 1))
        ohm[:, -1] = c.second.ohm
    on_way = tree(parents).on_way
    exponent = np.zeros(c.nodes)
    exponent[c.tap_nodes] = c.taps.exponent
    at_v = np.full(c.nodes, 12.0)
    at_v[c.tap_nodes] = c.taps.asked_at_v
    solution = solve(
        tree(parents),
        resistance_ohm=ohm,
        source_ohm=0.0,
        emf_v=c.emf_v,
        load_a=loads,
        load_at_v=at_v,
        load_exponent=exponent,
        live=_live(c),
        lost_v=(own * ohm) @ on_way.T + _lower_v(c, on_way),
    )
    flows = solution.current_a + own
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
    )


def _lower_v(c: Circuit, on_way: Floats) -> Floats:
    """How much lower a second battery is than the first, at all that hangs on it [V]."""
    if c.second is None:
        return np.zeros((len(STATES), c.nodes))
    return np.asarray(np.outer(c.emf_v - c.second.emf_v, on_way[:, -1]))


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
        host_a=s.own_a + through(t.through_host),
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
    above = tree(_parents(c)).on_way[c.tap_nodes, c.feed_nodes]
    return np.asarray(above.T > 0)
