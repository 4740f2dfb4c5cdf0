"""What the answer takes into account is said on the page, a line each, with where more of it is."""

from typing import Any

import pytest
from PySide6.QtCore import Qt

from fusemap.assess import assess
from fusemap.assess.parked.ends import battery_said
from fusemap.vehicle import Maintainer, StandReading, Vehicle, edits
from fusemap.window.parked.chart_figures import Case
from fusemap.window.parked.known_words import Known, known
from tests.window.parked.standing_hands import page_of, plain, van

NIGHT = StandReading(kind="night", hours=14.0, mean_a=0.23)
SUN = Maintainer(kind="solar", current_a=0.1, from_h=9.0, to_h=15.0)


def lines(vehicle: Vehicle) -> dict[str, Known]:
    a = assess(vehicle)
    return {each.key: each for each in known(a, Case(a.parked, a.band, battery_said(vehicle)))}


def said(vehicle: Vehicle, key: str) -> str:
    return plain(lines(vehicle)[key].words)


def test_of_a_plain_vehicle_nothing_more_is_said() -> None:
    assert lines(van()) == {}


def test_what_readings_taught_is_said_by_how_far_the_span_narrowed() -> None:
    vehicle = edits.change_parking(van(), low_rest_current_a=0.01, high_rest_current_a=0.4)
    vehicle = edits.add_stand_reading(vehicle, NIGHT)
    band = assess(vehicle).band
    assert band.before is not None
    assert band.high_h - band.low_h < band.before[1] - band.before[0]
    words = said(vehicle, "learned")
    assert words.startswith("By 1 reading of a standing or a start: ")
    assert "; without it " in words
    assert assess(van()).band.before is None


def test_what_was_before_is_what_the_same_draws_say_without_the_readings() -> None:
    bare = assess(van()).band
    read = assess(edits.add_stand_reading(van(), NIGHT)).band
    assert read.before == pytest.approx((bare.low_h, bare.high_h))


def test_a_reading_that_contradicts_the_rest_is_named() -> None:
    hungry = StandReading(kind="night", hours=14.0, mean_a=3.0)
    words = said(edits.add_stand_reading(van(), hungry), "learned")
    assert words.endswith("“3 A on the mean over 14 hours” contradicts the rest: read it again.")


def test_day_and_night_are_said_with_the_one_temperature_they_come_to() -> None:
    vehicle = edits.change_parking(van(), night_c=0.0, day_c=20.0, coldest_c=-8.0)
    words = said(vehicle, "day_and_night")
    assert words == (
        "Nights of 0 °C, days of 20 °C: it discharges as at 12 °C, and starts at −8 °C."
    )


def test_the_sun_is_held_against_what_is_drawn_in_a_day() -> None:
    words = said(edits.change_parking(van(), maintainer=SUN), "maintained")
    # 0.1 A for six hours; some 225 mA and the self-discharge for 24
    assert words.startswith("The sun gives at most 0.6 Ah a day; 5.")
    assert words.endswith(" Ah a day are drawn.")


def test_what_the_cold_forbids_to_charge_is_not_said_to_be_given() -> None:
    frost = edits.change_parking(van(), maintainer=SUN, temperature_c=-5.0)
    frost = edits.change_battery(frost, chemistry="lifepo4")
    assert "takes nothing below freezing" in said(frost, "maintained")


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        (
            {"topped_up": "yes", "top_up_min": 30.0, "top_up_times": 4.0, "top_up_a": 10.0},
            "The drive battery gives 20 Ah in all: 4 times 30 min with 10 A.",
        ),
        (
            {"topped_up": "unknown"},
            "Whether the drive battery tops it up was not said: not counted on.",
        ),
        ({"topped_up": "no"}, None),
    ],
)
def test_topping_up_is_said_with_its_charge_or_that_nobody_said(
    fields: dict[str, Any], words: str | None
) -> None:
    vehicle = edits.change_parking(van(), starts_by="contactors", **fields)
    found = lines(vehicle).get("topped_up")
    assert (None if found is None else plain(found.words)) == words


def test_a_line_leads_to_its_field_and_learning_to_how_it_is_reckoned(qtbot: Any) -> None:
    vehicle = edits.change_parking(van(), night_c=0.0, day_c=20.0, maintainer=SUN)
    view = page_of(edits.add_stand_reading(vehicle, NIGHT), qtbot)
    shown = [line for line in view.main.known.lines if not line.isHidden()]
    assert [each.key for each in view.main.known.shown] == [
        "learned", "day_and_night", "maintained",
    ]  # fmt: skip
    qtbot.mouseClick(shown[0], Qt.MouseButton.LeftButton)
    assert view.sheet.showing == "reckoned"
    learned = plain(view.sheet._made["reckoned"].learned.text())  # type: ignore[attr-defined]
    assert learned.startswith("Learned from what was read:")
    assert "before it was" in learned
    for line, field in zip(shown[1:], ("parking_night_c", "maintainer_current_a"), strict=True):
        qtbot.mouseClick(line, Qt.MouseButton.LeftButton)
        assert view.sheet.showing == "parking"
        qtbot.waitUntil(
            lambda field=field: (
                view.focusWidget() is not None and view.focusWidget().objectName() == field
            )
        )


def test_a_page_without_any_of_it_gives_the_room_to_the_chart(qtbot: Any) -> None:
    view = page_of(van(), qtbot)
    assert view.main.known.isHidden()
