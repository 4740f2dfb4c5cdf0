"""What hangs on a converter, after the job: the volts at each accessory behind it, while it works.

In: the planned vehicle, assessed, and the tap of a converter. Out: one step of the check where
something hangs on its output. Without it the check would pass over whatever has no tap of its own.
"""

from collections.abc import Iterator

from fusemap.assess import Assessment
from fusemap.probing.check_step import SUPPLY_BAND_V, CheckStep, Expected
from fusemap.text import Text, in_row, say
from fusemap.vehicle import Accessory, Converter, State, Tap, Vehicle, look_up


def steps_of(
    vehicle: Vehicle, a: Assessment, tap: Tap, accessory: Accessory, title: Text, state: State
) -> Iterator[CheckStep]:
    """The volts at what hangs on a converter's output; none where nothing does."""
    hanging = look_up.hanging_on(vehicle, accessory.id)
    if accessory.converter is None or not hanging:
        return
    yield CheckStep(
        "output",
        title,
        say(
            "Meter at the plus and minus of each that hangs on its output, with all at work: "
            "{names}. The lowest counts.",
            names=in_row([each.name for each in hanging]),
        ),
        "output_volts",
        "V",
        state,
        "tap",
        tap.id,
        expected(a, accessory.converter),
    )


def expected(a: Assessment, converter: Converter) -> Expected:
    """The volts behind a converter [V]: its output's, less what a cable may lose at the most.

    The share lost is the rule `allowed_drop_share`; the band is `SUPPLY_BAND_V` at 12 V.
    """
    volts = converter.output_v
    band = SUPPLY_BAND_V * volts / 12
    lost = a.rule("allowed_drop_share") * volts
    return Expected(volts, volts - lost - band, volts + band)
