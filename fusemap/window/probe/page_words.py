"""What stands on the probing page: how far it is, what is known, what was read last, the timer.

In: the session and the vehicle. Out: words in the user's language; no widgets.
"""

from datetime import datetime

from PySide6.QtCore import QCoreApplication

from fusemap.probing import conclusions, evidence, loads, plan
from fusemap.probing.session import (
    Session,
    Timer,
    after_lock_min,
    rounds_left,
    slot_in_hand,
    slots_left,
)
from fusemap.units import NARROW_SPACE
from fusemap.vehicle import Vehicle, look_up
from fusemap.vehicle.words import FEED
from fusemap.window.texts.languages import said, style


def tr(text: str) -> str:
    """A text of this module in the user's language."""
    return QCoreApplication.translate("ProbePage", text)


def progress(session: Session, vehicle: Vehicle) -> str:
    """How many slots are left, on which panel."""
    if session.round.kind == "whole":
        return ""
    left = tr("{n} left in this round").format(n=len(slots_left(session, vehicle)))
    if session.slot is None or len(vehicle.panels) < 2:
        return left
    return f"{look_up.panel_of(vehicle, session.slot).name} · {left}"


def known(session: Session, vehicle: Vehicle) -> str:
    """What is known of the slot in hand; with none in hand, the rounds that are left."""
    if session.round.kind == "whole":
        return "\n".join(said(line) for line in loads.tracing_words(vehicle))
    slot = slot_in_hand(session, vehicle)
    if slot is None:
        return "\n".join(_rounds_left(session, vehicle))
    found = conclusions.of_slot(vehicle, slot)
    lines = [
        *(said(line) for line in found.lines),
        *(tr("Open: {what}").format(what=said(what)) for what in found.feed.open),
    ]
    if slot.borrowed is not None and not found.feed.known:
        claimed = said(FEED[plan.claimed_class(vehicle, slot)].label)
        lines.insert(0, tr("{by} says: {claimed}").format(by=slot.borrowed.by, claimed=claimed))
    return "\n".join(lines)


def _rounds_left(session: Session, vehicle: Vehicle) -> list[str]:
    return [
        f"{said(plan.title(step.round))}: {len(step.slots)}" if step.slots
        else said(plan.title(step.round))
        for step in rounds_left(session, vehicle)
    ]  # fmt: skip


def read_last(vehicle: Vehicle) -> str:
    """The last readings, newest first."""
    words = style()
    names = {slot.id: words.show(look_up.slot_words(slot)) for slot in look_up.slots(vehicle)}
    lines = []
    probed = [reading for reading in vehicle.readings if reading.purpose == "probe"]
    for reading in reversed(probed[-3:]):
        name = names.get(reading.target_id, tr("whole vehicle"))
        taken = tr(" (taken back)") if reading.withdrawn else ""
        value = said(evidence.value_words(reading))
        lines.append(f"{reading.when[11:16]}  {name}: {value}{taken}")
    return "\n".join(lines)


def clock(session: Session, running: tuple[Timer, ...], now: datetime) -> tuple[str, bool]:
    """The timer that matters most, and whether it is due."""
    minutes = after_lock_min(session, now)
    for kind in ("wait", "reread", "sleep"):
        for timer in running:
            if timer.kind != kind:
                continue
            if kind == "reread" and session.slot is not None:
                continue  # this walk is being read
            if not timer.over:
                return f"{timer.clock} ▸ {said(timer.words)}", False
            if kind == "reread":
                return tr("READ AGAIN NOW"), True
            if kind == "wait":
                return tr("WAIT IS OVER"), True
            return tr("asleep by now"), timer.left_s > -60
    if minutes is None:
        return "", False
    return tr("locked {n} min ago").format(n=f"{minutes:.0f}{NARROW_SPACE}"), False
