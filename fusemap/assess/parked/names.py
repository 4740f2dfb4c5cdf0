"""The names of what draws on a parked battery: those that nobody gave, in words.

In: the name of a draw, by which the forecast tells them apart. Out: a text, or the name as it is.
"""

from collections.abc import Mapping
from typing import Final

from fusemap.text import Text, Words, say

WHOLE: Final = "Vehicle itself"
CIRCUITS: Final = "Measured circuits"
REMAINDER: Final = "Unexplained remainder"
DELAYED: Final = "Delayed-off slots"
MAINTAINER: Final = "Maintainer"
LINK: Final = "Link to the second battery"
CHARGER: Final = "Charger of the second battery"
WAKE_UPS: Final = "Wake-ups"
SENSE_LEAD: Final = ", sense lead"

_OURS: Final[Mapping[str, Text]] = {
    WHOLE: say("Vehicle itself"),
    CIRCUITS: say("Measured circuits"),
    REMAINDER: say("Unexplained remainder"),
    DELAYED: say("Delayed-off slots"),
    MAINTAINER: say("Maintainer"),
    LINK: say("Link to the second battery"),
    CHARGER: say("Charger of the second battery"),
}


def draw_words(name: str) -> Words:
    """The name of a draw in words; one that somebody gave stays as it is.

    >>> str(draw_words("Wake-ups 2")), draw_words("Dash camera")
    ('Wake-ups 2', 'Dash camera')
    """
    number = name.removeprefix(f"{WAKE_UPS} ")
    if number != name and number.isdecimal():
        return say("Wake-ups {number}", number=int(number))
    if name.endswith(SENSE_LEAD):
        return say("{accessory}, sense lead", accessory=name.removesuffix(SENSE_LEAD))
    return _OURS.get(name, name)
