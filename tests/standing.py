"""How long a battery lasts, asked as the parked forecast asks it."""

from fusemap.electrics.battery import CrankLimit, TwoWell
from fusemap.electrics.parked import Draw, forecast
from fusemap.electrics.values import Values

NO_START = CrankLimit(0.0, 0.0)
LONG_H = 1e5


def hours_to_empty(
    battery: TwoWell, current_a: Values, start_soc: Values = 1.0, temperature_c: Values = 25.0
) -> Values:
    """Hours [h] of a constant current [A] until the load stops at 10.5 V."""
    found = forecast(
        battery,
        start_soc,
        (Draw.constant("load", current_a),),
        temperature_c=temperature_c,
        crank=NO_START,
        horizon_h=LONG_H,
        sample_h=(),
    )
    return found.hours_to_empty
