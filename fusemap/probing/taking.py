"""A reading of the check that differs, taken into the plan: all sums anew from what was measured.

In: a step of the check with its reading. Out: the edit that puts the figure into the plan, with
words for it, and what the plan looks like after it. Only what the plan knows as a figure of its own
can be taken: what an accessory draws, its cut-off, which way round its tap sits, the rest current,
what an earth point has.
A drop or a warm joint is mended at the vehicle, never in the plan.
"""

from collections.abc import Callable

from msgspec import Struct
from msgspec.structs import replace

from fusemap.assess import Assessment, assess
from fusemap.assess.parked.figures import Span
from fusemap.errors import EditRefused
from fusemap.probing import earth_check, final_check
from fusemap.probing.check_step import CheckStep
from fusemap.text import Amount, Text, say, share
from fusemap.vehicle import SEATED, STATES, Tap, Vehicle, edits, look_up

Edit = Callable[[Vehicle], Vehicle]


class Taking(Struct, frozen=True):
    """What is taken, in words, and the edit that does so."""

    words: Text
    edit: Edit


def taking(vehicle: Vehicle, a: Assessment, step: CheckStep) -> Taking | None:
    """How the reading of a step goes into the plan; `None` where it is no figure of the plan, or
    stands in it already.
    """
    found = _taking(vehicle, a, step)
    return None if found is None or _is_in(vehicle, found) else found


def _is_in(vehicle: Vehicle, found: Taking) -> bool:
    try:
        return found.edit(vehicle) == vehicle
    except EditRefused:
        return False


def _taking(vehicle: Vehicle, a: Assessment, step: CheckStep) -> Taking | None:
    if step.reading is None or (step.verdict != "differs" and not _asked(vehicle, step)):
        return None
    value = abs(step.reading.value) if step.unit else step.reading.value
    if step.key == "rest":
        return _rest(a, value)
    if step.key == "earth_point":
        return _earth(a, step.target_id, value)
    if step.target != "tap":
        return None
    tap = look_up.tap(vehicle, step.target_id)
    if step.key == "stays_on" and tap.kind in SEATED:
        return _turned(tap)
    if step.key == "current":
        return _current(vehicle, a, step, tap, value)
    cut_off = look_up.accessory(vehicle, tap.accessory).cut_off
    if step.key == "cut_off" and cut_off is not None:
        new = replace(cut_off, off_v=value)
        return Taking(
            say("Take {value} into the plan", value=Amount(value, "V", significant=3)),
            lambda old: edits.change_accessory(old, tap.accessory, cut_off=new),
        )
    return None


def _asked(vehicle: Vehicle, step: CheckStep) -> bool:
    """Whether the plan has no figure yet for what was read, so that one that agrees is new, too."""
    if step.key != "earth_point":
        return False
    return look_up.earth(vehicle, step.target_id).resistance_mohm is None


def _earth(a: Assessment, earth_id: str, drop_mv: float) -> Taking | None:
    """What the earth point has to the battery's minus, by what goes back there."""
    found = earth_check.resistance_mohm(a, earth_id, drop_mv)
    if found is None:
        return None
    return Taking(
        earth_check.taken_words(found),
        lambda old: edits.change_earth(old, earth_id, resistance_mohm=found),
    )


def _rest(a: Assessment, value: float) -> Taking:
    """The vehicle's own rest current: what was read, without what the accessories add."""
    own = max(0.0, value - final_check.added_asleep_a(a))
    return Taking(
        _take(value),
        lambda old: edits.change_parking(old, rest_current_a=own),
    )


def _turned(tap: Tap) -> Taking:
    other = "load_side" if tap.way_round == "live_side" else "live_side"
    words = say("Turn the tap round in the plan")
    return Taking(words, lambda old: edits.change_tap(old, tap.id, way_round=other))


def _current(
    vehicle: Vehicle, a: Assessment, step: CheckStep, tap: Tap, value: float
) -> Taking | None:
    """What the accessory draws: at work, at rest, or by its sense lead."""
    accessory = look_up.accessory(vehicle, tap.accessory)
    row, column = STATES.index(step.state), a.taps.index[tap.id]
    if accessory.converter is not None:
        return None  # what hangs behind it draws this, each for itself
    fields: dict[str, object]
    if tap.lead == "sense":
        fields = {"sense_a": value}
    elif not a.taps.works[row, column]:
        fields = {"standby_a": value, "rest_from": "meter"}
    else:
        volts = float(a.taps.voltage_v[row, column])
        # what it takes at rest was not read: it stays as well known as it was
        rest = accessory.figures_from if accessory.rest_from is None else accessory.rest_from
        fields = {"amperes": value, "watts": None, "rated_v": round(volts, 2),
                  "figures_from": "meter", "rest_from": rest}  # fmt: skip
    return Taking(_take(value), lambda old: edits.change_accessory(old, accessory.id, **fields))


def _take(value: float) -> Text:
    return say("Take {value} into the plan", value=Amount(value, "A"))


def afterwards(vehicle: Vehicle, taken: Taking, step: CheckStep) -> Text:
    """What the plan would say with the reading in it: its tightest limit, and how long it stands,
    with both ends.

    Words of why not, where the plan does not take it.
    """
    try:
        after = taken.edit(vehicle)
    except EditRefused as problem:
        # without the field's path: it is the file's name for what stands above in words
        return say("The plan cannot take it: {why} ({remedy}).", why=problem.what,
                   remedy=problem.remedy)  # fmt: skip
    a = assess(after)
    stands = say("it stands {time}", time=Span(a.band.low_h, a.band.high_h))
    if step.target != "tap" or step.target_id not in a.taps.index:
        return say("After it: {stands}.", stands=stands)
    column = a.taps.index[step.target_id]
    load, limit = (hop[column] for hop in (a.hops["accessory_fuse"].load,
                                           a.hops["accessory_fuse"].limit))  # fmt: skip
    if not limit > 0:
        return say("After it: {stands}.", stands=stands)
    used = share(float(load) / float(limit))
    return say("After it: accessory fuse {share}, {stands}.", share=used, stands=stands)
