"""What else the kinds of the library are called: words one types, never shown.

In: a kind. Out: its names and other words, in English and in the user's language.
"""

from typing import Final

from fusemap.tables import AccessoryKind
from fusemap.text import Style, Text, say
from fusemap.window.texts.folded import folded

CALLED: Final[dict[str, Text]] = {
    "dash_camera": say("dashcam, car camera, recorder"),
    "dash_camera_parking": say("dashcam, parking guard, surveillance"),
    "rear_camera": say("backup camera, rear view camera"),
    "usb_socket": say("charging socket, phone, tablet"),
    "lighter_socket": say("cigarette lighter, power outlet"),
    "mobile_router": say("wifi, hotspot, modem"),
    "tracker": say("GPS, theft, location"),
    "battery_guard": say("battery protection, battery monitor"),
    "radio": say("stereo, head unit"),
    "light_bar": say("driving lights, spotlights"),
    "beacon": say("warning light, strobe"),
    "cool_box_compressor": say("fridge, refrigerator, cooler"),
    "cool_box_thermo": say("fridge, refrigerator, cooler"),
    "air_heater": say("parking heater, diesel heater"),
    "air_compressor": say("pump, inflator"),
    "two_way_radio": say("CB radio, amateur radio, transceiver"),
    "inverter": say("mains, 230 V, 120 V"),
    "dc_charger": say("booster, leisure battery"),
    "tow_module": say("trailer, tow bar"),
}
"""By kind; which words is common practice, no source."""


def search_words(kind: AccessoryKind, style: Style) -> str:
    """All that a kind is found by, folded: names, group, what else it is called."""
    known = (Text(kind.name), Text(kind.group), CALLED.get(kind.key, Text("")))
    return folded(" ".join(f"{each} {style.show(each)}" for each in known))
