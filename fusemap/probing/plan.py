"""What is still in question, in which state to read it, what comes next, and how a hand walks.

In: a vehicle with its readings. Out: the rounds of a weekend job in their order, each with the
slots that still need it, so that nothing is asked twice; the times to read again after locking; and
the shortest pass that verifies what this job needs when the map is somebody else's.

A hand walks a panel along the rows or down the columns, from any corner. Everything is as seen: a
panel that is mirrored is looked at from behind, so its first column stands at the right.
"""

from collections.abc import Iterable, Sequence
from typing import Final, Literal

from msgspec import Struct

from fusemap.assess import facts
from fusemap.circuits import counts_critical
from fusemap.errors import EditRefused
from fusemap.probing import evidence
from fusemap.probing.feeds import LONG_AFTER, Seen, feed_of, side_of, sightings
from fusemap.probing.loads import loads_of, rest_current
from fusemap.text import Text, say
from fusemap.vehicle import KEY_STATES, FeedClass, Panel, Slot, State, Vehicle, edits, look_up
from fusemap.vehicle.parts import Value
from fusemap.vehicle.words import STATE


class HandOrder(Value, frozen=True, kw_only=True):
    """How a panel is walked, as seen; `to_and_fro` turns round at the end of each line."""

    along: Literal["rows", "columns"] = "rows"
    from_right: bool = False
    from_bottom: bool = False
    mirrored: bool = False
    to_and_fro: bool = False


def seen_place(panel: Panel, slot: Slot, order: HandOrder) -> tuple[int, int]:
    """Row and column of a slot as seen."""
    column = panel.columns - 1 - slot.column if order.mirrored else slot.column
    return slot.row, column


def walk(panel: Panel, order: HandOrder = HandOrder()) -> tuple[Slot, ...]:  # noqa: B008
    """The fuse slots of a panel in the order of the hand."""
    slots = [slot for slot in panel.slots if slot.kind == "fuse"]
    return tuple(sorted(slots, key=lambda slot: _rank(panel, slot, order)))


def _rank(panel: Panel, slot: Slot, order: HandOrder) -> tuple[int, int]:
    row, column = seen_place(panel, slot, order)
    down = panel.rows - 1 - row if order.from_bottom else row
    over = panel.columns - 1 - column if order.from_right else column
    line, place = (down, over) if order.along == "rows" else (over, down)
    if order.to_and_fro and line % 2:
        place = -place
    return line, place


def beside(
    panel: Panel, slot_id: str | None, order: HandOrder, down: int, right: int
) -> str | None:
    """The fuse slot next to one in a direction as seen, over gaps; itself at the edge."""
    here = next((slot for slot in panel.slots if slot.id == slot_id), None)
    if here is None:
        first = walk(panel, order)
        return first[0].id if first else None
    row, column = seen_place(panel, here, order)
    ahead = []
    for slot in panel.slots:
        if slot.kind != "fuse":
            continue
        there = seen_place(panel, slot, order)
        along = (there[0] - row) * down + (there[1] - column) * right
        aside = abs((there[0] - row) * right) + abs((there[1] - column) * down)
        if along > 0:
            ahead.append((aside, along, slot.id))
    return min(ahead)[2] if ahead else here.id


def number_slots(
    vehicle: Vehicle,
    panel_id: str,
    order: HandOrder,
    *,
    prefix: str = "F",
    first: int = 1,
    skipping: Sequence[str] = (),
) -> Vehicle:
    """Label the fuse slots of a panel along the walk: prefix and number, from `first` on.

    Slots whose id is in `skipping` keep their label and take no number.
    """
    if first < 0:
        raise EditRefused(
            say("numbers begin at 0 or 1"), where=say("First number"), remedy=say("enter 1")
        )
    number = first
    for slot in walk(look_up.panel(vehicle, panel_id), order):
        if slot.id not in skipping:
            vehicle = edits.change_slot(vehicle, slot.id, label=f"{prefix}{number}")
            number += 1
    return vehicle


Kind = Literal["whole", "sweep", "contacts"]

REREAD_MIN = (1.0, 5.0, 12.0, 30.0)
"""When to read again after locking what was live with the key [min]; ours: makers' delays run from
seconds to half an hour."""


class Round(Value, frozen=True, kw_only=True):
    """One round along the slots: the whole vehicle's current, a sweep in one state, or contacts."""

    kind: Kind = "sweep"
    state: State = "asleep"
    lamps_on: bool = False


ROUNDS = (
    Round(kind="whole", state="asleep"),
    Round(state="asleep"),
    Round(state="accessory"),
    Round(state="ignition"),
    Round(state="ignition", lamps_on=True),
    Round(state="running"),
    Round(state="awake"),
    Round(kind="contacts", state="ignition"),
)
"""The rounds of a weekend job, in the order that turns the key the fewest times."""


