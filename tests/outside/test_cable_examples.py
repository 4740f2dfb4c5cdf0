"""Worked cable examples of published documents, each named beside its check."""

import numpy as np
import pytest

from fusemap import tables
from fusemap.advise.chain_sizing import SizedChain, Wanted, size_chain
from fusemap.assess import Assessment, assess
from fusemap.electrics.cable import (
    loop_resistance,
    nearest_awg,
    resistance_factor,
    resistance_ohm,
)
from fusemap.electrics.cable_heat import ampacity
from fusemap.electrics.protection import adiabatic_k, short_check
from fusemap.vehicle import Battery, Cable, Fuse, Vehicle, edits

FOOT_M = 0.3048
CIRCULAR_MIL_MM2 = np.pi / 4.0 * 0.0254**2
BODY_AND_JOINT_OHM = 0.006
"""Earth point 5 mΩ and joint 1 mΩ, which a printed drop of a bare cable leaves out."""


def drop_over_feet(ohm_per_ft: float, feet: float, amperes: float) -> float:
    """Of a wire that is in no vehicle's table: only its resistance can be asked for."""
    milliohm_per_m = ohm_per_ft * 1000.0 / FOOT_M
    return amperes * resistance_ohm(milliohm_per_m, feet * FOOT_M)


def own_feed(amperes: float, section_mm2: float, out_m: float, **way: object) -> Assessment:
    """A load of constant current straight from the battery, its cable in 20 °C, back by body."""
    vehicle = Vehicle(name="Bench", battery=Battery(capacity_ah=70.0, soh=1.0))
    vehicle = edits.set_rule(vehicle, "ambient_cabin_c", 20.0)
    vehicle = edits.add_accessory(
        vehicle, "Load", amperes=amperes, rated_v=12.0, load_kind="constant_current"
    )
    cable = Cable(section_mm2=section_mm2, length_m=out_m)
    return assess(edits.place(vehicle, "accessory-1", cable_out=cable, earth_point="bolt", **way))


def lost_v(a: Assessment) -> float:
    """Between the battery and the load [V], as the window shows it."""
    return float(a.taps.drop_v.max())


def drops_of_the_cable_alone(sized: SizedChain, fuse_v: float) -> dict[float, float]:
    """Drop [V] of every section that `fusemap chain` lists, less fuse and the joints at both ends.

    fuse_v: drop of the fuse at its rating by its data sheet.
    """
    assert sized.cable is not None
    assert sized.rating_a is not None
    ohm = fuse_v / sized.rating_a + 2 * 0.001
    found = np.asarray(sized.cable.checks["drop"].found) - sized.load_a * ohm
    areas = [section.area_mm2 for section in tables.standard_sections()]
    return dict(zip(areas, found.tolist(), strict=True))


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
    assert drop_over_feet(0.00126, printed_ft, 20.0) <= drop_v
    assert drop_over_feet(0.00126, 1.02 * printed_ft, 20.0) > drop_v


def test_bilge_pump_cable_by_circular_mils():
    # ABYC E-11, CM = K·I·L/E with K = 10.75; worked by a chandler for 10 A, 21 ft, 0.36 V: 6271,
    # and SAE 12 with 5833 is too thin, so one size up. 98 mV: Littelfuse MINI 297, 15 A
    metres = 21.0 * FOOT_M / 2.0
    sized = size_chain(
        Wanted(
            amperes=10.0,
            load_kind="constant_current",
            out_m=metres,
            back_m=metres,
            drop_share=0.03,
            ambient_c=20.0,
        )
    )
    assert sized.rating_a == 15.0
    alone = drops_of_the_cable_alone(sized, 0.098)
    # K is of warm stranded copper; a table's greatest resistance and 10 A of heat: within 15 %
    for area in (2.5, 3.0, 4.0, 6.0):
        printed = 10.75 * 10.0 * 21.0 / (area / CIRCULAR_MIL_MM2)
        assert alone[area] == pytest.approx(printed, rel=0.15)
    assert alone[3.0] > 0.36 * 0.95
    assert alone[4.0] < 0.36  # the next one on sale above 6271 circular mils or 3.18 mm²
    assert sized.area_mm2 >= 4.0  # fuse and joints want their part of the 0.36 V too


