"""The rules that forbid a slot for a lead, whatever room there is; and room as rules of its own.

In: an assessed vehicle, an `Ask`. Out: for every slot the rules it breaks, each with a key (stable,
used where rules are weighed against each other), a verdict of a word or two, and a sentence.
"""

from collections.abc import Iterator
from typing import Final

from msgspec import Struct

from fusemap import tables
from fusemap.assess import Assessment
from fusemap.checks.relays import sense_load_a
from fusemap.circuits import QUESTIONS, Mark, unanswered
from fusemap.placement.rooms import CEILING, CONTACT, FEED, FUSE, HOST, PLACES, Ask, Rooms
from fusemap.text import Amount, Text, given, run_on, say, say_in
from fusemap.vehicle import LIVE_IN, SEATED, Accessory, Slot, Vehicle, look_up
from fusemap.vehicle.words import FeedClass

CLASS_WORDS: Final[dict[FeedClass, Text]] = {
    "permanent": say_in("feed class", "permanent"),
    "ignition": say_in("feed class", "ignition"),
    "accessory": say_in("feed class", "accessory"),
    "delayed_off": say_in("feed class", "delayed-off"),
    "lighting": say_in("feed class", "lighting"),
    "unfed": say_in("feed class", "without supply"),
    "unknown": say_in("feed class", "of unknown class"),
}
SLOT_WORDS: Final[dict[FeedClass, Text]] = {
    "permanent": say("It is a permanent slot."),
    "ignition": say("It is an ignition slot."),
    "accessory": say("It is an accessory slot."),
    "delayed_off": say("It is a delayed-off slot."),
    "lighting": say("It is a lighting slot."),
    "unfed": say("It is a slot without supply."),
    "unknown": say("It is a slot of unknown class."),
}
HIGHEST_12V, LOWEST_24V = 16.0, 18.0
"""Rated voltages [V] that still belong to a 12 V and already to a 24 V system."""
TOW_KINDS: Final = ("tow_module",)


class BrokenRule(Struct, frozen=True):
    """One rule that a slot breaks for a lead."""

    key: str
    verdict: Text
    reason: Text


def broken_rules(a: Assessment, left: Rooms, column: int) -> tuple[BrokenRule, ...]:
    """Every rule that slot number `column` breaks for the lead of `left`; the first decides.

    What a reading would cure comes last: nobody measures what forbids it all the same.
    """
    slot = a.circuit.slots.slots[column]
    ask = left.ask
    broken = (
        *_slot_rules(a.vehicle, ask, slot),
        *wrong_voltage(a.vehicle, ask.accessory),
        *_wrong_class(a.vehicle, ask, slot),
        *_tap_rules(a, ask, slot),
        *_load_rules(a, ask, slot),
        *_start_rule(left, column),
        *_room_rules(a, left, column),
    )
    return tuple(sorted(broken, key=lambda rule: rule.key == "unknown"))


def _slot_rules(vehicle: Vehicle, ask: Ask, slot: Slot) -> Iterator[BrokenRule]:
    if slot.critical:
        reason = say("Its circuit must be left alone.")
        if slot.critical_reason:
            why = tables.reasons(slot.critical_reason)
            reason = say("Its circuit must be left alone: {reason}.", reason=why)
        yield BrokenRule("critical", say("leave alone"), reason)
    if slot.monitored:
        yield BrokenRule(
            "monitored",
            say("watched"),
            say("The vehicle watches the current of this circuit."),
        )
    if any(each.slot == slot.id and each.kind == "diagnosis" for each in vehicle.sockets):
        yield BrokenRule(
            "diagnosis",
            say("for testers"),
            say("It feeds the diagnosis socket, which is kept free for testers."),
        )
    for mark, reasons in unanswered(slot).items():
        yield _looks_marked(mark, tables.reasons(reasons))


def _looks_marked(mark: Mark, reason: Text) -> BrokenRule:
    """A circuit that its name or feed class says to leave alone, not answered yet."""
    if mark == "critical":
        return BrokenRule(
            "looks_critical",
            QUESTIONS[mark],
            say(
                "By its name it must be left alone ({reason}): mark it, or write what it really "
                "feeds.",
                reason=reason,
            ),
        )
    return BrokenRule(
        "looks_monitored",
        QUESTIONS[mark],
        say(
            "By its name or feed class the vehicle watches it ({reason}): mark it, or write "
            "what it really feeds.",
            reason=reason,
        ),
    )


