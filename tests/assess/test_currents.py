"""What flows where: the assessed vehicle against sums done by hand."""

import numpy as np
import pytest

from fusemap.assess import assess
from fusemap.vehicle import STATES, Cable, Fuse, edits
from tests.vehicles import loads, one_slot, only_slot, with_accessory


@pytest.mark.parametrize(
    ("kind", "way", "host", "live", "load"),
    [
        ("two_fuse", "live_side", 2.0, 7.0, 2.0),
        ("two_fuse", "load_side", 7.0, 7.0, 2.0),
        ("take_off_lead", "live_side", 2.0, 7.0, 2.0),
        ("splice", "load_side", 7.0, 7.0, 7.0),
    ],
)
def test_where_the_accessory_passes(
    kind: str, way: str, host: float, live: float, load: float
) -> None:
    found = assess(with_accessory(one_slot(), kind=kind, way_round=way)).slots
    assert found.host_a == pytest.approx(np.full((5, 1), host)) or found.host_a[
        2:
    ] == pytest.approx(np.full((3, 1), host))
    running = STATES.index("running")
    assert found.host_a[running, 0] == pytest.approx(host)
    assert found.live_contact_a[running, 0] == pytest.approx(live)
    assert found.load_contact_a[running, 0] == pytest.approx(load)


def test_an_own_feed_does_not_touch_the_slot() -> None:
    a = assess(with_accessory(one_slot(), kind="own_feed"))
    running = STATES.index("running")
    assert a.slots.live_contact_a[running, 0] == pytest.approx(2.0)
    assert a.battery_a[running] == pytest.approx(7.0)


def test_the_feed_carries_everything_below_it_whatever_the_tap() -> None:
    for kind in ("two_fuse", "splice"):
        a = assess(with_accessory(one_slot(), kind=kind))
        assert a.feeds.current_a[STATES.index("running"), 0] == pytest.approx(7.0)


def test_parents_of_parents_carry_the_sum() -> None:
    vehicle = edits.add_feed(one_slot(), "Battery cable", limit_a=100.0)
    vehicle = edits.change_feed(vehicle, "feed-1", parent="feed-2")
    vehicle = edits.change_feed(vehicle, "feed-2", other_load=loads(10.0))
    found = assess(vehicle).feeds.current_a[STATES.index("running")]
    assert found == pytest.approx([2.0, 12.0])


def test_a_switched_slot_is_dead_when_parked() -> None:
    a = assess(with_accessory(one_slot(feed_class="ignition")))
    asleep = STATES.index("asleep")
    assert a.slots.live_contact_a[asleep, 0] == 0.0
    assert a.taps.current_a[asleep, 0] == 0.0
    assert a.taps.voltage_v[asleep, 0] == 0.0


def test_watts_ask_more_amperes_when_the_voltage_falls() -> None:
    """90 W at 12 V is 7.5 A (common practice, no source); at less voltage it is more."""
    vehicle = edits.add_accessory(one_slot(), "Light bar", watts=90.0, rated_v=12.0)
    vehicle = edits.place(
        vehicle,
        "accessory-1",
        slot=only_slot(vehicle).id,
        cable_out=Cable(section_mm2=1.0, length_m=10.0),
    )
    a = assess(vehicle)
    ignition = STATES.index("ignition")
    volts, drawn = a.taps.voltage_v[ignition, 0], a.taps.current_a[ignition, 0]
    assert volts * drawn == pytest.approx(90.0)
    assert volts < 12.0
    assert drawn > 7.5


def test_the_drop_is_current_times_the_way_there_and_back() -> None:
    """Cable 1 mm² of 18.5 mΩ/m (ISO 6722-1, from memory) warmed by 5 A; 5 mΩ body, 1 mΩ joint."""
    tap = {"cable_out": Cable(section_mm2=1.0, length_m=4.0), "kind": "two_fuse"}
    a = assess(with_accessory(one_slot(), **tap))
    running = STATES.index("running")
    run = a.circuit.cables.out
    warm = run.temperature_c(np.array([5.0]))
    cable = 4.0 * 0.0185 * (1 + 0.00393 * (warm[0] - 20.0))
    assert a.taps.drop_v[running, 0] == pytest.approx(5.0 * (cable + 0.005 + 0.001))


