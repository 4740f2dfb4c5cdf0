"""What a key does to a hunt: a figure or Enter, passing over, giving up, taking back.

In: a hunt, its vehicle, what was typed and the time. Out: an `Outcome`, the hunt and the vehicle
after it. A reading goes into the vehicle as a probing session's does, with all that it says of its
slot; what can hardly be is asked for once more and kept when it comes out the same. Nothing is ever
taken out of the readings: what is taken back is marked as withdrawn.
"""

from collections.abc import Iterable
from datetime import datetime
from typing import Any

from msgspec import Struct
from msgspec.structs import replace

from fusemap.errors import InputProblem
from fusemap.probing import conclusions, disbelief, evidence
from fusemap.probing.entry import Entry, read_entry
from fusemap.probing.hunt.answer import CLOSE, answer
from fusemap.probing.hunt.asked import Step
from fusemap.probing.hunt.log import read_log
from fusemap.probing.hunt.night import night_of
from fusemap.probing.hunt.state import Done, Hunt, Kind, Scene
from fusemap.probing.hunt.steps import next_step
from fusemap.probing.loads import Load, band_words, load_through, measured_load
from fusemap.text import NOTHING, Amount, Argument, Text, say
from fusemap.vehicle import LIVE_IN, Reading, Vehicle, edits, look_up, reading_edits
from fusemap.vehicle.parts import CURRENTS
from fusemap.vehicle.words import Quantity

MOST_SPELLS = 100
"""Spells of a night that are kept as readings, at most; all count for the wake-ups."""


class Outcome(Struct, frozen=True):
    """A hunt after a key, and the vehicle after it where the key changed it.

    `text` is what that step is called.
    """

    hunt: Hunt
    vehicle: Vehicle | None = None
    text: Text = NOTHING


def enter(
    hunt: Hunt, vehicle: Vehicle, typed: str, now: datetime, *, across: bool = True
) -> Outcome:
    """Do the next step: with a figure where one is asked for, with nothing where Enter goes on.

    Raises `InputProblem` for what is no reading, and where a figure is wanted and none was typed.
    """
    step = next_step(hunt, vehicle, now, across=across)
    if not typed.strip():
        return _confirmed(hunt, vehicle, step, now)
    if step.kind == "night" and ("\n" in typed.strip() or ";" in typed or "\t" in typed):
        return take_night(hunt, vehicle, typed, now)
    if step.quantity is None:
        raise InputProblem(say("no figure is asked for here"), remedy=say("press Enter"))
    entry = _entry(hunt, step, typed)
    draft = _for_a_while(hunt, vehicle, _draft(hunt, step, entry, now))
    if not _is_said_again(hunt, entry, step, typed):
        doubts = _doubts(hunt, vehicle, Reading(id="new", **draft))
        if doubts:
            return Outcome(replace(hunt, doubted=typed, doubts=doubts, message=NOTHING))
    else:
        draft["repeated"] = True
    return _store(hunt, vehicle, step, draft, now)


def _confirmed(hunt: Hunt, vehicle: Vehicle, step: Step, now: datetime) -> Outcome:
    """Enter without a figure."""
    scene = hunt.scene
    if step.kind == "prepare":
        scene = replace(scene, locked_at=now.isoformat(timespec="seconds"), asleep=False)
    elif step.kind == "wait":
        scene = replace(scene, asleep=True)
    elif step.kind == "put_back" and step.quantity is None:
        scene = replace(scene, out=())
    elif step.kind == "night":
        scene = replace(scene, given_up=(*scene.given_up, "night"))
    elif step.kind != "end":
        raise InputProblem(say("nothing was read"), remedy=say("type a number"))
    return Outcome(_stepped(hunt, step, scene))


def _stepped(
    hunt: Hunt, step: Step, scene: Scene, readings: tuple[str, ...] = (), **more: Any
) -> Hunt:
    if step.kind == "end":
        return hunt
    done = Done(
        kind=step.kind,
        before=hunt.scene,
        readings=readings,
        slots=step.slots,
        part=step.part,
        panel=step.panel,
        **more,
    )
    return replace(
        hunt, scene=scene, done=(*hunt.done, done), doubted="", doubts=(), message=NOTHING
    )


# --- what was typed -------------------------------------------------------------------------------


def _entry(hunt: Hunt, step: Step, typed: str) -> Entry:
    assert step.quantity is not None  # looked at before
    at_slot = step.kind in ("across", "part")
    at_cable = at_slot or step.kind == "feed"
    current: Quantity = "clamp_current" if at_cable else hunt.whole_by
    entry = read_entry(typed, step.quantity, 1.0, current)
    if entry.value is None:
        raise InputProblem(say("nothing was read"), remedy=say("type a number"))
    fitting = ("millivolts", *CURRENTS) if at_slot else CURRENTS
    if entry.quantity not in fitting:
        raise InputProblem(
            say("“{typed}” is not what is asked for here", typed=typed.strip()),
            remedy=say("type millivolts, or amperes by clamp")
            if at_slot
            else say("type amperes, or milliamperes with mA behind the figure"),
        )
    return entry


