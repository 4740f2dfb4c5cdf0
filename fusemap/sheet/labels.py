"""Labels for both ends of every cable that is laid, on the stock that was bought.

In: a subject, with the stock. Out: label sheets of true size. Each label stands twice, once for
each end. No Qt.
"""

from collections.abc import Iterator

from fusemap.sheet.content import Label, LabelSheet, Paragraph, Section
from fusemap.sheet.parts import to_lay
from fusemap.sheet.subject import Subject
from fusemap.text import say


def sections(subject: Subject) -> Iterator[Section]:
    """The labels; a word where no cable is laid.

    Sheets and tape that were bought have nothing else on them: no title and no margin.
    """
    labels = tuple(_labels(subject))
    show, stock = subject.show, subject.stock
    if not labels:
        nothing = Paragraph(show(say("No cable is laid.")), "lead")
        yield Section("labels", "", (nothing,))
        return
    sheet = LabelSheet(labels, stock)
    if stock.kind != "plain":
        yield Section("labels", "", (sheet,))
        return
    how = Paragraph(show(say("Print at 100 %. Both ends of a cable get the same label.")))
    yield Section("labels", show(stock.words), (how, sheet))


def _labels(subject: Subject) -> Iterator[Label]:
    for each in to_lay(subject):
        label = Label(each.number, subject.show(each.start), subject.show(each.end))
        yield from (label,) * 2
