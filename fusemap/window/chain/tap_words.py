"""A tap in words, without what reckons: the window starts with this alone."""

from fusemap.text import Text, run_on, say
from fusemap.vehicle import Tap, Vehicle, look_up


def title_words(vehicle: Vehicle, tap: Tap) -> Text:
    """A tap by its accessory and its source, without making its chain."""
    name = look_up.accessory(vehicle, tap.accessory).name
    source = look_up.source_words(vehicle, tap)
    if tap.lead == "power":
        return run_on(name, source, between=": ")
    return say("{name}, sense lead: {source}", name=name, source=source)