def _draft(hunt: Hunt, step: Step, entry: Entry, now: datetime) -> dict[str, Any]:
    """The reading that an entry is, as fields."""
    fields: dict[str, Any] = {
        "when": now.isoformat(timespec="seconds"),
        "quantity": entry.quantity,
        "value": entry.value,
        "state": "awake" if step.kind == "wait" else "asleep",
        "by": hunt.by,
    }
    if entry.highest is not None:
        fields["highest"] = entry.highest
    if hunt.meter is not None:
        fields["meter"] = hunt.meter
    if hunt.scene.locked_at is not None:
        locked = datetime.fromisoformat(hunt.scene.locked_at)
        fields["after_lock_min"] = max(0.0, round((now - locked).total_seconds() / 60, 1))
    if (
        step.kind in ("across", "part") and entry.quantity != hunt.whole_by
    ) or step.kind == "across":
        fields["target_id"] = step.slots[0]
    elif step.kind == "feed":
        fields |= {"target": "panel", "target_id": step.panel, "purpose": "hunt"}
    else:
        fields["target"] = "vehicle"
    if step.kind == "part":
        fields |= {"purpose": "hunt", "note": step.part}
    if step.kind == "catch":
        fields["purpose"] = "hunt"  # what it draws for a while is not what it draws at rest
    if step.kind == "pull" and len(step.slots) == 1:
        fields["fuse_out"] = step.slots[0]
    elif step.kind == "pull":
        fields |= {"purpose": "hunt", "fuses_out": step.slots}
    return fields


def _for_a_while(hunt: Hunt, vehicle: Vehicle, draft: dict[str, Any]) -> dict[str, Any]:
    """The same, for the hunt alone where it draws more now than it does at rest.

    What a circuit draws for a while is not what the vehicle draws while it stands.
    """
    rest = answer(hunt, vehicle).at_rest
    if rest is None or draft["state"] != "asleep":
        return draft
    if draft.get("target") == "vehicle" and not ("fuse_out" in draft or "fuses_out" in draft):
        load = measured_load(vehicle, Reading(id="new", **draft))
        return draft if load.low_a <= rest.high_a else draft | {"purpose": "hunt"}
    return draft | {"purpose": "hunt"}


def _is_said_again(hunt: Hunt, entry: Entry, step: Step, typed: str) -> bool:
    if not hunt.doubted:
        return False
    try:
        before = _entry(hunt, step, hunt.doubted)
    except InputProblem:
        return False
    if before.value is None or entry.value is None or before.quantity != entry.quantity:
        return False
    digit = evidence.range_of(None, entry.quantity, entry.value).resolution
    return abs(before.value - entry.value) <= max(0.1 * abs(before.value), 3 * digit)


def _doubts(hunt: Hunt, vehicle: Vehicle, reading: Reading) -> tuple[Text, ...]:
    """Why a reading can hardly be: as while probing, held against the hunt's own whole."""
    at_a_time = tuple(
        replace(each, purpose="probe")
        if each.purpose == "hunt" and each.target == "vehicle" and not (each.fuses_out or each.note)
        else each
        for each in vehicle.readings
    )
    found = list(disbelief.doubts(replace(vehicle, readings=at_a_time), reading))
    if reading.fuses_out or reading.target == "panel":
        now = answer(hunt, vehicle).now
        load = measured_load(vehicle, reading)
        if now is not None and load.low_a > now.high_a:
            found.append(_more_than_all(reading, now))
    return tuple(dict.fromkeys(found))


def _more_than_all(reading: Reading, now: Load) -> Text:
    ends = {"value": Amount(reading.value, "A"), "whole": Amount(now.current_a, "A")}
    if reading.target == "panel":
        return say(
            "{value} into this panel is more than the whole vehicle draws ({whole}): was the clamp "
            "zeroed, or did something wake up?",
            **ends,
        )
    return say(
        "{value} with fuses out is more than with all in ({whole}): something woke up", **ends
    )


