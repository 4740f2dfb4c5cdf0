"""The parked forecast in plain words, and made ready for a chart. No Qt widgets, no battery model.

In: `ParkedFigures`. Out: what ends it, how far it can be trusted, what happens when, in words; and
a `Series`: charge in %, who took how much, as arrays over the forecast's samples. Charges are those
of the forecast. What the battery lost by itself is what is missing between the charge that is gone
and what everything drew.
"""

from collections.abc import Iterator
from math import inf, isfinite
from typing import Final, Literal

import numpy as np
from msgspec import Struct

from fusemap.assess.parked.band import ParkedBand
from fusemap.assess.parked.draws import draw_words
from fusemap.assess.parked.figures import ParkedFigures
from fusemap.assess.parked.standing import Parked
from fusemap.assess.parked.start_spans import start_case
from fusemap.assess.parked.start_words import end_words
from fusemap.assess.result import Floats
from fusemap.electrics.parked import Event, EventKind, Forecast
from fusemap.text import Amount, Argument, Duration, Style, Text, run_on, say, share


def ending(a: Parked, parked: ParkedFigures, band: ParkedBand, stand_days: float) -> Text:
    """What the starter gets after the time planned, against what the engine wants.

    By the charge that half of such vehicles have left then, as the chart draws it.
    """
    return end_words(start_case(a), parked.need.gets_v, band.middle.charge(stand_days * 24))


def second_battery(parked: ParkedFigures) -> Text:
    """How long the second battery lasts; nothing where there is none."""
    second = parked.second
    if second is None:
        return Text("")
    if not second.accessories:
        return say("Nothing hangs on the second battery while parked.")
    if isfinite(second.hours_to_empty):
        time = Duration(second.hours_to_empty)
        parts = [say("The second battery is empty after {time}.", time=time)]
    else:
        horizon = Duration(parked.forecast.horizon_h)
        parts = [say("The second battery lasts longer than {time}.", time=horizon)]
    trips = min((float(each.first_trip_h) for each in second.forecast.cut_offs), default=inf)
    if isfinite(trips):
        parts.append(say("A cut-off switches off there after {time}.", time=Duration(trips)))
    if isfinite(second.hours_to_harm):
        parts.append(
            say(
                "It takes harm from {time} on, below {charge}.",
                time=Duration(second.hours_to_harm),
                charge=share(parked.harm_soc),
            )
        )
    return run_on(*parts)


def spread_lines(band: ParkedBand) -> tuple[Text, ...]:
    """Each uncertain input with its range and its share of the doubt, the largest first."""
    shares = {each.name: each.share for each in band.shares}
    lines = []
    for each in sorted(band.inputs, key=lambda each: -shares.get(each.key, 0.0)):
        part = shares.get(each.key)
        if part is None:
            continue
        doubt = say("hardly any of the doubt")
        if part >= 0.01:
            doubt = say("{share} of the doubt", share=share(part))
        lines.append(say("{input}: {part}", input=each.words, part=doubt))
    return tuple(lines)


def caveat() -> Text:
    """How far the headline can be trusted."""
    return say("An estimate: of ten batteries and readings like these, nine fall into this span.")


MOST_LAYERS: Final = 7
"""More consumers than this are put together, so that each colour is used once."""
Weight = Literal["limit", "switch", "quiet"]


class Layer(Struct, frozen=True, eq=False):
    """What one consumer has taken since locking [Ah, (n,)]."""

    name: Argument
    charge_ah: Floats


class Happening(Struct, frozen=True):
    """Something that happened; limits and switching have a label in the chart where there is room.

    What is `told` by the chart itself has none.
    """

    hours: float
    words: Text
    weight: Weight
    told: bool = False


class Series(Struct, frozen=True, eq=False):
    """The course of it all: hours [h, (n,)], charge [%, (n,)], volts [V, (n,)], layers, band.

    The charge is that of the chart's line. `usual_percent` [%, (n,)], volts and layers are those of
    the usual figures: what the layers took is what is gone of that charge.
    """

    hours: Floats
    charge_percent: Floats
    usual_percent: Floats
    volts: Floats
    layers: tuple[Layer, ...]
    band: ParkedBand


def series(parked: ParkedFigures, band: ParkedBand) -> Series:
    """The forecast as it is written to a file."""
    samples = parked.forecast.samples
    order = [str(consumer.name) for consumer in parked.consumers]
    return Series(
        hours=samples.time_h,
        charge_percent=np.interp(samples.time_h, band.time_h, band.middle_soc) * 100,
        usual_percent=samples.soc * 100,
        volts=samples.volts,
        layers=layers(parked.forecast, order, parked.crank_soc),
        band=band,
    )


def layers(forecast: Forecast, order: list[str], crank_soc: float) -> tuple[Layer, ...]:
    """What each consumer took, largest first; the smallest put together where there are many."""
    lost = self_discharge(forecast, crank_soc)
    drawn: dict[str, Floats] = {}
    for name, charge in zip(forecast.names, forecast.samples.charge_ah, strict=True):
        drawn[name] = drawn.get(name, 0.0) + charge
    named = [
        Layer(draw_words(name), np.maximum(drawn.get(name, lost), 0.0))
        for name in dict.fromkeys(order)
    ]
    if len(named) <= MOST_LAYERS:
        return tuple(named)
    rest = np.sum([layer.charge_ah for layer in named[MOST_LAYERS - 1 :]], axis=0)
    return (*named[: MOST_LAYERS - 1], Layer(say("Others"), rest))


