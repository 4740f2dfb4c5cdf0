"""What goes on paper, looked at before it is printed or saved.

A stage of the job. Choose the part, the paper, the language and the units; the pages shown are
drawn by the same painter as the printed ones. In: the document. Out: PDF, pictures, CSV, or a
printer. The sheet's language and units are chosen here and do not change the screen's.
"""

from datetime import date
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path
from typing import Any

from PySide6.QtCore import QMarginsF, QSizeF, Qt
from PySide6.QtGui import QPageLayout, QPageSize, QPainter, QShowEvent
from PySide6.QtPrintSupport import QPrintDialog, QPrinter
from PySide6.QtWidgets import (
    QDialog,
    QFileDialog,
    QFormLayout,
    QFrame,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QScrollArea,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from fusemap.errors import FileProblem
from fusemap.files.atomic import write_whole
from fusemap.sheet import LANGUAGES, Made, Part, SheetContent, paper_style, sheet_content
from fusemap.sheet.csv_tables import csv_files
from fusemap.sheet.paint import Pages, one_pdf
from fusemap.text import Style, say
from fusemap.vehicle import Vehicle
from fusemap.window.document import Document
from fusemap.window.pages.page_view import PageView
from fusemap.window.pages.paper_labels import LabelChoice
from fusemap.window.pages.paper_ticks import PaperTicks
from fusemap.window.parts.choice import Choice
from fusemap.window.parts.export import ask_where, file_name
from fusemap.window.settings import Settings
from fusemap.window.style.theme import space


class PrintPreview(QWidget):
    """The pages of one part, with what can be done with them.

    `style` is the screen's; the pages begin with its language and units. `settings` remember which
    parts go into one PDF.
    """

    def __init__(
        self,
        document: Document,
        style: Style,
        settings: Settings | None = None,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.document = document
        self._screen = style
        self.setObjectName("printPreview")
        self.setAccessibleName(self.tr("Paper"))
        self._stale = False
        self.content: SheetContent | None = None
        self.pages: Pages | None = None
        self.view = PageView()
        self.part = self._choice("printPart", self.tr("What"), self._parts())
        self.paper = self._choice("printPaper", self.tr("Paper"), self._papers())
        self.language = self._choice("printLanguage", self.tr("Language"), self._languages())
        self.units = self._choice("printUnits", self.tr("Units"), self._units())
        self.labels = LabelChoice(document, style, settings)
        self.ticks = PaperTicks(document, settings, self._parts())
        self.number = QLabel()
        self.number.setObjectName("printNumber")
        self._lay_out()
        self._choose_usual()
        self.view.turned.connect(self._show_number)
        self.labels.changed.connect(self.refresh)
        document.changed.connect(self._vehicle_changed)
        self.refresh()

    # --- choices --------------------------------------------------------------------------------

    def _parts(self) -> list[tuple[str, str]]:
        return [
            ("sheet", self.tr("Installation sheet")),
            ("diagram", self.tr("Circuit diagram")),
            ("labels", self.tr("Cable labels, true size")),
            ("lid", self.tr("Lid card, true size")),
            ("map", self.tr("Panel map")),
            ("probing", self.tr("Probing list, blank")),
            ("record", self.tr("Record")),
        ]

    def _papers(self) -> list[tuple[str, str]]:
        return [("a4", self.tr("A4")), ("letter", self.tr("Letter"))]

    def _languages(self) -> list[tuple[str, str]]:
        return list(LANGUAGES.items())

    def _units(self) -> list[tuple[str, str]]:
        return [
            ("metric", self.tr("mm², m, °C")),
            ("us", self.tr("AWG, ft, °F")),
        ]

    def _choice(self, key: str, name: str, choices: list[tuple[str, str]]) -> Choice:
        box = Choice.among(key, name, choices)
        box.currentIndexChanged.connect(self.refresh)
        return box

    def _choose_usual(self) -> None:
        """Begin with the screen's language and units, and with its paper."""
        feet = self._screen.length == "ft"
        for box, value in (
            (self.language, self._screen.language),
            (self.units, "us" if feet else "metric"),
            (self.paper, "letter" if feet else "a4"),
        ):
            box.show_value(value)

    # --- layout ---------------------------------------------------------------------------------

    def _lay_out(self) -> None:
        form = QFormLayout()
        form.setFieldGrowthPolicy(QFormLayout.FieldGrowthPolicy.AllNonFixedFieldsGrow)
        for box in (self.part, self.paper, self.language, self.units):
            form.addRow(box.accessibleName(), box)
        side = QVBoxLayout()
        side.setSpacing(space(self, "small"))
        side.addLayout(form)
        side.addSpacing(space(self, "large"))
        for button in self._buttons():
            side.addWidget(button)
        side.addSpacing(space(self, "large"))
        side.addWidget(self.labels)
        side.addSpacing(space(self, "large"))
        side.addWidget(self.ticks)
        whole = QPushButton(self.tr("Save the ticked as &one PDF…"))
        whole.setObjectName("printWhole")
        whole.clicked.connect(self.save_whole)
        side.addWidget(whole)
        side.addStretch(1)
        pages = QVBoxLayout()
        pages.addWidget(self.view, 1)
        pages.addLayout(self._page_row())
        both = QHBoxLayout(self)
        both.addWidget(_scrolled(side))
        both.addLayout(pages, 1)
        em = self.fontMetrics().height()
        self.resize(em * 56, em * 44)

    def _buttons(self) -> list[QPushButton]:
        made = []
        for key, words, do in (
            ("printNow", self.tr("&Print…"), self.ask_printer),
            ("printPdf", self.tr("Save P&DF…"), self.save_pdf),
            ("printImages", self.tr("Save &images…"), self.save_images),
            ("printTables", self.tr("Save &tables as CSV…"), self.save_tables),
        ):
            button = QPushButton(words)
            button.setObjectName(key)
            button.clicked.connect(do)
            made.append(button)
        return made

    def _page_row(self) -> QHBoxLayout:
        row = QHBoxLayout()
        row.addStretch(1)
        for key, sign, words, do in (
            ("printBack", "‹", self.tr("Previous page"), lambda: self._turn(-1)),
            ("", "", "", None),
            ("printOn", "›", self.tr("Next page"), lambda: self._turn(1)),
            ("printSmaller", "−", self.tr("Smaller"), lambda: self.view.enlarge(-1)),
            ("printLarger", "+", self.tr("Larger"), lambda: self.view.enlarge(1)),
        ):
            if do is None:
                row.addWidget(self.number)
                continue
            button = QToolButton()
            button.setObjectName(key)
            button.setText(sign)
            button.setToolTip(words)
            button.setAccessibleName(words)
            button.clicked.connect(do)
            row.addWidget(button)
        row.addStretch(1)
        return row

    def _turn(self, step: int) -> None:
        self.view.turn_to(self.view.number + step)

    def _show_number(self, number: int) -> None:
        text = self.tr("Page {number} of {count}")
        self.number.setText(text.format(number=number + 1, count=self.view.count))

    # --- pages ----------------------------------------------------------------------------------

    def refresh(self) -> None:
        """Make the pages for what is chosen now."""
        self._stale = False
        self.content = self.make_content()
        self.pages = Pages(self.content, self.paper.currentData())
        self.view.set_pages(self.pages)

    def make_content(self, part: Part | None = None) -> SheetContent:
        """What stands on the pages of a part; of the chosen one where none is named."""
        document, units = self.document, self.units.currentData()
        style = paper_style(self.language.currentData(), units, self._says_ground(units))
        path = document.path
        made = Made(date.today().isoformat(), "" if path is None else path.name, program())
        return sheet_content(
            part or self.part.currentData(),
            document.assessment,
            document.findings,
            style,
            made,
            self.labels.stock,
        )

    def _says_ground(self, units: str) -> bool:
        """Ground as the screen says it, and in American units."""
        return units == "us" or self._screen.ground

    def _vehicle_changed(self, old: Vehicle, new: Vehicle) -> None:
        """Pages out of sight are made anew when they are looked at."""
        self._stale = True
        if self.isVisible():
            self.refresh()

    def showEvent(self, event: QShowEvent) -> None:
        """Catch up with what changed while out of view."""
        super().showEvent(event)
        if self._stale:
            self.refresh()

    def show_part(self, key: str) -> None:
        """Show one of the parts: the sheet, the lid card, the record …"""
        self.part.setCurrentIndex(max(0, self.part.findData(key)))

    @property
    def home(self) -> QWidget:
        """Where the keyboard goes: to what is chosen."""
        return self.part

    # --- what is done with them -----------------------------------------------------------------

    def save_pdf(self) -> QFileDialog:
        """Ask for a name and save the pages as a PDF."""
        return self._ask(self.tr("Save PDF"), ".pdf", self.tr("PDF (*.pdf)"), self.write_pdf)

    def save_whole(self) -> QFileDialog | None:
        """Ask for a name and save all parts that are ticked as one PDF."""
        if not self.ticks.taken:
            problem = FileProblem(say("no part is ticked"), remedy=say("tick what it is to have"))
            self.document.refused.emit(problem)
            return None
        name = file_name(self.document.vehicle.name, self.tr("papers"), ".pdf")
        title, kinds = self.tr("Save as one PDF"), self.tr("PDF (*.pdf)")
        return ask_where(self, self.document, title, name, kinds, self.write_whole)

    def save_images(self) -> QFileDialog:
        """Ask for a name and save every page as a picture."""
        kinds = self.tr("Pictures (*.png)")
        return self._ask(self.tr("Save images"), ".png", kinds, self.write_images)

    def save_tables(self) -> QFileDialog:
        """Ask for a name and save every table as CSV."""
        kinds = self.tr("Tables (*.csv)")
        return self._ask(self.tr("Save tables as CSV"), ".csv", kinds, self.write_tables)

    def _ask(self, title: str, suffix: str, kinds: str, write: Any) -> QFileDialog:
        assert self.content is not None
        name = file_name(self.document.vehicle.name, self.content.title.lower(), suffix)
        return ask_where(self, self.document, title, name, kinds, write)

    def write_pdf(self, path: Path) -> None:
        """Write the PDF. Raises `FileProblem` when it cannot be written."""
        assert self.pages is not None
        write_whole(path, self.pages.pdf())

    def write_whole(self, path: Path) -> None:
        """Write all ticked parts as one PDF. Raises `FileProblem` when it cannot be written."""
        contents = [self.make_content(part) for part in self.ticks.taken]
        parts = [Pages(content, self.paper.currentData()) for content in contents]
        write_whole(path, one_pdf(parts, contents[0].vehicle))
        self.ticks.remember()

    def write_images(self, path: Path) -> list[Path]:
        """Write a picture per page: “name-1.png” and so on, where there are several; which."""
        assert self.pages is not None
        written = []
        for number in range(len(self.pages)):
            several = f"-{number + 1}" if len(self.pages) > 1 else ""
            written.append(path.with_name(f"{path.stem}{several}.png"))
            write_whole(written[-1], self.pages.png(number))
        return written

    def write_tables(self, path: Path) -> list[Path]:
        """Write a file per table: “name-parts.csv” and so on; which."""
        assert self.content is not None
        files = csv_files(self.content)
        if not files:
            raise FileProblem(say("this part has no tables"), str(path))
        written = []
        for name, text in files:
            written.append(path.with_name(f"{path.stem}-{name}.csv"))
            write_whole(written[-1], text.encode("utf-8-sig"))
        return written

    def ask_printer(self) -> QPrintDialog:
        """Ask which printer, then print."""
        assert self.pages is not None
        printer = make_printer(self.pages)
        dialog = QPrintDialog(printer, self)
        dialog.setObjectName("printerDialog")
        dialog.setMinMax(1, len(self.pages))
        dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        dialog.accepted.connect(lambda: self.print_on(printer))
        QDialog.open(dialog)
        return dialog

    def print_on(self, printer: QPrinter) -> None:
        """Print the pages asked for; a printer that does not answer is told as a problem."""
        assert self.pages is not None
        try:
            print_pages(self.pages, printer)
        except FileProblem as problem:
            self.document.refused.emit(problem)


def _scrolled(column: QVBoxLayout) -> QScrollArea:
    """What stands beside the pages, to be scrolled where the window is low."""
    inside, area = QWidget(), QScrollArea()
    inside.setLayout(column)
    column.setContentsMargins(0, 0, space(inside, "small"), 0)
    area.setWidget(inside)
    area.setWidgetResizable(True)
    area.setFrameShape(QFrame.Shape.NoFrame)
    area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
    area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
    bar = area.verticalScrollBar().sizeHint().width()
    area.setMinimumWidth(inside.sizeHint().width() + bar)
    area.setMaximumWidth(inside.sizeHint().width() + bar)
    return area


def make_printer(pages: Pages) -> QPrinter:
    """A printer for these pages, in true size."""
    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    width, height = pages.size_mm
    size = QPageSize(QSizeF(width, height), QPageSize.Unit.Millimeter)
    printer.setPageSize(size)
    printer.setFullPage(True)
    printer.setPageMargins(QMarginsF(0, 0, 0, 0), QPageLayout.Unit.Millimeter)
    printer.setDocName(pages.content.title)
    return printer


def print_pages(pages: Pages, printer: QPrinter) -> None:
    """Draw the pages asked for onto a printer. Raises `FileProblem` where it cannot begin."""
    first = max(1, printer.fromPage())
    last = min(len(pages), printer.toPage() or len(pages))
    painter = QPainter(printer)
    if not painter.isActive():
        raise FileProblem(say("the printer does not answer"), remedy=say("check it, or save a PDF"))
    for number in range(first - 1, last):
        if number >= first:
            printer.newPage()
        pages.draw(painter, number, float(printer.resolution()))
    painter.end()


def program() -> str:
    """The program with its version."""
    try:
        return f"fusemap {version('fusemap')}"
    except PackageNotFoundError:  # run from a folder that was never installed
        return "fusemap"
