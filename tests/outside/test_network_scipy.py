"""Network voltages against scipy's root finder on random networks, to 1e-7 V.

Source: scipy.optimize.root (hybrid Powell), on Kirchhoff's current law at each node.
"""

import numpy as np
import pytest
from scipy.optimize import root

from fusemap.electrics.network import solve, tree


@pytest.mark.parametrize("seed", range(12))
def test_voltages_equal_a_root_finder(seed: int) -> None:
    random = np.random.default_rng(seed)
    count = int(random.integers(3, 25))
    parent = np.array([-1, *(random.integers(-1, i) for i in range(1, count))])
    ohm = random.uniform(0.002, 0.05, count)
    amps = random.uniform(0.0, 4.0, count)
    kind = random.choice([-1.0, 0.0, 0.55, 1.0], count)

    def unbalance(voltage: np.ndarray) -> np.ndarray:
        above = np.where(parent < 0, 12.6, voltage[parent])
        into = (above - voltage) / ohm
        left = into - amps * (voltage / 12.0) ** kind
        np.subtract.at(left, parent[parent >= 0], into[parent >= 0])
        return left

    reference = root(unbalance, np.full(count, 12.5), tol=1e-13)
    ours = solve(
        tree(parent),
        resistance_ohm=ohm,
        emf_v=12.6,
        load_a=amps,
        load_at_v=12.0,
        load_exponent=kind,
    )
    assert not ours.collapsed.any()
    assert ours.voltage_v == pytest.approx(reference.x, abs=1e-7)
