"""Fixes of what the parked forecast found: cut-offs, timers, duty, a switched source.

In: a `Case` about the battery or an accessory. Out: `Fix`es; of every series the mildest setting
that removes the finding.
"""

from collections.abc import Iterator
from functools import partial
from math import floor, isfinite

from msgspec.structs import replace

from fusemap.fixes.fix import Case, Edit, Fix
from fusemap.fixes.source import accessory_of
from fusemap.placement.candidates import candidates
from fusemap.placement.suggest import suggest_tap
from fusemap.text import Text, given, many, say, share
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
LOWEST_OFF_V = 10.5
"""At this a 12 V battery is empty [V]."""
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


def raise_cut_off(case: Case) -> Iterator[Fix]:
    """The lowest cut-off of the accessory that is high enough."""
    it = _whose_cut_off(case)
    if it is not None:
        yield from case.mildest(_cut_offs(case, [it]))


def lower_cut_off(case: Case) -> Iterator[Fix]:
    """The highest cut-off of the accessory that lets it work."""
    it = _whose_cut_off(case)
    cut_off = None if it is None else look_up.cut_off_of(case.vehicle, it)
    if it is None or cut_off is None:
        return
    least = LOWEST_OFF_V * case.vehicle.system_v / 12
    step = STEP_V * case.vehicle.system_v / 12
    steps = max(0, floor((cut_off.off_v - least) / step))
    volts = [round(cut_off.off_v - number * step, 2) for number in range(1, steps + 1)]
    yield from case.mildest(
        [
            Fix(
                _cut_off_words([it], off),
                _set_cut_off(case, it, replace(cut_off, off_v=off)),
            )
            for off in volts
        ]
    )


def _set_cut_off(case: Case, it: Accessory, cut_off: VoltageCutOff) -> Edit:
    """A cut-off set otherwise, where it sits: at the accessory, or in the feed above it."""
    feed = look_up.cutting_feed(case.vehicle, it)
    if feed is not None:
        return partial(edits.change_feed, feed_id=feed.id, cut_off=cut_off)
    return partial(edits.change_accessory, accessory_id=it.id, cut_off=cut_off)


def _whose_cut_off(case: Case) -> Accessory | None:
    """The accessory of a cut-off; that of a sense lead is told by the lead's name only."""
    if case.finding.place == "accessory":
        return accessory_of(case)
    named = (x for x in case.vehicle.accessories if case.finding.where == f"{x.name}, sense lead")
    return next(named, None)


def set_cut_offs(case: Case) -> Iterator[Fix]:
    """A cut-off for each accessory that draws while parked, then one for all of them."""
    found = consumers(case)
    for each in found:
        yield from case.mildest(_cut_offs(case, [each]))
    if len(found) > 1:
        yield from case.mildest(_cut_offs(case, found))


def _cut_offs(case: Case, those: list[Accessory]) -> list[Fix]:
    scale = case.vehicle.system_v / 12
    now = min((x.cut_off.off_v for x in those if x.cut_off), default=LOWEST_OFF_V * scale)
    steps = max(0, round((HIGHEST_OFF_V * scale - now) / (STEP_V * scale)))
    volts = [round(now + step * STEP_V * scale, 2) for step in range(1, steps + 1)]
    return [Fix(_cut_off_words(those, off), _cutting(those, off, scale)) for off in volts]


def _cut_off_words(those: list[Accessory], off_v: float) -> Text:
    voltage = given(off_v, "V")
    if len(those) > 1:
        return say(
            "Let a cut-off of {voltage} switch all that draws while parked off", voltage=voltage
        )
    return say(
        "Let a cut-off of {voltage} switch “{accessory}” off",
        voltage=voltage,
        accessory=those[0].name,
    )


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


def raise_reconnect(case: Case) -> Iterator[Fix]:
    """The lowest voltage to come on again that stops the chatter."""
    it = _whose_cut_off(case)
    cut_off = None if it is None else look_up.cut_off_of(case.vehicle, it)
    if it is None or cut_off is None:
        return
    scale = case.vehicle.system_v / 12

    volts = [round(cut_off.on_v + step * STEP_V * scale, 2) for step in range(1, 40)]
    yield from case.mildest(
        [
            Fix(
                say("Let it come on again above {voltage} only", voltage=given(on, "V")),
                _set_cut_off(case, it, replace(cut_off, on_v=on)),
            )
            for on in volts
        ]
    )


