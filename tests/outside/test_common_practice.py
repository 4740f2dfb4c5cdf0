"""Common practice of the trade: rules everybody uses, for which no document is the source."""

import pytest

from fusemap import tables
from fusemap.advise.chain_sizing import SizedChain, Wanted, size_chain
from fusemap.assess import assess
from fusemap.electrics.cable import loop_resistance, resistance_ohm
from fusemap.electrics.loads import load_current
from fusemap.vehicle import STATES, Fuse, edits
from tests.vehicles import one_slot, only_slot, with_accessory

RUNNING = STATES.index("running")
STEADY = "constant_current"
SECTIONS = [row.area_mm2 for row in tables.standard_sections()]


@pytest.mark.parametrize(
    ("watts", "volts", "amperes"), [(90, 12, 7.5), (60, 12, 5), (90, 24, 3.75), (240, 24, 10)]
)
def test_watts_over_nominal_volts_are_amperes(watts, volts, amperes):
    sized = size_chain(Wanted(watts=watts, system_v=volts, load_kind=STEADY))
    assert sized.load_a == pytest.approx(amperes)


def test_90_w_at_12_v_get_a_10_a_fuse():
    sized = size_chain(Wanted(watts=90.0, load_kind=STEADY, ambient_c=23.0))
    assert sized.rating_a == 10.0
    assert sized.fuse.reason == "load"


def tapped(own_a: float, way_round: str, accessory_a: float = 7.5):
    """An accessory on a 15 A slot, by a two-fuse tap."""
    fuse = Fuse(family="mini", rating=10.0)
    return assess(
        with_accessory(one_slot(own_a=own_a), accessory_a, way_round=way_round, fuse=fuse)
    )


@pytest.mark.parametrize("way_round", ["live_side", "load_side"])
def test_90_w_fit_on_a_15_a_slot_beside_a_2_a_neighbour(way_round):
    slots = tapped(2.0, way_round).slots
    assert slots.host_a[RUNNING, 0] <= slots.host_limit_a[0]
    assert slots.live_contact_a[RUNNING, 0] == pytest.approx(9.5)


def test_beside_a_5_a_neighbour_they_fit_only_the_right_way_round():
    right, turned = (tapped(5.0, way).slots for way in ("live_side", "load_side"))
    assert right.host_a[RUNNING, 0] <= right.host_limit_a[0]
    assert turned.host_a[RUNNING, 0] > turned.host_limit_a[0]


def test_pulling_the_accessory_leaves_the_original_circuit_as_it_was():
    vehicle = tapped(4.0, "load_side").vehicle
    bare = assess(edits.remove_accessory(vehicle, "accessory-1"))
    assert bare.slots.host_a[RUNNING, 0] == pytest.approx(4.0)
    assert only_slot(bare.vehicle).fuse == only_slot(vehicle).fuse


def drops(sized: SizedChain):
    """Drop [V] of every section that is listed."""
    assert sized.cable is not None
    return sized.cable.checks["drop"].found


def test_twice_the_way_needs_twice_the_section():
    near, far = (
        size_chain(Wanted(amperes=5.0, load_kind=STEADY, out_m=metres)) for metres in (5.0, 10.0)
    )
    # 1.5 and 3 mm²: their table resistances are 12.7 and 6.15 mΩ/m, 3 % from twice; the thinner
    # is 4 K warmer; fuse and body cost both alike
    assert near.rating_a == far.rating_a == 7.5
    fixed = 5.0 * (0.135 / 7.5 + 0.006)  # Littelfuse MINI 297: 135 mV at 7.5 A
    near_v, far_v = drops(near)[SECTIONS.index(1.5)], drops(far)[SECTIONS.index(3.0)]
    assert near_v - fixed == pytest.approx(far_v - fixed, rel=0.06)


def test_a_return_cable_doubles_the_drop_of_a_body_return():
    assert loop_resistance(7.6, 4.0, 4.0) == pytest.approx(2 * loop_resistance(7.6, 4.0, 0.0))


def test_at_24_v_a_load_reaches_four_times_as_far_for_the_same_share_of_drop():
    near = size_chain(Wanted(watts=60.0, load_kind=STEADY, out_m=5.0))
    far = size_chain(Wanted(watts=60.0, load_kind=STEADY, out_m=20.0, system_v=24))
    index = SECTIONS.index(4.0)
    # 7.5 A and 4 A MINI fuses, 135 and 121 mV at their rating (Littelfuse 297), and 6 mΩ of body
    assert (near.rating_a, far.rating_a) == (7.5, 4.0)
    near_v = drops(near)[index] - 5.0 * (0.135 / 7.5 + 0.006)
    far_v = drops(far)[index] - 2.5 * (0.121 / 4.0 + 0.006)
    # four times the way at half the current; the 12 V cable is the warmer by 2 K
    assert far_v / 24.0 == pytest.approx(near_v / 12.0, rel=0.02)


def test_an_electronic_load_draws_more_and_a_heater_less_when_the_voltage_falls():
    assert load_current(5.0, 10.8, 12.0, "constant_power") > 5.0
    assert load_current(5.0, 10.8, 12.0, "resistive") < 5.0
    assert load_current(5.0, 10.8, 12.0, "resistive") < load_current(5.0, 10.8, 12.0, "filament")


def test_a_warm_cable_resists_more():
    assert resistance_ohm(7.6, 10.0, 60.0) > resistance_ohm(7.6, 10.0, 20.0)
