"""A short circuit at the far end: every resistance on its way, and a battery that is low.

Fuses: Littelfuse MINI blade fuse 32 V, series 297 data sheet: voltage drop at rated current, 108 mV
at 10 A and 98 mV at 15 A, hence 10.8 mΩ and 6.53 mΩ hot.
"""

import pytest

from fusemap.advise.advice import Route, cable_for, tap_advice
from fusemap.assess import Assessment, assess
from fusemap.assess.sources import fuse_mohm
from fusemap.vehicle import Battery, Cable, Fuse, Vehicle, edits
from tests.vehicles import one_slot, with_accessory

HOT_10_OHM, HOT_15_OHM = 0.108 / 10.0, 0.098 / 15.0
CONTACT_OHM = 0.001
FIVE = Fuse(family="mini", rating=5.0)


def shorted(metres: float = 5.0, **tap: object) -> Assessment:
    cable = Cable(section_mm2=1.0, length_m=metres)
    way = {"fuse": FIVE, "cable_out": cable, "earth_point": "bolt"} | tap
    return assess(with_accessory(one_slot(), 2.0, **way))


def above(a: Assessment) -> float:
    return float(a.upstream_ohm[0])


def multiple(a: Assessment) -> float:
    return next(h.load for h in a.chains["tap-1"].hops if h.key == "far_end")


@pytest.mark.parametrize(("rating", "drop_v"), [(5.0, 0.129), (10.0, 0.108), (30.0, 0.087)])
def test_a_fuse_at_its_rating_costs_what_its_data_sheet_says(rating: float, drop_v: float) -> None:
    """Littelfuse series 297 data sheet, voltage drop at rated current: the hot resistance."""
    ohm = fuse_mohm(Fuse(family="mini", rating=rating)) / 1000
    assert ohm * rating == pytest.approx(drop_v, rel=0.01)


@pytest.mark.parametrize(
    "tap", [{"kind": "two_fuse", "way_round": "load_side"}, {"kind": "splice"}], ids=str
)
def test_through_the_host_fuse_its_resistance_and_a_second_contact_count(
    tap: dict[str, object],
) -> None:
    """15 A host: 6.53 mΩ hot and 1 mΩ of contact more than straight from the live side."""
    straight = shorted(kind="two_fuse", way_round="live_side", joint="butt_crimp")
    through = shorted(joint="butt_crimp", **tap)
    more = HOT_15_OHM + CONTACT_OHM
    assert above(through) - above(straight) == pytest.approx(more, rel=0.01)
    assert multiple(through) < multiple(straight)


def test_the_slots_contact_is_on_the_way_and_an_own_feed_has_none() -> None:
    at_slot = shorted(joint="ring_terminal")
    own = shorted(kind="own_feed", feed="feed-1", joint="ring_terminal")
    assert above(at_slot) - above(own) == pytest.approx(CONTACT_OHM)


def test_a_feeds_fuse_is_on_the_way() -> None:
    """A 10 A fuse in the feed: 10.8 mΩ hot."""
    plain = with_accessory(
        one_slot(), 2.0, fuse=FIVE, cable_out=Cable(section_mm2=1.0, length_m=5.0)
    )
    fused = edits.change_feed(plain, "feed-1", fuse=Fuse(family="mini", rating=10.0))
    assert above(assess(fused)) - above(assess(plain)) == pytest.approx(HOT_10_OHM, rel=0.01)
    assert assess(fused).feeds.voltage_v.min() < assess(plain).feeds.voltage_v.min() - 0.02


def test_the_whole_sum_by_hand() -> None:
    """11.5 V over battery, two contacts, host fuse, 1 mΩ of joint, own fuse, warm cable, body.

    1 mm² has 18.5 mΩ/m at 20 °C (ISO 6722) and 18.5 × (1 + 0.00393 × 65) = 23.2 mΩ/m at 85 °C.
    """
    a = shorted(way_round="load_side", kind="two_fuse")
    own_fuse = 0.129 / 5.0  # 129 mV at 5 A
    way = CONTACT_OHM + HOT_15_OHM + CONTACT_OHM + 0.001 + own_fuse + 5.0 * 0.0232 + 0.005
    assert multiple(a) == pytest.approx(11.5 / (a.circuit.source_ohm + way) / 5.0, rel=0.01)


def test_a_low_battery_has_to_open_the_fuse_and_on_24_volts_twice_that() -> None:
    assert shorted().circuit.fault_v == 11.5
    truck = Vehicle(name="Truck", system_v=24, battery=Battery(capacity_ah=100.0, soh=1.0))
    assert assess(truck).circuit.fault_v == 23.0


def test_a_battery_that_is_lower_still_counts_as_it_is() -> None:
    empty = Vehicle(name="Flat", battery=Battery(capacity_ah=70.0, soh=1.0, start_soc=0.0))
    a = assess(edits.set_rule(empty, "fault_min_v", 13.0))
    assert a.circuit.fault_v == a.circuit.emf_v.min() < 12.5


def test_the_rule_reaches_verdict_and_advice_alike() -> None:
    cable = Cable(section_mm2=1.0, length_m=5.0)
    vehicle = with_accessory(one_slot(), 2.0, fuse=FIVE, cable_out=cable, earth_point="bolt")
    usual, lower = assess(vehicle), assess(edits.set_rule(vehicle, "fault_min_v", 9.0))
    assert multiple(lower) == pytest.approx(multiple(usual) * 9.0 / 11.5)
    assert tap_advice(lower, "tap-1").longest_m < tap_advice(usual, "tap-1").longest_m
    found = [
        cable_for(a, 2.0, FIVE, Route(5.0), fixed_ohm=0.01, other_ohm=0.01).checks["far_end"]
        for a in (usual, lower)
    ]
    assert found[1].at(3).found == pytest.approx(found[0].at(3).found * 9.0 / 11.5)
