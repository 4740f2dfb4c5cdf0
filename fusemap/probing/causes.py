"""Likely causes where a check reading differs from what was predicted, the likeliest first.

In: which step of the check, and to which side it differs. Out: sentences that name what to look at.
Common practice of the trade; no source of its own.
"""

_CAUSES: dict[tuple[str, bool], tuple[str, ...]] = {
    ("stays_on", False): (
        "the tap is the wrong way round: the accessory’s current also goes through the host fuse. "
        "Turn the tap by half a turn.",
        "the live side of the slot was noted on the wrong contact: read both contacts again",
        "the accessory fuse is missing or open",
    ),
    ("stays_on", True): (
        "the tap sits on the live side after all: mend the plan, the host fuse is relieved",
        "the accessory has a source of its own, a battery or a second feed",
    ),
    ("current", False): (
        "the accessory was not at full work: charge state, thermostat, volume, brightness",
        "the clamp was not zeroed, or held plus and minus together",
        "its label states the fuse or the peak, not what it draws",
    ),
    ("current", True): (
        "something else hangs on the same lead",
        "the label states output, not input: take the input",
        "a low voltage makes a converter or charger draw more: see the voltage at the device",
    ),
    ("volts", False): (
        "a joint or contact has resistance: measure the drop piece by piece, the largest is it",
        "the cable is thinner or longer than planned",
        "the earth point: see the earth drop",
        "the battery was lower than reckoned with: read it at its poles at the same moment",
    ),
    ("volts", True): (
        "the alternator was charging harder, or the battery was fuller than reckoned with",
        "the accessory drew less than planned: see the current",
    ),
    ("earth", True): (
        "paint or rust under the earth point: bare metal, lock washer, then protect it",
        "the return cable is thinner or longer than planned, or a crimp is poor",
        "the earth point is shared with a heavy load that is on",
    ),
    ("warm", True): (
        "the tap does not grip in the contacts: take it out at once, look at the contacts",
        "more current than the fuse or contact carries for long: compare the current",
        "a crimp is poor",
    ),
    ("host", False): (
        "the host fuse was not put back, or is open: look at it against the light",
        "the tap spread a contact and the host fuse does not touch: take the tap out and look",
        "the circuit was in a mode that needs the ignition off and on again",
    ),
    ("rest", True): (
        "the vehicle was not asleep yet: wait, and read again",
        "the laptop or another charger is plugged in",
        "the accessory stays awake: its sense lead is live, or it has no parking mode",
        "the accessory keeps a bus or a module of the vehicle awake",
    ),
    ("rest", False): (
        "an accessory is off that should be on: its cut-off, its timer, its fuse",
        "the reading before the job was taken before the vehicle slept",
    ),
    ("morning", False): (
        "more is drawn than planned: see the rest current",
        "the battery holds less than its label says: age, or it was not full in the evening",
        "the vehicle woke during the night",
    ),
    ("morning", True): ("the evening’s voltage was read under load, or too soon after a drive",),
    ("cut_off", False): (
        "the cut-off is set lower than planned, or for the other system voltage",
        "it waits longer than planned: note its delay",
    ),
    ("cut_off", True): (
        "the cut-off is set higher than planned",
        "it looks at the battery’s end: the cable’s drop is in between",
    ),
}


def likely(key: str, *, above: bool) -> tuple[str, ...]:
    """Likely causes of a reading above (or below) the band of a step; yes for no is above.

    >>> likely("earth", above=True)[0]
    'paint or rust under the earth point: bare metal, lock washer, then protect it'
    """
    return _CAUSES.get((key, above), ("read it again, with another meter if there is one",))
