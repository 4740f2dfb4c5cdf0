"""The most that may flow, where the two solutions of the network do not have it themselves."""

from typing import Any

import numpy as np
import pytest
from msgspec.structs import replace

from fusemap.assess import assess
from fusemap.vehicle import Cable, Fuse, StateLoads, Vehicle, edits
from tests.vehicles import one_slot, with_accessory


def test_a_fuse_whose_times_say_nothing_of_a_current_has_no_melting_by_analogy() -> None:
    """A 1 A blade fuse: nothing smaller is published, and past 6 times its rating it may just open.

    Limits of large blade fuses, `fuse_times`: no sooner than is published up to 6 times.
    """
    vehicle = with_accessory(one_slot(), 5.0, fuse=Fuse(family="regular", rating=1.0))
    vehicle = edits.change_accessory(vehicle, "accessory-1", inrush_multiple=4.0, inrush_s=0.01)
    hop = next(hop for hop in assess(vehicle).chains["tap-1"].hops if hop.key == "inrush")
    assert hop.verdict == "unchecked"


def heater(spread: float | None, **feed: object) -> Vehicle:
    """A heater of 8 A at 12 V on a feed of which the resistance is not known."""
    vehicle = with_accessory(
        one_slot(),
        8.0,
        fuse=Fuse(family="mini", rating=15.0),
        cable_out=Cable(section_mm2=1.5, length_m=2.0),
    )
    vehicle = edits.change_accessory(
        vehicle, "accessory-1", load_kind="resistive", current_spread=spread
    )
    return edits.change_feed(vehicle, "feed-1", **feed)


def test_a_heater_of_more_than_its_label_says_may_have_the_whole_voltage_too() -> None:
    """1.2 × 8 A at 12 V, on a feed of no resistance as on one of 10 mΩ."""
    most = assess(heater(0.2)).most
    drawn = edits.change_accessory(heater(None), "accessory-1", amperes=9.6)
    there = assess(edits.change_feed(drawn, "feed-1", resistance_mohm=1e-9))
    assert (most.taps.current_a >= there.taps.current_a * (1 - 1e-9)).all()
    assert (most.taps.drop_v >= there.taps.drop_v * (1 - 1e-9)).all()
    assert (most.slots.live_contact_a >= there.slots.live_contact_a * (1 - 1e-9)).all()


def test_it_has_more_voltage_where_another_load_draws_less_than_its_label_says() -> None:
    both = edits.add_accessory(
        heater(None, resistance_mohm=20.0),
        "Cool box",
        amperes=10.0,
        rated_v=12.0,
        load_kind="constant_current",
        works_in=("accessory", "ignition", "running"),
    )
    both = edits.place(both, "accessory-2", slot=None, feed="feed-1", kind="own_feed")
    spread = edits.change_accessory(both, "accessory-2", current_spread=0.3)
    less = edits.change_accessory(both, "accessory-2", amperes=7.0)
    most, there = assess(spread).most, assess(less)
    assert there.taps.current_a[4, 0] > assess(both).taps.current_a[4, 0]
    assert most.taps.current_a[4, 0] >= there.taps.current_a[4, 0] * (1 - 1e-9)


def test_a_load_whose_supply_may_collapse_may_draw_all_that_it_can_before() -> None:
    """180 W over some 0.25 Ω: with 1.3 times the watts no voltage stands any more."""
    vehicle = with_accessory(
        one_slot(), 15.0, cable_out=Cable(section_mm2=1.0, length_m=8.0), kind="splice"
    )
    vehicle = edits.change_accessory(vehicle, "accessory-1", load_kind="constant_power")
    held = []
    for times in np.linspace(0.7, 1.3, 31):
        a = assess(edits.change_accessory(vehicle, "accessory-1", amperes=15.0 * float(times)))
        held.append((float(a.taps.current_a.max()), bool(a.taps.collapsed.any())))
    assert {collapsed for _, collapsed in held} == {False, True}
    spread = edits.change_accessory(vehicle, "accessory-1", current_spread=0.3)
    assert assess(spread).most.taps.current_a.max() >= max(drawn for drawn, _ in held)


