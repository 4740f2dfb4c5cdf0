"""The work: what to do first and last, step by step, and how to undo it.

In: a subject. Out: steps with boxes to tick (earth first, supply last, with the waits where the
battery is disconnected), each with the cable's number, how its ends are made and how tight, and the
caution that belongs to it; and the way back. No Qt.
"""

from collections.abc import Iterator
from dataclasses import replace
from typing import Final

from fusemap.sheet.cables import Numbered, earth_name, number_of, socket_words, switch_of
from fusemap.sheet.cautions import at_step, power_off
from fusemap.sheet.circuit_parts import output_limit
from fusemap.sheet.content import Step, Steps
from fusemap.sheet.fitting import (
    AS_THE_MAKER_SAYS,
    joint_words,
    ring_words,
    thread_of,
)
from fusemap.sheet.jobs import (
    back_words,
    behind_words,
    cable_words,
    relay_words,
    switch_words,
    tap_picture,
    tap_words,
)
from fusemap.sheet.parts import block_slots, link_words, sleeve_m, to_lay
from fusemap.sheet.subject import Subject
from fusemap.text import Amount, Text, Words, many, run_on, say
from fusemap.vehicle import SEATED, Tap, look_up
from fusemap.vehicle.words import CLOSED_BY

# --- order of work --------------------------------------------------------------------------------


def order(subject: Subject) -> tuple[Steps, ...]:
    """The work in stages, numbered through."""
    stages = (
        (say("Prepare"), _prepare(subject)),
        (say("Remove first"), _remove(subject)),
        (say("Lay the cables"), _lay(subject)),
        (say("Earth first"), _earth(subject)),
        (say("Connect the accessories"), _device(subject)),
        (say("Supply last"), _last(subject)),
        (say("Check and write down"), _finish(subject)),
    )
    found, first = [], 1
    for title, steps in stages:
        made = tuple(steps)
        if made:
            found.append(Steps(subject.show(title), made, first))
            first += len(made)
    return tuple(found)


def _last(subject: Subject) -> Iterator[Step]:
    """The supply: what is connected while no fuse is in, then the fuses from the source on."""
    yield from _feeds(subject)
    yield from _supply(subject)
    yield from _feed_fuses(subject)
    yield from _block_fuses(subject)


def _step(subject: Subject, text: Text, detail: Words = "", caution: str = "") -> Step:
    """A step, with what there is to know about it and the caution of this key."""
    said = at_step(subject, caution) if caution else ""
    return Step(subject.show(text), subject.show(detail), said)


def _prepare(subject: Subject) -> Iterator[Step]:
    stops = sum(finding.severity == "stop" for finding in subject.findings)
    if stops:
        text = say("Put right the findings marked Stop ({count}). Only then go on.", count=stops)
        yield _step(subject, text)
    yield _step(
        subject, say("Read the cautions of this sheet, and the vehicle maker’s instructions.")
    )
    yield _step(subject, _rest_current(subject.vehicle.parking.sleep_after_min))
    if power_off(subject):
        yield _step(
            subject,
            say(
                "Note the radio code and stored settings; open the bonnet and keep the key outside."
            ),
        )
        yield _step(
            subject,
            say("Disconnect the battery’s minus lead."),
            say(
                "Then wait before working near airbags: as long as the vehicle maker says, "
                "otherwise 15 minutes. No memory saver meanwhile."
            ),
            "battery_minus",
        )
    else:
        text = say("Switch everything off, take the key out, keep it away from the vehicle.")
        yield _step(subject, text)


def _rest_current(wait_min: float) -> Text:
    if not wait_min:
        return say(
            "Everything off and locked: measure the rest current of the whole vehicle before the "
            "work."
        )
    return many(
        "Everything off, locked, wait {n} minute: measure the rest current of the whole vehicle "
        "before the work.",
        "Everything off, locked, wait {n} minutes: measure the rest current of the whole vehicle "
        "before the work.",
        wait_min,
    )


def _remove(subject: Subject) -> Iterator[Step]:
    """What an earlier owner fitted and is to go."""
    return (take_away(subject, tap) for tap in reversed(subject.to_remove))


def _lay(subject: Subject) -> Iterator[Step]:
    """Each cable, then its grommets; the caution at the first, which holds for all."""
    caution = "routing"
    for each in to_lay(subject):
        if each.cable is None:
            continue
        text = say(
            "Cut and lay {number} from {start} to {end}.",
            number=each.number,
            start=each.start,
            end=each.end,
        )
        yield _step(subject, text, _way(subject, each), caution)
        caution = ""
        if each.cable.crossings:
            yield replace(_step(subject, _grommet(each), GROMMET), sign="crossing")


