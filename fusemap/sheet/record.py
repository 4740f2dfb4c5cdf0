"""The record: everything fitted over the years, with dates, readings, and what was removed.

In: a subject. Out: what is fitted now, the vehicle's log, the readings there are, and lines to go
on by hand. No Qt.
"""

from collections.abc import Iterator

from fusemap.probing import evidence, final_check, signing
from fusemap.sheet.cables import earth_name
from fusemap.sheet.content import Block, Box, Facts, Figure, Paragraph, Row, Section, Table
from fusemap.sheet.jobs import back_words, cable_words, from_words, tap_words
from fusemap.sheet.style import (
    CHEMISTRY,
    FOUND,
    NO,
    NOT_CHOSEN,
    NOT_MEASURED,
    NOTHING_PLACED,
    QUANTITY,
    STATE,
    VEHICLE,
    YES,
    named,
)
from fusemap.sheet.subject import Subject
from fusemap.sheet.trust import basis, counted
from fusemap.sheet.undo import undo
from fusemap.text import Argument, Text, Words, run_on, say, say_in
from fusemap.vehicle import Reading, SignOff, Tap, look_up

BLANK_LINES = 10


def sections(subject: Subject) -> Iterator[Section]:
    """The sections of the record."""

    def section(key: str, title: Text, *blocks: Block) -> Section:
        return Section(key, subject.show(title), blocks)

    note = named(subject.vehicle.note)
    facts = Facts(tuple((subject.show(name), subject.cell(cell)) for name, cell in _about(subject)))
    yield section("about", say("This vehicle"), facts, *([Paragraph(note)] if note else []))
    yield section("fitted", say("Fitted now"), _fitted(subject))
    measured = tuple(_readings(subject))
    if measured:
        yield section("readings", say("Readings and checks"), *measured)
    yield section("history", say("History"), _history(subject))
    yield section("further", say("From now on"), _further(subject))
    if subject.to_fit:
        yield section("undo", say("How to undo it"), undo(subject))
    yield basis(subject)


def _about(subject: Subject) -> Iterator[tuple[Text, Argument | Figure]]:
    """The vehicle's supply, and the readings of the whole vehicle."""
    vehicle, figure = subject.vehicle, subject.figure
    battery = vehicle.battery
    yield say("System voltage"), figure(vehicle.system_v, "V")
    yield say("Battery"), CHEMISTRY[battery.chemistry]
    if battery.capacity_ah is not None:
        yield say("Capacity on the label"), figure(battery.capacity_ah, "Ah")
    if battery.rest_v is not None:
        yield say("Rest voltage"), figure(battery.rest_v, "V")
    before = vehicle.parking.rest_current_a
    without = say("Rest current without accessories")
    yield without, NOT_MEASURED if before is None else figure(before, "A")
    added = final_check.added_asleep_a(subject.assessment)
    yield say("Accessories asleep"), figure(added, "A")
    if before is not None:
        yield say("Rest current with accessories"), figure(before + added, "A")
    yield say("Open findings"), counted(subject)


def _fitted(subject: Subject) -> Block:
    """Every lead that is connected now, with all that is needed to find it again."""
    if not subject.taps:
        return Paragraph(subject.show(NOTHING_PLACED))
    column = subject.column
    columns = (
        column(say("No."), 5, "centre"),
        column(say("Accessory"), 21),
        column(say_in("of current", "Source"), 22),
        column(say("Tap, accessory fuse"), 22),
        column(say("Cable out / return"), 24),
        column(say("Joint; earth point"), 18),
    )
    return Table("fitted", columns, tuple(_fitted_row(subject, tap) for tap in subject.taps))


def _fitted_row(subject: Subject, tap: Tap) -> Row:
    power = tap.lead == "power"
    name, found = subject.accessory_with_lead(tap), subject.accessory(tap).found
    earth = earth_name(subject, tap)
    return subject.row(
        subject.badge(tap),
        name if found == "no" else say("{name} ({found})", name=name, found=FOUND[found]),
        from_words(subject, tap),
        run_on(
            tap_words(subject, tap),
            subject.fuse(tap.fuse),
            named(tap.justification),
            named(tap.found_how),
            between="; ",
        ),
        run_on(
            cable_words(subject, tap.cable_out, power),
            back_words(subject, tap) if power else "",
            between=" / ",
        ),
        run_on(subject.joint(tap.joint) or NOT_CHOSEN, earth if power else "", between="; "),
    )


