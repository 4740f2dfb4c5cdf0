"""At which station of a way each hop of a chain stands, and what it is called there. No Qt."""

from typing import Final, Literal

from fusemap.assess.result import HopKey
from fusemap.text import Text, say

Part = Literal["battery", "relay", "feed", "fuse", "tap", "cable", "device", "earth"]
"""What is drawn on a station's pad."""
Place = Literal[
    "link", "feed", "host", "tap", "relay", "switch", "cable", "device", "earth", "behind"
]

AT: Final[dict[HopKey, Place]] = {
    "link_near_fuse": "link",
    "link_heat": "link",
    "link_overload": "link",
    "link_short": "link",
    "link_far_end": "link",
    "link_far_fuse": "link",
    "feed": "feed",
    "feed_unfused": "feed",
    "feed_heat": "feed",
    "feed_overload": "feed",
    "feed_short": "feed",
    "feed_far_end": "feed",
    "live_contact": "host",
    "host_fuse": "host",
    "tap": "tap",
    "accessory_fuse": "tap",
    "lasting": "tap",
    "inrush": "tap",
    "relay": "relay",
    "switch": "switch",
    "section": "cable",
    "heat_out": "cable",
    "overload": "cable",
    "short": "cable",
    "far_end": "cable",
    "drop": "cable",
    "socket": "device",
    "trailer_core": "device",
    "trailer_overload": "device",
    "sense": "device",
    "voltage": "device",
    "converter": "device",
    "section_back": "earth",
    "heat_back": "earth",
    "output_fuse": "behind",
    "output_heat": "behind",
    "output_heat_back": "behind",
    "output_fault": "behind",
    "output_drop": "behind",
    "output_voltage": "behind",
}
"""At which station of the way each hop of a chain stands."""

LEADS: Final[dict[Place, HopKey]] = {
    "link": "link_near_fuse",
    "feed": "feed",
    "host": "host_fuse",
    "tap": "accessory_fuse",
    "relay": "relay",
    "switch": "switch",
    "cable": "drop",
    "device": "voltage",
    "earth": "heat_back",
    "behind": "output_drop",
}
"""The hop that a station is there for: its figures need no name of their own."""
WHAT: Final[dict[HopKey, Text]] = {
    "link_near_fuse": say("fuse at the starter battery"),
    "link_heat": say("warmth"),
    "link_overload": say("warmth in an overload"),
    "link_short": say("hard short"),
    "link_far_end": say("short at the far end"),
    "link_far_fuse": say("fuse at the second battery"),
    "feed": say("feed"),
    "feed_unfused": say("unfused length"),
    "feed_heat": say("warmth"),
    "feed_overload": say("warmth in an overload"),
    "feed_short": say("hard short"),
    "feed_far_end": say("short at the far end"),
    "live_contact": say("live contact"),
    "host_fuse": say("host fuse"),
    "tap": say("the tap itself"),
    "accessory_fuse": say("its fuse"),
    "lasting": say("for hours"),
    "inrush": say("inrush"),
    "relay": say("relay contact"),
    "switch": say("switch"),
    "section": say("mechanical strength"),
    "heat_out": say("warmth"),
    "overload": say("warmth in an overload"),
    "short": say("hard short"),
    "far_end": say("short at the far end"),
    "drop": say("voltage drop"),
    "socket": say("socket"),
    "trailer_core": say("trailer’s core"),
    "trailer_overload": say("trailer’s core in an overload"),
    "sense": say("sense lead"),
    "voltage": say("voltage"),
    "converter": say("output"),
    "section_back": say("mechanical strength"),
    "heat_back": say("warmth"),
    "output_fuse": say("its fuse"),
    "output_heat": say("warmth"),
    "output_heat_back": say("warmth of the way back"),
    "output_fault": say("warmth in a fault"),
    "output_drop": say("voltage drop"),
    "output_voltage": say("voltage"),
}
"""What a hop is about, in few words, where it stands at a station that is there for another."""
