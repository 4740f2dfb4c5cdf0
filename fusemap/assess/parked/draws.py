"""What a parked vehicle and its accessories draw, each by itself, as the forecast wants it.

In: an assessed vehicle. Out: one `Draw` each for the measured circuits, the remainder that no
circuit explains, delayed-off slots, wake-ups, the link of a second battery, and a maintainer; one
for every tap that draws while parked, and one for each accessory behind a converter: its share of
what the converter takes, with its own timers. Draws that nobody named have their names here.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from math import inf
from typing import Final, NamedTuple

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from fusemap import tables
from fusemap.assess.battery import small_battery
from fusemap.assess.currents import tap_ways
from fusemap.assess.figures import Figures
from fusemap.assess.parked.topping import TOPPED_UP
from fusemap.assess.result import Floats, Mask
from fusemap.assess.switches import timer_h
from fusemap.electrics.parked import CutOff, Draw
from fusemap.electrics.parked.draws import DAY_H
from fusemap.electrics.spread import Tenths
from fusemap.electrics.values import Values, plain
from fusemap.text import Amount, Text, Words, say
from fusemap.vehicle import STATES, Accessory, ClockSpan, Maintainer, WakeUp, look_up

ASLEEP, AWAKE = STATES.index("asleep"), STATES.index("awake")
CONTROL_UNITS: Final = 1e-4
"""Currents below this [A] are not worth a row of their own."""

NEXT_TO_NOTHING: Final = 1e-6
"""Share of what the rest current may be at most that it counts at least [-]: what it may be is
reckoned as a factor of it."""


class RestCurrent(Struct, frozen=True, eq=False):
    """The vehicle's own current asleep [A]: whole, what the slots explain, whether measured."""

    whole_a: float
    explained_a: float
    measured: bool

    @property
    def remainder_a(self) -> float:
        """What no circuit explains [A]; nothing where that is not worth a row beside the rest."""
        left = self.whole_a - self.explained_a
        return left if min(left, self.explained_a) > CONTROL_UNITS else 0.0


def rest_current(a: Figures, assumed: list[Text] | None = None) -> RestCurrent:
    """The vehicle's rest current, measured, or the slots' own loads but at least what is usual."""
    explained = float(a.slots.own_a[ASLEEP].sum() + a.circuit.feeds.other_a[ASLEEP].sum())
    measured = a.vehicle.parking.rest_current_a
    least = NEXT_TO_NOTHING * (a.vehicle.parking.high_rest_current_a or 0.0)
    if measured is not None:
        if assumed is not None and explained > measured * 1.05 + CONTROL_UNITS:
            assumed.append(
                say(
                    "the circuits draw {explained} asleep by their own figures, the whole vehicle "
                    "{measured}: the whole is believed",
                    explained=Amount(explained, "A"),
                    measured=Amount(measured, "A"),
                )
            )
        whole = max(measured, least)
        return RestCurrent(whole, min(explained, whole), True)
    usual = a.rule("rest_current_assumed_ma") / 1000
    whole = max(explained, usual, least)
    if assumed is not None:
        known = bool(a.slots.own_known[ASLEEP].all())
        assumed.append(_assumed_rest(whole, explained, usual, known=known))
    return RestCurrent(whole, explained, False)


def _assumed_rest(whole: float, explained: float, usual: float, *, known: bool) -> Text:
    """How the rest current was come by [A]; `known` where every slot's own load was measured."""
    if explained < usual:
        return say(
            "rest current {whole}: what is usual; the slots' own loads asleep come to {explained}; "
            "the whole vehicle's was not measured",
            whole=Amount(whole, "A"),
            explained=Amount(explained, "A"),
        )
    if known:
        return say(
            "rest current {whole}: the sum of the slots' own loads asleep; the whole vehicle's was "
            "not measured",
            whole=Amount(whole, "A"),
        )
    return say(
        "rest current {whole}: the sum of the slots' own loads asleep, some of which were not "
        "measured; the whole vehicle's was not measured",
        whole=Amount(whole, "A"),
    )


def own_draws(a: Figures, assumed: list[Text]) -> tuple[Draw, ...]:
    """What the vehicle draws by itself: awake until it sleeps, then its rest current."""
    rest = rest_current(a, assumed)
    sleep_h = a.vehicle.parking.sleep_after_min / 60
    awake = _awake_a(a, rest.whole_a, assumed)
    if not rest.remainder_a:
        draws = [_asleep_and_awake(WHOLE, sleep_h, awake, rest.whole_a)]
    else:
        draws = [
            _asleep_and_awake(CIRCUITS, sleep_h, awake - rest.remainder_a, rest.explained_a),
            Draw.constant(REMAINDER, rest.remainder_a),
        ]
    delayed = delayed_off_draw(a)
    if delayed is not None:
        draws.append(delayed)
    wakes = a.vehicle.parking.wake_ups
    draws += [_wake_up_draw(n, wake, sleep_h) for n, wake in enumerate(wakes, start=1)]
    return tuple(draws)


