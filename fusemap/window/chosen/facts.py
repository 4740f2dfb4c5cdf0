"""What is known of the chosen thing, in words: what may be done there, and five facts.

In: a vehicle, and its assessment where figures are ready. Out: a `Head`, and `Fact`s; one that is
not known says what to do about it instead. No Qt.
"""

from collections.abc import Iterable, Iterator
from datetime import datetime
from math import isfinite
from typing import TYPE_CHECKING, Final, Literal

from msgspec import Struct
from msgspec.structs import replace

from fusemap import tables
from fusemap.circuits import circuit_of, counts_critical, is_nameless, unanswered
from fusemap.text import (
    NOTHING,
    Amount,
    Argument,
    Style,
    Text,
    Words,
    given,
    in_row,
    many,
    run_on,
    say,
    share,
)
from fusemap.vehicle import (
    LIVE_IN,
    PARKED_STATES,
    STATES,
    Feed,
    Fuse,
    Slot,
    Vehicle,
    look_up,
)
from fusemap.vehicle.words import (
    FEED,
    KIND,
    STATE,
    FeedClass,
    State,
    own_words,
)
from fusemap.window.texts.folded import folded

if TYPE_CHECKING:  # they would load the numbers before the window is shown
    from fusemap.assess import Assessment
    from fusemap.assess.verdict import Verdict

Ask = Literal["", "probe", "answer", "form"]
"""What settles a fact: a reading, an answer about the circuit, an entry in the long form."""


class Day(Struct, frozen=True):
    """A day, written as in ISO 8601, as the language says it."""

    iso: str

    def shown(self, style: Style) -> str:
        """The day in words."""
        return style.forms.day(datetime.fromisoformat(self.iso))


class Head(Struct, frozen=True):
    """What is chosen, by its place and its name, and what may be done there.

    `lock` says that it is to be left alone; `ask` that something is to be answered first. `verdict`
    is that of the whole vehicle.
    """

    place: Words
    name: Words
    line: Argument
    lock: bool = False
    ask: bool = False
    verdict: "Verdict | None" = None


class Fact(Struct, frozen=True):
    """One fact: what it is called, its value, and what settles it where it is not known.

    `state` is the one to be read. `fuse` or `feed_class` is drawn before the value.
    """

    key: str
    label: Text
    value: Argument
    ask: Ask = ""
    state: State | None = None
    fuse: Fuse | None = None
    feed_class: FeedClass | None = None


# --- a slot ---------------------------------------------------------------------------------------


def slot_head(slot: Slot) -> Head:
    """A slot by its label, what it feeds, and what may be done there."""
    name: Words = slot.circuit or (say("What does it feed?") if slot.kind == "fuse" else "")
    critical = slot.kind == "fuse" and counts_critical(slot)
    ask = slot.kind == "fuse" and (bool(unanswered(slot)) or is_nameless(slot))
    return Head(look_up.slot_words(slot), name, permission(slot), lock=critical, ask=ask)


def permission(slot: Slot) -> Argument:
    """What may be done at a slot, in a line; where a part of its name decided, which."""
    if slot.kind != "fuse":
        return say("{kind}: no place to tap", kind=KIND[slot.kind])
    circuit = circuit_of(slot)
    if counts_critical(slot) or circuit.function in ("leave_alone", "regulated"):
        return _leave_alone(slot)
    return {
        "watched": say("watched by the vehicle, nothing is planned here"),
        "control": say("control unit, better another circuit"),
        "supply": say("supplies other boxes, better another circuit"),
        "comfort": say("comfort circuit, may be tapped"),
        "unclear": say("not known what it is for, others come first"),
    }[circuit.function]


def _leave_alone(slot: Slot) -> Text:
    circuit = circuit_of(slot)
    why: Argument = tables.reasons(slot.critical_reason) if slot.critical_reason else ""
    what = circuit.decided_by or why
    if not what:
        return say("leave alone")
    if circuit.answered:
        return say("leave alone: {what}", what=what)
    return say("leave alone: {what}, by its name", what=what)


def slot_facts(
    vehicle: Vehicle, a: "Assessment | None", slot: Slot, style: Style
) -> tuple[Fact, ...]:
    """Fuse, feed, live side, own load and what is drawn while parked; none of what is no fuse."""
    if slot.kind != "fuse":
        return ()
    found = (
        _fuse(a, slot),
        _feed(vehicle, slot, style),
        _side(vehicle, slot),
        own_load(slot),
        parked(slot),
    )
    if not counts_critical(slot):
        return found
    # nobody is sent to a circuit that is to be left alone
    return tuple(replace(fact, ask="", state=None) for fact in found)


