"""Labels on the stock that was bought: their true size and place, measured from the PDF."""

from itertools import pairwise
from typing import Any

import pytest

from fusemap.assess import assess
from fusemap.errors import InputProblem
from fusemap.sheet import paper_style, sheet_content
from fusemap.sheet.content import LabelSheet, SheetContent
from fusemap.sheet.paint import Pages, one_pdf
from fusemap.sheet.stock import PLAIN, STOCKS, Stock, own_sheet, read, written
from tests import trade_vehicles
from tests.sheet.conftest import MADE, content_of, read_back
from tests.sheet.test_instruction import VEHICLES
from tests.sheet.test_type_size import POINTS_PER_MM, rectangles_mm

SHEETS = [name for name, stock in STOCKS.items() if stock.kind == "sheet"]
TAPES = [name for name, stock in STOCKS.items() if stock.kind == "tape"]


def labels(stock: Stock, name: str = "family_estate", **changed: Any) -> SheetContent:
    fields = {each: getattr(stock, each) for each in Stock.__struct_fields__}
    style = paper_style("en")
    a = assess(VEHICLES[name])
    return sheet_content("labels", a, (), style, MADE, Stock(**(fields | changed)))


def numbers_mm(page: Any) -> list[tuple[str, float, float]]:
    """Every cable's number on a page, and where it begins [mm from the top left]."""
    found = []

    def visit(text: str, cm: list[float], tm: list[float], font: Any, size: float) -> None:
        if text.strip().startswith("W") and len(text.strip()) < 6:
            x = tm[4] * cm[0] + tm[5] * cm[2] + cm[4]
            y = tm[4] * cm[1] + tm[5] * cm[3] + cm[5]
            high = float(page.mediabox.height)
            found.append((text.strip(), x / POINTS_PER_MM, (high - y) / POINTS_PER_MM))

    page.extract_text(visitor_text=visit)
    return found


@pytest.mark.parametrize("name", SHEETS)
def test_on_a_sheet_every_label_lies_where_the_sheet_has_it(name: str) -> None:
    stock = STOCKS[name]
    page = read_back(Pages(labels(stock)).pdf()).pages[0]
    size = float(page.mediabox.width), float(page.mediabox.height)
    assert [side / POINTS_PER_MM for side in size] == pytest.approx(stock.size_mm, abs=0.2)
    found = numbers_mm(page)
    assert len(found) == min(24, stock.across * stock.down)
    for index, (_, x, y) in enumerate(found):
        row, column = divmod(index, stock.across)
        left = stock.left_mm + column * stock.pitch_x_mm
        top = stock.top_mm + row * stock.pitch_y_mm
        assert left < x < left + 3
        assert top < y < top + stock.high_mm
    across = [b[1] - a[1] for a, b in pairwise(found[: stock.across])]
    assert across == pytest.approx([stock.pitch_x_mm] * len(across), abs=0.1)
    down = found[stock.across][2] - found[0][2]
    assert down == pytest.approx(stock.pitch_y_mm, abs=0.1)


@pytest.mark.parametrize("name", TAPES)
def test_of_a_tape_every_label_is_a_page_as_wide_as_the_tape(name: str) -> None:
    stock = STOCKS[name]
    pages = read_back(Pages(labels(stock)).pdf()).pages
    assert len(pages) == 24
    for page in pages:
        high, wide = float(page.mediabox.height), float(page.mediabox.width)
        assert high / POINTS_PER_MM == pytest.approx(stock.high_mm, abs=0.2)
        assert wide / POINTS_PER_MM == pytest.approx(stock.wide_mm, abs=0.2)
        assert len(numbers_mm(page)) == 1


def test_on_plain_paper_the_lines_to_cut_along_have_the_size() -> None:
    page = read_back(Pages(labels(PLAIN)).pdf()).pages[0]
    cut = [(round(w, 1), round(h, 1)) for w, h in rectangles_mm(page)]
    assert cut.count((38.1, 21.2)) == 24


def test_labels_that_are_used_stay_empty() -> None:
    stock = STOCKS["a4-65"]
    first = numbers_mm(read_back(Pages(labels(stock, taken=7)).pdf()).pages[0])[0]
    assert first[1] == pytest.approx(stock.left_mm + 2 * stock.pitch_x_mm, abs=3)
    assert first[2] == pytest.approx(stock.top_mm + stock.pitch_y_mm, abs=stock.high_mm)
    assert len(Pages(labels(stock, taken=60))) == 2


def test_a_users_own_numbers_are_a_sheet() -> None:
    own = read("a4 70 37 3 8 0 0 70 37")
    assert (own.across, own.down, own.size_mm) == (3, 8, (210.0, 297.0))
    assert read(written(own)) == own
    assert all(read(written(stock)) == stock for stock in STOCKS.values())


@pytest.mark.parametrize(
    ("word", "told"),
    [
        ("a4 70 37 3 8", "eight numbers"),
        ("a4 70 37 3 8 0 0 60 37", "lie on each other"),
        ("a4 70 37 4 8 0 0 70 37", "beyond the sheet"),
        ("a4 70 37 2.5 8 0 0 70 37", "whole number"),
        ("a4 70 2 3 8 0 0 70 37", "at least 3"),
        ("a4 nan 37 3 8 0 0 70 37", "eight numbers"),
        ("tape-1000", "no label stock"),
        ("", "no label stock"),
    ],
)
def test_what_is_no_sheet_is_told(word: str, told: str) -> None:
    with pytest.raises(InputProblem, match=told):
        read(word)


def test_every_kind_fits_on_its_sheet() -> None:
    for name in SHEETS:
        stock = STOCKS[name]
        numbers = (stock.wide_mm, stock.high_mm, stock.across, stock.down, stock.left_mm,
                   stock.top_mm, stock.pitch_x_mm, stock.pitch_y_mm)  # fmt: skip
        assert own_sheet(stock.paper, numbers) == stock


def test_in_one_pdf_each_part_has_pages_of_its_own_size() -> None:
    sheet = content_of(trade_vehicles.electric())
    tape = labels(STOCKS["tape-12"], "trade_electric")
    pages = read_back(one_pdf([Pages(sheet), Pages(tape)], "all")).pages
    heights = [round(float(page.mediabox.height) / POINTS_PER_MM) for page in pages]
    (block,) = [b for b in tape.blocks() if isinstance(b, LabelSheet)]
    assert heights == [297] * (len(pages) - len(block.labels)) + [12] * len(block.labels)
