"""How long a vehicle may stand: the parked battery from locking to a horizon, event by event.

In: a battery, its state of charge [-], the draws on it [A over h], temperature [°C]. Out: a
Forecast: hours [h] until cranking fails, until empty, until ice; ampere-hours of each draw, what
the cut-offs do, and points for a chart. Any input may be an array of shape (draws,): then so are
the answers, in one pass (a Monte Carlo).

Three ideas carry it. At constant current the two wells have a closed form, so time is cut only
where something is switched. A cut-off looks at volts, but at constant current its voltage is one
level of the surface charge, so every event is a curve that meets a level. Sixty days repeat a few
patterns of loads, so levels and decays are computed once for each pattern, not for each day; and
days alike in which no level is met are passed at once, while one that ends as it began (sun that
fills the battery) is lived through once, then repeated.

In reading order:

- draws.py        what goes in: Draw and CutOff.
- forecasting.py  the one call, `forecast`, from checks to answers.
- timeline.py     cuts the time into stretches in which nothing is switched.
- tables.py       says beforehand for each of them currents, and the charges that matter.
- run.py          the state while time goes on, and the record of what happened.
- engine.py       runs through stretches where nothing happens, and exactly through the others.
- crossings.py    notes when the whole charge first falls to a level.
- days.py         goes to the horizon, and passes days that are alike.
- answers.py      reads hours and ampere-hours from the record, points and events for a chart.

Source: two-well model with leak (two_well.py). Limits: charging voltage is not modelled; currents
do not depend on voltage; a load that stopped because the battery was empty stays off. No measured
starter battery at these currents was found: give a band, not a date.
"""

from fusemap.electrics.parked.answers import CutOffResult, Event, Forecast, Samples
from fusemap.electrics.parked.draws import CutOff, Draw
from fusemap.electrics.parked.forecasting import even_hours, forecast
from fusemap.electrics.parked.run import EventKind

__all__ = [
    "CutOff",
    "CutOffResult",
    "Draw",
    "Event",
    "EventKind",
    "Forecast",
    "Samples",
    "even_hours",
    "forecast",
]
