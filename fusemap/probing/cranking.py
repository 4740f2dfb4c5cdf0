"""One start followed with a meter, beside the vehicle: what is asked, step by step. No Qt.

In: what was typed so far, the vehicle, a key's meaning. Out: the state after it, and the vehicle
with the reading once all its figures are there. Each figure is judged when it is entered, by the
bounds that the whole reading is held to: what cannot be a start is refused with the reason, and
asked again. And whether it is worth while: how much of the doubt about the standing it would take.
"""

from __future__ import annotations

from datetime import datetime
from typing import Final, Literal

from msgspec import Struct, field
from msgspec.structs import replace

from fusemap.assess import Assessment
from fusemap.assess.parked.band import WORTH_MEASURING
from fusemap.assess.parked.ends import verdict_as_planned
from fusemap.assess.parked.start_spans import START
from fusemap.assess.parked.start_words import reading_words
from fusemap.errors import FusemapError
from fusemap.probing.entry import can_follow
from fusemap.text import NOTHING, Text, run_on, say, share
from fusemap.vehicle import CrankReading, Vehicle, edits
from fusemap.vehicle.parts import Value
from fusemap.vehicle.validity.starts import crank_reading_faults
from fusemap.vehicle.words import MeterResponse

Kind = Literal["none", "prepare", "response", "rest_v", "crank_v", "temperature_c", "end"]
ORDER: Final[tuple[Kind, ...]] = (
    "prepare", "response", "rest_v", "crank_v", "temperature_c", "end",
)  # fmt: skip
RESPONSES: Final[dict[str, MeterResponse]] = {"1": "slow", "2": "steady", "3": "fast"}
WORTH_AGAIN: Final = 0.25
"""Share of the doubt from which on a second start is asked for [-]; ours."""
UNITS: Final[dict[Kind, str]] = {"rest_v": "V", "crank_v": "V", "temperature_c": "°C"}


class Crank(Value, frozen=True, kw_only=True):
    """How far one start is read: the step, what is typed, the figures that were taken."""

    step: Kind = "prepare"
    typed: str = ""
    response: MeterResponse = "slow"
    rest_v: float | None = None
    crank_v: float | None = None
    temperature_c: float | None = None
    message: Text = field(default=NOTHING, name="said")


class Outcome(Struct, frozen=True, eq=False):
    """The state after a key; the vehicle where it became another, with what was done in words."""

    state: Crank
    vehicle: Vehicle | None = None
    text: Text = NOTHING


# --- is it worth while ----------------------------------------------------------------------------


def worth(a: Assessment) -> float:
    """The share [-] of the doubt about the standing that one start takes; 0 where it decides none.

    Only where it is not sure whether the vehicle stands as long as planned.
    """
    if a.vehicle.parking.starts_by != "cranking":
        return 0.0
    try:
        if verdict_as_planned(a, a.parked, a.as_planned) != "may_not_hold":
            return 0.0
        shares = {each.name: each.share for each in a.band.shares}
    except FusemapError:
        return 0.0  # the forecast cannot be made: that is said where it is asked for
    part = shares.get(START, 0.0)
    least = WORTH_AGAIN if a.vehicle.battery.crank_readings else WORTH_MEASURING
    return part if part >= least else 0.0


def why(part: float) -> Text:
    """What one start is read for; `part` [-] as of `worth`."""
    return say("Why: what a start needs makes {share} of the doubt how long it may stand.",
               share=share(part))  # fmt: skip


# --- what is asked --------------------------------------------------------------------------------


def begin(vehicle: Vehicle) -> Crank:
    """At the first step; there is none where contactors close instead."""
    return Crank(step="prepare" if vehicle.parking.starts_by == "cranking" else "none")


_QUESTION: Final[dict[Kind, Text]] = {
    "none": say("This vehicle cranks no engine"),
    "prepare": say("Cold, before the first start of the day"),
    "response": say("How is the lowest voltage read?"),
    "rest_v": say("Voltage at rest, before it starts"),
    "crank_v": say("Lowest voltage while it turns"),
    "temperature_c": say("Temperature of the air"),
    "end": say("The start is noted"),
}
_HOW: Final[dict[Kind, Text]] = {
    "none": say("It closes contactors; how it is started is said at the parking."),
    "prepare": say(
        "Asleep for three hours or more. Meter on the battery’s posts, volts DC, leads clear of "
        "belts and fan."
    ),
    "response": say("The meter’s manual names the response of its MIN."),
    "rest_v": say("Park or neutral, brake on; lights, fan and heated window off."),
    "crank_v": say(
        "MIN on. Everybody’s hands out of the engine bay. Start once as usual from the seat, let "
        "it run, then read MIN."
    ),
    "temperature_c": say("At the vehicle; of the battery, where it can be read."),
    "end": NOTHING,
}
SAFELY: Final = (
    say("Disable nothing, pull no fuse for it, do not crank long."),
    say("With start-stop the first start of the day only."),
    say("What the vehicle’s maker says about testing its battery comes first."),
)
"""What is to be minded before it begins."""


def question(state: Crank) -> Text:
    """What is asked now."""
    return _QUESTION[state.step]


