"""The record: everything fitted over the years, with dates, readings, and what was removed.

In: a subject. Out: what is fitted now, the vehicle's log, the readings there are, and lines to go
on by hand. No Qt.
"""

from collections.abc import Iterator

from fusemap.sheet.basis import basis
from fusemap.sheet.content import Block, Box, Cell, Column, Facts, Row, Section, Table, Text
from fusemap.sheet.jobs import back_words, cable_words, from_words, tap_words
from fusemap.sheet.language import named
from fusemap.sheet.open_findings import counted
from fusemap.sheet.readings import added_asleep_a
from fusemap.sheet.subject import Subject
from fusemap.sheet.work import undo
from fusemap.vehicle import Reading, Tap, look_up

BLANK_LINES = 10


def sections(subject: Subject) -> Iterator[Section]:
    """The sections of the record."""
    say = subject.say
    note = named(subject.vehicle.note)
    about: tuple[Block, ...] = (Facts(tuple(_about(subject))),)
    yield Section("about", say("section.about"), (*about, Text(note)) if note else about)
    yield Section("fitted", say("section.fitted"), tuple(_fitted(subject)))
    measured = tuple(_readings(subject))
    if measured:
        yield Section("readings", say("section.readings"), measured)
    yield Section("history", say("section.history"), tuple(_history(subject)))
    yield Section("further", say("section.further"), (_further(subject),))
    if subject.to_fit:
        yield Section("undo", say("section.undo"), (undo(subject),))
    yield basis(subject)


def _about(subject: Subject) -> Iterator[tuple[str, Cell]]:
    """The vehicle's supply, and the readings of the whole vehicle."""
    say, vehicle = subject.say, subject.vehicle
    battery = vehicle.battery
    yield say("about.system"), subject.amount(vehicle.system_v, "V")
    yield say("about.chemistry"), say(f"chemistry.{battery.chemistry}")
    if battery.capacity_ah is not None:
        yield say("about.capacity"), subject.amount(battery.capacity_ah, "Ah")
    if battery.rest_v is not None:
        yield say("about.rest_v"), subject.amount(battery.rest_v, "V")
    before = vehicle.parking.rest_current_a
    measured: Cell = say("not_measured") if before is None else subject.amount(before, "A")
    yield say("about.rest_before"), measured
    added = added_asleep_a(subject)
    yield say("about.rest_added"), subject.amount(added, "A")
    if before is not None:
        yield say("about.rest_after"), subject.amount(before + added, "A")
    yield say("about.findings"), counted(subject) or say("no_findings")


def _fitted(subject: Subject) -> Iterator[Block]:
    """Every lead that is connected now, with all that is needed to find it again."""
    if not subject.taps:
        yield Text(subject.say("nothing_placed"))
        return
    say = subject.say
    columns = (
        Column(say("column.number"), 5, "centre"),
        Column(say("column.accessory"), 21),
        Column(say("column.source"), 22),
        Column(say("column.tap_and_fuse"), 22),
        Column(say("column.cables"), 24),
        Column(say("column.joint_and_earth"), 18),
    )
    yield Table("fitted", columns, tuple(_fitted_row(subject, tap) for tap in subject.taps))


def _fitted_row(subject: Subject, tap: Tap) -> Row:
    power = tap.lead == "power"
    accessory = subject.accessory(tap)
    name = subject.accessory_name(accessory)
    if accessory.found != "no":
        name = f"{name} ({subject.say(f'found.{accessory.found}')})"
    cables = [cable_words(subject, tap.cable_out, power)]
    cables += [back_words(subject, tap)] if power else []
    earth = named(tap.earth_point) or subject.say("not_named")
    joints = [subject.joint(tap.joint) or subject.say("not_chosen"), *([earth] if power else [])]
    reason = named(tap.justification)
    taken = [tap_words(subject, tap), subject.fuse(tap.fuse), *([reason] if reason else [])]
    return Row(
        (
            subject.badge(tap),
            name if power else f"{name}, {subject.say('lead.sense')}",
            from_words(subject, tap),
            "; ".join(taken),
            " / ".join(cables),
            "; ".join(joints),
        )
    )