def move_cut_off(case: Case) -> Iterator[Fix]:
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

    title = say(
        "Have the cut-off before the converter, at {voltage}", voltage=given(there.off_v, "V")
    )
    yield Fix(title, edit)


# --- working less ---------------------------------------------------------------------------------


def set_timers(case: Case) -> Iterator[Fix]:
    """The longest timer of each accessory that works while parked."""
    for it in consumers(case):
        yield from case.mildest(_timers(it))


def _timers(it: Accessory) -> list[Fix]:
    now = float("inf") if it.run_on_min is None else it.run_on_min
    return [_timer(it, minutes) for minutes in TIMERS_MIN if minutes < now]


def _timer(it: Accessory, minutes: int) -> Fix:
    title = say(
        "Let “{accessory}” stop {time} after locking",
        accessory=it.name,
        time=given(minutes / 60, "h") if minutes >= 60 else given(minutes, "min"),
    )
    if minutes == 0:
        title = say("Let “{accessory}” stop when the vehicle is locked", accessory=it.name)
    edit = partial(edits.change_accessory, accessory_id=it.id, run_on_min=float(minutes))
    return Fix(title, edit)


def lower_duty(case: Case) -> Iterator[Fix]:
    """The highest share of the time each accessory may work."""
    for it in consumers(case):
        yield from case.mildest(
            [
                Fix(
                    say(
                        "Let “{accessory}” draw for at most {part} of the time",
                        accessory=it.name,
                        part=share(duty),
                    ),
                    partial(edits.change_accessory, accessory_id=it.id, duty=duty),
                )
                for duty in DUTIES
                if duty < it.duty
            ]
        )


def stop_parked_work(case: Case) -> Iterator[Fix]:
    """Accessories that do not work while parked, each alone and all together."""
    found = [it for it in consumers(case) if set(PARKED_STATES) & set(it.works_in)]
    for it in found:
        title = say("Do not let “{accessory}” work while parked", accessory=it.name)
        yield Fix(title, _keyed([it]))
    if len(found) > 1:
        yield Fix(say("Let nothing work while parked"), _keyed(found))


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


def switch_sources(case: Case) -> Iterator[Fix]:
    """Accessories that may be switched go from a permanent to a switched slot, alone and all."""
    moves: list[tuple[Accessory, Edit]] = []
    for it in consumers(case):
        edit = _to_switched(case, it)
        if edit is not None:
            moves.append((it, edit))
            yield Fix(_switched_words(it), edit)
    if len(moves) > 1:
        title = say("Put all that may be switched on switched slots")
        yield Fix(title, _all([e for _, e in moves]))


def _switched_words(it: Accessory) -> Text:
    return say("Put “{accessory}” on a switched slot instead of a permanent one", accessory=it.name)


def switch_off_with_key(case: Case) -> Iterator[Fix]:
    """A switched slot for the accessory of a finding, or a cut-off that guards it."""
    it = accessory_of(case)
    edit = _to_switched(case, it)
    if edit is not None:
        yield Fix(_switched_words(it), edit)
    yield from case.mildest(_cut_offs(case, [it]))


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


def add_maintainer(case: Case) -> Iterator[Fix]:
    """A maintainer that puts back what is drawn."""
    now = case.vehicle.parking.maintainer
    if now is None:
        yield from case.mildest(
            [
                Fix(
                    say(
                        "Keep it on a maintainer that gives {current} on the mean",
                        current=given(amperes, "A"),
                    ),
                    partial(edits.change_parking, maintainer=Maintainer(current_a=amperes)),
                )
                for amperes in MAINTAINERS_A
            ]
        )


def plan_shorter_stands(case: Case) -> Iterator[Fix]:
    """Charge it, or drive, before the charge for a start is gone."""
    hours = case.a.parked.hours
    days = floor(hours / 24) if isfinite(hours) else 0
    if days >= 1:
        edit = partial(edits.change_parking, stand_days=float(days))
        yield Fix(
            many(
                "Plan to charge or drive it every day",
                "Plan to charge or drive it every {n} days",
                days,
            ),
            edit,
        )


def hang_on_starter(case: Case) -> Iterator[Fix]:
    """Say that it hangs on the starter battery, as it is joined."""
    it = accessory_of(case)
    edit = partial(edits.change_accessory, accessory_id=it.id, battery="starter")
    yield Fix(say("Say that “{accessory}” hangs on the starter battery", accessory=it.name), edit)