def _awake_a(a: Figures, rest_a: float, assumed: list[Text]) -> float:
    """What the whole vehicle draws between locking and sleep [A]."""
    measured = a.vehicle.parking.awake_current_a
    if measured is not None:
        return max(measured, rest_a)
    awake = usual_awake_a(a, rest_a)
    if a.vehicle.parking.sleep_after_min > 0:
        assumed.append(
            say(
                "{current} until the vehicle sleeps (whole vehicle awake not measured)",
                current=Amount(awake, "A"),
            )
        )
    return awake


def usual_awake_a(a: Figures, rest_a: float) -> float:
    """What a vehicle draws awake where nobody followed it [A]: what is usual, or what is known."""
    # a slot that goes off by its own clock has a draw of its own
    steady = [s.feed_class != "delayed_off" for s in a.circuit.slots.slots]
    own = float(a.slots.own_a[AWAKE, steady].sum() + a.circuit.feeds.other_a[AWAKE].sum())
    return max(rest_a, own, awake_span(a).typical)


FIRST_MIN: Final = 2.0
"""For so long after locking everything is still at work [min]."""


def awake_span(a: Figures) -> Tenths:
    """The mean of what a vehicle draws until it sleeps where nobody followed it [A]."""
    if small_battery(a.vehicle.battery):
        small = tables.unanswered("small_awake_a")
        return Tenths(small.mild, small.usual, small.hard)
    first, then = tables.unanswered("awake_first_a"), tables.unanswered("awake_then_a")
    part = min(1.0, FIRST_MIN / max(FIRST_MIN, a.vehicle.parking.sleep_after_min))
    return Tenths(
        *(
            part * getattr(first, end) + (1.0 - part) * getattr(then, end)
            for end in ("mild", "usual", "hard")
        )
    )


def _asleep_and_awake(name: str, sleep_h: float, awake_a: float, asleep_a: float) -> Draw:
    phases = [(0.0, sleep_h, max(0.0, awake_a))] if sleep_h > 0 else []
    return Draw(name, phases=(*phases, (sleep_h, inf, asleep_a)))


def delayed_off_draw(a: Figures) -> Draw | None:
    """The own loads of delayed-off slots, each for its minutes; `None` where there are none.

    Where the whole vehicle was measured awake its reading holds them until it sleeps.
    """
    parking = a.vehicle.parking
    counted_h = 0.0 if parking.awake_current_a is None else parking.sleep_after_min / 60
    phases = tuple(
        (counted_h, slot.delayed_off_min / 60, float(own))
        for slot, own in zip(a.circuit.slots.slots, a.slots.own_a[AWAKE], strict=True)
        if slot.feed_class == "delayed_off" and slot.delayed_off_min / 60 > counted_h and own > 0
    )
    return Draw(DELAYED, phases=phases) if phases else None


def _wake_up_draw(number: int, wake: WakeUp, sleep_h: float) -> Draw:
    """A wake-up as its mean; a cut-off looks at the whole current where that lasts long enough."""
    share = min(1.0, wake.minutes / 60 / wake.every_h)
    return Draw(
        f"{WAKE_UPS} {number}",
        phases=((sleep_h, inf, wake.current_a),),
        duty=share,
        duty_period_s=wake.every_h * 3600,
    )


def maintainer_draw(maintainer: Maintainer | None) -> tuple[Draw, ...]:
    """A maintainer as a source in its hours of the day; nothing where there is none."""
    if maintainer is None or maintainer.current_a <= 0:
        return ()
    if maintainer.from_h % 24.0 == maintainer.to_h % 24.0:
        return (Draw.constant(MAINTAINER, -maintainer.current_a),)
    hours = (maintainer.from_h, maintainer.to_h, -maintainer.current_a)
    return (Draw(MAINTAINER, daily=(hours,)),)


def asleep_a(draw: Draw) -> Values:
    """What a draw takes on the mean once all that ends has ended [A]."""
    lasting = sum((np.asarray(row[2]) for row in draw.phases if row[1] == inf), np.zeros(()))
    daily = sum(
        (np.asarray(row[2]) * (((row[1] - row[0]) % DAY_H) or DAY_H) / DAY_H for row in draw.daily),
        np.zeros(()),
    )
    return plain((lasting + daily) * draw.duty)


LEAST_DUTY = 1e-6
"""Of less time at work than this share only the mean counts: no load is on for so short [-]."""

ASLEEP, AWAKE = STATES.index("asleep"), STATES.index("awake")