def wrong_voltage(vehicle: Vehicle, accessory: Accessory) -> Iterator[BrokenRule]:
    """A 12 V accessory in a 24 V vehicle, or the other way round."""
    if vehicle.system_v == 24 and accessory.rated_v <= HIGHEST_12V:
        yield BrokenRule(
            "voltage",
            say("converter"),
            say(
                "A 12 V accessory needs a converter in a 24 V vehicle; never take 12 V from the "
                "middle of two batteries."
            ),
        )
    if vehicle.system_v == 12 and accessory.rated_v >= LOWEST_24V:
        yield BrokenRule(
            "voltage",
            run_on(given(24, "V")),
            say("A 24 V accessory does not work in a 12 V vehicle."),
        )


def _wrong_class(vehicle: Vehicle, ask: Ask, slot: Slot) -> Iterator[BrokenRule]:
    live = LIVE_IN[slot.feed_class]
    word = CLASS_WORDS[slot.feed_class]
    needs, power = ask.accessory.needs, ask.lead == "power"
    lamps = slot.feed_class == "lighting" and not _with_main_beam(vehicle, ask)
    if slot.feed_class == "unfed":
        yield BrokenRule("unfed", say("no supply"), say("It has no supply."))
    elif slot.feed_class == "unknown":
        yield BrokenRule("unknown", say("not known"), say("When it is live was not measured."))
    elif not power and ("asleep" in live or lamps):
        yield _class(
            say("A sense lead needs a switched slot; this one is {feed_class}.", feed_class=word)
        )
    elif power and needs == "permanent" and "asleep" not in live:
        yield _class(say("It needs a permanent feed; this slot is {feed_class}.", feed_class=word))
    elif power and needs == "switched" and "asleep" in live:
        yield _class(say("It needs a switched feed; this slot stays live when parked."))
    elif slot.feed_class == "lighting" and power:
        yield _class(say("It would work with the lamps on only."))
    elif power and not set(live) & set(ask.accessory.works_in):
        yield _class(say("It is {feed_class}, dead whenever the accessory works.", feed_class=word))


def _with_main_beam(vehicle: Vehicle, ask: Ask) -> bool:
    """Whether the lead is said to work with the main beam only: a lamp circuit suits it."""
    tap = look_up.tap_of(vehicle, ask.accessory.id, ask.lead)
    return tap is not None and tap.switch == "main_beam"


def _class(reason: Text) -> BrokenRule:
    return BrokenRule("class", say("wrong feed"), reason)


def _tap_rules(a: Assessment, ask: Ask, slot: Slot) -> Iterator[BrokenRule]:
    """The tap fits the fuse's shape, and its seat is free: one two-fuse tap to a slot."""
    family = tables.fuse_family(slot.family)
    if not family.has_two_fuse_tap:
        yield BrokenRule(
            "tap",
            say("no tap"),
            say("No fuse tap for the {family} family is listed.", family=Text(family.name)),
        )
    for tap in look_up.taps_on(a.vehicle, slot.id):
        mine = (tap.accessory, tap.lead) == (ask.accessory.id, ask.lead)
        if tap.kind in SEATED and not mine:
            name = look_up.accessory(a.vehicle, tap.accessory).name
            reason = say("The tap of “{accessory}” sits here already.", accessory=name)
            yield BrokenRule("seat", say("taken"), reason)
            return


def _load_rules(a: Assessment, ask: Ask, slot: Slot) -> Iterator[BrokenRule]:
    """What belongs on a relay with an own feed; what a sense circuit may not drive."""
    reason = relay_reason(a, ask)
    if reason is not None:
        yield BrokenRule("relay", say("relay"), reason)
    budget = a.rule("sense_budget_ma") / 1000
    others = sense_load_a(a, slot.id, but=ask.accessory.id) if ask.lead == "sense" else 0.0
    if ask.lead == "sense" and ask.peak_a + others > budget * (1 + 1e-9):
        yield BrokenRule("budget", say("too much"), _budget_words(budget, ask.peak_a, others))


def _budget_words(budget_a: float, asked_a: float, others_a: float) -> Text:
    budget, asked = Amount(budget_a, "A"), Amount(asked_a, "A")
    if not others_a:
        return say(
            "A sense circuit drives {budget} at most, {asked} asked.", budget=budget, asked=asked
        )
    return say(
        "A sense circuit drives {budget} at most, {asked} asked beside {others} of others.",
        budget=budget,
        asked=asked,
        others=Amount(others_a, "A"),
    )


def relay_reason(a: Assessment, ask: Ask) -> Text | None:
    """Why a lead belongs on an own feed, with a relay where it is switched; `None` where not.

    Above the rule's threshold; a motor whose current, as many times as its contacts have to be
    rated for, is above it; a tow socket.
    """
    it, limit = ask.accessory, a.rule("relay_threshold_a")
    if ask.lead != "power":
        return None
    if it.kind in TOW_KINDS:
        return say(
            "A tow socket takes its current from a feed of its own, not from a lamp circuit."
        )
    switched = it.needs != "permanent"
    if ask.peak_a > limit * (1 + 1e-9):
        return _too_heavy(ask.peak_a, limit, switched=switched)
    times = a.rule("relay_motor_times")
    if it.load_kind == "motor" and ask.peak_a * times > limit * (1 + 1e-9):
        return _heavy_motor(ask.peak_a, times, switched=switched)
    return None


