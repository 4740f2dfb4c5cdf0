"""The record: everything fitted over the years, with dates, readings, and what was removed.

In: a subject. Out: what is fitted now, the vehicle's log, the readings there are, and lines to go
on by hand. No Qt.
"""

from collections.abc import Iterator

from fusemap.sheet.basis import computed_from
from fusemap.sheet.content import Block, Box, Cell, Column, Facts, Row, Section, Table, Text
from fusemap.sheet.jobs import back_words, cable_words, from_words, tap_words
from fusemap.sheet.language import named
from fusemap.sheet.open_findings import counted
from fusemap.sheet.readings import added_asleep_a
from fusemap.sheet.subject import Subject
from fusemap.sheet.work import undo
from fusemap.vehicle import Tap

BLANK_LINES = 10


def sections(subject: Subject) -> Iterator[Section]:
    """The sections of the record."""
    say = subject.say
    note = named(subject.vehicle.note)
    about: tuple[Block, ...] = (Facts(tuple(_about(subject))),)
    yield Section("about", say("section.about"), (*about, Text(note)) if note else about)
    yield Section("fitted", say("section.fitted"), tuple(_fitted(subject)))
    yield Section("history", say("section.history"), tuple(_history(subject)))
    yield Section("further", say("section.further"), (_further(subject),))
    if subject.taps:
        yield Section("undo", say("section.undo"), (undo(subject),))
    yield Section("basis", say("section.basis"), computed_from(subject))


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
    name = subject.accessory_name(subject.accessory(tap))
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


def _history(subject: Subject) -> Iterator[Block]:
    """The log, oldest first as it was written."""
    log = subject.vehicle.log
    if not log:
        yield Text(subject.say("no_history"))
        return
    columns = (Column(subject.say("column.date"), 16), Column(subject.say("column.entry"), 84))
    yield Table(
        "history", columns, tuple(Row((named(entry.when), named(entry.text))) for entry in log)
    )


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
