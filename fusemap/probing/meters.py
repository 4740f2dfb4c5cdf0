"""How far a reading may be off, from the meter it was taken with.

Where no meter is named a usual handheld is assumed: the figures in `USUAL` are ours.
"""

from typing import Final

from fusemap.electrics.meter import meter_error
from fusemap.vehicle import Meter, MeterRange, Reading, Vehicle
from fusemap.vehicle.words import Quantity

USUAL: Final[dict[Quantity, MeterRange]] = {
    one.quantity: one
    for one in (
        MeterRange(quantity="millivolts", resolution=0.1, share=0.005),
        MeterRange(quantity="earth_millivolts", resolution=0.1, share=0.005),
        MeterRange(quantity="clamp_current", resolution=0.01, share=0.02),
        MeterRange(quantity="inline_current", resolution=0.001, share=0.01),
        MeterRange(quantity="volts", resolution=0.01, share=0.005),
    )
}
"""A usual handheld, by quantity, in the quantity's unit [mV, A, V]."""


def range_of(meter: Meter | None, quantity: Quantity, value: float) -> MeterRange:
    """The smallest range of a meter that holds a value, else the usual one of that quantity.

    >>> range_of(None, "millivolts", 1.2).resolution
    0.1
    """
    fitting = [
        one
        for one in (meter.ranges if meter is not None else ())
        if one.quantity == quantity and (one.up_to is None or abs(value) <= one.up_to)
    ]
    usual = USUAL.get(quantity, MeterRange(quantity=quantity, resolution=1.0, counts=0.0))
    return min(fitting, key=lambda one: one.resolution, default=usual)


def range_of_reading(vehicle: Vehicle, reading: Reading) -> MeterRange:
    """The range a reading was taken in: as noted with it, else its meter's, else a usual one."""
    meter = next((one for one in vehicle.meters if one.id == reading.meter), None)
    found = range_of(meter, reading.quantity, reading.value)
    return MeterRange(
        quantity=reading.quantity,
        resolution=found.resolution if reading.resolution is None else reading.resolution,
        share=found.share,
        counts=found.counts if reading.counts is None else reading.counts,
    )


def error_of(vehicle: Vehicle, reading: Reading) -> float:
    """How far a reading may be off, in its own unit; nothing for yes or no."""
    if not reading.unit:
        return 0.0
    used = range_of_reading(vehicle, reading)
    return float(meter_error(reading.value, used.resolution, used.share, used.counts))


def limits_of(vehicle: Vehicle, reading: Reading) -> tuple[float, float]:
    """Lowest and highest true value of a reading, in its own unit."""
    error = error_of(vehicle, reading)
    top = reading.value if reading.highest is None else reading.highest
    return reading.value - error, top + error
