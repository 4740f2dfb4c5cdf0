"""The rules that forbid a slot for a lead, whatever room there is; and room as rules of its own.

In: an assessed vehicle, an `Ask`. Out: for every slot the rules it breaks, each with a key (stable,
used where rules are weighed against each other), a verdict of a word or two, and a sentence.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from fusemap import tables
from fusemap.assess import Assessment
from fusemap.checks.relays import sense_load_a
from fusemap.leave_alone import Mark, unanswered
from fusemap.placement.asks import Ask
from fusemap.placement.rooms import CEILING, CONTACT, FEED, FUSE, HOST, PLACES, Rooms
from fusemap.units import quantity
from fusemap.vehicle import LIVE_IN, SEATED, Accessory, Slot, Vehicle, look_up

CLASS_WORDS: Final = {
    "permanent": "permanent",
    "ignition": "ignition",
    "accessory": "accessory",
    "delayed_off": "delayed-off",
    "lighting": "lighting",
    "unfed": "unfed",
    "unknown": "of unknown class",
}
SLOT_WORDS: Final = {
    "permanent": "a permanent slot",
    "ignition": "an ignition slot",
    "accessory": "an accessory slot",
    "delayed_off": "a delayed-off slot",
    "lighting": "a lighting slot",
    "unfed": "an unfed slot",
    "unknown": "a slot of unknown class",
}
HIGHEST_12V, LOWEST_24V = 16.0, 18.0
"""Rated voltages [V] that still belong to a 12 V and already to a 24 V system."""
TOW_KINDS: Final = ("tow_module",)


@dataclass(frozen=True, slots=True)
class Broken:
    """One rule that a slot breaks for a lead."""

    key: str
    verdict: str
    reason: str


def broken_rules(a: Assessment, left: Rooms, column: int) -> tuple[Broken, ...]:
    """Every rule that slot number `column` breaks for the lead of `left`; the first decides."""
    slot = a.circuit.slots.slots[column]
    ask = left.ask
    return (
        *_slot_rules(a.vehicle, ask, slot),
        *wrong_voltage(a.vehicle, ask.accessory),
        *_wrong_class(ask, slot),
        *_tap_rules(a, ask, slot),
        *_load_rules(a, ask, slot),
        *_start_rule(left, column),
        *_room_rules(a, left, column),
    )


def _slot_rules(vehicle: Vehicle, ask: Ask, slot: Slot) -> Iterator[Broken]:
    if slot.critical:
        reason = f": {slot.critical_reason}" if slot.critical_reason else ""
        yield Broken("critical", "critical", f"Its circuit must be left alone{reason}.")
    if slot.monitored:
        yield Broken("monitored", "monitored", "The vehicle watches the current of this circuit.")
    for mark, why in unanswered(slot).items():
        yield Broken(f"looks_{mark}", *_looks(mark, why))


def _looks(mark: Mark, why: str) -> tuple[str, str]:
    """Verdict and reason for a circuit that its name says to leave alone, not answered yet."""
    if mark == "critical":
        return "critical?", (
            f"By its name it must be left alone ({why}): mark it, or write what it really feeds."
        )
    return "monitored?", (
        f"By its name the vehicle watches it ({why}): mark it, or write what it really feeds."
    )


def wrong_voltage(vehicle: Vehicle, accessory: Accessory) -> Iterator[Broken]:
    """A 12 V accessory in a 24 V vehicle, or the other way round."""
    if vehicle.system_v == 24 and accessory.rated_v <= HIGHEST_12V:
        yield Broken(
            "voltage",
            "converter",
            "A 12 V accessory needs a converter in a 24 V vehicle; never take 12 V from the middle "
            "of two batteries.",
        )
    if vehicle.system_v == 12 and accessory.rated_v >= LOWEST_24V:
        yield Broken("voltage", "24 V", "A 24 V accessory does not work in a 12 V vehicle.")


def _wrong_class(ask: Ask, slot: Slot) -> Iterator[Broken]:
    live = LIVE_IN[slot.feed_class]
    word = CLASS_WORDS[slot.feed_class]
    needs, power = ask.accessory.needs, ask.lead == "power"
    if slot.feed_class == "unfed":
        yield Broken("unfed", "unfed", "It has no supply.")
    elif slot.feed_class == "unknown":
        yield Broken("unknown", "not known", "When it is live was not measured.")
    elif not power and ("asleep" in live or slot.feed_class == "lighting"):
        yield _class(f"A sense lead needs a switched slot; this one is {word}.")
    elif power and needs == "permanent" and "asleep" not in live:
        yield _class(f"It needs a permanent feed; this slot is {word}.")
    elif power and needs == "switched" and "asleep" in live:
        yield _class("It needs a switched feed; this slot stays live when parked.")
    elif slot.feed_class == "lighting" and power:
        yield _class("It would work with the lamps on only.")
    elif power and not set(live) & set(ask.accessory.works_in):
        yield _class(f"It is {word}, dead whenever the accessory works.")


def _class(reason: str) -> Broken:
    return Broken("class", "wrong feed", reason)


def _tap_rules(a: Assessment, ask: Ask, slot: Slot) -> Iterator[Broken]:
    """The tap fits the fuse's shape, and its seat is free: one two-fuse tap to a slot."""
    family = tables.fuse_family(slot.family)
    if not family.has_two_fuse_tap:
        yield Broken("tap", "no tap", f"No fuse tap for the {family.name} family is listed.")
    for tap in look_up.taps_on(a.vehicle, slot.id):
        mine = (tap.accessory, tap.lead) == (ask.accessory.id, ask.lead)
        if tap.kind in SEATED and not mine:
            name = look_up.accessory(a.vehicle, tap.accessory).name
            yield Broken("seat", "taken", f"The tap of “{name}” sits here already.")
            return


