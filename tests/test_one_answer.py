"""For how long it starts and how full it is then: one answer, wherever it is said.

The forecast by the usual figures has another one than half of the vehicles that this one may be:
of a camera that usually draws 32 mA, and perhaps 250, half draw far more than that. Where a time of
that forecast is told it is named as such.
"""

import csv
from collections.abc import Iterator
from datetime import date
from functools import cache
from math import isfinite
from pathlib import Path

import pytest

from fusemap.advise import library
from fusemap.assess import Assessment, assess
from fusemap.assess.parked.ends import battery_said
from fusemap.checks import findings
from fusemap.files.demos import demo_names, read_demo
from fusemap.fixes.trial import effect_of, effect_words
from fusemap.job.standing_of import Job
from fusemap.job.whole_cells import days_cell
from fusemap.sheet import handover
from fusemap.sheet.content import Facts, Figure
from fusemap.sheet.installation import standing
from fusemap.sheet.style import paper_style
from fusemap.sheet.subject import Made, Subject
from fusemap.terminal.parked import parked_data, parked_lines
from fusemap.text import Duration, Style
from fusemap.vehicle import Vehicle, edits
from fusemap.window.pages.plan_page import days_words
from fusemap.window.parked import page_words, parked_words
from fusemap.window.parked.chart_figures import Case, ChartFigures, chart_figures
from fusemap.window.parts.export import write_csv
from tests.assess.test_end_of_a_standing import PETROL, car
from tests.plain import plain


def with_camera() -> Vehicle:
    """A camera that watches while parked, of which the library knows no more than its span."""
    bare = car({"rest_v": 12.65, "start_soc": None}, rest_current_a=0.02, **PETROL)
    return edits.add_accessory(bare, **library.fields("dash_camera_parking"))


VEHICLES = {"camera": with_camera(), **{key: read_demo(key) for key, _ in demo_names()}}


@cache
def planned(name: str, days: float) -> Assessment:
    return assess(edits.change_parking(VEHICLES[name], stand_days=days))


def cases() -> Iterator[tuple[str, float]]:
    """Each as it is planned, for a week, and a little longer than half of them last."""
    for name, vehicle in VEHICLES.items():
        middle = assess(vehicle).band.middle_h / 24
        yield from ((name, vehicle.parking.stand_days or 3.0), (name, 7.0))
        if isfinite(middle):
            yield name, 1.1 * middle + 0.1


def case_of(a: Assessment) -> Case:
    return Case(a.parked, a.band, battery_said(a.vehicle))


def chart_of(a: Assessment) -> ChartFigures:
    return chart_figures(a, case_of(a), None, 0, date(2026, 11, 30))


def on_paper(a: Assessment) -> Iterator[float]:
    """The times for half of such vehicles [h], on the sheet and on the owner's page."""
    subject = Subject(a, (), paper_style("en"), Made("2026-11-30"))
    owner = [part for each in handover.sections(subject) for part in each.blocks]
    for facts in (standing(subject), *(each for each in owner if isinstance(each, Facts))):
        for name, value in facts.rows:
            if "half of such vehicles" in name:
                assert isinstance(value, Figure)
                yield value.value


def saved(a: Assessment, folder: Path) -> tuple[list[float], list[float]]:
    """Hours and charge [%] of the table that is saved."""
    course, path = parked_words.series(a.parked, a.band), folder / "course.csv"
    write_csv(path, parked_words.sample_header(course, Style()), parked_words.sample_rows(course))
    with path.open(encoding="utf-8-sig", newline="") as file:
        rows = list(csv.reader(file, delimiter=","))[1:]
    return [float(row[0]) for row in rows], [float(row[1]) for row in rows]


def test_the_two_forecasts_differ_enough_to_be_told_apart() -> None:
    a = planned("camera", 7.0)
    usual = parked_words.at(a.parked.forecast.samples.time_h, a.parked.forecast.samples.soc, 168.0)
    assert usual * 100 > chart_of(a).now.charge(168.0) + 10
    assert a.parked.hours > 1.5 * a.band.middle_h


@pytest.mark.parametrize(("name", "days"), list(cases()))
def test_for_how_long_half_of_them_start_is_one_time(name: str, days: float) -> None:
    a = planned(name, days)
    data, figures, half_h = parked_data(a, a.band.draws), chart_of(a), a.band.middle_h
    assert figures.now.ends_h is not None
    told = {
        "chart": figures.now.ends_h[1],
        "rail": Job(a.vehicle, a, ()).look_ahead().middle_h,
        "terminal": data["hours_to_crank_limit"] or float("inf"),
        "end": data["end"]["hours"] or float("inf"),
        **{f"paper {place}": value for place, value in enumerate(on_paper(a))},
    }
    assert "paper 1" in told
    assert told == pytest.approx(dict.fromkeys(told, half_h), rel=1e-4)
    if isfinite(half_h):
        assert plain(Duration(half_h)) in plain(page_words.typical(case_of(a)))
        (none,) = (each for each in figures.happenings if "no start" in str(each.words))
        assert none.hours == pytest.approx(half_h)
        found = [each for each in findings(a.vehicle, a) if each.code.startswith("stands_")]
        for each in found if half_h < days * 24 else ():
            said = plain(each.sum)
            assert f"half of such vehicles start for {plain(Duration(half_h))}" in said


@pytest.mark.parametrize(("name", "days"), list(cases()))
def test_how_full_it_is_after_the_time_planned_is_one_charge(
    name: str, days: float, tmp_path: Path
) -> None:
    a, hours = planned(name, days), days * 24
    percent = chart_of(a).now.charge(hours)
    assert a.as_planned.middle.charge(hours) * 100 == pytest.approx(percent, abs=0.5)
    times, charges = saved(a, tmp_path)
    # between two rows of the table it may fall steeply
    assert parked_words.at(times, charges, hours) == pytest.approx(percent, abs=1.0)


def test_a_time_by_the_usual_figures_is_named_as_such() -> None:
    a = planned("camera", 14.0)
    usual = {plain(Duration(each)) for each in (a.parked.hours, a.parked.hours_without)}
    data = parked_data(a, a.band.draws)
    effect = effect_of(a, lambda vehicle: edits.change_parking(vehicle, rest_current_a=0.06))
    texts = [
        *(each.sum for each in findings(a.vehicle, a)),
        page_words.headline(case_of(a), 14 * 24.0),
        days_cell(Job(a.vehicle, a, ()).look_ahead()).note,
        *effect_words(effect, findings(a.vehicle, a)[0]),
        days_words(*effect.hours),
        *(each for each in parked_lines(data) if hasattr(each, "shown")),
    ]
    told = [plain(each) for each in texts if any(time in plain(each) for time in usual)]
    assert len(told) >= 3
    assert all("usual" in each for each in told), told
