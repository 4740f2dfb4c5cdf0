"""Conductor tables against geometry, and against each other."""

from math import pi

import pytest

from fusemap import tables
from fusemap.electrics.cable import awg_area_mm2
from fusemap.errors import InputProblem

STRANDS = {
    0.35: (12, 0.20),
    0.5: (16, 0.20),
    0.75: (24, 0.20),
    1.0: (32, 0.20),
    1.5: (30, 0.25),
    2.0: (30, 0.30),
    2.5: (50, 0.25),
    3.0: (45, 0.31),
    4.0: (56, 0.30),
    6.0: (84, 0.30),
    16.0: (126, 0.40),
}
"""Strands and their diameter [mm] by section [mm²].

Source: data sheet of a cable maker, thin-wall PVC vehicle cable FLRY-B to ISO 6722.
"""


@pytest.mark.parametrize("area", STRANDS)
def test_the_allowed_resistance_leaves_little_above_that_of_the_strands(area: float) -> None:
    """IEC 60028 copper in the sheet's strands; their diameter is the largest, so 6 to 22 % more."""
    count, diameter = STRANDS[area]
    copper = tables.copper()["resistivity_20c"] * 1000 / (count * pi / 4 * diameter**2)
    assert 1.06 < tables.section(area).r20_mohm_per_m / copper < 1.22


def test_the_sections_one_sizes_by_were_read() -> None:
    """The usual sections rest on read sheets, not on memory."""
    for area in (*STRANDS, 10.0, 50.0, 70.0):
        assert tables.section(area).source.status == "seen"


def test_a_section_that_is_not_made_is_answered_with_those_that_are() -> None:
    with pytest.raises(InputProblem, match=r"2\.5, 3, 4"):
        tables.section(3.5)


def test_gauge_areas_follow_the_gauge_formula() -> None:
    """ASTM B258 by our own formula, itself checked against fluids."""
    for gauge in tables.gauges():
        noughts = gauge.awg.endswith("/0")
        number = 1 - int(gauge.awg[0]) if noughts else int(gauge.awg)
        assert gauge.area_mm2 == pytest.approx(awg_area_mm2(number), rel=5e-4)


def test_sae_gauges_hold_less_copper() -> None:
    """5 to 11 % less than the wire gauge of the same number."""
    shares = [g.sae_area_mm2 / g.area_mm2 for g in tables.gauges() if g.sae_area_mm2]
    assert len(shares) == 11
    assert all(0.89 < share < 0.95 for share in shares)


def test_a_section_is_bought_as_the_next_gauge_that_is_sold_with_no_less_copper() -> None:
    for section in tables.standard_sections():
        gauge = tables.traded_gauge(section.area_mm2)
        assert gauge is not None
        assert (gauge.sae_area_mm2 or gauge.area_mm2) >= section.area_mm2
        assert gauge.awg.endswith("/0") or int(gauge.awg) % 2 == 0
    assert tables.traded_gauge(120.0) is None


def test_more_cables_together_carry_less_each() -> None:
    bundles = [d for d in tables.deratings() if d.from_count is not None]
    for kind in {d.kind for d in bundles}:
        factors = [d.factor for d in bundles if d.kind == kind]
        assert factors == sorted(factors, reverse=True)
        assert all(0 < factor <= 1 for factor in factors)


def test_ambient_factors_follow_the_square_root_of_what_is_left() -> None:
    """IEC 60364-5-52, table B.52.14: √((limit − ambient) ÷ (limit − 30 °C)), rounded."""
    ambient = [d for d in tables.deratings() if d.kind == "ambient"]
    assert len(ambient) == 11
    for row in ambient:
        assert row.conductor_c is not None
        assert row.ambient_c is not None
        ideal = ((row.conductor_c - row.ambient_c) / (row.conductor_c - 30)) ** 0.5
        assert row.factor == pytest.approx(ideal, abs=0.006)


def test_a_published_current_rises_with_the_section() -> None:
    groups: dict[tuple[object, ...], list[tuple[float, float]]] = {}
    for row in tables.ampacities():
        if "range" not in row.arrangement:
            where = (row.table, row.conductor_c, row.ambient_c, row.arrangement)
            groups.setdefault(where, []).append((row.area_mm2, row.current_a))
    assert len(groups) >= 15
    for found in groups.values():
        currents = [current for _, current in sorted(found)]
        assert currents == sorted(currents)


def test_a_guide_s_permanent_current_is_seventy_per_cent_of_its_fuse() -> None:
    """A body-builder guide (2015): the rule it states, held by each of its rows."""
    rows = [row for row in tables.ampacities() if "body-builder" in row.table]
    share = tables.rule_default("cable_share_of_fuse").value
    assert len(rows) == 16
    for row in rows:
        fuse = float(row.arrangement.rpartition("fuse ")[2].removesuffix(" A"))
        assert row.current_a == pytest.approx(share * fuse, rel=0.05)


def test_an_insulation_bears_more_the_shorter_it_lasts() -> None:
    for cover in tables.insulations().values():
        assert cover.limit_c < cover.overload_limit_c < cover.short_end_c


def test_a_joint_s_usual_resistance_lies_in_its_range() -> None:
    for joint in tables.joints().values():
        if joint.typical_mohm is not None:
            assert joint.low_mohm is not None
            assert joint.high_mohm is not None
            assert joint.low_mohm <= joint.typical_mohm <= joint.high_mohm


def test_a_tap_that_cuts_strands_is_at_home_nowhere() -> None:
    assert tables.joints()["insulation_displacement"].places == ()
    assert "engine_bay" in tables.joints()["butt_crimp"].places
