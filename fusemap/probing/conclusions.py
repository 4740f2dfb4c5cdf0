"""What the readings say of every slot and feed, and the vehicle with that put into it.

`of_slot` gives feed class, live side and own loads with their evidence. `conclude` writes them into
the slot's fields, and what feeds carry into theirs, as one edit with the readings they come from: a
field that no reading speaks of stays as it was typed, what was typed over a conclusion stays until
its readings change, and a conclusion goes back to unknown when its readings are withdrawn.
"""

from collections.abc import Iterable
from typing import Any

from msgspec import Struct

from fusemap.probing.feed_loads import with_carried
from fusemap.probing.feeds import FeedConclusion, SideConclusion, feed_of, side_of
from fusemap.probing.loads import (
    Load,
    as_most,
    as_state_loads,
    loads_of,
    rest_current,
    rounded_down,
    rounded_up,
)
from fusemap.text import Text, say
from fusemap.vehicle import LIVE_IN, STATES, Slot, State, StateLoads, Vehicle, edits, look_up
from fusemap.vehicle.model import UNREAD
from fusemap.vehicle.words import FEED, STATE


class SlotConclusion(Struct, frozen=True):
    """All that is concluded of one slot."""

    slot_id: str
    feed: FeedConclusion
    side: SideConclusion
    loads: dict[State, Load]
    unfed_loads: tuple[Text, ...] = ()

    @property
    def contradictions(self) -> tuple[Text, ...]:
        """Readings that do not fit together, and a load where the slot should be dead."""
        return (*self.feed.contradictions, *self.side.contradictions, *self.unfed_loads)

    @property
    def lines(self) -> tuple[Text, ...]:
        """The evidence in words, a line each."""
        loads = [
            say("{state}: {load}, {how}", state=STATE[state].label, load=load.words, how=load.how)
            for state, load in self.loads.items()
        ]
        found = [self.feed.evidence, self.side.evidence, *loads, *self.contradictions]
        return tuple(line.capital() for line in found if line)


def of_slot(vehicle: Vehicle, slot: Slot, *, verified: bool = True) -> SlotConclusion:
    """What the readings of a slot say; with `verified` false, what somebody else's say."""
    feed = feed_of(vehicle, slot, verified=verified)
    loads = loads_of(vehicle, slot, verified=verified)
    feed_class = feed.feed_class if feed.known else slot.feed_class
    return SlotConclusion(
        slot.id,
        feed,
        side_of(vehicle, slot, verified=verified),
        loads,
        tuple(
            say(
                "it draws {load} {state}, though its feed class, {feed}, is dead then",
                load=load.words,
                state=STATE[state].phrase,
                feed=FEED[feed_class].label,
            )
            for state, load in loads.items()
            if load.flows and state not in LIVE_IN[feed_class]
        ),
    )


def _fields(vehicle: Vehicle, slot: Slot) -> dict[str, Any]:
    """The fields of a slot that its readings give a value."""
    found = of_slot(vehicle, slot)
    fields: dict[str, Any] = {}
    if found.feed.known:
        fields["feed_class"] = found.feed.feed_class
        fields["delayed_off_min"] = found.feed.delayed_off_min
    if found.side.known:
        fields["live_side"] = found.side.side
    return fields


_UNKNOWN: dict[str, Any] = {"feed_class": "unknown", "delayed_off_min": 0.0, "live_side": "unknown"}


def conclude(before: Vehicle, after: Vehicle, slot_ids: Iterable[str] | None = None) -> Vehicle:
    """`after` with what its readings say put into its slots, its feeds and its parking.

    `before` is the vehicle without the newest readings: what it concluded and `after` no longer
    does goes back to unknown. `slot_ids` limits the work to these slots.
    """
    wanted = None if slot_ids is None else set(slot_ids)
    old = {slot.id: slot for slot in look_up.slots(before)}
    for slot in tuple(look_up.slots(after)):
        if slot.kind == "fuse" and (wanted is None or slot.id in wanted):
            after = _with_slot(before, old.get(slot.id), after, slot)
    return _with_rest_current(before, _with_feeds(before, after))