def _fuse(a: "Assessment | None", slot: Slot) -> Fact:
    label, family = say("Fuse"), Text(tables.fuse_family(slot.family).name)
    if slot.fuse is None:
        return Fact("fuse", label, say("none in it, for {family}", family=family), ask="form")
    own = Text(tables.fuse_family(slot.fuse.family).name)
    words = say("{rating} {family}", rating=given(slot.fuse.rating, "A"), family=own)
    limit = _limit(a, slot)
    if limit is not None:
        words = say("{fuse}, lasting {limit}", fuse=words, limit=Amount(limit, "A"))
    return Fact("fuse", label, words, fuse=slot.fuse)


def _limit(a: "Assessment | None", slot: Slot) -> float | None:
    """What its fuse carries for long [A]; `None` while that is not known."""
    if a is None or slot.id not in a.slots.index:
        return None
    limit = float(a.slots.host_limit_a[a.slots.index[slot.id]])
    return limit if isfinite(limit) else None


def _feed(vehicle: Vehicle, slot: Slot, style: Style) -> Fact:
    label, by = say("Feed"), slot.feed_class
    if by == "unknown":
        unknown = say("not known when it is live")
        return Fact("feed", label, unknown, ask="probe", feed_class=by)
    words: Argument = FEED[by].label
    if slot.feed is None and by != "unfed":
        words = say("{feed}, by which feed not known", feed=words)
    elif slot.feed is not None:
        name = look_up.supply_words(vehicle, slot)
        words = name if _says(name, by, style) else say("{feed}, {by}", feed=words, by=name)
    return Fact("feed", label, words, feed_class=by)


def _says(name: Words, by: FeedClass, style: Style) -> bool:
    """Whether a feed's name says its class already: by its terminal number, or by the word."""
    told, words = folded(style.show(name)), FEED[by]
    numbers = {each.strip("(),.;:") for each in told.split()}
    numbered = bool(words.terminal) and folded(words.terminal) in numbers
    return numbered or folded(style.show(words.label)) in told


SIDES: Final = {
    "left": say("left contact"),
    "right": say("right contact"),
    "top": say("top contact"),
    "bottom": say("bottom contact"),
}


def _side(vehicle: Vehicle, slot: Slot) -> Fact:
    label = say("Live side")
    if slot.live_side == "unknown":
        if slot.feed_class == "unfed":
            return Fact("side", label, say("none, it is never live"))
        if look_up.panel_of(vehicle, slot.id).kind == "block":
            return Fact("side", label, say("the block’s stud, as it is built"))
        return Fact("side", label, say("not read"), ask="probe")
    when = side_read(vehicle, slot)
    side = SIDES[slot.live_side]
    if not when:
        return Fact("side", label, say("{side}, as entered, not read", side=side))
    return Fact("side", label, say("{side}, read {date}", side=side, date=Day(when)))


def side_read(vehicle: Vehicle, slot: Slot) -> str:
    """The day its contacts were last read; empty where they never were."""
    days = (
        each.when[:10]
        for each in vehicle.readings
        if each.target == "slot"
        and each.target_id == slot.id
        and each.quantity.startswith("live_")
        and not each.withdrawn
    )
    return max(days, default="")


def own_load(slot: Slot) -> Fact:
    """What the vehicle itself draws there, in the state in which that is most; what is not read."""
    label = say("Own load")
    live = LIVE_IN[slot.feed_class]
    read = {each: load for each in live if (load := getattr(slot.own_load, each)) is not None}
    missing = [each for each in live if each not in read]
    if not live:
        return Fact("load", label, say("none, it is never live"))
    if not read:
        state = max(missing, key=STATES.index)
        words = say("not measured, up to what its fuse carries")
        return Fact("load", label, words, ask="probe", state=state)
    worst = max(read, key=lambda each: getattr(slot.own_most, each) or read[each])
    load = say(
        "{load}, {state}",
        load=own_words(read[worst], getattr(slot.own_most, worst)),
        state=STATE[worst].label,
    )
    if not missing:
        return Fact("load", label, load)
    states = in_row(STATE[each].label for each in missing)
    words = say("{load}; not read: {states}", load=load, states=states)
    return Fact("load", label, words, ask="probe", state=missing[-1])