def _store(
    hunt: Hunt, vehicle: Vehicle, step: Step, draft: dict[str, Any], now: datetime
) -> Outcome:
    after = reading_edits.add_readings(vehicle, [draft])
    touched = step.slots if draft.get("purpose", "probe") == "probe" else ()
    after = _as_classed(vehicle, conclusions.conclude(vehicle, after, touched), touched)
    scene = hunt.scene
    if step.kind == "pull":
        scene = replace(scene, out=step.slots)
    elif step.kind == "put_back":
        scene = replace(scene, out=())
    elif step.kind == "part":
        scene = replace(scene, unplugged=(*scene.unplugged, step.part))
    classes = tuple(look_up.slot(vehicle, each).feed_class for each in step.slots)
    stepped = _stepped(hunt, step, scene, (after.readings[-1].id,), classes=classes)
    return Outcome(stepped, after, _step_words(after, step))


def _as_classed(before: Vehicle, after: Vehicle, slot_ids: Iterable[str]) -> Vehicle:
    """The vehicle with slots that should be dead asleep still said to be so.

    What draws there is a lock or relay that stays on: it does not make a permanent feed of it.
    """
    for slot_id in slot_ids:
        was = look_up.slot(before, slot_id).feed_class
        now = look_up.slot(after, slot_id).feed_class
        if was != now and "asleep" not in LIVE_IN[was]:
            after = edits.change_slot(after, slot_id, feed_class=was)
    return after


def _step_words(vehicle: Vehicle, step: Step) -> Text:
    if step.kind in ("across", "part"):
        slot = look_up.slot(vehicle, step.slots[0])
        return say("Read {slot}", slot=look_up.slot_words(slot))
    if step.kind == "feed":
        return say("Read {slot}", slot=evidence.fed_words(vehicle, step.panel))
    return say("Read whole vehicle")


# --- other keys -----------------------------------------------------------------------------------


def skip(hunt: Hunt, vehicle: Vehicle, now: datetime, *, across: bool = True) -> Outcome:
    """Pass over what is asked: this fuse, this part; or all pulling, waiting, following a night.

    What was passed over stays open: it is never taken to draw nothing. Raises `InputProblem` where
    the step cannot be passed over.
    """
    step = next_step(hunt, vehicle, now, across=across)
    scene = hunt.scene
    if not step.optional:
        raise InputProblem(say("this cannot be passed over"), remedy=say("type a number"))
    if step.kind == "across":
        scene = replace(scene, skipped=(*scene.skipped, *step.slots))
    elif step.kind == "pull":
        scene = replace(scene, skipped=(*scene.skipped, *step.slots))
        if len(step.slots) > 1:
            scene = replace(hunt.scene, given_up=(*scene.given_up, "pull"))
    elif step.kind == "part":
        scene = replace(scene, unplugged=(*scene.unplugged, step.part))
    elif step.kind == "feed":
        scene = replace(scene, no_feed=(*scene.no_feed, step.panel))
    elif step.kind in ("night", "catch", "lid"):
        scene = replace(scene, given_up=(*scene.given_up, step.kind))
    else:
        return _confirmed(hunt, vehicle, step, now)
    return Outcome(_stepped(hunt, step, scene))


def give_up(hunt: Hunt, kind: Kind) -> Hunt:
    """Ask for no more steps of a sort: `pull` where no fuse shall be pulled."""
    if kind in hunt.scene.given_up:
        return hunt
    scene = replace(hunt.scene, given_up=(*hunt.scene.given_up, kind))
    return replace(hunt, scene=scene, doubted="", doubts=())


def enough(hunt: Hunt, vehicle: Vehicle) -> Hunt:
    """Go to the end with what was found; what is left is said there, and `undo` leads back.

    Raises `InputProblem` where nothing was found, and while a fuse is out.
    """
    if hunt.scene.out:
        raise InputProblem(say("a fuse is still out"), remedy=say("put it back first"))
    if not answer(hunt, vehicle).found:
        raise InputProblem(say("nothing was found yet"), remedy=say("go on reading"))
    scene = replace(hunt.scene, enough=True, behind=None, unplugged=())
    return replace(hunt, scene=scene, doubted="", doubts=(), message=NOTHING)


def look_behind(hunt: Hunt, slot_id: str | None) -> Hunt:
    """Go on behind a fuse, unplugging its parts one by one; with `None` back to the fuses."""
    scene = replace(hunt.scene, behind=slot_id, unplugged=())
    return replace(hunt, scene=scene, doubted="", doubts=())


