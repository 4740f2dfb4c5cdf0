"""What goes on paper: first as data (`content`), then as pages (`paint`, the only part with Qt).

`sheet_content` makes one part: the installation sheet, the lid card, the panel map, the probing
list or the record. `language` chooses language and units, `csv_tables` gives the tables.
"""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace

from fusemap.assess import Assessment
from fusemap.checks import Finding
from fusemap.sheet import installation, lid, panel_map, probing, record
from fusemap.sheet.content import PARTS, Part, Section, SheetContent
from fusemap.sheet.language import LANGUAGES, UNITS, Language, Units, language, named
from fusemap.sheet.subject import Made, Subject
from fusemap.vehicle import look_up

__all__ = [
    "LANGUAGES",
    "PARTS",
    "UNITS",
    "Language",
    "Made",
    "Part",
    "SheetContent",
    "Units",
    "language",
    "sheet_content",
]

BUILDERS: Mapping[Part, Callable[[Subject], Iterator[Section]]] = {
    "sheet": installation.sections,
    "lid": lid.sections,
    "map": panel_map.sections,
    "probing": probing.sections,
    "record": record.sections,
}


def sheet_content(
    part: Part,
    assessment: Assessment,
    findings: tuple[Finding, ...],
    language: Language,
    made: Made,
) -> SheetContent:
    """One part of the paper of an assessed vehicle, in a language and its units."""
    vehicle = assessment.vehicle
    phrases = language.phrases.keeping(look_up.given_names(vehicle))
    subject = Subject(assessment, findings, replace(language, phrases=phrases), made)
    return SheetContent(
        part=part,
        language=language.code,
        title=language.text(f"part.{part}"),
        vehicle=named(vehicle.name) or language.text("unnamed"),
        system=f"{vehicle.system_v} V",
        date=language.moment(made.date),
        warning=language.text("one_vehicle"),
        page=language.texts["page"],
        continued=language.texts["continued"],
        sections=tuple(BUILDERS[part](subject)),
    )