class AtRest(NamedTuple):
    """A row of a draw in which its accessory has supply and does not work: hours [h], current [A].

    What an accessory takes at rest has another span than what it takes at work.
    """

    start_h: float
    end_h: float
    current_a: Values


Row = tuple[float, float, Values]
Rows = tuple[Row, ...]


def with_current(row: Row, current_a: Values) -> Row:
    """A row of a draw with another current [A], at rest where it was."""
    start, end, _ = row
    return AtRest(start, end, current_a) if isinstance(row, AtRest) else (start, end, current_a)


class Part(Struct, frozen=True, eq=False):
    """What one accessory takes of the current of a tap [A, (states,)], and when.

    `standby_a` [A] is what it takes while it has supply and does not work; `ends_h` [h] after
    locking it stops working, infinite where it does not; `spans` are the hours of the day in which
    it works, none for any hour. `duty` [-] of `period_s` [s] it draws, 0 where that is not known.
    """

    name: str
    current_a: Floats
    works: Mask
    standby_a: float
    duty: float
    period_s: float
    ends_h: float
    spans: tuple[ClockSpan, ...]


def accessory_draws(a: Figures) -> tuple[tuple[str, Draw], ...]:
    """The draw of every accessory that draws while parked, with the accessory's id."""
    found = []
    # only a cut-off looks at what is lost on the way
    cutting = (look_up.cut_off_of(a.vehicle, each) for each in a.circuit.taps.accessories)
    looked_at = any(each is not None for each in cutting)
    ways = tap_ways(a.circuit) if looked_at else None
    for column in range(len(a.taps.ids)):
        for accessory_id, part in _parts(a, column):
            draw = _draw(a, column, part)
            if draw is not None and ways is not None:
                cut_off = _cut_off(a, column, float(ways.own_v[ASLEEP, column]))
                draw = replace(draw, cut_off=cut_off, way=ways.branches[column])
            if draw is not None:
                found.append((accessory_id, draw))
        found += _waiting(a, column)
    return tuple(found)


def _waiting(a: Figures, column: int) -> Iterator[tuple[str, Draw]]:
    """What a timer draws itself, while it waits on a source that stays live."""
    at, tap = int(a.circuit.taps.slot[column]), a.circuit.taps.taps[column]
    fed = at < 0 or bool(a.circuit.slots.live[ASLEEP, at])
    waits_a = a.rule("timer_rest_ma") / 1000
    if tap.switch == "timer" and fed and waits_a > 0:
        name = f"{a.circuit.taps.accessories[column].name}{TIMER}"
        yield tap.accessory, Draw.constant(name, waits_a)


def _parts(a: Figures, column: int) -> Iterator[tuple[str, Part]]:
    """Who takes the current of a tap: its accessory, and what hangs behind it."""
    taps = a.circuit.taps
    tap, accessory = taps.taps[column], taps.accessories[column]
    behind = taps.behind.of(column)
    current = a.taps.current_a[:, column]
    power = tap.lead == "power"
    asked_w = taps.asked_a[:, column] * taps.asked_at_v[column]
    per_w = np.divide(current, asked_w, out=np.zeros_like(current), where=asked_w > 0)
    others = sum((each.taken_w for each in behind), np.zeros(len(STATES)))
    own = Part(
        name=accessory.name if power else f"{accessory.name}{SENSE_LEAD}",
        current_a=current - others * per_w,
        works=a.taps.works[:, column],
        standby_a=accessory.standby_a,
        duty=accessory.duty if power else 1.0,
        period_s=accessory.duty_period_s,
        ends_h=_ends_h(accessory),
        spans=accessory.timetable,
    )
    yield accessory.id, own
    for each in behind:
        yield (
            each.accessory.id,
            Part(
                name=each.accessory.name,
                current_a=each.taken_w * per_w,
                works=each.works,
                standby_a=each.rest_w * float(per_w[ASLEEP] or per_w[AWAKE]),
                duty=each.accessory.duty,
                period_s=each.accessory.duty_period_s,
                ends_h=min(_ends_h(each.accessory), own.ends_h),
                spans=each.accessory.timetable or own.spans,
            ),
        )


def _ends_h(accessory: Accessory) -> float:
    return inf if accessory.run_on_min is None else accessory.run_on_min / 60


def _draw(a: Figures, column: int, part: Part) -> Draw | None:
    """The draw of one part of a tap's current; `None` where it takes nothing while parked."""
    rows = [row for row in _rows(a, column, part) if float(row[2]) > 0]
    if not rows:
        return None
    phases, daily = _timed(rows, part)
    exponent = float(a.circuit.taps.exponent[column])
    if not (LEAST_DUTY < part.duty < 1 and part.period_s > 0):
        return Draw(part.name, phases, daily, exponent=exponent)
    # the mean stays the same; a cut-off looks at the full current where that outlasts its delay
    return Draw(
        part.name,
        _over(phases, part.duty),
        _over(daily, part.duty),
        duty=part.duty,
        duty_period_s=part.period_s,
        exponent=exponent,
    )


