"""What a feed carries to all that hangs below it, from readings of the feed as a whole.

In: a vehicle with readings of feeds, by clamp round the feed's cable or as millivolts across its
own fuse. Out: a load with its band for every state in which it was read; and what a feed keeps of
it, which is one figure for each state, the upper end of the band: a feed has no second field for
the most, and what is held against its limit must not be less than what may flow. The vehicle is
taken as it is before this job; what is fitted already and planned here too counts twice, on the
safe side.
"""

from fusemap.probing import evidence
from fusemap.probing.loads import Load, band_words, load_through, loads_of, rounded_up
from fusemap.text import Text, say
from fusemap.vehicle import STATES, Feed, Reading, State, StateLoads, Vehicle, look_up
from fusemap.vehicle.model import UNREAD
from fusemap.vehicle.words import STATE


def feed_loads(vehicle: Vehicle, feed: Feed, *, verified: bool = True) -> dict[State, Load]:
    """What a feed carries in every state in which it was read.

    Of several readings in one state the narrowest band counts; read with the lamps off and on,
    whichever may be more.
    """
    found: dict[tuple[State, bool], Load] = {}
    for reading in evidence.of_feed(vehicle, feed.id, verified=verified):
        load = load_through(vehicle, feed.fuse, reading)
        if load is None:
            continue
        place = reading.state, reading.lamps_on
        kept = found.get(place)
        if kept is None or load.high_a - load.low_a <= kept.high_a - kept.low_a:
            found[place] = load
    return {
        state: max(those, key=lambda load: load.high_a)
        for state in STATES
        if (those := [load for (when, _), load in found.items() if when == state])
    }


def kept_loads(loads: dict[State, Load]) -> dict[State, float]:
    """What a feed keeps of what was read [A]: the upper ends, to three digits, rounded up."""
    return {state: rounded_up(load.high_a) for state, load in loads.items()}


def evidence_lines(vehicle: Vehicle, feed: Feed) -> tuple[Text, ...]:
    """How each load came about, a line each."""
    lamps = {reading.id for reading in vehicle.readings if reading.lamps_on}
    return tuple(
        say(
            "{state}: {load}, {how}",
            state=STATE[state].label,
            load=_words(load),
            how=say("{how} with the lamps on", how=load.how) if load.reading in lamps else load.how,
        ).capital()
        for state, load in feed_loads(vehicle, feed).items()
    )


def _words(load: Load) -> Text:
    """A load with its band; the currents of feeds are large, and want three digits."""
    if load.below_floor:
        return load.words
    return band_words(load.current_a, load.low_a, load.high_a, "A", 3)


def with_carried(before: Vehicle, old: Feed | None, after: Vehicle, feed: Feed) -> StateLoads:
    """What a feed carries once its readings in `after` are put into it.

    State by state: as read, else as it was. What was typed over a reading stays until readings
    change, and what is withdrawn goes back to unknown. `before` is the vehicle without the newest
    readings, `old` this feed in it.
    """
    was = {} if old is None else kept_loads(feed_loads(before, old))
    now = kept_loads(feed_loads(after, feed))
    kept: dict[State, float | None] = {state: getattr(feed.carried, state) for state in STATES}
    for state in STATES:
        if state in now:
            if now[state] != was.get(state) or kept[state] is None:
                kept[state] = now[state]
        elif state in was and kept[state] == was[state]:
            kept[state] = None
    carried = StateLoads(**kept)
    if carried == feed.carried:
        return feed.carried
    return UNREAD if carried == UNREAD else carried


def least_below(vehicle: Vehicle, feed_id: str, state: State) -> float:
    """What the slots straight below a feed were read to draw at least, together [A].

    Only what was read in this state counts.
    """
    return sum(
        load.low_a
        for slot in look_up.slots(vehicle)
        if slot.feed == feed_id and (load := loads_of(vehicle, slot).get(state)) is not None
    )


def of_reading(vehicle: Vehicle, reading: Reading) -> Load | None:
    """What one reading of a feed says of its load, `None` where it says nothing."""
    return load_through(vehicle, look_up.feed(vehicle, reading.target_id).fuse, reading)
