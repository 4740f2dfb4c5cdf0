"""Voltages and currents of a radial direct-current network, in many states at once.

In: a tree of branches hanging on one source, given by the parent of each node, the resistance of
each branch [Ω] (the way back folded in), and a load at any node, I = I_at · (V / V_at)^p.
Out: node voltages [V], branch and load currents [A], and where the voltage collapses.

With A[i, j] = 1 where branch j lies on the way from the source to node i, Kirchhoff's two laws are
branch currents J = I·A and voltages V = E − (J∘R)·Aᵀ. Seen from the loads alone, load k lowers the
voltage at load i by its current times the resistance that their two ways share; the voltages at
the loads are found with these (`network_voltages`), everything else follows from them.

Source: Kirchhoff's laws; E²/4R as the most a source gives (maximum power transfer).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from functools import lru_cache

import numpy as np
from msgspec import Struct
from numpy.typing import ArrayLike, NDArray

from fusemap.electrics.network_voltages import LoadLaw, load_voltages
from fusemap.electrics.values import (
    Floats,
    TruthArray,
    require_finite,
    require_not_negative,
    require_positive,
)
from fusemap.errors import InputProblem
from fusemap.text import say


class Tree(Struct, frozen=True, eq=False):
    """A checked tree: the parent of each node (−1 the source), and what follows from it.

    `on_way` is the matrix A. `parting[i, k]` is the last node that the ways from the source to i
    and to k share, or `nodes` where they share nothing but the source. Read-only.
    """

    parent: NDArray[np.intp]
    on_way: Floats
    parting: NDArray[np.intp]

    @property
    def nodes(self) -> int:
        """How many nodes there are."""
        return int(self.parent.size)


def tree(parent: Sequence[int] | NDArray[np.intp]) -> Tree:
    """The tree in which node i hangs on node parent[i], −1 meaning the source.

    parent: whole numbers, shape (nodes,), in any order. Raises InputProblem for a parent that does
    not exist and for nodes that hang on each other in a circle. Source: definition.

    >>> tree([-1, 0, 0]).on_way
    array([[1., 0., 0.],
           [1., 1., 0.],
           [1., 0., 1.]])
    """
    return _tree(np.asarray(parent, dtype=np.intp).tobytes())


@lru_cache(maxsize=16)
def _tree(key: bytes) -> Tree:
    parent = np.frombuffer(key, dtype=np.intp)
    wrong = np.flatnonzero((parent < -1) | (parent >= parent.size))
    if wrong.size:
        raise InputProblem(
            say("there is no node {node}", node=int(parent[wrong[0]])), f"parent[{wrong[0]}]"
        )
    on_way, depth = _ways(parent)
    parting = np.full(on_way.shape, parent.size)
    for node in np.argsort(depth, kind="stable").tolist():
        if parent[node] >= 0:
            parting[node] = parting[parent[node]]
        parting[node, on_way[:, node] > 0.0] = node
    on_way.setflags(write=False)
    parting.setflags(write=False)
    return Tree(parent, on_way, parting)


def _ways(parent: NDArray[np.intp]) -> tuple[Floats, NDArray[np.intp]]:
    """The matrix A, and how many branches lie on each node's way."""
    count = parent.size
    on_way = np.zeros((count, count))
    depth = np.zeros(count, dtype=np.intp)
    here = np.arange(count)
    for _ in range(count):
        left = np.flatnonzero(here >= 0)
        if not left.size:
            break
        on_way[left, here[left]] = 1.0
        depth[left] += 1
        here[left] = parent[here[left]]
    circle = here[here >= 0]  # after so many steps upwards, whoever is left goes round in it
    if circle.size:
        raise InputProblem(say("this node hangs on itself, over others"), f"parent[{circle[0]}]")
    return on_way, depth


__all__ = ["Solution", "Tree", "solve", "tree"]

REFRESHES = 50
"""Times the resistances are taken anew from the currents, at most [-]."""

