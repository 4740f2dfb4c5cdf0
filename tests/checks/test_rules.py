"""Every named rule does something: another value moves a figure or a verdict."""

from collections.abc import Callable
from datetime import datetime
from typing import Any

import pytest
from msgspec.structs import replace

from fusemap import tables
from fusemap.assess import assess
from fusemap.checks import findings
from fusemap.probing.loads import load_of
from fusemap.probing.session import Session, timers
from fusemap.vehicle import (
    Cable,
    Converter,
    Drive,
    Fuse,
    Reading,
    StateLoads,
    Vehicle,
    edits,
    look_up,
)
from tests.vehicles import one_slot, only_slot, with_accessory

ALWAYS = ("asleep", "awake", "accessory", "ignition", "running")
CABLE = Cable(section_mm2=0.75, length_m=6.0)
FIVE = Fuse(family="mini", rating=5.0)


def outcome(vehicle: Vehicle) -> tuple[Any, ...]:
    """What a vehicle is told: verdicts, currents, limits, the forecast. No words."""
    a = assess(vehicle)
    week, parked = a.week, a.parked
    return (
        [(f.code, f.severity, f.place_id) for f in findings(vehicle, a)],
        [
            (hop.key, hop.load, hop.end, hop.limit, hop.verdict)
            for tap in vehicle.taps
            for hop in a.chains[tap.id].hops
        ],
        a.most.slots.live_contact_a.tolist(),
        a.slots.host_limit_a.tolist(),
        a.slots.contact_limit_a.tolist(),
        a.feeds.limit_a.tolist(),
        [(key, f.load.tolist(), f.limit.tolist()) for key, f in sorted(a.feed_hops.items())],
        a.battery_v.tolist(),
        (parked.hours, parked.crank_soc, parked.harm_soc, parked.hours_to_harm),
        (a.band.low_h, a.band.middle_h, a.band.high_h),
        None if week is None else (week.settled_soc, week.stored_ah, week.hold_min),
        _read(vehicle),
    )


def _read(vehicle: Vehicle) -> list[Any]:
    """What the readings say, and how long after locking the vehicle counts as asleep."""
    loads = (load_of(vehicle, look_up.slot(vehicle, r.target_id), r) for r in vehicle.readings)
    locked = Session(locked_at="2025-05-17T18:00:00")
    due = [timer.due for timer in timers(locked, vehicle, datetime(2025, 5, 17, 18, 5))]
    return [*((load.low_a, load.high_a) for load in loads if load is not None), *due]


def fitted(amperes: float = 5.0, *, place: str = "cabin", **tap: Any) -> Vehicle:
    """A slot that is live for good with an accessory that works for good."""
    vehicle = one_slot(feed_class="permanent", live_side="left")
    panel = vehicle.panels[0]
    vehicle = edits.change_panel(vehicle, panel.id, place=place, ambient_c=None)
    way = {"fuse": FIVE, "cable_out": CABLE, "earth_point": "bolt"} | tap
    vehicle = with_accessory(vehicle, amperes, **way)
    return edits.change_accessory(vehicle, "accessory-1", works_in=ALWAYS)


def relayed(*, load_kind: str = "constant_current", system_v: int = 12) -> Vehicle:
    """An own feed by a relay whose coil hangs on the slot."""
    vehicle = edits.change_vehicle(one_slot(feed_class="ignition"), system_v=system_v)
    vehicle = edits.add_accessory(
        vehicle,
        "Lamp bar",
        amperes=13.0,
        rated_v=float(system_v),
        load_kind=load_kind,
        leads=("power", "sense"),
    )
    vehicle = edits.place(
        vehicle, "accessory-1", slot=None, relay=True, fuse=Fuse(family="maxi", rating=30.0)
    )
    return edits.place(vehicle, "accessory-1", "sense", slot=only_slot(vehicle).id, kind="splice")


def parked(**parking: Any) -> Vehicle:
    """A vehicle that stands, with a small permanent load."""
    return edits.change_parking(fitted(0.2), stand_days=14.0, **parking)


def driven() -> Vehicle:
    """A vehicle with ten minutes of driving on every working day."""
    days = ("mon", "tue", "wed", "thu", "fri")
    return parked(drives=(Drive(start_h=8.0, minutes=60.0, weekdays=days),))


def labelled() -> Vehicle:
    """Driven, with an alternator of which the label is known, and a load that is on meanwhile."""
    vehicle = edits.change_parking(driven(), alternator_a=100.0)
    vehicle = edits.add_accessory(vehicle, "heater", amperes=40.0, works_in=("running",))
    return edits.place(vehicle, vehicle.accessories[-1].id, kind="own_feed")


def powered(fuel: str, litres: float) -> Vehicle:
    """An engine that is known, and a battery whose label says what it gives in the cold."""
    vehicle = parked(coldest_c=-10.0, engine_fuel=fuel, engine_l=litres)
    return edits.change_battery(vehicle, cca_a=500.0)


