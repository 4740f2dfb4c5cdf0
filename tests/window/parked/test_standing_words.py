"""What the page says of the standing vehicle: the answer first, the plan, what counts in it."""

import re
from math import inf

import numpy as np
import pytest
from msgspec.structs import replace

from fusemap.advise import library
from fusemap.assess import assess
from fusemap.assess.parked.band import ParkedBand, parked_band
from fusemap.assess.parked.figures import ParkedFigures
from fusemap.text import ENGLISH
from fusemap.vehicle import Vehicle, edits
from fusemap.window.parked import chart_words, parked_words
from fusemap.window.parked.chart_figures import Case, ChartFigures, chart_figures
from fusemap.window.parked.course_table import course_rows
from fusemap.window.parked.page_words import answer, headline, plan_verdict, plan_words
from tests.window.parked.standing_hands import DAY, TODAY, plain, van


@pytest.fixture(scope="module")
def parked() -> ParkedFigures:
    return assess(van()).parked


def figures(
    parked: ParkedFigures, without: float, start: float = 0.9, unplaced: tuple[str, ...] = ()
) -> ParkedFigures:
    return replace(
        parked,
        hours=without,
        look_without=lambda: without,
        look_placed=lambda: 40 * DAY,
        start_soc=start,
        crank_soc=0.5,
        assumed=(),
        unplaced=unplaced,
    )


def band(*hours: float) -> ParkedBand:
    """Twenty draws, of which so many last so long: the low end, the middle and the high end."""
    low, middle, high = hours
    draws = np.array([low] * 2 + [middle] * 16 + [high] * 2)
    found = parked_band(assess(van()), draws=20)
    return replace(found, low_h=low, middle_h=middle, high_h=high, hours=draws, hard_h=draws)


@pytest.mark.parametrize(
    ("ends", "without", "plan", "words"),
    [
        (
            (9 * DAY, 12 * DAY, 14 * DAY),
            31 * DAY,
            20.0,
            "Starts for 9 to 14 days. It will not stand 20 days, as planned. "
            "None of 20 such vehicles starts then. "
            "Without the accessories 31 days by the usual figures.",
        ),
        (
            (20 * DAY, 31 * DAY, inf),
            inf,
            14.0,
            "Starts for 20 days or longer. It stands 14 days, as planned. "
            "At least 19 of 20 such vehicles start then.",
        ),
        (
            (inf, inf, inf),
            inf,
            14.0,
            "Starts for longer than 60 days. It stands 14 days, as planned. "
            "At least 19 of 20 such vehicles start then.",
        ),
        (
            (5.0, 40.0, 3 * DAY),
            12 * DAY,
            0.0,
            "Starts for 5 hours to 3 days. For how long it stands was not said: no verdict. "
            "Without the accessories 12 days by the usual figures.",
        ),
    ],
)
def test_the_answer_stands_first_with_its_span(
    parked: ParkedFigures,
    ends: tuple[float, float, float],
    without: float,
    plan: float,
    words: str,
) -> None:
    assert headline(Case(figures(parked, without), band(*ends)), plan * DAY) == words


@pytest.mark.parametrize(
    ("plan", "verdict", "words", "many"),
    [
        (8, "holds", "It stands 8 days, as planned.", "At least 19 of 20 such vehicles start"),
        (
            11,
            "may_not_hold",
            "It may not stand 11 days, as planned.",
            "Of 20 such vehicles at least 18",
        ),
        (
            13,
            "may_not_hold",
            "It may not stand 13 days, as planned.",
            "Of 20 such vehicles at least 2",
        ),
        (15, "fails", "It will not stand 15 days, as planned.", "None of 20 such vehicles"),
    ],
)
def test_a_plan_is_held_against_both_ends_and_told_by_how_many_start(
    parked: ParkedFigures, plan: int, verdict: str, words: str, many: str
) -> None:
    case = Case(figures(parked, 31 * DAY), band(9 * DAY, 12 * DAY, 14 * DAY))
    assert plan_verdict(case, plan * DAY) == verdict
    assert f"{words} {many}" in str(headline(case, plan * DAY))


def test_no_verdict_is_good_because_no_plan_was_said(parked: ParkedFigures) -> None:
    case = Case(figures(parked, 31 * DAY), band(inf, inf, inf))
    assert plan_verdict(case, 0.0) == "unchecked"
    assert "no verdict" in str(plan_words("unchecked", 0.0, 0))


def test_what_is_on_the_shelf_is_named_with_the_time_without_it(parked: ParkedFigures) -> None:
    shelf = figures(parked, 31 * DAY, unplaced=("Cool box", "Charger"))
    said = str(headline(Case(shelf, band(9 * DAY, 12 * DAY, 14 * DAY)), 8 * DAY))
    words = "Counted though not placed: Cool box and Charger; without 40 days by the usual figures."
    assert words in said


