"""Honest is not useless: a usual plan on a half-measured vehicle holds, or a few readings do.

`tests/bench/bench_honesty.py` counts it over all typical accessories and many halves.
"""

import pytest

from fusemap.files.demos import read_demo
from tests.bench.bench_honesty import outcomes


@pytest.mark.parametrize("key", ["small_old_car", "light_truck"])
def test_at_least_half_of_usual_plans_hold_or_ask_for_three_readings(key: str) -> None:
    kinds = ("dash_camera", "usb_socket", "work_lamp", "water_pump")
    found = outcomes(read_demo(key), 0, kinds)
    assert len(found) == len(kinds)
    good = [each for each in found if each.kind in ("holds", "few")]
    assert len(good) >= len(found) / 2, [(each.kind, each.doubts) for each in found]
