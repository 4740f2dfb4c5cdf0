"""The voltages at the loads of a network, by the resistances that their ways from the source share.

In: Z[i, k], what the ways to load i and to load k share [Ω], the voltage E that the source leaves
at each load without them [V], and the law of each load. Out: the voltages V [V] with
V = E − Z·I(V), in many states at once.

Of several solutions it is the highest, the one that stands when the loads come on. Below half the
source voltage, where a constant-power load on one branch has passed its knee, every load counts as
a resistance: so there is always a solution, and it says which loads cannot be fed.

Source: Kirchhoff's laws; E²/4R as the most a source gives (maximum power transfer); Newton's steps
for a convex law come down on the highest solution without passing it (J. M. Ortega and
W. C. Rheinboldt, Iterative Solution of Nonlinear Equations in Several Variables, chapter 13).
"""

from __future__ import annotations

from functools import cached_property

import numpy as np
from msgspec import Struct
from numpy.typing import NDArray

from fusemap.electrics.values import Floats, TruthArray
from fusemap.errors import InputProblem
from fusemap.text import say

CONVERGED_V = 1e-10
"""Steps smaller than this end the iteration [V]."""

FITTING_V = 1e-6
"""How far the voltages may be from what their own currents leave of the source [V]."""

KNEE = 0.5
"""Share of the source voltage below which a load counts as a resistance [-]."""

LEAST_V = 1e-9
"""Below this a voltage counts as none [V]."""

PLAIN_STEPS, SURE_STEPS = 25, 500

FEW_KNEES = 3
"""Where a step would take more loads than this below their knee, every other step holds them all at
their conductance instead: that passes many knees at once, where one by one would take long."""


class LoadLaw(Struct, frozen=True, eq=False, dict=True):
    """How the loads follow their voltage, I = I_at · (V / V_at)^p above the knee.

    asked_a: I_at [A], shape (states, loads); at_v: V_at [V], exponent: p [-], shape (loads,);
    emf_v: of the source [V], shape (states, 1).
    """

    asked_a: Floats
    at_v: Floats
    exponent: Floats
    emf_v: Floats

    @cached_property
    def knee_v(self) -> Floats:
        """The voltage below which a load counts as a resistance [V], (states, 1)."""
        return np.maximum(self.emf_v * KNEE, LEAST_V)

    @cached_property
    def _factor(self) -> Floats:
        return self.asked_a * self.at_v**-self.exponent

    def current(self, voltage: Floats) -> Floats:
        """Currents [A] at voltage [V], (states, loads). Source: `loads.LOAD_EXPONENTS`."""
        if (voltage >= self.knee_v).all():  # as nearly always; the rest comes to the same then
            return np.asarray(self._factor * voltage**self.exponent)
        held = np.maximum(voltage, self.knee_v)
        found = self._factor * held**self.exponent
        return np.asarray(found * np.maximum(voltage / held, 0.0))

    def conductance(self, voltage: Floats) -> Floats:
        """I/V [S] at voltage [V], (states, loads), however low it is. Source: as current."""
        held = np.maximum(voltage, self.knee_v)
        return np.asarray(self._factor * held ** (self.exponent - 1.0))

    def below_knee(self, voltage: Floats) -> TruthArray:
        """Which loads cannot be fed at voltage [V], (states, loads). Source: head of the module."""
        return np.asarray((voltage < self.knee_v) & (self.asked_a > 0.0) & (self.exponent < 1.0))

    def of(self, state: int, loads: NDArray[np.intp]) -> LoadLaw:
        """The law of one state and of some loads in it [positions]. Source: definition."""
        emf = self.emf_v[state : state + 1]
        return LoadLaw(self.asked_a[[state]][:, loads], self.at_v[loads], self.exponent[loads], emf)


def load_voltages(shared_ohm: Floats, emf_v: Floats, law: LoadLaw) -> tuple[Floats, int]:
    """Voltages at the loads [V], shape (states, loads), and how many steps they took.

    shared_ohm: Z [Ω], shape (loads, loads) or (states, loads, loads); emf_v: E [V], shape
    (states, loads). Plain steps V → E − Z·I(V) nearly always do. A state where they do not, or
    where a load seems to collapse, is solved again the sure way. Raises InputProblem where the
    figures lie so far apart that none can be found. Source: head of the module.
    """
    voltage, change, steps = _plainly(shared_ohm, emf_v, law)
    doubtful = (change >= CONVERGED_V) | law.below_knee(voltage).any(axis=1)
    most = 0
    for state in np.flatnonzero(doubtful).tolist():
        z = shared_ohm if shared_ohm.ndim == 2 else shared_ohm[state]
        loads = np.flatnonzero(law.asked_a[state])
        mine = law.of(state, loads)
        high, count = _surely(z[np.ix_(loads, loads)], emf_v[state, loads], mine)
        voltage[state] = emf_v[state] - z[:, loads] @ mine.current(high[None, :])[0]
        voltage[state, loads] = high  # as found: what the currents leave of E has lost digits
        most = max(most, count)
    return voltage, steps + most


