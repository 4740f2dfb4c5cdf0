"""Page one: whose vehicle, what is fitted and where, whether it holds, what to mind, which tools.

In: a subject. Out: sections, short enough for one page where the job is a usual one. What is asked
of the vehicle and its people stands as lines to write on: the file knows none of it. No Qt.
"""

from collections.abc import Iterator
from typing import Final

from fusemap.assess.sure_words import order as measure_words
from fusemap.checks.verdict_words import verdict_words
from fusemap.checks.whole import whole_verdict
from fusemap.sheet.cautions import crowded, first_cautions, power_off
from fusemap.sheet.content import Blanks, Block, Paragraph, PlanView, Section
from fusemap.sheet.jobs import overview
from fusemap.sheet.panels import picture
from fusemap.sheet.parts import to_lay
from fusemap.sheet.style import NOTHING_PLACED
from fusemap.sheet.subject import Subject
from fusemap.sheet.trust import counted
from fusemap.text import Amount, Text, Words, in_row, many, run_on, say

MOST_ASKED: Final = 3
"""So many readings are named on the first page, one where it is full; more are counted."""

ASKED: Final = (
    say("Registration or VIN"),
    say("Mileage"),
    say("Customer"),
    say("Fitted by"),
    say("Revision"),
    say("Date"),
)
"""What is written by hand on the first page."""


def sections(subject: Subject) -> Iterator[Section]:
    """The first page."""
    show = subject.show
    yield Section("vehicle", "", (Blanks(tuple(show(each) for each in ASKED)),))
    yield Section("fitted", show(say("What is fitted, and where")), tuple(_fitted(subject)))
    yield Section("verdict", show(say("Does it hold?")), tuple(_verdict(subject)))
    if subject.taps:
        title = show(say("Before you touch the vehicle"))
        said = show(say("Tools: {tools}.", tools=in_row(tools(subject))))
        taken = Paragraph(said, "small")
        yield Section("cautions", title, (first_cautions(subject),), together=True)
        yield Section("tools", "", (taken,), together=True)


def _fitted(subject: Subject) -> Iterator[Block]:
    """All leads at a glance, what has no place yet, and the tapped panels small."""
    if not subject.taps:
        yield Paragraph(subject.show(NOTHING_PLACED), "lead")
        return
    yield overview(subject)
    if subject.unplaced:
        names = in_row(subject.accessory_name(each) for each in subject.unplaced)
        yield Paragraph(
            subject.show(say("Not placed yet, not on this sheet: {names}.", names=names))
        )
    tapped = {tap.slot for tap in subject.taps}
    for panel in subject.vehicle.panels:
        if any(slot.id in tapped for slot in panel.slots):
            yield PlanView(picture(subject, panel))


def _verdict(subject: Subject) -> Iterator[Block]:
    """The verdict in a sentence, how many findings are open, what would make it sure."""
    a, show = subject.assessment, subject.show
    verdict = whole_verdict(subject.vehicle, a, subject.findings)
    if any(each.severity == "stop" for each in subject.findings):
        loud = say("STOP: do not fit this as it is. Put right what is marked Stop first.")
        yield Paragraph(show(loud), "loud")
    said = verdict_words(subject.vehicle, a, subject.findings, verdict)
    # where the page is full the count stands over the findings alone, on the next page
    if subject.findings and not crowded(subject):
        open_ = say("Open findings: {counts}", counts=counted(subject))
        said = run_on(said, open_)
    yield Paragraph(show(said))
    asked = a.measure_next
    if not asked:
        return
    most = 1 if crowded(subject) else MOST_ASKED
    items: list[Words] = [measure_words(subject.vehicle, each) for each in asked[:most]]
    more = len(asked) - most
    if more > 0:
        further = many("{n} more answer, in the program", "{n} more answers, in the program", more)
        items.append(further)
    sure = say("Not sure, and what would make it so: {asked}.", asked=run_on(*items, between="; "))
    yield Paragraph(show(sure))


def tools(subject: Subject) -> Iterator[Text]:
    """What this job takes besides the parts."""
    cables = [each.cable for each in to_lay(subject) if each.cable is not None]
    yield say("digital meter with millivolts, clamp for direct current")
    yield say("trim tools")
    if cables:
        yield say("stripping pliers, ratchet crimping tool for the sections of the cut list")
    if any(tap.joint.startswith("solder") for tap in subject.to_fit):
        yield say("soldering iron")
    if any(tap.joint in ("butt_crimp", "solder_splice", "solder_sleeve") for tap in subject.to_fit):
        yield say("hot air for shrink sleeves")
    if any(each.crossings for each in cables):
        yield say("drill, file, rust protection, pull-through wire")
    if subject.to_fit:
        yield say("torque wrench from {torque} on", torque=Amount(2.0, "Nm"))
        yield say("wire brush and contact protection for earth points")
    if power_off(subject):
        yield say("spanner for the battery clamp")
