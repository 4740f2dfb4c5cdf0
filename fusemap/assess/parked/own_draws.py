"""What the vehicle draws by itself while parked, and what charges it, as the forecast wants it.

In: an assessed vehicle. Out: one `Draw` each for the measured circuits, the remainder that no
circuit explains, delayed-off slots, wake-ups, the link of a second battery, and a maintainer.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import inf
from typing import Final

from fusemap.assess.figures import Figures
from fusemap.assess.parked.names import CIRCUITS, DELAYED, MAINTAINER, REMAINDER, WAKE_UPS, WHOLE
from fusemap.electrics.parked import Draw
from fusemap.text import Amount, Text, say
from fusemap.vehicle import STATES, Maintainer, WakeUp

ASLEEP, AWAKE = STATES.index("asleep"), STATES.index("awake")
CONTROL_UNITS: Final = 1e-4
"""Currents below this [A] are not worth a row of their own."""


@dataclass(frozen=True, eq=False)
class RestCurrent:
    """The vehicle's own current asleep [A]: whole, what the slots explain, whether measured."""

    whole_a: float
    explained_a: float
    measured: bool

    @property
    def remainder_a(self) -> float:
        """What no circuit explains [A]; nothing where the circuits come to more than the whole."""
        return max(0.0, self.whole_a - self.explained_a) if self.explained_a > 0 else 0.0


def rest_current(a: Figures, assumed: list[Text] | None = None) -> RestCurrent:
    """The vehicle's rest current, measured, or the slots' own loads but at least what is usual."""
    explained = float(a.slots.own_a[ASLEEP].sum() + a.circuit.feeds.other_a[ASLEEP].sum())
    measured = a.vehicle.parking.rest_current_a
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
        return RestCurrent(measured, min(explained, measured), True)
    usual = a.rule("rest_current_assumed_ma") / 1000
    whole = max(explained, usual)
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
    if rest.remainder_a <= CONTROL_UNITS or rest.explained_a <= CONTROL_UNITS:
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
    # a slot that goes off by its own clock has a draw of its own
    steady = [s.feed_class != "delayed_off" for s in a.circuit.slots.slots]
    own = float(a.slots.own_a[AWAKE, steady].sum() + a.circuit.feeds.other_a[AWAKE].sum())
    awake = max(rest_a, own)
    if a.vehicle.parking.sleep_after_min > 0:
        assumed.append(
            say(
                "{current} until the vehicle sleeps (whole vehicle awake not measured)",
                current=Amount(awake, "A"),
            )
        )
    return awake


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
