"""Words that chains, findings and forecasts share: fuses, cables, taps, kinds of load."""

from typing import Final

from fusemap.assess import facts
from fusemap.text import Argument, Section, Text, given, say, share
from fusemap.vehicle import Accessory, Cable, Fuse, Tap, Vehicle, look_up
from fusemap.vehicle.words import LoadKind, WayRound

KIRCHHOFF: Final = say("currents at a junction add up (Kirchhoff's current law)")
AS_ENTERED: Final = say("as entered")
WAY_WORDS: Final[dict[WayRound, Text]] = {
    "live_side": say("on the live side"),
    "load_side": say("on the load side (reversed)"),
}
LOAD_WORDS: Final[dict[LoadKind, Text]] = {
    "constant_power": say("constant power"),
    "constant_current": say("constant current"),
    "resistive": say("resistive"),
    "filament": say("filament"),
    "motor": say("motor"),
}


def fuse_words(fuse: Fuse) -> Text:
    """A fuse as people say it: "10 A mini"."""
    family = Text(facts.family_name(fuse.family))
    return say("{rating} {family}", rating=given(fuse.rating, "A"), family=family)


def cable_words(cable: Cable) -> Text:
    """A cable with both gauges: "1.5 mm² (about AWG 15), 2.5 m"."""
    return say(
        "{section}, {length}", section=Section(cable.section_mm2), length=given(cable.whole_m, "m")
    )


def rated_words(accessory: Accessory) -> Text:
    """What an accessory is rated at: "90 W ÷ 12 V"."""
    volts = given(accessory.rated_v, "V")
    if accessory.watts is not None:
        return say("{watts} ÷ {volts}", watts=given(accessory.watts, "W"), volts=volts)
    return say("{amperes} at {volts}", amperes=given(accessory.amperes or 0.0, "A"), volts=volts)


def turn_words(accessory: Accessory, rest_min: float) -> Text:
    """How long a load is on in one turn: "on for 25 % of 60 s", "on for 60 s, then 15 min off"."""
    if accessory.duty >= 1.0:
        on, off = given(accessory.short_s or 0.0, "s"), given(rest_min, "min")
        return say("on for {time}, then {rest} off", time=on, rest=off)
    if accessory.duty_period_s <= 0.0:
        return say("on for {share} of the time", share=share(accessory.duty))
    period = given(accessory.duty_period_s, "s")
    return say("on for {share} of {period}", share=share(accessory.duty), period=period)


def lead_words(accessory: Accessory, tap: Tap) -> Argument:
    """An accessory's name; with the lead where it is not the power lead."""
    name = accessory.name
    return name if tap.lead == "power" else say("{name}, sense lead", name=name)


def chain_title(vehicle: Vehicle, tap: Tap) -> Text:
    """What a tap's chain is called: "Dash camera: F12 Radio"."""
    accessory = look_up.accessory(vehicle, tap.accessory)
    source = look_up.source_words(vehicle, tap)
    return say("{lead}: {source}", lead=lead_words(accessory, tap), source=source)
