"""A radial network on a battery with an alternator beside it, which gives a limited current.

In: a tree whose first node is the battery's terminals, and whose last may be a second battery's,
joined to it by a link or not; what the alternator holds [V] and gives at most [A], in many states
at once. Out: everything as from `network.solve`, and what the battery gives.

While the loads ask no more than the alternator gives it holds its voltage. Beyond that it is a
source of that current, and the battery gives the rest: the terminals fall to the battery's voltage
less what that costs inside it. Where loads that draw less at less voltage (lamps, heaters) stand
between, the terminals stand where the loads ask just what the alternator gives, no lower than the
battery's own voltage. What the battery would take as charge is no load: it gets what is left.

Source: Kirchhoff's laws; two sources on two nodes as an open voltage and the resistances that
their ways share (Thévenin); the battery's terminal voltage under discharge, E − I·R.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from msgspec import Struct
from msgspec.structs import replace
from numpy.typing import NDArray

from fusemap.electrics.network import Solution, Tree, solve
from fusemap.electrics.values import Floats, TruthArray

LEAST_OHM = 1e-6
"""What stands for no resistance in a quotient [Ω]."""

FITS = 1e-12
"""Share by which a load may pass the alternator's current before it counts as more [-]."""

HALVINGS = 60
"""Steps until a voltage between the regulator's and the battery's is found, at most [-]."""

FOUND_V = 1e-9
"""How near such a voltage is found [V]."""


class Bus(Struct, frozen=True, eq=False):
    """What stands on the first node, each of shape (states,).

    held_v [V] is held up to limit_a [A], infinite where nothing limits it; battery_v [V] behind
    battery_ohm [Ω] is the battery. Where no alternator turns both voltages are the battery's, and
    `turns` is False: the battery's resistance is always in the way then.
    """

    held_v: Floats
    limit_a: Floats
    battery_v: Floats
    battery_ohm: Floats
    turns: TruthArray


class SecondBus(Struct, frozen=True, eq=False):
    """A second battery on the last node, each of shape (states,).

    volts [V] behind ohm [Ω]; link_ohm [Ω] joins it to the first node, infinite where it does not.
    `asks` says where what hangs on it counts as a load of the alternator though it is reckoned
    as not joined: nobody knows whether the link is closed.
    """

    volts: Floats
    ohm: Floats
    link_ohm: Floats
    asks: TruthArray


class Loads(Struct, frozen=True, eq=False):
    """The loads of a network as `network.solve` wants them, its branches, and what flows besides.

    resistance_ohm [Ω, (nodes,)] of the branches, those into the batteries' nodes aside; own_a
    [A, (states, nodes)] is what flows in each branch that is no load of the network.
    """

    resistance_ohm: Floats
    load_a: Floats
    at_v: Floats
    exponent: Floats
    live: TruthArray
    own_a: Floats


class BusSolution(Struct, frozen=True, eq=False):
    """Voltages and currents, with what flows besides in none of them, and the batteries' share.

    from_battery_a [A, (states,)] is what the first battery gives while an alternator turns, 0
    where that is enough; `limited` says where it is not.
    """

    solution: Solution
    from_battery_a: Floats
    limited: TruthArray


class _Sources(Struct, frozen=True, eq=False):
    """Open voltages at the first and the last node [V], and the resistances behind them [Ω]."""

    first_v: Floats
    last_v: Floats
    first_ohm: Floats
    last_ohm: Floats
    both_ohm: Floats


