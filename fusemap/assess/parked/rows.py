"""What draws while parked, a row for each circuit and accessory: where it hangs, how sure that is.

In: an assessed vehicle and its parked forecast. Out: `DrawRow`s, the largest first. They add up to
the charge that the forecast says; what its one row for all circuits took is shared out by what each
circuit draws asleep, and what was more than that before it slept has a row of its own.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Literal

from msgspec import Struct

from fusemap.assess.parked.draws import (
    ASLEEP,
    CIRCUITS,
    CONTROL_UNITS,
    REMAINDER,
    WHOLE,
    draw_words,
    rest_current,
)
from fusemap.assess.parked.figures import Consumer, ParkedFigures
from fusemap.assess.parked.inputs import WAKING, accessory_key
from fusemap.assess.parked.standing import Parked
from fusemap.electrics.spread import Range
from fusemap.text import Argument, Duration, Text, say
from fusemap.vehicle import look_up

Target = Literal["accessory", "slot", "feed", "battery", "vehicle"]
LEAK, REST, AWAKE = "leak", "rest", "awake"
"""Keys of the band's inputs."""
NOTHING_WORTH_A = CONTROL_UNITS
"""Circuits that draw less than this [A] asleep stay together in one row."""


class DrawRow(Struct, frozen=True):
    """One thing that draws: its name, where it hangs in words, what to go to, how much.

    `mean_a` [A] until no start, or to the end of the forecast, between `low_a` and `high_a` [A];
    `charge_ah` [Ah] until then, `share` [-] of all that is drawn. It is not `sure` where it is not
    placed, not named or not explained.
    """

    name: Argument
    where: Argument
    target: Target
    id: str
    mean_a: float
    low_a: float
    high_a: float
    charge_ah: float
    share: float
    sure: bool


def draw_rows(a: Parked, parked: ParkedFigures, ranges: Mapping[str, Range]) -> tuple[DrawRow, ...]:
    """Everything that draws on the starter battery while parked, the largest first.

    `ranges` are those of the band's inputs, by their keys: what is drawn may be more or less by the
    same factors [-]; wake-ups that nobody logged may be so much [A].
    """
    span = min(parked.hours, parked.forecast.horizon_h)
    total = sum(each.charge_ah for each in parked.consumers) or 1.0
    found = [
        row
        for each in parked.consumers
        for row in (
            _circuits(a, each, span, total, ranges)
            if each.name in (draw_words(CIRCUITS), draw_words(WHOLE)) and span > 0
            else (_one(a, each, total, ranges),)
        )
    ]
    if WAKING in ranges:
        low, usual, high = ranges[WAKING]
        words = say("Wake-ups that nobody logged")
        found.append(
            DrawRow(words, Text(""), "vehicle", "", usual, low, high, usual * span, 0.0, False)
        )
    return tuple(sorted(found, key=lambda row: (-row.charge_ah, -row.high_a)))


def _factors(ranges: Mapping[str, Range], *keys: str) -> tuple[float, float]:
    """By which factors [-] a current may differ, of all of these that are in doubt."""
    found = [ranges[key] for key in keys if key in ranges]
    return min((each[0] for each in found), default=1.0), max(
        (each[2] for each in found), default=1.0
    )


def _one(a: Parked, each: Consumer, total: float, ranges: Mapping[str, Range]) -> DrawRow:
    """A consumer that has a row of its own in the forecast already."""
    where, target, id_, sure = _place(a, each)
    keys = [AWAKE]
    if each.accessory is not None:
        keys = [accessory_key(each.accessory, resting=rests) for rests in (False, True)]
    elif target == "battery":
        keys = [LEAK]
    elif each.name == draw_words(REMAINDER):
        keys = [REST]
    low, high = _factors(ranges, *keys)
    mean = each.mean_a
    share = each.charge_ah / total
    return DrawRow(
        each.name, where, target, id_, mean, mean * low, mean * high, each.charge_ah, share, sure
    )


