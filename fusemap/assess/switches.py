"""When what switches a lead leaves it closed: switches, interlocks, timers.

In: taps and what they supply. Out: the vehicle states in which a lead is closed [(states,)], and
how long after the ignition went off a timer leaves it closed [h].
"""

from collections.abc import Sequence
from functools import lru_cache

import numpy as np

from fusemap.assess.result import Mask
from fusemap.vehicle import KEY_STATES, STATES, Accessory, State, Tap
from fusemap.vehicle.words import CLOSED_BY, DRIVEN


@lru_cache(maxsize=256)
def state_mask(states: tuple[State, ...]) -> Mask:
    """Which of all states are among these [(states,)]; not to be written to."""
    found = np.array([state in states for state in STATES])
    found.setflags(write=False)
    return found


def closed(tap: Tap, accessory: Accessory) -> Mask:
    """In which states a lead is not opened by its switch [(states,)]: while the thing is to work.

    The main beam is on with the ignition on at the earliest. A timer has opened it for good once
    the vehicle sleeps, however long it runs into that (`timer_h`); one that nobody set never does.
    """
    if tap.switch not in CLOSED_BY or (tap.switch == "timer" and tap.timer_min is None):
        return state_mask(STATES)
    if tap.switch == "timer":
        return state_mask(("awake", *KEY_STATES))
    wanted = state_mask(accessory.works_in)
    return wanted & state_mask(DRIVEN) if tap.switch in WITH_IGNITION else wanted


WITH_IGNITION = ("main_beam", "ignition")
"""Switches that are open while the ignition is off."""


def timer_h(taps: Sequence[Tap], tap: Tap) -> float:
    """How long after the ignition went off timers leave a tap closed [h]; infinite without one.

    A relay opens with the timer in the wire to its coil.
    """
    coil = [
        each
        for each in taps
        if tap.relay and each.accessory == tap.accessory and each.lead == "sense"
    ]
    runs = [
        each.timer_min / 60
        for each in (tap, *coil)
        if each.switch == "timer" and each.timer_min is not None
    ]
    return min(runs, default=float("inf"))