def solve_bus(network: Tree, bus: Bus, second: SecondBus | None, loads: Loads) -> BusSolution:
    """Solve a network on such a bus in every state at once.

    `second` is None where the last node is one as any other. Raises InputProblem as
    `network.solve`. Source: head of the module.

    >>> from fusemap.electrics.network import tree
    >>> one = np.ones(1)
    >>> bus = Bus(14.2 * one, 80.0 * one, 12.6 * one, 0.006 * one, one > 0)
    >>> winch = Loads(np.array([0.0, 0.001]), np.array([[0.0, 400.0]]), np.full(2, 12.0),
    ...               np.zeros(2), np.ones((1, 2), dtype=bool), np.zeros((1, 2)))
    >>> found = solve_bus(tree([-1, 0]), bus, None, winch)
    >>> found.solution.voltage_v.round(3), found.from_battery_a
    (array([[10.68, 10.28]]), array([320.]))
    """
    every = np.arange(bus.held_v.size)
    case = _Case(network, bus, second, loads)
    held = case.at(every, case.held(every, bus.held_v))
    limited = bus.turns & (case.asked_a(every, held) > bus.limit_a * (1.0 + FITS))
    rows = np.flatnonzero(limited)
    if not rows.size:
        return BusSolution(held, np.zeros(every.size), limited)
    given = case.at(rows, case.shared(rows, held))
    between = given.voltage_v[:, 0] > bus.battery_v[rows]
    found = _put(held, rows, given)
    for row in rows[between].tolist():
        found = _put(found, np.array([row]), case.balanced(row))
    lacks = (bus.battery_v - found.voltage_v[:, 0]) / np.maximum(bus.battery_ohm, LEAST_OHM)
    gives = np.where(limited, np.maximum(lacks, 0.0), 0.0)
    return BusSolution(found, gives, limited)


