"""Speed of the parked forecast, run by hand: python tests/bench/bench_parked.py

Prints, side by side in one process: a Monte Carlo and a single forecast over 60 days with a daily
timetable, a year with weak sun (at once where days are alike, and day by day), what a start needs
and what standings showed in as many draws, each as a share of the first; and the same draws
followed by scipy's solver with small steps at equal or larger error.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from functools import partial
from typing import Any

import numpy as np
from scipy.integrate import solve_ivp

from fusemap.electrics.battery import TwoWell
from fusemap.electrics.parked import CutOff, Draw, forecast, timeline

COUNT, HOURS, YEAR, LOCKED_AT = 1000, 1440.0, 8760.0, 18.0
CURVE = ((0.0, 0.25, 0.5, 0.75, 1.0), (11.8, 12.03, 12.22, 12.43, 12.64))
WELLS = {"r": 1.06, "c": 0.4334, "k_per_h": 1.09}
LEAK_30D = 0.04


def best(call: Callable[[], Any], repeats: int = 7) -> float:
    """Shortest of some runs [s]."""
    call()
    times = []
    for _ in range(repeats):
        start = time.perf_counter()
        call()
        times.append(time.perf_counter() - start)
    return min(times)


def inputs(count: int | None, load: float = 1.0) -> dict[str, Any]:
    """Uncertain inputs, one column per draw, or their middles for a single forecast.

    At full load most batteries run empty within the 60 days, at a fifth of it none does.
    """
    rng = np.random.default_rng(1)
    ranges = {
        "soc": (0.75, 1.0),
        "soh": (0.7, 1.0),
        "celsius": (0.0, 20.0),
        "modules": (0.02 * load, 0.04 * load),
        "camera": (0.02 * load, 0.05 * load),
        "lamp": (0.02 * load, 0.02 * load),
        "wake-ups": (load, load),
    }
    if count is None:
        return {name: (low + high) / 2 for name, (low, high) in ranges.items()}
    return {name: rng.uniform(low, high, count) for name, (low, high) in ranges.items()}


def run(
    given: dict[str, Any],
    cut_off: CutOff | None = None,
    points: tuple[float, ...] | None = None,
    sun_a: float = 0.0,
    hours: float = HOURS,
) -> Any:
    """The forecast of these inputs: rest current, camera, lamp at night, two wake-ups a day."""
    battery = TwoWell(
        70.0, *CURVE, soh=given["soh"], self_discharge_share_30d_20c=LEAK_30D, **WELLS
    )
    nightly = ((3.0, 3.25, given["wake-ups"]), (12.0, 12.25, given["wake-ups"]))
    draws = (
        Draw("modules", phases=((0.0, 0.5, 4.0), (0.5, np.inf, given["modules"]))),
        Draw.constant("camera", given["camera"], cut_off=cut_off),
        Draw("lamp", daily=((22.0, 6.0, given["lamp"]),)),
        Draw("wake-ups", daily=nightly),
        *((Draw("sun", daily=((9.0, 15.0, -sun_a),)),) if sun_a > 0 else ()),
    )
    return forecast(
        battery,
        given["soc"],
        draws,
        temperature_c=given["celsius"],
        locked_at_clock_h=LOCKED_AT,
        horizon_h=hours,
        sample_h=points,
    )


def day_by_day(call: Callable[[], Any]) -> Any:
    """The same where no days are passed at once."""
    usual, timeline.LEAST_ALIKE = timeline.LEAST_ALIKE, 10**9
    try:
        return call()
    finally:
        timeline.LEAST_ALIKE = usual


def by_small_steps(given: dict[str, Any], max_step_h: float) -> float:
    """Charge left at the horizon [Ah] of one draw, by scipy's Runge-Kutta solver."""
    leak = LEAK_30D / 720.0 * 2.0 ** ((given["celsius"] - 20.0) / 10.0)
    c, k = WELLS["c"], WELLS["k_per_h"]
    scaled = 70.0 * given["soh"]
    steady = given["modules"] + given["camera"]

    def flow(t: float, y: list[float]) -> list[float]:
        clock = (LOCKED_AT + t) % 24.0
        current = steady + (4.0 - given["modules"] if t < 0.5 else 0.0)
        current += given["lamp"] if clock >= 22.0 or clock < 6.0 else 0.0
        if 3.0 <= clock < 3.25 or 12.0 <= clock < 12.25:
            current += given["wake-ups"]
        return [-leak * y[0] - current, -(k + leak) * y[1] + current / c]

    found = solve_ivp(
        flow, (0.0, HOURS), [scaled * (0.06 + given["soc"]), 0.0],
        max_step=max_step_h, rtol=1e-9, atol=1e-9,
    )  # fmt: skip
    return float(found.y[0, -1])