def _way(subject: Subject, each: Numbered) -> Words:
    """The cable and where it lies, how much of it in a sleeve; label both ends."""
    assert each.cable is not None
    sleeve = sleeve_m(each.cable)
    in_sleeve = say("{length} of it in a sleeve", length=Amount(sleeve, "m")) if sleeve else ""
    label = say("label both ends {number}", number=each.number)
    parts = (cable_words(subject, each.cable), in_sleeve, label)
    return run_on(*(part for part in parts if part), between="; ")


def _grommet(each: Numbered) -> Text:
    assert each.cable is not None
    return many(
        "Lead {number} through the bulkhead in a grommet.",
        "Lead {number} through the bulkhead {n} times, each time in a grommet.",
        each.cable.crossings,
        number=each.number,
    )


GROMMET: Final = say(
    "Use an opening that is there, where there is one; else a hole without burr, its edge painted. "
    "The grommet sits all round; outside, the cable hangs lower than its way in."
)
"""Sources: body builder manuals of several van makers (2004 to 2019)."""


def _earth(subject: Subject) -> Iterator[Step]:
    for tap in subject.to_fit:
        if tap.lead != "power":
            continue
        step = _step(
            subject,
            say(
                "Connect the earth {number} of {lead} to: {point}.",
                number=number_of(tap, subject, "back"),
                lead=subject.lead_name(tap),
                point=earth_name(subject, tap),
            ),
            run_on(
                say(
                    "Return: {way}. Bare metal, tight, protected from damp.",
                    way=back_words(subject, tap),
                ),
                ring_words(tap.cable_back, thread_of(subject, tap)),
            ),
            "earth_sensor" if _at_the_battery(subject, tap) else "",
        )
        yield replace(step, sign="earth")


def _at_the_battery(subject: Subject, tap: Tap) -> bool:
    if tap.earth is None:
        return False
    return look_up.earth(subject.vehicle, tap.earth).kind == "battery_minus"


def _device(subject: Subject) -> Iterator[Step]:
    for tap in subject.to_fit:
        lead = subject.lead_name(tap)
        if tap.lead == "power":
            text = say("Connect {lead}: earth, then plus. Leave its source open.", lead=lead)
            yield _step(subject, text)
        if tap.relay:
            text = say("Wire the relay of {lead}.", lead=lead)
            yield _step(subject, text, relay_words(subject, tap), "relay")
        if tap.switch in CLOSED_BY:
            name, number = switch_of(tap, subject), number_of(tap, subject)
            text = say("Put the switch {name} into {number}.", name=name, number=number)
            if tap.relay:
                text = say("Put the switch {name} into the wire to the coil.", name=name)
            yield _step(subject, text, switch_words(subject, tap))
    for accessory in subject.hanging:
        if accessory.found == "no":
            lead, output = subject.numbered(accessory), subject.output(accessory)
            text = say("Connect {lead} to the {output}.", lead=lead, output=output)
            yield _step(subject, text, behind_words(subject, accessory))


MINUS: Final = run_on(
    say("Its section at least that of {number}", number="W0+"), AS_THE_MAKER_SAYS, between="; "
)
"""Common practice, no source."""


def _feeds(subject: Subject) -> Iterator[Step]:
    """Added feeds and the link of a second battery: their holders are left open till the end."""
    used = {slot.id for slot, _ in block_slots(subject)}
    for panel in subject.vehicle.panels:
        if any(slot.id in used for slot in panel.slots):
            name = subject.panel_name(panel)
            text = say("Fix the fuse block {name}; leave all its fuses out.", name=name)
            yield _step(subject, text)
    second = subject.vehicle.second_battery
    if second is not None:
        text = say("Fix the second battery, and connect its minus to the body.")
        yield _step(subject, text, MINUS)
        text = say("Fix what links the batteries, and put it into {number}.", number="W0+")
        yield _step(subject, text, link_words(second, subject.vehicle.system_v))
    for each in to_lay(subject):
        if each.role not in ("feed", "link"):
            continue
        text = say(
            "Connect {number} at {end}, then at {start}; leave its fuse out.",
            number=each.number,
            start=each.start,
            end=each.end,
        )
        yield _step(subject, text, ring_words(each.cable, None), "fuse_at_source")


