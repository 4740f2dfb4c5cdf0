"""Where a hunt stands, as plain data: what is so at the vehicle, and what was done already.

A hunt is a frozen value that can be kept at every key, as a probing session is. It never reads a
clock. What was read stands in the vehicle; here are only the ids, so that a step can be taken back.
"""

from datetime import datetime, timedelta
from typing import Final, Literal

from msgspec.structs import replace

from fusemap.probing.session import sleep_wait_min
from fusemap.text import NOTHING, Text
from fusemap.vehicle import Vehicle, WakeUp
from fusemap.vehicle.parts import Value
from fusemap.vehicle.words import FeedClass, Quantity

Kind = Literal[
    "prepare", "wait", "whole", "catch", "across", "feed", "pull", "put_back", "part", "night",
    "lid", "end",
]  # fmt: skip
"""Sorts of step, in the order of the hunt; `catch` waits until something draws again, `feed` is all
that goes into a panel; `lid` asks what the first panel shows, once there is something to look
for."""

WORTH_A: Final = 0.025
"""A circuit that draws more asleep is worth finding [A]: as much as a healthy vehicle takes as a
whole (several car makers' service texts: 20 to 50 mA). Ours."""

SETTLE_MIN: Final = 1.0
"""What a whole current needs to settle with a fuse out [min]; common practice, no source."""


class Scene(Value, frozen=True, kw_only=True):
    """What is so at the vehicle.

    `asleep`: somebody said that it sleeps, before the time was over. `out` are the slots whose
    fuses are out. `behind` is the slot whose parts are looked at, one by one: `unplugged` are those
    unplugged so far. `skipped` are slots that cannot be reached, `no_feed` panels whose feed cannot
    be; `given_up` the steps of which somebody said that they shall not be asked for (`pull`,
    `night`, `catch`). `enough`: what was found is enough, the rest is not looked for.
    """

    locked_at: str | None = None
    asleep: bool = False
    out: tuple[str, ...] = ()
    behind: str | None = None
    unplugged: tuple[str, ...] = ()
    skipped: tuple[str, ...] = ()
    no_feed: tuple[str, ...] = ()
    given_up: tuple[Kind, ...] = ()
    logged: bool = False
    enough: bool = False


class Done(Value, frozen=True, kw_only=True):
    """One step that was done: the ids of the readings it stored, and how all was before it.

    `slots` is where, `classes` are their feed classes before it, `part` what was unplugged, `panel`
    the one whose feed was read.
    `wake_ups` and `night_logged` of a night that was taken in are those of the parking habits
    before it.
    """

    kind: Kind
    before: Scene
    readings: tuple[str, ...] = ()
    slots: tuple[str, ...] = ()
    part: str = ""
    panel: str = ""
    classes: tuple[FeedClass, ...] = ()
    wake_ups: tuple[WakeUp, ...] = ()
    night_logged: bool = False


class Hunt(Value, frozen=True, kw_only=True):
    """A hunt for what draws while parked; `since` is when it began, as ISO 8601.

    Readings taken before that do not count for it, nor do `earlier` ones that a clock set back has
    put after it. `whole_by` is how the whole current is read.
    `doubted` is what was typed and asked about, `doubts` is why; `message` what the last key
    brought about.
    """

    since: str
    earlier: tuple[str, ...] = ()
    whole_by: Quantity = "inline_current"
    meter: str | None = None
    by: str = ""
    scene: Scene = Scene()
    done: tuple[Done, ...] = ()
    doubted: str = ""
    doubts: tuple[Text, ...] = ()
    message: Text = NOTHING