def parked(slot: Slot) -> Fact:
    """What the circuit draws of the parked vehicle."""
    label = say("Parked")
    live = [each for each in PARKED_STATES if each in LIVE_IN[slot.feed_class]]
    if not live:
        return Fact("parked", label, say("nothing, dead with the key off"))
    state = live[0]
    load = getattr(slot.own_load, state)
    if load is None:
        words = say("not measured {state}", state=STATE[state].phrase)
        return Fact("parked", label, words, ask="probe", state=state)
    most = getattr(slot.own_most, state)
    words = say("{load} {state}", load=own_words(load, most), state=STATE[state].phrase)
    if state != "asleep":
        words = say("{load}, then dead", load=words)
    return Fact("parked", label, words)


# --- a feed, the battery, nothing -----------------------------------------------------------------


def feed_head(vehicle: Vehicle, feed: Feed) -> Head:
    """A feed by its name, and how much hangs on it."""
    here = sum(slot.feed == feed.id for slot in look_up.slots(vehicle))
    below = many("one slot hangs on it", "{n} slots hang on it", here)
    return Head(feed.name, "", below if here else say("no slot hangs on it"))


def feed_facts(vehicle: Vehicle, feed: Feed) -> tuple[Fact, ...]:
    """Where it comes from, its fuse and limit, what else it carries."""
    source: Argument = say("the battery")
    if feed.battery == "second":
        source = say("the second battery")
    if feed.parent is not None:
        source = look_up.feed(vehicle, feed.parent).name
    return (
        Fact("from", say("From"), source),
        _feed_limit(feed),
        _others(feed),
    )


def _feed_limit(feed: Feed) -> Fact:
    label = say("May carry")
    family = None if feed.fuse is None else Text(tables.fuse_family(feed.fuse.family).name)
    if feed.limit_a is not None:
        return Fact("limit", label, say("{a}, as entered", a=given(feed.limit_a, "A")))
    if feed.fuse is None or family is None:
        return Fact("limit", label, say("not known: enter its fuse"), ask="form")
    fuse = say("{rating} {family}", rating=given(feed.fuse.rating, "A"), family=family)
    return Fact("limit", label, say("what its fuse carries: {fuse}", fuse=fuse), fuse=feed.fuse)


def _others(feed: Feed) -> Fact:
    label = say("Besides slots")
    loads = {each: getattr(feed.other_load, each) for each in STATES}
    known = {each: load for each, load in loads.items() if load is not None}
    if not known:
        words = say("not known: say what else it carries")
        return Fact("others", label, words, ask="answer")
    worst = max(known, key=lambda each: known[each])
    if known[worst] <= 0:
        return Fact("others", label, say("nothing"))
    words = say("{load}, {state}", load=Amount(known[worst], "A"), state=STATE[worst].label)
    return Fact("others", label, words)


def battery_facts(vehicle: Vehicle) -> tuple[Fact, ...]:
    """The starter battery's kind and size, its charge, what the parked vehicle draws."""
    battery, parking = vehicle.battery, vehicle.parking
    size = Fact("size", say("Battery"), say("capacity not known: enter it"), ask="form")
    if battery.capacity_ah is not None:
        size = Fact("size", say("Battery"), given(battery.capacity_ah, "Ah"))
    charge = Fact("charge", say("Charge"), say("not known when it is parked"), ask="form")
    if battery.start_soc is not None:
        words = say("{share} when it is parked", share=share(battery.start_soc))
        charge = Fact("charge", say("Charge"), words)
    rest = Fact("rest", say("Parked"), say("rest current not measured"), ask="form")
    if parking.rest_current_a is not None:
        words = say("draws {load}", load=Amount(parking.rest_current_a, "A"))
        rest = Fact("rest", say("Parked"), words)
    days = many("to stand one day", "to stand {n} days", parking.stand_days)
    return (size, charge, rest, Fact("plan", say("Plan"), days))


# --- in one line ----------------------------------------------------------------------------------


def in_a_line(facts: tuple[Fact, ...]) -> Text:
    """The first two facts and how many more, where there is no room for a row each.

    What is not known stands before what is.
    """
    kept = sorted(facts, key=lambda each: not each.ask)[:2]
    shown = [fact for fact in facts if fact in kept]
    rest = len(facts) - len(shown)
    more = many("{n} more fact", "{n} more facts", rest) if rest else NOTHING
    return run_on(*_short(shown), more, between=" · ")


def _short(facts: Iterable[Fact]) -> Iterator[Argument]:
    for fact in facts:
        yield say("{what}: not known", what=fact.label) if fact.ask else fact.value


def open_ones(facts: tuple[Fact, ...]) -> tuple[Fact, ...]:
    """The facts that something is to be done about."""
    return tuple(fact for fact in facts if fact.ask)
