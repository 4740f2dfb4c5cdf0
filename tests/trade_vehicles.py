"""Six vehicles of the trade, invented, built as handbooks say.

Every figure is invented; sizes follow the program's own tables. Nothing in them is left unmeasured,
so that whatever is told of them is a false alarm.
"""

from msgspec.structs import replace

from fusemap.advise import library
from fusemap.vehicle import (
    Battery,
    Cable,
    Converter,
    CrankReading,
    Fuse,
    Maintainer,
    Parking,
    SecondBattery,
    Stretch,
    Tap,
    Vehicle,
    edits,
)
from fusemap.vehicle.words import FeedClass, SystemVoltage
from tests.vehicles import loads

SLOTS: tuple[tuple[str, FeedClass, float, float], ...] = (
    ("Interior lamp", "permanent", 10.0, 0.2),
    ("Rear socket", "permanent", 15.0, 0.0),
    ("Radio", "accessory", 15.0, 1.0),
    ("Rear wiper", "ignition", 15.0, 1.5),
    ("Seat heating", "ignition", 15.0, 3.0),
)
"""Circuit, class, fuse [A], own load [A] while live."""


def base(name: str, *, system_v: SystemVoltage = 12, parking: Parking, battery: Battery) -> Vehicle:
    """A vehicle with one panel of five slots, all measured, on two feeds."""
    vehicle = Vehicle(name=name, system_v=system_v, battery=battery, parking=parking)
    for feed, rating in (("Permanent feed", 60.0), ("Ignition relay", 40.0)):
        vehicle = edits.add_feed(
            vehicle,
            feed,
            fuse=Fuse(family="strip_30" if rating > 50 else "maxi", rating=rating),
            resistance_mohm=2.0,
            other_load=loads(0.0),
        )
    vehicle = edits.add_panel(vehicle, "Dash", 1, len(SLOTS), ambient_c=30.0)
    for slot, (circuit, feed_class, rating, own_a) in zip(
        vehicle.panels[0].slots, SLOTS, strict=True
    ):
        vehicle = edits.change_slot(
            vehicle,
            slot.id,
            circuit=circuit,
            fuse=Fuse(family="mini", rating=rating),
            feed_class=feed_class,
            feed="feed-1" if feed_class == "permanent" else "feed-2",
            own_load=replace(loads(own_a), asleep=0.0 if feed_class == "permanent" else own_a),
            live_side="top",
            function="comfort",
        )
    return vehicle


def slot(vehicle: Vehicle, circuit: str) -> str:
    """The id of the slot of a circuit."""
    return next(s.id for p in vehicle.panels for s in p.slots if s.circuit == circuit)


def fuse(rating: float, family: str = "mini") -> Fuse:
    return Fuse(family=family, rating=rating)


def cable(section_mm2: float, length_m: float, place: str = "cabin", *further: Stretch) -> Cable:
    return Cable(section_mm2=section_mm2, length_m=length_m, place=place, further=further)  # type: ignore[arg-type]


def bolt(vehicle: Vehicle, name: str = "bolt behind the side trim") -> Vehicle:
    """An earth point of the body, measured, with nothing else on it."""
    return edits.add_earth(
        vehicle, name, kind="body", stud_mm=8.0, others=0, sensitive="no", resistance_mohm=0.2
    )


def tapped(
    vehicle: Vehicle, circuit: str, fuse_a: float, wire: Cable, lead: str = "power"
) -> Vehicle:
    """The newest accessory by a two-fuse tap on a circuit, back by the body."""
    return edits.place(
        vehicle,
        vehicle.accessories[-1].id,
        lead,  # type: ignore[arg-type]
        slot=slot(vehicle, circuit),
        fuse=fuse(fuse_a),
        cable_out=wire,
        joint="butt_crimp",
        earth=None if lead == "sense" else vehicle.earths[0].id,
    )


def own(vehicle: Vehicle, guard: Fuse, wire: Cable, **fields: object) -> Vehicle:
    """The newest accessory on an own feed with both ways as cable."""
    usual = {"cable_back": wire, "joint": "ring_terminal", "earth": vehicle.earths[0].id}
    return edits.place(
        vehicle, vehicle.accessories[-1].id, slot=None, fuse=guard, cable_out=wire,
        **(usual | fields),
    )  # fmt: skip


def add(vehicle: Vehicle, kind: str, **fields: object) -> Vehicle:
    """An accessory as the library has it, with its figures as measured."""
    usual = library.fields(kind) | {"figures_from": "meter"}
    return edits.add_accessory(vehicle, **(usual | fields))


def of(vehicle: Vehicle, kind: str) -> str:
    """The id of the accessory of a kind."""
    return next(a.id for a in vehicle.accessories if a.kind == kind)