def _readings(subject: Subject) -> Iterator[Block]:
    """What was measured at the whole vehicle and at the accessories, and the signed checks."""
    kept = [r for r in subject.vehicle.readings if worth_recording(r)]
    if kept:
        yield reading_table(subject, kept)
    if subject.vehicle.sign_offs:
        yield _sign_offs(subject)


def worth_recording(reading: Reading) -> bool:
    """Whether a reading belongs into the record: not the many of probing slot by slot."""
    return not reading.withdrawn and (reading.target != "slot" or reading.purpose == "check")


def reading_table(subject: Subject, readings: list[Reading]) -> Table:
    """Readings in the order in which they were taken."""
    say = subject.say
    columns = (
        Column(say("column.date"), 16),
        Column(say("column.where"), 28),
        Column(say("column.what"), 22),
        Column(say("column.when"), 16),
        Column(say("column.value"), 12, "right"),
        Column(say("column.by"), 14),
    )
    return Table("readings", columns, tuple(_reading(subject, one) for one in readings))


def _reading(subject: Subject, reading: Reading) -> Row:
    value: Cell = subject.say("yes" if reading.yes else "no")
    if reading.unit:
        value = subject.language.figure(reading.value, reading.unit)
    note = named(reading.note)
    what = subject.say(f"quantity.{reading.quantity}")
    return Row(
        (
            subject.language.moment(reading.when),
            _target(subject, reading),
            f"{what}; {note}" if note else what,
            subject.state(reading.state),
            value,
            named(reading.by),
        )
    )


def _target(subject: Subject, reading: Reading) -> str:
    """What a reading was taken at; its id where that is gone."""
    gone = subject.say("gone", what=named(reading.target_id))
    vehicle = subject.vehicle
    if reading.target == "vehicle":
        return subject.say("vehicle")
    if reading.target == "feed":
        known = any(feed.id == reading.target_id for feed in vehicle.feeds)
        return subject.feed_name(reading.target_id) if known else gone
    if reading.target == "tap":
        tap = next((tap for tap in subject.taps if tap.id == reading.target_id), None)
        return gone if tap is None else subject.lead_name(tap)
    slot = next((s for s in look_up.slots(vehicle) if s.id == reading.target_id), None)
    return gone if slot is None else subject.slot_with_circuit(slot)


def _sign_offs(subject: Subject) -> Table:
    """Every check after a job that was signed."""
    say = subject.say
    columns = (
        Column(say("column.date"), 18),
        Column(say("column.by"), 22),
        Column(say("column.passed"), 14, "right"),
        Column(say("column.differing"), 14, "right"),
        Column(say("column.left_open"), 14, "right"),
        Column(say("column.remarks"), 26),
    )
    rows = tuple(
        Row(
            (
                subject.language.moment(one.when),
                named(one.by),
                str(one.passed),
                str(one.differing),
                str(one.left_open),
                named(one.note),
            )
        )
        for one in subject.vehicle.sign_offs
    )
    return Table("sign-offs", columns, rows)


def _history(subject: Subject) -> Iterator[Block]:
    """The log, oldest first as it was written."""
    log = subject.vehicle.log
    if not log:
        yield Text(subject.say("no_history"))
        return
    columns = (Column(subject.say("column.date"), 16), Column(subject.say("column.entry"), 84))
    rows = (Row((subject.language.moment(entry.when), named(entry.text))) for entry in log)
    yield Table("history", columns, tuple(rows))


def _further(subject: Subject) -> Table:
    """Lines for what is fitted, measured or removed from now on."""
    say = subject.say
    columns = (
        Column(say("column.date"), 12),
        Column(say("column.work"), 36),
        Column(say("column.before"), 16),
        Column(say("column.after"), 16),
        Column(say("column.by"), 20),
    )
    blank = Row(tuple(Box() for _ in columns))
    return Table("further", columns, (blank,) * BLANK_LINES, tall=True)
