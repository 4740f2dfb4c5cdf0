"""Texts and amounts as values, and what a style makes of them."""

import re
from datetime import datetime

import pytest
from hypothesis import given as every
from hypothesis import strategies as st

from fusemap import tables
from fusemap.text import (
    ENGLISH,
    Amount,
    Duration,
    Section,
    Style,
    Text,
    given,
    in_row,
    many,
    one_of,
    rise,
    run_on,
    say,
    say_in,
    share,
)
from fusemap.units import NARROW_SPACE

GERMAN = Style("de")
AMERICAN = Style(length="ft", temperature="°F", section_unit="AWG")


def plain(text: str) -> str:
    return text.replace(NARROW_SPACE, " ")


def shown(style: Style, part: object) -> str:
    return plain(style.show(part))  # type: ignore[arg-type]


def test_a_text_is_its_english_until_it_is_shown() -> None:
    text = say("{load} > {limit}", load=Amount(12.5, "A"), limit=Amount(10.0, "A"))
    assert plain(str(text)) == plain(f"{text}") == "12.5 A > 10 A"
    assert text == str(text)
    assert hash(text) == hash(str(text))
    assert "12.5" in text
    assert text != say("{load} > {limit}", load=Amount(12.6, "A"), limit=Amount(10.0, "A"))


def test_figures_have_the_decimal_sign_of_the_language() -> None:
    text = say("{load} > {limit}", load=Amount(12.5, "A"), limit=given(7.5, "A"))
    assert shown(GERMAN, text) == "12,5 A > 7,5 A"
    assert shown(GERMAN, 0.25) == "0,25"


@pytest.mark.parametrize("name", ["Pump and light", "engine off", "1.5 mm", "{load}", "10 °C", ""])
def test_a_name_stays_whatever_it_looks_like(name: str) -> None:
    for style in (ENGLISH, GERMAN, AMERICAN):
        assert style.show(say("“{name}” again", name=name)).count(f"“{name}”") == 1


@every(st.text(), st.text())
def test_names_are_put_in_as_they_are(one: str, other: str) -> None:
    assert str(run_on(one, other, between="|")) == "|".join(filter(None, (one, other)))
    assert GERMAN.show(say("{a}|{b}", a=one, b=other)) == f"{one}|{other}"


def test_a_difference_of_temperatures_is_no_temperature() -> None:
    # 1 K = 1.8 °F; the freezing point of water is 32 °F (NIST SP 811, B.8)
    assert shown(AMERICAN, Amount(80.0, "°C")) == "176 °F"
    assert shown(AMERICAN, rise(80.0)) == "144 °F"
    assert shown(AMERICAN, rise(0.0)) == "0 °F"
    assert shown(ENGLISH, rise(80.0)) == "80 °C"


def test_lengths_and_gauges_are_in_the_units_of_the_reader() -> None:
    # 1 ft = 0.3048 m exactly (NIST SP 811, B.8)
    assert shown(AMERICAN, Amount(3.048, "m")) == "10 ft"
    assert shown(AMERICAN, Section(2.5)).startswith("AWG ")
    assert shown(ENGLISH, Section(2.5)).startswith("2.5 mm² (about AWG ")


def test_a_length_as_entered_claims_no_more_digits_in_another_unit() -> None:
    # 3.2 m ÷ 0.3048 m = 10.4987 ft, from a length that was read to a tenth of a metre
    assert shown(AMERICAN, given(3.2, "m")) == "10.5 ft"
    assert shown(AMERICAN, given(900, "°C")) == "1652 °F"
    assert shown(ENGLISH, given(3.205, "m")) == "3.205 m"


def test_small_currents_are_in_thousandths_unless_they_were_given() -> None:
    assert shown(ENGLISH, Amount(0.05, "A")) == "50 mA"
    assert shown(ENGLISH, given(0.05, "A")) == "0.05 A"


