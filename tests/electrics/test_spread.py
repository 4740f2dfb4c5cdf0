"""Ranges into bands: how far off the answer may be, and what to measure next."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fusemap.electrics import spread
from fusemap.electrics.battery import CrankLimit, TwoWell
from fusemap.electrics.parked import Draw, forecast
from fusemap.electrics.spread import quantiles
from fusemap.electrics.values import Floats
from fusemap.errors import InputProblem
from tests.second_way import one_at_a_time, swings

STANDING = {
    "start charge": (0.75, 0.9, 1.0),
    "temperature": (-10.0, 15.0, 30.0),
    "crank limit": (0.4, 0.5, 0.6),
    "health": (0.6, 0.85, 1.0),
    "rest current": (0.05, 0.05, 0.08),
    "self-discharge": (0.02, 0.04, 0.10),
}


def days_standing(given: dict[str, Floats]) -> Floats:
    battery = TwoWell(
        70.0, (0.0, 0.5, 1.0), (11.8, 12.2, 12.6),
        soh=given["health"], self_discharge_share_30d_20c=given["self-discharge"],
    )  # fmt: skip
    result = forecast(
        battery, given["start charge"], (Draw.constant("rest", given["rest current"]),),
        temperature_c=given["temperature"], crank=CrankLimit(given["crank limit"]),
        horizon_h=200.0 * 24.0,
    )  # fmt: skip
    return np.asarray(result.hours_to_crank_limit) / 24.0


@given(
    low=st.floats(-50.0, 50.0),
    up=st.floats(0.0, 20.0),
    further=st.floats(0.0, 20.0),
    seed=st.integers(0, 100),
)
def test_draws_stay_within_their_range(low: float, up: float, further: float, seed: int) -> None:
    values = spread.draws({"x": (low, low + up, low + up + further)}, n=50, seed=seed)["x"]
    assert (values >= low - 1e-12).all()
    assert (values <= low + up + further + 1e-12).all()


def test_draws_have_the_mean_and_spread_of_a_triangle() -> None:
    a, c, b = 0.6, 0.85, 1.0
    values = spread.draws({"soh": (a, c, b)}, n=2000)["soh"]
    assert values.mean() == pytest.approx((a + b + c) / 3, abs=1e-4)
    variance = (a * a + b * b + c * c - a * b - a * c - b * c) / 18
    assert values.var() == pytest.approx(variance, rel=1e-2)


def test_draws_fill_every_part_of_the_range_once() -> None:
    values = np.sort(spread.draws({"x": (0.0, 0.0, 1.0)}, n=100)["x"])
    share = 1.0 - (1.0 - values) ** 2
    assert np.floor(share * 100 + 1e-9).astype(int).tolist() == list(range(100))


def test_the_same_seed_draws_the_same() -> None:
    first, again, other = (
        spread.draws({"x": (0.0, 1.0, 2.0)}, n=20, seed=seed)["x"] for seed in (3, 3, 4)
    )
    assert (first == again).all()
    assert (first != other).any()


def test_inputs_are_drawn_independently() -> None:
    found = spread.draws({"x": (0.0, 1.0, 2.0), "y": (0.0, 1.0, 2.0)})
    assert abs(np.corrcoef(found["x"], found["y"])[0, 1]) < 0.1


def test_a_range_must_rise() -> None:
    with pytest.raises(InputProblem, match="soh"):
        spread.draws({"soh": (0.9, 0.8, 1.0)})
    with pytest.raises(InputProblem, match="soc"):
        spread.draws({"soc": (0.9, float("nan"), 1.0)})


def test_what_is_drawn_for_one_input_does_not_hang_on_the_others() -> None:
    """The same numbers before and after something is added: what differs is its effect."""
    x, y = (0.0, 1.0, 2.0), (0.0, 1.0, 2.0)
    before = spread.draws({"x": x})
    after = spread.draws({"new": y, "y": y, "x": x})
    assert (before["x"] == after["x"]).all()
    assert abs(np.corrcoef(after["x"], after["y"])[0, 1]) < 0.1
    assert (spread.draws({"x": x}, n=20)["x"] != before["x"][:20]).any()


def test_the_band_holds_nine_tenths_of_the_draws() -> None:
    values = np.arange(1000.0)
    band = spread.band(values)
    assert (band.low, band.middle, band.high) == (49.0, 499.0, 949.0)


@pytest.mark.parametrize("count", [1, 2, 3, 10, 19, 20, 21, 100, 999, 1000, 1001])
def test_quantiles_are_those_of_numpy(count: int) -> None:
    shares = (0.0, 0.05, 0.1, 0.25, 0.5, 0.9, 0.95, 1.0)
    values = np.random.default_rng(count).normal(size=count)
    values[: count // 20] = np.inf
    expected = np.quantile(values, shares, method="inverted_cdf")
    assert quantiles(values, shares) == expected.tolist()


def test_a_band_may_end_beyond_the_horizon() -> None:
    assert spread.band(np.array([5.0] * 90 + [np.inf] * 10)).high == np.inf


def test_the_band_of_days_encloses_the_typical_days() -> None:
    days = spread.band(days_standing(spread.draws(STANDING)))
    typical = float(days_standing(one_at_a_time(STANDING))[0])
    assert days.low < typical < days.high
    assert days.high > 2.0 * days.low  # the inputs matter far more than the model


def test_the_start_charge_matters_most_and_self_discharge_least() -> None:
    given = spread.draws(STANDING)
    shares = spread.what_matters_most(given, days_standing(given))
    assert sum(share.share for share in shares) == pytest.approx(1.0)
    assert {share.name for share in shares[:3]} == {"start charge", "temperature", "crank limit"}
    assert shares[-1].name == "self-discharge"
    lifts = {share.name: share.lifts for share in shares}
    assert lifts["health"]
    assert not lifts["rest current"]


def test_swings_of_a_standing_vehicle() -> None:
    # computed for this project before, by other code: shares of 15.8 days at 50 mA
    answer = days_standing(one_at_a_time(STANDING))
    assert answer[0] == pytest.approx(15.8, abs=0.05)
    found = swings(list(STANDING), answer)
    expected = {
        "start charge": 0.75,
        "temperature": 0.67,
        "crank limit": 0.61,
        "health": 0.46,
        "rest current": 0.37,
        "self-discharge": 0.06,
    }
    assert found == pytest.approx(expected, abs=0.015)
    assert list(found) == list(expected)


def test_an_input_that_does_nothing_has_no_share() -> None:
    given = spread.draws({"x": (0.0, 1.0, 2.0), "idle": (0.0, 1.0, 2.0)})
    shares = {s.name: s.share for s in spread.what_matters_most(given, np.exp(given["x"]))}
    assert shares["x"] > 0.98


def test_an_answer_that_does_not_vary_has_no_shares() -> None:
    given = spread.draws({"x": (0.0, 1.0, 2.0)}, n=10)
    assert spread.what_matters_most(given, np.full(10, np.inf))[0].share == 0.0


def test_ranks_take_never_as_the_longest() -> None:
    x = np.arange(10.0)
    assert spread.what_matters_most({"x": x}, np.where(x > 6, np.inf, x))[0].lifts


def test_questions_that_do_not_fit_are_refused() -> None:
    with pytest.raises(InputProblem, match="x: as many"):
        spread.what_matters_most({"x": np.arange(3.0)}, np.arange(4.0))
    with pytest.raises(InputProblem, match="values"):
        spread.band(np.array([]))
    with pytest.raises(InputProblem, match="n:"):
        spread.draws({}, n=0)
