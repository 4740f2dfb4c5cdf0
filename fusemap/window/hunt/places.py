"""Where things stand on the stage while a drain is hunted, by what is asked."""

from typing import Final

from fusemap.probing.hunt import Step
from fusemap.window.beside.frame import AT_A_SLOT, AT_THE_WHOLE, NO_PLACE, Places

NOWHERE: Final = NO_PLACE
AT_A_FUSE: Final[Places] = AT_A_SLOT | {
    "top": NOWHERE, "question": (690, 86, 1338, 166), "under": (690, 168, 1338, 228),
    "entry": (690, 234, 1338, 340), "said": (690, 346, 1338, 440),
}  # fmt: skip
AT_NO_FUSE: Final[Places] = AT_THE_WHOLE | {
    "top": NOWHERE, "under": (690, 142, 1338, 206), "entry": (690, 212, 1338, 308),
    "said": (690, 316, 1338, 442),
}  # fmt: skip
PREPARING: Final[Places] = AT_NO_FUSE | {
    "under": (690, 142, 1338, 206), "entry": NOWHERE, "said": (690, 214, 1338, 528),
    "last": NOWHERE,
}  # fmt: skip
"""Nothing is typed and nothing was stored: there is room to say what to mind."""
ENTER_ALONE: Final[Places] = AT_NO_FUSE | {"entry": NOWHERE, "said": (690, 214, 1338, 442)}
WAITING: Final[Places] = PREPARING | {
    "entry": (690, 212, 1338, 290), "said": (690, 300, 1338, 528),
}  # fmt: skip
AT_THE_END: Final[Places] = {
    "drawing": NOWHERE, "aside": NOWHERE, "question": NOWHERE, "under": NOWHERE, "entry": NOWHERE,
    "said": NOWHERE, "last": NOWHERE, "top": (28, 90, 1338, 620), "keys": (28, 632, 1338, 748),
}  # fmt: skip
"""At the end the answer has all the room."""


def places_of(step: Step) -> Places:
    """Where things stand at a step before the end."""
    if step.kind == "prepare":
        return PREPARING
    if step.kind == "wait":
        return WAITING
    if step.kind == "lid" or (step.kind == "put_back" and step.quantity is None):
        return ENTER_ALONE
    at_a_fuse = step.kind in ("across", "part") and step.quantity == "millivolts"
    return AT_A_FUSE if at_a_fuse else AT_NO_FUSE