def measured() -> Vehicle:
    """A slot with a reading across its fuse."""
    vehicle = fitted()
    reading = Reading(
        id="r1",
        when="2025-05-17",
        quantity="millivolts",
        value=5.0,
        target_id=only_slot(vehicle).id,
    )
    return replace(vehicle, readings=(reading,))


def unmeasured() -> Vehicle:
    """A vehicle of which nobody knows what it draws at rest."""
    vehicle = parked(rest_current_a=None)
    return edits.change_slot(vehicle, only_slot(vehicle).id, own_load=StateLoads())


def long_and_thin() -> Vehicle:
    """A cable at whose end a short is some three times the fuse's rating."""
    cable = Cable(section_mm2=0.5, length_m=10.0)
    return fitted(fuse=Fuse(family="mini", rating=7.5), cable_out=cable)


def starting(load_kind: str, **changes: Any) -> Vehicle:
    """A load of which nobody said how it starts."""
    return edits.change_accessory(fitted(), "accessory-1", load_kind=load_kind, **changes)


def unread(**parking: Any) -> Vehicle:
    """A slot whose own load nobody measured, in a vehicle of which the same is true."""
    vehicle = edits.change_parking(fitted(), rest_current_a=None, awake_current_a=None, **parking)
    return edits.change_slot(vehicle, only_slot(vehicle).id, own_load=StateLoads())


def unlimited() -> Vehicle:
    """A feed of some resistance without any limit; nobody said what else it carries."""
    feed = {"limit_a": None, "fuse": None, "other_load": StateLoads(), "resistance_mohm": 20.0}
    return edits.change_feed(fitted(), "feed-1", **feed)


def through(place: str) -> Vehicle:
    """A cable that lies in one place."""
    return fitted(cable_out=Cable(section_mm2=0.75, length_m=6.0, place=place))


def led(*, from_block: bool = False, unfused_m: float, sleeve: str) -> Vehicle:
    """A fuse block's feed with its fuse so far from where the current is taken."""
    told = {"added": True, "fuse": Fuse(family="strip_30", rating=60.0)}
    cable = Cable(section_mm2=16.0, length_m=4.0)
    vehicle = edits.add_feed(fitted(), "Stud")
    above = vehicle.feeds[-1].id if from_block else None
    return edits.add_feed(
        vehicle, "Block", parent=above, cable=cable, unfused_m=unfused_m, sleeve=sleeve, **told
    )


def earthed(load_kind: str = "constant_current", *, accessories: int = 1) -> Vehicle:
    """Accessories at one earth point, and what it costs them."""
    vehicle = edits.add_earth(fitted(), "bolt", others=0, resistance_mohm=2.0)
    for number in range(accessories):
        vehicle = edits.add_accessory(
            vehicle, f"Thing {number}", amperes=8.0, load_kind=load_kind, works_in=ALWAYS
        )
        where = {"fuse": FIVE, "cable_out": CABLE, "earth": vehicle.earths[0].id}
        vehicle = edits.place(vehicle, vehicle.accessories[-1].id, **where)
    return vehicle


def on_an_output() -> Vehicle:
    """A thin cable behind a converter, without a fuse."""
    converter = Converter(rating_a=15.0)
    vehicle = edits.add_accessory(
        Vehicle(name="Truck"), "Converter", watts=2.0, converter=converter
    )
    vehicle = edits.place(vehicle, "accessory-1")
    thin = Cable(section_mm2=0.75, length_m=1.0)
    return edits.add_accessory(
        vehicle, "Radio", watts=20.0, supplied_by="accessory-1", lead_cable=thin
    )


def pulling(amperes: float) -> Vehicle:
    """Something that pulls for a minute."""
    vehicle = edits.add_accessory(
        Vehicle(name="Pickup"), "Winch", amperes=amperes, load_kind="motor", short_s=60.0
    )
    heavy = Cable(section_mm2=35.0, length_m=2.0)
    fuse = Fuse(family="strip_51", rating=200.0)
    return edits.place(vehicle, "accessory-1", fuse=fuse, cable_out=heavy)


def waiting() -> Vehicle:
    """A fan on a timer."""
    vehicle = edits.add_accessory(one_slot(), "Fan", amperes=4.0, works_in=ALWAYS)
    vehicle = edits.change_parking(vehicle, rest_current_a=0.02)
    return edits.place(vehicle, "accessory-1", slot="slot-1", switch="timer", timer_min=30.0)


def plugged(kind: str) -> Vehicle:
    """Something in a socket of a kind, of a tow socket on pin 9."""
    vehicle = edits.add_accessory(one_slot(), "Thing", amperes=8.0)
    vehicle = edits.add_socket(vehicle, "Socket", kind=kind, slot="slot-1")
    return edits.plug_in(vehicle, "accessory-1", "socket-1", 9)


