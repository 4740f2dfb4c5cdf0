"""Gauge geometry against the AWG table of the package `fluids` and published AWG tables."""

import numpy as np
import pytest

from fusemap.electrics.cable import awg_from_area, nearest_awg
from fusemap.tables.reading import required, rows
from tests.outside.references import package

CIRCULAR_MIL_MM2 = np.pi / 4.0 * 0.0254**2

# gauge: circular mils; Ω per 1000 ft at 20 °C where printed (a wire maker's AWG table)
PRINTED_OHM_PER_1000_FT = {22: 16.14, 20: 10.15, 18: 6.385, 16: 4.016, 14: 2.525, 12: 1.588}


@pytest.mark.parametrize("gauge", [*range(0, 31), 36])
def test_diameters_agree_with_the_package_fluids(gauge):
    fluids = package("fluids")
    table_mm = fluids.t_from_gauge(gauge, SI=True, schedule="AWG") * 1000.0
    # the table is printed to a ten-thousandth of an inch: half of it either way; a gauge is 11.6 %
    half_a_print = 0.5 * 0.00254 / table_mm / np.log(92.0 ** (1.0 / 39.0))
    found = awg_from_area(np.pi / 4.0 * table_mm**2)
    assert found == pytest.approx(gauge, abs=half_a_print + 0.001)
    assert nearest_awg(np.pi / 4.0 * table_mm**2) == gauge


def test_resistance_of_solid_copper_by_gauge():
    # IEC 60028 copper of a wire maker's AWG table: the section that resists so much has that gauge
    ohm = np.array(list(PRINTED_OHM_PER_1000_FT.values()))
    gauges = awg_from_area(0.017241 * 304.8 / ohm)
    assert gauges == pytest.approx(list(PRINTED_OHM_PER_1000_FT), abs=0.005)


def test_sae_gauges_hold_five_to_eleven_percent_less_copper():
    # SAE circular mils as printed in two chandlers' catalogues
    sae = {18: 1537, 16: 2336, 14: 3702, 12: 5833, 10: 9343, 8: 14810, 6: 24538, 4: 37360}
    gauges, mils = np.array(list(sae)), np.array(list(sae.values()))
    solid = {row["awg"]: required(row, "area_mm2") for row in rows("gauges")}
    less = 1.0 - mils * CIRCULAR_MIL_MM2 / np.array([solid[str(gauge)] for gauge in gauges])
    assert less.min() > 0.05
    assert less.max() < 0.11


def test_twenty_gauges_finer_is_a_hundredth_of_the_section():
    # ASTM B258: 39 steps from 0000 of 0.46 inch to 36 of 0.005 inch
    thick, thin = (np.pi / 4.0 * (inch * 25.4) ** 2 for inch in (0.46, 0.005))
    assert awg_from_area(thick) == pytest.approx(-3.0)
    assert awg_from_area(thin) == pytest.approx(36.0)
    assert awg_from_area(thick / 100.0) == pytest.approx(17.0, abs=0.15)
