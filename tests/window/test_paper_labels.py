"""What labels are printed on: chosen in the preview, typed as own numbers, remembered."""

from pathlib import Path
from typing import Any

import pytest
from PySide6.QtWidgets import QLineEdit

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


def field_of(preview: PrintPreview, key: str) -> QLineEdit:
    field = preview.findChild(QLineEdit, key)
    assert isinstance(field, QLineEdit)
    return field


def type_in(preview: PrintPreview, key: str, value: float | str) -> None:
    field = field_of(preview, key)
    field.setText(str(value))
    field.editingFinished.emit()


def test_it_begins_with_plain_paper(qtbot: Any, document: Document, tmp_path: Path) -> None:
    preview = preview_of(qtbot, document, tmp_path)
    assert preview.labels.stock == PLAIN
    assert not preview.labels.used.isVisible()
    assert not any(box.isVisible() for box in preview.labels.numbers)
    choose(preview, "a4-65")
    assert preview.labels.used.isVisible()
    assert preview.labels.used.text() == "0"
    assert not preview.labels.used.property("wrong")


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
    assert not preview.labels.problem.isVisible(), "it begins with a sheet"
    with qtbot.waitSignal(document.refused) as told:
        type_in(preview, "labelLeft", 200.0)
    assert "beyond the sheet" in str(told.args[0])
    assert preview.labels.stock == PLAIN
    problem = preview.labels.problem
    assert problem.isVisible(), "what is wrong is said where it was typed"
    assert "beyond the sheet" in problem.text()
    type_in(preview, "labelLeft", 5.0)
    assert not problem.isVisible()
    assert preview.labels.stock.left_mm == 5.0


@pytest.mark.parametrize(
    ("key", "typed", "why"),
    [
        ("labelWide", "wide", "not a number"),
        ("labelHigh", "900", "too large"),
        ("labelTop", "", "blank"),
        ("labelAcross", "2.5", "not a whole number"),
        ("labelDown", "0", "too small"),
    ],
)
def test_what_is_no_length_or_count_stays_as_typed_and_is_said_at_its_field(
    qtbot: Any, document: Document, tmp_path: Path, key: str, typed: str, why: str
) -> None:
    preview = preview_of(qtbot, document, tmp_path)
    choose(preview, "own-a4")
    before = preview.labels.stock
    with qtbot.waitSignal(document.refused):
        type_in(preview, key, typed)
    field = field_of(preview, key)
    assert (field.text(), field.property("wrong")) == (typed, True)
    assert why in field.toolTip()
    assert preview.labels.stock == before


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
