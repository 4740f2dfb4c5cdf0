"""Checks at the earth points: how many eyelets, what shares them, what their resistance costs.

A point is held against the drop that a workshop guide allows with all that goes back by it at work.
Where nobody measured its resistance that cannot be checked, and is asked for from a current on at
which it matters.
"""

from collections.abc import Iterator

import numpy as np

from fusemap.assess import Assessment
from fusemap.assess.result import Floats
from fusemap.checks.finding import Finding
from fusemap.text import Amount, Text, Words, in_row, many, say
from fusemap.vehicle import STATES, EarthPoint, Tap, Vehicle, look_up
from fusemap.vehicle.words import STATE

SENSOR: Text = say(
    "a cable at the minus post goes past the battery sensor: the vehicle reckons with a wrong "
    "charge"
)


def _on(vehicle: Vehicle, point: EarthPoint) -> tuple[list[int], list[Tap]]:
    """The taps whose current goes back by a point, with their columns."""
    found = [(i, tap) for i, tap in enumerate(vehicle.taps) if tap.earth == point.id]
    return [i for i, _ in found], [tap for _, tap in found]


def _finding(point: EarthPoint, **said: object) -> Finding:
    return Finding(place="earth", place_id=point.id, where=point.name, **said)  # type: ignore[arg-type]


def at_the_sensor(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """Earths at the battery's minus post, where a sensor sits or may sit."""
    for point in vehicle.earths:
        _, taps = _on(vehicle, point)
        if point.kind != "battery_minus" or not taps or point.sensor == "no":
            continue
        sits = point.sensor == "yes"
        yield _finding(
            point,
            code="earth_past_sensor" if sits else "earth_sensor_unknown",
            severity="stop" if sits else "caution",
            what=say("This earth goes past the battery sensor.")
            if sits
            else say("Whether a battery sensor sits at this post was not looked at."),
            sum=_names(vehicle, taps),
            rule=SENSOR,
            source=say("body-builder manuals of two van makers"),
            remedy=say("Take an earth bolt of the body instead.")
            if sits
            else say("Look whether a small box with a plug sits on the minus clamp, and say so."),
        )


def too_many_eyelets(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """More eyelets on one screw than hold for good; what nobody counted may be one more."""
    most = int(a.rule("earth_eyelets"))
    for point in vehicle.earths:
        _, taps = _on(vehicle, point)
        if point.kind != "body" or not taps:
            continue
        known = len(taps) + (point.others or 0)
        if known <= most and not (point.others is None and known == most):
            continue
        sure = known > most
        yield _finding(
            point,
            code="earth_crowded" if sure else "earth_not_counted",
            severity="caution" if sure else "note",
            what=say("More eyelets sit under one earth screw than hold for good.")
            if sure
            else say("How many eyelets of the vehicle sit here was not counted."),
            sum=many("{n} eyelet of this plan", "{n} eyelets of this plan", len(taps))
            if point.others is None
            else say(
                "{own} of this plan + {others} there > {most}",
                own=len(taps),
                others=point.others,
                most=most,
            ),
            rule=a.rules["earth_eyelets"].label,
            source=a.rules["earth_eyelets"].source,
            remedy=say("Choose a second earth point, or a bar with a screw for each."),
        )


def drop_too_high(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """Points whose measured resistance costs more than it may, with all that goes back there."""
    for point in vehicle.earths:
        columns, taps = _on(vehicle, point)
        if not taps or point.resistance_mohm is None:
            continue
        drop, row = worst_drop_mv(point, a.most.taps.current_a[:, columns])
        limit = a.rule(_rule(a, taps))
        if drop <= limit * (1 + 1e-9):
            continue
        yield _finding(
            point,
            code="earth_drop_high",
            severity="caution",
            what=say("This earth point costs more than an earth may."),
            sum=say(
                "{current} × {resistance} = {drop} > {limit} ({state}): {names}",
                current=Amount(drop / point.resistance_mohm, "A"),
                resistance=Amount(point.resistance_mohm, "mΩ"),
                drop=Amount(drop, "mV"),
                limit=Amount(limit, "mV"),
                state=STATE[STATES[row]].label,
                names=_names(vehicle, taps),
            ),
            rule=a.rules[_rule(a, taps)].label,
            source=a.rules[_rule(a, taps)].source,
            remedy=say("Clean it to bare metal, or spread what hangs there over two points."),
        )


def shared_with_sensitive(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """A motor on a point by which a sensor or a radio has its earth."""
    for point in vehicle.earths:
        _, taps = _on(vehicle, point)
        motors = [
            tap for tap in taps if look_up.accessory(vehicle, tap.accessory).load_kind == "motor"
        ]
        if point.sensitive != "yes" or not motors:
            continue
        yield _finding(
            point,
            code="earth_shared_badly",
            severity="caution",
            what=say("A motor shares this earth point with a sensor or a radio."),
            sum=_names(vehicle, motors),
            rule=say("20 A on 5 mΩ lift all that hangs there by 100 mV"),
            source=say("Ohm's law"),
            remedy=say("Give the motor an earth point of its own."),
        )


def worst_drop_mv(point: EarthPoint, current_a: Floats) -> tuple[float, int]:
    """What a point costs in the worst state [mV], and that state's row.

    current_a [A, (states, taps)] of all that goes back by it. Source: Ohm's law.

    >>> worst_drop_mv(EarthPoint(id="e", name="bolt", resistance_mohm=1.5), np.array([[8.0]]))
    (12.0, 0)
    """
    together = np.asarray(current_a).sum(axis=1)
    row = int(together.argmax())
    return float(together[row] * (point.resistance_mohm or 0.0)), row


def _rule(a: Assessment, taps: list[Tap]) -> str:
    motor = any(_is_motor(a.vehicle, tap) for tap in taps)
    return "earth_drop_motor_mv" if motor else "earth_drop_mv"


def _is_motor(vehicle: Vehicle, tap: Tap) -> bool:
    return look_up.accessory(vehicle, tap.accessory).load_kind == "motor"


def _names(vehicle: Vehicle, taps: list[Tap]) -> Text:
    names: list[Words] = [look_up.accessory(vehicle, tap.accessory).name for tap in taps]
    return in_row(names)
