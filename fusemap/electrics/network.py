"""Voltages and currents of a radial direct-current network, in many states at once.

In: a tree of branches hanging on one source, the resistance of each branch [Ω] (the way back
folded in), and a load at any node that follows I = I_at · (V / V_at)^p. Out: node voltages [V],
branch and load currents [A], and where the voltage collapses.

With A[i, j] = 1 where branch j lies on the way from the source to node i, Kirchhoff's two laws are
branch currents J = I·A and voltages V = E − (J∘R)·Aᵀ, repeated until nothing moves. Below half the
source voltage, where a constant-power load has passed its knee, a load is taken as a resistance:
there is always an answer, and it is marked.

Source: Kirchhoff's laws; E²/4R as the most a source gives (maximum power transfer).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

from fusemap.electrics.values import Floats, TruthArray, require_not_negative
from fusemap.errors import InputProblem

CONVERGED_V = 1e-10
"""Steps smaller than this end the iteration [V]."""

KNEE = 0.5
"""Share of the source voltage below which a constant-power load can no longer be held [-]."""

PLAIN_STEPS, SURE_STEPS = 25, 2000


@dataclass(frozen=True, eq=False)
class Tree:
    """A checked tree: the parent of each node (−1 the source) and `on_way`, the matrix A."""

    parent: NDArray[np.intp]
    on_way: Floats

    @property
    def nodes(self) -> int:
        """How many nodes there are."""
        return int(self.parent.size)


def tree(parent: Sequence[int] | NDArray[np.intp]) -> Tree:
    """The tree in which node i hangs on node parent[i], −1 meaning the source.

    parent: whole numbers, shape (nodes,). Raises InputProblem for a parent that does not exist and
    for nodes that hang on each other in a circle. Source: definition.

    >>> tree([-1, 0, 0]).on_way
    array([[1., 0., 0.],
           [1., 1., 0.],
           [1., 0., 1.]])
    """
    return _tree(np.asarray(parent, dtype=np.intp).tobytes())


@lru_cache(maxsize=32)
def _tree(key: bytes) -> Tree:
    parent = np.frombuffer(key, dtype=np.intp)
    count = parent.size
    wrong = np.flatnonzero((parent < -1) | (parent >= count))
    if wrong.size:
        raise InputProblem(f"there is no node {parent[wrong[0]]}", f"parent[{wrong[0]}]")
    on_way = np.zeros((count, count))
    here = np.arange(count)
    for _ in range(count + 1):
        left = np.flatnonzero(here >= 0)
        if not left.size:
            return Tree(parent, on_way)
        on_way[left, here[left]] = 1.0
        here[left] = parent[here[left]]
    raise InputProblem("this node hangs on itself, over others", f"parent[{int(here.argmax())}]")


@dataclass(frozen=True, eq=False)
class Solution:
    """Node voltages [V], branch currents into each node [A], load currents [A]; shape (..., nodes).

    A dead node has 0 V and 0 A. `collapsed` marks loads whose voltage fell below the knee.
    """

    voltage_v: Floats
    current_a: Floats
    load_current_a: Floats
    collapsed: TruthArray


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
    refresh: Callable[[Floats], ArrayLike] | None = None,
) -> Solution:
    """Solve a network in every state at once.

    resistance_ohm: of the branch into each node [Ω], shape (nodes,) or (..., nodes); emf_v: of the
    source [V], a number or shape (...); source_ohm: of the source [Ω], a number; load_a: current of
    each load at load_at_v [A], shape (..., nodes); load_at_v [V] and load_exponent p [-], shape
    (nodes,), p at most 1: −1 constant power, 0 constant current, 1 a resistance, 0.55 a filament;
    live: False where a branch is open, everything below it is dead then; refresh: from branch
    currents [A] to resistances [Ω], applied until they settle (warm fuses). Raises InputProblem for
    negative figures and for p above 1.
    Source: Kirchhoff's laws, see the head of the module.

    >>> found = solve(tree([-1, 0]), resistance_ohm=[0.1, 0.4], emf_v=12.0,
    ...               load_a=[2.0, 4.0], load_exponent=[0.0, 0.0])
    >>> found.voltage_v, found.current_a
    (array([11.4,  9.8]), array([6., 4.]))
    """
    loads = require_not_negative(load_a, "load_a", "A")
    lead = np.broadcast_shapes(loads.shape[:-1], np.shape(emf_v), np.shape(live)[:-1])
    shape = (*lead, network.nodes)
    n = network.nodes
    emf = np.broadcast_to(require_not_negative(emf_v, "emf_v", "V"), lead).reshape(-1, 1)
    dead = ~np.broadcast_to(np.asarray(live, dtype=bool), shape).reshape(-1, n)
    alive = dead.astype(np.float64) @ network.on_way.T == 0.0
    asked = np.where(alive, np.broadcast_to(loads, shape).reshape(-1, n), 0.0)
    exponent = np.asarray(load_exponent, dtype=np.float64)
    if (exponent > 1.0).any():
        raise InputProblem("a load cannot grow faster than its voltage", "load_exponent")
    law = _Law(
        asked,
        np.broadcast_to(np.asarray(load_at_v, dtype=np.float64), (n,)),
        np.broadcast_to(exponent, (n,)),
        emf * KNEE,
    )
    ohm = require_not_negative(resistance_ohm, "resistance_ohm", "Ω")
    ohm = ohm if ohm.ndim == 1 else np.broadcast_to(ohm, shape).reshape(-1, n)
    source = float(require_not_negative(source_ohm, "source_ohm", "Ω"))
    voltage = _voltages(network, ohm, source, emf, law)
    for _ in range(20 if refresh is not None else 0):
        assert refresh is not None
        warm = refresh((law.current(voltage) @ network.on_way).reshape(shape))
        ohm = require_not_negative(warm, "refresh", "Ω").reshape(-1, n)
        before, voltage = voltage, _voltages(network, ohm, source, emf, law)
        if float(np.abs(before - voltage).max(initial=0.0)) < 1e-9:
            break
    drawn = law.current(voltage)
    collapsed = alive & (asked > 0.0) & (law.exponent < 1.0) & (voltage < law.knee_v)
    return Solution(
        voltage_v=np.where(alive, voltage, 0.0).reshape(shape),
        current_a=(drawn @ network.on_way).reshape(shape),
        load_current_a=drawn.reshape(shape),
        collapsed=collapsed.reshape(shape),
    )


@dataclass(frozen=True, eq=False)
class _Law:
    """How the loads follow the voltage; arrays (states, nodes), (nodes,), (nodes,), (states, 1)."""

    asked_a: Floats
    at_v: Floats
    exponent: Floats
    knee_v: Floats

    def current(self, voltage: Floats) -> Floats:
        """Load currents [A] at these voltages [V]; a resistance below the knee (p < 1)."""
        bent = self.exponent < 1.0
        upper = np.where(bent, np.maximum(voltage, self.knee_v), np.maximum(voltage, 0.0))
        upper = np.maximum(upper, 1e-12)
        found = self.asked_a * (upper / self.at_v) ** self.exponent
        return np.where(bent, found * np.clip(voltage / upper, 0.0, 1.0), found)

    def rows(self, states: NDArray[np.intp], nodes: NDArray[np.intp]) -> _Law:
        """The law of some states and nodes."""
        return _Law(
            self.asked_a[np.ix_(states, nodes)],
            self.at_v[nodes],
            self.exponent[nodes],
            self.knee_v[states],
        )


def _voltages(network: Tree, ohm: Floats, source: float, emf: Floats, law: _Law) -> Floats:
    """Node voltages [V, (states, nodes)]: plain steps, which nearly always do; else the sure way.

    A plain step goes down the tree with the currents and up again with the drops.
    """
    a = network.on_way
    voltage = np.broadcast_to(emf, law.asked_a.shape).copy()
    change = np.zeros(emf.shape[0])
    for _ in range(PLAIN_STEPS):
        drawn = law.current(voltage)
        common = source * drawn.sum(axis=1, keepdims=True)
        new = emf - common - (ohm * (drawn @ a)) @ a.T
        change = np.abs(new - voltage).max(axis=1, initial=0.0)
        voltage = new
        if change.max(initial=0.0) < CONVERGED_V:
            return np.asarray(voltage)
    for state in np.flatnonzero(change >= CONVERGED_V).tolist():
        mine = ohm if ohm.ndim == 1 else ohm[state]
        voltage[state] = _surely(a, mine, source, float(emf[state, 0]), law, state)
    return np.asarray(voltage)


def _surely(a: Floats, ohm: Floats, source: float, emf: float, law: _Law, state: int) -> Floats:
    """Node voltages of one state [V], by the resistances that its loads have in common."""
    loads = np.flatnonzero(law.asked_a[state])
    own = law.rows(np.array([state]), loads)
    shared = (a * ohm) @ a[loads].T + source
    at_loads = _from_above(shared[loads], emf, own)
    return np.asarray(emf - shared @ own.current(at_loads[None, :])[0])


def _from_above(z: Floats, emf: float, law: _Law) -> Floats:
    """Voltages at the loads of one state [V], each load taken as a conductance, from E downwards.

    A conductance I/V never falls while the voltage falls (p ≤ 1), and more conductance lowers every
    voltage: the steps go down only, and end at the highest solution there is.
    """
    voltage = np.full(law.at_v.size, emf)
    alone = np.eye(voltage.size)
    for _ in range(SURE_STEPS):
        conductance = law.current(voltage[None, :])[0] / np.maximum(voltage, 1e-12)
        new = np.linalg.solve(alone + z * conductance, np.full(voltage.size, emf))
        step = float(np.abs(new - voltage).max(initial=0.0))
        voltage = new
        if step < CONVERGED_V:
            break
    return voltage
