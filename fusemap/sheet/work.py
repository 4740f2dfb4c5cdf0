"""The work: what to mind, what to have at hand, what to do first and last, and how to undo it.

In: a subject. Out: the cautions that apply to this job, the parts counted from the taps of the
vehicle, steps with boxes to tick (earth first, supply last, with the waits where the battery is
disconnected), and the way back. Lengths in m are sums of the cables' lengths; nothing is added for
waste. No Qt.
"""

from collections import Counter
from collections.abc import Iterable, Iterator
from typing import Final

from fusemap import tables
from fusemap.sheet.content import Bullets, Figure, Row, Step, Steps, Table
from fusemap.sheet.jobs import back_words, cable_words, relay_words, tap_words
from fusemap.sheet.style import NOT_NAMED, TOTAL, named
from fusemap.sheet.subject import Subject
from fusemap.text import Argument, Text, Words, in_row, many, run_on, say, say_in
from fusemap.vehicle import SEATED, Cable, Fuse, Tap

CableKind = tuple[float, str, str]
"""Section [mm²], insulation, colour."""


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
    apply = (caution for caution in tables.cautions() if caution.when in wanted)
    return Bullets(tuple(subject.show(Text(caution.text)) for caution in apply))


# --- parts ----------------------------------------------------------------------------------------


def parts(subject: Subject) -> Table:
    """Everything to have at hand before the work begins: fuses, taps, relays, joints, cable."""
    columns = (
        subject.column(say_in("to buy", "Part"), 46),
        subject.column(say("Needed"), 14, "right"),
        subject.column(say("For No."), 40),
    )
    rows = (
        *_group(subject, say("Accessory fuses"), _fuses(subject)),
        *_group(subject, say("Taps, fuse holders, relays"), _taps(subject)),
        *_group(subject, say("Joints at the leads"), _joints(subject)),
        *_cable_rows(subject),
    )
    return Table("parts", columns, rows)


def _group(
    subject: Subject, title: Text, rows: Iterable[tuple[Argument, list[Tap]]]
) -> Iterator[Row]:
    """A group of things that are counted, with its total."""
    counted = list(rows)
    if not counted:
        return
    yield subject.row(title, "", "", kind="group")
    for name, taps in counted:
        yield subject.row(name, _count(len(taps)), _leads(subject, taps))
    total = sum(len(taps) for _, taps in counted)
    yield subject.row(TOTAL, _count(total), "", kind="total")


def _count(number: int) -> Figure:
    return Figure(float(number), "", str(number))


def _leads(subject: Subject, taps: Iterable[Tap]) -> Text:
    """The numbers of the leads something is for."""
    return in_row(dict.fromkeys(subject.badge(tap) for tap in taps))


def _fuses(subject: Subject) -> Iterator[tuple[Text, list[Tap]]]:
    """The accessory fuses by family and rating."""
    found: dict[tuple[str, float], list[Tap]] = {}
    for tap in subject.to_fit:
        if tap.fuse is not None:
            found.setdefault((tap.fuse.family, tap.fuse.rating), []).append(tap)
    for (family, rating), taps in sorted(found.items()):
        yield subject.fuse(Fuse(family=family, rating=rating)), taps


def _taps(subject: Subject) -> Iterator[tuple[Text, list[Tap]]]:
    """Fuse taps by family, fuses with a take-off lead by rating too, fuse holders and relays."""
    found: dict[Text, list[Tap]] = {}
    for tap in subject.to_fit:
        for name in _tap_parts(subject, tap):
            found.setdefault(name, []).append(tap)
    yield from found.items()


def _tap_parts(subject: Subject, tap: Tap) -> Iterator[Text]:
    slot = subject.slot(tap)
    if slot is not None and tap.kind == "two_fuse":
        yield say("Two-fuse tap for {family}", family=subject.family(slot.family))
    elif slot is not None and tap.kind == "take_off_lead":
        seat = subject.family(slot.family) if slot.fuse is None else subject.fuse(slot.fuse)
        yield say("Fuse with take-off lead: {fuse}", fuse=seat)
    if tap.fuse is not None and tap.kind != "two_fuse":
        yield say("Fuse holder for {family}", family=subject.family(tap.fuse.family))
    if tap.relay:
        yield say("Relay, make contact, {volts} V", volts=subject.vehicle.system_v)


def _joints(subject: Subject) -> Iterator[tuple[Words, list[Tap]]]:
    found: dict[Words, list[Tap]] = {}
    for tap in subject.to_fit:
        if tap.joint:
            found.setdefault(subject.joint(tap.joint), []).append(tap)
    yield from found.items()


