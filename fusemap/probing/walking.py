"""Where a probing session goes next: along the slots in hand order, to a neighbour, to a round.

In: a session and the vehicle before and after what was stored. Out: the session with its cursor
elsewhere, and in words what stands there or what Enter does now.
"""

from typing import Final, Literal

from msgspec.structs import replace

from fusemap.probing import disbelief, plan
from fusemap.probing.order import beside
from fusemap.probing.session import (
    Session,
    asked,
    begin,
    rounds_left,
    slot_in_hand,
    slots_left,
)
from fusemap.vehicle import Vehicle, look_up

Way = Literal["up", "down", "left", "right"]

WAYS: Final[dict[Way, tuple[int, int]]] = {
    "up": (-1, 0),
    "down": (1, 0),
    "left": (0, -1),
    "right": (0, 1),
}
"""Arrow keys as steps down and to the right, as seen."""


def moved(session: Session, vehicle: Vehicle, key: Way) -> Session:
    """The slot next to the one in hand, by an arrow key."""
    if session.round.kind == "whole" or not vehicle.panels:
        return session
    slot_id = session.slot
    panel = look_up.panel_of(vehicle, slot_id) if slot_id else vehicle.panels[0]
    there = beside(panel, slot_id, session.order, *WAYS[key])
    return at_slot(session, vehicle, there)


def at_slot(session: Session, vehicle: Vehicle, slot_id: str | None) -> Session:
    """The session with its cursor on a slot, and what is to be minded there."""
    if slot_id == session.slot and slot_id is not None:
        return session
    fresh = replace(session, slot=slot_id, typed="", doubted="", doubts=(), waiting=None,
                    clear_at=None, said="")  # fmt: skip
    slot = slot_in_hand(fresh, vehicle)
    if slot is None:
        return fresh
    minded = disbelief.caution(slot, "pull" if session.round.kind == "contacts" else "probe")
    return replace(fresh, said=minded.text) if minded is not None else fresh


def gone_on(session: Session, old: Vehicle, new: Vehicle) -> Session:
    """On to the next slot of this round, from where the cursor was."""
    here = session.slot
    done = session.visited if here in session.visited else (*session.visited, here or "")
    session = replace(session, visited=tuple(one for one in done if one))
    left = slots_left(session, new)
    order = list(asked(session, old, session.round))
    behind = order[order.index(here) + 1 :] if here in order else []
    following = next((one for one in behind if one in left), left[0] if left else None)
    session = at_slot(session, new, following)
    return session if following is not None else replace(session, said=_round_done(session, new))


def _round_done(session: Session, vehicle: Vehicle) -> str:
    open_ones = [
        slot_id
        for slot_id in asked(session, vehicle, session.round)
        if session.round.state != "awake"
    ]
    following = _following(session, vehicle)
    skipped = f"{len(open_ones)} still open, Home goes through them. " if open_ones else ""
    if session.round.state == "awake":
        return "Round done. Enter starts the next one when it is time."
    return f"{skipped}Round done. Enter: {plan.title(following) if following else 'all done'}."


def _following(session: Session, vehicle: Vehicle) -> plan.Round | None:
    """The next round that is needed after this one."""
    at = plan.ROUNDS.index(session.round) if session.round in plan.ROUNDS else -1
    left = {step.round for step in rounds_left(session, vehicle)}
    return next((one for one in plan.ROUNDS[at + 1 :] if one in left), None)


def to_next_round(session: Session, vehicle: Vehicle) -> Session:
    """The beginning of the next round that is needed."""
    following = _following(session, vehicle)
    if following is None:
        return replace(session, said="Nothing is left in question.")
    return begin(session, vehicle, following)
