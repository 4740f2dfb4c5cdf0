"""Supply last: sound cables first, then what is connected while no fuse is in, then the fuses.

In: a subject. Out: the steps of the last stage, from the source on; each with the place of its
fuse, how its end is made and how tight. No Qt.
"""

from collections.abc import Iterator, Mapping
from typing import Final

from msgspec.structs import replace

from fusemap.sheet.cables import Numbered, number_of, socket_words
from fusemap.sheet.cautions import step
from fusemap.sheet.circuit_parts import output_limit
from fusemap.sheet.content import Step
from fusemap.sheet.fitting import AS_THE_MAKER_SAYS, PARTS_SAY, joint_words, ring_words
from fusemap.sheet.jobs import tap_picture, tap_words
from fusemap.sheet.parts import block_slots, link_words, to_lay
from fusemap.sheet.style import CHEMISTRY
from fusemap.sheet.subject import Subject
from fusemap.text import Amount, Text, Words, in_row, run_on, say
from fusemap.vehicle import Tap, look_up
from fusemap.vehicle.words import BatteryLink


def supply_steps(subject: Subject) -> Iterator[Step]:
    """The supply: what is connected while no fuse is in, then the fuses from the source on."""
    if subject.to_fit:
        yield step(subject, SOUND, _plus_cables(subject))
    yield from _feeds(subject)
    yield from _supply(subject)
    yield from _feed_fuses(subject)
    yield from _block_fuses(subject)


SOUND: Final = say(
    "Before anything is connected to a source: devices off, measure ohms from each new plus cable "
    "to the body. It must not be a through connection."
)
"""Common practice, no source."""


def _plus_cables(subject: Subject) -> Text:
    """The cables that carry plus, by their numbers, and what is wrong where one is through."""
    numbers = [each.number for each in to_lay(subject) if not each.number.endswith("−")]
    return say(
        "{numbers}: else a cable is pinched or a terminal touches the body: find it first",
        numbers=in_row(numbers),
    )


MINUS: Final = run_on(
    say("Its section at least that of {number}", number="W0+"), PARTS_SAY, between="; "
)
"""Common practice, no source."""


def _feeds(subject: Subject) -> Iterator[Step]:
    """Added feeds and the link of a second battery: their holders are left open till the end."""
    second = subject.vehicle.second_battery
    if second is not None:
        text = say("Connect the second battery’s minus to the body by {number}.", number="W0−")
        yield step(subject, text, MINUS)
        text = say("Cut {number} for what links the batteries, and connect it there.", number="W0+")
        charged = say("set to charge: {chemistry}", chemistry=CHEMISTRY[second.chemistry])
        how = run_on(
            link_words(second, subject.vehicle.system_v),
            LINKED[second.link],
            charged if second.link == "dcdc" else "",
            between="; ",
        )
        yield step(subject, text, how)
    for each in to_lay(subject):
        if each.role not in ("feed", "link"):
            continue
        text = say(
            "Connect {number} at {end}, then at {start}; leave its fuse out.",
            number=each.number,
            start=each.start,
            end=each.end,
        )
        how = run_on(_holder(subject, each), ring_words(each.cable, None, PARTS_SAY), between="; ")
        yield replace(step(subject, text, how, "fuse_at_source"), sign="ring")


LINKED: Final[Mapping[BatteryLink, Text]] = {
    "dcdc": say(
        "input from the battery, output to the second battery, minus to the body, control wire as "
        "its maker shows"
    ),
    "relay": say("coil as its maker shows, live only while the engine charges"),
}


def _holder(subject: Subject, each: Numbered) -> Text:
    """Where the fuse holder of an added feed sits, or those of the link."""
    if each.role == "link":
        return say("a fuse holder at each battery, as near to it as it goes")
    feed = look_up.feed(subject.vehicle, each.of)
    if feed.unfused_m is None:
        return say("its fuse holder as near to {start} as it goes", start=each.start)
    return say(
        "its fuse holder {length} from {start} at most; the cable up to it in a sleeve",
        length=Amount(feed.unfused_m, "m"),
        start=each.start,
    )


