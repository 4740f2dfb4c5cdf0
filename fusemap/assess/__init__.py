"""`assess(vehicle)` says everything about a vehicle; the same vehicle always gives the same answer.

In reading order: `result` has the values that come out, `facts` looks up tables and rules,
`sources`, `gather` and `cables` make arrays, `currents` solves the network, `ends` does so for what
is known and for the most that may be, `figures` is what all else is made of; `hops` holds figures
against limits and says what they mean, with a `verdict`, `chain` puts them in a row, `doubts`
names what may not hold, `sure` says which answers would settle it and `sure_warmth` what the sun
does to it, `parked` looks ahead; `assessment` is the whole.
"""

from fusemap.assess.assessment import Assessment
from fusemap.assess.currents import circuit
from fusemap.assess.ends import both_ends
from fusemap.assess.facts import resolve
from fusemap.assess.parked.figures import Consumer, ParkedFigures
from fusemap.assess.result import (
    Basis,
    Chain,
    FeedFigures,
    Hop,
    RuleValue,
    SlotFigures,
    TapFigures,
)
from fusemap.vehicle import Vehicle

__all__ = [
    "Assessment",
    "Basis",
    "Chain",
    "Consumer",
    "FeedFigures",
    "Hop",
    "ParkedFigures",
    "RuleValue",
    "SlotFigures",
    "TapFigures",
    "assess",
]


def assess(vehicle: Vehicle) -> Assessment:
    """Compute the currents and voltages of a vehicle in all its states.

    The vehicle has to be possible (`fusemap.vehicle.validity.faults` finds nothing) and to use
    families and insulations that the tables have, as every vehicle from a file or an edit does.
    """
    rules = resolve(vehicle.rules)
    values = {key: rule.value for key, rule in rules.items()}
    known, most = both_ends(circuit(vehicle, values), vehicle, values)
    return Assessment(vehicle, rules, known, most)
