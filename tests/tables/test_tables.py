"""The tables: every row has its source, the figures hang together, the standards' values stand."""

import re
from importlib.resources import files

import pytest

from fusemap import tables
from fusemap.errors import InputProblem

ADDRESS = re.compile(r"https?:|www\.|github|\.com\b|\.html?\b|docId|\bid=|scribd", re.IGNORECASE)


@pytest.mark.parametrize("info", tables.all_tables(), ids=lambda info: info.key)
def test_every_row_has_a_source_and_a_status(info: tables.TableInfo) -> None:
    assert info.rows
    source, status = info.columns.index("source"), info.columns.index("status")
    for row in info.rows:
        assert row[source].strip()
        assert row[status] in tables.STATUSES
        assert len(row) == len(info.columns)
        assert not ADDRESS.search(" ".join(row)), row


def test_every_table_that_ships_is_listed() -> None:
    shipped = {
        entry.name.removesuffix(".csv")
        for entry in files("fusemap.resources.tables").iterdir()
        if entry.name.endswith(".csv")
    }
    assert shipped == {info.key for info in tables.all_tables()}


def test_a_memory_row_says_so_when_quoted() -> None:
    quoted = tables.Source("A data sheet", "memory").words
    assert "memory" in quoted
    assert "unverified" in quoted


def test_ratings_rise_and_resistance_falls_with_them() -> None:
    for family in tables.fuse_families().values():
        ratings = family.ratings_a
        assert list(ratings) == sorted(set(ratings))
        known = [tables.fuse_resistance(family.key, rating) for rating in ratings]
        cold = [k.cold_mohm for k in known if k is not None]
        assert cold == sorted(cold, reverse=True)


def test_no_family_borrows_a_resistance() -> None:
    assert tables.fuse_resistance("micro2", 10.0) is None
    assert tables.fuse_resistance("cartridge", 40.0) is None


@pytest.mark.parametrize(
    ("rating", "name"),
    [
        (2.0, "grey"),
        (3.0, "violet"),
        (4.0, "pink"),
        (5.0, "tan"),
        (7.5, "brown"),
        (10.0, "red"),
        (15.0, "blue"),
        (20.0, "yellow"),
        (25.0, "clear"),
        (30.0, "green"),
    ],
)
def test_blade_colours_follow_the_standard(rating: float, name: str) -> None:
    """JASO D 612-97, table 1 (the same colours as ISO 8820-3)."""
    for family in ("mini", "regular"):
        colour = tables.fuse_colour(family, rating)
        assert colour is not None
        assert colour.name == name


def test_blade_fuses_have_the_sizes_of_their_data_sheets() -> None:
    """Littelfuse 297 (mini), 287 (regular) and 299 (maxi) data sheets: width of the body [mm]."""
    wide = {key: body[0] for key, body in tables.fuse_bodies().items()}
    assert (wide["mini"], wide["regular"], wide["maxi"]) == (10.9, 19.1, 29.2)
    assert set(wide) <= set(tables.fuse_families())


def test_a_rating_can_be_read_on_every_colour() -> None:
    for family in tables.fuse_families().values():
        for rating in family.ratings_a:
            colour = tables.fuse_colour(family.key, rating)
            if colour is not None:
                assert tables.contrast(colour.hex, colour.text_hex) >= 4.5


def test_operating_times_fall_as_the_current_rises() -> None:
    for family in tables.fuse_families().values():
        for rating in family.ratings_a:
            points = tables.fuse_time_points(family.key, rating)
            if points is None:
                continue
            assert list(points.multiple) == sorted(set(points.multiple))
            assert list(points.max_s) == sorted(points.max_s, reverse=True)
            assert all(low <= high for low, high in zip(points.min_s, points.max_s, strict=True))


def test_the_regular_size_carries_less_when_hot() -> None:
    """Littelfuse ATOF 287 data sheet: 25 A is allowed 23 A at 20 °C and 19 A at 65 °C."""
    table = tables.fuse_temperature_table("regular")
    assert table is not None
    by_column = dict(zip(table.columns_c, table.allowed_a[25.0], strict=True))
    assert (by_column[20.0], by_column[65.0]) == (23.0, 19.0)


def test_thicker_cable_has_less_resistance_and_more_girth() -> None:
    sections = tables.standard_sections()
    areas = [s.area_mm2 for s in sections]
    assert areas == sorted(set(areas))
    resistance = [s.r20_mohm_per_m for s in sections]
    assert resistance == sorted(resistance, reverse=True)
    assert [s.od_mm for s in sections] == sorted(s.od_mm for s in sections)


def test_table_resistance_is_above_that_of_solid_copper() -> None:
    """IEC 60028: 0.017241 Ω·mm²/m; a stranded conductor has 4 to 31 % more for its section."""
    ideal = 17.241
    for conductor in tables.conductors():
        assert 1.03 < conductor.r20_mohm_per_m * conductor.area_mm2 / ideal < 1.32


def test_rest_voltage_rises_with_charge() -> None:
    for chemistry in tables.battery_chemistries():
        curve = tables.rest_voltage(chemistry)
        assert list(curve.soc) == sorted(set(curve.soc))
        assert list(curve.volts) == sorted(curve.volts)
        assert (curve.soc[0], curve.soc[-1]) == (0.0, 1.0)


def test_every_rule_has_its_default_inside_its_span() -> None:
    for rule in tables.rule_defaults().values():
        assert rule.low <= rule.value <= rule.high
        assert rule.label
        assert rule.what


def test_accessory_kinds_have_a_typical_figure_within_their_range() -> None:
    kinds = tables.accessory_kinds()
    assert len(kinds) >= 22
    assert len({kind.key for kind in kinds}) == len(kinds)
    for kind in kinds:
        assert kind.low <= kind.typical <= kind.high
        assert kind.standby_low_a <= kind.standby_a <= kind.standby_high_a
        assert kind.unit in ("W", "A")
        assert kind.leads[0] == "power"


def test_an_unknown_name_is_answered_with_those_there_are() -> None:
    with pytest.raises(InputProblem, match="mini"):
        tables.fuse_family("midi-ish")
    with pytest.raises(InputProblem, match="continuous_share"):
        tables.rule_default("share")


def test_a_table_is_read_once() -> None:
    from fusemap.tables.reading import rows

    assert rows("rules") is rows("rules")
