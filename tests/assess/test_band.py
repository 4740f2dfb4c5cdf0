"""The fuse's published band against the cable's damage curve, as arrays."""

import numpy as np
import pytest

from fusemap import tables
from fusemap.assess import assess
from fusemap.assess.band import Moment, TapBand, tap_band
from fusemap.vehicle import Cable, Fuse, edits
from tests.plain import plain
from tests.vehicles import one_slot, only_slot, with_accessory

TAP = {
    "fuse": Fuse(family="mini", rating=7.5),
    "cable_out": Cable(section_mm2=1.0, length_m=3.0),
    "earth_point": "bolt",
}


def band(amperes: float = 5.0, **tap: object) -> TapBand:
    return tap_band(assess(with_accessory(one_slot(), amperes, **(TAP | tap))), "tap-1")


def test_at_its_published_points_the_band_is_what_is_published() -> None:
    found = band().fuse
    row = tables.fuse_time_points("mini", 7.5)
    assert found is not None
    assert row is not None
    assert found.point_a == pytest.approx(np.array(row.multiple) * 7.5)
    assert list(found.point_max_s) == list(row.max_s)


def test_between_two_points_it_is_a_step_and_never_a_slope() -> None:
    found = band().fuse
    assert found is not None
    assert len(found.soonest_s) == len(found.latest_s) == len(found.edge_a) - 1
    for low, high, soonest, latest in zip(
        found.edge_a[:-1], found.edge_a[1:], found.soonest_s, found.latest_s, strict=True
    ):
        for current in (low * 1.001, (low * high) ** 0.5, high * 0.999):
            bracket = found.points.band(current / found.rating_a)
            assert (bracket.min_s, bracket.max_s) == (soonest, latest)


def test_what_is_not_published_is_open_on_both_ends() -> None:
    found = band().fuse
    assert found is not None
    assert found.latest_s[0] == np.inf
    assert found.soonest_s[-1] == 0.0


def test_the_cable_bears_its_load_for_good_and_a_short_for_a_moment() -> None:
    found = band()
    assert found.cable is not None
    assert found.cable.bears(np.array([found.load_a]))[0] == np.inf
    assert found.fault_a is not None
    assert found.cable.bears(np.array([found.fault_a]))[0] < 5.0


def test_the_curve_falls_and_has_both_sides_of_its_knee() -> None:
    found = band()
    currents, seconds = found.cable_curve()
    assert np.all(np.diff(currents) > 0)
    finite = seconds[np.isfinite(seconds)]
    assert np.all(np.diff(finite) <= 1e-9)
    assert found.cable is not None
    assert found.cable.knee_a in currents


def test_the_thinner_conductor_is_the_one_that_burns() -> None:
    found = band(cable_back=Cable(section_mm2=0.5, length_m=3.0)).cable
    assert found is not None
    assert found.area_mm2 == 0.5
    assert plain(found.name).startswith("0.5 mm²")


def test_a_host_fuse_in_series_has_a_band_of_its_own() -> None:
    assert band().host is None
    reversed_tap = band(way_round="load_side").host
    assert reversed_tap is not None
    assert reversed_tap.rating_a == 15.0


def test_without_a_fuse_of_its_own_the_host_protects_the_cable() -> None:
    found = band(fuse=None, kind="splice")
    assert found.fuse is not None
    assert (found.fuse.rating_a, found.host) == (15.0, None)


def test_load_and_fault_are_those_of_the_chain() -> None:
    vehicle = with_accessory(one_slot(), **TAP)
    a = assess(vehicle)
    found = tap_band(a, "tap-1")
    hops = {hop.key: hop for hop in a.chains["tap-1"].hops}
    assert found.load_a == pytest.approx(hops["accessory_fuse"].load)
    assert found.fault_a == pytest.approx(hops["far_end"].load * 7.5)


def test_both_lie_within_what_is_shown() -> None:
    for found in (band(), band(0.05), band(5.0, fuse=None, kind="splice")):
        low, high = found.span_a
        assert low < found.load_a < high
        assert found.fault_a is None or low < found.fault_a < high


def test_a_corner_of_the_band_below_the_curve_is_a_hop_that_holds() -> None:
    """The chart and the chain must not disagree at the published points beyond 5 s."""
    for section in (0.35, 0.5, 1.0):
        for rating in (5.0, 10.0, 15.0, 30.0):
            vehicle = with_accessory(
                one_slot(rating=30.0),
                2.0,
                fuse=Fuse(family="mini", rating=rating),
                cable_out=Cable(section_mm2=section, length_m=1.0),
            )
            a = assess(vehicle)
            found = tap_band(a, "tap-1")
            hop = next(h for h in a.chains["tap-1"].hops if h.key == "overload")
            moment = found.at(1.35 * rating)
            assert moment.cable_s is not None
            if moment.cable_s < 600.0:  # a mini fuse may carry 1.35 times its rating so long
                assert not hop.passed


@pytest.mark.parametrize(
    ("fuse_s", "cable_s", "said"),
    [
        ((0.1, 5.0), 8.0, "fuse_first"),
        ((0.1, 5.0), 2.0, "open"),
        ((0.5, 5.0), 0.2, "cable_first"),
        (None, 2.0, "unknown"),
        ((0.1, 5.0), None, "unknown"),
        ((0.1, np.inf), np.inf, "fuse_first"),
    ],
)
def test_what_comes_first_is_said_only_as_surely_as_it_is_known(fuse_s, cable_s, said) -> None:
    assert Moment(20.0, fuse_s, None, cable_s).verdict == said


def test_a_family_without_published_times_is_told_not_borrowed() -> None:
    found = band(fuse=Fuse(family="glass", rating=7.5))
    assert tables.fuse_time_points("glass", 7.5) is None
    assert found.fuse is None
    assert any("glass" in words for words in found.missing)


def test_a_tap_without_cable_or_fuse_says_so() -> None:
    found = band(fuse=None, cable_out=None, kind="two_fuse")
    assert set(found.missing) == {"no fuse protects this cable", "no cable is entered"}
    assert found.cable_curve()[0].size == 0
    assert found.at(10.0).verdict == "unknown"


def test_the_basis_names_the_fuse_and_the_sources() -> None:
    basis = band().basis
    assert plain(dict(basis.inputs)["Fuse"]) == "7.5 A mini"
    assert "IEC 60364-4-43" in basis.source
    assert "Littelfuse MINI" in basis.source


def test_a_sense_lead_behind_the_host_has_its_band_too() -> None:
    v = edits.add_accessory(one_slot(), "Light bar", watts=60.0, leads=("power", "sense"))
    v = edits.place(v, "accessory-1", "sense", slot=only_slot(v).id, kind="splice",
                    cable_out=Cable(section_mm2=0.5, length_m=2.0))  # fmt: skip
    found = tap_band(assess(v), v.taps[0].id)
    assert found.fuse is not None
    assert found.fuse.rating_a == 15.0
