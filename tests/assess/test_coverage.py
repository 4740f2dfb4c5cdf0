"""Of planted vehicles, nine of ten stand for a time within the span that they were given.

What is planted is said in `tests/planted.py`: the truth by its own draws and formulas, the readings
made from it.
"""

from math import inf

import numpy as np
import pytest

from fusemap.assess import assess
from fusemap.assess.parked.band import HIGH, LOW, parked_band
from tests.planted import CHEMISTRIES, SEASONS, planted

COUNT = 2000
HORIZON_H = 1440.0


@pytest.fixture(scope="module")
def inside() -> dict[tuple[str, str], list[bool]]:
    """Whether the truth lies in the span, by chemistry and season."""
    rng = np.random.default_rng(20)
    cells = [(chemistry, season) for chemistry in CHEMISTRIES for season in SEASONS]
    found: dict[tuple[str, str], list[bool]] = {cell: [] for cell in cells}
    for number in range(COUNT):
        cell = cells[number % len(cells)]
        truth = planted(rng, *cell)
        band = parked_band(assess(truth.vehicle), draws=300)
        hours = truth.hours if truth.hours < HORIZON_H else inf
        # many start not at all, or past the horizon: of those that tie a part lies below
        below = np.mean(band.hours < hours) + rng.random() * np.mean(band.hours == hours)
        found[cell].append(bool(LOW <= below <= HIGH))
    return found


def test_the_truth_of_nine_in_ten_lies_between_the_ends(
    inside: dict[tuple[str, str], list[bool]],
) -> None:
    whole = [each for cell in inside.values() for each in cell]
    assert np.mean(whole) == pytest.approx(0.90, abs=0.02)


@pytest.mark.parametrize("which", [*CHEMISTRIES, *SEASONS])
def test_so_do_those_of_each_chemistry_and_of_each_season(
    inside: dict[tuple[str, str], list[bool]], which: str
) -> None:
    """Within two points as well: what was found is 88.0 (EFB) to 91.8 (flooded)."""
    some = [each for cell, found in inside.items() if which in cell for each in found]
    assert len(some) >= 399
    assert np.mean(some) == pytest.approx(0.90, abs=0.02)
