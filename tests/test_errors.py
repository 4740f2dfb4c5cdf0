"""An error is a text: it is told in the reader's language and units, wherever it was raised."""

import pytest

from fusemap.electrics.cable_heat import checked_ambient
from fusemap.errors import FileProblem, FusemapError, InputProblem
from fusemap.files import parse
from fusemap.files.wording import problem
from fusemap.tables import fuse_family
from fusemap.text import ENGLISH, Style, in_row, say


def told(error: FusemapError, style: Style = ENGLISH) -> str:
    return style.show(error.text).replace("\u202f", " ")


def test_what_was_not_given_is_left_out_of_the_line():
    assert str(FusemapError("it is empty")) == "it is empty"
    assert str(FusemapError("it is empty", "van.fusemap")) == "van.fusemap: it is empty"
    whole = FusemapError(say("it is empty"), "van.fusemap", say("open a copy of it"))
    assert str(whole) == "van.fusemap: it is empty (open a copy of it)"
    assert told(whole, Style("de")) == "van.fusemap: sie ist leer (eine Kopie davon öffnen)"


def test_a_name_with_braces_in_it_stays_as_it_is():
    assert str(FusemapError("{what}", "{where}", "{}")) == "{where}: {what} ({})"


def test_a_temperature_refused_is_told_in_the_reader_s_degrees():
    with pytest.raises(InputProblem) as raised:
        checked_ambient(300.0)
    assert told(raised.value) == "ambient_c: ambient outside −60 °C to 200 °C"
    assert "−76 °F to 392 °F" in told(raised.value, Style(temperature="°F"))


def test_the_place_that_is_a_word_of_ours_is_said_too():
    with pytest.raises(InputProblem) as raised:
        fuse_family("maximal")
    assert told(raised.value, Style("fr")).startswith("famille de fusible\N{NO-BREAK SPACE}: ")
    assert str(raised.value).startswith("fuse family: there is no fuse family “maximal” (one of: ")


@pytest.mark.parametrize("code", ["de", "es", "fr", "nl"])
def test_what_is_wrong_with_a_file_is_told_without_english(code):
    broken = (
        '{"format":',
        "{}",
        '{"format": "fusemap vehicle", "version": 99}',
        '{"format": "fusemap vehicle", "version": 6, "name": 1}',
        '{"format": "fusemap vehicle", "version": 6, "name": "Van", "sistem_v": 24}',
        '{"format": "fusemap vehicle", "version": 6, "name": "Van", "name": "Bus"}',
    )
    english = {"it", "the", "this", "where", "with", "expecting", "choose", "here", "belongs"}
    for text in broken:
        with pytest.raises(FileProblem) as raised:
            parse(text, "van.fusemap")
        own = told(raised.value, Style(code))
        assert own != told(raised.value)
        assert not english & set(own.replace("“", " ").replace(":", " ").split()), own


def test_names_out_of_a_file_are_clear_wherever_they_stand_in_a_text():
    what = say("{word} and {more}", word="a\x00b", more=in_row(["c\td", say("{x}", x="e\nf")]))
    found = problem(what, "g\rh", say("{word}", word="i\x1bj"))
    assert str(found) == "g h: a b and c d, e f (i j)"