def tap_of(vehicle: Vehicle, kind: str, lead: str = "power") -> Tap:
    """Its tap."""
    wanted = of(vehicle, kind)
    return next(t for t in vehicle.taps if t.accessory == wanted and t.lead == lead)


STARTER = Battery(
    chemistry="agm", capacity_ah=80.0, cca_a=800.0, label_standard="en", soh=0.95, start_soc=0.9,
    rest_v=12.75,
)  # fmt: skip
QUIET = Parking(
    stand_days=7.0, rest_current_a=0.012, awake_current_a=1.5, sleep_after_min=20.0,
    temperature_c=15.0, coldest_c=0.0, engine_fuel="diesel", engine_l=2.0, night_logged=True,
    alternator_a=140.0, alternator_idle_a=70.0,
)  # fmt: skip


def camper() -> Vehicle:
    """A LiFePO4 second battery, a DC-DC charger, the sun on it, a block beside it."""
    vehicle = base("Camper", battery=STARTER, parking=QUIET)
    vehicle = edits.set_second_battery(
        vehicle,
        SecondBattery(
            chemistry="lifepo4", capacity_ah=100.0, soh=1.0, start_soc=0.95, link="dcdc",
            charger_a=30.0, rest_v=13.25, resistance_mohm=4.0,
            link_cable=cable(16.0, 1.0, "engine_bay", Stretch(length_m=3.0, place="sill")),
            near_fuse=fuse(50.0, "strip_30"), far_fuse=fuse(50.0, "strip_30"),
        ),
    )  # fmt: skip
    sun = Maintainer(kind="solar", current_a=4.0, from_h=9.0, to_h=16.0, battery="second")
    vehicle = edits.change_parking(vehicle, maintainer=sun)
    vehicle = edits.add_block(
        vehicle, "Living block", 4, family="regular", place="cabin", feed={
            "battery": "second", "fuse": fuse(60.0, "strip_30"), "cable": cable(16.0, 0.6),
            "unfused_m": 0.12, "sleeve": "sleeved", "place": "cabin",
        },
    )  # fmt: skip
    vehicle = bolt(vehicle)
    block = vehicle.panels[-1]
    vehicle = edits.change_slot(vehicle, block.slots[0].id, fuse=fuse(10.0, "regular"))
    vehicle = add(vehicle, "cool_box_compressor", battery="second")
    return edits.place(
        vehicle, vehicle.accessories[-1].id, slot=block.slots[0].id, kind="terminal",
        cable_out=cable(4.0, 3.0), cable_back=cable(4.0, 3.0), joint="ring_terminal",
        earth=vehicle.earths[0].id,
    )  # fmt: skip


def pickup() -> Vehicle:
    """A winch and a compressor on own feeds, a light bar on a relay with its switch."""
    vehicle = bolt(base("Pickup", battery=STARTER, parking=QUIET))
    vehicle = add(vehicle, "light_bar", leads=("power", "sense"), sense_a=0.0)
    bay = cable(2.5, 2.0, "engine_bay")
    vehicle = own(vehicle, fuse(15.0, "regular"), bay, relay=True)
    vehicle = tapped(vehicle, "Rear wiper", 2.0, cable(0.75, 2.0), "sense")
    vehicle = edits.change_tap(vehicle, vehicle.taps[-1].id, switch="hand", earth=None)
    vehicle = add(vehicle, "air_compressor", inrush_multiple=3.0, inrush_s=0.1)
    vehicle = own(vehicle, fuse(30.0, "regular"), cable(6.0, 2.0, "engine_bay"))
    vehicle = edits.add_earth(
        vehicle, "minus post", kind="battery_minus", sensor="no", others=1, sensitive="no",
        place="engine_bay", resistance_mohm=0.0,
    )  # fmt: skip
    vehicle = add(vehicle, "winch", inrush_multiple=1.5, inrush_s=0.5)
    heavy = replace(cable(95.0, 2.0, "engine_bay"), insulation="xlpe")
    guard = replace(fuse(300.0, "strip_51"), resistance_mohm=0.25)
    post = vehicle.earths[-1].id
    return own(vehicle, guard, heavy, earth=post, switch="hand", switch_limit_a=350.0)


