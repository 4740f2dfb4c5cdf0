"""A fuse whose times nobody published still has a cable behind it that it must protect."""

import pytest

from fusemap import tables
from fusemap.advise.advice import tap_advice
from fusemap.assess import Chain, Hop, assess
from fusemap.assess.facts import protection
from fusemap.checks import findings
from fusemap.electrics.cable_heat import conductor_temperature, temperature_after
from fusemap.vehicle import Cable, Converter, Fuse, Vehicle, edits
from tests.plain import plain
from tests.vehicles import one_slot, only_slot, with_accessory

WITHOUT_TIMES = ("cartridge", "glass", "ceramic")


def behind(family: str, rating: float, mm2: float, **tap: object) -> Vehicle:
    return with_accessory(
        one_slot(),
        1.0,
        fuse=Fuse(family=family, rating=rating),
        cable_out=Cable(section_mm2=mm2, length_m=0.5),
        earth_point="bolt",
        **tap,
    )


def chain(vehicle: Vehicle) -> Chain:
    return assess(vehicle).chains["tap-1"]


def codes(vehicle: Vehicle) -> dict[str, str]:
    return {f.code: f.severity for f in findings(vehicle, assess(vehicle))}


@pytest.mark.parametrize("family", sorted(tables.fuse_families()))
def test_every_family_is_held_against_overload_short_and_far_end(family: str) -> None:
    for rating in tables.fuse_family(family).ratings_a:
        found = {hop.key for hop in chain(behind(family, rating, 1.5)).hops}
        assert {"overload", "short", "far_end"} <= found, (family, rating)


@pytest.mark.parametrize(
    ("family", "rating", "mm2"), [("cartridge", 60.0, 0.75), ("glass", 30.0, 0.5)]
)
def test_a_thin_cable_behind_a_fuse_of_unknown_times_is_a_stop(
    family: str, rating: float, mm2: float
) -> None:
    found = codes(behind(family, rating, mm2))
    assert found["cable_overload_gap"] == found["cable_short"] == "stop"


def test_an_overload_of_unknown_time_counts_as_for_good() -> None:
    """5 A ceramic on 4 mm²: 1.35 times the rating for good warms it as 6.75 A does."""
    hop = next(h for h in chain(behind("ceramic", 5.0, 4.0)).hops if h.key == "overload")
    row = next(r for r in tables.standard_sections() if r.area_mm2 == 4.0)
    warm = conductor_temperature(6.75, row.r20_mohm_per_m, 4.0, row.od_mm, 25.0)
    assert hop.load == pytest.approx(warm)
    points = dict(hop.basis.inputs)["Not published, reckoned with"]
    assert plain(points) == "1.35 × for good, 2 × for 50 s, 3.5 × for 7 s, 6 × for 1 s"
    assert "not published" in hop.basis.source


def test_the_fuse_that_stands_in_is_the_slowest_a_data_sheet_tells_of() -> None:
    """Its longest time at every multiple is at least that of every published family."""
    slowest = tables.slowest_fuse_times()
    longest = dict(zip(slowest.multiple, slowest.max_s, strict=True))
    for family in tables.fuse_families().values():
        for rating in family.ratings_a:
            own = tables.fuse_time_points(family.key, rating)
            if own is None or any(s.status == "memory" for s in own.sources):
                continue
            for multiple, seconds in zip(own.multiple, own.max_s, strict=True):
                assert longest.get(multiple, float("inf")) >= seconds, (family.key, multiple)
    assert slowest.source.status == "seen"


def test_a_multiple_that_no_published_time_ends_counts_as_for_good() -> None:
    """A mini carries 1.1 times its rating for 100 h at least; nothing says when 1.2 times ends."""
    assert protection("mini", 10.0, 1.2).overloads[0] == (1.2, float("inf"))
    assert protection("mini", 10.0, 1.35).overloads[0] == (1.35, 600.0)


