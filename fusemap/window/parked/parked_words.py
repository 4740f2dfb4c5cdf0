"""How long the vehicle may stand, in plain words. No Qt widgets.

In: `ParkedFigures` and the plan. Out: a headline, and how far it can be trusted.
"""

from math import inf, isfinite

from PySide6.QtCore import QCoreApplication

from fusemap.assess.parked.band import ParkedBand
from fusemap.assess.parked.figures import Consumer, ParkedFigures
from fusemap.window.texts.languages import said
from fusemap.window.texts.numbers import digits, duration, percent


def tr(text: str) -> str:
    """A text of this module in the user's language."""
    return QCoreApplication.translate("ParkedView", text)


def headline(parked: ParkedFigures, band: ParkedBand, stand_days: float) -> str:
    """For how long it starts, how long without the accessories, and what is planned."""
    if parked.start_soc <= parked.crank_soc:
        return tr("It may not start even now: {charge} charged, {needed} needed to start.").format(
            charge=percent(parked.start_soc), needed=percent(parked.crank_soc)
        )
    parts = [_starts(parked, band)]
    if any(consumer.accessory for consumer in parked.consumers):
        parts.append(_without(parked))
    parts.append(_plan(parked, band, stand_days))
    return " ".join(part for part in parts if part)


def _starts(parked: ParkedFigures, band: ParkedBand) -> str:
    most_likely = duration(parked.hours)
    if not isfinite(parked.hours):
        most_likely = tr("longer than {time}").format(time=duration(parked.forecast.horizon_h))
    if not isfinite(band.low_h):
        return tr("Starts for {time}.").format(time=most_likely)
    if not isfinite(band.high_h):
        return tr("Starts for {time} or longer, most likely {likely}.").format(
            time=duration(band.low_h), likely=most_likely
        )
    return tr("Starts for {span}, most likely about {likely}.").format(
        span=span(band.low_h, band.high_h), likely=most_likely
    )


def span(low_h: float, high_h: float) -> str:
    """Two times, the unit said once where it is the same.

    >>> span(9 * 24, 14 * 24), span(5, 72), span(72, 72)
    ('9 to 14 days', '5 hours to 3 days', '3 days')
    """
    low, high = duration(low_h), duration(high_h)
    if low == high:
        return low
    number, _, unit = low.partition(" ")
    return tr("{low} to {high}").format(low=number if high.endswith(f" {unit}") else low, high=high)


def _without(parked: ParkedFigures) -> str:
    if not isfinite(parked.hours_without):
        horizon = duration(parked.forecast.horizon_h)
        if not isfinite(parked.hours):
            return ""
        return tr("Without the accessories for longer than {time}.").format(time=horizon)
    return tr("Without the accessories about {time}.").format(time=duration(parked.hours_without))


def _plan(parked: ParkedFigures, band: ParkedBand, stand_days: float) -> str:
    """Whether the time planned is within the band, and on which side of its middle."""
    if stand_days <= 0:
        return ""
    planned = stand_days * 24
    if planned <= band.low_h:
        form = tr("You plan {time}: that fits.")
    elif planned <= parked.hours:
        form = tr("You plan {time}: that will probably do, but it is not certain.")
    elif planned <= band.high_h:
        form = tr("You plan {time}: that is probably too long.")
    else:
        form = tr("You plan {time}: that is too long.")
    return form.format(time=duration(planned))


def fits(parked: ParkedFigures, band: ParkedBand, stand_days: float) -> bool:
    """Whether it starts after the time planned even at the band's lower end."""
    return parked.start_soc > parked.crank_soc and band.low_h >= stand_days * 24


def second_battery(parked: ParkedFigures) -> str:
    """How long the second battery lasts; nothing where there is none."""
    second = parked.second
    if second is None:
        return ""
    if not second.accessories:
        return tr("Nothing hangs on the second battery while parked.")
    if not isfinite(second.hours_to_empty):
        horizon = duration(parked.forecast.horizon_h)
        words = tr("The second battery lasts longer than {time}.").format(time=horizon)
    else:
        words = tr("The second battery is empty after {time}.").format(
            time=duration(second.hours_to_empty)
        )
    trips = min((float(each.first_trip_h) for each in second.forecast.cut_offs), default=inf)
    if isfinite(trips):
        words += " " + tr("A cut-off switches off there after {time}.").format(time=duration(trips))
    if isfinite(second.hours_to_harm):
        words += " " + tr("It takes harm from {time} on, below {charge}.").format(
            time=duration(second.hours_to_harm), charge=percent(parked.harm_soc)
        )
    return words


def spread_lines(band: ParkedBand) -> tuple[str, ...]:
    """Each uncertain input with its range and its share of the doubt, the largest first."""
    shares = {each.name: each.share for each in band.shares}
    lines = []
    for each in sorted(band.inputs, key=lambda each: -shares.get(each.key, 0.0)):
        share = shares.get(each.key)
        if share is None:
            continue
        few = tr("hardly any of the doubt")
        part = tr("{share} of the doubt").format(share=percent(share)) if share >= 0.01 else few
        lines.append(tr("{input}: {part}").format(input=said(each.words), part=part))
    return tuple(lines)


def caveat() -> str:
    """How far the headline can be trusted."""
    return tr("An estimate: of ten batteries and readings like these, nine fall into this span.")


def consumer_cells(consumer: Consumer, total_ah: float) -> tuple[str, str, str, str]:
    """A consumer as a row of the table: name, mean current, charge, share."""
    share = consumer.charge_ah / total_ah if total_ah > 0 else 0.0
    return (
        said(consumer.name),
        f"{digits(consumer.mean_a * 1000)}\u202fmA",
        f"{digits(consumer.charge_ah)}\u202fAh",
        percent(share),
    )