def truck() -> Vehicle:
    """24 V, a converter for a radio and a charger, each with its own fuse and lead."""
    parking = replace(
        QUIET, engine_l=7.0, stand_days=2.0, alternator_a=100.0, alternator_idle_a=45.0
    )
    started = CrankReading(rest_v=12.7, crank_v=10.6, temperature_c=10.0)
    battery = replace(
        STARTER, capacity_ah=225.0, cca_a=1150.0, rest_v=25.4, crank_readings=(started,)
    )
    vehicle = bolt(base("Truck", system_v=24, battery=battery, parking=parking))
    vehicle = edits.add_accessory(
        vehicle, "Converter", watts=1.0, rated_v=27.6, kind="converter_24_12", needs="switched",
        converter=Converter(rating_a=10.0), figures_from="label",
    )  # fmt: skip
    vehicle = tapped(vehicle, "Rear wiper", 10.0, cable(2.5, 1.5))
    lead = {"lead_cable": cable(2.5, 1.5), "lead_back": cable(2.5, 1.5)}
    behind = {"supplied_by": vehicle.accessories[-1].id, **lead}
    vehicle = add(vehicle, "two_way_radio", lead_fuse=fuse(7.5), **behind)
    return add(vehicle, "phone_charger", lead_fuse=fuse(5.0), **behind)


def motorcycle() -> Vehicle:
    """One fuse for all, a small battery; a tracker beside it."""
    battery = Battery(
        chemistry="agm", capacity_ah=12.0, cca_a=200.0, label_standard="en", soh=1.0,
        start_soc=0.95, rest_v=12.8,
    )  # fmt: skip
    parking = Parking(
        stand_days=7.0, rest_current_a=0.001, awake_current_a=0.001, temperature_c=15.0,
        coldest_c=5.0, engine_fuel="motorcycle", engine_l=0.6, night_logged=True,
        alternator_a=30.0, alternator_idle_a=14.0, spare_a=15.0,
    )  # fmt: skip
    vehicle = Vehicle(name="Motorcycle", battery=battery, parking=parking)
    vehicle = edits.add_panel(vehicle, "Beside the battery", 1, 1, place="boot", ambient_c=40.0)
    vehicle = edits.add_feed(vehicle, "Ignition lock", limit_a=15.0, other_load=loads(0.0))
    vehicle = edits.change_slot(
        vehicle, vehicle.panels[0].slots[0].id, circuit="Everything", family="regular",
        fuse=fuse(15.0, "regular"), feed_class="ignition", feed="feed-1", own_load=loads(7.0),
        live_side="left", function="comfort",
    )  # fmt: skip
    vehicle = bolt(vehicle, "bolt under the seat")
    vehicle = add(vehicle, "usb_socket", watts=15.0, needs="switched")
    wire = cable(1.0, 1.0, "boot")
    return edits.place(
        vehicle, vehicle.accessories[-1].id, slot=vehicle.panels[0].slots[0].id,
        fuse=fuse(3.0, "regular"), cable_out=wire, joint="butt_crimp", earth=vehicle.earths[0].id,
    )  # fmt: skip


def van() -> Vehicle:
    """A tow module on an own feed, a block on a feed of its own with lamps and a pump."""
    vehicle = bolt(base("Van", battery=STARTER, parking=QUIET))
    vehicle = add(vehicle, "tow_module", needs="permanent")
    vehicle = own(vehicle, fuse(25.0, "regular"), cable(6.0, 1.0, "engine_bay",
                  Stretch(length_m=3.0, place="sill")))  # fmt: skip
    vehicle = edits.add_block(
        vehicle, "Load space block", 4, family="regular", place="boot", feed={
            "cable": cable(10.0, 0.5, "engine_bay", Stretch(length_m=3.0, place="sill")),
            "fuse": fuse(40.0, "strip_30"), "unfused_m": 0.15, "sleeve": "sleeved",
        },
    )  # fmt: skip
    way = vehicle.panels[-1].slots[0]
    vehicle = edits.change_slot(vehicle, way.id, fuse=fuse(5.0, "regular"))
    vehicle = add(vehicle, "led_strip", works_in=("accessory", "ignition", "running"))
    return edits.place(
        vehicle, vehicle.accessories[-1].id, slot=way.id, kind="terminal", switch="hand",
        cable_out=cable(1.5, 2.0, "boot"), joint="ring_terminal", earth=vehicle.earths[0].id,
    )  # fmt: skip


def electric() -> Vehicle:
    """An electric car whose drive battery tops the 12 V battery up; a camera in it."""
    battery = replace(STARTER, capacity_ah=45.0, cca_a=380.0)
    parking = Parking(
        stand_days=7.0, rest_current_a=0.015, awake_current_a=3.0, sleep_after_min=20.0,
        temperature_c=15.0, coldest_c=0.0, starts_by="contactors", night_logged=True,
        topped_up="yes", top_up_min=30.0, top_up_times=50.0, top_up_a=20.0, alternator_a=120.0,
    )  # fmt: skip
    vehicle = bolt(base("Electric car", battery=battery, parking=parking))
    vehicle = add(vehicle, "dash_camera", needs="switched")
    return tapped(vehicle, "Radio", 3.0, cable(0.75, 2.0))


BUILT = (camper, pickup, truck, motorcycle, van, electric)
