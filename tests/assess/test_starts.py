"""Switching on: a short start against the fuse's melting, a long one as load."""

import pytest

from fusemap.advise import library
from fusemap.advise.advice import tap_advice
from fusemap.assess import Assessment, Hop, assess
from fusemap.checks import findings
from fusemap.placement.suggest import fit, own_feed
from fusemap.vehicle import Battery, Cable, Fuse, Vehicle, edits
from tests.vehicles import one_slot, with_accessory


def starting(
    multiple: float, seconds: float, amperes: float = 5.0, rating: float = 10.0
) -> Vehicle:
    vehicle = with_accessory(
        one_slot(),
        amperes,
        fuse=Fuse(family="mini", rating=rating),
        cable_out=Cable(section_mm2=1.5, length_m=1.0),
        earth_point="bolt",
        ceiling_a=15.0,
    )
    return edits.change_accessory(
        vehicle, "accessory-1", inrush_multiple=multiple, inrush_s=seconds
    )


def hops(vehicle: Vehicle) -> dict[str, Hop]:
    return {hop.key: hop for hop in assess(vehicle).chains["tap-1"].hops}


def codes(vehicle: Vehicle, a: Assessment | None = None) -> dict[str, str]:
    return {f.code: f.severity for f in findings(vehicle, a or assess(vehicle))}


def test_a_start_of_four_times_the_current_melts_sixteen_times_as_much() -> None:
    """(4 × 5 A)² × 0.1 s = 40 A²s against 22 % of 93 A²s (Littelfuse MINI 297 data sheet, 10 A)."""
    hop = hops(starting(4.0, 0.1))["inrush"]
    assert hop.load == pytest.approx(40.0)
    assert hop.limit == pytest.approx(0.22 * 93.0)
    assert codes(starting(4.0, 0.1))["inrush"] == "caution"
    assert "inrush" not in codes(starting(2.0, 0.1))


def test_a_start_of_a_minute_is_load_and_no_pulse() -> None:
    """3 × 2.9 A for 60 s: 8.7 A, which a 15 A fuse carries for good."""
    heater = starting(3.0, 60.0, amperes=2.9, rating=15.0)
    found = hops(heater)
    assert "inrush" not in found
    assert found["accessory_fuse"].load == pytest.approx(8.7)
    assert found["accessory_fuse"].passed
    assert "3 × for" in dict(found["accessory_fuse"].basis.inputs).get(
        "Start, so long that it counts as load", ""
    )
    small = hops(starting(3.0, 60.0, amperes=2.9, rating=10.0))["accessory_fuse"]
    assert not small.passed


def test_advice_and_verdict_take_a_long_start_alike() -> None:
    advised = tap_advice(assess(starting(3.0, 60.0, amperes=2.9, rating=5.0)), "tap-1").fuse
    assert advised is not None
    assert advised.rating_a == 15.0


@pytest.mark.parametrize("kind", ["air_heater", "winch", "cool_box_compressor", "roof_fan"])
def test_what_is_proposed_for_an_own_feed_is_not_found_fault_with(kind: str) -> None:
    vehicle = Vehicle(name="Van", battery=Battery(capacity_ah=95.0, soh=1.0))
    vehicle = edits.add_accessory(vehicle, **library.fields(kind))
    plan = own_feed(vehicle, assess(vehicle), vehicle.accessories[0])
    assert plan.problems == ()
    after = fit(vehicle, plan)
    found = codes(after)
    assert "stop" not in found.values()
    assert not {"inrush", "fuse_overloaded", "cable_overload_gap", "low_voltage"} & set(found)


class TestWinch:
    """A motor that is on for 12 s of every minute, 200 A while it pulls."""

    def fitted(self) -> Vehicle:
        vehicle = Vehicle(name="Pickup", battery=Battery(capacity_ah=95.0, soh=1.0))
        vehicle = edits.add_accessory(vehicle, **library.fields("winch"))
        return fit(vehicle, own_feed(vehicle, assess(vehicle), vehicle.accessories[0]))

    def test_its_own_feed_has_a_cable_out_and_one_back(self) -> None:
        tap = self.fitted().taps[0]
        assert tap.cable_out is not None
        assert tap.cable_back is not None
        assert 25.0 <= tap.cable_out.section_mm2 <= 70.0

    def test_400_amperes_stay_400_on_a_sinking_battery(self) -> None:
        vehicle = edits.change_accessory(self.fitted(), "accessory-1", amperes=400.0)
        a = assess(vehicle)
        assert a.taps.current_a.max() == pytest.approx(400.0)
        assert not a.taps.collapsed.any()

    def test_a_fuse_that_bears_the_pull_is_judged_by_the_mean_heat(self) -> None:
        """√0.2 × 200 A = 89 A; 1.33 times a strip fuse of 150 A, which opens after 120 s or more.

        The times of strip fuses are from memory, and the table says so.
        """
        vehicle = self.fitted()
        hop = hops(vehicle)["accessory_fuse"]
        assert hop.load == pytest.approx(200.0 * 0.2**0.5)
        assert vehicle.taps[0].fuse == Fuse(family="strip_30", rating=150.0)
        smaller = edits.change_tap(vehicle, "tap-1", fuse=Fuse(family="strip_30", rating=125.0))
        assert hops(smaller)["accessory_fuse"].load == pytest.approx(200.0)

    def test_pulling_for_good_is_the_peak_again(self) -> None:
        lasting = edits.change_accessory(self.fitted(), "accessory-1", duty=1.0, short_s=None)
        found = hops(lasting)
        assert found["accessory_fuse"].load == pytest.approx(200.0)
        assert found["heat_out"].load > hops(self.fitted())["heat_out"].load + 10.0
