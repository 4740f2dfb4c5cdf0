"""The PDFs, read back with an independent library: nothing is lost, nothing leaves the page."""

from dataclasses import dataclass
from functools import cache
from typing import Any

import pypdf
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from PySide6.QtGui import QImage

from fusemap.sheet import PARTS, Part, SheetContent, paper_style
from fusemap.sheet.circuit import Circuit
from fusemap.sheet.content import (
    Blanks,
    Bullets,
    Column,
    Facts,
    FindingNote,
    Job,
    LabelSheet,
    LegendCard,
    LidCard,
    Paragraph,
    PhotoPicture,
    PlanView,
    Row,
    Section,
    Steps,
    Table,
    cell_text,
)
from fusemap.sheet.paint import Pages
from fusemap.sheet.paint_flow import Paper
from fusemap.sheet.paint_ink import drawable
from fusemap.vehicle import Vehicle
from tests import strategies
from tests.sheet.conftest import content_of, letters, read_back, squeezed, text_of, vehicles

VEHICLES = vehicles()
CASES = [(name, part) for name in VEHICLES for part in PARTS]
POINTS_PER_MM = 72 / 25.4
ONCE = [HealthCheck.function_scoped_fixture]  # one application serves all examples


@dataclass(frozen=True)
class Printed:
    """A sheet as it was laid out, and as it was read back: texts and where they begin [points]."""

    content: SheetContent
    pages: Pages
    reader: pypdf.PdfReader
    texts: tuple[str, ...]
    places: tuple[tuple[tuple[float, float], ...], ...]

    @property
    def text(self) -> str:
        return "\n".join(self.texts)


@cache
def printed(name: str, part: Part, paper: Paper) -> Printed:
    content = content_of(VEHICLES[name], part)
    pages = Pages(content, paper)
    reader = read_back(pages.pdf())
    read = [text_and_places(page) for page in reader.pages]
    return Printed(content, pages, reader, tuple(t for t, _ in read), tuple(p for _, p in read))


def text_and_places(page: Any) -> tuple[str, tuple[tuple[float, float], ...]]:
    """The text of a page, and where on it every piece begins [points]."""
    found: list[tuple[float, float]] = []

    def visit(text: str, cm: list[float], tm: list[float], font: Any, size: float) -> None:
        if text.strip():
            x = tm[4] * cm[0] + tm[5] * cm[2] + cm[4]
            found.append((x, tm[4] * cm[1] + tm[5] * cm[3] + cm[5]))

    return page.extract_text(visitor_text=visit), tuple(found)


@pytest.fixture(params=CASES, ids=lambda case: f"{case[0]}-{case[1]}")
def a4(request: Any) -> Printed:
    return printed(*request.param, "a4")


PRINTS = [(*case, "a4") for case in CASES] + [("hard_names", part, "letter") for part in PARTS]


@pytest.fixture(params=PRINTS, ids="-".join)
def sheet(request: Any) -> Printed:
    return printed(*request.param)


def printed_texts(content: SheetContent) -> list[str]:
    """Every text that must stand on paper, in full."""
    found = [content.warning]
    for section in content.sections:
        found.append(section.title)
        for block in section.blocks:
            found += block_texts(block)
    return [drawable(text) for text in found if text]


def block_texts(block: Any) -> list[str]:
    match block:
        case Paragraph(text=text):
            return [text]
        case Bullets(items=items):
            return list(items)
        case Steps(title=title, items=items):
            said = (t for step in items for t in (step.text, step.detail, step.caution))
            return [title, *said]
        case Blanks(names=names):
            return list(names)
        case PlanView(panel=panel):
            # a picture may shorten a label, which stands whole beside it
            return [panel.name, *(badge for slot in panel.slots for badge in slot.badges)]
        case LabelSheet(labels=labels):
            return [label.number for label in labels]
        case LegendCard():
            rows = [t for r in block.rows for t in (r.slot, r.what, *r.added, r.rating)]
            return [block.title, *block.heads, *rows, block.warning, block.note, block.scale]
        case PhotoPicture():
            return [block.name, block.note]
        case Circuit():
            return list(block.texts())
        case Facts(rows=rows):
            return [t for name, cell in rows for t in (name, cell_text(cell))]
        case Table(columns=columns, rows=rows):
            heads = [column.title for column in columns]
            return heads + [cell_text(cell) for row in rows for cell in row.cells]
        case FindingNote():
            return [block.word.upper(), block.where, block.what, block.sum, block.remedy]
        case Job():
            facts = [t for pair in block.facts for t in pair]
            figures = [p.load.text for p in block.predicted]
            figures += [p.limit.text for p in block.predicted if p.limit is not None]
            return [block.badge, block.title, *facts, *figures]
        case LidCard():
            entries = [
                t for e in block.entries for t in (e.badge, e.slot, e.accessory, e.fuse, e.note)
            ]
            return [block.title, block.subtitle, *entries, *block.warnings, block.scale]
    return []


