"""Ways out of what the parked forecast found: cut-offs, timers, duty, a switched source.

In: a `Case` about the battery or an accessory. Out: `WayOut`s; of every series the mildest setting
that removes the finding.
"""

from collections.abc import Callable, Iterator
from functools import partial
from math import floor, isfinite

from msgspec.structs import replace

from fusemap.placement.candidates import candidates
from fusemap.placement.suggest import suggest_tap
from fusemap.placement.ways_out import Case, Edit, WayOut
from fusemap.placement.ways_source import accessory_of
from fusemap.vehicle import (
    PARKED_STATES,
    Accessory,
    Maintainer,
    Vehicle,
    VoltageCutOff,
    edits,
    look_up,
)

STEP_V = 0.1
HIGHEST_OFF_V = 12.7
"""Above this a cut-off of a 12 V system trips on a full battery [V]."""
GAP_V = 0.6
"""At least so far above its cut-off a load comes on again [V]; ours."""
MAINTAINERS_A = (0.1, 0.2, 0.5, 0.8, 1.0, 2.0, 4.0)
"""What usual maintainers and small solar panels give [A]; from memory."""
TIMERS_MIN = (2880, 1440, 720, 480, 240, 120, 60, 30, 10, 0)
DUTIES = (0.75, 0.5, 0.33, 0.25, 0.15, 0.1, 0.05)


def consumers(case: Case) -> list[Accessory]:
    """The accessories that draw while parked, the largest first."""
    ids = [c.accessory for c in case.a.parked.consumers if c.accessory and c.charge_ah > 0]
    return [look_up.accessory(case.vehicle, each) for each in dict.fromkeys(ids)]


# --- cut-offs -------------------------------------------------------------------------------------


def raise_cut_off(case: Case) -> Iterator[WayOut]:
    """The lowest cut-off of the accessory that is high enough."""
    it = _whose_cut_off(case)
    if it is not None:
        yield from case.mildest(_cut_offs(case, [it]))


def _whose_cut_off(case: Case) -> Accessory | None:
    """The accessory of a cut-off; that of a sense lead is told by the lead's name only."""
    if case.finding.place == "accessory":
        return accessory_of(case)
    named = (x for x in case.vehicle.accessories if case.finding.where == f"{x.name}, sense lead")
    return next(named, None)


def cut_offs(case: Case) -> Iterator[WayOut]:
    """A cut-off for each accessory that draws while parked, then one for all of them."""
    found = consumers(case)
    for each in found:
        yield from case.mildest(_cut_offs(case, [each]))
    if len(found) > 1:
        yield from case.mildest(_cut_offs(case, found))


def _cut_offs(case: Case, those: list[Accessory]) -> list[WayOut]:
    scale = case.vehicle.system_v / 12
    now = min((x.cut_off.off_v for x in those if x.cut_off), default=10.5 * scale)
    steps = max(0, round((HIGHEST_OFF_V * scale - now) / (STEP_V * scale)))
    whose = f"“{those[0].name}”" if len(those) == 1 else "all that draws while parked"
    volts = [round(now + step * STEP_V * scale, 2) for step in range(1, steps + 1)]
    return [
        WayOut(f"Let a cut-off of {off:g} V switch {whose} off", _cutting(those, off, scale))
        for off in volts
    ]


def _cutting(those: list[Accessory], off_v: float, scale: float) -> Edit:
    ids = tuple(each.id for each in those)

    def edit(vehicle: Vehicle) -> Vehicle:
        for accessory_id in ids:
            now = look_up.accessory(vehicle, accessory_id).cut_off
            if now is not None and now.off_v >= off_v:
                continue
            on = round(max(off_v + GAP_V * scale, 0.0 if now is None else now.on_v), 2)
            delay = 60.0 if now is None else now.delay_s
            cut_off = VoltageCutOff(off_v=off_v, on_v=on, delay_s=delay)
            vehicle = edits.change_accessory(vehicle, accessory_id, cut_off=cut_off)
        return vehicle

    return edit


def raise_reconnect(case: Case) -> Iterator[WayOut]:
    """The lowest voltage to come on again that stops the chatter."""
    it = _whose_cut_off(case)
    if it is None or it.cut_off is None:
        return
    cut_off = it.cut_off
    scale = case.vehicle.system_v / 12

    volts = [round(cut_off.on_v + step * STEP_V * scale, 2) for step in range(1, 40)]
    yield from case.mildest(
        [
            WayOut(
                f"Let it come on again above {on:g} V only",
                partial(
                    edits.change_accessory, accessory_id=it.id, cut_off=replace(cut_off, on_v=on)
                ),
            )
            for on in volts
        ]
    )


def cut_off_at_converter(case: Case) -> Iterator[WayOut]:
    """The cut-off moves from the accessory to the converter it hangs on."""
    it = accessory_of(case)
    if it.cut_off is None or it.supplied_by is None:
        return
    scale = case.vehicle.system_v / 12
    there = VoltageCutOff(off_v=12.0 * scale, on_v=12.8 * scale, delay_s=it.cut_off.delay_s)
    above = it.supplied_by

    def edit(vehicle: Vehicle) -> Vehicle:
        vehicle = edits.change_accessory(vehicle, it.id, cut_off=None)
        if look_up.accessory(vehicle, above).cut_off is None:
            vehicle = edits.change_accessory(vehicle, above, cut_off=there)
        return vehicle

    yield WayOut(f"Have the cut-off before the converter, at {there.off_v:g} V", edit)


# --- working less ---------------------------------------------------------------------------------