@pytest.mark.parametrize("kind", ["constant_power", "constant_current", "resistive", "filament"])
def test_where_all_is_known_both_ends_are_the_same(kind: str) -> None:
    fuse = Fuse(family="mini", rating=15.0)
    cable = Cable(section_mm2=2.5, length_m=2.0)
    vehicle = with_accessory(one_slot(), 4.0, fuse=fuse, cable_out=cable)
    vehicle = edits.change_accessory(vehicle, "accessory-1", load_kind=kind)
    vehicle = edits.change_feed(vehicle, "feed-1", resistance_mohm=5.0)
    vehicle = edits.change_battery(vehicle, resistance_mohm=5.0, start_soc=0.9)
    known = {"rest_current_a": 9.0, "alternator_a": 100.0, "alternator_idle_a": 50.0}
    a = assess(replace(vehicle, parking=replace(vehicle.parking, **known)))

    assert a.most.taps.current_a == pytest.approx(a.taps.current_a, rel=1e-12)
    assert a.most.taps.voltage_v == pytest.approx(a.taps.voltage_v, rel=1e-12)


def test_the_voltage_at_an_accessory_cannot_be_said_without_its_cable() -> None:
    """That it does not hold can: 12.6 V at rest are less than 13 V over any cable."""
    vehicle = with_accessory(one_slot(), 4.0, fuse=Fuse(family="mini", rating=15.0))

    def verdict(least: float, cable: Cable | None) -> str:
        changed = edits.change_accessory(vehicle, "accessory-1", min_voltage_v=least)
        changed = edits.change_tap(changed, "tap-1", cable_out=cable)
        hops = assess(changed).chains["tap-1"].hops
        return next(hop.verdict for hop in hops if hop.key == "voltage")

    cable = Cable(section_mm2=1.5, length_m=1.0)
    assert verdict(9.0, cable) == "holds"
    assert verdict(9.0, None) == "unchecked"
    assert verdict(13.0, None) == verdict(13.0, cable) == "fails"


def test_a_cable_that_nobody_gave_may_cost_all_that_is_allowed() -> None:
    """A constant power draws more the less voltage is left for it: 3 % of 12 V by the rule."""
    vehicle = with_accessory(one_slot(), 4.0, fuse=Fuse(family="mini", rating=15.0))
    vehicle = edits.change_accessory(vehicle, "accessory-1", load_kind="constant_power")
    a = assess(vehicle)
    allowed = a.rule("allowed_drop_share") * 12
    assert a.most.taps.drop_v.max() >= allowed
    assert a.most.taps.current_a.max() > a.taps.current_a.max() * 1.02


def unlimited(parent_limit_a: float | None = None, **feed: Any) -> Vehicle:
    """A feed without limit of which nobody said what else it carries, below another one or not."""
    vehicle = one_slot(own_a=2.0)
    vehicle = edits.change_feed(
        vehicle, "feed-1", limit_a=None, other_load=StateLoads(), resistance_mohm=10.0, **feed
    )
    if parent_limit_a is None:
        return vehicle
    vehicle = edits.add_feed(vehicle, "Main", limit_a=parent_limit_a)
    return edits.change_feed(vehicle, "feed-1", parent=vehicle.feeds[-1].id)


def test_what_flows_on_a_feed_without_limit_is_at_most_the_rule() -> None:
    a = assess(unlimited())
    assert a.most.feeds.current_a[4, 0] == a.rule("feed_open_a")
    assert a.feeds.current_a[4, 0] == pytest.approx(2.0)


def test_a_feed_without_limit_carries_no_more_than_the_one_above_it_leaves() -> None:
    a = assess(unlimited(40.0))
    assert a.most.feeds.current_a[4] == pytest.approx([40.0, 40.0])
    own = StateLoads(asleep=0.0, awake=0.0, accessory=15.0, ignition=15.0, running=15.0)
    beside = edits.add_feed(unlimited(40.0), "Beside", parent="feed-2", other_load=own)
    a = assess(beside)
    assert a.most.feeds.current_a[4, 0] == pytest.approx(25.0)
    assert a.most.feeds.current_a[4, 1] == pytest.approx(40.0)


@pytest.mark.parametrize("mohm", [3.5, 5.0, 10.0])
def test_what_a_battery_has_inside_that_nobody_measured_bounds_volts_and_amperes(
    mohm: float,
) -> None:
    """70 Ah, so 3.5 to 10 mΩ by the table, and a charge from 73 to 97 %, both at their ends."""
    vehicle = with_accessory(one_slot(), 20.0, cable_out=Cable(section_mm2=6.0, length_m=1.0))
    vehicle = edits.change_accessory(vehicle, "accessory-1", load_kind="resistive")
    vehicle = edits.change_battery(vehicle, capacity_ah=70.0, start_soc=None, resistance_mohm=None)
    most = assess(vehicle).most.taps
    for soc in (0.73, 0.85, 0.97):
        measured = edits.change_battery(vehicle, resistance_mohm=mohm, start_soc=soc)
        known = assess(measured).taps
        assert np.all(known.current_a <= most.current_a * (1 + 1e-9))
        assert np.all(known.voltage_v >= most.voltage_v * (1 - 1e-9))