def test_lamp_at_18_m_needs_2_5_mm2():
    # a chandler's guide to wire and terminals: 25 W (2.1 A), 5 % of 12 V, conductivity 56: 2.25 mm²
    sized = size_chain(
        Wanted(
            watts=25.0,
            rated_v=12.0,
            load_kind="constant_current",
            out_m=18.0,
            back_m=18.0,
            drop_share=0.05,
            ambient_c=20.0,
        )
    )
    assert sized.load_a == pytest.approx(2.1, abs=0.05)
    alone = drops_of_the_cable_alone(sized, 0.153)  # Littelfuse MINI 297, 3 A: 153 mV
    assert min(area for area, volts in alone.items() if volts <= 0.6) == 2.5
    # 36 m of 2.1 A by that conductivity; stranded cable may resist 5 to 11 % more (ISO 6722)
    for area in (1.5, 2.5, 4.0):
        assert alone[area] == pytest.approx(36.0 * 2.083 / 56.0 / area, rel=0.11)


def test_50_w_over_5_m_of_1_5_mm2():
    # a UK trade guide's cable size chart: 4.17 A, 0.0127 Ω/m, body return, 0.265 V = 2.21 %
    a = own_feed(50.0 / 12.0, 1.5, 5.0)
    assert a.taps.current_a.max() == pytest.approx(4.17, abs=0.005)
    # 4.2 A warm the copper by some 4 K, 2 % of its resistance
    cable_v = lost_v(a) - 4.167 * BODY_AND_JOINT_OHM
    assert cable_v == pytest.approx(0.265, rel=0.02)
    assert cable_v / 12.0 == pytest.approx(0.0221, abs=0.0005)


@pytest.mark.parametrize(
    ("section_mm2", "amperes", "printed_v"),
    # a UK trailer-wiring cable data page, volts lost over 5 m of single cable at its rating; the
    # vehicle table's copper resists 1.5 % more. Its cold figures, so warm copper is taken off
    [(1.5, 12.75, 0.797), (2.5, 21.75, 0.816)],
)
def test_trailer_cable_over_5_m(section_mm2, amperes, printed_v):
    a = own_feed(amperes, section_mm2, 5.0)
    warm_c = float(a.circuit.cables.out.temperature_c(np.array([amperes]))[0])
    cold_v = (lost_v(a) - amperes * BODY_AND_JOINT_OHM) / (1.0 + 0.00393 * (warm_c - 20.0))
    assert warm_c > 30.0
    assert cold_v == pytest.approx(printed_v, rel=0.02)


def test_18_gauge_pair_over_1000_ft():
    # a wire maker's voltage-loss table: 12.78 V at 1 A; 6.385 Ω per 1000 ft by its AWG table
    assert 2.0 * drop_over_feet(0.006385, 1000.0, 1.0) == pytest.approx(12.78, abs=0.015)


def loops(metres_by_section: dict[float, float]) -> np.ndarray:
    """Resistance [Ω] of each loop, out and back alike, by the table the program reckons with."""
    r20 = {row.area_mm2: row.r20_mohm_per_m for row in tables.standard_sections()}
    halves = {area: metres / 2.0 for area, metres in metres_by_section.items()}
    return np.array([loop_resistance(r20[area], half, half) for area, half in halves.items()])


@pytest.mark.parametrize(
    "metres_by_section",
    [
        # a marine engine maker's installation manual, p. 38: starter cables of one resistance
        {25.0: 1.3, 35.0: 1.8},
        # same manual, charging cables of one resistance
        {25.0: 2.5, 35.0: 3.5, 50.0: 5.0, 70.0: 7.0},
    ],
)
def test_cables_of_one_line_of_a_table_have_one_resistance(metres_by_section):
    # rounded lengths, and no section has exactly its nominal copper: within 3 % of their mean
    found = loops(metres_by_section)
    assert found == pytest.approx(np.full(len(found), found.mean()), rel=0.03)