BUILT_FOR: dict[str, Callable[[], Vehicle]] = {
    "own_load_share": unread,
    "feed_open_a": unlimited,
    "asleep_most_a": unread,
    "start_motor_times": lambda: starting("motor"),
    "start_motor_s": lambda: starting("motor"),
    "start_filament_times": lambda: starting("filament"),
    "start_filament_s": lambda: starting("filament"),
    "start_input_times": lambda: starting("constant_power", converter=Converter()),
    "start_input_s": lambda: starting("constant_power", converter=Converter()),
    "relay_threshold_a": lambda: fitted(5.0),
    "relay_coil_ma": relayed,
    "relay_contact_a": relayed,
    "relay_24v_share": lambda: relayed(system_v=24),
    "relay_motor_times": lambda: relayed(load_kind="motor"),
    "relay_lamp_times": lambda: relayed(load_kind="filament"),
    "switch_contact_a": lambda: fitted(8.0, switch="hand"),
    "converter_limit_times": on_an_output,
    "sense_budget_ma": relayed,
    "fuse_times_load": lambda: fitted(0.5, fuse=Fuse(family="mini", rating=7.5)),
    "fuse_spread": measured,
    "far_end_multiple_least": long_and_thin,
    "start_line_soc": parked,
    "start_line_slope_per_k": lambda: parked(coldest_c=-10.0),
    "start_line_less": parked,
    "start_line_more": parked,
    "start_floor_soc": lambda: powered("petrol", 1.4),
    "start_petrol_a_per_l": lambda: powered("petrol", 2.5),
    "start_diesel_a_per_l": lambda: powered("diesel", 2.0),
    "start_large_diesel_a_per_l": lambda: powered("diesel", 7.0),
    "start_motorcycle_a_per_l": lambda: powered("motorcycle", 1.2),
    "start_petrol_v": lambda: powered("petrol", 2.5),
    "start_diesel_v": lambda: powered("diesel", 2.0),
    "start_motorcycle_v": lambda: powered("motorcycle", 1.2),
    "cold_share": lambda: powered("diesel", 2.0),
    "wake_ups_ma": parked,
    "contactor_min_v": lambda: parked(starts_by="contactors"),
    "contactor_load_a": lambda: parked(starts_by="contactors"),
    "deep_discharge_soc": parked,
    "alternator_spare_a": driven,
    "alternator_hot_share": labelled,
    "alternator_idle_share": labelled,
    "vehicle_running_a": labelled,
    "charge_target_soc": driven,
    "rest_current_assumed_ma": unmeasured,
    "rest_current_good_ma": lambda: parked(rest_current_a=0.06),
    "rest_current_high_ma": lambda: parked(rest_current_a=0.06),
    "key_off_load_ma": lambda: fitted(0.2),
    "ambient_boot_c": lambda: fitted(place="boot"),
    "ambient_engine_bay_c": lambda: fitted(place="engine_bay"),
    "ambient_under_carpet_c": lambda: fitted(place="under_carpet"),
    "ambient_sill_c": lambda: through("sill"),
    "ambient_roof_c": lambda: through("roof"),
    "ambient_underbody_c": lambda: through("underbody"),
    "ambient_trailer_c": lambda: through("trailer"),
    "unfused_open_mm": lambda: led(unfused_m=0.18, sleeve="open"),
    "unfused_sleeved_mm": lambda: led(unfused_m=0.45, sleeve="sleeved", from_block=True),
    "unfused_sleeved_most_mm": lambda: led(unfused_m=1.0, sleeve="sleeved", from_block=True),
    "unfused_post_mm": lambda: led(unfused_m=0.9, sleeve="sleeved"),
    "unfused_post_most_mm": lambda: led(unfused_m=1.8, sleeve="sleeved"),
    "earth_drop_mv": lambda: earthed(),
    "earth_drop_motor_mv": lambda: earthed("motor"),
    "earth_eyelets": lambda: earthed(accessories=3),
    "amplifier_share": lambda: edits.add_accessory(
        one_slot(), "Amplifier", watts=300.0, output_w=200.0
    ),
    "timer_rest_ma": waiting,
    "short_rest_min": lambda: pulling(amperes=150.0),
    "socket_lighter_a": lambda: plugged("lighter"),
    "socket_harness_a": lambda: plugged("harness"),
    "socket_diagnosis_a": lambda: plugged("diagnosis"),
    "socket_tow_a": lambda: plugged("tow_13"),
}


@pytest.mark.parametrize("key", list(tables.rule_defaults()))
def test_every_named_rule_moves_a_figure_or_a_verdict(key: str) -> None:
    rule = tables.rule_defaults()[key]
    vehicle = BUILT_FOR.get(key, fitted)()
    usual = outcome(vehicle)
    moved = [outcome(edits.set_rule(vehicle, key, value)) for value in (rule.low, rule.high)]
    assert any(other != usual for other in moved), f"nothing changes with {key}"
