"""The work: what to do first and last, step by step.

In: a subject. Out: steps with boxes to tick (earth first, supply last, with the waits where the
battery is disconnected), each with the cable's number, how its ends are made and how tight, and the
caution that belongs to it. No Qt.
"""

from collections.abc import Iterator
from typing import Final

from msgspec.structs import replace

from fusemap.sheet.cables import Numbered, earth_name, number_of, switch_of
from fusemap.sheet.cautions import power_off, step
from fusemap.sheet.checking import AT_THE_BATTERY
from fusemap.sheet.content import Step, Steps
from fusemap.sheet.fitting import (
    AS_THE_MAKER_SAYS,
    device_sign,
    device_words,
    ring_words,
    thread_of,
)
from fusemap.sheet.jobs import (
    back_words,
    behind_words,
    cable_words,
    live_states,
    relay_words,
    switch_words,
)
from fusemap.sheet.parts import block_slots, link_words, not_entered, sleeve_m, to_lay
from fusemap.sheet.style import SIDE
from fusemap.sheet.subject import Subject, in_states
from fusemap.sheet.supplying import supply_steps
from fusemap.sheet.undo import take_away
from fusemap.text import Amount, Text, Words, in_row, many, run_on, say
from fusemap.vehicle import SEATED, Tap, look_up
from fusemap.vehicle.words import CLOSED_BY, PLACE

# --- order of work --------------------------------------------------------------------------------


def order(subject: Subject) -> tuple[Steps, ...]:
    """The work in stages, numbered through."""
    stages = (
        (say("Prepare"), _prepare(subject)),
        (say("Remove first"), _remove(subject)),
        (say("Fix what is added"), _fix(subject)),
        (say("Lay the cables"), _lay(subject)),
        (say("Earth first"), _earth(subject)),
        (say("At the accessories"), _device(subject)),
        (say("Supply last"), supply_steps(subject)),
        (say("Check and write down"), _finish(subject)),
    )
    found, first = [], 1
    for title, steps in stages:
        made = tuple(steps)
        if made:
            found.append(Steps(subject.show(title), made, first))
            first += len(made)
    return tuple(found)


def _prepare(subject: Subject) -> Iterator[Step]:
    stops = sum(finding.severity == "stop" for finding in subject.findings)
    if stops:
        text = say("Put right the findings marked Stop ({count}). Only then go on.", count=stops)
        yield step(subject, text)
    yield step(
        subject, say("Read the cautions of this sheet, and the vehicle maker’s instructions.")
    )
    yield step(subject, _rest_current(subject.vehicle.parking.sleep_after_min), AT_THE_BATTERY)
    yield from _live_first(subject)
    if power_off(subject):
        yield step(
            subject,
            say(
                "Note the radio code and stored settings; open the bonnet and keep the key outside."
            ),
        )
        yield step(
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
        yield step(subject, text)


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


def _live_first(subject: Subject) -> Iterator[Step]:
    """Which contact is live, before the tap goes in and while the battery is still on."""
    seen: dict[str, Words] = {}
    for tap in subject.to_fit:
        slot = subject.slot(tap)
        if slot is None or tap.kind not in SEATED or subject.on_block(slot):
            continue
        when = in_states(live_states(subject, tap))
        side = SIDE[slot.live_side]
        seen[slot.id] = say("{slot}: {side}, {when}", slot=subject.slot_name(slot), side=side,
                            when=when)  # fmt: skip
    if seen:
        yield step(subject, LIVE_FIRST, run_on(*seen.values(), between="; "))


LIVE_FIRST: Final = say(
    "Slot by slot: fuse out, measure both contacts against the body; the one with voltage is the "
    "live side. Fuse in again."
)


def _remove(subject: Subject) -> Iterator[Step]:
    """What an earlier owner fitted and is to go."""
    return (take_away(subject, tap) for tap in reversed(subject.to_remove))


def _fix(subject: Subject) -> Iterator[Step]:
    """Blocks, the second battery, what links it, and the accessories, before any cable is cut."""
    used = {slot.id for slot, _ in block_slots(subject)}
    for panel in subject.vehicle.panels:
        if any(slot.id in used for slot in panel.slots):
            name = subject.panel_name(panel)
            text = say("Fix the fuse block {name}; leave all its fuses out.", name=name)
            yield step(subject, text, PLACE[panel.place])
    second = subject.vehicle.second_battery
    if second is not None:
        yield step(subject, say("Fix the second battery."), HELD)
        text = say("Fix what links the batteries, beside {number}.", number="W0+")
        yield step(subject, text, link_words(second, subject.vehicle.system_v))
    for each in to_lay(subject):
        if each.role in ("out", "behind"):
            last = () if each.cable is None else each.cable.stretches[-1:]
            place = in_row(PLACE[part.place] for part in last)
            yield step(subject, say("Fix {device} in its place.", device=each.end), place)


HELD: Final = say("It must not move in a crash; poles covered; lead-acid with its gas led outside.")
"""Common practice, no source."""


TRIM: Final = say(
    "Take the trim off on the way of the cables, as the vehicle maker shows; no force, clips kept."
)


def _lay(subject: Subject) -> Iterator[Step]:
    """Each cable, then its grommets; the caution at the first, which holds for all."""
    caution = "routing"
    if any(each.cable is not None for each in to_lay(subject)):
        yield step(subject, TRIM)
    for each in to_lay(subject):
        if each.cable is None:
            continue
        text = say(
            "Cut and lay {number} from {start} to {end}.",
            number=each.number,
            start=each.start,
            end=each.end,
        )
        yield step(subject, text, _way(subject, each), caution)
        caution = ""
        if each.cable.crossings:
            yield replace(step(subject, _grommet(each), GROMMET), sign="crossing")


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
        made = step(
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
                    way=_return(subject, tap),
                ),
                ring_words(tap.cable_back or tap.cable_out, thread_of(subject, tap)),
            ),
            "earth_sensor" if _at_the_battery(subject, tap) else "",
        )
        yield replace(made, sign="earth")