def test_engine_space_takes_15_percent_off_a_105_c_cable():
    # 33 CFR 183.425, Table 5 and note 1: 10 AWG 105 °C, 60 A at 30 °C, factor 0.85 at 50 °C: 51 A
    cool, hot = ampacity(105.0, 4.134, 5.32, 4.9, np.array([30.0, 50.0]))
    assert hot / cool == pytest.approx(0.85, abs=0.01)
    assert 60.0 * hot / cool == pytest.approx(51.0, abs=0.6)


@pytest.mark.parametrize(
    ("rating", "printed_a"),
    # a body-builder guide (2015), table of fuses and permanent currents; 7.5 A: 5.25 A, printed 5.0
    [(5.0, 3.5), (7.5, 5.0), (10.0, 7.0), (15.0, 10.5), (20.0, 14.0), (25.0, 17.5), (30.0, 21.0)],
)
def test_permanent_current_is_70_percent_of_the_fuse(rating, printed_a):
    vehicle = own_feed(1.0, 6.0, 2.0, fuse=Fuse(family="mini", rating=rating)).vehicle
    vehicle = edits.change_accessory(vehicle, "accessory-1", works_in=("asleep", "awake"))
    hops = assess(vehicle).chains["tap-1"].hops
    lasting = next(hop for hop in hops if hop.key == "lasting")
    assert lasting.limit == pytest.approx(printed_a, abs=0.26)


def share_of_what_it_bears(amperes: float, seconds: float, area_mm2: float, k: float) -> float:
    """Current over what the section bears so long, by the program's check of a hard short."""
    return float(short_check(amperes**2 * seconds, area_mm2, k).ratio) ** 0.5


@pytest.mark.parametrize(
    ("area_mm2", "printed_a"),
    # a cable maker's data sheet, tinned copper, EPR 90 to 250 °C, 0.6/1 kV: 1 s short circuit
    [(1.5, 210.0), (4.0, 570.0), (10.0, 1430.0), (25.0, 3580.0)],
)
def test_one_second_short_of_epr_cable(area_mm2, printed_a):
    k = adiabatic_k(90.0, 250.0)
    assert share_of_what_it_bears(printed_a, 1.0, area_mm2, k) == pytest.approx(1.0, rel=0.025)


def test_section_for_12_ka_over_20_ms():
    # a public short-circuit sizing text: k 143, 11.9 mm², so 16 mm²
    share = share_of_what_it_bears(12_000.0, 0.02, 11.9, 143.0)
    assert share == pytest.approx(1.0, abs=0.05 / 11.9)
    assert short_check(12_000.0**2 * 0.02, np.array([10.0, 16.0]), 143.0).passed.tolist() == [
        False,
        True,
    ]


def test_fusing_current_of_16_gauge_in_5_s():
    # Onderdonk's equation, 2581 circular mils, 25 to 1083 °C: 168.9 A. A public worked example
    # prints 178 A because it takes 234 - 25 for 234 + 25.
    section, k = 2581.0 * CIRCULAR_MIL_MM2, adiabatic_k(25.0, 1083.0)
    assert nearest_awg(section) == 16
    assert share_of_what_it_bears(168.9, 5.0, section, k) == pytest.approx(1.0, rel=0.005)
    assert share_of_what_it_bears(178.0, 5.0, section, k) == pytest.approx(1.0, rel=0.06)


@pytest.mark.parametrize(
    ("temperature_c", "printed"),
    [(5.0, 1.064), (40.0, 0.926), (60.0, 0.862), (85.0, 0.794), (90.0, 0.781), (100.0, 0.758)],
)
def test_back_to_20_c(temperature_c, printed):
    # IEC 60228, temperature factors; its table follows 250/(230 + t), 0.3 % beside IEC 60028
    assert 1.0 / resistance_factor(temperature_c) == pytest.approx(printed, rel=0.005)


def test_temperature_correction_of_a_length_has_the_faa_form():
    # FAA AC 43.13-1B CHG 1, p. 11-22: L2 = 254.5·L1/(234.5 + T2); formula only
    temperatures = np.array([20.0, 60.0, 105.0, 150.0, 182.0])
    printed_form = 254.5 / (234.5 + temperatures)
    assert 1.0 / resistance_factor(temperatures) == pytest.approx(printed_form, rel=0.001)
