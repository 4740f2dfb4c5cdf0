"""What would make it sure, in words: each answer as an order, and all of them in a sentence."""

from collections.abc import Sequence
from typing import Final

from fusemap.assess.assessment import Assessment
from fusemap.assess.doubts import Doubt
from fusemap.assess.hops.feed import FEED_HOPS
from fusemap.assess.hops.feed_cables import FeedCables, FeedView
from fusemap.assess.sure import How, Wanted
from fusemap.text import Amount, Text, Words, in_row, many, run_on, say
from fusemap.vehicle import STATES, Vehicle, look_up
from fusemap.vehicle.words import STATE

WARMTH: Final = say("{place}: say how warm the air gets there at most")
SLOT: Final[dict[How, Text]] = {
    "warmth": WARMTH,
    "millivolts": say("{place}: millivolts across its fuse, {state}"),
    "clamp": say("{place}: its own current by clamp, {state}"),
    "contacts": say("{place}: pull the fuse and find which contact is live"),
}
FEED: Final[dict[How, Text]] = {
    "say": say("{place}: say what else it carries besides its slots"),
    "warmth": WARMTH,
    "length": say("{place}: take with a tape how far along its cable the fuse is"),
    "millivolts": say("{place}: millivolts across its fuse, {state}"),
    "clamp": say("{place}: the clamp round its cable, {state}"),
}
TAP: Final[dict[How, Text]] = {
    "say": say("{place}: say how it starts, how many times its current and for how long"),
    "label": say("{place}: say what its label states, rated and at idle"),
    "warmth": WARMTH,
    "volts": say("{place}: volts at the accessory while it works, {state}"),
    "clamp": say("{place}: its current by clamp while it works"),
}
OUTPUT: Final[dict[How, Text]] = {
    "warmth": WARMTH,
    "clamp": say("{place}: its current by clamp while it works"),
}
LINK: Final[dict[How, Text]] = {
    "warmth": WARMTH,
    "clamp": say("{place}: the clamp round its cable, {state}"),
}
WORDS: Final = {"slot": SLOT, "feed": FEED, "tap": TAP, "output": OUTPUT, "link": LINK}
LINK_NAME: Final = say("Link between the batteries")


def place_words(vehicle: Vehicle, wanted: Wanted) -> Words:
    """The place of an answer as people call it."""
    if wanted.how == "label":
        return say("Alternator")
    if wanted.how == "warmth":
        return say("Cabin and boot")
    if wanted.place == "slot":
        return look_up.slot_with_circuit(look_up.slot(vehicle, wanted.place_id))
    if wanted.place == "feed":
        return say("Feed “{feed}”", feed=look_up.feed(vehicle, wanted.place_id).name)
    if wanted.place == "link":
        return LINK_NAME
    if wanted.place == "output":
        return look_up.accessory(vehicle, wanted.place_id).name
    tap = look_up.tap(vehicle, wanted.place_id)
    return look_up.accessory(vehicle, tap.accessory).name


def _inside(vehicle: Vehicle, wanted: Wanted) -> Words:
    """The place of an answer inside a sentence."""
    if wanted.how == "label":
        return say("the alternator")
    if wanted.how == "warmth":
        return say("the cabin and the boot")
    if wanted.place == "link":
        return say("the link between the batteries")
    if wanted.place != "feed":
        return place_words(vehicle, wanted)
    return say("the feed “{feed}”", feed=look_up.feed(vehicle, wanted.place_id).name)


def order(vehicle: Vehicle, wanted: Wanted) -> Text:
    """What to do: “F12 Radio: millivolts across its fuse, with ignition on”."""
    words = WORDS[wanted.place][wanted.how]
    state = Text("") if wanted.state is None else STATE[wanted.state].phrase
    return Text(words.template, {"place": place_words(vehicle, wanted), "state": state})


SAID: Final = ("say", "label", "warmth")
"""What somebody says, and nobody measures."""
OF_ALL: Final = ("label", "warmth")
"""What is said of the vehicle as a whole, whichever place asks it."""
MOST_NAMED = 3
"""So many places are named in one sentence; more are counted."""


