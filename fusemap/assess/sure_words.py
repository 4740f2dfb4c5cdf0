"""What would make it sure, in words: each answer as an order, and all of them in a sentence."""

from collections.abc import Sequence
from typing import Final

from fusemap.assess.sure import How, Wanted
from fusemap.text import Text, Words, in_row, many, say
from fusemap.vehicle import Vehicle, look_up
from fusemap.vehicle.words import STATE

SLOT: Final[dict[How, Text]] = {
    "millivolts": say("{place}: millivolts across its fuse, {state}"),
    "clamp": say("{place}: its own current by clamp, {state}"),
}
FEED: Final[dict[How, Text]] = {
    "say": say("{place}: say what else it carries besides its slots"),
    "millivolts": say("{place}: millivolts across its fuse, {state}"),
    "clamp": say("{place}: the whole feed by clamp, {state}"),
}
TAP: Final[dict[How, Text]] = {
    "say": say("{place}: say how it starts, how many times its current and for how long"),
    "volts": say("{place}: volts at the accessory while it works, {state}"),
    "clamp": say("{place}: its current by clamp while it works"),
}
WORDS: Final = {"slot": SLOT, "feed": FEED, "tap": TAP}


def place_words(vehicle: Vehicle, wanted: Wanted) -> Words:
    """The place of an answer as people call it."""
    if wanted.place == "slot":
        return look_up.slot_with_circuit(look_up.slot(vehicle, wanted.place_id))
    if wanted.place == "feed":
        return say("Feed “{feed}”", feed=look_up.feed(vehicle, wanted.place_id).name)
    tap = look_up.tap(vehicle, wanted.place_id)
    return look_up.accessory(vehicle, tap.accessory).name


def order(vehicle: Vehicle, wanted: Wanted) -> Text:
    """What to do: “F12 Radio: millivolts across its fuse, with ignition on”."""
    words = WORDS[wanted.place][wanted.how]
    state = Text("") if wanted.state is None else STATE[wanted.state].phrase
    return Text(words.template, {"place": place_words(vehicle, wanted), "state": state})


MOST_NAMED = 3
"""So many places are named in one sentence; more are counted."""


def headline(vehicle: Vehicle, asked: Sequence[Wanted]) -> Text:
    """All of them in a sentence: “Measure F12 and F15, then it is sure.”"""
    names = list({(w.place, w.place_id): place_words(vehicle, w) for w in asked}.values())
    if not names:
        return say("Nothing that could be measured would change this.")
    if len(names) > MOST_NAMED:
        return many(
            "One reading would make it sure.", "{n} answers would make it sure.", len(asked)
        )
    if all(w.how == "say" for w in asked):
        return say("Say what is not known yet of {places}, then it is sure.", places=in_row(names))
    return say("Measure {places}, then it is sure.", places=in_row(names))
