"""What standings showed is learned from: spans get narrower, and still contain the truth."""

from typing import Any

import msgspec.structs
import numpy as np
import pytest

from fusemap.assess import assess
from fusemap.assess.parked.band import HIGH, LOW, ParkedBand, parked_band
from fusemap.assess.parked.learning import LEAST, Learned
from fusemap.errors import EditRefused
from fusemap.vehicle import CrankReading, StandReading, Vehicle, edits
from tests.plain import plain
from tests.planted import CHEMISTRIES, SEASONS, Truth, planted

COUNT = 300
DRAWS = 1000


def band_of(vehicle: Vehicle, draws: int = DRAWS) -> ParkedBand:
    return parked_band(assess(vehicle), draws=draws)


def learned(band: ParkedBand) -> Learned:
    assert band.learned is not None
    return band.learned


def ends(band: ParkedBand, key: str) -> tuple[tuple[float, float], tuple[float, float]]:
    """The ends of a figure before and after what was read."""
    found = next(each for each in learned(band).narrowed if each.key == key)
    return found.before, found.after


def one(seed: int = 3, chemistry: str = "flooded", season: str = "spring") -> Truth:
    return planted(np.random.default_rng(seed), chemistry, season)


def night(amperes: float, **more: Any) -> StandReading:
    return StandReading(kind="night", hours=14.0, mean_a=amperes, **more)


# --- planted truth --------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def followed() -> list[tuple[Truth, ParkedBand, ParkedBand]]:
    """Planted vehicles: their bands before and after a night, two rest readings and a start."""
    rng = np.random.default_rng(16)
    cells = [(chemistry, season) for chemistry in CHEMISTRIES for season in SEASONS]
    found = []
    for number in range(COUNT):
        truth = planted(rng, *cells[number % len(cells)])
        readings = [truth.night()]
        if truth.chemistry != "lifepo4":
            hours = 0.2 * truth.held_ah / truth.drawn_a  # until a fifth is gone
            readings += [truth.rests(max(24.0, hours)), truth.start(float(rng.uniform(0.3, 0.8)))]
        before = band_of(truth.vehicle, 400)
        found.append((truth, before, band_of(truth.showing(*readings), 400)))
    return found


def is_inside(truth: Truth, band: ParkedBand, rng: np.random.Generator) -> bool:
    hours = truth.hours if truth.hours < 1440.0 else np.inf
    below = np.mean(band.hours < hours) + rng.random() * np.mean(band.hours == hours)
    return bool(LOW <= below <= HIGH)


def test_what_was_learned_still_contains_the_truth_of_nine_in_ten(followed: Any) -> None:
    """Of 300 vehicles one count in twenty is farther off than 3.4 points."""
    rng = np.random.default_rng(1)
    found = [is_inside(truth, after, rng) for truth, _, after in followed]
    assert np.mean(found) == pytest.approx(0.90, abs=0.035)


def test_and_tells_more_than_was_known_before(followed: Any) -> None:
    widths = []
    for _, before, after in followed:
        if np.isfinite([before.low_h, before.high_h, after.high_h]).all() and before.high_h > 0:
            widths.append((after.high_h - after.low_h) / (before.high_h - before.low_h))
    assert len(widths) > 40
    assert np.median(widths) < 0.75
    # no reading of a battery makes it less known by much: at most as far as chance moves an end
    assert np.quantile(widths, 0.9) < 1.25


def test_a_night_by_a_clamp_tells_what_it_draws(followed: Any) -> None:
    for truth, _, after in followed:
        before, now = ends(after, "draw")
        assert now[1] - now[0] <= before[1] - before[0] + 1e-9
        assert now[0] * 0.75 <= truth.drawn_a <= now[1] * 1.25


def test_no_span_hangs_on_a_few_of_the_draws(followed: Any) -> None:
    for _, _, after in followed:
        assert learned(after).effective >= LEAST * after.draws - 1e-6
        assert after.low_h <= after.middle_h <= after.high_h


# --- each reading by itself -----------------------------------------------------------------------


