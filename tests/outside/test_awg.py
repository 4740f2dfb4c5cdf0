"""Gauge geometry against the AWG table of the package `fluids` and published AWG tables."""

import numpy as np
import pytest

from fusemap.electrics.cable import (
    RESISTIVITY20,
    awg_area_mm2,
    awg_diameter_mm,
    awg_from_area,
    nearest_awg,
)
from tests.outside.references import package

CIRCULAR_MIL_MM2 = np.pi / 4.0 * 0.0254**2

# gauge: circular mils; Ω per 1000 ft at 20 °C where printed (a wire maker's AWG table)
PRINTED_OHM_PER_1000_FT = {22: 16.14, 20: 10.15, 18: 6.385, 16: 4.016, 14: 2.525, 12: 1.588}


@pytest.mark.parametrize("gauge", [*range(0, 31), 36])
def test_diameters_agree_with_the_package_fluids(gauge):
    fluids = package("fluids")
    table_mm = fluids.t_from_gauge(gauge, SI=True, schedule="AWG") * 1000.0
    # the table is printed to a ten-thousandth of an inch: half of it either way
    assert awg_diameter_mm(gauge) == pytest.approx(table_mm, rel=1e-4, abs=0.5 * 0.00254 + 1e-6)


def test_resistance_of_solid_copper_by_gauge():
    # ASTM B258 geometry with IEC 60028 copper against a wire maker's AWG table
    gauges = np.array(list(PRINTED_OHM_PER_1000_FT))
    ohm = RESISTIVITY20 * 304.8 / awg_area_mm2(gauges)
    assert ohm == pytest.approx(list(PRINTED_OHM_PER_1000_FT.values()), rel=0.001)


def test_sae_gauges_hold_five_to_eleven_percent_less_copper():
    # SAE circular mils as printed in two chandlers' catalogues
    sae = {18: 1537, 16: 2336, 14: 3702, 12: 5833, 10: 9343, 8: 14810, 6: 24538, 4: 37360}
    gauges, mils = np.array(list(sae)), np.array(list(sae.values()))
    less = 1.0 - mils * CIRCULAR_MIL_MM2 / awg_area_mm2(gauges)
    assert less.min() > 0.05
    assert less.max() < 0.11


def test_a_gauge_comes_back_from_its_section():
    gauges = np.arange(-3.0, 40.0)
    assert awg_from_area(awg_area_mm2(gauges)) == pytest.approx(gauges, abs=1e-9)
    assert nearest_awg(awg_area_mm2(gauges)) == pytest.approx(gauges)


def test_twenty_gauges_finer_is_a_hundredth_of_the_section():
    # ASTM B258: 39 steps from 0000 to 36, diameters 92 to 1
    assert awg_diameter_mm(-3) / awg_diameter_mm(36) == pytest.approx(92.0)
    assert awg_diameter_mm(36) == pytest.approx(0.127)