def _with_feeds(before: Vehicle, after: Vehicle) -> Vehicle:
    """What feeds carry; only of those that were ever read."""
    read = {reading.target_id for reading in after.readings if reading.target == "feed"}
    old = {feed.id: feed for feed in before.feeds}
    for feed in after.feeds:
        if feed.id in read:
            carried = with_carried(before, old.get(feed.id), after, feed)
            if carried is not feed.carried:
                after = edits.change_feed(after, feed.id, carried=carried)
    return after


def _with_slot(before: Vehicle, old: Slot | None, after: Vehicle, slot: Slot) -> Vehicle:
    was = _fields(before, old) if old is not None else {}
    now = _fields(after, slot)
    changes = {
        name: _UNKNOWN[name]
        for name, value in was.items()
        if name not in now and getattr(slot, name) == value
    }
    changes |= {
        name: value
        for name, value in now.items()
        if _is_news(getattr(slot, name), was.get(name), value, _UNKNOWN[name])
    }
    changes |= _own_load(before, old, after, slot)
    return edits.change_slot(after, slot.id, **changes) if changes else after


def _is_news(held: Any, was: Any, now: Any, unknown: Any) -> bool:
    """Whether a conclusion is to be written: what was typed by hand stays until readings change."""
    return bool(held != now and (now != was or held == unknown))


def _own_load(
    before: Vehicle, old: Slot | None, after: Vehicle, slot: Slot
) -> dict[str, StateLoads]:
    """Own loads, and the most they may be, state by state: as read, else as they were.

    What is withdrawn goes.
    """
    was = _ends(loads_of(before, old)) if old is not None else {}
    now = _ends(loads_of(after, slot))
    kept = {s: (getattr(slot.own_load, s), getattr(slot.own_most, s)) for s in STATES}
    for state in STATES:
        if state in now:
            if _is_news(kept[state], was.get(state), now[state], (None, None)):
                kept[state] = now[state]
        elif state in was and kept[state][0] == was[state][0]:
            kept[state] = (None, None)
    loads = StateLoads(**{state: load for state, (load, _) in kept.items()})
    most = StateLoads(**{state: high for state, (_, high) in kept.items()})
    if (loads, most) == (slot.own_load, slot.own_most):
        return {}
    return {
        "own_load": UNREAD if loads == UNREAD else loads,
        "own_most": UNREAD if most == UNREAD else most,
    }


def _ends(loads: dict[State, Load]) -> dict[State, tuple[float | None, float | None]]:
    """What is known of each load, and the most it may be [A]."""
    known, most = as_state_loads(loads), as_most(loads)
    return {state: (getattr(known, state), getattr(most, state)) for state in loads}


def _with_rest_current(before: Vehicle, after: Vehicle) -> Vehicle:
    """The whole vehicle's current, asleep and awake, from the latest readings with all fuses in.

    Asleep with the ends of its band, for the band of the parked forecast.
    """
    changes: dict[str, float | None] = {}
    for state, figures in PARKING_FIGURES.items():
        was, now = rest_current(before, state), rest_current(after, state)
        old = {name: None if was is None else _figure(was, of) for name, of in figures.items()}
        new = {name: None if now is None else _figure(now, of) for name, of in figures.items()}
        held = {name: getattr(after.parking, name) for name in figures}
        first = next(iter(figures))
        # The ends of the band go with the figure between them.
        if now is None:
            if was is not None and held[first] == old[first]:
                changes |= {n: None for n, of in figures.items() if _is_kept(held[n], was, of)}
        elif new != old or held[first] is None:
            changes |= {name: value for name, value in new.items() if held[name] != value}
    return edits.change_parking(after, **changes) if changes else after


PARKING_FIGURES: dict[State, dict[str, str]] = {
    "asleep": {
        "rest_current_a": "current_a",
        "low_rest_current_a": "low_a",
        "high_rest_current_a": "high_a",
    },
    "awake": {"awake_current_a": "current_a"},
}
"""Fields of the parking habits by state, with the figure of the reading each takes."""


_ROUNDED = {"low_a": rounded_down, "high_a": rounded_up}


def _figure(load: Load, of: str) -> float:
    """A figure of a reading to keep: an end of its band to three digits, away from the middle."""
    value = float(getattr(load, of))
    return _ROUNDED[of](value) if of in _ROUNDED else round(value, 6)


def _is_kept(held: float | None, load: Load, of: str) -> bool:
    """Whether a figure was kept of this reading; earlier releases kept six decimals of all."""
    return held in (_figure(load, of), round(float(getattr(load, of)), 6))