def begin(
    vehicle: Vehicle,
    now: datetime,
    *,
    whole_by: Quantity = "inline_current",
    by: str = "",
    since: datetime | None = None,
) -> Hunt:
    """A new hunt; with `since`, readings asleep from then on count for it too."""
    used = [reading.meter for reading in vehicle.readings if reading.meter is not None]
    meter = used[-1] if used else (vehicle.meters[-1].id if vehicle.meters else None)
    start = (since or now).isoformat(timespec="seconds")
    there = () if since else tuple(each.id for each in vehicle.readings if each.when >= start)
    return Hunt(since=start, earlier=there, whole_by=whole_by, meter=meter, by=by)


def lock_again(hunt: Hunt) -> Hunt:
    """Somebody opened the vehicle: it is to be locked once more, and waited for again."""
    scene = replace(hunt.scene, locked_at=None, asleep=False)
    return replace(hunt, scene=scene, doubted="", doubts=())


def all_back(hunt: Hunt) -> Hunt:
    """Somebody said that the fuses that were out are in, and read nothing."""
    if not hunt.scene.out:
        return hunt
    done = Done(kind="put_back", before=hunt.scene, slots=hunt.scene.out)
    return replace(hunt, scene=replace(hunt.scene, out=()), done=(*hunt.done, done), doubted="",
                   doubts=(), message=NOTHING)  # fmt: skip


def hunt_on(hunt: Hunt, vehicle: Vehicle, now: datetime) -> Hunt:
    """Once more from the whole current, with what was found off; it sleeps as it did."""
    new = begin(vehicle, now, whole_by=hunt.whole_by, by=hunt.by)
    scene = replace(new.scene, locked_at=hunt.scene.locked_at, asleep=hunt.scene.asleep)
    return replace(new, scene=scene, meter=hunt.meter)


def resume(hunt: Hunt, vehicle: Vehicle) -> Hunt:
    """Take a hunt up again, as far as the vehicle still has what it read and names.

    After an undo of the document, too: what was read after it is gone with it.
    """
    there = {reading.id for reading in vehicle.readings if not reading.withdrawn}
    kept = hunt.done
    scene = hunt.scene
    for index, done in enumerate(hunt.done):
        if not there.issuperset(done.readings):
            kept, scene = hunt.done[:index], done.before
            break
    slots = {slot.id for panel in vehicle.panels for slot in panel.slots}
    panels = {panel.id for panel in vehicle.panels}
    scene = replace(
        scene,
        out=tuple(each for each in scene.out if each in slots),
        skipped=tuple(each for each in scene.skipped if each in slots),
        no_feed=tuple(each for each in scene.no_feed if each in panels),
        behind=scene.behind if scene.behind in slots else None,
    )
    meters = {meter.id for meter in vehicle.meters}
    if (kept, scene) == (hunt.done, hunt.scene) and (hunt.meter is None or hunt.meter in meters):
        return hunt
    meter = hunt.meter if hunt.meter in meters else None
    return replace(hunt, done=kept, scene=scene, meter=meter, doubted="", doubts=())


def take_up(hunt: Hunt, vehicle: Vehicle) -> Hunt:
    """A hunt as it was kept, as `resume` gives it; but a fuse that was out is out, whatever became
    of the readings it was pulled for: nobody puts one back by not keeping his work.
    """
    taken = resume(hunt, vehicle)
    slots = {slot.id for panel in vehicle.panels for slot in panel.slots}
    out = tuple(each for each in hunt.scene.out if each in slots)
    return taken if taken.scene.out else replace(taken, scene=replace(taken.scene, out=out))


def asleep_at(hunt: Hunt, vehicle: Vehicle) -> datetime | None:
    """When the vehicle is taken to sleep; `None` while it is not locked."""
    if hunt.scene.locked_at is None:
        return None
    locked = datetime.fromisoformat(hunt.scene.locked_at)
    return locked + timedelta(minutes=sleep_wait_min(vehicle))


def sleeps(hunt: Hunt, vehicle: Vehicle, now: datetime) -> bool:
    """Whether it is asleep by now: its time has passed, or somebody said so."""
    due = asleep_at(hunt, vehicle)
    return due is not None and (hunt.scene.asleep or now >= due)
