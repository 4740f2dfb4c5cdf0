"""Worked cable examples of published documents, each named beside its check."""

import numpy as np
import pytest

from fusemap.electrics.cable import (
    allowed_length,
    awg_area_mm2,
    awg_from_area,
    resistance_factor,
    resistance_ohm,
    section_for_drop,
    voltage_drop,
)
from fusemap.electrics.cable_heat import ampacity
from fusemap.electrics.fuses import share_limit
from fusemap.electrics.loads import watts_to_amperes
from fusemap.electrics.protection import adiabatic_current, adiabatic_k, adiabatic_section

FOOT_M = 0.3048
CIRCULAR_MIL_MM2 = np.pi / 4.0 * 0.0254**2


def drop_over_feet(ohm_per_ft: float, feet: float, amperes: float) -> float:
    milliohm_per_m = ohm_per_ft * 1000.0 / FOOT_M
    return voltage_drop(amperes, resistance_ohm(milliohm_per_m, feet * FOOT_M))


@pytest.mark.parametrize(
    ("ohm_per_ft", "feet", "printed_v", "close"),
    [
        # FAA AC 43.13-1B CHG 1, Table 11-7, row 1: No. 6, 20 A, 1 V allowed
        (0.00044, 107.0, 0.942, 0.001),
        # same table, row 3: No. 12; printed 3.60 V, its own figures give 3.555 V
        (0.00202, 88.0, 3.60, 0.015),
        # FAA AC 43.13-1B CHG 1, Table 11-8, row 1: No. 10 at the printed length
        (0.00126, 39.0, 0.98, 0.004),
        # same table, row 3
        (0.00126, 156.0, 3.93, 0.001),
    ],
)
def test_aircraft_wire_at_20_a(ohm_per_ft, feet, printed_v, close):
    assert drop_over_feet(ohm_per_ft, feet, 20.0) == pytest.approx(printed_v, rel=close)


@pytest.mark.parametrize(("drop_v", "printed_ft"), [(1.0, 39.0), (4.0, 156.0)])
def test_longest_aircraft_wire_at_20_a(drop_v, printed_ft):
    # FAA AC 43.13-1B CHG 1, Table 11-8, rows 1 and 3, printed on the short side
    exact_ft = allowed_length(drop_v, 20.0, 0.00126 * 1000.0 / FOOT_M) / FOOT_M
    assert printed_ft <= exact_ft < 1.02 * printed_ft


def test_bilge_pump_cable_by_circular_mils():
    # ABYC E-11, CM = K·I·L/E with K = 10.75; worked by a chandler for 10 A, 21 ft, 0.36 V: 6271
    ohm_mm2_per_m = 10.75 * CIRCULAR_MIL_MM2 / FOOT_M
    section = section_for_drop(21.0 * FOOT_M, 10.0, 0.36, ohm_mm2_per_m)
    assert section / CIRCULAR_MIL_MM2 == pytest.approx(6271.0, abs=1.0)
    assert 12.0 <= awg_from_area(section) < 14.0  # the next gauge on sale that has enough is 12
    assert awg_area_mm2(12) >= section
    assert section > 5833.0 * CIRCULAR_MIL_MM2  # SAE 12 is too thin, so one size up


def test_lamp_at_18_m_needs_2_5_mm2():
    # a chandler's guide to wire and terminals: 25 W (2.1 A), 5 % of 12 V, conductivity 56
    assert watts_to_amperes(25.0, 12.0) == pytest.approx(2.1, abs=0.05)
    section = section_for_drop(2 * 18.0, 2.1, 0.6, 1.0 / 56.0)
    assert 1.5 < section <= 2.5
    assert section == pytest.approx(2.25)


def test_50_w_over_5_m_of_1_5_mm2():
    # a UK trade guide's cable size chart: 4.17 A, 0.0127 Ω/m, body return, 0.265 V = 2.21 %
    current = watts_to_amperes(50.0, 12.0)
    drop = voltage_drop(current, resistance_ohm(12.7, 5.0))
    assert current == pytest.approx(4.17, abs=0.005)
    assert drop == pytest.approx(0.265, abs=0.0005)
    assert drop / 12.0 == pytest.approx(0.0221, abs=0.0001)


@pytest.mark.parametrize(
    ("milliohm_per_m", "amperes", "printed_v"),
    # a UK trailer-wiring cable data page, volts lost over 5 m of single cable at its rating
    [(29.4, 5.75, 0.845), (12.5, 12.75, 0.797), (7.5, 21.75, 0.816)],
)
def test_trailer_cable_over_5_m(milliohm_per_m, amperes, printed_v):
    drop = voltage_drop(amperes, resistance_ohm(milliohm_per_m, 5.0))
    assert drop == pytest.approx(printed_v, abs=0.0006)


