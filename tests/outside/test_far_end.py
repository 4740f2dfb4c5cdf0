"""A short at the far end of a cable against a handbook's table of the longest circuits.

The handbook is for 230 V and breakers; the sum is the same: what is left of the voltage, over there
and back, has to pass the tripping current by so much. Electrical Installation Guide according to
IEC standards, chapter G, figure G47: 0.8 of the nominal voltage is left in a short, copper has
0.023 Ω·mm²/m while it lasts, the trip may lie 20 % above what it is set to; two conductors of one
section, lengths printed in whole metres.
"""

import numpy as np
import pytest

from fusemap.electrics.protection import far_end, longest_length

LEFT_V = 0.8 * 230.0
COPPER_OHM_MM2_PER_M = 0.023
TRIP_TOLERANCE = 1.2
SECTIONS_MM2 = (1.5, 2.5, 4.0, 6.0, 10.0)
PRINTED_M = {
    100.0: (50, 83, 133, 200, 333),
    160.0: (31, 52, 83, 125, 208),
    250.0: (20, 33, 53, 80, 133),
    400.0: (13, 21, 33, 50, 83),
    500.0: (10, 17, 27, 40, 67),
    1000.0: (5, 8, 13, 20, 33),
}
"""Longest circuits [m] by the set tripping current [A], for each section."""
ROWS = [
    (trip, area, length)
    for trip, lengths in PRINTED_M.items()
    for area, length in zip(SECTIONS_MM2, lengths, strict=True)
]


@pytest.mark.parametrize(("trip_a", "area_mm2", "printed_m"), ROWS)
def test_the_longest_circuit_is_the_printed_one(
    trip_a: float, area_mm2: float, printed_m: int
) -> None:
    warm_mohm_per_m = COPPER_OHM_MM2_PER_M / area_mm2 * 1000.0
    both_ways = longest_length(
        LEFT_V, trip_a, warm_mohm_per_m, 0.0, multiple=TRIP_TOLERANCE, temperature_c=20.0
    )
    assert both_ways / 2.0 == pytest.approx(printed_m, abs=0.5001)


@pytest.mark.parametrize(("trip_a", "area_mm2", "printed_m"), ROWS)
def test_a_metre_more_or_less_decides_whether_it_opens(
    trip_a: float, area_mm2: float, printed_m: int
) -> None:
    metres = np.array([printed_m - 1.0, printed_m + 1.0])
    end = far_end(
        LEFT_V, trip_a, 2.0 * metres * COPPER_OHM_MM2_PER_M / area_mm2, 0.0, wanted=TRIP_TOLERANCE
    )
    assert list(end.wanted.passed) == [True, False]