def test_no_line_is_lost(sheet: Printed) -> None:
    missing = letters("".join(printed_texts(sheet.content))) - letters(sheet.text)
    assert not missing, dict(missing)


def test_every_short_text_can_be_found_by_searching(a4: Printed) -> None:
    read = squeezed(a4.text)
    for text in printed_texts(a4.content):
        # What is set on one line stands in one piece; letters read from the right come turned.
        if len(text) < 18 and text.isascii():
            assert squeezed(text) in read, text


def test_words_are_parted_by_spaces_and_letters_are_single(a4: Printed) -> None:
    assert "\t" not in a4.text
    assert not set(a4.text) & set("ﬀﬁﬂﬃﬄ")
    assert content_words(a4.content.warning) <= content_words(a4.text)


def content_words(text: str) -> set[str]:
    return set(text.split())


def test_there_are_as_many_pages_as_the_foot_says(sheet: Printed) -> None:
    count = len(sheet.pages)
    assert len(sheet.reader.pages) == count
    for number, text in enumerate(sheet.texts, start=1):
        assert f"Page{number}of{count}" in squeezed(text)


def test_no_text_begins_outside_the_page(sheet: Printed) -> None:
    width, height = (side * POINTS_PER_MM for side in sheet.pages.size_mm)
    for page, places in zip(sheet.reader.pages, sheet.places, strict=True):
        assert abs(float(page.mediabox.width) - width) < 1
        assert abs(float(page.mediabox.height) - height) < 1
        assert places
        for x, y in places:
            assert 10 < x < width - 10
            assert 10 < y < height - 10


def test_nothing_is_drawn_into_the_margins(sheet: Printed) -> None:
    for number in range(len(sheet.pages)):
        assert_blank_margins(sheet.pages.image(number, 40), 9.0)


def assert_blank_margins(image: QImage, margin_mm: float) -> None:
    """All four edges of a page are white."""
    width, height = image.width(), image.height()
    edge = int(width * margin_mm / 210)
    image = image.convertToFormat(QImage.Format.Format_Grayscale8)
    rows = [bytes(image.constScanLine(y))[:width] for y in range(height)]
    assert all(set(row) == {255} for row in (*rows[:edge], *rows[-edge:]))
    assert all(set(row[:edge]) | set(row[-edge:]) == {255} for row in rows)


def test_every_font_is_embedded(a4: Printed) -> None:
    fonts: list[Any] = []
    for page in a4.reader.pages:
        resources: Any = page["/Resources"]
        for font in resources["/Font"].values():
            fonts += [part.get_object() for part in font.get_object()["/DescendantFonts"]]
    assert fonts
    for font in fonts:
        assert "/FontFile2" in font["/FontDescriptor"]


def test_the_pdf_is_vector_and_names_the_vehicle(a4: Printed) -> None:
    for page in a4.reader.pages:
        resources: Any = page["/Resources"]
        drawn = [thing.get_object() for thing in resources.get("/XObject", {}).values()]
        assert not any(thing["/Subtype"] == "/Image" for thing in drawn)
    assert a4.reader.metadata is not None
    assert a4.content.vehicle in (a4.reader.metadata.title or "")


def test_a_text_longer_than_a_page_goes_on() -> None:
    words = " ".join(f"word{n}" for n in range(1500))
    table = Table("t", (Column("a", 1), Column("b", 1)), (Row((words, words)),))
    sections = (
        Section("a", "A", (Paragraph(words), Bullets((words,)), Facts((("fact", words),)))),
        Section("b", "B", (FindingNote("stop", "Stop", words, words, words, words), table)),
    )
    content = SheetContent(
        "sheet", paper_style("en"), "T", "V", "12 V", "14 Mar 2026", "W", sections
    )
    data = Pages(content).pdf()
    read = text_of(data)
    assert len(read_back(data).pages) > 6
    assert letters(words * 9) - letters(read) == {}


def test_without_a_font_for_a_sign_its_number_is_printed() -> None:
    assert drawable("plain") == "plain"
    assert drawable("a\U000f1234b") == "a[U+F1234]b"


@settings(max_examples=12, deadline=None, suppress_health_check=ONCE)
@given(strategies.vehicles(), st.sampled_from(PARTS))
def test_any_vehicle_there_can_be_gives_pages_with_white_margins(
    vehicle: Vehicle, part: Part
) -> None:
    content = content_of(vehicle, part)
    pages = Pages(content)
    missing = letters("".join(printed_texts(content))) - letters(text_of(pages.pdf()))
    # a lone part of a Korean syllable is drawn, but read back as another sign
    assert not {sign: count for sign, count in missing.items() if sign < "\u0250"}
    assert_blank_margins(pages.image(len(pages) - 1, 40), 9.0)