def _return(subject: Subject, tap: Tap) -> Words:
    """The way back; by the body with the lead to the earth point."""
    if tap.cable_back is not None:
        return back_words(subject, tap)
    (lead,) = (e for e in to_lay(subject) if e.of == tap.id and e.role == "back")
    return run_on(back_words(subject, tap), not_entered(lead), between="; ")


def _at_the_battery(subject: Subject, tap: Tap) -> bool:
    if tap.earth is None:
        return False
    return look_up.earth(subject.vehicle, tap.earth).kind == "battery_minus"


def _device(subject: Subject) -> Iterator[Step]:
    for tap in subject.to_fit:
        lead = subject.lead_name(tap)
        if tap.lead == "power":
            text = say("Connect {lead}: earth, then plus. Leave its source open.", lead=lead)
            if tap.socket is None:
                # swapped or missing, either would harm it: both are read first, in the check
                text = say(
                    "Make the ends of {lead} ready: earth, then plus. Do not connect them yet: "
                    "that is done in the check, once both are read. Leave its source open.",
                    lead=lead,
                )
            made = step(subject, text, device_words(tap.cable_out))
            yield replace(made, sign=device_sign(tap.cable_out))
        if tap.relay:
            text = say("Wire the relay of {lead}.", lead=lead)
            yield step(subject, text, relay_words(subject, tap), "relay")
        if tap.switch in CLOSED_BY:
            name, number = switch_of(tap, subject), number_of(tap, subject)
            text = say("Put the switch {name} into {number}.", name=name, number=number)
            if tap.relay:
                text = say("Put the switch {name} into the wire to the coil.", name=name)
            yield step(subject, text, switch_words(subject, tap))
    for accessory in subject.hanging:
        if accessory.found == "no":
            lead, output = subject.numbered(accessory), subject.output(accessory)
            text = say("Connect {lead} to the {output}.", lead=lead, output=output)
            ends = device_words(accessory.lead_cable)
            made = step(subject, text, run_on(behind_words(subject, accessory), ends, between="; "))
            yield replace(made, sign=device_sign(accessory.lead_cable))


def _finish(subject: Subject) -> Iterator[Step]:
    if power_off(subject):
        text = say("Reconnect the battery; set clock, windows and radio.")
        yield step(subject, text, AS_THE_MAKER_SAYS)
    for text in FINISH:
        yield step(subject, text)


FINISH: Final = (
    say("Do the check after fitting, and write the readings into the boxes."),
    say("Put the lid card into the lid; save the file; keep this sheet with the vehicle."),
    say("Check again after a week: no contact warm, every tap grips."),
)