def _load_rules(a: Assessment, ask: Ask, slot: Slot) -> Iterator[Broken]:
    """What belongs on a relay with an own feed; what a sense circuit may not drive."""
    reason = relay_reason(a, ask)
    if reason:
        yield Broken("relay", "relay", reason)
    budget = a.rule("sense_budget_ma") / 1000
    others = sense_load_a(a, slot.id, but=ask.accessory.id) if ask.lead == "sense" else 0.0
    if ask.lead == "sense" and ask.peak_a + others > budget * (1 + 1e-9):
        beside = f" beside {quantity(others, 'A')} of others" if others else ""
        yield Broken(
            "budget",
            "too much",
            f"A sense circuit drives {quantity(budget, 'A')} at most, "
            f"{quantity(ask.peak_a, 'A')} asked{beside}.",
        )


def relay_reason(a: Assessment, ask: Ask) -> str:
    """Why a lead belongs on an own feed, with a relay where it is switched; empty where not.

    Above the rule's threshold; a motor whose current, as many times as its contacts have to be
    rated for, is above it; a tow socket.
    """
    it, limit = ask.accessory, a.rule("relay_threshold_a")
    if ask.lead != "power":
        return ""
    if it.kind in TOW_KINDS:
        return "A tow socket takes its current from a feed of its own, not from a lamp circuit."
    if ask.peak_a > limit * (1 + 1e-9):
        return (
            f"{quantity(ask.peak_a, 'A')} is too heavy for a slot; above {quantity(limit, 'A')} it "
            f"belongs on an own feed{_by_relay(it)}."
        )
    times = a.rule("relay_motor_times")
    if it.load_kind == "motor" and ask.peak_a * times > limit * (1 + 1e-9):
        return (
            f"A motor of {quantity(ask.peak_a, 'A')} needs contacts rated for {times:g} times "
            f"that; it belongs on an own feed{_by_relay(it)}."
        )
    return ""


def _by_relay(accessory: Accessory) -> str:
    return "" if accessory.needs == "permanent" else " with a relay"


def _start_rule(left: Rooms, column: int) -> Iterator[Broken]:
    """A start that wears out every accessory fuse that tap and host allow."""
    if left.worn[column]:
        it = left.ask.accessory
        yield Broken(
            "start",
            "hard start",
            f"Its start, {quantity(left.ask.start_a, 'A')} for {quantity(it.inrush_s, 's')}, wears "
            f"out a fuse of {left.fuse_a[column]:g} A, the largest that tap and host allow; an own "
            "feed may have a larger one.",
        )


def _room_rules(a: Assessment, left: Rooms, column: int) -> Iterator[Broken]:
    for place, rule in enumerate(PLACES):
        margin = float(left.left_a[place, column])
        if margin >= -1e-9:
            continue
        where, key = place_words(a, left, place, column), rule
        if place == FEED:
            key = f"feed:{a.feeds.ids[int(left.feed[column])]}"
        asked = left.ask.lasting_a if place == FUSE else left.ask.peak_a
        if place == FUSE and left.fuse_a[column] == 0:
            reason = "The host fuse is smaller than any accessory fuse of its family."
        else:
            room = quantity(max(margin + asked, 0.0), "A")
            reason = f"{_capital(where)} has room for {room}, {quantity(asked, 'A')} asked."
        yield Broken(key, "too much", reason)


def place_words(a: Assessment, left: Rooms, place: int, column: int) -> str:
    """A place as people call it: “the live contact”, “the feed “Dash””."""
    if place == FEED:
        return f"the feed “{a.vehicle.feeds[int(left.feed[column])].name}”"
    return {
        CONTACT: "the live contact",
        CEILING: "the fuse tap",
        FUSE: f"an accessory fuse of {left.fuse_a[column]:g} A, the largest here,",
        HOST: "the host fuse, which may carry it as long as the live side is not measured,",
    }[place]


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
