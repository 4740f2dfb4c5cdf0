"""How long the vehicle may stand, in plain words. No Qt widgets.

In: `ParkedFigures` and the plan. Out: a headline, and how far it can be trusted.
"""

from math import isfinite

from PySide6.QtCore import QCoreApplication

from fusemap.assess.result import Consumer, ParkedFigures
from fusemap.units import digits, duration, percent


def tr(text: str) -> str:
    """A text of this module in the user's language."""
    return QCoreApplication.translate("ParkedView", text)


def headline(parked: ParkedFigures, stand_days: float) -> str:
    """For how long it starts, how long without the accessories, and what is planned."""
    if parked.start_soc <= parked.crank_soc:
        return tr("It may not start even now: {charge} charged, {needed} needed to crank.").format(
            charge=percent(parked.start_soc), needed=percent(parked.crank_soc)
        )
    parts = [_starts(parked.hours, parked.forecast.horizon_h)]
    if any(consumer.accessory for consumer in parked.consumers):
        parts.append(_without(parked))
    parts.append(_plan(parked.hours, stand_days))
    return " ".join(part for part in parts if part)


def _starts(hours: float, horizon_h: float) -> str:
    if not isfinite(hours):
        return tr("Starts for longer than {time}.").format(time=duration(horizon_h))
    return tr("Starts for about {time}.").format(time=duration(hours))


def _without(parked: ParkedFigures) -> str:
    if not isfinite(parked.hours_without):
        horizon = duration(parked.forecast.horizon_h)
        if not isfinite(parked.hours):
            return ""
        return tr("Without the accessories for longer than {time}.").format(time=horizon)
    return tr("Without the accessories {time}.").format(time=duration(parked.hours_without))


def _plan(hours: float, stand_days: float) -> str:
    if stand_days <= 0:
        return ""
    planned = tr("You plan {time}").format(time=duration(stand_days * 24))
    left = hours - stand_days * 24
    if not isfinite(left):
        return tr("{planned}: that is within it.").format(planned=planned)
    if left < 0:
        return tr("{planned}: {time} too long.").format(planned=planned, time=duration(-left))
    return tr("{planned}: {time} to spare.").format(planned=planned, time=duration(left))


def is_enough(parked: ParkedFigures, stand_days: float) -> bool:
    """Whether it starts after the time planned."""
    return parked.start_soc > parked.crank_soc and parked.hours >= stand_days * 24


def caveat() -> str:
    """How far the headline can be trusted."""
    return tr(
        "An estimate: true charge, age and cold can make it half as long, or half as long again. "
        "Rest voltage and rest current, measured, narrow it most."
    )


def consumer_cells(consumer: Consumer, total_ah: float) -> tuple[str, str, str, str]:
    """A consumer as a row of the table: name, mean current, charge, share."""
    share = consumer.charge_ah / total_ah if total_ah > 0 else 0.0
    return (
        consumer.name,
        f"{digits(consumer.mean_a * 1000)}\u202fmA",
        f"{digits(consumer.charge_ah)}\u202fAh",
        percent(share),
    )