def _place(a: Parked, each: Consumer) -> tuple[Argument, Target, str, bool]:
    """Where a consumer hangs, what to go to, and whether its place is known."""
    if each.accessory is not None:
        if each.accessory in a.standing.unplaced:
            return say("not placed"), "accessory", each.accessory, False
        return _source(a, each.accessory), "accessory", each.accessory, True
    if each.name == say("Battery's self-discharge"):
        return Text(""), "battery", "", True
    if each.name == draw_words(REMAINDER):
        return Text(""), "vehicle", "", False
    return Text(""), "vehicle", "", True


def _source(a: Parked, accessory_id: str) -> Argument:
    """The slot or feed that an accessory hangs on, or the converter it hangs behind."""
    accessory = look_up.accessory(a.vehicle, accessory_id)
    if accessory.supplied_by is not None:
        name = look_up.accessory(a.vehicle, accessory.supplied_by).name
        return say("behind {converter}", converter=name)
    tap = look_up.tap_of(a.vehicle, accessory_id)
    if tap is None:
        return Text("")
    if tap.slot is not None:
        return look_up.slot_words(look_up.slot(a.vehicle, tap.slot))
    return say("own feed")


def _circuits(
    a: Parked, each: Consumer, span: float, total: float, ranges: Mapping[str, Range]
) -> Iterator[DrawRow]:
    """What the vehicle itself draws, circuit by circuit."""
    rest, factors = rest_current(a), _factors(ranges, REST)

    def row(name: Argument, where: Argument, target: Target, id_: str, mean_a: float,
            *, sure: bool, ends: tuple[float, float] = factors) -> DrawRow:  # fmt: skip
        ah = mean_a * span
        low, high = mean_a * ends[0], mean_a * ends[1]
        return DrawRow(name, where, target, id_, mean_a, low, high, ah, ah / total, sure)

    whole = each.name == draw_words(WHOLE)
    asleep_a = rest.whole_a if whole else rest.explained_a
    named = tuple(_named(a))
    explained = sum(row[4] for row in named)
    fits = min(1.0, asleep_a / explained) if explained > 0 else 0.0
    left = asleep_a - explained * fits
    for name, where, target, key, amperes, sure in named:
        yield row(name, where, target, key, amperes * fits, sure=sure)
    if left > CONTROL_UNITS:
        words = say("Vehicle itself") if not named else say("Other circuits")
        yield row(words, Text(""), "vehicle", "", left, sure=False)
        left = 0.0
    awake = each.charge_ah - asleep_a * span + left * span
    if awake / span > CONTROL_UNITS:
        sleep = Duration(min(span, a.vehicle.parking.sleep_after_min / 60))
        where = say("first {time}", time=sleep)
        words = say("Vehicle still awake")
        ends = _factors(ranges, AWAKE)
        yield row(words, where, "vehicle", "", awake / span, sure=True, ends=ends)


def _named(a: Parked) -> Iterator[tuple[Argument, Argument, Target, str, float, bool]]:
    """Each circuit that draws asleep, and what hangs on a feed beside its slots [A]."""
    slots = a.circuit.slots
    for place, slot in enumerate(slots.slots):
        amperes = float(slots.own_a[ASLEEP, place])
        if amperes < NOTHING_WORTH_A:
            continue
        known = bool(slots.own_known[ASLEEP, place])
        label = look_up.slot_words(slot)
        if slot.circuit:
            yield slot.circuit, label, "slot", slot.id, amperes, known
        else:
            yield label, say("not named"), "slot", slot.id, amperes, False
    for feed, amperes in zip(a.vehicle.feeds, a.circuit.feeds.other_a[ASLEEP], strict=True):
        if float(amperes) >= NOTHING_WORTH_A:
            yield feed.name, say("beside its slots"), "feed", feed.id, float(amperes), True


__all__ = ["DrawRow", "Target", "draw_rows"]
