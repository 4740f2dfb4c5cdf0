"""What is known of an accessory, in words: where it sits, and its facts.

In: a vehicle and an accessory of it. Out: a `Head`, and `Fact`s. No Qt.
"""

from math import isclose
from typing import Final

from fusemap import tables
from fusemap.text import Amount, Argument, Text, given, in_row, say
from fusemap.vehicle import PARKED_STATES, Accessory, Vehicle, look_up
from fusemap.vehicle.words import FeedNeed, FiguresFrom
from fusemap.window.chosen.facts import Fact, Head

NEEDS: Final[dict[FeedNeed, Text]] = {
    "permanent": say("a feed that is live when parked"),
    "switched": say("a feed that the key switches"),
    "either": say("any feed"),
}


def accessory_head(vehicle: Vehicle, accessory: Accessory) -> Head:
    """An accessory by its name and where it sits."""
    return Head(accessory.name, "", seat(vehicle, accessory))


def seat(vehicle: Vehicle, accessory: Accessory) -> Argument:
    """Where an accessory sits, or that it is not placed and counted all the same."""
    taps = [tap for tap in vehicle.taps if tap.accessory == accessory.id]
    if accessory.supplied_by is not None:
        above = next(look_up.above(vehicle, accessory), None)
        return say("behind {converter}", converter=above.name) if above else say("not placed")
    if not taps:
        return say("not placed, counted as always live")
    return in_row(
        say("on {source}", source=look_up.source_words(vehicle, tap))
        if tap.lead == "power"
        else say("sense lead on {source}", source=look_up.source_words(vehicle, tap))
        for tap in taps
    )


def accessory_facts(vehicle: Vehicle, accessory: Accessory) -> tuple[Fact, ...]:
    """Current, what it needs, how it starts, what it draws at rest; its head says where it is."""
    return (
        _current(accessory),
        Fact("needs", say("Needs"), _needs(accessory)),
        _inrush(accessory),
        _rest(accessory),
    )


def _current(accessory: Accessory) -> Fact:
    label = say("Current")
    if accessory.watts is None and accessory.amperes is None:
        return Fact("current", label, say("not known: enter it"), ask="form")
    if accessory.watts is None:
        return Fact("current", label, given(accessory.amperes or 0.0, "A"))
    amperes = Amount(accessory.watts / accessory.rated_v, "A")
    watts, volts = given(accessory.watts, "W"), given(accessory.rated_v, "V")
    words = say("{amperes}, {watts} at {volts}", amperes=amperes, watts=watts, volts=volts)
    return Fact("current", label, words)


def _needs(accessory: Accessory) -> Text:
    needs = NEEDS[accessory.needs]
    return say("{feed}, and a sense lead", feed=needs) if "sense" in accessory.leads else needs


def _inrush(accessory: Accessory) -> Fact:
    label = say("Inrush")
    if accessory.inrush_multiple > 1 and accessory.inrush_s > 0:
        words = say(
            "{times} times its current for {time}",
            times=Amount(accessory.inrush_multiple, exact=True),
            time=given(accessory.inrush_s, "s"),
        )
        return Fact("inrush", label, words)
    kind = "input" if accessory.converter is not None else accessory.load_kind
    if kind in ("motor", "filament", "input"):
        return Fact("inrush", label, say("not known: say how it starts"), ask="form")
    return Fact("inrush", label, say("none of its kind"))


def whose(accessory: Accessory) -> FiguresFrom:
    """Whose its rest current is; unsaid, what equals the library's is the library's."""
    kind = next((each for each in tables.accessory_kinds() if each.key == accessory.kind), None)
    said = accessory.figures_from if accessory.rest_from is None else accessory.rest_from
    if said != "unsaid" or kind is None:
        return said
    same = isclose(accessory.standby_a, kind.standby_a, rel_tol=0.01)
    return "library" if same else "unsaid"


WIDE: Final = 0.5
"""A rest current is said with both ends where they are farther apart than this share of it."""
SOURCES: Final[dict[FiguresFrom, Text]] = {
    "unsaid": say("source not said"),
    "library": say("usual for its kind"),
    "label": say("by its label"),
    "meter": say("by the meter"),
}


def _rest(accessory: Accessory) -> Fact:
    label, source = say("Rest current"), SOURCES[whose(accessory)]
    parked_too = [each for each in PARKED_STATES if each in accessory.works_in]
    if parked_too:
        words = say("as while it works, parked too, {source}", source=source)
        return Fact("rest", label, words)
    if accessory.standby_a <= 0:
        return Fact("rest", label, say("none, {source}", source=source))
    # loaded when something is chosen: the start stays short
    from fusemap.assess.parked.spans import at_rest

    amount = Amount(accessory.standby_a, "A")
    low, usual, high = (accessory.standby_a * each for each in at_rest(accessory).factors)
    if high - low <= WIDE * usual:
        return Fact("rest", label, say("{amount}, {source}", amount=amount, source=source))
    words = say(
        "{amount} ({low} to {high}), {source}",
        amount=amount,
        low=Amount(low, "A", significant=2),
        high=Amount(high, "A", significant=2),
        source=source,
    )
    return Fact("rest", label, words)
