"""The print preview: pages before they are printed, and every way to take them along."""

from pathlib import Path
from typing import Any

import pypdf
import pytest
from PySide6.QtCore import Qt
from PySide6.QtPrintSupport import QPrinter
from PySide6.QtWidgets import QCheckBox, QComboBox, QFileDialog, QPushButton, QToolButton

from fusemap.files import demos
from fusemap.sheet import PARTS
from fusemap.sheet.content import Paragraph
from fusemap.sheet.paint import Pages
from fusemap.text import ENGLISH
from fusemap.vehicle import Vehicle, edits
from fusemap.window.document import Document
from fusemap.window.main_window import MainWindow
from fusemap.window.pages.print_preview import (
    PrintPreview,
    make_printer,
    print_pages,
)
from fusemap.window.settings import Settings


@pytest.fixture
def document() -> Document:
    return Document(demos.read_demo("small_old_car"), Path("car.fusemap"))


@pytest.fixture
def preview(qtbot: Any, document: Document) -> PrintPreview:
    made = PrintPreview(document, ENGLISH)
    qtbot.addWidget(made)
    made.show()
    return made


def choose(preview: PrintPreview, key: str, value: str) -> None:
    box = preview.findChild(QComboBox, key)
    assert box is not None
    box.setCurrentIndex(box.findData(value))


def press(qtbot: Any, preview: PrintPreview, key: str) -> None:
    button = preview.findChild(QPushButton, key) or preview.findChild(QToolButton, key)
    qtbot.mouseClick(button, Qt.MouseButton.LeftButton)


class TestChoices:
    def test_it_opens_on_the_installation_sheet(self, preview: PrintPreview) -> None:
        assert preview.isVisible()
        assert preview.content is not None
        assert preview.content.part == "sheet"
        assert preview.number.text() == f"Page 1 of {len(preview.pages or ())}"

    @pytest.mark.parametrize("part", PARTS)
    def test_every_part_can_be_looked_at(self, preview: PrintPreview, part: str) -> None:
        choose(preview, "printPart", part)
        assert preview.content is not None
        assert preview.content.part == part
        assert preview.view.count >= 1

    def test_the_language_of_the_sheet_leaves_the_screens_alone(
        self, preview: PrintPreview
    ) -> None:
        choose(preview, "printLanguage", "de")
        assert preview.content is not None
        assert preview.content.title == "Einbaublatt"
        assert preview.accessibleName() == "Paper"
        assert preview.findChild(QPushButton, "printPdf").text() == "Save P&DF…"

    def test_american_units_put_the_gauge_first(self, preview: PrintPreview) -> None:
        choose(preview, "printUnits", "us")
        assert preview.content is not None
        parts = next(table for table in preview.content.tables() if table.key == "parts")
        assert any(str(row.cells[0]).startswith("AWG") for row in parts.rows)

    def test_the_paper_has_its_size(self, preview: PrintPreview) -> None:
        choose(preview, "printPaper", "letter")
        assert preview.pages is not None
        assert preview.pages.size_mm == (215.9, 279.4)

    def test_an_edit_is_on_the_page_at_once(
        self, preview: PrintPreview, document: Document
    ) -> None:
        document.apply("add", edits.add_accessory, "Cool box", watts=40.0)
        assert preview.content is not None
        texts = [b.text for b in preview.content.blocks() if isinstance(b, Paragraph)]
        assert any("Cool box" in text for text in texts)


class TestTurning:
    def test_keys_and_buttons_turn_the_pages_and_stop_at_the_ends(
        self, qtbot: Any, preview: PrintPreview
    ) -> None:
        last = preview.view.count - 1
        assert last > 0
        press(qtbot, preview, "printBack")
        assert preview.view.number == 0
        press(qtbot, preview, "printOn")
        assert preview.view.number == 1
        qtbot.keyClick(preview.view, Qt.Key.Key_PageUp)
        assert preview.view.number == 0
        qtbot.keyClick(preview.view, Qt.Key.Key_End)
        assert preview.view.number == last
        qtbot.keyClick(preview.view, Qt.Key.Key_PageDown)
        assert preview.view.number == last
        assert preview.number.text() == f"Page {last + 1} of {last + 1}"

    def test_a_page_is_fitted_and_can_be_enlarged(self, qtbot: Any, preview: PrintPreview) -> None:
        fitted = preview.view.page.width()
        assert fitted <= preview.view.viewport().width()
        for _ in range(4):
            press(qtbot, preview, "printLarger")
        assert preview.view.page.width() > fitted * 1.5

    def test_what_is_shown_is_the_page(self, preview: PrintPreview) -> None:
        shown = preview.view.page.grab().toImage()
        dark = sum(
            shown.pixelColor(x, y).lightness() < 128
            for x in range(0, shown.width(), 3)
            for y in range(0, shown.height(), 3)
        )
        assert dark > 30