def title(round_: Round) -> Text:
    """A round in large letters.

    >>> str(title(Round(state="ignition", lamps_on=True)))
    'IGNITION ON + LAMPS'
    """
    state = STATE[round_.state].title
    if round_.kind == "contacts":
        return say("FUSE OUT · {state}", state=state)
    if round_.kind == "whole":
        return say("WHOLE VEHICLE · {state}", state=state)
    return say("{state} + LAMPS", state=state) if round_.lamps_on else state


LIVE_OR_DEAD: Final = say(
    "Live or dead: from the fuse's contacts to bare metal of the body; millivolts: across the fuse."
)
"""Which two places a reading is taken between; the one is volts, the other millivolts."""

_HOW_TO: Final[dict[State, Text]] = {
    "asleep": say("Locked and asleep. Nothing is pulled: meter across each fuse."),
    "accessory": say("Key at accessory, everything switched off."),
    "ignition": say("Ignition on, engine off, lamps off."),
    "running": say("Engine running. Mind belts and fans."),
    "awake": say("Lock the vehicle now and press Enter at that moment."),
}


def how_to(round_: Round) -> Text:
    """What to do before a round begins."""
    if round_.kind == "whole":
        return say("Lock the vehicle, latch the bonnet by hand, wait. Nothing plugged in.")
    if round_.kind == "contacts":
        return say("Ignition on. Pull one fuse at a time, read both contacts, put it back.")
    if round_.lamps_on and round_.state == "ignition":
        return say("Ignition on, engine off, side lamps on.")
    return _HOW_TO[round_.state]


def where_to(round_: Round) -> Text:
    """Between which places the meter is held in a round along the slots."""
    return LIVE_OR_DEAD if round_.kind == "sweep" else Text("")


_WHY: Final[dict[State, Text]] = {
    "asleep": say("Why: what is live asleep feeds day and night; its millivolts are its share of "
                  "the rest current."),
    "accessory": say("Why: it tells an accessory feed from one that comes with the ignition."),
    "ignition": say("Why: what is live now and was dead before is fed with the ignition."),
    "running": say("Why: some feeds come only with the engine running."),
    "awake": say("Why: what stays live for a time after locking draws from the battery so long."),
}  # fmt: skip


def why(round_: Round) -> Text:
    """What a round is read for."""
    if round_.kind == "whole":
        return say("Why: the days it may stand rest on this figure.")
    if round_.kind == "contacts":
        return say("Why: a tap on the load side loads the host fuse, too.")
    if round_.lamps_on:
        return say("Why: what comes only with the lamps is a lighting feed.")
    return _WHY[round_.state]


def needs(vehicle: Vehicle, slot: Slot, round_: Round) -> bool:
    """Whether a slot is still in question in a round."""
    if slot.kind != "fuse" or round_.kind == "whole":
        return False
    if round_.kind == "contacts":
        return _needs_contacts(vehicle, slot)
    seen = sightings(vehicle, slot, evidence.of_slot(vehicle, slot.id))
    if round_.state == "asleep":
        known = any(sight.minute == LONG_AFTER and not sight.lamps_on for sight in seen)
        return _needs_load(vehicle, slot) if known else True
    if feed_of(vehicle, slot).feed_class == "permanent":
        return False
    if round_.state == "awake":
        return _may_stay_live(seen)
    return _needs_key(_by_key(seen), round_)


def _by_key(seen: Iterable[Seen]) -> dict[tuple[State, bool], bool]:
    """Live or dead by state and lamps, the later one of two."""
    return {(sight.state, sight.lamps_on): sight.live for sight in seen}


def _needs_key(live: dict[tuple[State, bool], bool], round_: Round) -> bool:
    """Whether a slot that is not permanent is in question with the key in this place."""
    if (round_.state, round_.lamps_on) in live:
        return False
    if round_.state == "accessory":
        return True
    if round_.state == "ignition" and not round_.lamps_on:
        return live.get(("accessory", False)) is not True
    # With lamps, or running: only what was dead in all before.
    return live.get(("ignition", False)) is False and not any(live.values())


def _may_stay_live(seen: Iterable[Seen]) -> bool:
    """Whether a slot was live with the key, and not found dead after locking yet."""
    off = any(sight.state == "awake" and not sight.live for sight in seen)
    by_key = any(sight.live for sight in seen if sight.state in KEY_STATES and not sight.lamps_on)
    return by_key and not off


