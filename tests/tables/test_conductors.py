"""Conductor tables against geometry, and against each other."""

from math import pi

import pytest

from fusemap import tables
from fusemap.electrics.cable import awg_from_area
from fusemap.tables.reading import number, required, rows
from fusemap.units import sold_gauge

SECTIONS = {row.area_mm2: row for row in tables.standard_sections()}

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
    copper = 17.241 / (count * pi / 4 * diameter**2)
    assert 1.06 < SECTIONS[area].r20_mohm_per_m / copper < 1.22


def test_the_sections_one_sizes_by_were_read() -> None:
    """The usual sections rest on read sheets, not on memory."""
    for area in (*STRANDS, 10.0, 50.0, 70.0):
        assert SECTIONS[area].source.status == "seen"


def test_gauge_areas_follow_the_gauge_formula() -> None:
    """ASTM B258 by our own formula, itself checked against fluids."""
    for gauge in rows("gauges"):
        name = gauge["awg"]
        awg = 1 - int(name[0]) if name.endswith("/0") else int(name)
        # half a thousandth of the area is 0.002 of a gauge number
        assert awg_from_area(required(gauge, "area_mm2")) == pytest.approx(awg, abs=0.002)


def test_sae_gauges_hold_less_copper() -> None:
    """5 to 11 % less than the wire gauge of the same number."""
    found = [(number(g, "sae_area_mm2"), required(g, "area_mm2")) for g in rows("gauges")]
    shares = [sae / solid for sae, solid in found if sae is not None]
    assert len(shares) == 11
    assert all(0.89 < share < 0.95 for share in shares)


def test_a_section_is_bought_as_the_next_gauge_that_is_sold_with_no_less_copper() -> None:
    copper = {g["awg"]: number(g, "sae_area_mm2") or number(g, "area_mm2") for g in rows("gauges")}
    for area in SECTIONS:
        name = sold_gauge(area)
        assert name is not None
        assert (copper[name] or 0.0) >= area
        assert name.endswith("/0") or int(name) % 2 == 0
    assert sold_gauge(120.0) is None


def test_more_cables_together_carry_less_each() -> None:
    bundles = [row for row in rows("deratings") if row["from_count"]]
    for kind in {row["kind"] for row in bundles}:
        factors = [required(row, "factor") for row in bundles if row["kind"] == kind]
        assert factors == sorted(factors, reverse=True)
        assert all(0 < factor <= 1 for factor in factors)


def test_ambient_factors_follow_the_square_root_of_what_is_left() -> None:
    """IEC 60364-5-52, table B.52.14: √((limit − ambient) ÷ (limit − 30 °C)), rounded."""
    ambient = [row for row in rows("deratings") if row["kind"] == "ambient"]
    assert len(ambient) == 11
    for row in ambient:
        limit_c, ambient_c = required(row, "conductor_c"), required(row, "ambient_c")
        ideal = ((limit_c - ambient_c) / (limit_c - 30)) ** 0.5
        assert required(row, "factor") == pytest.approx(ideal, abs=0.006)


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