class TestSaving:
    def test_a_pdf(self, preview: PrintPreview, tmp_path: Path) -> None:
        preview.write_pdf(tmp_path / "car.pdf")
        reader = pypdf.PdfReader(tmp_path / "car.pdf")
        assert len(reader.pages) == preview.view.count
        assert "Small old car" in reader.pages[0].extract_text()
        assert "car.fusemap" in "".join(page.extract_text() for page in reader.pages)

    def test_a_picture_of_every_page(self, preview: PrintPreview, tmp_path: Path) -> None:
        preview.write_images(tmp_path / "car.png")
        names = sorted(path.name for path in tmp_path.glob("*.png"))
        assert len(names) == preview.view.count
        assert names[0] == "car-1.png"
        assert (tmp_path / "car-1.png").read_bytes().startswith(b"\x89PNG")

    def test_a_file_for_every_table(self, preview: PrintPreview, tmp_path: Path) -> None:
        preview.write_tables(tmp_path / "car.csv")
        names = {path.name for path in tmp_path.glob("*.csv")}
        assert {"car-parts.csv", "car-checks.csv", "car-findings.csv"} <= names

    @pytest.mark.parametrize(
        ("key", "suffix"), [("printPdf", "pdf"), ("printImages", "png"), ("printTables", "csv")]
    )
    def test_the_buttons_ask_where_with_a_name_that_fits(
        self, qtbot: Any, preview: PrintPreview, key: str, suffix: str
    ) -> None:
        press(qtbot, preview, key)
        dialog = preview.findChild(QFileDialog)
        assert dialog is not None
        assert dialog.defaultSuffix() == suffix
        assert Path(dialog.selectedFiles()[0]).name == f"Small old car installation sheet.{suffix}"
        dialog.close()

    def test_a_place_that_cannot_be_written_to_is_told(
        self, qtbot: Any, preview: PrintPreview, document: Document, tmp_path: Path
    ) -> None:
        press(qtbot, preview, "printPdf")
        dialog = preview.findChild(QFileDialog)
        assert dialog is not None
        with qtbot.waitSignal(document.refused) as told:
            dialog.fileSelected.emit(str(tmp_path / "gone" / "x.pdf"))
        assert "the folder is not there" in str(told.args[0])
        dialog.close()

    @pytest.mark.parametrize(
        ("key", "name"), [("printPdf", "car.pdf"), ("printImages", "car.png"),
                          ("printTables", "car.csv")],
    )  # fmt: skip
    def test_what_was_written_is_told_with_where(
        self, qtbot: Any, preview: PrintPreview, document: Document, tmp_path: Path,
        key: str, name: str,
    ) -> None:  # fmt: skip
        press(qtbot, preview, key)
        dialog = preview.findChild(QFileDialog)
        assert dialog is not None
        with qtbot.waitSignal(document.told) as told:
            dialog.fileSelected.emit(str(tmp_path / name))
        files = list(tmp_path.glob(f"*.{name.rpartition('.')[2]}"))
        assert str(tmp_path) in told.args[0]
        several = f"as {len(files)} files"
        assert (name if len(files) == 1 else several) in told.args[0]
        dialog.close()


class TestAllOfIt:
    def ticks(self, preview: PrintPreview) -> dict[str, bool]:
        boxes = preview.ticks.findChildren(QCheckBox)
        return {box.objectName().removeprefix("tick_"): box.isChecked() for box in boxes}

    def tick(self, qtbot: Any, preview: PrintPreview, part: str) -> None:
        qtbot.keyClick(preview.findChild(QCheckBox, f"tick_{part}"), Qt.Key.Key_Space)

    def test_there_is_a_tick_for_every_part(self, preview: PrintPreview) -> None:
        assert tuple(self.ticks(preview)) == PARTS
        assert preview.ticks.taken == ("sheet", "labels", "lid", "map", "record")

    def test_one_pdf_has_every_ticked_part_with_a_bookmark(
        self, qtbot: Any, preview: PrintPreview, tmp_path: Path
    ) -> None:
        for part in ("map", "record", "diagram"):
            self.tick(qtbot, preview, part)
        preview.write_whole(tmp_path / "all.pdf")
        reader = pypdf.PdfReader(tmp_path / "all.pdf")
        counts = [
            len(Pages(preview.make_content(part)))
            for part in ("sheet", "diagram", "labels", "lid")
        ]  # fmt: skip
        assert len(reader.pages) == sum(counts)
        marks = {
            str(mark.title): reader.get_destination_page_number(mark)
            for mark in reader.outline
            if isinstance(mark, pypdf.generic.Destination)
        }
        assert marks["Installation sheet"] == 0
        assert marks["Circuit diagram"] == counts[0]
        assert marks["Lid card"] == sum(counts[:3])
        assert "Record" not in marks

    def test_the_ticks_are_remembered_for_each_vehicle(self, qtbot: Any, tmp_path: Path) -> None:
        settings = Settings(tmp_path)
        document = Document(demos.read_demo("small_old_car"), Path("car.fusemap"))
        first = PrintPreview(document, ENGLISH, settings)
        qtbot.addWidget(first)
        self.tick(qtbot, first, "lid")
        document.set_vehicle(demos.read_demo("courier_van"), Path("van.fusemap"))
        assert first.ticks.taken == ("sheet", "labels", "lid", "map", "record")
        again = PrintPreview(document, ENGLISH, Settings(tmp_path))
        qtbot.addWidget(again)
        document.set_vehicle(demos.read_demo("small_old_car"), Path("car.fusemap"))
        assert again.ticks.taken == ("sheet", "labels", "map", "record")

    def test_with_none_ticked_it_says_so(
        self, qtbot: Any, preview: PrintPreview, document: Document
    ) -> None:
        for part in preview.ticks.taken:
            self.tick(qtbot, preview, part)
        with qtbot.waitSignal(document.refused) as told:
            press(qtbot, preview, "printWhole")
        assert "no part is ticked" in str(told.args[0])

    def test_the_button_and_the_menu_ask_where(self, qtbot: Any, preview: PrintPreview) -> None:
        press(qtbot, preview, "printWhole")
        dialog = preview.findChild(QFileDialog)
        assert dialog is not None
        assert Path(dialog.selectedFiles()[0]).name == "Small old car papers.pdf"
        dialog.close()
        window = MainWindow(Document(), Settings())
        qtbot.addWidget(window, before_close_func=lambda w: w.document.stack.setClean())
        window.show()
        window.files.open_demo("")
        action = window.actions_.by_key["papers"]
        assert action.shortcut().toString() == "Ctrl+Alt+P"
        action.trigger()
        assert window.tasks.shown == "paper"
        asked = window.work.paper.findChild(QFileDialog)
        assert asked is not None
        asked.close()


