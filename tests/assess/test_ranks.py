"""The verdicts of all taps at once, against the verdict of one load held against one limit."""

import numpy as np
import pytest

from fusemap.assess.hops.kind import NO_VERDICT, HopFigures
from fusemap.assess.verdict import VERDICTS, verdict_of


@pytest.mark.parametrize("at_most", [True, False])
def test_each_tap_has_the_rank_of_its_verdict(at_most: bool) -> None:
    rng = np.random.default_rng(7)
    values = np.array([0.0, 1e-12, 5.0, 5.0 + 1e-10, 5.1, 90.0, np.inf, np.nan])
    load, most, limit = (rng.choice(values, 4000) for _ in range(3))
    most = np.fmax(load, most) if at_most else np.fmin(load, most)
    blind = rng.random(4000) < 0.5
    state = np.full(4000, -1)
    figures = HopFigures("heat_out", load, most, limit, "°C", state, blind, at_most)
    for column, rank in enumerate(figures.rank.tolist()):
        known = bool(np.isfinite(limit[column])) and not np.isnan(load[column])
        if not known:
            assert rank == (VERDICTS.index("unchecked") if blind[column] else NO_VERDICT)
            continue
        ends = float(load[column]), float(most[column]), float(limit[column])
        assert VERDICTS[rank] == verdict_of(*ends, at_most=at_most), ends
