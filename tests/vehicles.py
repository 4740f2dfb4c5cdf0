"""Small vehicles to try things on; every figure is invented."""

from fusemap.vehicle import Battery, Fuse, Parking, Slot, StateLoads, Vehicle, edits
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
    vehicle = edits.add_feed(vehicle, "Main feed", limit_a=40.0)
    vehicle = edits.add_panel(vehicle, "Dash", 1, 1, ambient_c=25.0)
    return edits.change_slot(
        vehicle,
        only_slot(vehicle).id,
        **{
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
