"""Labels for both ends of every cable that is laid: a sheet of labels, and an endless tape.

In: a subject. Out: label sheets of true size. Each label stands twice, once for each end. The
sizes are common ones of office labels and of tapes for label printers, from memory. No Qt.
"""

from collections.abc import Iterator
from typing import Final

from fusemap.sheet.content import Block, Label, LabelSheet, Paragraph, Section
from fusemap.sheet.parts import to_lay
from fusemap.sheet.subject import Subject
from fusemap.text import Amount, run_on, say

LABEL_MM: Final = (38.1, 21.2)
"""Width and height of a label on a sheet."""
TAPE_MM: Final = (50.0, 12.0)
"""Length of a label on an endless tape of this width."""


def sections(subject: Subject) -> Iterator[Section]:
    """The sheet of labels, then the tape; a word where no cable is laid."""
    labels = tuple(_labels(subject))
    show = subject.show
    if not labels:
        nothing = Paragraph(show(say("No cable is laid.")), "lead")
        yield Section("labels", "", (nothing,))
        return
    blocks: tuple[Block, ...] = (
        Paragraph(show(say("Print at 100 %. Both ends of a cable get the same label."))),
        LabelSheet(labels, *LABEL_MM, 4, 12, pitch_mm=40.6),
    )
    wide, high = (Amount(each, "mm") for each in LABEL_MM)
    title = show(say("Label sheet, labels of {wide} × {high}", wide=wide, high=high))
    yield Section("labels", title, blocks)
    tape = LabelSheet(labels, *TAPE_MM, 1, 0)
    title = show(say("Endless tape, {size} wide", size=Amount(TAPE_MM[1], "mm")))
    yield Section("tape", title, (tape,), apart=True)


def _labels(subject: Subject) -> Iterator[Label]:
    for each in to_lay(subject):
        text = subject.show(run_on(each.start, each.end, between=" → "))
        yield from (Label(each.number, text),) * 2
