"""The catalogues hold what is said, and what is read is what translators wrote."""

import re
from gettext import GNUTranslations
from importlib.util import module_from_spec, spec_from_file_location
from io import BytesIO
from pathlib import Path
from string import Formatter
from types import ModuleType

import pytest

from fusemap import catalogues

ROOT = Path(__file__).resolve().parents[1]
LANGUAGES = ROOT / "resources" / "languages"
CODES = ("de", "es", "fr", "nl")


@pytest.fixture(scope="module")
def maker() -> ModuleType:
    """The script that makes the catalogues; it needs Babel, which the tests install."""
    spec = spec_from_file_location("catalogue", LANGUAGES / "catalogue.py")
    assert spec is not None
    assert spec.loader is not None
    module = module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.fixture(scope="module")
def wanted(maker: ModuleType) -> set[tuple[object, str | None]]:
    return {(each.id, each.context) for each in maker.template() if each.id}


@pytest.mark.parametrize("code", CODES)
def test_every_text_is_there_in_every_language(
    maker: ModuleType, wanted: set[tuple[object, str | None]], code: str
) -> None:
    there = {(each.id, each.context): each.string for each in maker.read(code) if each.id}
    assert wanted - set(there) == set()
    assert set(there) - wanted == set(), "no longer said: run catalogue.py update"
    assert maker.untranslated(maker.read(code)) == []


@pytest.mark.parametrize("code", CODES)
def test_what_is_read_is_what_was_written(maker: ModuleType, code: str) -> None:
    shipped = texts_of((LANGUAGES / f"{code}.mo").read_bytes())
    assert shipped == texts_of(maker.compiled(code)), (
        "run: python resources/languages/catalogue.py compile"
    )


def texts_of(compiled: bytes) -> dict[object, str]:
    """The texts of a compiled catalogue without its heading, which names who compiled it."""
    found = GNUTranslations(BytesIO(compiled))._catalog  # type: ignore[attr-defined]
    return {key: text for key, text in found.items() if key}


def test_the_forms_are_those_of_the_cldr(maker: ModuleType) -> None:
    # Unicode CLDR, as Babel ships it
    for code, forms in maker.forms().items():
        read = catalogues.forms(code)
        assert read.decimal == forms["decimal"]
        assert list(read.weekdays) == forms["weekdays"]


def places(text: str) -> set[str]:
    return {name for _, name, _, _ in Formatter().parse(text) if name is not None}


@pytest.mark.parametrize("code", CODES)
def test_a_translation_has_the_places_of_its_text(maker: ModuleType, code: str) -> None:
    for each in maker.read(code):
        if not each.id:
            continue
        ids = each.id if isinstance(each.id, tuple) else (each.id,)
        strings = each.string if isinstance(each.string, tuple) else (each.string,)
        for string in filter(None, strings):
            assert places(string) <= places(ids[-1]), (each.id, string)
            if len(ids) == 1:
                assert places(string) == places(ids[0]), (each.id, string)


def test_no_language_has_lost_a_word_to_another_alphabet() -> None:
    for code in CODES:
        text = (LANGUAGES / f"{code}.po").read_text(encoding="utf-8")
        assert not re.search(r"[\u0400-\u04ff]", text)