def headline(vehicle: Vehicle, asked: Sequence[Wanted]) -> Text:
    """All of them in a sentence: “Measure F12 and F15, then it is sure.”"""
    names = _names(vehicle, asked)
    if not names:
        return say("Nothing that could be measured would change this.")
    if len(names) > MOST_NAMED:
        return many(
            "One reading would make it sure.", "{n} answers would make it sure.", len(asked)
        )
    told = _names(vehicle, [w for w in asked if w.how in SAID])
    read = _names(vehicle, [w for w in asked if w.how not in SAID])
    if not read:
        return say(
            "Say what is not known yet of {places}, then it is sure.", places=in_row(told, "and")
        )
    if not told:
        return say("Measure {places}, then it is sure.", places=in_row(read, "and"))
    return say(
        "Measure {places}, and say what is not known yet of {told}; then it is sure.",
        places=in_row(read, "and"),
        told=in_row(told, "and"),
    )


def _names(vehicle: Vehicle, asked: Sequence[Wanted]) -> list[Words]:
    named = {
        w.how if w.how in OF_ALL else (w.place, w.place_id): _inside(vehicle, w) for w in asked
    }
    return list(named.values())


MOST_SETTLED = 2
"""So many doubts are named as the reason of one reading; more are counted."""


def settles(a: Assessment, wanted: Wanted) -> Text:
    """Why it is asked: “Why: feed “Dash” may carry 35 A, its limit is 30 A, with ignition on”."""
    said = [_doubt(a, each) for each in wanted.settles]
    if not said:
        return Text("")
    named = run_on(*said[:MOST_SETTLED], between="; ")
    more = len(said) - MOST_SETTLED
    if more > 0:
        return many("Why: {named}; and {n} more", "Why: {named}; and {n} more", more, named=named)
    return say("Why: {named}", named=named)


def _doubt(a: Assessment, doubt: Doubt) -> Text:
    """What may be too much, how much of what it may be, and in which state."""
    if doubt.place == "tap":
        tap = look_up.tap(a.vehicle, doubt.place_id)
        name = look_up.accessory(a.vehicle, tap.accessory).name
        hop = next(each for each in a.chains[tap.id].hops if each.key == doubt.key)
        return say("{place}: {hop}", place=name, hop=hop.title)
    if doubt.place in ("output", "link"):
        return _at_lead(a, doubt)
    rows = [STATES.index(state) for state in doubt.states]
    if doubt.key in a.feed_hops:
        feed = look_up.feed(a.vehicle, doubt.place_id)
        cables = FeedCables(a)
        view = FeedView(cables, a.feeds.index[feed.id])
        return next(kind.title(view) for kind in FEED_HOPS if kind.key == doubt.key)
    if doubt.place == "feed":
        feeds, column = a.most.feeds, a.feeds.index[doubt.place_id]
        words = say("feed “{place}” may carry {most}, its limit is {limit}")
        flows, limit = feeds.current_a[rows, column], feeds.limit_a[column]
        place: Words = look_up.feed(a.vehicle, doubt.place_id).name
    else:
        slots, column = a.most.slots, a.slots.index[doubt.place_id]
        place = look_up.place_words(look_up.slot(a.vehicle, doubt.place_id))
        words = say("the fuse of {place} may carry {most}, its limit is {limit}")
        flows, limit = slots.host_a[rows, column], slots.host_limit_a[column]
        if doubt.key == "live_contact":
            words = say("the contact of {place} may carry {most}, its limit is {limit}")
            flows, limit = slots.live_contact_a[rows, column], a.slots.contact_limit_a[column]
    figures = {"most": Amount(float(flows.max()), "A"), "limit": Amount(float(limit), "A")}
    # elsewhere the most of all states is said: this is of those that a reading can settle
    state = STATE[doubt.states[int(flows.argmax())]].phrase
    return run_on(Text(words.template, {"place": place, **figures}), state, between=", ")


def _at_lead(a: Assessment, doubt: Doubt) -> Text:
    """What may be too much of a lead behind a converter, or of the link."""
    limits = a.beside.link if doubt.place == "link" else a.beside.outputs[doubt.place_id]
    hop = next(each.hop for each in limits if each.hop.key == doubt.key)
    if doubt.place == "link":
        return hop.title
    name = look_up.accessory(a.vehicle, doubt.place_id).name
    return say("{place}: {hop}", place=name, hop=hop.title)
