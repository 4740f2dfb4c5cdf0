"""Sheets as pages: PDF, pictures, or onto any painter.

In: a `SheetContent` and the paper. Out: `Pages`, which know how many there are and draw each; PDF
with embedded fonts and selectable text, PNG. Needs no display: without an application of its own it
makes one that draws in memory. Lengths are dots of 1/1200 inch.
"""

import os
import re
import sys
from collections.abc import Iterator, Sequence
from typing import Final

from msgspec.structs import replace
from PySide6.QtCore import QBuffer, QByteArray, QIODevice, QMarginsF, QPointF, QRectF, QSizeF
from PySide6.QtGui import QColor, QGuiApplication, QImage, QPageSize, QPainter, QPdfWriter

from fusemap.errors import FileProblem
from fusemap.sheet.circuit import Circuit
from fusemap.sheet.content import (
    Blanks,
    Block,
    Bullets,
    Facts,
    FindingNote,
    Job,
    LabelSheet,
    LegendCard,
    LidCard,
    PanelPicture,
    Paragraph,
    PhotoPicture,
    PlanView,
    Section,
    SheetContent,
    Steps,
    Table,
)
from fusemap.sheet.paint_circuit import circuit_strips
from fusemap.sheet.paint_cover import blank_strips, plan_strips
from fusemap.sheet.paint_flow import (
    SIZES_MM,
    Flow,
    Paper,
    Strip,
    bare_shape,
    bullet_strips,
    fact_strips,
    finding_strips,
    gap,
    heading,
    lines,
    page_shape,
    text_strips,
)
from fusemap.sheet.paint_ink import DOTS, GREY, WHITE, draw_line, mm, pen, pt, set_text
from fusemap.sheet.paint_job import job_strips
from fusemap.sheet.paint_labels import label_strips
from fusemap.sheet.paint_legend import legend_strips
from fusemap.sheet.paint_lid import lid_strips
from fusemap.sheet.paint_panel import panel_strips
from fusemap.sheet.paint_photo import photo_strips
from fusemap.sheet.paint_steps import step_strips
from fusemap.sheet.paint_table import table_strips
from fusemap.sheet.pdf_catalogue import with_bookmarks
from fusemap.text import say

_MAP: Final = re.compile(rb"begincmap\n.*?endcmap", re.DOTALL)
_application: QGuiApplication | None = None


def need_application() -> None:
    """Make sure there is an application to draw with; no display is needed for one of our own."""
    global _application
    if QGuiApplication.instance() is None:
        if sys.platform.startswith("linux"):
            os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
        _application = QGuiApplication(["fusemap"])