def needs_of_a_start() -> Callable[[], Any]:
    """What a start needs of the estate's battery, in as many draws, reckoned anew."""
    from fusemap.assess import assess
    from fusemap.assess.parked.start_spans import start_case, start_ranges
    from fusemap.assess.parked.starting import need_at
    from fusemap.electrics.spread import draws
    from fusemap.files import demos

    case = start_case(assess(demos.read_demo("family_estate")))
    return lambda: need_at(case, draws(start_ranges(case), COUNT, 1), -10.0)


def weighed_by_a_night() -> Callable[[], Any]:
    """The same estate's draws weighed by one night's current."""
    from fusemap.assess import assess
    from fusemap.assess.parked.band import SEED
    from fusemap.assess.parked.inputs import inputs as asked
    from fusemap.assess.parked.learning import learn
    from fusemap.assess.parked.many import needs
    from fusemap.electrics.spread import draws
    from fusemap.files import demos
    from fusemap.vehicle import StandReading, edits

    night = StandReading(kind="night", hours=14.0, mean_a=0.06)
    a = assess(edits.add_stand_reading(demos.read_demo("family_estate"), night))
    model, who = a.standing.model, a.standing.who
    given = draws({each.key: each.range for each in asked(a, model, who.placed)}, COUNT, SEED)
    need = needs(a, given)
    return lambda: learn(a, model, who, given, need, SEED)


def main() -> None:
    many, one, light = inputs(COUNT), inputs(None), inputs(COUNT, 0.2)
    cut_off = CutOff(12.0, 12.6, 60.0, 0.03)
    a_year = partial(run, light, sun_a=0.1, hours=YEAR)
    rows = {
        "1,000 draws x 60 days": best(lambda: run(many)),
        "1,000 draws x 60 days, cut-off": best(lambda: run(many, cut_off)),
        "1,000 draws x a year, weak sun": best(a_year),
        "1,000 draws x a year, day by day": best(lambda: day_by_day(a_year), 2),
        "1,000 draws x a year, sun, cut-off": best(partial(a_year, cut_off), 3),
        "1,000 needs of a start": best(needs_of_a_start()),
        "1,000 draws weighed by a night": best(weighed_by_a_night()),
        "single forecast with chart": best(lambda: run(one), 30),
        "single forecast with chart, cut-off": best(lambda: run(one, cut_off), 30),
        "single forecast without chart points": best(lambda: run(one, points=()), 30),
    }
    first_row = next(iter(rows.values()))
    for name, seconds in rows.items():
        print(f"{name:40s} {1000 * seconds:8.2f} ms  {seconds / first_row:6.2f} x")

    first = {name: float(values[0]) for name, values in light.items()}
    exact = float((run(first).end_soc + WELLS["r"] - 1.0) * 70.0 * first["soh"])
    per_draw = best(lambda: run(light)) / COUNT
    alone = best(lambda: run(first, points=()), 30)
    print(f"\none draw at a fifth of the load, charge left {exact:.6f} Ah:")
    print(f"  ours, one of {COUNT:,}: {1000 * per_draw:.4f} ms; alone: {1000 * alone:.2f} ms")
    for minutes in (60.0, 15.0, 5.0, 1.0):
        start = time.perf_counter()
        error = abs(by_small_steps(first, minutes / 60.0) - exact)
        seconds = time.perf_counter() - start
        print(
            f"  scipy, steps of {minutes:5.2f} min: {1000 * seconds:7.1f} ms, off {error:.0e} Ah:"
            f" {seconds / per_draw:9,.0f} x a draw, {seconds / alone:6,.0f} x a single forecast"
        )


def vehicles() -> None:
    """The demo vehicles: forecast, band of 1,000 draws, the usual week, everything that helps."""
    from fusemap.assess import assess
    from fusemap.assess.parked.band import parked_band
    from fusemap.assess.parked.forecasting import parked_figures
    from fusemap.assess.parked.week import week_figures
    from fusemap.files import demos
    from fusemap.fixes.what_if import what_ifs
    from fusemap.vehicle import Drive, edits

    ways = tuple(Drive(start_h=hour, minutes=20.0) for hour in (7.5, 17.0))
    print("\nwhole vehicles                 forecast   band   week   what-if  [ms]")
    for key, _ in demos.demo_names():
        a = assess(edits.change_parking(demos.read_demo(key), drives=ways))
        times = (
            best(lambda a=a: parked_figures(a), 30),
            best(lambda a=a: parked_band(a)),
            best(lambda a=a: week_figures(a)),
            best(lambda a=a: what_ifs(a), 3),
        )
        print(f"  {key:28s}" + "".join(f"{1000 * seconds:8.2f}" for seconds in times))


if __name__ == "__main__":
    main()
    vehicles()