def test_a_battery_that_sinks_faster_is_smaller_or_draws_more() -> None:
    truth = one()
    hours = 0.2 * truth.held_ah / truth.drawn_a
    first = truth.volts(0.9)
    sunk = first - truth.volts(truth.soc_after(0.9, hours))
    fast, slow = (
        band_of(
            truth.showing(
                StandReading(
                    kind="rests",
                    hours=hours,
                    rest_v=first,
                    later_v=first - sunk * factor,
                    fitted=truth.fitted,
                )
            )
        )
        for factor in (1.5, 0.6)
    )
    assert fast.middle_h < slow.middle_h
    assert ends(fast, "draw")[1][1] > ends(slow, "draw")[1][1]


def test_a_start_that_failed_says_that_a_start_needs_more() -> None:
    truth = one()
    volts = truth.volts(0.45) + truth.shift()
    held, failed = (
        band_of(
            truth.showing(
                StandReading(
                    kind="start",
                    hours=100.0,
                    rest_v=volts,
                    started=started,
                    temperature_c=truth.celsius,
                )
            )
        )
        for started in (True, False)
    )
    assert held.need[1] < failed.need[1]
    assert held.middle_h > failed.middle_h
    assert ends(held, "need")[1][1] < ends(failed, "need")[1][1]


def test_a_start_without_a_voltage_is_held_against_what_the_standing_left() -> None:
    truth = one()
    plain = band_of(truth.vehicle)
    hours = plain.middle_h
    held, failed = (
        band_of(
            truth.showing(
                StandReading(kind="start", hours=hours, started=started, fitted=truth.fitted)
            )
        )
        for started in (True, False)
    )
    assert failed.middle_h < plain.middle_h < held.middle_h


def test_each_later_reading_adds_to_what_is_known() -> None:
    """Ten nights by a clamp with a zero that drifts are worth more than one."""
    truth = one(5)
    first = band_of(truth.showing(night(truth.drawn_a, fitted=truth.fitted)))
    more = band_of(truth.showing(*[night(truth.drawn_a, fitted=truth.fitted)] * 6))
    widths = [np.diff(ends(band, "draw")[1])[0] for band in (first, more)]
    assert widths[1] < widths[0] < np.diff(ends(first, "draw")[0])[0]


def test_what_was_not_fitted_then_is_not_in_the_reading() -> None:
    """The same current without the camera is the vehicle's alone: with the camera it is more."""
    truth = one()
    alone = band_of(truth.showing(night(0.08)))
    together = band_of(truth.showing(night(0.08, fitted=truth.fitted)))
    assert ends(alone, "draw")[1][1] > ends(together, "draw")[1][1]


def test_a_reading_that_no_draw_would_have_shown_contradicts_and_widens() -> None:
    truth = one()
    found = learned(band_of(truth.showing(night(3.0, fitted=truth.fitted))))
    assert found.widened
    assert found.effective >= LEAST * DRAWS - 1e-6
    assert len(found.contradicts) == 1
    assert any("contradicts the rest" in plain(each) for each in found.words)


def test_two_readings_against_each_other_leave_the_span_wide() -> None:
    """A start held where one failed at more charge: the limit lies between, or one was mistold."""
    truth = one()
    high, low = (truth.volts(soc) + truth.shift() for soc in (0.7, 0.3))
    readings = [
        StandReading(
            kind="start", hours=24.0, rest_v=volts, started=started, temperature_c=truth.celsius
        )
        for volts, started in ((high, False), (low, True))
    ]
    band = band_of(truth.showing(*readings))
    assert learned(band).effective >= LEAST * DRAWS - 1e-6
    assert band.need[2] - band.need[0] > 0.05


def test_something_unrelated_moves_nothing_of_what_was_learned() -> None:
    truth = one()
    made = truth.showing(truth.night(), truth.start(0.6))
    more = edits.add_panel(
        edits.add_accessory(made, "Lamp", watts=5.0, works_in=("running",)), "P", 2, 2
    )
    first, second = band_of(made), band_of(more)
    assert (first.low_h, first.middle_h, first.high_h) == (
        second.low_h,
        second.middle_h,
        second.high_h,
    )
    assert learned(first).picked.tolist() == learned(second).picked.tolist()


def test_without_readings_nothing_is_learned() -> None:
    assert band_of(one().vehicle, 50).learned is None