def test_a_battery_too_flat_to_start_now_is_said_first(parked: ParkedFigures) -> None:
    flat = Case(figures(parked, 0.0, start=0.4), band(0.0, 0.0, 0.0))
    words = plain(headline(flat, 7 * DAY))
    assert words == "It may not start even now: 40 % charged, 50 % needed to start."
    assert plan_verdict(flat, 7 * DAY) == "fails"


def test_an_engine_that_no_charge_starts_is_said_as_it_is(parked: ParkedFigures) -> None:
    never = replace(parked, need=replace(parked.need, never=True))
    assert answer(Case(never, band(0.0, 0.0, 0.0))) == "It will probably not start even now."


def test_a_low_end_of_nothing_is_no_span_from_nothing(parked: ParkedFigures) -> None:
    case = Case(figures(parked, 30.0), band(0.0, 20.0, 30.0))
    assert answer(case) == "Starts for at most 30 hours."


def test_a_guess_at_the_battery_is_called_one(parked: ParkedFigures) -> None:
    guess = Case(figures(parked, 9 * DAY), band(8 * DAY, 9 * DAY, 14 * DAY), battery_said=False)
    assert answer(guess) == "With a usual battery it starts for 8 to 14 days."


# --- the course ---------------------------------------------------------------------------------


def of(parked: ParkedFigures) -> parked_words.Series:
    return parked_words.series(parked, parked_band(assess(van())))


def test_the_layers_add_up_to_all_the_charge_that_is_gone(parked: ParkedFigures) -> None:
    s = of(parked)
    capacity = float(np.asarray(70.0))
    gone = (s.usual_percent[0] - s.usual_percent) / 100 * capacity
    total = np.sum([layer.charge_ah for layer in s.layers], axis=0)
    assert total == pytest.approx(gone, abs=0.02)


def test_each_layer_ends_with_what_the_table_says(parked: ParkedFigures) -> None:
    s = of(parked)
    said = {consumer.name: consumer.charge_ah for consumer in parked.consumers}
    for layer in s.layers:
        at_crank = parked_words.at(s.hours, layer.charge_ah, parked.hours)
        assert at_crank == pytest.approx(said[str(layer.name)], abs=0.02), layer.name


def test_many_consumers_are_put_together(parked: ParkedFigures) -> None:
    order = [*parked.forecast.names, *(f"Lamp {n}" for n in range(9))]
    found = parked_words.layers(parked.forecast, order, parked.crank_soc)
    assert len(found) == parked_words.MOST_LAYERS
    assert found[-1].name == "Others"


def test_what_happens_is_said_with_the_name(parked: ParkedFigures) -> None:
    found = parked_band(assess(van()))
    words = {plain(each.words): each for each in parked_words.happenings(parked, found)}
    assert words["Probably no start from here"].hours == pytest.approx(found.middle_h)
    trip = float(parked.forecast.cut_offs[0].first_trip_h)
    assert words["Camera: cut off"].hours == pytest.approx(trip)
    assert words["0.23 A in all"].hours == pytest.approx(1.0)


# --- one moment, and the table of them ----------------------------------------------------------


@pytest.fixture(scope="module")
def drawn() -> ChartFigures:
    a = assess(van())
    return chart_figures(a, Case(a.parked, a.band), None, 0, TODAY)


def test_a_moment_is_read_with_day_and_hour(drawn: ChartFigures) -> None:
    when, charge, start = map(plain, chart_words.read_lines(drawn, 30.0, ENGLISH))
    assert when == "after 30 hours: Sun 15 Nov 2026, 00:00"
    assert re.fullmatch(r"as it is: \d+ %, \d+–\d+", charge)
    assert re.fullmatch(r"at least \d+ of 20 start", start)


def test_no_line_leaves_its_own_span() -> None:
    """A camera of the library rests with 32 mA, or with anything from 2 to 250: most with more."""
    usual = library.fields("dash_camera_parking")
    vehicle = edits.change_battery(Vehicle(name="Car"), capacity_ah=70.0)
    vehicle = edits.add_accessory(vehicle, **usual)
    a = assess(vehicle)
    figures = chart_figures(a, Case(a.parked, a.band), None, 0, TODAY)
    now = figures.now
    for hour in np.linspace(0.0, figures.first_view_h(), 40):
        ends = now.between(float(hour))
        assert ends is not None
        # what lies between two of the band's hours is drawn straight
        assert ends[0] - 1.0 <= now.charge(float(hour)) <= ends[1] + 1.0, hour


