"""What the current's way visits: from the battery over the feeds to a slot, and to the accessory.

In: a vehicle and what is chosen in it, or what is in hand over a slot. Out: a `Leg` for each lead
that is drawn, as the network has it. Nothing here knows where anything stands. No Qt.
"""

from typing import TYPE_CHECKING

from msgspec import Struct
from msgspec.structs import replace

from fusemap.vehicle import BATTERY, Slot, Tap, Vehicle, look_up
from fusemap.vehicle.words import SEATED, LeadName, LiveSide
from fusemap.window.way.route import UNKNOWN

if TYPE_CHECKING:
    from fusemap.window.document import Selection


class Leg(Struct, frozen=True):
    """One lead's way: the feeds from the battery downwards, the slot, and what hangs on it.

    `known` tells whether it is known from where the slot is supplied; `fed` whether it is supplied
    at all. `through`: it is tapped behind the fuse. Without a slot it is an own feed. Without
    `accessory` nothing is tapped, and the way ends at the live contact. `behind` are what it leads
    on to behind a converter, one after the other, as far as what is chosen.
    """

    feeds: tuple[str, ...] = ()
    known: bool = True
    fed: bool = True
    slot: str | None = None
    side: LiveSide = "unknown"
    through: bool = False
    tap: str = ""
    accessory: str = ""
    lead: LeadName = "power"
    behind: tuple[str, ...] = ()

    @property
    def source(self) -> tuple[str, ...]:
        """The keys of what lies above the slot, from the battery downwards."""
        if not self.known:
            return (UNKNOWN,)
        return ("battery", *(f"feed:{feed}" for feed in self.feeds))

    @property
    def at_slot(self) -> tuple[str, ...]:
        """The keys of what is passed in the slot."""
        if self.slot is None:
            return ()
        return ("live_contact", "host_fuse") if self.through else ("live_contact",)


def legs(vehicle: Vehicle, selection: "Selection | None") -> tuple[Leg, ...]:
    """The ways of what is chosen: one, or the two leads of one accessory."""
    if selection is None:
        return ()
    kind, wanted = selection.kind, selection.id
    if kind == "slot":
        taps = look_up.taps_on(vehicle, wanted)
        power = [tap for tap in taps if tap.lead == "power"]
        if taps:
            return (leg_of(vehicle, (power or list(taps))[0]),)
        slot = look_up.slot(vehicle, wanted)
        return (slot_leg(vehicle, slot),) if slot.kind == "fuse" else ()
    if kind == "tap":
        return (leg_of(vehicle, look_up.tap(vehicle, wanted)),)
    if kind == "accessory":
        return _of_accessory(vehicle, wanted)
    if kind == "feed":
        return (Leg(_feeds(vehicle, wanted)),)
    return ()


def _of_accessory(vehicle: Vehicle, accessory_id: str) -> tuple[Leg, ...]:
    """Its leads, the supply first; behind a converter the supply of that."""
    accessory = look_up.accessory(vehicle, accessory_id)
    over = [each.id for each in look_up.above(vehicle, accessory)]
    ends, behind = over[-1:], (*over[-2::-1], accessory_id) if over else ()
    supply = [tap for tap in vehicle.taps if tap.accessory in (*ends, accessory_id)]
    supply.sort(key=lambda tap: tap.lead != "power")
    found: dict[LeadName, Leg] = {}
    for tap in supply:
        if tap.accessory == accessory_id or tap.lead == "power":
            leg = leg_of(vehicle, tap)
            beyond = tap.accessory != accessory_id
            found.setdefault(tap.lead, replace(leg, behind=behind) if beyond else leg)
    return tuple(found.values())


def leg_of(vehicle: Vehicle, tap: Tap) -> Leg:
    """The way of one tap."""
    if tap.slot is None:
        feeds = _feeds(vehicle, tap.feed)
        return Leg(feeds, tap=tap.id, accessory=tap.accessory, lead=tap.lead)
    slot = look_up.slot(vehicle, tap.slot)
    # what does not sit in the fuse's place is joined behind it
    through = tap.kind not in SEATED or tap.way_round == "load_side"
    return slot_leg(
        vehicle, slot, through=through, tap=tap.id,
        accessory=tap.accessory, lead=tap.lead,
    )  # fmt: skip


def slot_leg(
    vehicle: Vehicle,
    slot: Slot,
    *,
    through: bool = False,
    tap: str = "",
    accessory: str = "",
    lead: LeadName = "power",
) -> Leg:
    """The way to a slot, and on to what hangs on it."""
    known = slot.feed is not None and slot.feed_class != "unknown"
    return Leg(
        _feeds(vehicle, slot.feed) if known else (),
        known=known,
        fed=slot.feed_class != "unfed",
        slot=slot.id,
        side=slot.live_side,
        through=through,
        tap=tap,
        accessory=accessory,
        lead=lead,
    )


def _feeds(vehicle: Vehicle, first: str | None) -> tuple[str, ...]:
    """The feeds from the battery down to this one."""
    if first is None or first == BATTERY:
        return ()
    return tuple(feed.id for feed in look_up.feeds_above(vehicle, first))[::-1]
