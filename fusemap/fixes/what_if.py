"""What would help the parked battery: one change at a time, assessed, the days gained, best first.

In: an assessed vehicle. Out: `WhatIf`s, each with its edit, the vehicle after it and its forecast.
Every change is a pure edit, so that applying one is an undoable step like any other.
"""

from collections.abc import Callable, Iterable, Iterator
from functools import partial
from math import isfinite
from typing import Final

import numpy as np
from msgspec import Struct

from fusemap.assess import Assessment, ParkedFigures, assess
from fusemap.assess.battery import battery_model, capacity_ah
from fusemap.assess.parked.starting import hardly_works, saving_v, work_h
from fusemap.errors import FusemapError
from fusemap.placement import candidates
from fusemap.text import Amount, Argument, Duration, Text, given, say
from fusemap.vehicle import (
    KEY_STATES,
    Accessory,
    Maintainer,
    Vehicle,
    VoltageCutOff,
    edits,
    look_up,
)

Edit = Callable[[Vehicle], Vehicle]

SIZES_AH: Final = (44, 52, 60, 70, 80, 95, 105, 120, 140, 180, 225)
"""Usual capacities of starter batteries [Ah] (trade practice)."""
MAINS: Final = Maintainer(kind="mains", current_a=0.8)
SOLAR: Final = Maintainer(kind="solar", current_a=0.3, from_h=9.0, to_h=15.0)
"""A small panel of about 10 W on a fair day, from memory."""
SWITCHED: Final = ("accessory", "ignition")
WORTH_H: Final = 1.0
"""Changes that gain less than this [h] are left out."""


class WhatIf(Struct, frozen=True, eq=False):
    """One change: its key, what it is, the edit, the vehicle and its forecast after it.

    `hours` until no start, infinite past the horizon; `gained_h` counts the horizon there.
    `work_h` is how long the accessory works that a new cut-off switches off [h].
    """

    key: str
    title: Text
    edit: Edit
    vehicle: Vehicle
    parked: ParkedFigures
    hours: float
    gained_h: float
    work_h: float | None = None

    @property
    def gain_words(self) -> Text:
        """What it gains, in words."""
        gained = Duration(self.gained_h)
        if isfinite(self.hours):
            return say("{time} more", time=gained)
        return say("at least {time} more", time=gained)

    @property
    def words(self) -> Text:
        """What it is, and what a cut-off leaves of the accessory's work."""
        if self.work_h is None:
            return self.title
        time = Duration(self.work_h)
        return say("{change}, and it works for {time}", change=self.title, time=time)


def what_ifs(a: Assessment) -> tuple[WhatIf, ...]:
    """The changes that let the vehicle stand longer, the best first."""
    return best_first(each for each in tried(a) if each is not None)


def best_first(found: Iterable[WhatIf]) -> tuple[WhatIf, ...]:
    """Changes in the order of what they gain."""
    return tuple(sorted(found, key=lambda each: -each.gained_h))


def tried(a: Assessment) -> Iterator[WhatIf | None]:
    """Every change there may be, tried one by one, for whoever wants to do something in between.

    `None` for one that this vehicle refuses or that gains next to nothing.
    """
    for key, title, edit in _changes(a):
        try:
            vehicle = edit(a.vehicle)
            parked = assess(vehicle).parked
        except FusemapError:
            yield None
            continue
        gained = gained_h(a.parked, parked)
        works_h, in_vain = _work_left(a.vehicle, vehicle, parked)
        if gained < WORTH_H or in_vain:
            yield None
        else:
            yield WhatIf(key, title, edit, vehicle, parked, parked.hours, gained, works_h)


def _work_left(before: Vehicle, after: Vehicle, parked: ParkedFigures) -> tuple[float | None, bool]:
    """How long what has a new cut-off works until it trips [h], and whether that is in vain."""
    model = battery_model(after.battery, after.system_v)
    pairs = zip(before.accessories, after.accessories, strict=True)
    changed = {new.name for old, new in pairs if new.cut_off != old.cut_off}
    for result in parked.forecast.cut_offs:
        if result.name in changed and isfinite(result.first_trip_h):
            in_vain = hardly_works(parked, result, capacity_ah(model))
            return work_h(parked, result), in_vain
    return None, False


def gained_h(before: ParkedFigures, after: ParkedFigures) -> float:
    """Hours gained [h]; what lasts past the horizon counts as the horizon."""
    return _counted(after) - _counted(before)


def _counted(parked: ParkedFigures) -> float:
    return parked.hours if isfinite(parked.hours) else parked.forecast.horizon_h


Change = tuple[str, Text, Edit]


def _changes(a: Assessment) -> Iterator[Change]:
    # what is on the shelf is reckoned with, so that to leave it off helps as well
    for accessory_id in dict.fromkeys(key for key, _ in a.standing.who.placed):
        accessory = look_up.accessory(a.vehicle, accessory_id)
        yield _off(accessory)
        if accessory.supplied_by is None:
            yield from _cut_off(a, accessory)
            yield from _moved(a, accessory)
    yield from _charged(a)
    yield from _batteries(a)
    yield from _maintained(a)


