"""Every language says everything: no key missing, no place lost, no number in the wrong dress."""

import re

import pytest
from msgspec.structs import replace

from fusemap.assess import assess
from fusemap.catalogues import messages
from fusemap.checks import findings
from fusemap.errors import InputProblem
from fusemap.files import demos
from fusemap.sheet import LANGUAGES, PARTS, Part, paper_style, sheet_content
from fusemap.sheet.content import (
    Column,
    Facts,
    Job,
    Row,
    Section,
    SheetContent,
    Steps,
    Table,
    cell_text,
)
from fusemap.sheet.paint import Pages
from fusemap.sheet.paint_flow import heading, page_shape
from fusemap.sheet.paint_ink import drawable, metrics
from fusemap.sheet.paint_table import PAD, POINTS
from fusemap.sheet.paint_table import places as places_of
from fusemap.text import Style, say
from fusemap.units import SYMBOLS
from fusemap.vehicle import edits
from tests.sheet.conftest import (
    MADE,
    content_of,
    is_picture,
    letters,
    read_back,
    squeezed,
    text_of,
    texts_in,
    vehicles,
)
from tests.sheet.test_pdf import assert_blank_margins, printed_texts

OTHERS = [code for code in LANGUAGES if code != "en"]
DECIMAL_POINT = re.compile(r"\d\.\d")
WORDS = re.compile(r"[^\W\d_]{2}")
PLACES = re.compile(r"\{\w+\}")


class Noting:
    """The texts of a language, with a note of each that was asked for."""

    def __init__(self, code: str) -> None:
        self.known = messages(code)
        self.said: dict[str, str] = {}
        self.missing: set[str] = set()

    def single(self, text: str, context: str = "") -> str:
        self._note(text, context)
        self.said[text] = self.known.single(text, context)
        return self.said[text]

    def plural(self, one: str, others: str, count: int) -> str:
        self._note(one, "")
        self.said[one] = self.known.plural(one, others, count)
        return self.said[one]

    def knows(self, text: str, context: str = "") -> bool:
        return self.known.knows(text, context)

    def _note(self, text: str, context: str) -> None:
        worded = WORDS.search(PLACES.sub("", text)) and text not in SYMBOLS
        if worded and not self.known.knows(text, context):
            self.missing.add(text)


@pytest.fixture(scope="module")
def noted(qapp: object) -> dict[str, Noting]:
    """What the paper of all demo vehicles says in each language."""
    made = {code: Noting(code) for code in OTHERS}
    for key, _ in demos.demo_names():
        assessment = assess(vehicles()[key])
        found = findings(assessment.vehicle, assessment)
        for code, noting in made.items():
            style = Style(code)
            style.__dict__["_messages"] = noting
            for part in PARTS:
                sheet_content(part, assessment, found, style, MADE)
    return made


@pytest.mark.parametrize("code", OTHERS)
def test_no_text_on_paper_is_missing(noted: dict[str, Noting], code: str) -> None:
    assert noted[code].missing == set()
    assert len(noted[code].said) > 150


@pytest.mark.parametrize("code", OTHERS)
def test_long_texts_are_not_left_in_english(noted: dict[str, Noting], code: str) -> None:
    said = noted[code].said
    assert [text for text in said if said[text] == text and len(PLACES.sub("", text)) > 12] == []


@pytest.mark.parametrize("code", LANGUAGES)
@pytest.mark.parametrize("part", PARTS)
def test_a_whole_vehicle_in_every_language_loses_nothing(code: str, part: str) -> None:
    name = "hard_names" if (code, part) in (("de", "sheet"), ("fr", "lid")) else "light_truck"
    content = content_of(vehicles()[name], part, code)  # type: ignore[arg-type]
    pages = Pages(content)
    missing = letters("".join(printed_texts(content))) - letters(text_of(pages.pdf()))
    assert not missing, dict(missing)
    for number in range(0, len(pages), 5):
        assert_blank_margins(pages.image(number, 40), 9.0)