SETTLED_V = 1e-9
"""Voltages that move less than this have settled to the resistances [V]."""


class Solution(Struct, frozen=True, eq=False):
    """Node voltages [V], branch currents into each node [A], load currents [A]; shape (..., nodes).

    A dead node has 0 V and 0 A. `collapsed` marks loads that cannot be fed: their voltage is below
    the knee, and they count as resistances. `iterations` is the number of steps it took.
    """

    voltage_v: Floats
    current_a: Floats
    load_current_a: Floats
    collapsed: TruthArray
    iterations: int


def solve(
    network: Tree,
    *,
    resistance_ohm: ArrayLike,
    emf_v: ArrayLike,
    load_a: ArrayLike,
    load_at_v: ArrayLike = 12.0,
    load_exponent: ArrayLike = 0.0,
    live: ArrayLike = True,
    source_ohm: ArrayLike = 0.0,
    lost_v: ArrayLike = 0.0,
    refresh: Callable[[Floats], ArrayLike] | None = None,
) -> Solution:
    """Solve a network in every state at once.

    resistance_ohm: of the branch into each node [Ω], shape (nodes,) or (..., nodes); emf_v: of the
    source [V], a number or shape (...); source_ohm: inside the source [Ω], a number or shape (...);
    load_a: current of each load at load_at_v [A], shape (..., nodes); load_at_v [V] and
    load_exponent p [-], shape (nodes,), −1 to 1: −1 constant power, 0 constant current, 1 a
    resistance, 0.55 a filament; live: False where a branch is open, everything below it is dead
    then; lost_v: what currents that are no loads of this network cost on the way to each node [V],
    shape (..., nodes); refresh: from branch currents [A] to resistances [Ω], applied until they
    settle (warm fuses). What hangs on another source has its `lost_v` less by as much as that one
    is higher, and more by as much as it is lower. Below half the source voltage a load counts as a
    resistance and is marked.
    Raises InputProblem for negative figures, for p beyond −1 to 1, for figures so far apart that no
    voltages can be found, and where no resistances settle.
    Source: Kirchhoff's laws, see the head of the module.

    >>> found = solve(tree([-1, 0]), resistance_ohm=[0.1, 0.4], emf_v=12.0,
    ...               load_a=[2.0, 4.0], load_exponent=[0.0, 0.0])
    >>> found.voltage_v, found.current_a
    (array([11.4,  9.8]), array([6., 4.]))
    """
    ohm = require_not_negative(resistance_ohm, "resistance_ohm", "Ω")
    lead = np.broadcast_shapes(
        np.shape(load_a)[:-1], np.shape(emf_v), np.shape(source_ohm), np.shape(live)[:-1],
        ohm.shape[:-1], np.shape(lost_v)[:-1],
    )  # fmt: skip
    case = _case(network, lead, emf_v, source_ohm, load_a, load_at_v, load_exponent, live, lost_v)
    found = _solved(case, ohm)
    return found if refresh is None else _settled(case, found, ohm, refresh)


class _Case(Struct, frozen=True, eq=False):
    """Checked figures with the states on one axis: emf and source (states, 1), lost, alive, law.

    `loads` are the nodes with a load in some state; the law covers these alone.
    """

    network: Tree
    lead: tuple[int, ...]
    emf_v: Floats
    source_ohm: Floats
    lost_v: Floats
    alive: TruthArray
    loads: NDArray[np.intp]
    law: LoadLaw

    def flat(self, ohm: Floats) -> Floats:
        """Branch resistances [Ω], (nodes,) where all states share them, else (states, nodes)."""
        if ohm.ndim <= 1:
            return np.broadcast_to(ohm, (self.network.nodes,))
        if ohm.shape != self.alive.shape:
            ohm = np.broadcast_to(ohm, (*self.lead, self.network.nodes))
        return ohm.reshape(self.alive.shape)