def _plainly(z: Floats, emf: Floats, law: LoadLaw) -> tuple[Floats, Floats, int]:
    """Voltages [V], the last change of each state [V], and the number of steps."""
    voltage = np.broadcast_to(emf, law.asked_a.shape).copy()
    steps = 0
    change = np.full(len(voltage), np.inf)
    while steps < PLAIN_STEPS and change.max(initial=0.0) >= CONVERGED_V:
        steps += 1
        drawn = law.current(voltage)
        drop = drawn @ z if z.ndim == 2 else (drawn[:, None, :] @ z)[:, 0, :]
        new = emf - drop
        change = np.abs(new - voltage).max(axis=1, initial=0.0)
        voltage = new
    return voltage, change, steps


def _surely(z: Floats, emf: Floats, law: LoadLaw) -> tuple[Floats, int]:
    """Voltages at the loads of one state [V] and the number of steps.

    Raises InputProblem where the figures lie so far apart that no voltages come out which fit their
    own currents.
    """
    try:
        voltage, steps = _from_above(z, emf, law)
        if _fits(voltage, z, emf, law):
            return voltage, steps
        voltage = _by_currents(z, emf, law.conductance(voltage[None, :])[0])
        if _fits(voltage, z, emf, law):
            return voltage, steps
    except np.linalg.LinAlgError:
        pass
    raise InputProblem(
        say("no voltages can be found that fit these currents and resistances"),
        "load_a",
        say("look for a current or a resistance far larger than all others"),
    )


def _fits(voltage: Floats, z: Floats, emf: Floats, law: LoadLaw) -> bool:
    """Whether these are the voltages that their own currents leave of the source."""
    left_over = voltage - emf + z @ law.current(voltage[None, :])[0]
    return bool((np.abs(left_over) <= FITTING_V).all())


def _from_above(z: Floats, emf: Floats, law: LoadLaw) -> tuple[Floats, int]:
    """Voltages at the loads of one state [V], coming down from E, and the number of steps."""
    voltage = emf.copy()
    knee = float(law.knee_v[0, 0])
    steps, change = 0, np.inf
    while steps < SURE_STEPS and change >= CONVERGED_V:
        steps += 1
        drawn = law.current(voltage[None, :])[0]
        conductance = law.conductance(voltage[None, :])[0]
        bends = (law.exponent <= 0.0) & (voltage > knee)
        slope = np.where(bends, law.exponent, 1.0) * conductance
        down = _newton(z, voltage - emf + z @ drawn, slope)
        if down is None:
            down = _as_conductances(z, emf, conductance) - voltage
        # of a step that stops short it is the whole length that tells how far the end is
        change = float(np.abs(down).max(initial=0.0))
        many = int(np.count_nonzero(bends & (voltage + down < knee))) > FEW_KNEES
        if many and steps % 2:
            voltage = _as_conductances(z, emf, conductance)
        else:
            voltage = _no_further_than_a_knee(voltage, down, bends, knee)
    return voltage, steps


def _as_conductances(z: Floats, emf: Floats, conductance: Floats) -> Floats:
    """Voltages [V] with each load held at its conductance [S]: a step that only ever goes down.

    A conductance I/V never falls while the voltage falls (p ≤ 1), and more conductance lowers every
    voltage: these steps end at the highest solution, if slowly.
    """
    size = conductance.size
    return np.asarray(np.linalg.solve(np.eye(size) + z * conductance, emf))


def _by_currents(z: Floats, emf: Floats, conductance: Floats) -> Floats:
    """Voltages [V] with each load held at its conductance [S], by way of its current.

    Where the conductances lie far apart, steps of the voltages end before those of the largest
    loads are known to a share of themselves; I/G is.
    """
    held = np.maximum(conductance, np.finfo(float).tiny)  # 1/G is a number then
    drawn = np.linalg.solve(z + np.diag(1.0 / held), emf)
    return np.asarray(drawn / held)


def _newton(z: Floats, unbalance: Floats, slope: Floats) -> Floats | None:
    """Newton's step [V] against an unbalance [V]; None where it does not go down.

    Loads that do not fall with the voltage (p ≤ 0) go by their tangent, the others by their
    conductance: neither draws more than its law further down, so no solution is passed.
    """
    try:
        step = np.linalg.solve(np.eye(slope.size) + z * slope, -unbalance)
    except np.linalg.LinAlgError:
        return None
    return np.asarray(step) if (step <= CONVERGED_V).all() else None


def _no_further_than_a_knee(
    voltage: Floats, step: Floats, bends: TruthArray, knee: float
) -> Floats:
    """The voltages [V] after a step, cut where the first load that bends there meets its knee."""
    beyond = bends & (voltage + step < knee)
    if not beyond.any():
        return voltage + step
    new = voltage + step * np.min((voltage - knee)[beyond] / -step[beyond])
    # a trifle below the knee, so that the load counts as a resistance from here on
    arrived = beyond & (new <= knee * (1.0 + 1e-14))
    return np.where(arrived, knee * (1.0 - 1e-14), new)
