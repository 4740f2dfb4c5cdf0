"""What labels are printed on: chosen in the preview, typed as own numbers, remembered."""

from pathlib import Path
from typing import Any

import pytest
from PySide6.QtWidgets import QDoubleSpinBox

from fusemap.files import demos
from fusemap.sheet.stock import PLAIN, STOCKS
from fusemap.text import ENGLISH
from fusemap.window.document import Document
from fusemap.window.pages.print_preview import PrintPreview
from fusemap.window.settings import Settings


@pytest.fixture
def document() -> Document:
    return Document(demos.read_demo("small_old_car"), Path("car.fusemap"))


def preview_of(qtbot: Any, document: Document, folder: Path) -> PrintPreview:
    made = PrintPreview(document, ENGLISH, Settings(folder))
    qtbot.addWidget(made)
    made.show_part("labels")
    made.show()
    return made


def choose(preview: PrintPreview, name: str) -> None:
    preview.labels.kind.setCurrentIndex(preview.labels.kind.findData(name))


def type_in(preview: PrintPreview, key: str, value: float) -> None:
    box = preview.findChild(QDoubleSpinBox, key)
    assert box is not None
    box.setValue(value)
    box.editingFinished.emit()


def test_it_begins_with_plain_paper(qtbot: Any, document: Document, tmp_path: Path) -> None:
    preview = preview_of(qtbot, document, tmp_path)
    assert preview.labels.stock == PLAIN
    assert not preview.labels.used.isVisible()
    assert not any(box.isVisible() for box in preview.labels.numbers)


def test_what_is_chosen_is_on_the_page_at_once(
    qtbot: Any, document: Document, tmp_path: Path
) -> None:
    preview = preview_of(qtbot, document, tmp_path)
    for name, stock in STOCKS.items():
        choose(preview, name)
        assert preview.labels.stock == stock
        assert preview.pages is not None
        if stock.kind != "plain":
            assert preview.pages.size_mm == stock.size_mm
        assert preview.labels.used.isVisible() == (stock.kind == "sheet")


def test_used_labels_are_left_out_and_not_remembered(
    qtbot: Any, document: Document, tmp_path: Path
) -> None:
    preview = preview_of(qtbot, document, tmp_path)
    choose(preview, "a4-65")
    preview.labels.used.setValue(64)
    assert preview.labels.stock.taken == 64
    assert preview.view.count == 2
    assert preview_of(qtbot, document, tmp_path).labels.stock == STOCKS["a4-65"]


def test_own_numbers_are_a_sheet_and_remembered(
    qtbot: Any, document: Document, tmp_path: Path
) -> None:
    preview = preview_of(qtbot, document, tmp_path)
    choose(preview, "own-a4")
    assert all(box.isVisible() for box in preview.labels.numbers)
    for key, value in (("labelAcross", 2), ("labelWide", 90), ("labelPitchX", 95)):
        type_in(preview, key, value)
    assert preview.labels.stock.wide_mm == 90
    again = preview_of(qtbot, document, tmp_path).labels
    assert again.stock == preview.labels.stock
    assert again.kind.currentData() == "own-a4"


def test_numbers_of_no_sheet_are_told_and_print_on_plain_paper(
    qtbot: Any, document: Document, tmp_path: Path
) -> None:
    preview = preview_of(qtbot, document, tmp_path)
    choose(preview, "own-letter")
    with qtbot.waitSignal(document.refused) as told:
        type_in(preview, "labelLeft", 200.0)
    assert "beyond the sheet" in str(told.args[0])
    assert preview.labels.stock == PLAIN


def test_every_vehicle_has_its_own(qtbot: Any, document: Document, tmp_path: Path) -> None:
    preview = preview_of(qtbot, document, tmp_path)
    choose(preview, "tape-12")
    document.set_vehicle(demos.read_demo("courier_van"), Path("van.fusemap"))
    assert preview.labels.stock == PLAIN
    document.set_vehicle(demos.read_demo("small_old_car"), Path("car.fusemap"))
    assert preview.labels.stock == STOCKS["tape-12"]


def test_a_word_in_the_settings_that_is_no_stock_is_plain_paper(
    qtbot: Any, document: Document, tmp_path: Path
) -> None:
    Settings(tmp_path).keep_labels(Path("car.fusemap"), "papyrus 3")
    assert preview_of(qtbot, document, tmp_path).labels.stock == PLAIN