def _too_heavy(asked_a: float, limit_a: float, *, switched: bool) -> Text:
    asked, limit = Amount(asked_a, "A"), Amount(limit_a, "A")
    if switched:
        return say(
            "{asked} is too heavy for a slot; above {limit} it belongs on an own feed with a "
            "relay.",
            asked=asked,
            limit=limit,
        )
    return say(
        "{asked} is too heavy for a slot; above {limit} it belongs on an own feed.",
        asked=asked,
        limit=limit,
    )


def _heavy_motor(asked_a: float, times: float, *, switched: bool) -> Text:
    asked = Amount(asked_a, "A")
    if switched:
        return say(
            "A motor of {asked} needs contacts rated for {times} times that; it belongs on an own "
            "feed with a relay.",
            asked=asked,
            times=times,
        )
    return say(
        "A motor of {asked} needs contacts rated for {times} times that; it belongs on an own "
        "feed.",
        asked=asked,
        times=times,
    )


def _start_rule(left: Rooms, column: int) -> Iterator[BrokenRule]:
    """A start that wears out every accessory fuse that tap and host allow."""
    if left.worn[column]:
        it = left.ask.accessory
        yield BrokenRule(
            "start",
            say("hard start"),
            say(
                "Its start, {current} for {time}, wears out a fuse of {rating}, the largest that "
                "tap and host allow; an own feed may have a larger one.",
                current=Amount(left.ask.start_a, "A"),
                time=Amount(it.inrush_s, "s"),
                rating=given(float(left.fuse_a[column]), "A"),
            ),
        )


def _room_rules(a: Assessment, left: Rooms, column: int) -> Iterator[BrokenRule]:
    for place, rule in enumerate(PLACES):
        margin = float(left.left_a[place, column])
        if margin >= -1e-9:
            continue
        key = rule
        if place == FEED:
            key = f"feed:{a.feeds.ids[int(left.feed[column])]}"
        asked = left.ask.lasting_a if place == FUSE else left.ask.peak_a
        if place == FUSE and left.fuse_a[column] == 0:
            reason = say("The host fuse is smaller than any accessory fuse of its family.")
        else:
            reason = _room_words(a, left, place, column, max(margin + asked, 0.0), asked)
        yield BrokenRule(key, say("too much"), reason)


def _room_words(
    a: Assessment, left: Rooms, place: int, column: int, room_a: float, asked_a: float
) -> Text:
    """What a place has room for, and what is asked [A]."""
    amounts = {"room": Amount(room_a, "A"), "asked": Amount(asked_a, "A")}
    return {
        CONTACT: say("The live contact has room for {room}, {asked} asked.", **amounts),
        CEILING: say("The fuse tap has room for {room}, {asked} asked.", **amounts),
        FUSE: say(
            "An accessory fuse of {rating}, the largest here, has room for {room}, {asked} asked.",
            rating=given(float(left.fuse_a[column]), "A"),
            **amounts,
        ),
        HOST: say(
            "The host fuse, which may carry it as long as the live side is not measured, has room "
            "for {room}, {asked} asked.",
            **amounts,
        ),
        FEED: say(
            "The feed “{feed}” has room for {room}, {asked} asked.",
            feed=_feed_name(a, left, column),
            **amounts,
        ),
    }[place]


def left_words(a: Assessment, left: Rooms, place: int, column: int) -> Text:
    """What is left at a place above slot number `column`."""
    current = Amount(float(left.left_a[place, column]), "A")
    return {
        CONTACT: say("{current} is left at the live contact.", current=current),
        CEILING: say("{current} is left at the fuse tap.", current=current),
        FUSE: say(
            "{current} is left at an accessory fuse of {rating}, the largest here.",
            current=current,
            rating=given(float(left.fuse_a[column]), "A"),
        ),
        HOST: say(
            "{current} is left at the host fuse, which may carry it as long as the live side is "
            "not measured.",
            current=current,
        ),
        FEED: say(
            "{current} is left at the feed “{feed}”.",
            current=current,
            feed=_feed_name(a, left, column),
        ),
    }[place]


def _feed_name(a: Assessment, left: Rooms, column: int) -> str:
    """The name of the tightest feed above a slot; empty where there is none."""
    feed = int(left.feed[column])
    return a.vehicle.feeds[feed].name if feed >= 0 else ""