class _Case(Struct, frozen=True, eq=False):
    """One network on one bus."""

    network: Tree
    bus: Bus
    second: SecondBus | None
    loads: Loads

    def held(self, rows: NDArray[np.intp], first_v: Floats) -> _Sources:
        """The sources where the first node stands at a voltage [V] whatever flows."""
        turns, none = self.bus.turns[rows], np.zeros(rows.size)
        inside = np.where(turns, 0.0, self.bus.battery_ohm[rows])
        if self.second is None:
            return _Sources(first_v, none, inside, none, none)
        volts, own, link = (
            each[rows] for each in (self.second.volts, self.second.ohm, self.second.link_ohm)
        )
        own_s, link_s = 1.0 / np.maximum(own, LEAST_OHM), 1.0 / np.maximum(link, LEAST_OHM)
        joined = np.isfinite(link)
        open_v = np.where(joined, (first_v * link_s + volts * own_s) / (link_s + own_s), volts)
        behind = np.where(joined, 1.0 / (link_s + own_s), own)
        return _Sources(first_v, open_v, inside, behind, none)

    def shared(self, rows: NDArray[np.intp], held: Solution) -> _Sources:
        """The sources where the alternator gives all it can, of what the held ones were asked."""
        bus, none = self.bus, np.zeros(rows.size)
        volts, own = bus.battery_v[rows], np.maximum(bus.battery_ohm[rows], LEAST_OHM)
        gives = bus.limit_a[rows]
        if self.second is None:
            return _Sources(volts + own * gives, none, own, none, none)
        gives = gives - np.where(self.second.asks[rows], self._second_a(rows, held, rows), 0.0)
        far_v = self.second.volts[rows]
        far = np.maximum(self.second.ohm[rows], LEAST_OHM)
        near_s, far_s = 1.0 / own, 1.0 / far
        link_s = 1.0 / np.maximum(self.second.link_ohm[rows], LEAST_OHM)
        whole = near_s * far_s + link_s * (near_s + far_s)
        first, last, both = (far_s + link_s) / whole, (near_s + link_s) / whole, link_s / whole
        into, beside = near_s * volts + gives, far_s * far_v
        return _Sources(
            first * into + both * beside, both * into + last * beside, first, last, both
        )

    def at(self, rows: NDArray[np.intp], sources: _Sources) -> Solution:
        """The network in some states, behind these sources."""
        of, on_way = self.loads, self.network.on_way
        ohm = np.tile(of.resistance_ohm, (rows.size, 1))
        own = of.own_a[rows]
        ohm[:, 0] = sources.first_ohm - sources.both_ohm
        beside, emf = own[:, :1], self.bus.held_v[rows]
        lower = np.repeat((emf - sources.first_v)[:, None], on_way.shape[0], axis=1)
        if self.second is not None:
            ohm[:, -1] = sources.last_ohm - sources.both_ohm
            beside = beside + own[:, -1:]
            lower += np.outer(sources.first_v - sources.last_v, on_way[:, -1])
        return solve(
            self.network,
            resistance_ohm=ohm,
            emf_v=emf,
            source_ohm=sources.both_ohm,
            load_a=of.load_a[rows],
            load_at_v=of.at_v,
            load_exponent=of.exponent,
            live=of.live[rows],
            lost_v=(own * ohm) @ on_way.T + beside * sources.both_ohm[:, None] + lower,
        )

    def asked_a(self, rows: NDArray[np.intp], found: Solution) -> Floats:
        """What is asked of the alternator [A]: on the first node, and by the link for the last."""
        first = found.current_a[:, 0] + self.loads.own_a[rows, 0]
        if self.second is None:
            return np.asarray(first)
        asks = self.second.asks[rows] | np.isfinite(self.second.link_ohm[rows])
        return np.asarray(first + np.where(asks, self._link_a(rows, found), 0.0))

    def _second_a(self, rows: NDArray[np.intp], found: Solution, of: NDArray[np.intp]) -> Floats:
        return np.asarray(found.current_a[of, -1] + self.loads.own_a[rows, -1])

    def _link_a(self, rows: NDArray[np.intp], found: Solution) -> Floats:
        """What hangs on the second battery, less what that gives itself where it is joined [A]."""
        if self.second is None:
            return np.zeros(rows.size)
        hangs = self._second_a(rows, found, np.arange(rows.size))
        volts, ohm = self.second.volts[rows], np.maximum(self.second.ohm[rows], LEAST_OHM)
        gives = np.maximum(volts - found.voltage_v[:, -1], 0.0) / ohm
        joined = np.isfinite(self.second.link_ohm[rows])
        return np.asarray(np.where(joined, np.maximum(hangs - gives, 0.0), hangs))

    def balanced(self, row: int) -> Solution:
        """One state with its first node where the loads ask just what the alternator gives."""
        rows = np.array([row])

        def more_than_given(volts: float) -> tuple[float, Solution]:
            found = self.at(rows, self.held(rows, np.array([volts])))
            return float(self.asked_a(rows, found)[0] - self.bus.limit_a[row]), found

        low, high = float(self.bus.battery_v[row]), float(self.bus.held_v[row])
        return _between(more_than_given, low, high)


def _between(
    surplus: Callable[[float], tuple[float, Solution]], low: float, high: float
) -> Solution:
    """The solution at the voltage where the surplus is none; at the low end where it stays.

    Brackets by false position, the end that stays weighed half (Illinois), so that it never leaves
    the bracket. Source: M. Dowell, P. Jarratt, BIT 11 (1971) 168.
    """
    at_low, found = surplus(low)
    if at_low >= 0.0:
        return found
    at_high, _ = surplus(high)
    side = 0
    for _ in range(HALVINGS):
        middle = (low * at_high - high * at_low) / (at_high - at_low)
        over, found = surplus(middle)
        if abs(over) < FOUND_V or high - low < FOUND_V:
            break
        if over > 0.0:
            high, at_high = middle, over
            at_low = at_low / 2 if side > 0 else at_low
            side = 1
        else:
            low, at_low = middle, over
            at_high = at_high / 2 if side < 0 else at_high
            side = -1
    return found


def _put(whole: Solution, rows: NDArray[np.intp], part: Solution) -> Solution:
    """A solution with some of its states taken from another."""
    changed = {}
    for name in ("voltage_v", "current_a", "load_current_a", "collapsed"):
        values = getattr(whole, name).copy()
        values[rows] = getattr(part, name)
        changed[name] = values
    return replace(whole, **changed)