def test_an_accessory_that_is_taken_off_leaves_the_reading_without_it() -> None:
    truth = one()
    made = truth.showing(night(0.08, fitted=truth.fitted))
    gone = edits.remove_accessory(made, truth.vehicle.accessories[0].id)
    assert gone.battery.stand_readings[0].fitted == ()
    assert band_of(gone, 50).learned is not None


# --- several starts followed with a meter ---------------------------------------------------------


def followed_starts(*readings: CrankReading) -> Vehicle:
    made = edits.change_battery(Vehicle(name="Car"), capacity_ah=70.0, cca_a=680.0, rest_v=12.5)
    made = edits.change_parking(
        made, engine_fuel="diesel", engine_l=2.0, coldest_c=-10.0, rest_current_a=0.03
    )
    for each in readings:
        made = edits.add_crank_reading(made, each)
    return made


MILD = CrankReading(rest_v=12.55, crank_v=10.4, temperature_c=15.0, response="steady")
COLD = CrankReading(rest_v=12.45, crank_v=9.6, temperature_c=-8.0, response="steady")


def test_a_later_start_in_the_cold_takes_the_place_of_a_warm_one_and_is_narrower() -> None:
    warm, cold = (band_of(followed_starts(*each)) for each in ((MILD,), (COLD,)))
    assert warm.need[2] == np.inf
    assert cold.need[2] < 1.0


def test_each_further_start_adds_to_the_one_that_it_is_reckoned_from() -> None:
    alone, more, most = (
        band_of(followed_starts(*each)) for each in ((COLD,), (MILD, COLD), (MILD, COLD, MILD))
    )
    widths = [band.need[2] - band.need[0] for band in (alone, more, most)]
    assert alone.learned is None
    assert [learned(band).readings for band in (more, most)] == [1, 2]
    assert widths[2] < widths[1] < widths[0]


def test_a_start_that_another_does_not_allow_is_told() -> None:
    """6.5 V at 10 °C and 10.5 V at −8 °C are not of one battery."""
    cold = msgspec.structs.replace(COLD, crank_v=10.5)
    low = msgspec.structs.replace(COLD, crank_v=6.5, temperature_c=10.0)
    found = learned(band_of(followed_starts(cold, low)))
    assert found.widened
    assert [plain(each) for each in found.contradicts] == [
        "12.45 V at rest, 6.5 V while it turned, 10 °C"
    ]


# --- what cannot be a reading ---------------------------------------------------------------------


@pytest.mark.parametrize(
    "reading",
    [
        StandReading(kind="night", hours=14.0),
        StandReading(kind="night", hours=0.5, mean_a=0.05),
        StandReading(kind="rests", hours=48.0, rest_v=12.6),
        StandReading(kind="rests", hours=3.0, rest_v=12.6, later_v=12.5),
        StandReading(kind="rests", hours=48.0, rest_v=12.4, later_v=12.7),
        StandReading(kind="rests", hours=48.0, rest_v=25.2, later_v=25.0),
        StandReading(kind="start", hours=48.0),
    ],
)
def test_what_no_standing_shows_is_refused(reading: StandReading) -> None:
    with pytest.raises(EditRefused) as refused:
        edits.add_stand_reading(one().vehicle, reading)
    assert str(refused.value)


def test_the_reading_kept_is_the_one_given() -> None:
    reading = night(0.05, note="after the concert", when="2025-05-17")
    made = edits.add_stand_reading(one().vehicle, reading)
    assert made.battery.stand_readings == (reading,)
    changed = msgspec.structs.replace(reading, mean_a=0.06)
    made = edits.add_stand_reading(made, changed)
    assert edits.remove_stand_reading(made, 0).battery.stand_readings == (changed,)


def test_a_night_by_a_clamp_is_an_answer_where_the_rest_current_was_never_measured() -> None:
    """The low end is made with the hard end of what nobody answered: not with one it excludes."""
    bare = edits.change_parking(one().vehicle, rest_current_a=None)
    bare = edits.remove_accessory(bare, bare.accessories[0].id)
    quiet, hungry = (
        band_of(edits.add_stand_reading(bare, night(amperes)), 400) for amperes in (0.02, 0.06)
    )
    assert band_of(bare, 400).low_h < quiet.low_h
    assert hungry.low_h < quiet.low_h
    assert quiet.before is not None
    assert quiet.before[0] == pytest.approx(band_of(bare, 400).low_h)