class TestPrinting:
    def test_a_printer_gets_every_page_in_true_size(
        self, preview: PrintPreview, tmp_path: Path
    ) -> None:
        assert preview.pages is not None
        printer = to_file(preview, tmp_path / "out.pdf")
        print_pages(preview.pages, printer)
        reader = pypdf.PdfReader(tmp_path / "out.pdf")
        assert len(reader.pages) == len(preview.pages)
        assert float(reader.pages[0].mediabox.width) == pytest.approx(595.3, abs=1)
        assert "Small old car" in words(reader.pages[0])

    def test_only_the_pages_asked_for(self, preview: PrintPreview, tmp_path: Path) -> None:
        assert preview.pages is not None
        printer = to_file(preview, tmp_path / "out.pdf")
        printer.setFromTo(2, 3)
        print_pages(preview.pages, printer)
        reader = pypdf.PdfReader(tmp_path / "out.pdf")
        assert len(reader.pages) == 2
        assert "Page 2" in words(reader.pages[0])

    @pytest.mark.qt_log_ignore("QPainter::begin", extend=True)
    def test_a_printer_that_fails_is_told(
        self, qtbot: Any, preview: PrintPreview, document: Document, tmp_path: Path
    ) -> None:
        printer = to_file(preview, tmp_path / "gone" / "out.pdf")
        with qtbot.waitSignal(document.refused) as told:
            preview.print_on(printer)
        assert "does not answer" in str(told.args[0])


def words(page: pypdf.PageObject) -> str:
    """The text of a page; a printer's own PDF parts words by tabs."""
    return page.extract_text().replace("\t", " ")


def to_file(preview: PrintPreview, path: Path) -> QPrinter:
    """A printer that prints into a file."""
    assert preview.pages is not None
    printer = make_printer(preview.pages)
    printer.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
    printer.setOutputFileName(str(path))
    return printer


def test_every_control_has_a_name_for_screen_readers(preview: PrintPreview) -> None:
    for box in preview.findChildren(QComboBox):
        assert box.accessibleName()
    for button in preview.findChildren(QToolButton):
        assert button.accessibleName()


def test_an_empty_vehicle_can_be_looked_at(qtbot: Any) -> None:
    made = PrintPreview(Document(Vehicle(name="")), ENGLISH)
    qtbot.addWidget(made)
    assert made.view.count == 1


def test_the_menu_opens_it(qtbot: Any) -> None:
    window = MainWindow(Document(), Settings())
    qtbot.addWidget(window, before_close_func=lambda w: w.document.stack.setClean())
    window.show()
    window.files.open_demo("")
    window.actions_.by_key["print"].trigger()
    preview = window.findChild(PrintPreview)
    assert preview is not None
    assert preview.isVisible()
    assert window.tasks.shown == "paper"
    window.document.told.emit("Saved to there")
    assert window.message.text == "Saved to there", "what a page has written is told by the window"
    made_of = preview.pages
    window.tasks.show("plan")
    window.document.apply("Name", edits.change_vehicle, name="Bus")
    assert preview.pages is made_of, "nothing is drawn that nobody sees"
    window.tasks.show("paper")
    assert preview.pages is not made_of