def self_discharge(forecast: Forecast, crank_soc: float) -> Floats:
    """What the battery lost by itself since locking [Ah, (n,)].

    The forecast says its sum until the crank limit, or the horizon; from that follows how many
    ampere-hours the whole charge is, and what is missing at every other hour.
    """
    samples = forecast.samples
    drawn = samples.charge_ah.sum(axis=0)
    end = float(forecast.hours_to_crank_limit)
    soc = crank_soc if isfinite(end) else float(forecast.end_soc)
    gone = float(samples.soc[0]) - soc
    taken = float(sum(forecast.draw_ah)) + float(forecast.self_discharge_ah)
    if gone <= 1e-6 or taken <= 0:
        return np.zeros_like(drawn)
    missing = taken / gone * (samples.soc[0] - samples.soc) - drawn
    return np.asarray(np.maximum.accumulate(np.maximum(missing, 0.0)))


def happenings(parked: ParkedFigures, band: ParkedBand) -> tuple[Happening, ...]:
    """The events that are worth a line, in order of time.

    What ends a standing happens when it does to half of such vehicles, as the line of the chart
    and the answer say; the rest is that of a vehicle with the usual figures.
    """
    forecast, middle = parked.forecast, band.middle
    harm = Happening(parked.hours_to_harm, say("Takes harm from here"), "quiet")
    ends = (
        Happening(middle.hours, say("Probably no start from here"), "limit", told=True),
        Happening(middle.empty_h, say("Battery empty"), "limit"),
        Happening(middle.freezes_h, say("Battery can freeze"), "limit"),
    )
    found = [each for each in (harm, *ends) if isfinite(each.hours) and each.hours > 0]
    found += [_happening(event) for event in forecast.events if event.kind in SAID]
    return tuple(sorted((*found, *_changes(forecast)), key=lambda each: each.hours))


def _changes(forecast: Forecast) -> list[Happening]:
    """One happening for all draws that change at one moment, with what they come to from then."""
    samples = forecast.samples
    found = []
    for hours in sorted({e.hours for e in forecast.events if e.kind is EventKind.DRAW_CHANGES}):
        before, after = current_around(samples.time_h, samples.current_a.sum(axis=0), hours)
        if abs(after - before) > 1e-6:
            words = say("{current} in all", current=Amount(after, "A", significant=2))
            found.append(Happening(hours, words, "quiet"))
    return found


def _happening(event: Event) -> Happening:
    name = draw_words(event.name)
    happened: dict[EventKind, tuple[Text, Weight]] = {
        EventKind.FULL: (say("Battery full"), "quiet"),
        EventKind.TEMPERATURE_STEP: (say("Temperature changes"), "quiet"),
        EventKind.CUT_OFF_TRIPS: (say("{name}: cut off", name=name), "switch"),
        EventKind.CUT_OFF_RECONNECTS: (say("{name}: on again", name=name), "switch"),
        EventKind.CUT_OFF_CHATTERS: (say("{name}: switches to and fro", name=name), "switch"),
    }
    words, weight = happened[event.kind]
    return Happening(event.hours, words, weight)


SAID: Final = (
    EventKind.FULL,
    EventKind.TEMPERATURE_STEP,
    EventKind.CUT_OFF_TRIPS,
    EventKind.CUT_OFF_RECONNECTS,
    EventKind.CUT_OFF_CHATTERS,
)
"""Events of the forecast by the usual figures that have words of their own."""


def current_around(hours: Floats, current: Floats, moment: float) -> tuple[float, float]:
    """A current just before and just after a moment [A]."""
    before = int(np.searchsorted(hours, moment - 1e-6, side="left")) - 1
    after = int(np.searchsorted(hours, moment + 1e-6, side="right"))
    last = len(current) - 1
    return float(current[max(0, before)]), float(current[min(last, after)])


# --- reading the chart --------------------------------------------------------------------------


def at(hours: Floats, values: Floats, hour: float) -> float:
    """A value between two samples."""
    return float(np.interp(hour, hours, values))


# --- as a table ---------------------------------------------------------------------------------


def sample_header(s: Series, style: Style) -> tuple[str, ...]:
    """The header of the course as a table."""
    layers_ = (f"{style.show(layer.name)}, usual [Ah]" for layer in s.layers)
    usual = ("Charge, usual [%]", "Voltage, usual [V]")
    band = ("Low charge [%]", "High charge [%]")
    return ("Hours since locking [h]", "Charge, half have it [%]", *band, *usual, *layers_)


def sample_rows(s: Series) -> Iterator[tuple[float, ...]]:
    """The course, one row per sample; where something jumps both sides of the jump."""
    ends = (s.band.low_soc, s.band.high_soc)
    for row in range(len(s.hours)):
        yield (
            round(float(s.hours[row]), 5),
            round(float(s.charge_percent[row]), 4),
            *(round(at(s.band.time_h, soc, float(s.hours[row])) * 100, 4) for soc in ends),
            round(float(s.usual_percent[row]), 4),
            round(float(s.volts[row]), 4),
            *(round(float(layer.charge_ah[row]), 5) for layer in s.layers),
        )