def test_18_gauge_pair_over_1000_ft():
    # a wire maker's voltage-loss table: 12.78 V at 1 A; 6.385 Ω per 1000 ft by its AWG table
    assert 2.0 * drop_over_feet(0.006385, 1000.0, 1.0) == pytest.approx(12.78, abs=0.015)


def test_starter_cables_of_one_table_have_one_resistance():
    # a marine engine maker's installation manual, p. 38: loop 1.3 m 25 mm², 1.8 m 35 mm²
    lengths = np.array([1.3, 1.8])
    at_limit = 0.017241 * 1.3 / 25.0  # what the first row allows
    assert section_for_drop(lengths, 1.0, at_limit) == pytest.approx([25.0, 35.0], rel=0.012)


def test_charging_cables_of_one_table_have_one_resistance():
    # same manual: loop 2.5 m 25, 3.5 m 35, 5 m 50, 7 m 70 mm²
    at_limit = 0.017241 * 2.5 / 25.0
    sections = section_for_drop(np.array([2.5, 3.5, 5.0, 7.0]), 1.0, at_limit)
    assert sections == pytest.approx([25.0, 35.0, 50.0, 70.0])


def test_engine_space_takes_15_percent_off_a_105_c_cable():
    # 33 CFR 183.425, Table 5 and note 1: 10 AWG 105 °C, 60 A at 30 °C, factor 0.85 at 50 °C: 51 A
    cool, hot = ampacity(105.0, 4.134, 5.32, 4.9, np.array([30.0, 50.0]))
    assert hot / cool == pytest.approx(0.85, abs=0.01)
    assert 60.0 * hot / cool == pytest.approx(51.0, abs=0.6)


def test_permanent_current_is_70_percent_of_the_fuse():
    # a body-builder guide (2015), table of fuses, permanent currents and sections at 40 °C
    fuses = np.array([5, 7.5, 10, 15, 20, 25, 30, 50, 60, 70, 80, 90, 100, 125, 150, 200])
    printed = [3.5, 5.0, 7, 10.5, 14, 17.5, 21, 35, 42, 49, 56, 63, 70, 87.5, 105, 140]
    # 7.5 A: 5.25 A, printed 5.0
    assert share_limit(fuses, 40.0, share=0.70) == pytest.approx(printed, abs=0.26)


@pytest.mark.parametrize(
    ("area_mm2", "printed_a"),
    # a cable maker's data sheet, tinned copper, EPR 90 to 250 °C, 0.6/1 kV: 1 s short circuit
    [(1.5, 210.0), (4.0, 570.0), (10.0, 1430.0), (25.0, 3580.0)],
)
def test_one_second_short_of_epr_cable(area_mm2, printed_a):
    k = adiabatic_k(90.0, 250.0)
    assert adiabatic_current(area_mm2, 1.0, k) == pytest.approx(printed_a, rel=0.025)


def test_section_for_12_ka_over_20_ms():
    # a public short-circuit sizing text: k 143, 11.9 mm², so 16 mm²
    assert adiabatic_section(12_000.0, 0.02, 143.0) == pytest.approx(11.9, abs=0.05)


def test_fusing_current_of_16_gauge_in_5_s():
    # Onderdonk's equation, 2581 circular mils, 25 to 1083 °C: 168.9 A. A public worked example
    # prints 178 A because it takes 234 - 25 for 234 + 25.
    section = 2581.0 * CIRCULAR_MIL_MM2
    fusing = adiabatic_current(section, 5.0, adiabatic_k(25.0, 1083.0))
    assert fusing == pytest.approx(168.9, rel=0.005)
    assert fusing == pytest.approx(178.0, rel=0.06)


@pytest.mark.parametrize(("temperature_c", "printed"), [(60.0, 0.862), (90.0, 0.781)])
def test_back_to_20_c(temperature_c, printed):
    # IEC 60228, temperature factors; its table follows 250/(230 + t), 0.3 % beside IEC 60028
    assert 1.0 / resistance_factor(temperature_c) == pytest.approx(printed, rel=0.005)


def test_temperature_correction_of_a_length_has_the_faa_form():
    # FAA AC 43.13-1B CHG 1, p. 11-22: L2 = 254.5·L1/(234.5 + T2); formula only
    temperatures = np.array([20.0, 60.0, 105.0, 150.0, 182.0])
    printed_form = 254.5 / (234.5 + temperatures)
    assert 1.0 / resistance_factor(temperatures) == pytest.approx(printed_form, rel=0.001)
