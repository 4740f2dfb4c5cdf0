"""A second battery: what hangs on it, how long it lasts, and what that costs the starter's.

In: an assessed vehicle and the draws of its accessories. Out: the draws left on the starter
battery, and a forecast of the second one.

Kept simple: parked and parted, each battery has its own draws. While the link is closed after
locking, a relay makes both give in the ratio of their capacities, and a DC-DC charger takes its
current from the starter's side until the second is full. A daily timetable counts on the second
battery alone, and the charge that flows between two batteries through a relay is left aside.
"""

from __future__ import annotations

from math import inf

import numpy as np
from msgspec.structs import replace

from fusemap.assess.battery import CHARGER_A, CHARGER_SHARE, BatteryModel, second_model
from fusemap.assess.figures import Figures
from fusemap.assess.parked.draws import CHARGER, LINK, maintainer_draw
from fusemap.assess.parked.figures import SecondFigures
from fusemap.assess.parked.topping import may_charge
from fusemap.assess.parked.weather import typical_c
from fusemap.electrics.parked import Draw, forecast
from fusemap.electrics.parked.draws import CurrentRow
from fusemap.text import given, say
from fusemap.vehicle import SecondBattery, look_up

Placed = tuple[tuple[str, Draw], ...]


def parted(a: Figures, placed: Placed) -> tuple[Placed, Placed]:
    """The accessories' draws on the starter battery, and those on the second one."""
    if a.vehicle.second_battery is None:
        return placed, ()
    second = {
        each.id for each in a.vehicle.accessories if look_up.battery_of(a.vehicle, each) == "second"
    }
    return (
        tuple(pair for pair in placed if pair[0] not in second),
        tuple(pair for pair in placed if pair[0] in second),
    )


def starter_side(a: Figures, model: BatteryModel, on_second: Placed) -> tuple[Draw, ...]:
    """What the second battery and its link take from the starter battery."""
    second = a.vehicle.second_battery
    if second is None:
        return ()
    idle = (Draw.constant(LINK, second.idle_a),) if second.idle_a > 0 else ()
    hours = _linked_h(a, second)
    if hours <= 0:
        return idle
    if second.link == "dcdc":
        return (*idle, Draw(CHARGER, phases=((0.0, hours, _charger_a(second)),)))
    share = _starter_share(a, model)
    shared = (_cut(draw, 0.0, hours, share) for _, draw in on_second)
    return (*idle, *(draw for draw in shared if draw is not None))


def second_figures(
    a: Figures, model: BatteryModel, on_second: Placed, harm_soc: float, horizon_h: float
) -> SecondFigures | None:
    """The forecast of the second battery; `None` where there is none."""
    second = a.vehicle.second_battery
    if second is None:
        return None
    mine = second_model(second, a.vehicle.system_v)
    parking = a.vehicle.parking
    found = forecast(
        mine.wells,
        mine.start_soc,
        _second_side(a, model, second, on_second),
        temperature_c=typical_c(a),
        locked_at_clock_h=parking.locked_at_h,
        horizon_h=horizon_h,
        harm_soc=harm_soc,
        sample_h=np.linspace(0.0, horizon_h, 25),
    )
    assumed = list(mine.assumed)
    if second.link == "dcdc" and second.linked_min > 0 and second.charger_a is None:
        assumed.append(
            say("the charger takes {current} (not entered)", current=given(CHARGER_A, "A"))
        )
    return SecondFigures(
        forecast=found,
        start_soc=mine.start_soc,
        hours_to_empty=float(found.hours_to_empty),
        hours_to_harm=float(found.hours_to_harm),
        accessories=tuple(accessory for accessory, _ in on_second),
        assumed=tuple(assumed),
    )


def _second_side(
    a: Figures, model: BatteryModel, second: SecondBattery, on_second: Placed
) -> tuple[Draw, ...]:
    return (*_second_loads(a, model, second, on_second), *_second_sources(a, second))


def _second_sources(a: Figures, second: SecondBattery) -> tuple[Draw, ...]:
    """A maintainer on the second battery, unless that is a LiFePO4 in the frost."""
    maintainer = a.vehicle.parking.maintainer
    if maintainer is None or maintainer.battery != "second":
        return ()
    charged = np.all(may_charge(second.chemistry, typical_c(a)))
    return maintainer_draw(maintainer) if charged else ()


def _second_loads(
    a: Figures, model: BatteryModel, second: SecondBattery, on_second: Placed
) -> tuple[Draw, ...]:
    hours = _linked_h(a, second)
    if hours <= 0:
        return tuple(draw for _, draw in on_second)
    if second.link == "dcdc":
        charged = Draw(CHARGER, phases=((0.0, hours, -CHARGER_SHARE * _charger_a(second)),))
        return (charged, *(draw for _, draw in on_second))
    share = 1.0 - _starter_share(a, model)
    own = [
        part
        for _, draw in on_second
        for part in (_cut(draw, 0.0, hours, share), _cut(draw, hours, inf, 1.0, daily=True))
        if part is not None
    ]
    return tuple(own)


def _charger_a(second: SecondBattery) -> float:
    return CHARGER_A if second.charger_a is None else second.charger_a


def _linked_h(a: Figures, second: SecondBattery) -> float:
    """For how long the link stays closed [h]; a charger stops when the second battery is full."""
    hours = second.linked_min / 60
    if second.link == "relay" or hours <= 0:
        return hours
    mine = second_model(second, a.vehicle.system_v)
    lacking = (1.0 - mine.start_soc) * float(np.asarray(mine.wells.scaled_ah))
    taken = CHARGER_SHARE * _charger_a(second)
    return min(hours, lacking / taken) if taken > 0 else 0.0


def _starter_share(a: Figures, model: BatteryModel) -> float:
    """The starter battery's part of both capacities [-]."""
    second = a.vehicle.second_battery or SecondBattery()
    other = float(np.asarray(second_model(second, a.vehicle.system_v).wells.scaled_ah))
    own = float(np.asarray(model.wells.scaled_ah))
    return own / (own + other)


def _cut(
    draw: Draw, start: float, end: float, factor: float, *, daily: bool = False
) -> Draw | None:
    """A draw's phases between two hours, times a factor; its timetable only if asked for."""
    rows: tuple[CurrentRow, ...] = tuple(
        (max(a, start), min(b, end), np.asarray(current) * factor)
        for a, b, current in draw.phases
        if min(b, end) > max(a, start)
    )
    timed = draw.daily if daily else ()
    if not rows and not timed:
        return None
    keeps = draw.cut_off if end == inf else None
    return replace(draw, phases=rows, daily=timed, cut_off=keeps)
