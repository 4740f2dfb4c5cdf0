"""Pages looked at by program: a fair sample in the suite, every page by `bench/bench_paper.py`."""

from functools import cache
from itertools import product
from typing import Any

import pytest

from fusemap.assess import Assessment, assess
from fusemap.catalogues import LANGUAGES
from fusemap.files import demos
from fusemap.sheet import PARTS, paper_style
from fusemap.sheet.content import Paragraph, Section, SheetContent
from fusemap.sheet.paint import Pages
from fusemap.sheet.paint_flow import Flow, Strip
from fusemap.sheet.paint_ink import mm, set_text
from tests import trade_vehicles
from tests.sheet.conftest import content_from
from tests.sheet.looked_at import faults

TRADE = {make.__name__: make for make in trade_vehicles.BUILT}
DEMOS = tuple(key for key, _ in demos.demo_names())
WORDS = " ".join(f"word{n}" for n in range(400))


@cache
def assessed(name: str, code: str) -> Assessment:
    return assess(TRADE[name]() if name in TRADE else demos.read_demo(name, code))


EVERY = tuple(product((*DEMOS, *TRADE), LANGUAGES, ("a4", "letter"), ("metric", "us"), PARTS))
SAMPLE = EVERY[::29]
"""Every language, paper, system of units, part and vehicle is among them."""


def test_the_sample_has_one_of_everything() -> None:
    for place in range(5):
        assert {each[place] for each in SAMPLE} == {each[place] for each in EVERY}


@pytest.mark.parametrize("case", SAMPLE, ids="-".join)
def test_nothing_overlaps_is_cut_too_small_or_alone(case: Any) -> None:
    name, code, paper, units, part = case
    content = content_from(assessed(name, code), part, code, units)
    assert faults(Pages(content, paper)) == []


# --- what is looked for is found ------------------------------------------------------------------


def pages_of(*texts: str) -> Pages:
    blocks = tuple(Paragraph(text) for text in texts)
    style = paper_style("en")
    sections = (Section("a", "T", blocks),)
    return Pages(SheetContent("sheet", style, "T", "V", "12 V", "14 Mar 2026", "W", sections))


def test_a_page_without_a_fault_has_none() -> None:
    pages = pages_of(*[WORDS] * 6)
    assert len(pages) > 2
    assert faults(pages) == []


def test_a_line_alone_at_a_foot_or_a_head_is_seen(monkeypatch: Any) -> None:
    texts = [WORDS[:700]] * 40
    assert not any("is alone" in each for n in range(40) for each in faults(pages_of(*texts[:n])))
    monkeypatch.setattr("fusemap.sheet.paint_flow.keeps", lambda *_: False)
    assert any("is alone" in each for n in range(40) for each in faults(pages_of(*texts[:n])))


def test_a_word_broken_anywhere_is_seen() -> None:
    assert any("a word is broken" in each for each in faults(pages_of("x7" * 90)))


def test_lines_on_each_other_and_beyond_the_page_are_seen(monkeypatch: Any) -> None:
    def never_on(self: Flow, strip: Strip) -> None:
        self.pages[-1].append((0.0, strip))

    monkeypatch.setattr(Flow, "_append", never_on)
    assert any("lie on each other" in each for each in faults(pages_of("one", "two")))
    monkeypatch.setattr(Flow, "_append", lambda self, strip: self.pages[-1].append((9e4, strip)))
    assert any("outside the margins" in each for each in faults(pages_of("one")))


def test_small_type_is_seen(monkeypatch: Any) -> None:
    def smaller(text: str, wide: float, size: float, **fields: Any) -> Any:
        return set_text(text, wide, size - 3, **fields)

    monkeypatch.setattr("fusemap.sheet.paint_flow.set_text", smaller)
    assert any("is set in 6.0 points" in each for each in faults(pages_of("one")))


def test_a_word_too_wide_for_its_place_is_parted_with_a_hyphen() -> None:
    made = set_text("Instrumentenbeleuchtung", mm(20), 7.5)
    assert made.lines == 2
    assert faults(pages_of("Instrumentenbeleuchtung")) == []