def _feed_fuses(subject: Subject) -> Iterator[Step]:
    for each in to_lay(subject):
        if each.role == "feed":
            fuse = look_up.feed(subject.vehicle, each.of).fuse
            text = say("Put the fuse of {number} in.", number=each.number)
            yield _step(subject, text, subject.fuse(fuse))
        elif each.role == "link":
            text = say("Put the fuses of {number} in, at both batteries.", number=each.number)
            second = subject.vehicle.second_battery
            fuses = (None, None) if second is None else (second.near_fuse, second.far_fuse)
            yield _step(subject, text, run_on(*(subject.fuse(f) for f in fuses), between="; "))


def _block_fuses(subject: Subject) -> Iterator[Step]:
    """The fuses of an added block, one after the other: what opens tells which lead it is."""
    for slot, tap in block_slots(subject):
        text = say(
            "Put the fuse of {lead} into {source}.",
            lead=subject.lead_name(tap),
            source=subject.source_in_words(tap),
        )
        yield _step(subject, text, subject.fuse(slot.fuse))


def _supply(subject: Subject) -> Iterator[Step]:
    """Sense leads first, own feeds last: what carries most is connected last."""
    ranked = sorted(subject.to_fit, key=lambda t: (t.kind == "own_feed", t.lead == "power"))
    for tap in ranked:
        slot = subject.slot(tap)
        caution = "fuse_at_source" if tap.kind == "own_feed" else ""
        if slot is not None and slot.monitored:
            caution = "monitored"
        step = _step(subject, supply_text(subject, tap), _supply_detail(subject, tap), caution)
        yield replace(step, picture=tap_picture(subject, tap))


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
    joint = joint_words(subject, tap.joint, tap.cable_out)
    slot = subject.slot(tap)
    module = slot is not None and slot.kind == "module"
    return run_on(
        say("Cable: {number}", number=number_of(tap, subject)),
        "" if tap.kind == "own_feed" else tap_words(subject, tap),
        run_on(AS_SHOWN, output_limit(slot), between="; ") if slot is not None and module else "",
        say("Accessory fuse: {fuse}", fuse=subject.fuse(subject.guard(tap))),
        say("Joint: {joint}", joint=joint) if joint else "",
        between="; ",
    )


AS_SHOWN: Final = say("at a control unit’s output only where and how its maker shows it")


def _finish(subject: Subject) -> Iterator[Step]:
    if power_off(subject):
        text = say("Reconnect the battery; set clock, windows and radio.")
        yield _step(subject, text, AS_THE_MAKER_SAYS)
    for text in FINISH:
        yield _step(subject, text)


FINISH: Final = (
    say("Do the check after fitting, and write the readings into the boxes."),
    say("Put the lid card into the lid; save the file; keep this sheet with the vehicle."),
    say("Check again after a week: no contact warm, every tap grips."),
)


# --- the way back ---------------------------------------------------------------------------------


def undo(subject: Subject) -> Steps:
    """How to put the vehicle back as it was: supply first, earth last."""
    steps = [_step(subject, BATTERY_OFF)] if power_off(subject) else []
    steps += [take_away(subject, tap) for tap in reversed(subject.to_fit)]
    if subject.to_fit:
        steps += [_step(subject, text) for text in LEFT_AS_BEFORE]
    return Steps("", tuple(steps))


BATTERY_OFF: Final = say("Disconnect the battery’s minus lead; wait before working near airbags.")
LEFT_AS_BEFORE: Final = (
    say("Take the accessories, their cables and earth leads out; earth comes off last."),
    say("Check that every circuit works; write into the record what was removed and when."),
)


def take_away(subject: Subject, tap: Tap) -> Step:
    """How a lead is taken off its source."""
    slot = subject.slot(tap)
    lead, source = subject.lead_name(tap), subject.source_in_words(tap)
    back: Words = ""
    if slot is not None and slot.fuse is not None and tap.kind in SEATED:
        back = say("Put back alone: {fuse}.", fuse=subject.fuse(slot.fuse))
    match tap.kind:
        case "two_fuse":
            text = say("Take the fuse tap of {lead} out of {source}.", lead=lead, source=source)
        case "take_off_lead":
            text = say(
                "Take the fuse with take-off lead of {lead} out of {source}.",
                lead=lead,
                source=source,
            )
        case "splice":
            text = say(
                "Cut the splice of {lead} out of the wire of {source}; join the wire again and "
                "seal it.",
                lead=lead,
                source=source,
            )
        case "terminal":
            text = say(
                "Take the fuse of {source} out, then {lead} off its terminal.",
                lead=lead,
                source=source,
            )
        case "plug":
            socket = socket_words(subject, tap)
            text = say("Pull the plug of {lead} out of {socket}.", lead=lead, socket=socket)
        case "own_feed":
            text = say(
                "Take the fuse of {lead} out, then its lead off {source}.", lead=lead, source=source
            )
    return _step(subject, text, back)