@pytest.mark.parametrize("family", WITHOUT_TIMES)
def test_advice_and_verdict_agree_where_no_times_are_published(family: str) -> None:
    """The section advised holds, the next thinner one does not; the verdict says so."""
    rating = tables.fuse_family(family).ratings_a[-1]
    advised = tap_advice(assess(behind(family, rating, 1.0)), "tap-1").cable
    assert advised is not None
    assert advised.area_mm2 is not None
    assert advised.index is not None
    thinner = tables.standard_sections()[advised.index - 1].area_mm2
    kinds = ("overload", "short", "far_end")

    def holds(mm2: float) -> bool:
        return all(h.passed for h in chain(behind(family, rating, mm2)).hops if h.key in kinds)

    assert holds(advised.area_mm2)
    assert not holds(thinner)


def test_for_good_is_what_an_endless_time_comes_to() -> None:
    cable = (13.3, 1.5, 3.0, 30.0)
    end = conductor_temperature(30.0, *cable)
    assert temperature_after(float("inf"), 30.0, *cable) == end
    assert temperature_after(1e6, 30.0, *cable) == pytest.approx(end)
    assert temperature_after(float("inf"), 1000.0, *cable) == float("inf")
    assert temperature_after(float("inf"), 1.0, *cable, start_c=90.0) == 90.0


class TestWhatCouldNotBeChecked:
    """A hop that has no figures is a hop still: it says what is missing, and does not hold."""

    def test_a_chain_with_every_figure_has_nothing_left_unchecked(self) -> None:
        assert chain(behind("mini", 5.0, 1.0)).verdict == "holds"

    def test_a_feed_without_limit_and_fuse(self) -> None:
        vehicle = edits.change_feed(behind("mini", 5.0, 1.0), "feed-1", limit_a=None)
        hop = unchecked(vehicle)["feed:feed-1"]
        assert hop.load > 0
        assert "neither a limit nor a fuse" in str(hop.missing)

    def test_a_slot_of_which_nobody_said_what_supplies_it(self) -> None:
        vehicle = behind("mini", 5.0, 1.0)
        vehicle = edits.change_slot(vehicle, only_slot(vehicle).id, feed=None)
        assert "feed:?permanent" in unchecked(vehicle)

    def test_a_cable_that_is_not_entered(self) -> None:
        bare = edits.change_tap(behind("mini", 5.0, 1.0), "tap-1", cable_out=None)
        assert {"section", "heat_out", "overload", "short", "far_end", "drop"} <= set(
            unchecked(bare)
        )

    def test_a_cable_that_no_fuse_protects(self) -> None:
        bare = edits.change_tap(behind("mini", 5.0, 1.0), "tap-1", fuse=None)
        missing = {key: str(hop.missing) for key, hop in unchecked(bare).items()}
        assert missing == dict.fromkeys(
            ("overload", "short", "far_end"), "no fuse protects this cable"
        )

    def test_an_inrush_through_a_fuse_of_unknown_melting(self) -> None:
        """100 A for half a second, 5000 A²s, on a 10 A fuse of a family without a figure."""
        vehicle = edits.change_accessory(
            behind("low_profile_mini", 10.0, 1.0),
            "accessory-1",
            amperes=5.0,
            inrush_multiple=20.0,
            inrush_s=0.5,
        )
        hop = next(hop for hop in chain(vehicle).hops if hop.key == "inrush")
        assert (hop.verdict, hop.ground) == ("may_not_hold", "analogy")

    def test_a_slot_whose_fuse_is_not_entered(self) -> None:
        vehicle = behind("mini", 5.0, 1.0)
        vehicle = edits.change_slot(vehicle, only_slot(vehicle).id, fuse=None)
        assert "host_fuse" in unchecked(vehicle)

    def test_a_converter_of_unknown_rating(self) -> None:
        vehicle = edits.change_accessory(
            behind("mini", 5.0, 1.0), "accessory-1", converter=Converter(output_v=5.0)
        )
        vehicle = edits.add_accessory(vehicle, "Radio", amperes=1.0, rated_v=5.0)
        vehicle = edits.change_accessory(vehicle, "accessory-2", supplied_by="accessory-1")
        assert "converter" in unchecked(vehicle)


def unchecked(vehicle: Vehicle) -> dict[str, Hop]:
    """The hops of the only tap that cannot be checked."""
    return {hop.id: hop for hop in chain(vehicle).unchecked}
