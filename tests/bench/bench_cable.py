"""How fast cables are sized: 30 cables against 14 sections, ours and scipy's root finder.

Run by hand: python tests/bench/bench_cable.py
"""

import time
from collections.abc import Callable

import numpy as np
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from fusemap.electrics.cable import ALPHA20
from fusemap.electrics.cable_heat import COPPER_HEAT, INSULATION_W_PER_M_K, STRAND_FILL
from fusemap.electrics.heat_balance import heat_loss
from fusemap.electrics.protection import adiabatic_k
from fusemap.electrics.sizing import CableDuty, Sections, recommend_section, section_checks

CABLES = 30
OFFER = Sections(
    np.array([0.35, 0.5, 0.75, 1.0, 1.5, 2.0, 2.5, 3.0, 4.0, 6.0, 8.0, 10.0, 16.0, 25.0]),
    np.array([54.4, 37.1, 24.7, 18.5, 12.7, 9.42, 7.6, 6.15, 4.71, 3.14, 2.38, 1.82, 1.16, 0.743]),
    np.array([1.4, 1.6, 1.9, 2.1, 2.4, 2.8, 3.0, 3.4, 3.7, 4.3, 5.0, 6.0, 7.2, 8.7]),
)
SIZES = list(zip(OFFER.area_mm2, OFFER.r20_mohm_per_m, OFFER.od_mm, strict=True))
OVERLOAD_S = 600.0


def seconds(work: Callable[[], object], times: int) -> float:
    """Best time of a few rounds [s]."""
    work()
    best = float("inf")
    for _ in range(3):
        start = time.perf_counter()
        for _ in range(times):
            work()
        best = min(best, (time.perf_counter() - start) / times)
    return best


def duty(
    load: np.ndarray, rating: np.ndarray, length: np.ndarray, ambient: np.ndarray
) -> CableDuty:
    return CableDuty(
        load_a=load,
        plus_m=length,
        return_m=0.5,
        fixed_ohm=0.005,
        allowed_drop_v=0.6,
        ambient_c=ambient,
        limit_c=105.0,
        rating_a=rating,
        overload_limit_c=130.0,
        short_i2t_a2s=20.0 * rating**2,
        k=adiabatic_k(105.0, 160.0),
        u_min_v=11.0,
        other_ohm=0.05,
        overload_s=OVERLOAD_S,
    )


class OneCable:
    """Heat of one cable of one section, by scipy's scalar tools and our own loss to the air."""

    def __init__(self, size: tuple[float, float, float], ambient_c: float) -> None:
        self.area, self.r20, self.od = size
        self.ambient = ambient_c
        core_mm = np.sqrt(4.0 * self.area / (np.pi * STRAND_FILL))
        self.inside = np.log(self.od / core_mm) / (2.0 * np.pi * INSULATION_W_PER_M_K)

    def loss(self, surface_c: float) -> float:
        air = np.float64(self.ambient)
        return float(heat_loss(np.float64(surface_c), np.float64(self.od / 1000.0), air)[0])

    def surface(self, core_c: float) -> float:
        """Surface [°C] of a core at a temperature [°C]."""
        if core_c - self.ambient < 1e-9:
            return self.ambient
        return brentq(
            lambda s: self.loss(s) - (core_c - s) / self.inside, self.ambient, core_c, xtol=1e-6
        )

    def surplus(self, core_c: float, current_a: float) -> float:
        made = current_a**2 * self.r20 / 1000.0 * (1.0 + ALPHA20 * (core_c - 20.0))
        return made - self.loss(self.surface(core_c))

    def steady(self, current_a: float) -> float:
        if self.surplus(1083.0, current_a) >= 0.0:
            return np.inf
        return brentq(self.surplus, self.ambient, 1083.0, args=(current_a,), xtol=1e-6)

    def after(self, time_s: float, current_a: float, start_c: float) -> float:
        store = COPPER_HEAT * self.area
        found = solve_ivp(
            lambda _, core: [self.surplus(core[0], current_a) / store],
            (0.0, time_s),
            [start_c],
            method="LSODA",
            rtol=1e-4,
            atol=1e-2,
        )
        return float(found.y[0, -1])


def main() -> None:
    """Print the ratios."""
    random = np.random.default_rng(2)
    rating = random.choice([5.0, 7.5, 10.0, 15.0, 20.0, 30.0], CABLES)
    load = rating * random.uniform(0.2, 0.75, CABLES)
    length = random.uniform(0.5, 8.0, CABLES)
    ambient = random.choice([25.0, 40.0, 85.0], CABLES)
    every = [load, rating, length, ambient]
    together = duty(*(figure[:, None] for figure in every))
    apart = [duty(*figures) for figures in zip(*every, strict=True)]

    def one_pass() -> dict[str, object]:
        return dict(section_checks(OFFER, together))

    def cable_by_cable() -> list[object]:
        return [recommend_section(OFFER, each) for each in apart]

    def roots() -> np.ndarray:
        return np.array(
            [
                [OneCable(size, float(place)).steady(float(amps)) for size in SIZES]
                for amps, place in zip(load, ambient, strict=True)
            ]
        )

    def integrals() -> np.ndarray:
        """Overload of the first cable only, in every section it does not melt."""
        few = []
        for column, size in enumerate(SIZES):
            cable = OneCable(size, float(ambient[0]))
            current = 1.35 * float(rating[0])
            melts = np.isinf(cable.steady(current)) or np.isinf(steady[0, column])
            few.append(
                np.inf if melts else cable.after(OVERLOAD_S, current, float(steady[0, column]))
            )
        return np.array(few)

    checks = section_checks(OFFER, together)
    steady = roots()
    apart_k = np.nan_to_num(np.abs(checks["heat"].found - steady), nan=0.0).max()
    overload_k = np.nan_to_num(np.abs(checks["overload"].found[0] - integrals()), nan=0.0).max()
    all_in_one = seconds(one_pass, 20)
    one_by_one = seconds(cable_by_cable, 5)
    by_roots = seconds(roots, 1)
    by_integrals = seconds(integrals, 1) * CABLES
    print(f"{CABLES} cables x {len(SIZES)} sections, all six criteria, one pass: 1")
    print(f"the same cable by cable, with the choice: {one_by_one / all_in_one:.1f}")
    print(f"scipy brentq, steady heat alone: {by_roots / all_in_one:.0f}")
    print(f"scipy LSODA, overload alone (one cable's time x {CABLES}): "
          f"{by_integrals / all_in_one:.0f}")  # fmt: skip
    print(f"one pass takes {all_in_one * 1e3:.2f} ms here")
    print(f"largest difference: steady {apart_k:.1e} K, overload {overload_k:.1e} K")


if __name__ == "__main__":
    main()
