"""Days of the week are typed and shown in the language of the window, and read in all of them."""

import pytest

from fusemap.catalogues import LANGUAGES, forms
from fusemap.errors import InputProblem
from fusemap.text import Style
from fusemap.vehicle import WEEKDAYS
from fusemap.window.forms.entry import DAILY, read_days, show_days

WORK = WEEKDAYS[:5]


@pytest.mark.parametrize(
    ("code", "typed"),
    [("en", "Mon-Fri"), ("de", "Mo-Fr"), ("es", "lun-vie"), ("fr", "lun-ven"), ("nl", "ma-vr")],
)
def test_the_days_of_the_language_are_read_and_shown(code: str, typed: str) -> None:
    assert read_days(typed, language=code) == WORK
    assert show_days(WORK, code).casefold() == typed.replace("-", "–").casefold()


@pytest.mark.parametrize("code", LANGUAGES)
def test_what_is_shown_is_read_again(code: str) -> None:
    for first in range(7):
        for count in range(1, 8):
            chosen = {WEEKDAYS[(first + n) % 7] for n in range(count)}
            days = tuple(day for day in WEEKDAYS if day in chosen)
            assert read_days(show_days(days, code), language=code) == days


@pytest.mark.parametrize("code", LANGUAGES)
def test_full_names_of_every_language_are_read_in_any(code: str) -> None:
    for own in LANGUAGES:
        names = forms(own).weekdays
        assert tuple(read_days(name, language=code)[0] for name in names) == WEEKDAYS, own
        assert all(read_days(word, language=code) == WEEKDAYS for word in DAILY[own])


def test_a_short_word_that_is_two_days_elsewhere_is_the_one_of_the_language_or_refused() -> None:
    assert read_days("di", language="de") == ("tue",)
    assert read_days("di", language="fr") == ("sun",)
    with pytest.raises(InputProblem):
        read_days("di", language="en")


@pytest.mark.parametrize("typed", ["", "m", "someday", "8", "Mo-", "x-y"])
def test_what_is_no_day_is_refused(typed: str) -> None:
    with pytest.raises(InputProblem):
        read_days(typed, language="de")


@pytest.mark.parametrize(("code", "days"), [("de", "mo-fr"), ("fr", "lun-ven"), ("en", "mon-fri")])
def test_how_days_are_typed_is_told_with_days_of_the_language(code: str, days: str) -> None:
    with pytest.raises(InputProblem) as refused:
        read_days("someday", language=code)
    assert days in Style(code).show(refused.value.remedy)
