"""Small vehicles to try things on; every figure is invented."""

from msgspec.structs import replace

from fusemap.vehicle import Battery, Cable, Fuse, Parking, Slot, StateLoads, Vehicle, edits
from fusemap.vehicle.words import FeedClass


def loads(value: float) -> StateLoads:
    """The same current in every state."""
    return StateLoads(asleep=value, awake=value, accessory=value, ignition=value, running=value)


def one_slot(
    *,
    own_a: float = 2.0,
    rating: float = 15.0,
    feed_class: FeedClass = "permanent",
    **slot_fields: object,
) -> Vehicle:
    """A 12 V vehicle with a panel of a single slot, on a feed of 40 A, in a warm cabin of 25 °C."""
    vehicle = Vehicle(
        name="Bench",
        battery=Battery(capacity_ah=70.0, soh=1.0, start_soc=1.0),
        parking=Parking(rest_current_a=0.02, awake_current_a=0.02, temperature_c=25.0),
    )
    vehicle = edits.add_feed(vehicle, "Main feed", limit_a=40.0, other_load=loads(0.0))
    vehicle = edits.add_panel(vehicle, "Dash", 1, 1, ambient_c=25.0)
    return edits.change_slot(
        vehicle,
        only_slot(vehicle).id,
        **{
            "circuit": "Radio",
            "fuse": Fuse(family="mini", rating=rating),
            "feed_class": feed_class,
            "feed": "feed-1",
            "own_load": loads(own_a),
            "live_side": "left",
            **slot_fields,
        },
    )


def only_slot(vehicle: Vehicle) -> Slot:
    """The slot of a vehicle that has one."""
    return vehicle.panels[0].slots[0]


def with_accessory(vehicle: Vehicle, amperes: float = 5.0, **tap: object) -> Vehicle:
    """The vehicle with an accessory of constant current on its only slot."""
    vehicle = edits.add_accessory(
        vehicle, "Lamp", amperes=amperes, rated_v=12.0, load_kind="constant_current"
    )
    slot = None if tap.get("kind") == "own_feed" else only_slot(vehicle).id
    return edits.place(vehicle, "accessory-1", slot=slot, **tap)


def large(panels: int = 3, accessories: int = 30) -> Vehicle:
    """Three panels of 40 slots, feeds three deep, thirty accessories with cables."""
    vehicle = Vehicle(
        name="Large",
        battery=Battery(capacity_ah=95.0, reserve_min=160.0, soh=0.9, start_soc=0.9),
        parking=Parking(rest_current_a=0.025, awake_current_a=2.0),
    )
    vehicle = edits.add_feed(
        vehicle, "Battery cable", limit_a=200.0, resistance_mohm=1.0, other_load=loads(0.0)
    )
    for number in range(6):
        vehicle = edits.add_feed(
            vehicle,
            f"Feed {number + 1}",
            parent="feed-1" if number < 3 else f"feed-{number - 1}",
            limit_a=60.0,
            resistance_mohm=2.0,
            other_load=loads(0.0),
        )
    classes: tuple[FeedClass, ...] = ("permanent", "ignition", "accessory", "delayed_off")
    for _ in range(panels):
        vehicle = edits.add_panel(vehicle, f"Panel {len(vehicle.panels) + 1}", 5, 8)
    for n, slot in enumerate(s for panel in vehicle.panels for s in panel.slots):
        vehicle = edits.change_slot(
            vehicle,
            slot.id,
            circuit=f"Circuit {n + 1}",
            fuse=Fuse(family="mini", rating=(10.0, 15.0, 20.0)[n % 3]),
            feed_class=classes[n % 4],
            feed=f"feed-{n % 7 + 1}",
            own_load=StateLoads(asleep=0.001, awake=0.05, accessory=0.2, ignition=1.0, running=1.0),
            live_side="top",
        )
    slots = [s.id for panel in vehicle.panels for s in panel.slots]
    for n in range(accessories):
        vehicle = edits.add_accessory(
            vehicle,
            f"Accessory {n + 1}",
            watts=10.0 + n,
            rated_v=13.8,
            load_kind=("constant_power", "resistive", "filament")[n % 3],
            standby_a=0.002,
        )
        vehicle = edits.place(
            vehicle,
            f"accessory-{n + 1}",
            slot=slots[n * 4 % len(slots)],
            fuse=Fuse(family="mini", rating=5.0),
            cable_out=Cable(section_mm2=1.0, length_m=2.0 + n % 5, bundle=1 + n % 3),
            joint="butt_crimp",
            earth_point="bolt",
        )
    return vehicle


LONG = (
    "Auxiliary charging socket in the luggage compartment behind the folding seat on the left",
    "Rückfahrscheinwerferzusatzbeleuchtungssteuergerätestromversorgungsleitung",
    "مقبس شحن إضافي للهاتف خلف المقعد",
    "שקע טעינה נוסף מאחורי המושב",
    "荷室用追加充電ソケット（左側）",
    "后备箱附加充电插座",
    "K",
)
"""Names as people type them: long, without a space, read from the right, in other scripts."""


def hard_names() -> Vehicle:
    """The large vehicle with names that are hard to set, and every way of connecting something."""
    vehicle = replace(large(), name=f"{LONG[0]} {LONG[2]} {LONG[4]}", note=" ".join(LONG * 3))
    for n, panel in enumerate(vehicle.panels):
        vehicle = edits.change_panel(vehicle, panel.id, name=LONG[n * 2])
    for n, slot in enumerate(s for panel in vehicle.panels for s in panel.slots):
        vehicle = edits.change_slot(
            vehicle,
            slot.id,
            label=f"F{n + 1}" if n % 5 else LONG[n % 7][:14],
            circuit=LONG[n % 7],
            note=LONG[(n + 3) % 7] if n % 4 == 0 else "",
            live_side=("top", "bottom", "left", "right", "unknown")[n % 5],
            orientation=("upright", "lying")[n % 2],
            critical=n % 11 == 1,
            monitored=n % 13 == 0,
        )
    return _hard_accessories(vehicle)


def _hard_accessories(vehicle: Vehicle) -> Vehicle:
    for n, tap in enumerate(vehicle.taps):
        vehicle = edits.change_accessory(
            vehicle,
            tap.accessory,
            name=f"{LONG[n % 7]} {n}",
            note=LONG[(n + 1) % 7] * 2,
            leads=("power", "sense") if n % 3 == 0 else ("power",),
        )
        cable = tap.cable_out
        assert cable is not None
        cable = replace(cable, colour=LONG[(n + 2) % 7])
        way: dict[str, object] = {"cable_out": cable, "earth_point": LONG[(n + 4) % 7]}
        reason = {
            "justification": f"{LONG[(n + 5) % 7]}, {LONG[0]}",
            "found_how": f"{LONG[2]}, {LONG[(n + 6) % 7]}",
        }
        way.update(reason)
        kind = ("two_fuse", "take_off_lead", "splice", "two_fuse", "own_feed")[n % 5]
        if kind == "own_feed":
            way.update(feed="feed-1" if n % 2 else None, relay=n % 3 == 0, cable_back=cable)
        else:
            way.update(way_round=("live_side", "load_side")[n % 2])
        slot = None if kind == "own_feed" else tap.slot
        vehicle = edits.place(vehicle, tap.accessory, slot=slot, kind=kind, **way)
        if n % 3 == 0:
            vehicle = edits.place(
                vehicle, tap.accessory, "sense", slot=tap.slot, kind="splice", **reason
            )
    return vehicle