@pytest.mark.parametrize("code", OTHERS)
def test_numbers_have_the_decimal_comma(code: str) -> None:
    for figure in content_of(vehicles()["family_estate"], "sheet", code).figures():
        assert not DECIMAL_POINT.search(figure.text)


def test_the_language_of_the_sheet_is_not_that_of_the_screen(qapp: object) -> None:
    content = content_of(vehicles()["family_estate"], "sheet", "de")
    assert content.title == "Einbaublatt"
    assert "Was wohin kommt" in section_titles(content)


def section_titles(content: SheetContent) -> list[str]:
    return [section.title for section in content.sections]


@pytest.mark.parametrize("code", LANGUAGES)
@pytest.mark.parametrize("part", PARTS)
def test_no_word_of_a_table_is_broken(code: str, part: Part) -> None:
    wide = page_shape("a4").wide
    for key, _ in demos.demo_names():
        for table in content_of(vehicles()[key], part, code).tables():
            for column, place in enumerate(places_of(table, wide)):
                room = place.wide - 2 * PAD
                for row in table.rows:
                    if row.kind == "group":
                        continue
                    text, bold = drawable(cell_text(row.cells[column])), row.kind != "plain"
                    for word in text.split(" "):
                        pieces = re.split(r"(?<=[-–/])", word)
                        widths = [metrics(POINTS, bold).horizontalAdvance(p) for p in pieces]
                        assert max(widths) <= room, word


def test_our_own_reasons_are_said_in_the_language_of_the_paper_others_as_they_were_typed() -> None:
    vehicle = vehicles()["family_estate"]
    slot_id = vehicle.panels[0].slots[0].id
    vehicle = edits.change_slot(
        vehicle,
        slot_id,
        critical=True,
        critical_reason="brakes, ABS, stability control; my tracker",
    )
    texts = " ".join(texts_in(content_of(vehicle, "map", "de"), is_picture))
    assert "Bremsen, ABS, Stabilitätsregelung; my tracker" in texts
    assert "brakes, ABS" not in texts


@pytest.mark.parametrize(
    ("code", "unknown", "lighting"),
    [
        ("en", "reckoned as always live", "with the lamps on"),
        ("de", "gerechnet als immer unter Spannung", "bei eingeschaltetem Licht"),
    ],
)
def test_what_is_only_reckoned_is_not_printed_as_a_fact(
    code: str, unknown: str, lighting: str
) -> None:
    vehicle = vehicles()["family_estate"]
    first, second = vehicle.panels[0].slots[:2]
    vehicle = edits.change_slot(vehicle, first.id, kind="fuse", feed_class="unknown")
    vehicle = edits.change_slot(vehicle, second.id, kind="fuse", feed_class="lighting")
    content = content_of(vehicle, "map", code)
    classes = next(s for s in content.sections if s.key == "classes")
    assert isinstance(classes.blocks[0], Facts)
    said = {str(name).split(" = ")[0]: text for name, text in classes.blocks[0].rows}
    assert said["?"] == unknown
    assert str(said["58"]).startswith(lighting)


def test_the_record_has_days_as_the_language_writes_them_and_its_words_for_colours() -> None:
    content = content_of(vehicles()["family_estate"], "record", "de")
    texts = [*texts_in(content, is_picture)]
    assert not [text for text in texts if re.search(r"\d{4}-\d\d-\d\d", text)]
    assert any(re.fullmatch(r"\d\d\.\d\d\.\d{4}(, \d\d:\d\d)?", text) for text in texts)
    fitted = next(table for table in content.tables() if table.key == "fitted")
    cables = " ".join(cell_text(row.cells[4]) for row in fitted.rows)
    assert re.search(r"\b(rot|schwarz)\b", cables)
    assert not re.search(r"\b(red|black)\b", cables)