def test_how_many_start_is_never_told_better_than_it_is(drawn: ChartFigures) -> None:
    now = replace(drawn.now, ends_h=(0.0, 60.0, 100.0))
    all_but_few = replace(drawn, draws_h=np.array([0.0] * 3 + [100.0] * 97), now=now)
    assert chart_words.chance_words(all_but_few, 50.0, ENGLISH) == "at least 19 of 20 start"
    assert chart_words.chance_words(all_but_few, 101.0, ENGLISH) == "none of 20 starts"
    one = replace(drawn, draws_h=np.array([0.0] * 19 + [100.0]))
    assert chart_words.chance_words(one, 50.0, ENGLISH) == "at least 1 of 20 starts"
    every = replace(drawn, draws_h=np.array([100.0] * 20))
    assert chart_words.chance_words(every, 50.0, ENGLISH) == "20 of 20 start"


def test_none_starts_is_said_only_past_the_high_end_of_the_answer(drawn: ChartFigures) -> None:
    """What nobody answered counts at its hard end: there none may start that usually do."""
    now = replace(drawn.now, ends_h=(0.0, 264.0, 624.0))
    hard = replace(drawn, draws_h=np.zeros(20), now=now)
    assert chart_words.chance_words(hard, 168.0, ENGLISH) == "perhaps none of 20 starts"
    assert chart_words.chance_words(hard, 700.0, ENGLISH) == "none of 20 starts"


def test_the_plan_page_says_none_starts_only_past_the_high_end(parked: ParkedFigures) -> None:
    hard = replace(band(0.0, 11 * DAY, 26 * DAY), hard_h=np.zeros(20))
    case = Case(figures(parked, 31 * DAY), hard)
    assert "Of 20 such vehicles perhaps none starts then." in str(headline(case, 7 * DAY))
    assert "None of 20 such vehicles starts then." in str(headline(case, 27 * DAY))


def test_the_table_has_the_course_and_everything_that_happens(drawn: ChartFigures) -> None:
    rows = [tuple(map(plain, row)) for row in course_rows(drawn, ENGLISH)]
    assert 8 <= len(rows) <= 20
    assert rows[0][0] == "0 minutes\nFri 13 Nov 2026, 18:00"
    told = "\n".join(row[2] for row in rows)
    end = drawn.first_view_h()
    happened = [plain(each.words) for each in drawn.happenings if each.hours <= end]
    assert happened
    assert [words for words in happened if words not in told] == []
    charges = [int(row[1].partition(" ")[0]) for row in rows]
    assert charges == sorted(charges, reverse=True)


def test_what_a_start_needs_is_told_with_its_doubt(drawn: ChartFigures) -> None:
    low, middle, high = drawn.need
    assert 0 < low < middle < high <= 100
    lines = [plain(line) for line in chart_words.need_lines(drawn, ENGLISH)]
    assert lines == [
        "needed to start", f"{middle:.0f} % at 18.5 °C", f"{low:.0f}–{high:.0f} %"
    ]  # fmt: skip


def test_the_first_view_goes_past_the_plan_and_the_answer(drawn: ChartFigures) -> None:
    assert drawn.now.ends_h is not None
    assert drawn.first_view_h() >= 1.2 * 5 * DAY
    assert drawn.first_view_h() >= drawn.now.ends_h[1]


def test_an_answer_of_hours_is_not_shown_on_an_axis_of_weeks(drawn: ChartFigures) -> None:
    now = replace(drawn.now, ends_h=(4.0, 8.0, 10.0))
    view_h = replace(drawn, now=now, plan_h=21 * DAY).first_view_h()
    assert 1.25 * 8.0 < view_h <= 3 * DAY
    near = replace(drawn, now=now, plan_h=30.0).first_view_h()
    assert near == pytest.approx(36.0)


def test_petrol_and_coldest_are_those_of_the_vehicle() -> None:
    vehicle = edits.change_parking(van(), coldest_c=-12.0)
    a = assess(vehicle)
    cold = chart_figures(a, Case(a.parked, a.band), None, 0, TODAY)
    assert "−12 °C" in plain(chart_words.need_lines(cold, ENGLISH)[1])


def test_the_line_meets_what_is_needed_where_half_of_them_stop_starting() -> None:
    """Nobody said which battery or engine: the usual case lasts far longer than most vehicles."""
    vehicle = edits.add_accessory(Vehicle(name="Car"), "Dash camera", watts=4.0)
    a = assess(vehicle)
    now = chart_figures(a, Case(a.parked, a.band), None, 0, TODAY)
    hours = np.linspace(0.0, now.first_view_h(), 2000)
    met = hours[np.array([now.now.charge(float(hour)) for hour in hours]) <= now.need[1]][0]
    assert met == pytest.approx(a.band.middle_h, rel=0.2)