def _feed_fuses(subject: Subject) -> Iterator[Step]:
    for each in to_lay(subject):
        if each.role == "feed":
            fuse = look_up.feed(subject.vehicle, each.of).fuse
            text = say("Put the fuse of {number} in.", number=each.number)
            yield step(subject, text, subject.fuse(fuse))
        elif each.role == "link":
            text = say("Put the fuses of {number} in, at both batteries.", number=each.number)
            second = subject.vehicle.second_battery
            fuses = (None, None) if second is None else (second.near_fuse, second.far_fuse)
            yield step(subject, text, run_on(*(subject.fuse(f) for f in fuses), between="; "))


def _block_fuses(subject: Subject) -> Iterator[Step]:
    """The fuses of an added block, one after the other: what opens tells which lead it is."""
    for slot, tap in block_slots(subject):
        text = say(
            "Put the fuse of {lead} into {source}.",
            lead=subject.lead_name(tap),
            source=subject.source_in_words(tap),
        )
        yield step(subject, text, subject.fuse(slot.fuse))


def _supply(subject: Subject) -> Iterator[Step]:
    """Sense leads first, own feeds last: what carries most is connected last."""
    ranked = sorted(subject.to_fit, key=lambda t: (t.kind == "own_feed", t.lead == "power"))
    for tap in ranked:
        slot = subject.slot(tap)
        caution = "fuse_at_source" if tap.kind == "own_feed" else ""
        if slot is not None and slot.monitored:
            caution = "monitored"
        made = step(subject, supply_text(subject, tap), _supply_detail(subject, tap), caution)
        yield replace(made, picture=tap_picture(subject, tap))


def supply_text(subject: Subject, tap: Tap) -> Text:
    """How a lead is connected to its source."""
    lead, source = subject.lead_name(tap), subject.source_in_words(tap)
    match tap.kind:
        case "two_fuse":
            return say("Put the fuse tap of {lead} into {source}.", lead=lead, source=source)
        case "take_off_lead":
            return say(
                "Put the fuse with take-off lead of {lead} into {source}.", lead=lead, source=source
            )
        case "splice":
            return say("Splice {lead} into the wire of {source}.", lead=lead, source=source)
        case "terminal":
            return say(
                "Connect {lead} to the terminal of {source}: the fuse is put in last.",
                lead=lead,
                source=source,
            )
        case "plug":
            return say("Plug {lead} into {socket}.", lead=lead, socket=socket_words(subject, tap))
        case "own_feed":
            return say(
                "Connect {lead} to {source}: holder without fuse first, the fuse last.",
                lead=lead,
                source=source,
            )


def _supply_detail(subject: Subject, tap: Tap) -> Text:
    unknown = PARTS_SAY if subject.on_block(subject.slot(tap)) else AS_THE_MAKER_SAYS
    joint = joint_words(subject, tap.joint, tap.cable_out, unknown)
    slot = subject.slot(tap)
    module = slot is not None and slot.kind == "module"
    return run_on(
        say("Cable: {number}", number=number_of(tap, subject)),
        "" if tap.kind == "own_feed" else tap_words(subject, tap),
        run_on(AS_SHOWN, output_limit(slot), between="; ") if slot is not None and module else "",
        _seat(subject, tap),
        say("Accessory fuse: {fuse}", fuse=subject.fuse(subject.guard(tap))),
        say("Joint: {joint}", joint=joint) if joint else "",
        between="; ",
    )


def _seat(subject: Subject, tap: Tap) -> Words:
    """Where the host fuse goes once the tap is in its place; where the fuse holder of a lead is."""
    slot = subject.slot(tap)
    if tap.kind == "own_feed":
        return say("its fuse holder as near to {start} as it goes", start=subject.source(tap))
    if tap.kind == "two_fuse" and slot is not None and slot.fuse is not None:
        return say("the host fuse {fuse} goes into the tap", fuse=subject.fuse(slot.fuse))
    return ""


AS_SHOWN: Final = say("at a control unit’s output only where and how its maker shows it")