def _case(
    network: Tree,
    lead: tuple[int, ...],
    emf_v: ArrayLike,
    source_ohm: ArrayLike,
    load_a: ArrayLike,
    load_at_v: ArrayLike,
    load_exponent: ArrayLike,
    live: ArrayLike,
    lost_v: ArrayLike,
) -> _Case:
    exponent = require_finite(load_exponent, "load_exponent", "-")
    if (np.abs(exponent) > 1.0).any():
        raise InputProblem(say("loads lie between constant power and resistance"), "load_exponent")
    n, states = network.nodes, math.prod(lead)

    def by_state(values: ArrayLike, *last: int) -> Floats:
        wide = np.asarray(values, dtype=np.float64)
        if wide.shape != (*lead, *last):
            wide = np.broadcast_to(wide, (*lead, *last))
        return wide.reshape(states, math.prod(last))

    dead = by_state(np.logical_not(live), n)
    alive = dead @ network.on_way.T == 0.0
    asked = np.where(alive, by_state(require_not_negative(load_a, "load_a", "A"), n), 0.0)
    loads = np.flatnonzero(asked.any(axis=0))
    at_v = np.broadcast_to(require_positive(load_at_v, "load_at_v", "V"), n)[loads]
    emf = by_state(require_not_negative(emf_v, "emf_v", "V"))
    source = by_state(require_not_negative(source_ohm, "source_ohm", "Ω"))
    law = LoadLaw(asked[:, loads], at_v, np.broadcast_to(exponent, n)[loads], emf)
    lost = by_state(require_finite(lost_v, "lost_v", "V"), n)
    return _Case(network, lead, emf, source, lost, alive, loads, law)


def _shared(case: _Case, ohm: Floats) -> Floats:
    """What the ways to each two loads share [Ω], (loads, loads), or (states, loads, loads)."""
    way = ohm @ case.network.on_way.T
    way = np.concatenate([way, np.zeros((*way.shape[:-1], 1))], axis=-1)  # the last: nothing shared
    parting = case.network.parting[case.loads[:, None], case.loads]
    shared = np.take(way, parting, axis=-1)
    if (case.source_ohm == case.source_ohm[:1]).all():
        return np.asarray(shared + case.source_ohm[:1].sum())
    return np.asarray(shared + case.source_ohm[:, :, None])


def _solved(case: _Case, ohm: Floats) -> Solution:
    """Everything from the voltages at the loads: one step down the tree, one up again."""
    a = case.network.on_way
    ohm = case.flat(ohm)
    left = case.emf_v - case.lost_v[:, case.loads]
    at_loads, iterations = load_voltages(_shared(case, ohm), left, case.law)
    drawn = np.zeros(case.alive.shape)
    drawn[:, case.loads] = case.law.current(at_loads)
    into = drawn @ a
    inside = case.source_ohm * drawn.sum(axis=1, keepdims=True)
    voltage = np.where(case.alive, case.emf_v - case.lost_v - inside - (into * ohm) @ a.T, 0.0)
    collapsed = np.zeros(case.alive.shape, dtype=bool)
    collapsed[:, case.loads] = case.law.below_knee(at_loads)
    shape = (*case.lead, case.network.nodes)
    return Solution(
        voltage_v=voltage.reshape(shape),
        current_a=into.reshape(shape),
        load_current_a=drawn.reshape(shape),
        collapsed=collapsed.reshape(shape),
        iterations=iterations,
    )


def _settled(
    case: _Case, found: Solution, ohm: Floats, refresh: Callable[[Floats], ArrayLike]
) -> Solution:
    """The solution whose resistances are those that its currents give."""
    for turn in range(REFRESHES):
        warm = require_not_negative(refresh(found.current_a), "refresh", "Ω")
        # going half the way, after a while, ends a swinging to and fro
        ohm = warm if turn < REFRESHES // 5 else (ohm + warm) / 2.0
        before, found = found, _solved(case, ohm)
        if float(np.abs(before.voltage_v - found.voltage_v).max(initial=0.0)) < SETTLED_V:
            return found
    raise InputProblem(say("the resistances do not settle"), "refresh")
