"""How long the vehicle may stand, in plain words. No Qt widgets.

In: `ParkedFigures` and the plan. Out: a headline, and how far it can be trusted.
"""

from math import inf, isfinite

from fusemap.assess.parked.band import ParkedBand
from fusemap.assess.parked.figures import ParkedFigures, Span
from fusemap.text import Argument, Duration, Text, run_on, say, share


def headline(parked: ParkedFigures, band: ParkedBand, stand_days: float) -> Text:
    """For how long it starts, how long without the accessories, and what is planned."""
    if parked.start_soc <= parked.crank_soc:
        return say(
            "It may not start even now: {charge} charged, {needed} needed to start.",
            charge=share(parked.start_soc),
            needed=share(parked.crank_soc),
        )
    parts = [_starts(parked, band)]
    if any(consumer.accessory for consumer in parked.consumers):
        parts.append(_without(parked))
    parts.append(_plan(parked, band, stand_days))
    return run_on(*parts)


def _starts(parked: ParkedFigures, band: ParkedBand) -> Text:
    likely: Argument = Duration(parked.hours)
    if not isfinite(parked.hours):
        likely = say("longer than {time}", time=Duration(parked.forecast.horizon_h))
    if not isfinite(band.low_h):
        return say("Starts for {time}.", time=likely)
    if not isfinite(band.high_h):
        low = Duration(band.low_h)
        return say("Starts for {time} or longer, most likely {likely}.", time=low, likely=likely)
    span = Span(band.low_h, band.high_h)
    return say("Starts for {span}, most likely about {likely}.", span=span, likely=likely)


def _without(parked: ParkedFigures) -> Text:
    if isfinite(parked.hours_without):
        time = Duration(parked.hours_without)
        return say("Without the accessories about {time}.", time=time)
    if not isfinite(parked.hours):
        return Text("")
    horizon = Duration(parked.forecast.horizon_h)
    return say("Without the accessories for longer than {time}.", time=horizon)


def _plan(parked: ParkedFigures, band: ParkedBand, stand_days: float) -> Text:
    """Whether the time planned is within the band, and on which side of its middle."""
    if stand_days <= 0:
        return Text("")
    planned = stand_days * 24
    time = Duration(planned)
    if planned <= band.low_h:
        return say("You plan {time}: that fits.", time=time)
    if planned <= parked.hours:
        return say("You plan {time}: that will probably do, but it is not certain.", time=time)
    if planned <= band.high_h:
        return say("You plan {time}: that is probably too long.", time=time)
    return say("You plan {time}: that is too long.", time=time)


def fits(parked: ParkedFigures, band: ParkedBand, stand_days: float) -> bool:
    """Whether it starts after the time planned even at the band's lower end."""
    return parked.start_soc > parked.crank_soc and band.low_h >= stand_days * 24


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
