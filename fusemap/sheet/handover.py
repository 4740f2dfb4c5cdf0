"""The hand-over: what the owner is told, in plain words, and the check list with signatures.

In: a subject. Out: a section on a page of its own. No Qt.
"""

from collections.abc import Iterator
from typing import Final

from fusemap.sheet.content import Blanks, Block, Bullets, Facts, Paragraph, Section, Steps
from fusemap.sheet.content import Step as SheetStep
from fusemap.sheet.standing import how_long
from fusemap.sheet.style import NO_FUSE
from fusemap.sheet.subject import Subject
from fusemap.text import Text, run_on, say

WHEN_A_FUSE_OPENS: Final = (
    say("Switch the accessory off. Put in one fuse of the same size and colour, never larger."),
    say("Does it open again, leave it out and ask whoever fitted it: something is wrong."),
    say("A fuse or a cable that is hot, or that smells: switch off, and have it looked at."),
)

HANDED_OVER: Final = (
    say("Everything added was switched on and shown."),
    say("The vehicle’s own circuits work, no warning lamp is lit."),
    say("Clock, windows and radio are set."),
    say("The lid card lies in the lid; spare fuses are in the vehicle."),
    say("The rest current was measured after the work and stands in this sheet."),
    say("How to undo it was explained; this sheet stays with the vehicle."),
)


def sections(subject: Subject) -> Iterator[Section]:
    """The page for the owner."""
    yield Section(
        "handover", subject.show(say("For the owner")), tuple(_blocks(subject)), apart=True
    )


def _blocks(subject: Subject) -> Iterator[Block]:
    show = subject.show
    yield Paragraph(show(say("What was added, and where its fuse is:")))
    yield Bullets(tuple(show(each) for each in _added(subject)))
    yield Paragraph(show(say("What it means for standing:")))
    yield Facts(how_long(subject))
    yield Paragraph(
        show(
            say(
                "So long it may stand locked and still start, as far as is known. Cold, age and a "
                "battery that is not full shorten it."
            )
        ),
        "small",
    )
    yield Paragraph(show(say("When a fuse opens:")))
    yield Bullets(tuple(show(each) for each in WHEN_A_FUSE_OPENS))
    undo = say(
        "It can all be taken out again: “{title}” in this sheet says how; the vehicle is then as "
        "it was.",
        title=say("How to undo it"),
    )
    yield Paragraph(show(undo))
    boxes = tuple(SheetStep(show(each)) for each in HANDED_OVER)
    yield Steps(show(say("Handed over")), boxes)
    names = (say("Date"), say("Handed over by"), say("Owner"), say("Mileage"))
    yield Blanks(tuple(show(each) for each in names))


def _added(subject: Subject) -> Iterator[Text]:
    for tap in subject.to_fit:
        if tap.lead != "power":
            continue
        guard = subject.guard(tap)
        fuse = NO_FUSE if guard is None else subject.fuse(guard)
        yield say(
            "{accessory}: fuse {fuse}, at {place}",
            accessory=subject.lead_name(tap),
            fuse=fuse,
            place=subject.source_in_words(tap),
        )
    for accessory in subject.hanging:
        if accessory.found == "no":
            own = accessory.lead_fuse
            yield run_on(
                run_on(subject.numbered(accessory), subject.output(accessory), between=": "),
                "" if own is None else say("fuse {fuse}", fuse=subject.fuse(own)),
                between=", ",
            )