class Pages:
    """A sheet laid out on paper."""

    def __init__(self, content: SheetContent, paper: Paper = "a4") -> None:
        need_application()
        self.content = content
        self.paper = paper
        self._bare = content.bare
        self._flow = Flow(page_shape(paper) if self._bare is None else bare_shape(self.size_mm))
        self._heads: list[tuple[str, Strip]] = []
        self._flow.add(self._strips())

    def __len__(self) -> int:
        return len(self._flow.pages)

    @property
    def size_mm(self) -> tuple[float, float]:
        """Width and height of a page; of label stock as it is bought."""
        return SIZES_MM[self.paper] if self._bare is None else self._bare.size_mm

    # --- laying out -----------------------------------------------------------------------------

    def _strips(self) -> Iterator[Strip]:
        wide = self._flow.shape.wide
        if self.content.part != "lid" and self._bare is None:
            yield from self._title(wide)
        for section in self.content.sections:
            strips = [*self._section(section, wide)]
            if section.together:
                strips[:-1] = [replace(strip, keep=True) for strip in strips[:-1]]
            if section.title and strips:
                self._heads.append((section.title, strips[0]))
            yield from strips

    def bookmarks(self) -> list[tuple[str, int]]:
        """The titles of the sections, each with the page it begins on, from 0."""
        pages = enumerate(self._flow.pages)
        on = {id(strip): page for page, strips in pages for _, strip in strips}
        return [(title, on[id(strip)]) for title, strip in self._heads]

    def _section(self, section: Section, wide: float) -> Iterator[Strip]:
        if section.title:
            yield from heading(section.title, wide, section.apart)
        for block in section.blocks:
            yield from self._block(block, wide)

    def _title(self, wide: float) -> Iterator[Strip]:
        content = self.content
        yield from lines(set_text(content.vehicle, wide, 17, bold=True, spacing=1.15), keep_first=9)
        line = f"{content.title} · {content.date} · {content.system}"
        yield from lines(set_text(line, wide, 10, colour=GREY))
        yield gap(pt(4))

    def _block(self, block: Block, wide: float) -> Iterator[Strip]:
        match block:
            case Paragraph():
                yield from text_strips(block, wide)
            case Bullets():
                yield from bullet_strips(block, wide)
            case Steps():
                yield from step_strips(block, wide)
            case Facts():
                yield from fact_strips(block.rows, wide)
            case Blanks():
                yield from blank_strips(block, wide)
            case PlanView():
                yield from plan_strips(block, wide)
            case LabelSheet():
                yield from label_strips(block, wide)
            case Circuit():
                high = self._flow.shape.high - mm(22)
                under_title = high - mm(24) if self.content.part == "diagram" else None
                yield from circuit_strips(block, wide, high, under_title)
            case Table():
                yield from table_strips(block, wide, self.content.style)
            case FindingNote():
                yield from finding_strips(block, wide)
            case PanelPicture():
                yield from panel_strips(block, wide)
            case Job():
                yield from job_strips(block, wide)
            case PhotoPicture():
                yield from photo_strips(block, wide)
            case LegendCard():
                head = f"{self.content.vehicle} · {self.content.date}"
                yield from legend_strips(block, head, wide)
            case LidCard():
                yield from lid_strips(block, self.content.vehicle, self.content.date, wide)

    # --- drawing --------------------------------------------------------------------------------

    def draw(self, painter: QPainter, page: int, dots_per_inch: float) -> None:
        """Draw one page onto a device of that resolution, its corner at the painter's origin."""
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.scale(dots_per_inch / DOTS, dots_per_inch / DOTS)
        if self._bare is None:
            self._frame(painter, page)
        self._flow.draw(painter, page)
        painter.restore()

    def _frame(self, painter: QPainter, page: int) -> None:
        """The head and the foot."""
        shape, content = self._flow.shape, self.content
        titled = page == 0 and content.part != "lid"
        x, wide = shape.left, shape.wide
        head = QRectF(x, mm(10), wide, mm(5))
        if not titled:
            name = QRectF(x, head.top(), wide * 0.62, head.height())
            draw_line(painter, name, content.vehicle, 8, bold=True, colour=GREY)
            part = QRectF(x + wide * 0.64, head.top(), wide * 0.36, head.height())
            right = f"{content.title} · {content.date}"
            draw_line(painter, part, right, 8, align="right", colour=GREY, least=0.7)
            under = head.bottom() + mm(0.6)
            painter.setPen(pen(0.4, GREY))
            painter.drawLine(QPointF(x, under), QPointF(x + wide, under))
        foot = shape.height - mm(14)
        painter.setPen(pen(0.4, GREY))
        painter.drawLine(QPointF(x, foot), QPointF(x + wide, foot))
        below = QRectF(x, foot + mm(1), wide, mm(4))
        draw_line(
            painter, below.adjusted(0, 0, -mm(34), 0), content.warning, 8, bold=True, least=0.7
        )
        page_number = say("Page {page} of {pages}", page=page + 1, pages=len(self))
        number = content.style.show(page_number)
        draw_line(painter, below, number, 8, align="right", colour=GREY)

    # --- files ----------------------------------------------------------------------------------

    def pdf(self) -> bytes:
        """The whole as a PDF, vector, with its fonts. Raises `FileProblem` where Qt cannot."""
        return one_pdf((self,), f"{self.content.vehicle} – {self.content.title}")

    def image(self, page: int, dots_per_inch: float = 150.0) -> QImage:
        """One page as a picture."""
        width, height = self.size_mm
        size = (round(width / 25.4 * dots_per_inch), round(height / 25.4 * dots_per_inch))
        image = QImage(*size, QImage.Format.Format_RGB32)
        image.fill(QColor(WHITE))
        painter = QPainter(image)
        painter.setRenderHint(QPainter.RenderHint.TextAntialiasing)
        self.draw(painter, page, dots_per_inch)
        painter.end()
        return image

    def png(self, page: int, dots_per_inch: float = 150.0) -> bytes:
        """One page as a PNG."""
        data = QByteArray()
        buffer = QBuffer(data)
        buffer.open(QIODevice.OpenModeFlag.WriteOnly)
        self.image(page, dots_per_inch).save(buffer, "PNG")  # type: ignore[call-overload]
        return bytes(data.data())


def one_pdf(parts: Sequence[Pages], title: str) -> bytes:
    """Parts of one paper, one after the other, as one PDF; of several each has a bookmark.

    All have the language of the first, each pages of its own size. Raises `FileProblem` where Qt
    cannot.
    """
    data = QByteArray()
    buffer = QBuffer(data)
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    writer = QPdfWriter(buffer)
    writer.setResolution(DOTS)
    writer.setPageSize(_page_size(parts[0]))
    writer.setPageMargins(QMarginsF(0, 0, 0, 0))
    writer.setTitle(title)
    writer.setCreator("fusemap")
    painter = QPainter(writer)
    if not painter.isActive():
        raise FileProblem("the PDF could not be drawn", remedy="free some memory, try again")
    marks: list[tuple[str, int]] = []
    drawn = 0
    for part in parts:
        if len(parts) > 1:
            marks.append((part.content.title, drawn))
        marks += [(name, drawn + page) for name, page in part.bookmarks()]
        for page in range(len(part)):
            if drawn:
                writer.setPageSize(_page_size(part))
                writer.newPage()
            part.draw(painter, page, DOTS)
            drawn += 1
    painter.end()
    buffer.close()
    made = searchable(bytes(data.data()))
    return with_bookmarks(made, parts[0].content.style.language, marks)


def _page_size(part: Pages) -> QPageSize:
    width, height = part.size_mm
    return QPageSize(QSizeF(width, height), QPageSize.Unit.Millimeter)


def searchable(pdf: bytes) -> bytes:
    """A PDF with spaces for tabs in what its glyphs mean, so that two words are found as two.

    Qt notes the glyph of the space as a tab (U+0009), the first sign drawn with it; some viewers
    then find no text of two words. What is put in is as long as what goes, so that every offset in
    the file stays true. Source: ISO 32000-1, 9.10.3 (ToUnicode CMaps).

    >>> searchable(b"begincmap\\n[<0009> <0041>] endcmap <0009>")
    b'begincmap\\n[<0020> <0041>] endcmap <0009>'
    """
    return _MAP.sub(lambda found: found[0].replace(b"<0009>", b"<0020>"), pdf)
