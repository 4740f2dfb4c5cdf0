"""A second way to the program's figures, written apart from it: what it says is held against these.

Nothing here imports a formula of `fusemap.electrics`; where one is needed it is written out anew.
"""

from collections.abc import Callable, Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


def fuse_drop_mv(
    current_a: float, cold_mohm: float, rating_a: float, hot_to_cold: float = 1.0
) -> float:
    """Drop [mV] of a fuse that has long carried a current [A].

    R/Rc = 1/(1 - k·x²), x = current over rating, held above 135 %, where the fuse opens.
    """
    x = min(current_a / rating_a, 1.35)
    return current_a * cold_mohm / (1.0 - (1.0 - 1.0 / hot_to_cold) * x**2)


def well_step(
    q: float, d: float, current_a: float, hours: float, *, c: float, k_per_h: float, leak: float
) -> tuple[float, float]:
    """State (q, d) [Ah] of the two wells a small step later, by the midpoint rule.

    Source: Manwell and McGowan 1993: what is drawn comes from the available well of share c, the
    heads even out at k; a leak takes from both wells alike.
    """

    def change(q: float, d: float) -> tuple[float, float]:
        return -current_a - leak * q, current_a / c - (k_per_h + leak) * d

    dq, dd = change(q, d)
    dq, dd = change(q + 0.5 * hours * dq, d + 0.5 * hours * dd)
    return q + hours * dq, d + hours * dd


def fit_wells(hours: Sequence[float], ah: Sequence[float]) -> dict[str, float]:
    """Constants of the two wells from three or more capacities [Ah] at their hours [h].

    Least squares of the relative error over k; 1/qmax and (1 - c)/(c·qmax) are linear once it is
    chosen. Source: Manwell and McGowan 1993, taken = qmax/(1 + (1 - c)/c·(1 - e^(-k·t))/(k·t)).
    """
    from scipy.optimize import minimize_scalar

    t, q = np.asarray(hours, dtype=float), np.asarray(ah, dtype=float)

    def decay(x: Floats | float) -> Floats:
        return np.asarray(-np.expm1(-np.asarray(x)) / x)

    def coefficients(k: float) -> Floats:
        columns = np.column_stack((q, q * decay(k * t)))
        return np.asarray(np.linalg.lstsq(columns, np.ones_like(q), rcond=None)[0])

    def miss(ln_k: float) -> float:
        k = float(np.exp(ln_k))
        a, b = coefficients(k)
        return float(np.linalg.norm(q * (a + b * decay(k * t)) - 1.0))

    grid = np.linspace(np.log(1e-3), np.log(1e3), 113)
    best = int(np.argmin([miss(x) for x in grid]))
    bounds = (grid[max(best - 1, 0)], grid[min(best + 1, 112)])
    found = minimize_scalar(miss, bounds=bounds, method="bounded", options={"xatol": 1e-12})
    k = float(np.exp(found.x))
    a, b = (float(each) for each in coefficients(k))
    r = 1.0 + b / a * float(decay(20.0 * k))
    return {"capacity_ah": 1.0 / (a * r), "r": r, "c": a / (a + b), "k_per_h": k}


def one_at_a_time(ranges: Mapping[str, tuple[float, float, float]]) -> dict[str, Floats]:
    """Every input (1 + 2·inputs,): all typical, then each at its low and at its high in turn."""
    found = {}
    for number, (name, (low, typical, high)) in enumerate(ranges.items()):
        found[name] = np.full(1 + 2 * len(ranges), typical)
        found[name][1 + 2 * number : 3 + 2 * number] = low, high
    return found


def swings(names: Sequence[str], answer: Floats) -> dict[str, float]:
    """What each input alone does: high less low over the typical answer, largest first."""
    ends = np.abs(np.diff(answer[1:].reshape(-1, 2))[:, 0] / answer[0])
    return dict(sorted(zip(names, ends.tolist(), strict=True), key=lambda each: -each[1]))


def rising_root(of: Callable[[float], float], low: float, high: float) -> float:
    """Where a rising function passes 0, by halving."""
    for _ in range(60):
        middle = (low + high) / 2.0
        low, high = (low, middle) if of(middle) > 0.0 else (middle, high)
    return (low + high) / 2.0