def test_a_sense_lead_decides_when_the_accessory_works() -> None:
    vehicle = one_slot()
    vehicle = edits.add_panel(vehicle, "Second", 1, 1)
    switched = vehicle.panels[1].slots[0].id
    vehicle = edits.change_slot(
        vehicle,
        switched,
        feed_class="ignition",
        fuse=Fuse(family="mini", rating=10.0),
    )
    vehicle = edits.add_accessory(
        vehicle, "Camera", amperes=0.4, standby_a=0.03, leads=("power", "sense")
    )
    vehicle = edits.place(vehicle, "accessory-1", slot=only_slot(vehicle).id)
    vehicle = edits.place(vehicle, "accessory-1", "sense", slot=switched)
    works = assess(vehicle).taps.works[:, 0]
    assert dict(zip(STATES, works, strict=True)) == {
        "asleep": False,
        "awake": False,
        "accessory": False,
        "ignition": True,
        "running": True,
    }


def test_a_relay_takes_its_feed_away_and_loads_the_sense_slot_with_its_coil() -> None:
    vehicle = one_slot(feed_class="ignition")
    vehicle = edits.add_accessory(
        vehicle, "Lamps", amperes=20.0, leads=("power", "sense"), sense_a=0.0
    )
    vehicle = edits.place(vehicle, "accessory-1", relay=True)
    vehicle = edits.place(vehicle, "accessory-1", "sense", slot=only_slot(vehicle).id)
    a = assess(vehicle)
    running, asleep = STATES.index("running"), STATES.index("asleep")
    assert a.battery_a[asleep] == pytest.approx(0.0)
    assert a.taps.current_a[running, 0] > 0.0
    assert a.taps.current_a[running, 1] == pytest.approx(0.150)


def test_the_host_limit_is_a_share_of_the_rating_at_25_degrees() -> None:
    """Littelfuse, Fuseology: 75 % of the rating at 25 °C."""
    assert assess(one_slot()).slots.host_limit_a[0] == pytest.approx(0.75 * 15.0, rel=2e-3)


def test_under_the_bonnet_the_same_fuse_carries_less() -> None:
    cool = one_slot()
    warm = edits.change_panel(cool, cool.panels[0].id, ambient_c=80.0)
    assert assess(warm).slots.host_limit_a[0] < assess(cool).slots.host_limit_a[0]


def test_an_impossible_load_collapses_and_is_never_not_a_number() -> None:
    vehicle = edits.add_accessory(one_slot(), "Heater", watts=5000.0, rated_v=12.0)
    vehicle = edits.place(
        vehicle,
        "accessory-1",
        slot=only_slot(vehicle).id,
        cable_out=Cable(section_mm2=0.5, length_m=20.0),
    )
    a = assess(vehicle)
    assert a.taps.collapsed[STATES.index("running"), 0]
    assert np.isfinite(a.taps.voltage_v).all()
    assert np.isfinite(a.feeds.current_a).all()


def test_the_same_vehicle_always_gives_the_same_answer() -> None:
    vehicle = with_accessory(one_slot())
    one, two = assess(vehicle), assess(vehicle)
    assert (one.feeds.current_a == two.feeds.current_a).all()
    assert one.parked.hours == two.parked.hours


def test_a_24_volt_system_has_twice_the_voltage() -> None:
    vehicle = one_slot()
    double = edits.change_vehicle(vehicle, system_v=24)
    assert assess(double).battery_v[0] == pytest.approx(2 * assess(vehicle).battery_v[0], abs=0.05)


def test_a_vehicle_with_nothing_in_it_can_be_assessed() -> None:
    from fusemap.checks import findings
    from fusemap.vehicle import Vehicle

    a = assess(Vehicle(name="Empty"))
    assert a.slots.ids == ()
    assert a.parked.hours > 0
    assert isinstance(findings(a.vehicle, a), tuple)