def _needs_load(vehicle: Vehicle, slot: Slot) -> bool:
    """Whether a slot that is live asleep has a readable fuse and no load read yet."""
    if slot.fuse is None or facts.fuse_resistance(slot.fuse) is None:
        return False
    live = feed_of(vehicle, slot).feed_class == "permanent"
    return live and "asleep" not in loads_of(vehicle, slot)


def _needs_contacts(vehicle: Vehicle, slot: Slot) -> bool:
    """Whether the fuse has to be pulled: only at slots that are tapped, never at critical ones."""
    tapped = any(tap.slot == slot.id for tap in vehicle.taps)
    return tapped and not counts_critical(slot) and not side_of(vehicle, slot).known


def in_question(
    vehicle: Vehicle, round_: Round, order: HandOrder, panels: Iterable[Panel] | None = None
) -> tuple[str, ...]:
    """The slots a round still needs, panel by panel in the order of the hand."""
    return tuple(
        slot.id
        for panel in (vehicle.panels if panels is None else panels)
        for slot in walk(panel, order)
        if needs(vehicle, slot, round_)
    )


Spot = tuple[Literal["slot", "feed"], str]
"""Where a reading is taken on a walk, by its id."""


class Step(Struct, frozen=True):
    """A round with the slots it still needs, and the feeds that are read as a whole after them."""

    round: Round
    slots: tuple[str, ...]
    feeds: tuple[str, ...] = ()

    @property
    def spots(self) -> tuple[Spot, ...]:
        """All of them in the order of the hand."""
        slots: tuple[Spot, ...] = tuple(("slot", each) for each in self.slots)
        return (*slots, *(("feed", each) for each in self.feeds))


def rounds_left(vehicle: Vehicle, order: HandOrder) -> tuple[Step, ...]:
    """Every round that is still needed, in the order of a weekend job."""
    found = []
    for round_ in ROUNDS:
        slots = in_question(vehicle, round_, order)
        if slots or (round_.kind == "whole" and rest_current(vehicle) is None):
            found.append(Step(round_, slots))
    return tuple(found)


# --- somebody else's map --------------------------------------------------------------------------

PROOF: dict[FeedClass, tuple[Round, ...]] = {
    "permanent": (Round(state="asleep"),),
    "accessory": (Round(state="asleep"), Round(state="accessory")),
    "ignition": (Round(state="accessory"), Round(state="ignition")),
    "delayed_off": (Round(state="asleep"), Round(state="awake")),
    "lighting": (Round(state="ignition"), Round(state="ignition", lamps_on=True)),
    "unfed": (Round(state="asleep"), Round(state="ignition")),
    "unknown": (Round(state="asleep"), Round(state="accessory"), Round(state="ignition")),
}
"""The fewest readings that prove each feed class."""


def claimed_class(vehicle: Vehicle, slot: Slot) -> FeedClass:
    """The class a slot is said to have: by borrowed readings or map, or as entered."""
    borrowed = feed_of(vehicle, slot, verified=False)
    if borrowed.known:
        return borrowed.feed_class
    if slot.borrowed is not None:
        return slot.borrowed.feed_class
    return slot.feed_class


def shortest_pass(vehicle: Vehicle, order: HandOrder) -> tuple[Step, ...]:
    """The fewest readings that verify what this job's taps stand on, state by state.

    Each tapped slot whose class the vehicle's own readings do not give is read in the states that
    prove its claimed class, and its contacts once.
    """
    wanted: dict[Round, set[str]] = {}
    for slot in _tapped(vehicle):
        if not feed_of(vehicle, slot).known:
            done = _by_key(sightings(vehicle, slot, evidence.of_slot(vehicle, slot.id)))
            for round_ in PROOF[claimed_class(vehicle, slot)]:
                if (round_.state, round_.lamps_on) not in done:
                    wanted.setdefault(round_, set()).add(slot.id)
        if _needs_contacts(vehicle, slot):
            wanted.setdefault(Round(kind="contacts", state="ignition"), set()).add(slot.id)
    ordered = [slot.id for panel in vehicle.panels for slot in walk(panel, order)]
    return tuple(
        Step(round_, tuple(slot_id for slot_id in ordered if slot_id in wanted[round_]))
        for round_ in ROUNDS
        if round_ in wanted
    )


def _tapped(vehicle: Vehicle) -> tuple[Slot, ...]:
    ids = dict.fromkeys(tap.slot for tap in vehicle.taps if tap.slot is not None)
    return tuple(look_up.slot(vehicle, slot_id) for slot_id in ids)


def is_borrowed(vehicle: Vehicle, slot: Slot) -> bool:
    """Whether what is known of a slot comes from somebody else's map alone."""
    taken = slot.borrowed is not None or bool(evidence.of_slot(vehicle, slot.id, verified=False))
    return taken and not feed_of(vehicle, slot).known