def undo(hunt: Hunt, vehicle: Vehicle) -> Outcome:
    """Take the last step back: its readings are marked as withdrawn, all is as it was before it."""
    if hunt.doubted:
        return Outcome(replace(hunt, doubted="", doubts=()))
    if hunt.scene.enough:
        return Outcome(replace(hunt, scene=replace(hunt.scene, enough=False), message=NOTHING))
    if not hunt.done:
        return Outcome(replace(hunt, message=say("nothing to take back")))
    last = hunt.done[-1]
    there = {reading.id for reading in vehicle.readings if not reading.withdrawn}
    after = vehicle
    for reading_id in last.readings:
        if reading_id in there:
            after = reading_edits.withdraw_reading(after, reading_id, str(evidence.TAKEN_BACK))
    if after is not vehicle:
        after = conclusions.conclude(vehicle, after, last.slots)
        for slot_id, was in zip(last.slots, last.classes, strict=False):
            # what was typed goes with no reading
            if look_up.slot(after, slot_id).feed_class != was:
                after = edits.change_slot(after, slot_id, feed_class=was)
    if last.kind == "night" and last.readings:
        after = edits.change_parking(after, wake_ups=last.wake_ups, night_logged=last.night_logged)
    back = replace(
        hunt, scene=last.before, done=hunt.done[:-1], doubted="", doubts=(), message=NOTHING
    )
    changed = None if after is vehicle else after
    return Outcome(back, changed, say("Take a reading back"))


# --- a night --------------------------------------------------------------------------------------


def take_night(hunt: Hunt, vehicle: Vehicle, text: str, now: datetime) -> Outcome:
    """Take in the table of a night: its rest and its spells as readings, its wake-ups for parking.

    Raises `InputProblem` for a text without times and currents.
    """
    log = read_log(text)
    night = night_of(log)
    base: dict[str, Any] = {
        "when": now.isoformat(timespec="seconds"),
        "quantity": hunt.whole_by,
        "target": "vehicle",
        "purpose": "hunt",
        "note": str(evidence.LOGGED),
        "by": hunt.by,
    }
    drafts = [
        base | {"value": round(spell.current_a, 6), "after_lock_min": round(spell.start_min, 1)}
        for spell in night.spells[:MOST_SPELLS]
    ]
    drafts.append(base | {"value": round(night.rest_a, 6)})
    after = reading_edits.add_readings(vehicle, drafts)
    after = edits.change_parking(after, wake_ups=night.wake_ups, night_logged=True)
    new = tuple(reading.id for reading in after.readings[len(vehicle.readings) :])
    step = Step("night", NOTHING, NOTHING, NOTHING)
    stepped = _stepped(
        hunt,
        step,
        replace(hunt.scene, logged=True),
        new,
        wake_ups=vehicle.parking.wake_ups,
        night_logged=vehicle.parking.night_logged,
    )
    return Outcome(replace(stepped, message=log.words), after, say("Take a night in"))


# --- behind one fuse ------------------------------------------------------------------------------


class Part(Struct, frozen=True):
    """What fell away with a part unplugged [A], with both ends."""

    slot: str
    name: str
    low_a: float
    current_a: float
    high_a: float

    @property
    def words(self) -> Text:
        """What it draws, as it may be said."""
        if self.low_a <= 0:
            most = Amount(self.high_a, "A", significant=2)
            return say("{part}: at most {most}", part=self.name, most=most)
        current: Argument = Amount(self.current_a, "A", significant=2)
        if self.high_a - self.low_a > CLOSE * self.current_a:
            current = band_words(self.current_a, self.low_a, self.high_a, "A")
        return say("{part}: {current}", part=self.name, current=current)


def parts(hunt: Hunt, vehicle: Vehicle) -> tuple[Part, ...]:
    """What the parts unplugged so far drew, each by what the reading fell by."""
    by_id = {reading.id: reading for reading in vehicle.readings if not reading.withdrawn}
    before: dict[str, Load] = {}
    known = answer(hunt, vehicle)
    for each in known.shares.slots if known.shares is not None else ():
        if each.slot is not None and each.read is not None:
            before[each.slot.id] = each.read
    found = []
    for done in hunt.done:
        load = _with_part_out(vehicle, done, by_id.values()) if done.kind == "part" else None
        if load is None:
            continue
        slot = done.slots[0]
        was = before.get(slot, known.whole if _is_whole(by_id, done) else None)
        if was is not None:
            fell = max(0.0, was.current_a - load.current_a)
            least = max(0.0, was.low_a - load.high_a)
            found.append(Part(slot, done.part, least, fell, max(0.0, was.high_a - load.low_a)))
        before[slot] = load
    return tuple(found)


def _is_whole(by_id: dict[str, Reading], done: Done) -> bool:
    return any(by_id[each].target == "vehicle" for each in done.readings if each in by_id)


def _with_part_out(vehicle: Vehicle, done: Done, readings: Iterable[Reading]) -> Load | None:
    mine = next((each for each in readings if each.id in done.readings), None)
    if mine is None:
        return None
    if mine.target == "vehicle":
        return measured_load(vehicle, mine)
    return load_through(vehicle, look_up.slot(vehicle, mine.target_id).fuse, mine)
