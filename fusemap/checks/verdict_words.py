"""The verdict on a whole vehicle in one sentence, with the place that decides it."""

from collections.abc import Iterable, Sequence
from typing import Literal

import numpy as np

from fusemap.assess import Assessment
from fusemap.assess.verdict import Verdict
from fusemap.checks.finding import Finding
from fusemap.checks.whole import NOT_KNOWN
from fusemap.text import Text, in_row, many, run_on, say
from fusemap.vehicle import Vehicle, look_up

MOST_PLACES = 3
"""So many places are named in one sentence; more are counted."""


def verdict_words(
    vehicle: Vehicle, a: Assessment, found: Sequence[Finding], verdict: Verdict
) -> Text:
    """What holds, what may not, what does not, or what cannot be checked and why."""
    if verdict == "holds":
        return say("Everything holds, whatever was not measured.")
    if verdict == "fails":
        return _first(
            [each for each in found if each.severity == "stop"],
            say("Does not hold: {where}. {what}"),
            _at_a_tap(
                vehicle, a, "broken", say("Does not hold: something on the way to {accessory}.")
            ),
        )
    if verdict == "may_not_hold":
        return _may_not(found)
    if not vehicle.taps:
        return say("Nothing is placed yet: there is nothing to check.")
    return _first(
        [each for each in found if each.code in NOT_KNOWN],
        say("Cannot be checked: {where}. {what}"),
        _at_a_tap(
            vehicle,
            a,
            "unchecked",
            say("Cannot be checked: a limit on the way to {accessory} is not known."),
        ),
    )


def _first(found: Sequence[Finding], words: Text, otherwise: Text) -> Text:
    """The first of these, and how many more there are."""
    if not found:
        return otherwise
    said = Text(words.template, {"where": found[0].where, "what": found[0].what})
    if len(found) == 1:
        return said
    return run_on(said, many("And {n} more.", "And {n} more.", len(found) - 1))


def _may_not(found: Iterable[Finding]) -> Text:
    """Where it may not hold."""
    places = list(
        dict.fromkeys(each.where for each in found if each.code.endswith("_may_not_hold"))
    )
    if not places:
        return say("May not hold: something that decides is not known.")
    if len(places) > MOST_PLACES:
        return many("May not hold at {n} place.", "May not hold at {n} places.", len(places))
    return say("May not hold: {places}.", places=in_row(places))


def _at_a_tap(
    vehicle: Vehicle, a: Assessment, mask: Literal["broken", "unchecked"], words: Text
) -> Text:
    """The first accessory with a hop of which this is so."""
    for figures in a.hops.values():
        for column in np.flatnonzero(getattr(figures, mask)).tolist():
            tap = look_up.tap(vehicle, a.taps.ids[column])
            name = look_up.accessory(vehicle, tap.accessory).name
            return Text(words.template, {"accessory": name})
    return say("Cannot be checked: a limit is not known.")
