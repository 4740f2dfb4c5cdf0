"""Of solutions of one circuit the outer one: the currents that are higher, the voltages lower.

In: the circuit at its most, what is known of it, and what flows where all draw the least. Out: its
currents. A load that follows its voltage (a lamp, a heater) has its most where the source stands
high, and its least voltage behind a way of the most resistance; what that keeps it from drawing is
no relief for the others, who may have it behind a way of none.
"""

from typing import Final

import numpy as np
from msgspec.structs import replace

from fusemap.assess.currents import Circuit, Currents, feeds_over, slot_figures
from fusemap.assess.end import End, upstream_ohm
from fusemap.assess.result import Floats, TapFigures
from fusemap.assess.sources import SECOND
from fusemap.electrics.network_voltages import KNEE

SAME: Final = 1e-9
"""Within this share two resistances or voltages are the same [-]."""
NEWTON: Final = 6
LEAST_V: Final = 1e-3
"""Steps that are more than enough, and a voltage below which nothing is told apart [V]."""


def as_others_see_it(most: Circuit, known: Circuit) -> Circuit:
    """The circuit at its most, but for the ways to loads that follow their voltage.

    The more such a way has, the less its load draws, and the more is left for all others.
    """
    follows = most.taps.exponent > 0
    if not follows.any():
        return most
    fixed = np.where(follows, known.cables.fixed_ohm, most.cables.fixed_ohm)
    return replace(
        most,
        cables=replace(most.cables, fixed_ohm=fixed),
        conductor_ohm=np.where(follows, known.conductor_ohm, most.conductor_ohm),
    )


def _behind_v(most: Circuit, source_v: Floats) -> Floats:
    """Voltage [V, (states, taps)] of loads that follow it, behind their ways at their most.

    source_v: where the way begins [V, (states, taps)]. The root of V + R·I0·(V/V0)^p = the
    source's, by Newton: the left side rises all the way, and bends one way.
    """
    taps, ohm = most.taps, most.cables.fixed_ohm + most.conductor_ohm.sum(axis=0)
    power = np.maximum(taps.exponent, 0.0)
    lost = ohm * np.where(taps.live, taps.asked_a, 0.0)
    volts = source_v.copy()
    for _ in range(NEWTON):
        share = np.maximum(volts, LEAST_V) / taps.asked_at_v
        slope = 1.0 + lost * power / taps.asked_at_v * share ** (power - 1.0)
        volts = volts - (volts - source_v + lost * share**power) / slope
    return np.maximum(volts, 0.0)


def outer(most: Circuit, one: Currents, other: Currents, least: End) -> Currents:
    """Of two solutions the currents that are higher, the voltages that are lower.

    A lamp draws less the lower its voltage, a constant power more: neither solution alone has the
    most of every load, see `_alone_a`.
    """
    taps = _outer_taps(most, one.taps, other.taps, least)
    extra = taps.current_a - other.taps.current_a
    feeds = replace(
        other.feeds,
        current_a=other.feeds.current_a + extra @ feeds_over(most).T,
        voltage_v=np.minimum(one.feeds.voltage_v, other.feeds.voltage_v),
    )
    return Currents(
        slots=slot_figures(most, taps.current_a),
        feeds=feeds,
        taps=taps,
        battery_a=other.battery_a + extra[:, most.tap_roots != SECOND].sum(axis=1),
        battery_v=np.minimum(one.battery_v, other.battery_v),
        second_a=other.second_a + extra[:, most.tap_roots == SECOND].sum(axis=1),
        second_v=np.minimum(one.second_v, other.second_v),
        limit_a=min(one.limit_a, other.limit_a),
        limited=one.limited or other.limited,
        from_battery_a=max(one.from_battery_a, other.from_battery_a),
    )


def _outer_taps(most: Circuit, one: TapFigures, other: TapFigures, least: End) -> TapFigures:
    voltage = np.minimum(one.voltage_v, other.voltage_v)
    follows = (most.taps.exponent > 0) & most.taps.live
    if follows.any():
        behind = _behind_v(most, other.source_v)
        voltage = np.where(follows, np.minimum(voltage, behind), voltage)
    drop = np.maximum(one.source_v - one.voltage_v, other.source_v - other.voltage_v)
    solved = np.maximum(one.current_a, other.current_a)
    current = np.maximum(solved, _alone_a(most, other, least))
    way = most.cables.fixed_ohm + most.conductor_ohm.sum(axis=0)
    # a lamp draws most where the source stands high, by whichever way it hangs on it
    alone = (current > solved) | follows
    drop = np.where(alone, np.maximum(drop, current * way), drop)
    return replace(
        other,
        current_a=current,
        voltage_v=voltage,
        source_v=voltage + drop,
        collapsed=one.collapsed | other.collapsed,
    )


def _alone_a(most: Circuit, other: TapFigures, least: End) -> Floats:
    """What a load may draw besides both solutions [A, (states, taps)], 0 where no more than that.

    One that follows its voltage may have the upper end of its spread while all others draw little;
    one that collapses at its most may draw no more than at its knee, which it comes to between:
    so much, too, where a colder cable or a better battery leaves it more, and it still collapses.
    """
    taps, high_v = most.taps, least.taps.voltage_v
    knee = np.broadcast_to(most.emf_v[:, None] * KNEE, high_v.shape)
    differs = (taps.asked_a > least.circuit.taps.asked_a) | ~least.taps.collapsed
    differs = differs | (_above_ohm(most) > _above_ohm(least.circuit) * (1.0 + SAME))
    differs = differs | (most.emf_v < least.circuit.emf_v * (1.0 - SAME))[:, None]
    falls = (taps.exponent <= 0) & other.collapsed & differs
    volts = np.where(falls, knee, np.maximum(high_v, knee))
    drawn = taps.asked_a * (volts / taps.asked_at_v) ** taps.exponent
    below = np.where(falls, 1.0, np.minimum(high_v / volts, 1.0))
    return np.where((taps.exponent > 0) | falls, drawn * below, 0.0)


def _above_ohm(c: Circuit) -> Floats:
    """All that lies between a battery and each load [Ω, (taps,)], but for what others draw."""
    return np.asarray(upstream_ohm(c) + c.conductor_ohm.sum(axis=0))