# --- readings -------------------------------------------------------------------------------------


def _readings(subject: Subject) -> Iterator[Block]:
    """What was measured at the whole vehicle and at the accessories, and the signed checks."""
    kept = [reading for reading in subject.vehicle.readings if worth_recording(reading)]
    if kept:
        yield reading_table(subject, kept)
    if subject.vehicle.sign_offs:
        yield _sign_offs(subject)


def worth_recording(reading: Reading) -> bool:
    """Whether a reading belongs into the record: not the many of probing slot by slot."""
    return not reading.withdrawn and (reading.target != "slot" or reading.purpose == "check")


def reading_table(subject: Subject, readings: list[Reading]) -> Table:
    """Readings in the order in which they were taken."""
    column = subject.column
    columns = (
        column(say("Date"), 16),
        column(say("Where"), 28),
        column(say("What"), 22),
        column(say("When"), 16),
        column(say("Reading"), 12, "right"),
        column(say_in("person", "By"), 14),
    )
    return Table("readings", columns, tuple(_reading(subject, each) for each in readings))


def _reading(subject: Subject, reading: Reading) -> Row:
    answer = YES if reading.yes else NO
    return subject.row(
        subject.moment(reading.when),
        _target(subject, reading),
        run_on(QUANTITY[reading.quantity], named(reading.note), between="; "),
        "" if reading.state is None else STATE[reading.state],
        subject.figure(reading.value, reading.unit) if reading.unit else answer,
        named(reading.by),
    )


def _target(subject: Subject, reading: Reading) -> Words:
    """What a reading was taken at; its id where that is gone."""
    gone = say("no longer there ({what})", what=named(reading.target_id))
    vehicle = subject.vehicle
    if reading.target == "vehicle":
        return VEHICLE
    if reading.target == "feed":
        known = any(feed.id == reading.target_id for feed in vehicle.feeds)
        return subject.feed_name(reading.target_id) if known else gone
    if reading.target == "panel":
        return evidence.fed_words(vehicle, reading.target_id)
    if reading.target == "tap":
        tap = next((tap for tap in subject.taps if tap.id == reading.target_id), None)
        return gone if tap is None else subject.lead_name(tap)
    if reading.target == "earth":
        point = next((e for e in vehicle.earths if e.id == reading.target_id), None)
        return gone if point is None else named(point.name)
    if reading.target == "socket":
        socket = next((s for s in vehicle.sockets if s.id == reading.target_id), None)
        return gone if socket is None else evidence.pin_words(socket, reading.pin)
    slot = next((s for s in look_up.slots(vehicle) if s.id == reading.target_id), None)
    return gone if slot is None else subject.slot_with_circuit(slot)


def _sign_offs(subject: Subject) -> Table:
    """Every check after a job that was signed."""
    column = subject.column
    columns = (
        column(say("Date"), 18),
        column(say_in("person", "By"), 22),
        column(say("As predicted"), 14, "right"),
        column(say("Differing"), 14, "right"),
        column(say("Left open"), 14, "right"),
        column(say("What it stands for; remarks"), 26),
    )
    rows = tuple(_sign_off(subject, each) for each in subject.vehicle.sign_offs)
    return Table("sign-offs", columns, rows)


def _sign_off(subject: Subject, signed: SignOff) -> Row:
    return subject.row(
        subject.moment(signed.when),
        named(signed.by),
        signed.passed,
        signed.differing,
        signed.left_open,
        run_on(signing.meaning(subject.vehicle, signed), named(signed.note), between="; "),
    )


# --- over the years -------------------------------------------------------------------------------


def _history(subject: Subject) -> Block:
    """The log, oldest first as it was written."""
    log = subject.vehicle.log
    if not log:
        return Paragraph(subject.show(say("Nothing has been written down yet.")))
    columns = (subject.column(say("Date"), 16), subject.column(say("What was done"), 84))
    rows = (subject.row(subject.moment(entry.when), named(entry.text)) for entry in log)
    return Table("history", columns, tuple(rows))


def _further(subject: Subject) -> Table:
    """Lines for what is fitted, measured or removed from now on."""
    column = subject.column
    columns = (
        column(say("Date"), 12),
        column(say("Fitted, changed or removed"), 36),
        column(say("Reading before"), 16),
        column(say("Reading after"), 16),
        column(say_in("person", "By"), 20),
    )
    blank = Row(tuple(Box() for _ in columns))
    return Table("further", columns, (blank,) * BLANK_LINES, tall=True)
