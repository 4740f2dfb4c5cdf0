"""The circuit diagram as a section: the whole job, and what its signs mean.

In: a subject. Out: sections. No Qt.
"""

from collections.abc import Iterator
from typing import Final

from fusemap.sheet.circuit_parts import circuit
from fusemap.sheet.content import Paragraph, Section
from fusemap.sheet.subject import Subject
from fusemap.text import say

HOW_TO_READ: Final = say(
    "Symbols as in IEC 60617, terminal numbers of DIN 72552: 30 battery plus, 15 ignition, 31 "
    "earth. Plus at the left, earth at the right; contacts at rest. W is a cable, K a relay, S a "
    "switch. A small letter at the end of a line: there it goes on on the next page."
)


def sections(subject: Subject) -> Iterator[Section]:
    """The diagram on pages of its own."""
    title = subject.show(say("Circuit diagram of the whole job"))
    how = Paragraph(subject.show(HOW_TO_READ), "small")
    yield Section("diagram", title, (circuit(subject), how))