def timers(case: Case) -> Iterator[WayOut]:
    """The longest timer of each accessory that works while parked."""
    for it in consumers(case):
        yield from case.mildest(_timers(it))


def _timers(it: Accessory) -> list[WayOut]:
    now = float("inf") if it.run_on_min is None else it.run_on_min
    return [_timer(it, minutes) for minutes in TIMERS_MIN if minutes < now]


def _timer(it: Accessory, minutes: int) -> WayOut:
    words = f"{minutes / 60:g} h" if minutes >= 60 else f"{minutes:g} min"
    title = f"Let “{it.name}” stop {words} after locking"
    if minutes == 0:
        title = f"Let “{it.name}” stop when the vehicle is locked"
    return WayOut(
        title, partial(edits.change_accessory, accessory_id=it.id, run_on_min=float(minutes))
    )


def lower_duty(case: Case) -> Iterator[WayOut]:
    """The highest share of the time each accessory may work."""
    for it in consumers(case):
        yield from case.mildest(
            [
                WayOut(
                    f"Let “{it.name}” draw for at most {share:.0%} of the time",
                    partial(edits.change_accessory, accessory_id=it.id, duty=share),
                )
                for share in DUTIES
                if share < it.duty
            ]
        )


def no_parked_work(case: Case) -> Iterator[WayOut]:
    """Accessories that do not work while parked, each alone and all together."""
    found = [it for it in consumers(case) if set(PARKED_STATES) & set(it.works_in)]
    for it in found:
        yield WayOut(f"Do not let “{it.name}” work while parked", _keyed([it]))
    if len(found) > 1:
        yield WayOut("Let nothing work while parked", _keyed(found))


def _keyed(those: list[Accessory]) -> Edit:
    ids = tuple(each.id for each in those)

    def edit(vehicle: Vehicle) -> Vehicle:
        for accessory_id in ids:
            now = look_up.accessory(vehicle, accessory_id).works_in
            kept = tuple(state for state in now if state not in PARKED_STATES)
            vehicle = edits.change_accessory(vehicle, accessory_id, works_in=kept)
        return vehicle

    return edit


# --- a switched source ----------------------------------------------------------------------------


def switched(case: Case) -> Iterator[WayOut]:
    """Accessories that may be switched go from a permanent to a switched slot, alone and all."""
    moves: list[tuple[Accessory, Edit]] = []
    for it in consumers(case):
        edit = _to_switched(case, it)
        if edit is not None:
            moves.append((it, edit))
            yield WayOut(f"Put “{it.name}” on a switched slot instead of a permanent one", edit)
    if len(moves) > 1:
        yield WayOut("Put all that may be switched on switched slots", _all([e for _, e in moves]))


def _to_switched(case: Case, it: Accessory) -> Edit | None:
    tap = look_up.tap_of(case.vehicle, it.id)
    if it.needs == "permanent" or tap is None or tap.slot is None:
        return None
    wanted = replace(it, needs="switched")
    found = candidates(case.vehicle, case.a, wanted)
    best = next((c for c in found if c.fits and c.rest_a == 0), None)
    if best is None:
        return None
    fields = suggest_tap(case.vehicle, case.a, wanted, "power", best.slot_id)
    if tap.cable_out is not None:
        fields["cable_out"], fields["cable_back"] = tap.cable_out, tap.cable_back
    return partial(edits.place, accessory_id=it.id, lead="power", slot=best.slot_id, **fields)


def _all(steps: list[Edit]) -> Edit:
    def edit(vehicle: Vehicle) -> Vehicle:
        for step in steps:
            vehicle = step(vehicle)
        return vehicle

    return edit


# --- charging and standing less ------------------------------------------------------------------


def maintainer(case: Case) -> Iterator[WayOut]:
    """A maintainer that puts back what is drawn."""
    now = case.vehicle.parking.maintainer
    if now is None:
        yield from case.mildest(
            [
                WayOut(
                    f"Keep it on a maintainer that gives {amperes:g} A on the mean",
                    partial(edits.change_parking, maintainer=Maintainer(current_a=amperes)),
                )
                for amperes in MAINTAINERS_A
            ]
        )


def stand_less(case: Case) -> Iterator[WayOut]:
    """Charge it, or drive, before the charge for a start is gone."""
    hours = case.a.parked.hours
    days = floor(hours / 24) if isfinite(hours) else 0
    if days >= 1:
        word = "day" if days == 1 else f"{days} days"
        edit = partial(edits.change_parking, stand_days=float(days))
        yield WayOut(f"Plan to charge or drive it every {word}", edit)


def on_starter(case: Case) -> Iterator[WayOut]:
    """Say that it hangs on the starter battery, as it is joined."""
    it = accessory_of(case)
    edit = partial(edits.change_accessory, accessory_id=it.id, battery="starter")
    yield WayOut(f"Say that “{it.name}” hangs on the starter battery", edit)


def beside(text: str) -> Callable[[Case], Iterator[WayOut]]:
    """A way that only somebody beside the car can go."""

    def make(case: Case) -> Iterator[WayOut]:
        yield WayOut(text)

    return make


def measure(text: str) -> Callable[[Case], Iterator[WayOut]]:
    """Take the reading that is missing at the slot, or at the slot that is tapped."""

    def make(case: Case) -> Iterator[WayOut]:
        finding, slot_id = case.finding, case.place_id
        if finding.place == "tap":
            slot_id = look_up.tap(case.vehicle, finding.place_id).slot or ""
        yield WayOut(text, read_slot=slot_id)

    return make