def how_to(state: Crank, vehicle: Vehicle) -> Text:
    """What to do for it."""
    if state.step in ("rest_v", "crank_v") and vehicle.system_v > 12:
        return run_on(_HOW[state.step], say("Of one battery by itself: 12 V."))
    return _HOW[state.step]


def taken(state: Crank) -> Text:
    """The whole reading in words, once it is there."""
    reading = _reading(state)
    return NOTHING if reading is None else reading_words(reading)


def steps_done(state: Crank) -> tuple[int, int]:
    """How many steps lie behind, of how many."""
    return (ORDER.index(state.step) if state.step in ORDER else 0), len(ORDER) - 1


# --- keys -----------------------------------------------------------------------------------------


def type_in(state: Crank, key: str) -> Crank:
    """A character of a figure; the same state where it is none here."""
    if state.step == "response":
        return replace(state, typed=key, message=NOTHING) if key in RESPONSES else state
    plain = key in "0123456789.,-"
    if state.step not in UNITS or not plain or not can_follow(state.typed, key):
        return state
    if key == "-" and (state.typed or state.step != "temperature_c"):
        return state  # no swing between two figures here
    return replace(state, typed=state.typed + key, message=NOTHING)


def back(state: Crank) -> Crank:
    """The last character is gone."""
    return replace(state, typed=state.typed[:-1], message=NOTHING)


def clear(state: Crank) -> Crank:
    """All that is typed is gone."""
    return replace(state, typed="", message=NOTHING)


def enter(state: Crank, vehicle: Vehicle, now: datetime, celsius: float | None = None) -> Outcome:
    """Takes what is typed and goes on; `celsius` [°C] is a temperature typed in another unit."""
    if state.step in ("none", "end"):
        return Outcome(state)
    if state.step == "prepare":
        return Outcome(_to(state, "response"))
    if state.step == "response":
        return Outcome(_respond(state))
    value = celsius if celsius is not None else _figure(state.typed)
    if value is None:
        return Outcome(_refused(state, say("type a figure, then Enter")))
    return _take(state, vehicle, value, now)


def undo(state: Crank, vehicle: Vehicle) -> Outcome:
    """What is typed is gone, else the step before comes again; a noted start is taken out."""
    if state.typed or state.message != NOTHING:
        return Outcome(clear(state))
    at = ORDER.index(state.step) if state.step in ORDER else 0
    if state.step == "end":
        last = len(vehicle.battery.crank_readings) - 1
        without = edits.remove_crank_reading(vehicle, last) if last >= 0 else None
        return Outcome(_to(state, "temperature_c"), without, say("Start taken back"))
    return Outcome(_to(state, ORDER[max(0, at - 1)]))


def _to(state: Crank, step: Kind) -> Crank:
    return replace(state, step=step, typed="", message=NOTHING)


def _refused(state: Crank, why_not: Text) -> Crank:
    return replace(state, typed="", message=why_not)


def _respond(state: Crank) -> Crank:
    """By which of the three ways; the one that shows the first dip alone is refused at once."""
    response = RESPONSES.get(state.typed)
    if response is None:
        return _refused(state, say("type 1, 2 or 3, then Enter"))
    trial = CrankReading(rest_v=12.6, crank_v=10.0, temperature_c=20.0, response=response)
    refusal = _fault(trial, "response")
    if refusal:
        return _refused(state, refusal)
    return replace(_to(state, "rest_v"), response=response)


def _figure(typed: str) -> float | None:
    try:
        return float(typed.replace(",", "."))
    except ValueError:
        return None


def _take(state: Crank, vehicle: Vehicle, value: float, now: datetime) -> Outcome:
    """A figure, where it can be one of a start; the last of them makes the reading."""
    step = state.step
    after = replace(state, **{step: value})
    trial = CrankReading(
        rest_v=after.rest_v if after.rest_v is not None else 12.6,
        crank_v=after.crank_v if after.crank_v is not None and step != "rest_v" else 10.0,
        temperature_c=after.temperature_c if after.temperature_c is not None else 20.0,
        response=state.response,
    )
    refusal = _fault(trial, step)
    if refusal:
        return Outcome(_refused(state, refusal))
    following = ORDER[ORDER.index(step) + 1]
    reading = _reading(after)
    if following != "end" or reading is None:
        return Outcome(_to(after, following))
    try:
        when = now.isoformat(timespec="minutes")
        noted = edits.add_crank_reading(vehicle, replace(reading, when=when))
    except FusemapError as problem:
        return Outcome(_refused(state, run_on(problem.what, problem.remedy, between=": ")))
    return Outcome(_to(after, "end"), noted, say("Start noted"))


def _fault(trial: CrankReading, name: str) -> Text:
    """What keeps one figure from being of a start, and what to do; empty where nothing does."""
    for fault in crank_reading_faults(trial, ""):
        if fault.path == f".{name}":
            return run_on(fault.what, fault.remedy, between=": ")
    return NOTHING


def _reading(state: Crank) -> CrankReading | None:
    if state.rest_v is None or state.crank_v is None or state.temperature_c is None:
        return None
    return CrankReading(
        rest_v=state.rest_v,
        crank_v=state.crank_v,
        temperature_c=state.temperature_c,
        response=state.response,
    )
