"""Fuse tables: what is known of a figure is said; two ways to the same figure agree."""

import pytest

from fusemap import tables
from fusemap.electrics.fuses import pulse_share
from fusemap.tables.fuses import luminance
from fusemap.tables.reading import required, rows


def test_white_on_black_has_the_greatest_contrast() -> None:
    """W3C, Web Content Accessibility Guidelines 2.1: 21 to 1; #767676 on white is 4.54 to 1."""
    assert tables.contrast("#ffffff", "#000000") == pytest.approx(21.0)
    assert tables.contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.01)
    assert luminance("#ffffff") == pytest.approx(1.0)


def test_a_drop_from_memory_is_not_passed_off_as_read() -> None:
    """The 15 A regular fuse: its cold resistance was read, its drop at full rating was not."""
    fuse = tables.fuse_resistance("regular", 15.0)
    assert fuse is not None
    assert fuse.source.status == "seen"
    assert fuse.drop_source is not None
    assert fuse.drop_source.status == "memory"
    assert "unverified" in fuse.words


def test_a_fuse_read_in_full_is_quoted_by_its_sheet_alone() -> None:
    fuse = tables.fuse_resistance("mini", 10.0)
    assert fuse is not None
    assert fuse.words == "Littelfuse MINI blade fuse 32 V, series 297 data sheet"


def test_a_figure_has_a_source_and_no_figure_has_none() -> None:
    for family in tables.fuse_families().values():
        for rating in family.ratings_a:
            fuse = tables.fuse_resistance(family.key, rating)
            if fuse is not None:
                assert (fuse.drop_at_rated_mv is None) == (fuse.drop_source is None)
                assert (fuse.melting_i2t_a2s is None) == (fuse.melting_source is None)


def test_a_mini_fuse_at_full_rating_has_about_half_more_resistance() -> None:
    """The mean hot to cold ratio of the ten ratings of the data sheet is 1.49."""
    ratings = tables.fuse_family("mini").ratings_a
    known = [tables.fuse_resistance("mini", rating) for rating in ratings]
    ratios = [fuse.hot_to_cold for fuse in known if fuse is not None]
    assert sum(ratios) / len(ratios) == pytest.approx(1.49, abs=0.005)


def test_the_melting_figure_rises_with_the_rating() -> None:
    for family in tables.fuse_families().values():
        known = [tables.fuse_resistance(family.key, rating) for rating in family.ratings_a]
        melting = [fuse.melting_i2t_a2s for fuse in known if fuse and fuse.melting_i2t_a2s]
        assert melting == sorted(set(melting))


def test_every_point_of_an_operating_time_has_its_source() -> None:
    points = tables.fuse_time_points("regular", 20.0)
    assert points is not None
    assert len(points.sources) == len(points.multiple)
    assert points.sources[points.multiple.index(6.0)].status == "memory"
    assert points.source.status == "seen"


def test_a_stalled_motor_is_only_bracketed_by_a_ten_ampere_fuse() -> None:
    """Littelfuse ATOF 287 data sheet: 160 % opens in 0.25 to 50 s, 200 % in 0.15 to 5 s."""
    points = tables.fuse_time_points("regular", 10.0)
    assert points is not None
    found = dict(zip(points.multiple, zip(points.min_s, points.max_s, strict=True), strict=True))
    assert found[1.6] == (0.25, 50.0)
    assert found[2.0] == (0.15, 5.0)


def test_every_loaded_pulse_table_row_lowers_the_share() -> None:
    """Littelfuse fuse catalogue 2017: 48, 38, 29, 22 % for 100 to 100 000 pulses."""
    listed = {
        required(row, "pulses"): required(row, "share_of_melting_i2t")
        for row in rows("fuse_pulses")
    }
    assert listed == {100: 0.48, 1_000: 0.38, 10_000: 0.29, 100_000: 0.22}
    assert pulse_share(list(listed)).tolist() == list(listed.values())


def test_the_mini_rerating_line_passes_its_third_reading() -> None:
    """Littelfuse 297 data sheet, rerating line: 92.38 % at 76.25 °C."""
    line = tables.fuse_rerating("mini")
    assert line is not None
    slope = (line.hot_factor - line.cold_factor) / (line.hot_c - line.cold_c)
    assert line.cold_factor + slope * (76.25 - line.cold_c) == pytest.approx(0.9238, abs=5e-4)


def test_cartridges_break_the_blade_colour_rule() -> None:
    blade, cartridge = tables.fuse_colour("mini", 30.0), tables.fuse_colour("cartridge", 30.0)
    assert blade is not None
    assert cartridge is not None
    assert blade.name != cartridge.name


def test_fuses_of_older_vehicles_take_no_tap() -> None:
    for key in ("glass", "ceramic"):
        assert not tables.fuse_family(key).has_two_fuse_tap
