"""The installation sheet: what goes where, in which order, and how to prove it.

In: a subject. Out: sections, the open findings first. No Qt.
"""

from collections.abc import Iterator

from fusemap.sheet.basis import basis
from fusemap.sheet.content import Block, Facts, Section, Text
from fusemap.sheet.jobs import jobs, overview
from fusemap.sheet.open_findings import counted, notes
from fusemap.sheet.panels import pictures
from fusemap.sheet.parts_list import parts
from fusemap.sheet.readings import checks, standing
from fusemap.sheet.subject import Subject
from fusemap.sheet.work import cautions, order, undo


def sections(subject: Subject) -> Iterator[Section]:
    """The sections of the sheet, in the order of the job."""
    yield _findings(subject)
    if not subject.taps:
        yield _section(subject, "panels", (Text(subject.say("nothing_placed"), "lead"),))
        yield _section(subject, "cautions", (cautions(subject),))
        yield basis(subject)
        return
    yield _section(subject, "panels", tuple(_panels(subject)))
    yield _section(subject, "accessories", jobs(subject))
    yield _section(subject, "cautions", (cautions(subject),))
    yield _section(subject, "parts", (parts(subject),))
    yield _section(subject, "order", order(subject))
    yield _section(subject, "checks", (checks(subject), Facts(_signature(subject))))
    yield _section(subject, "standing", (Facts(standing(subject)),))
    yield _section(subject, "undo", (undo(subject),))
    yield basis(subject)


def _section(subject: Subject, key: str, blocks: tuple[Block, ...]) -> Section:
    return Section(key, subject.say(f"section.{key}"), blocks)


def _findings(subject: Subject) -> Section:
    """The findings still open, worst first, or that there are none."""
    found = notes(subject)
    if not found:
        return _section(subject, "findings", (Text(subject.say("no_findings")),))
    head: tuple[Block, ...] = ()
    if any(note.severity == "stop" for note in found):
        head = (Text(subject.say("stop_first"), "loud"),)
    title = f"{subject.say('section.findings')}: {counted(subject)}"
    return Section("findings", title, (*head, *found))


def _panels(subject: Subject) -> Iterator[Block]:
    """All leads at a glance, what has no place yet, then every panel with a tap."""
    yield overview(subject)
    if subject.unplaced:
        names = ", ".join(subject.accessory_name(a) for a in subject.unplaced)
        yield Text(subject.say("unplaced", names=names))
    tapped = {tap.slot for tap in subject.taps}
    for panel in subject.vehicle.panels:
        if any(slot.id in tapped for slot in panel.slots):
            yield from pictures(subject, panel)


def _signature(subject: Subject) -> tuple[tuple[str, str], ...]:
    """Lines for who did it, when, and with which meter."""
    return tuple((subject.say(f"sign.{key}"), "") for key in ("date", "by", "meter"))
