"""The installation sheet: what goes where, in which order, and how to prove it.

In: a subject. Out: sections: the first page, what is open, the work in the order of the hand, the
check, the way back, the owner's page. No Qt.
"""

from collections.abc import Iterator

from fusemap.assess.parked.ends import verdict_as_planned
from fusemap.assess.parked.start_words import plan_words
from fusemap.sheet import checking, cover, diagram, handover
from fusemap.sheet.cautions import other_cautions
from fusemap.sheet.content import Block, Facts, Paragraph, Section
from fusemap.sheet.fitting import figures
from fusemap.sheet.jobs import jobs
from fusemap.sheet.panels import photos, pictures
from fusemap.sheet.parts import cut_list, parts
from fusemap.sheet.standing import how_long
from fusemap.sheet.subject import Subject
from fusemap.sheet.trust import basis, counted, notes
from fusemap.sheet.undo import undo
from fusemap.sheet.work import order
from fusemap.text import Text, say


def sections(subject: Subject) -> Iterator[Section]:
    """The sections of the sheet: the first page, then the work in the order of the hand."""

    def section(key: str, title: Text, *blocks: Block) -> Section:
        return Section(key, subject.show(title), blocks)

    yield from cover.sections(subject)
    yield _findings(subject)
    if subject.taps:
        yield from diagram.sections(subject)
        yield section("order", say("Order of work"), *order(subject))
        yield section("accessories", say("Connections one by one"), *jobs(subject))
        yield section("panels", say("Where it goes"), *_panels(subject))
        yield section("parts", say("Parts and fuses"), parts(subject))
        yield section("cut-list", say("Cut list"), cut_list(subject))
        yield section("figures", say("Terminals and torques"), figures(subject))
        yield section(
            "checks",
            say("Check after fitting"),
            checking.how(subject),
            checking.checks(subject),
            _signature(subject),
        )
        yield section("differs", say("Where a reading differs"), checking.differs(subject))
        yield section("standing", say("How long it may stand"), standing(subject))
        yield section("undo", say("How to undo it"), undo(subject))
        yield from handover.sections(subject)
    yield _further(subject)
    yield basis(subject)


def _further(subject: Subject) -> Section:
    """The cautions that are not on the first page, in the end and whole."""
    title = subject.show(say("Further cautions"))
    return Section("further-cautions", title, (other_cautions(subject),))


def _findings(subject: Subject) -> Section:
    """The findings still open, worst first, or that there are none."""
    found = notes(subject)
    if not found:
        none = Paragraph(subject.show(counted(subject)))
        return Section("findings", subject.show(say("Open findings")), (none,))
    title = subject.show(say("Open findings: {counts}", counts=counted(subject)))
    return Section("findings", title, found)


def _panels(subject: Subject) -> Iterator[Block]:
    """Every panel with a tap, whole and with its marks."""
    tapped = {tap.slot for tap in subject.taps}
    for panel in subject.vehicle.panels:
        if any(slot.id in tapped for slot in panel.slots):
            yield from pictures(subject, panel)
            yield from photos(subject, panel)


def _signature(subject: Subject) -> Facts:
    """Lines for who did it, when, and with which meter."""
    names = (say("Date"), say("Checked by"), say("Meter"))
    return Facts(tuple((subject.show(name), "") for name in names))


def standing(subject: Subject) -> Facts:
    """How long the vehicle may stand, with and without the accessories, as planned."""
    parked, show = subject.assessment.parked, subject.show
    planned = subject.vehicle.parking.stand_days * 24
    band = subject.assessment.band
    verdict = verdict_as_planned(subject.assessment, parked, band)
    outcome = plan_words(verdict, planned, band.chance(planned))
    return Facts(
        (
            *how_long(subject),
            (show(say("As planned")), show(outcome)),
        )
    )
