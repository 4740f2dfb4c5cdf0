"""What a chart draws is told apart without its colours by everybody: by lightness, by dashes."""

from itertools import combinations

import numpy as np
import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QPen

from fusemap.window.chain import band_chart
from fusemap.window.parked.chart_layout import ROLES
from fusemap.window.parked.chart_paint import course_pen, need_pen
from fusemap.window.style.colours import THEMES, Theme
from tests.window.seeing import WAYS_OF_SEEING, lab, linear

STEP = 12.0
"""So far apart two lightnesses are seen side by side (L* of CIE 1976)."""
SEEN = [way for way in WAYS_OF_SEEING if way != "no colour"]


def lightness(colour: str, seeing: str) -> float:
    """L* of a colour to somebody who sees so, 0…100."""
    return float(lab(np.clip(WAYS_OF_SEEING[seeing] @ linear(colour), 0, 1))[0])


def pattern(pen: QPen) -> tuple[object, ...]:
    """How a line is drawn, whatever its colour."""
    dashes = () if pen.style() == Qt.PenStyle.SolidLine else tuple(pen.dashPattern())
    return (dashes, pen.widthF() >= 3.0)


def lines(theme: Theme) -> dict[str, dict[str, QPen]]:
    """Every line of each chart."""
    shapes = band_chart.COLOURS
    standing = {key: course_pen(key, theme) for key in ROLES}
    return {
        "fuse and cable": {key: band_chart.pen(key, theme) for key in shapes},  # type: ignore[arg-type]
        "standing": {**standing, "need": need_pen(theme)},
    }


def test_the_lightness_is_that_of_known_colours() -> None:
    # white 100, black 0, the red of sRGB 53.24 (from memory)
    assert lightness("#ffffff", "all colours") == pytest.approx(100.0, abs=0.01)
    assert lightness("#ff0000", "all colours") == pytest.approx(53.24, abs=0.02)


@pytest.mark.parametrize("seeing", SEEN)
@pytest.mark.parametrize("theme", THEMES, ids=lambda theme: theme.name)
@pytest.mark.parametrize("chart", ["fuse and cable", "standing"])
def test_two_lines_differ_by_lightness_or_by_their_dashes(
    theme: Theme, chart: str, seeing: str
) -> None:
    for (one, pen), (other, beside) in combinations(lines(theme)[chart].items(), 2):
        lights = [lightness(each.color().name(), seeing) for each in (pen, beside)]
        apart = abs(lights[0] - lights[1])
        assert apart >= STEP or pattern(pen) != pattern(beside), (one, other, apart)


def test_the_two_bands_are_hatched_each_in_its_own_direction() -> None:
    patterns = band_chart.PATTERNS
    assert len(set(patterns.values())) == len(patterns) == 2


def test_two_lines_of_one_lightness_and_one_pattern_would_be_found() -> None:
    one, other = QPen(QColor("#0c5a78")), QPen(QColor("#9c1020"))
    assert pattern(one) == pattern(other)
    lights = [lightness(each.color().name(), "all colours") for each in (one, other)]
    assert abs(lights[0] - lights[1]) < STEP
