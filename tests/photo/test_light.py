"""Colours as the eye tells them apart, against a general library's published examples."""

import numpy as np
import pytest

from fusemap.photo.light import difference, lab, light

# The crate `lab` 0.11.0 on docs.rs, example of `rgbs_to_labs`.
PUBLISHED = {
    (255, 0, 0): (53.238235, 80.09231, 67.202095),
    (255, 0, 255): (60.322693, 98.23698, -60.827957),
    (0, 255, 255): (91.11428, -48.08274, -14.12958),
}


@pytest.mark.parametrize(("colour", "wanted"), PUBLISHED.items())
def test_colours_in_cielab(colour: tuple[int, ...], wanted: tuple[float, ...]) -> None:
    found = lab(light(np.array(colour) / 255))
    assert found == pytest.approx(wanted, abs=0.08)


def test_greys_have_no_colour_and_white_is_100() -> None:
    greys = lab(light(np.linspace(0, 1, 12)[:, None] * np.ones(3)))
    assert np.abs(greys[:, 1:]).max() < 0.01
    assert greys[[0, -1], 0] == pytest.approx([0, 100])


def test_a_difference_of_lightness_counts_half_and_hue_more_than_chroma() -> None:
    red = np.array([50.0, 60.0, 0.0])
    lighter, deeper = red + np.array([10, 0, 0]), red + np.array([0, 10, 0])
    turned = np.array([50.0, 60 * np.cos(1 / 6), 60 * np.sin(1 / 6)])
    away = [float(difference(each, red)) for each in (red, lighter, deeper, turned)]
    assert away == pytest.approx([0, 5, 10 / 3.7, 60 * 2 * np.sin(1 / 12) / 1.9], abs=0.02)
