"""The installation sheet: what goes where, in which order, and how to prove it.

In: a subject. Out: sections, the open findings first. No Qt.
"""

from collections.abc import Iterator

from fusemap.sheet.checks import checks, standing
from fusemap.sheet.content import Block, Facts, Paragraph, Section
from fusemap.sheet.jobs import jobs, overview
from fusemap.sheet.panels import pictures
from fusemap.sheet.subject import Subject
from fusemap.sheet.trust import basis, counted, notes
from fusemap.sheet.words import NOTHING_PLACED
from fusemap.sheet.work import cautions, order, parts, undo
from fusemap.text import Text, in_row, say


def sections(subject: Subject) -> Iterator[Section]:
    """The sections of the sheet, in the order of the job."""

    def section(key: str, title: Text, *blocks: Block) -> Section:
        return Section(key, subject.show(title), blocks)

    yield _findings(subject)
    if subject.taps:
        yield section("panels", say("Where it goes"), *_panels(subject))
        yield section("accessories", say("Connections one by one"), *jobs(subject))
    else:
        nothing = Paragraph(subject.show(NOTHING_PLACED), "lead")
        yield section("panels", say("Where it goes"), nothing)
    yield section("cautions", say("Before you touch the vehicle"), cautions(subject))
    if subject.taps:
        yield section("parts", say("Parts and fuses"), parts(subject))
        yield section("order", say("Order of work"), *order(subject))
        yield section("checks", say("Check after fitting"), checks(subject), _signature(subject))
        yield section("standing", say("How long it may stand"), standing(subject))
        yield section("undo", say("How to undo it"), undo(subject))
    yield basis(subject)


def _findings(subject: Subject) -> Section:
    """The findings still open, worst first, or that there are none."""
    found = notes(subject)
    if not found:
        none = Paragraph(subject.show(counted(subject)))
        return Section("findings", subject.show(say("Open findings")), (none,))
    head: tuple[Block, ...] = ()
    if any(note.severity == "stop" for note in found):
        loud = say("STOP: do not fit this as it is. Put right what is marked Stop first.")
        head = (Paragraph(subject.show(loud), "loud"),)
    title = subject.show(say("Open findings: {counts}", counts=counted(subject)))
    return Section("findings", title, (*head, *found))


def _panels(subject: Subject) -> Iterator[Block]:
    """All leads at a glance, what has no place yet, then every panel with a tap."""
    yield overview(subject)
    if subject.unplaced:
        names = in_row(subject.accessory_name(each) for each in subject.unplaced)
        text = say("Not placed yet, not on this sheet: {names}.", names=names)
        yield Paragraph(subject.show(text))
    tapped = {tap.slot for tap in subject.taps}
    for panel in subject.vehicle.panels:
        if any(slot.id in tapped for slot in panel.slots):
            yield from pictures(subject, panel)


def _signature(subject: Subject) -> Facts:
    """Lines for who did it, when, and with which meter."""
    names = (say("Date"), say("Checked by"), say("Meter"))
    return Facts(tuple((subject.show(name), "") for name in names))