def _over(rows: Rows, duty: float) -> Rows:
    return tuple(with_current(row, np.asarray(row[2]) / duty) for row in rows)


def _rows(a: Figures, column: int, part: Part) -> Rows:
    """From hour to hour, what is drawn [A]."""
    sleep_h = a.vehicle.parking.sleep_after_min / 60
    until = _dead_after_h(a, column, sleep_h)
    rows: list[Row] = []
    for row, start, end in ((AWAKE, 0.0, min(sleep_h, until)), (ASLEEP, sleep_h, until)):
        # a slot that is off later is live as long as its delay runs, asleep or not
        state = AWAKE if until < inf else row
        if end <= start:
            continue
        value = float(part.current_a[state])
        if part.works[state] and part.ends_h < end:
            if part.ends_h > start:
                rows.append((start, part.ends_h, value * part.duty))
            rows.append(AtRest(max(start, part.ends_h), end, part.standby_a))
        elif part.works[state]:
            rows.append((start, end, value * part.duty))
        else:
            rows.append(AtRest(start, end, value))
    return tuple(rows)


def _dead_after_h(a: Figures, column: int, sleep_h: float) -> float:
    """How long after locking a tap's source goes dead [h], infinite where it stays live."""
    at, taps = int(a.circuit.taps.slot[column]), a.circuit.taps.taps
    slot = None if at < 0 else a.circuit.slots.slots[at]
    timed = timer_h(taps, taps[column])
    if slot is not None and slot.feed_class == "delayed_off":
        return min(timed, slot.delayed_off_min / 60)
    if timed < inf and a.taps.live[AWAKE, column]:
        # where it stays live for no timer, that is all that ends it
        return timed
    if a.taps.live[ASLEEP, column]:
        return inf
    return sleep_h if a.taps.live[AWAKE, column] else 0.0


def _timed(rows: list[Row], part: Part) -> tuple[Rows, Rows]:
    """A draw's rows as phases, or as standby with the timetable's hours on top."""
    if not part.spans or rows[-1][1] < inf:
        return tuple(rows), ()
    more = max(0.0, float(rows[-1][2]) - part.standby_a)
    spans = tuple((span.from_h, span.to_h, more) for span in part.spans)
    return (AtRest(0.0, inf, part.standby_a),), spans


def _cut_off(a: Figures, column: int, lost_v: float) -> CutOff | None:
    """The low-voltage cut-off of a tap's accessory or its feed; behind a converter is no other.

    `lost_v` [V] is what the vehicle's own loads asleep cost on the way to it.
    """
    cut_off = look_up.cut_off_of(a.vehicle, a.circuit.taps.accessories[column])
    if cut_off is None:
        return None
    return CutOff(v_off=cut_off.off_v, v_on=cut_off.on_v, delay_s=cut_off.delay_s, lost_v=lost_v)


WHOLE: Final = "Vehicle itself"
CIRCUITS: Final = "Measured circuits"
REMAINDER: Final = "Unexplained remainder"
DELAYED: Final = "Delayed-off slots"
MAINTAINER: Final = "Maintainer"
LINK: Final = "Link to the second battery"
CHARGER: Final = "Charger of the second battery"
WAKE_UPS: Final = "Wake-ups"
UNLOGGED: Final = "Unlogged wake-ups"
SENSE_LEAD: Final = ", sense lead"
TIMER: Final = ", timer"

_OURS: Final[Mapping[str, Text]] = {
    WHOLE: say("Vehicle itself"),
    CIRCUITS: say("Measured circuits"),
    REMAINDER: say("Unexplained remainder"),
    DELAYED: say("Delayed-off slots"),
    MAINTAINER: say("Maintainer"),
    LINK: say("Link to the second battery"),
    CHARGER: say("Charger of the second battery"),
    TOPPED_UP: say("Drive battery"),
    UNLOGGED: say("Unlogged wake-ups"),
}


def draw_words(name: str) -> Words:
    """The name of a draw in words; one that somebody gave stays as it is.

    >>> str(draw_words("Wake-ups 2")), draw_words("Dash camera")
    ('Wake-ups 2', 'Dash camera')
    """
    number = name.removeprefix(f"{WAKE_UPS} ")
    if number != name and number.isdecimal():
        return say("Wake-ups {number}", number=int(number))
    if name.endswith(SENSE_LEAD):
        return say("{accessory}, sense lead", accessory=name.removesuffix(SENSE_LEAD))
    if name.endswith(TIMER):
        return say("{accessory}, timer", accessory=name.removesuffix(TIMER))
    return _OURS.get(name, name)
