"""What goes on paper: first as data (`content`), then as pages (`paint`, the only part with Qt).

`sheet_content` makes one part: the installation sheet, the lid card, the panel map, the probing
list or the record. `paper_style` chooses language and units, `csv_tables` gives the tables.
"""

from collections.abc import Callable, Iterator, Mapping
from typing import Final

from fusemap.assess import Assessment
from fusemap.catalogues import LANGUAGES
from fusemap.checks import Finding
from fusemap.sheet import diagram, installation, labels, lid, panels, probing, record
from fusemap.sheet.content import PARTS, USUAL, Part, Section, SheetContent
from fusemap.sheet.stock import PLAIN, Stock
from fusemap.sheet.style import ONE_VEHICLE, UNITS, UNNAMED, Units, moment, named, paper_style
from fusemap.sheet.subject import Made, Subject
from fusemap.text import Style, Text, given, say

__all__ = [
    "LANGUAGES",
    "PARTS",
    "UNITS",
    "USUAL",
    "Made",
    "Part",
    "SheetContent",
    "Units",
    "paper_style",
    "sheet_content",
]

BUILDERS: Final[Mapping[Part, Callable[[Subject], Iterator[Section]]]] = {
    "sheet": installation.sections,
    "diagram": diagram.sections,
    "labels": labels.sections,
    "lid": lid.lid_sections,
    "map": panels.map_sections,
    "probing": probing.sections,
    "record": record.sections,
}

TITLES: Final[Mapping[Part, Text]] = {
    "sheet": say("Installation sheet"),
    "diagram": say("Circuit diagram"),
    "labels": say("Cable labels"),
    "lid": say("Lid card"),
    "map": say("Panel map"),
    "probing": say("Probing list"),
    "record": say("Record"),
}


def sheet_content(
    part: Part,
    assessment: Assessment,
    findings: tuple[Finding, ...],
    style: Style,
    made: Made,
    stock: Stock = PLAIN,
) -> SheetContent:
    """One part of the paper of an assessed vehicle, in a language and its units.

    `stock` is what labels are printed on.
    """
    subject = Subject(assessment, findings, style, made, stock)
    vehicle = assessment.vehicle
    return SheetContent(
        part=part,
        style=style,
        title=subject.show(TITLES[part]),
        vehicle=subject.show(named(vehicle.name) or UNNAMED),
        system=subject.show(given(vehicle.system_v, "V")),
        date=moment(made.date, style),
        warning=subject.show(ONE_VEHICLE),
        sections=tuple(BUILDERS[part](subject)),
    )
