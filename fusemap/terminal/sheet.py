"""`fusemap sheet FILE OUT`: sheet, circuit diagram, labels, lid card, map, probing list or record.

`--part all` is the whole paper of a job in one PDF: sheet, labels, lid card, map and record.
`--labels` says what labels are printed on: a kind by its name, or the sheet's own numbers in mm.

Writes a PDF with embedded fonts, pictures of the pages (OUT-1.png, OUT-2.png …), every table as
CSV (OUT-parts.csv …), or the circuit diagram as one SVG. Needs no display. Language and units are
the sheet's own; `--units us` puts AWG first, lengths in feet and temperatures in °F, and says
ground for earth.

JSON keys: vehicle, part, paper, language, units, format, pages, files[].
"""

import argparse
from collections.abc import Iterator
from datetime import date
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path
from typing import Any

from fusemap.assess import assess
from fusemap.checks import findings
from fusemap.errors import FileProblem
from fusemap.files.atomic import write_whole
from fusemap.sheet import PARTS, USUAL, Made, SheetContent, sheet_content
from fusemap.sheet.circuit import Circuit
from fusemap.sheet.csv_tables import csv_files
from fusemap.sheet.stock import STOCKS
from fusemap.sheet.stock import read as read_stock
from fusemap.terminal.command import (
    DEMO,
    Answer,
    Parsers,
    add_command,
    add_vehicle,
    style_of,
    vehicle_of,
)
from fusemap.text import say
from fusemap.vehicle import Vehicle

FORMATS = ("pdf", "png", "csv", "svg")
PAPERS = ("a4", "letter")
ALL = "all"
"""The whole paper of a job."""


def add(commands: Parsers) -> None:
    """Tell the parser this command's arguments."""
    parser = add_command(
        commands,
        "sheet",
        "what goes on paper: sheet, diagram, labels, lid card, map, probing list, record",
        "Put a vehicle on paper.",
        __doc__ or "",
    )
    add_vehicle(parser)
    parser.add_argument("out", metavar="OUT", help="the file to write, such as sheet.pdf")
    parser.add_argument("--part", choices=(*PARTS, ALL), default="sheet")
    parser.add_argument("--paper", choices=PAPERS, default="a4")
    parser.add_argument(
        "--labels",
        default="plain",
        metavar="STOCK",
        help=f"{', '.join(STOCKS)}, or “a4” or “letter” with width, height, labels across and "
        "down, left and top margin, pitch across and down [mm]",
    )
    parser.add_argument(
        "--format", choices=FORMATS, default=None, help="without it, what OUT ends in, else pdf"
    )


def answer(asked: argparse.Namespace) -> Answer:
    """Write the files. Raises FileProblem for a vehicle that cannot be read or a place to write."""
    vehicle = vehicle_of(asked.file, asked.language)
    contents = make(vehicle, asked)
    kind = wanted_format(asked.out, asked.format)
    if not Path(asked.out).parent.is_dir():
        raise FileProblem(
            say("the folder is not there"), asked.out, say("choose a folder that is there")
        )
    pages, files = 0, []
    for path, data, page in outputs(contents, Path(asked.out), kind, asked.paper):
        write_whole(path, data)
        files.append(str(path))
        pages = max(pages, page)
    answered = {
        "vehicle": vehicle.name,
        "part": asked.part,
        "paper": asked.paper,
        "language": asked.language,
        "units": asked.units,
        "format": kind,
        "pages": pages,
        "files": files,
    }
    return Answer(0, answered, files)


def make(vehicle: Vehicle, asked: argparse.Namespace) -> tuple[SheetContent, ...]:
    """The part that was asked for, or all of them, made today."""
    assessment, stock = assess(vehicle), read_stock(asked.labels)
    found = findings(vehicle, assessment)
    # a demo vehicle stands in no file of the user's
    file = "" if asked.file.startswith(DEMO) else Path(asked.file).name
    made = Made(date.today().isoformat(), file, program())
    parts = USUAL if asked.part == ALL else (asked.part,)
    return tuple(
        sheet_content(part, assessment, found, style_of(asked), made, stock) for part in parts
    )


def program() -> str:
    """The program with its version."""
    try:
        return f"fusemap {version('fusemap')}"
    except PackageNotFoundError:  # run from a folder that was never installed
        return "fusemap"


def wanted_format(out: str, given: str | None) -> str:
    """What to write: as given, else by the ending of the name, else a PDF.

    >>> wanted_format("a.png", None), wanted_format("a.out", None), wanted_format("a.png", "csv")
    ('png', 'pdf', 'csv')
    """
    ending = Path(out).suffix.removeprefix(".").lower()
    return given or (ending if ending in FORMATS else "pdf")


def outputs(
    contents: tuple[SheetContent, ...], out: Path, kind: str, paper: Any
) -> Iterator[tuple[Path, bytes, int]]:
    """Every file to write: its place, what is in it, and the number of its last page.

    Raises FileProblem for several parts in anything but a PDF.
    """
    if len(contents) > 1:
        yield whole(contents, out, kind, paper)
        return
    (content,) = contents
    if kind == "csv":
        yield from (
            (beside(out, name, ".csv"), text.encode("utf-8-sig"), 0)
            for name, text in csv_files(content)
        )
        return
    # Qt takes longer to load than all else, and tables need none
    from fusemap.sheet.paint import Pages, need_application

    if kind == "svg":
        need_application()
        yield out, diagram_svg(content), 1
        return
    pages = Pages(content, paper)
    if kind == "pdf":
        yield out, pages.pdf(), len(pages)
        return
    for page in range(len(pages)):
        path = out if len(pages) == 1 else beside(out, str(page + 1), ".png")
        yield path, pages.png(page), page + 1


def whole(
    contents: tuple[SheetContent, ...], out: Path, kind: str, paper: Any
) -> tuple[Path, bytes, int]:
    """All parts as one PDF. Raises FileProblem for any other format."""
    # Qt takes longer to load than all else
    from fusemap.sheet.paint import Pages, one_pdf

    if kind != "pdf":
        raise FileProblem(
            say("all parts together are a PDF"), remedy=say("ask for one part, or for a PDF")
        )
    parts = [Pages(content, paper) for content in contents]
    return out, one_pdf(parts, contents[0].vehicle), sum(len(part) for part in parts)


def diagram_svg(content: SheetContent) -> bytes:
    """The circuit diagram of a part as an SVG. Raises FileProblem for a part that has none."""
    # Qt takes longer to load than all else, and tables need none
    from fusemap.sheet.paint_circuit import circuit_svg

    found = next((block for block in content.blocks() if isinstance(block, Circuit)), None)
    if found is None:
        raise FileProblem(
            say("this part has no drawing that can be an SVG"),
            remedy=say("ask for the circuit diagram: --part diagram"),
        )
    return circuit_svg(found, f"{content.vehicle} – {content.title}")


def beside(out: Path, name: str, suffix: str) -> Path:
    """A file beside another, with a name added.

    >>> beside(Path("van.csv"), "parts", ".csv").name
    'van-parts.csv'
    """
    stem = out.stem if out.suffix.lower().removeprefix(".") in FORMATS else out.name
    return out.with_name(f"{stem}-{name}{suffix}")