@pytest.mark.parametrize("code", LANGUAGES)
def test_a_group_that_goes_on_on_another_page_says_its_name_again(code: str) -> None:
    rows = [Row((f"row {n}", ""), "plain") for n in range(40)]
    group = Row(("Dash camera (1)", ""), "group")
    columns = (Column("Check", 1), Column("Measured", 1))
    table = Table("t", columns, (group, *rows, group, *rows), tall=True)
    content = content_of(vehicles()["small_old_car"], "record", code)
    pages = Pages(replace(content, sections=(Section("a", "A", (table,)),)))
    assert len(pages) > 2
    again = paper_style(code).show(say("{name} (continued)", name="Dash camera (1)"))
    texts = [page.extract_text() for page in read_back(pages.pdf()).pages]
    for number, text in enumerate(texts[1:], start=1):
        before = text.index("row ")
        named_here = squeezed(again) in squeezed(text[:before])
        starts_here = "Dash camera (1)" in text[:before] and not named_here
        assert named_here or starts_here, number


@pytest.mark.parametrize("filled", range(20, 40))
def test_the_name_of_a_group_has_two_of_its_rows_on_its_page(filled: int) -> None:
    plain = [Row((f"row {n}", ""), "plain") for n in range(filled)]
    group = [Row(("Camera", ""), "group"), *(Row((f"own {n}", ""), "plain") for n in range(6))]
    table = Table("t", (Column("Check", 1), Column("M", 1)), (*plain, *group), tall=True)
    content = content_of(vehicles()["small_old_car"], "record")
    pages = Pages(replace(content, sections=(Section("a", "A", (table,)),)))
    for page in read_back(pages.pdf()).pages:
        text = page.extract_text()
        if "Camera" in text:
            assert "own 0" not in text or "own 1" in text
        assert "continued" not in text or text.count("own ") >= 1


def test_what_a_sheet_was_computed_from_stands_whole_on_one_page() -> None:
    for key, _ in demos.demo_names():
        for part in ("sheet", "record"):
            content = content_of(vehicles()[key], part)  # type: ignore[arg-type]
            basis = content.sections[-1]
            assert basis.key == "basis"
            texts = [squeezed(p.extract_text()) for p in read_back(Pages(content).pdf()).pages]
            for wanted in printed_texts(replace(content, sections=(basis,))):
                assert squeezed(wanted)[:40] in texts[-1], wanted


def test_an_unknown_language_or_unit_is_refused_with_those_there_are() -> None:
    with pytest.raises(InputProblem, match="en, de, es, fr, nl"):
        paper_style("tlh")
    with pytest.raises(InputProblem, match="metric, us"):
        paper_style("en", "imperial")  # type: ignore[arg-type]


@pytest.mark.parametrize("code", LANGUAGES)
def test_words_in_the_pictures_of_a_tap_are_short_enough(code: str) -> None:
    content = content_of(vehicles()["family_estate"], "sheet", code)
    jobs = [block for block in content.blocks() if isinstance(block, Job)]
    for key in ("common", "take_off", "host", "accessory_fuse", "load", "live"):
        assert len(dict(jobs[0].picture.words)[key]) <= 20


def test_a_heading_keeps_what_follows_it_on_its_page() -> None:
    assert all(strip.keep for strip in heading("Title", 8000.0))


@pytest.mark.parametrize("name", ["Relay", "{lead}", "Splice {source}", "1.5 mm", "10 °C"])
def test_a_name_is_printed_as_it_was_typed_whatever_it_looks_like(name: str) -> None:
    vehicle = vehicles()["family_estate"]
    first = vehicle.taps[0].accessory
    content = content_of(edits.change_accessory(vehicle, first, name=name), "sheet", "de")
    titles = [block.title for block in content.blocks() if isinstance(block, Job)]
    assert name in titles
    steps = [s.text for b in content.blocks() if isinstance(b, Steps) for s in b.items]
    assert any(f"{name} (" in text for text in steps)


@pytest.mark.parametrize(
    ("code", "day"), [("en", "14 Mar 2026"), ("de", "14.03.2026"), ("fr", "14 mars 2026")]
)
def test_a_sheet_has_its_day_as_the_language_writes_days(code: str, day: str) -> None:
    # Unicode CLDR, medium dates
    assert content_of(vehicles()["small_old_car"], "map", code).date == day
