"""What hangs on a converter, after the job: the volts at each accessory behind it, while it works.

In: the planned vehicle, assessed, and the tap of a converter. Out: one step of the check where
something hangs on its output. Without it the check would pass over whatever has no tap of its own.
"""

from collections.abc import Iterator

from fusemap.assess import Assessment
from fusemap.probing.check_step import CheckStep, Expected, lead_volts
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
    """The volts behind a converter [V], whose output is the supply there; see `lead_volts`."""
    volts = converter.output_v
    return lead_volts(volts, volts, a.rule("allowed_drop_share"))