def _cable_rows(subject: Subject) -> Iterator[Row]:
    found = list(cables(subject))
    if not found:
        return
    title = say("Cable (lengths as planned, nothing added for waste)")
    yield subject.row(title, "", "", kind="group")
    for kind, metres, taps in found:
        length = subject.figure(metres, "m")
        yield subject.row(subject.kind_of_cable(*kind), length, _leads(subject, taps))
    total = subject.figure(sum(metres for _, metres, _ in found), "m")
    yield subject.row(TOTAL, total, "", kind="total")


def cables(subject: Subject) -> Iterator[tuple[CableKind, float, list[Tap]]]:
    """Every kind of cable with its whole length [m] and the taps it is for."""
    metres: Counter[CableKind] = Counter()
    taps: dict[CableKind, list[Tap]] = {}
    for tap in subject.to_fit:
        for cable in (tap.cable_out, tap.cable_back):
            if cable is not None:
                kind = _kind(cable)
                metres[kind] += cable.whole_m  # type: ignore[assignment]
                taps.setdefault(kind, []).append(tap)
    for kind in sorted(metres):
        yield kind, float(metres[kind]), taps[kind]


def _kind(cable: Cable) -> CableKind:
    return cable.section_mm2, cable.insulation, named(cable.colour)


# --- order of work --------------------------------------------------------------------------------


def order(subject: Subject) -> tuple[Steps, ...]:
    """The work in stages, numbered through."""
    stages = (
        (say("Prepare"), _prepare(subject)),
        (say("Remove first"), _remove(subject)),
        (say("Lay the cables"), _lay(subject)),
        (say("Earth first"), _earth(subject)),
        (say("Connect the accessories"), _device(subject)),
        (say("Supply last"), _supply(subject)),
        (say("Check and write down"), _finish(subject)),
    )
    found, first = [], 1
    for title, steps in stages:
        made = tuple(steps)
        if made:
            found.append(Steps(subject.show(title), made, first))
            first += len(made)
    return tuple(found)


def _step(subject: Subject, text: Text, detail: Words = "") -> Step:
    return Step(subject.show(text), subject.show(detail))


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
    for tap in subject.to_fit:
        lead = subject.lead_name(tap)
        out = say(
            "Lay the cable out for {lead}, from {source}.",
            lead=lead,
            source=subject.source_in_words(tap),
        )
        back = say("Lay the return for {lead}.", lead=lead)
        for text, cable in ((out, tap.cable_out), (back, tap.cable_back)):
            if cable is not None:
                yield _step(subject, text, cable_words(subject, cable))


def _earth(subject: Subject) -> Iterator[Step]:
    for tap in subject.to_fit:
        if tap.lead == "power":
            point = named(tap.earth_point) or NOT_NAMED
            lead, way = subject.lead_name(tap), back_words(subject, tap)
            yield _step(
                subject,
                say("Connect the earth of {lead} to: {point}.", lead=lead, point=point),
                say("Return: {way}. Bare metal, tight, protected from damp.", way=way),
            )


def _device(subject: Subject) -> Iterator[Step]:
    for tap in subject.to_fit:
        lead = subject.lead_name(tap)
        if tap.lead == "power":
            text = say("Connect {lead}: earth, then plus. Leave its source open.", lead=lead)
            yield _step(subject, text)
        if tap.relay:
            text = say("Wire the relay of {lead}.", lead=lead)
            yield _step(subject, text, relay_words(subject, tap))
    for accessory in subject.hanging:
        if accessory.found == "no":
            lead, output = subject.numbered(accessory), subject.output(accessory)
            yield _step(subject, say("Connect {lead} to the {output}.", lead=lead, output=output))


def _supply(subject: Subject) -> Iterator[Step]:
    """Sense leads first, own feeds last: what carries most is connected last."""
    ranked = sorted(subject.to_fit, key=lambda t: (t.kind == "own_feed", t.lead == "power"))
    for tap in ranked:
        yield _step(subject, supply_text(subject, tap), _supply_detail(subject, tap))


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
        case "own_feed":
            return say(
                "Connect {lead} to {source}: holder without fuse first, the fuse last.",
                lead=lead,
                source=source,
            )


def _supply_detail(subject: Subject, tap: Tap) -> Text:
    joint = subject.joint(tap.joint)
    return run_on(
        "" if tap.kind == "own_feed" else tap_words(subject, tap),
        say("Accessory fuse: {fuse}", fuse=subject.fuse(tap.fuse)),
        say("Joint: {joint}", joint=joint) if joint else "",
        between="; ",
    )


def _finish(subject: Subject) -> Iterator[Step]:
    if power_off(subject):
        text = say("Reconnect the battery; set clock, windows and radio.")
        yield _step(subject, text)
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
        case "own_feed":
            text = say(
                "Take the fuse of {lead} out, then its lead off {source}.", lead=lead, source=source
            )
    return _step(subject, text, back)
