"""What the limits of any cable rest on: a tap's, a feed's, a link's, a converter's.

Warmth, overload and short are reckoned in one way for all of them and said in the same words; what
differs from one to the other is in the module of its hops.
"""

from typing import Final

from fusemap.assess.facts import Wire
from fusemap.assess.hops.kind import Breach
from fusemap.assess.result import RuleValue
from fusemap.electrics.protection import FAULT_CABLE_C
from fusemap.text import Text, given, say

HEAT_SUM: Final = say(
    "I²R(T) = (T − T surface)/R insulation = heat given off by convection and radiation"
    "; good to ±20 %"
)
HEAT_RULE: Final = say("conductor temperature at the lasting load ≤ the insulation's limit")
COOLER: Final = say("Use a thicker cable, fewer loaded cables together, or a cooler place.")
OVERLOAD_SUM: Final = say(
    "a fuse may carry so many times its rating for so long; the conductor's temperature"
    " at the worst of these points"
)
SHORT_SUM: Final = say("I²t the fuse lets through ≤ (k × section)², no heat leaving the copper")
SHORT_RULE: Final = say("I²t the fuse lets through ≤ (k × section)²")
FAR_END_SUM: Final = say(
    "voltage of a low battery ÷ (source + feeds + slot + every fuse on the way + cables"
    " at {warm} + return), as a multiple of the fuse's rating",
    warm=given(FAULT_CABLE_C, "°C"),
)


def heat_source(wire: Wire) -> Text:
    """Where a cable's warmth is from: its conductor's figures, and how it gives heat off."""
    return say(
        "conductor: {source}; heat: Churchill–Chu, horizontal cylinder in still air",
        source=wire.source,
    )


def far_end_breach(found: float, least: float, rule: RuleValue, remedy: Text) -> Breach:
    """A short at the far end that opens its fuse late, or below the `least` multiple perhaps never.

    `found` is the fault current as a multiple of the fuse's rating [-].
    """
    if found < least:
        never = say(
            "A short circuit at the far end may never open the fuse: the cable burns with the "
            "fuse whole."
        )
        return Breach("stop", never, rule.label, remedy)
    late = say("A short circuit at the far end opens the fuse late.")
    return Breach("caution", late, rule.label, remedy)