def test_more_than_one_thing_has_its_own_form_in_each_language() -> None:
    assert str(many("{n} hour", "{n} hours", 1)) == "1 hour"
    assert shown(ENGLISH, Duration(30)) == "30 hours"
    assert shown(GERMAN, Duration(1)) == "60 Minuten"
    assert shown(GERMAN, Duration(84)) == "3,5 Tage"
    assert shown(Style("fr"), Duration(30)) == "30 heures"


def test_rows_are_joined_as_the_language_does() -> None:
    assert str(in_row(["F1", "F2", "F3"], "and")) == "F1, F2 and F3"
    assert shown(GERMAN, in_row(["F1", "F2", "F3"], "and")) == "F1, F2 und F3"
    assert shown(Style("nl"), one_of(["mini", "maxi"])) == "mini of maxi"


def test_a_text_inside_another_takes_the_capital_it_needs() -> None:
    assert str(say("Splice").small()) == "splice"
    assert GERMAN.show(Text("Splice").small())[0].isupper()
    assert str(say("engine off").capital()) == "Engine off"


def test_one_english_word_in_two_contexts_is_two_texts() -> None:
    unit, heading = say_in("unit", "min"), say("Min")
    assert str(unit) == "min"
    assert GERMAN.show(unit) == "min"
    assert heading.context == ""


def test_ground_is_said_for_earth_in_our_words_and_in_no_name() -> None:
    text = say("Earth point of {name}", name="Earthmover lamp")
    assert Style(ground=True).show(text) == "Ground point of Earthmover lamp"
    assert Style("de", ground=True).show(say("Earth point")) == GERMAN.show(say("Earth point"))


def test_a_share_is_whole_per_cent() -> None:
    assert plain(str(share(0.755))) == "76 %"


@pytest.mark.parametrize(
    ("code", "day"),
    [("en", "9 May 2026"), ("de", "09.05.2026"), ("es", "9 may 2026"), ("nl", "9 mei 2026")],
)
def test_dates_are_in_the_order_of_the_language(code: str, day: str) -> None:
    # Unicode CLDR, medium dates
    assert Style(code).forms.day(datetime(2026, 5, 9, 17, 5)) == day
    assert Style(code).forms.moment(datetime(2026, 5, 9, 17, 5)).endswith("17:05")


def test_a_place_that_nothing_stands_in_is_a_fault() -> None:
    with pytest.raises(KeyError, match="limit"):
        str(say("{load} > {limit}", load=Amount(1, "A")))


def test_with_awg_first_every_gauge_is_one_that_is_sold_and_holds_the_copper() -> None:
    gauges = tables.table("gauges")
    rows = [dict(zip(gauges.columns, row, strict=True)) for row in gauges.rows]
    holds = {row["awg"]: float(row["sae_area_mm2"] or row["area_mm2"]) for row in rows}
    for row in tables.standard_sections():
        words = shown(AMERICAN, Section(row.area_mm2))
        named = re.match(r"AWG (\S+) \(", words)
        if named is None:
            assert row.area_mm2 > max(holds.values())
            continue
        assert named[1].endswith("/0") or int(named[1]) % 2 == 0, words
        assert holds[named[1]] >= row.area_mm2


def test_texts_of_one_template_are_told_apart_by_what_stands_in_them() -> None:
    def load(value: float) -> Text:
        return say("{load} at {name}", load=Amount(value, "A"), name="F1")

    assert load(12.5) == load(12.5)
    assert load(12.5) != load(12.6)
    assert load(12.5) == str(load(12.5))
    assert many("{n} hop", "{n} hops", 1) != many("{n} hop", "{n} hops", 2)
    assert say("feed") != say("feed").capital()
    assert load(float("nan")) == load(float("nan"))


def test_french_has_a_space_before_a_colon_between_two_things_without_words() -> None:
    french = Style("fr")
    for joined in (
        run_on("F1", "Radio", between=": "),
        say("{place}: {step}", place="F1", step="Radio"),
    ):
        assert french.show(joined) == "F1\N{NO-BREAK SPACE}: Radio"
        assert GERMAN.show(joined) == str(joined) == "F1: Radio"
