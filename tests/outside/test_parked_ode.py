"""The parked forecast against SciPy's ODE solver, on the two-well equations as published.

Source of the equations: J. F. Manwell, J. G. McGowan, Solar Energy 50 (1993): wells y1 and y2,
dy1/dt = -I - k'(h1 - h2), dy2/dt = k'(h1 - h2), h1 = y1/c, h2 = y2/(1 - c), k' = k·c·(1 - c), here
with a leak s on both wells. They are integrated as they stand, well by well, with DOP853 at a
relative tolerance of 1e-12; nothing of the closed form is used. Checked with scipy 1.17.1
(November 2026): agreement better than 1e-6 Ah and 1e-6 h.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise
from math import inf

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from fusemap.electrics.battery import CrankLimit, FreezingPoints, TwoWell
from fusemap.electrics.parked import CutOff, Draw, Forecast, forecast

CURVE = ((0.0, 0.25, 0.5, 0.75, 1.0), (11.8, 12.03, 12.22, 12.43, 12.64))
AH, HOURS = 1e-6, 1e-6
"""Agreement asked for [Ah] and [h]."""


@dataclass
class Wells:
    """The published equations for one battery, in wells; `y` is (y1, y2) [Ah]."""

    capacity_ah: float = 70.0
    r: float = 1.06
    c: float = 0.4334
    k: float = 1.09
    leak_30d_20c: float = 0.04
    ohm: float = 0.005

    def battery(self) -> TwoWell:
        return TwoWell(
            self.capacity_ah, *CURVE, r=self.r, c=self.c, k_per_h=self.k,
            self_discharge_share_30d_20c=self.leak_30d_20c, resistance_ohm=self.ohm,
        )  # fmt: skip

    def start(self, soc: float) -> np.ndarray:
        charge = self.capacity_ah * (self.r - 1.0 + soc)
        return np.array([self.c * charge, (1.0 - self.c) * charge])

    def run(
        self,
        y: np.ndarray,
        current: float,
        temperature: float,
        hours: tuple[float, float],
        until: Callable[[np.ndarray], float] | None = None,
    ) -> tuple[float, np.ndarray, bool]:
        """To the end of `hours`, or until a quantity falls or rises through 0: when, state, met."""
        leak = self.leak_30d_20c / 720.0 * 2.0 ** ((temperature - 20.0) / 10.0)
        exchange = self.k * self.c * (1.0 - self.c)

        def flow(_: float, y: np.ndarray) -> list[float]:
            across = exchange * (y[0] / self.c - y[1] / (1.0 - self.c))
            return [-current - across - leak * y[0], across - leak * y[1]]

        events = None
        if until is not None:

            def reached(_: float, y: np.ndarray) -> float:
                return until(y)

            reached.terminal = True  # type: ignore[attr-defined]
            events = reached
        found = solve_ivp(
            flow, hours, y, method="DOP853", rtol=1e-12, atol=1e-12, events=events, max_step=4.0
        )
        return float(found.t[-1]), found.y[:, -1], found.status == 1

    def soc(self, y: np.ndarray) -> float:
        return 1.0 - self.r + float(y.sum()) / self.capacity_ah

    def volts(self, y: np.ndarray, current: float) -> float:
        """Terminal voltage: rest voltage at the height of the first well, less the drop."""
        surface = 1.0 - self.r + float(y[0]) / self.c / self.capacity_ah
        return float(np.interp(surface, *CURVE)) - current * self.ohm


def charge_at(result: Forecast, wells: Wells, hour: float) -> float:
    """Charge in both wells [Ah] that the forecast gives at one of its points."""
    point = int(np.argmin(np.abs(result.samples.time_h - hour)))
    assert result.samples.time_h[point] == pytest.approx(hour, abs=1e-9)
    return float((result.samples.soc[point] + wells.r - 1.0) * wells.capacity_ah)


def test_charge_through_loads_and_temperature_steps() -> None:
    wells = Wells()
    loads = ((0.0, 0.5, 8.0), (0.5, 30.0, 0.05), (30.0, 31.0, 20.0), (31.0, 240.0, 0.1))
    warmth = ((0.0, 20.0), (12.0, -5.0), (60.0, 33.0))
    edges = sorted({0.5, 12.0, 30.0, 31.0, 60.0, 240.0})
    result = forecast(
        wells.battery(), 0.95, (Draw("loads", phases=loads),),
        temperature_c=warmth, horizon_h=240.0, sample_h=edges,
    )  # fmt: skip
    y = wells.start(0.95)
    for before, after in pairwise((0.0, *edges)):
        current = next(amperes for start, end, amperes in loads if start <= before < end)
        temperature = [t for start, t in warmth if start <= before][-1]
        _, y, _ = wells.run(y, current, temperature, (before, after))
        assert charge_at(result, wells, after) == pytest.approx(y.sum(), abs=AH)


@settings(max_examples=15, deadline=None)
@given(
    lengths=st.lists(st.floats(0.05, 40.0), min_size=1, max_size=5),
    currents=st.lists(st.floats(0.0, 1.2), min_size=5, max_size=5),
    temperatures=st.lists(st.floats(-20.0, 40.0), min_size=5, max_size=5),
    c=st.floats(0.2, 0.9),
    k=st.floats(0.1, 5.0),
)
def test_any_sequence_of_loads(
    lengths: list[float], currents: list[float], temperatures: list[float], c: float, k: float
) -> None:
    wells = Wells(capacity_ah=400.0, c=c, k=k)
    edges = [0.0, *np.cumsum(lengths)]
    phases = tuple((a, b, amperes) for (a, b), amperes in zip(pairwise(edges), currents))  # noqa: B905
    warmth = tuple(zip(edges[:-1], temperatures))  # noqa: B905
    result = forecast(
        wells.battery(), 1.0, (Draw("loads", phases=phases),),
        temperature_c=warmth, horizon_h=edges[-1], sample_h=edges,
    )  # fmt: skip
    y = wells.start(1.0)
    for (start, end, amperes), (_, temperature) in zip(phases, warmth, strict=True):
        _, y, _ = wells.run(y, amperes, temperature, (start, end))
    assert charge_at(result, wells, edges[-1]) == pytest.approx(y.sum(), abs=AH)


def test_hours_to_crank_limit_to_ice_and_to_empty() -> None:
    wells = Wells()
    freezing = FreezingPoints((0.0, 0.25, 0.5, 0.75, 1.0), (-7.0, -16.0, -26.0, -36.0, -57.0))
    result = forecast(
        wells.battery(), 0.9, (Draw.constant("heater", 4.0),),
        temperature_c=-12.0, crank=CrankLimit(0.5, 0.007), freezing=freezing,
    )  # fmt: skip
    y, hour = wells.start(0.9), 0.0
    crank = 0.5 + 0.007 * 37.0
    ice = 0.25 * 5.0 / 9.0  # -12 °C lies five ninths from -7 to -16
    cold = 0.007 * 37.0 * wells.r * wells.capacity_ah * wells.c  # Ah the cold keeps in the well
    found = []
    for until in (
        lambda y: wells.soc(y) - crank,
        lambda y: y[0] - cold,
    ):
        hour, y, met = wells.run(y, 4.0, -12.0, (hour, 100.0), until)
        assert met
        found.append(hour)
    assert result.hours_to_crank_limit == pytest.approx(found[0], abs=HOURS)
    assert result.hours_to_empty == pytest.approx(found[1], abs=HOURS)
    # the load has stopped: only the leak goes on, until the electrolyte freezes
    hour, y, met = wells.run(y, 0.0, -12.0, (hour, 1440.0), lambda y: wells.soc(y) - ice)
    assert not met
    assert result.hours_to_freezing == inf
    assert result.end_soc == pytest.approx(wells.soc(y), abs=1e-8)


@pytest.mark.parametrize("points", [None, (), (100.0, 900.0)])
def test_hours_to_harm_whatever_the_chart_shows(points: tuple[float, ...] | None) -> None:
    wells = Wells(leak_30d_20c=0.3)
    result = forecast(
        wells.battery(), 0.9, (Draw.constant("modules", 0.03),),
        temperature_c=20.0, harm_soc=0.2, sample_h=points,
    )  # fmt: skip
    hour, _, met = wells.run(
        wells.start(0.9), 0.03, 20.0, (0.0, 1440.0), lambda y: wells.soc(y) - 0.2
    )
    assert met
    assert result.hours_to_harm == pytest.approx(hour, abs=HOURS)


def test_cut_off_trips_after_its_delay_and_sun_brings_it_back() -> None:
    wells = Wells()
    cut = CutOff(v_off=12.1, v_on=12.5, delay_s=600.0, cable_ohm=0.05)
    draws = (
        Draw.constant("modules", 0.03),
        Draw.constant("fridge", 3.0, cut_off=cut),
        Draw("sun", phases=((20.0, 32.0, -4.0),)),
    )
    result = forecast(wells.battery(), 0.9, draws, temperature_c=20.0, horizon_h=32.0)
    y = wells.start(0.9)
    dip, y, met = wells.run(
        y, 3.03, 20.0, (0.0, 20.0), lambda y: wells.volts(y, 3.03) - 3.0 * 0.05 - 12.1
    )
    assert met
    trip, y, _ = wells.run(y, 3.03, 20.0, (dip, dip + 1.0 / 6.0))
    _, y, _ = wells.run(y, 0.03, 20.0, (trip, 20.0))
    back, y, met = wells.run(y, -3.97, 20.0, (20.0, 32.0), lambda y: wells.volts(y, -3.97) - 12.5)
    assert met
    _, y, _ = wells.run(y, -0.97, 20.0, (back, 32.0))
    assert result.cut_offs[0].first_trip_h == pytest.approx(trip, abs=HOURS)
    hours = {event.kind.value: event.hours for event in result.events}
    assert hours["reconnects"] == pytest.approx(back, abs=HOURS)
    assert charge_at(result, wells, 32.0) == pytest.approx(y.sum(), abs=AH)
    assert (result.cut_offs[0].trips, result.cut_offs[0].reconnects) == (1, 1)
    assert not result.cut_offs[0].chatter


def test_a_full_battery_takes_no_more_from_the_sun_than_leaks_and_sinks_in() -> None:
    wells = Wells(leak_30d_20c=0.3)
    sun = Draw("sun", phases=((0.0, 40.0, -5.0),))
    result = forecast(wells.battery(), 0.8, (sun,), temperature_c=20.0, horizon_h=40.0)
    full = wells.r * wells.capacity_ah
    y = wells.start(0.8)
    hour, y, met = wells.run(y, -5.0, 20.0, (0.0, 40.0), lambda y: y[0] / wells.c - full)
    assert met
    # from here y1 stands still: the current is what flows to y2 and leaks from y1
    leak, exchange = 0.3 / 720.0, wells.k * wells.c * (1.0 - wells.c)
    held = solve_ivp(
        lambda _, x: [
            exchange * (full - x[0] / (1.0 - wells.c)) - leak * x[0],
            5.0 - exchange * (full - x[0] / (1.0 - wells.c)) - leak * wells.c * full,
        ],
        (hour, 40.0), [y[1], 0.0], method="DOP853", rtol=1e-12, atol=1e-12,
    )  # fmt: skip
    bound, refused = held.y[:, -1]
    assert charge_at(result, wells, 40.0) == pytest.approx(wells.c * full + bound, abs=AH)
    assert result.unaccepted_ah == pytest.approx(refused, abs=AH)
