"""The work in its order: what to mind, what to do first and last, and how to undo it.

In: a subject. Out: cautions that apply to this job, steps with boxes to tick (earth first, supply
last, with the waits where the battery is disconnected), and the way back. No Qt.
"""

from collections.abc import Iterator

from fusemap import tables
from fusemap.sheet.content import Bullets, Step, Steps
from fusemap.sheet.jobs import back_words, cable_words, relay_words, tap_words
from fusemap.sheet.language import named
from fusemap.sheet.subject import Subject
from fusemap.vehicle import SEATED, Tap


def power_off(subject: Subject) -> bool:
    """Whether the battery is disconnected for this job: an own feed, or a splice into a wire."""
    return any(tap.kind not in SEATED for tap in (*subject.to_fit, *subject.to_remove))


# --- cautions -------------------------------------------------------------------------------------


def kinds_of_job(subject: Subject) -> frozenset[str]:
    """The words by which cautions are chosen, for this job."""
    slots = [subject.slot(tap) for tap in subject.taps]
    found = {"always"}
    if subject.taps:
        found |= {"earth", "measure"}
    if any(tap.kind in SEATED for tap in subject.taps):
        found.add("tap")
    if power_off(subject):
        found.add("battery")
    if any(tap.relay for tap in subject.taps):
        found.add("relay")
    if any(tap.cable_out is not None or tap.cable_back is not None for tap in subject.taps):
        found.add("cable")
    if subject.vehicle.system_v == 24:
        found.add("v24")
    if any(slot is not None and slot.monitored for slot in slots):
        found.add("monitored")
    return frozenset(found)


def cautions(subject: Subject, kinds: frozenset[str] | None = None) -> Bullets:
    """The cautions that apply to these kinds of job, or to this one."""
    wanted = kinds_of_job(subject) if kinds is None else kinds
    return Bullets(
        tuple(
            subject.language.known(f"caution.{caution.key}", caution.text)
            for caution in tables.cautions()
            if caution.when in wanted
        )
    )


# --- order of work --------------------------------------------------------------------------------


def order(subject: Subject) -> tuple[Steps, ...]:
    """The work in stages, numbered through."""
    stages = (
        ("prepare", tuple(_prepare(subject))),
        ("remove", tuple(_remove(subject))),
        ("lay", tuple(_lay(subject))),
        ("earth", tuple(_earth(subject))),
        ("device", tuple(_device(subject))),
        ("supply", tuple(_supply(subject))),
        ("finish", tuple(_finish(subject))),
    )
    found, first = [], 1
    for key, steps in stages:
        if steps:
            found.append(Steps(subject.say(f"stage.{key}"), steps, first))
            first += len(steps)
    return tuple(found)


def _prepare(subject: Subject) -> Iterator[Step]:
    say = subject.say
    stops = sum(finding.severity == "stop" for finding in subject.findings)
    if stops:
        yield Step(say("step.stops", count=str(stops)))
    yield Step(say("step.read"))
    wait = subject.vehicle.parking.sleep_after_min
    minutes = subject.language.decimal(f"{wait:g}")
    yield Step(say("step.rest_before", minutes=minutes) if wait else say("step.rest_at_once"))
    if power_off(subject):
        yield Step(say("step.codes"))
        yield Step(say("step.disconnect"), say("step.disconnect_detail"))
    else:
        yield Step(say("step.key_out"))


def _remove(subject: Subject) -> Iterator[Step]:
    """What an earlier owner fitted and is to go."""
    return (take_away(subject, tap) for tap in reversed(subject.to_remove))


def _lay(subject: Subject) -> Iterator[Step]:
    for tap in subject.to_fit:
        for way, cable in (("out", tap.cable_out), ("back", tap.cable_back)):
            if cable is not None:
                lead = subject.lead_name(tap)
                text = subject.say(
                    f"step.lay_{way}", lead=lead, source=subject.source_in_words(tap)
                )
                yield Step(text, cable_words(subject, cable))


def _earth(subject: Subject) -> Iterator[Step]:
    for tap in subject.to_fit:
        if tap.lead == "power":
            point = named(tap.earth_point) or subject.say("not_named")
            text = subject.say("step.earth", lead=subject.lead_name(tap), point=point)
            yield Step(text, subject.say("step.earth_detail", way=back_words(subject, tap)))


def _device(subject: Subject) -> Iterator[Step]:
    for tap in subject.to_fit:
        if tap.lead == "power":
            yield Step(subject.say("step.device", lead=subject.lead_name(tap)))
        if tap.relay:
            yield Step(
                subject.say("step.relay", lead=subject.lead_name(tap)),
                relay_words(subject, tap),
            )
    for accessory in subject.hanging:
        if accessory.found == "no":
            yield Step(
                subject.say(
                    "step.behind",
                    lead=subject.numbered(accessory),
                    output=subject.output(accessory),
                )
            )


def _supply(subject: Subject) -> Iterator[Step]:
    """Sense leads first, own feeds last: what carries most is connected last."""
    ranked = sorted(subject.to_fit, key=lambda t: (t.kind == "own_feed", t.lead == "power"))
    for tap in ranked:
        yield Step(supply_text(subject, tap), _supply_detail(subject, tap))


def supply_text(subject: Subject, tap: Tap) -> str:
    """How a lead is connected to its source."""
    return subject.say(
        f"step.supply.{tap.kind}", lead=subject.lead_name(tap), source=subject.source_in_words(tap)
    )


def _supply_detail(subject: Subject, tap: Tap) -> str:
    parts = []
    if tap.kind != "own_feed":
        parts.append(tap_words(subject, tap))
    parts.append(_pair(subject, "accessory_fuse", subject.fuse(tap.fuse)))
    joint = subject.joint(tap.joint)
    if joint:
        parts.append(_pair(subject, "joint", joint))
    return "; ".join(parts)


def _pair(subject: Subject, fact: str, what: str) -> str:
    return subject.say("pair", name=subject.say(f"fact.{fact}"), what=what)


def _finish(subject: Subject) -> Iterator[Step]:
    if power_off(subject):
        yield Step(subject.say("step.reconnect"))
    yield Step(subject.say("step.check"))
    yield Step(subject.say("step.record"))
    yield Step(subject.say("step.again"))


# --- the way back ---------------------------------------------------------------------------------


def undo(subject: Subject) -> Steps:
    """How to put the vehicle back as it was: supply first, earth last."""
    steps = [Step(subject.say("undo.off"))] if power_off(subject) else []
    steps += [take_away(subject, tap) for tap in reversed(subject.to_fit)]
    if subject.to_fit:
        steps.append(Step(subject.say("undo.earth")))
        steps.append(Step(subject.say("undo.note")))
    return Steps("", tuple(steps))


def take_away(subject: Subject, tap: Tap) -> Step:
    """How a lead is taken off its source."""
    slot = subject.slot(tap)
    host = subject.fuse(slot.fuse) if slot is not None and slot.fuse is not None else ""
    text = subject.say(
        f"undo.{tap.kind}", lead=subject.lead_name(tap), source=subject.source_in_words(tap)
    )
    back = subject.say("undo.host", fuse=host) if host and tap.kind in SEATED else ""
    return Step(text, back)
