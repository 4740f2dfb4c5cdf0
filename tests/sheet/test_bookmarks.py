"""The PDF has a title, a language, and a bookmark for each part, read by another library."""

import pytest

from fusemap.sheet.paint import Pages
from fusemap.sheet.pdf_catalogue import with_bookmarks
from tests.sheet.conftest import content_of, read_back, squeezed, vehicles


@pytest.mark.parametrize("code", ["en", "de"])
def test_every_titled_section_has_a_bookmark_to_its_page(code: str) -> None:
    content = content_of(vehicles()["light_truck"], "sheet", code)
    reader = read_back(Pages(content).pdf())
    titles = [section.title for section in content.sections if section.title]
    marks = list(reader.outline)
    assert [str(mark.title) for mark in marks] == titles  # type: ignore[union-attr]
    for mark in marks:
        page = reader.get_destination_page_number(mark)  # type: ignore[arg-type]
        assert page is not None
        assert squeezed(str(mark.title)) in squeezed(reader.pages[page].extract_text())  # type: ignore[union-attr]


@pytest.mark.parametrize("code", ["en", "nl"])
def test_it_says_in_which_language_it_is_and_what_it_is_called(code: str) -> None:
    reader = read_back(Pages(content_of(vehicles()["courier_van"], "map", code)).pdf())
    assert reader.trailer["/Root"]["/Lang"] == code  # type: ignore[index]
    assert reader.metadata is not None
    assert reader.metadata.title


def test_what_stood_in_the_file_stays_as_it_was() -> None:
    whole = Pages(content_of(vehicles()["courier_van"], "lid")).pdf()
    plain = whole[: whole.index(b"%%EOF\n") + 6]
    assert with_bookmarks(plain, "en", []).startswith(plain)
    assert with_bookmarks(b"not a PDF", "en", []) == b"not a PDF"