def _off(accessory: Accessory) -> Change:
    def edit(vehicle: Vehicle) -> Vehicle:
        keys = tuple(s for s in accessory.works_in if s in KEY_STATES) or KEY_STATES
        return edits.change_accessory(
            vehicle, accessory.id, works_in=keys, standby_a=0.0, sense_a=0.0, timetable=()
        )

    return (
        f"off {accessory.id}",
        say("{accessory}: off while parked", accessory=accessory.name),
        edit,
    )


def _cut_off(a: Assessment, accessory: Accessory) -> Iterator[Change]:
    """A cut-off that trips while there is still the charge a start needs, or a higher one."""
    volts = saving_v(battery_model(a.vehicle.battery, a.vehicle.system_v), a.parked.need.cautious)
    now = accessory.cut_off
    if now is not None and now.off_v >= volts:
        return
    rest = volts + 0.8 * a.vehicle.system_v / 12

    def edit(vehicle: Vehicle) -> Vehicle:
        new = VoltageCutOff(off_v=volts, on_v=max(rest, volts if now is None else now.on_v))
        return edits.change_accessory(vehicle, accessory.id, cut_off=new)

    parts: dict[str, Argument] = {"accessory": accessory.name, "voltage": Amount(volts, "V")}
    title = say("{accessory}: a cut-off at {voltage}", **parts)
    if now is not None:
        title = say("{accessory}: the cut-off raised to {voltage}", **parts)
    yield f"cut_off {accessory.id}", title, edit


def _moved(a: Assessment, accessory: Accessory) -> Iterator[Change]:
    """Onto the best slot that is dead while parked, where there is one with room."""
    tap = look_up.tap_of(a.vehicle, accessory.id, "power")
    if tap is None:
        return
    feed_class = {slot.id: slot.feed_class for slot in look_up.slots(a.vehicle)}
    if tap.slot is not None and feed_class[tap.slot] in SWITCHED:
        return
    # a switched feed will do for what is to be off while parked
    asked = edits.change_accessory(a.vehicle, accessory.id, needs="either")
    wanted = look_up.accessory(asked, accessory.id)
    fits = (each.slot_id for each in candidates(a.vehicle, a, wanted) if each.fits)
    to = next((slot_id for slot_id in fits if feed_class[slot_id] in SWITCHED), None)
    if to is not None:
        parts = {
            "accessory": accessory.name,
            "slot": look_up.place_words(look_up.slot(a.vehicle, to)),
        }
        yield (
            f"move {accessory.id}",
            say("{accessory}: move to {slot}, a switched slot", **parts),
            partial(edits.place, accessory_id=accessory.id, slot=to),
        )


def _charged(a: Assessment) -> Iterator[Change]:
    if a.parked.start_soc < 0.99:
        yield (
            "charged",
            say("Charge it fully before parking"),
            partial(edits.change_battery, start_soc=1.0, low_soc=None, high_soc=None),
        )


def _batteries(a: Assessment) -> Iterator[Change]:
    """A new battery of the same size, and of the next usual one."""
    model = battery_model(a.vehicle.battery, a.vehicle.system_v)
    capacity = float(np.asarray(model.wells.capacity_ah)) / a.vehicle.battery.parallel
    larger = next((size for size in SIZES_AH if size > capacity * 1.05), None)
    yield (
        "new",
        say("New battery of the same size"),
        _with_battery(capacity, model.start_soc),
    )
    if larger is not None:
        title = say("New battery of {capacity}", capacity=given(larger, "Ah"))
        yield "larger", title, _with_battery(float(larger), model.start_soc)


def _with_battery(capacity_ah: float, start_soc: float) -> Edit:
    """A new battery charged as the old one; what was read of the old one goes with it."""

    def edit(vehicle: Vehicle) -> Vehicle:
        return edits.change_battery(
            vehicle,
            capacity_ah=capacity_ah,
            reserve_min=None,
            cca_a=None,
            measured_cca_a=None,
            age_years=0.0,
            soh=1.0,
            low_soh=None,
            high_soh=None,
            start_soc=start_soc,
            rest_v=None,
            resistance_mohm=None,
            crank_readings=(),
            stand_readings=(),
        )

    return edit


def _maintained(a: Assessment) -> Iterator[Change]:
    if a.vehicle.parking.maintainer is not None:
        return
    for title, each in (
        (say("Mains maintainer, {current}", current=given(MAINS.current_a, "A")), MAINS),
        (
            say(
                "Solar panel, {current} for {hours} hours a day",
                current=given(SOLAR.current_a, "A"),
                hours=SOLAR.to_h - SOLAR.from_h,
            ),
            SOLAR,
        ),
    ):
        yield each.kind, title, partial(edits.change_parking, maintainer=each)
