"""The accessory fuse: the smallest standard rating that does."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fusemap.electrics.fuses import choose_fuse
from fusemap.errors import InputProblem

RATINGS = [2.0, 3.0, 4.0, 5.0, 7.5, 10.0, 15.0, 20.0, 25.0, 30.0]
LIMITS = [0.75 * rating for rating in RATINGS]
# typical melting I²t [A²s], Littelfuse MINI 297 data sheet
MELTING = [2.8, 9.4, 17.0, 25.0, 68.0, 93.0, 270.0, 380.0, 625.0, 1130.0]

loads = st.floats(0.0, 25.0)
inrushes = st.floats(0.0, 300.0)
ceilings = st.floats(1.0, 40.0)


def rating_or_inf(load: float, inrush: float, ceiling: float) -> float:
    choice = choose_fuse(
        load,
        RATINGS,
        LIMITS,
        inrush_i2t_a2s=inrush,
        melting_i2t_a2s=MELTING,
        ceilings={"tap": ceiling},
    )
    return np.inf if choice.rating_a is None else choice.rating_a


@settings(max_examples=100)
@given(load=loads, more=st.floats(0.0, 5.0), inrush=inrushes, ceiling=ceilings)
def test_a_larger_load_never_gets_a_smaller_fuse(load, more, inrush, ceiling):
    assert rating_or_inf(load, inrush, ceiling) <= rating_or_inf(load + more, inrush, ceiling)


@settings(max_examples=100)
@given(load=loads, inrush=inrushes, more=st.floats(0.0, 50.0), ceiling=ceilings)
def test_a_larger_inrush_never_gets_a_smaller_fuse(load, inrush, more, ceiling):
    assert rating_or_inf(load, inrush, ceiling) <= rating_or_inf(load, inrush + more, ceiling)


@settings(max_examples=100)
@given(load=loads, inrush=inrushes, ceiling=ceilings)
def test_the_choice_keeps_every_limit_and_the_next_smaller_breaks_the_named_one(
    load, inrush, ceiling
):
    choice = choose_fuse(
        load,
        RATINGS,
        LIMITS,
        inrush_i2t_a2s=inrush,
        melting_i2t_a2s=MELTING,
        ceilings={"tap": ceiling},
    )
    checks = {"load": choice.load, **choice.ceilings}
    if choice.inrush is not None:
        checks["inrush"] = choice.inrush
    if choice.rating_a is None:
        every = np.all([check.passed for check in checks.values()], axis=0)
        assert not every.any()
        assert choice.reason in checks
        return
    index = RATINGS.index(choice.rating_a)
    assert all(check.at(index).passed for check in checks.values())
    if choice.reason:
        assert not checks[choice.reason].at(index - 1).passed
    else:
        assert index == 0


def test_inrush_can_decide_over_the_load():
    # 3 A lasting, but 10 A²s 100 000 times: 22 % of 68 A²s
    choice = choose_fuse(3.0, RATINGS, LIMITS, inrush_i2t_a2s=10.0, melting_i2t_a2s=MELTING)
    assert (choice.rating_a, choice.reason) == (7.5, "inrush")


def test_few_pulses_let_the_smaller_fuse_be():
    choice = choose_fuse(
        3.0, RATINGS, LIMITS, inrush_i2t_a2s=10.0, melting_i2t_a2s=MELTING, pulses=100
    )
    assert (choice.rating_a, choice.reason) == (5.0, "inrush")


def test_a_fuse_without_published_melting_i2t_is_marked_not_refused():
    unknown = [np.nan] * len(RATINGS)
    choice = choose_fuse(3.0, RATINGS, LIMITS, inrush_i2t_a2s=10.0, melting_i2t_a2s=unknown)
    assert (choice.rating_a, choice.inrush_unknown) == (4.0, True)
    assert choose_fuse(3.0, RATINGS, LIMITS, inrush_i2t_a2s=10.0).inrush_unknown


def test_without_an_inrush_nothing_about_it_is_said():
    choice = choose_fuse(3.0, RATINGS, LIMITS)
    assert choice.inrush is None
    assert not choice.inrush_unknown


def test_the_lowest_ceiling_in_the_way_is_named():
    choice = choose_fuse(12.0, RATINGS, LIMITS, ceilings={"cable": 15.0, "tap": 10.0, "host": 30.0})
    assert (choice.rating_a, choice.reason) == (None, "tap")
    assert choice.ceilings["host"].at(7).passed


def test_a_ceiling_that_no_fuse_reaches_is_no_ceiling():
    choice = choose_fuse(12.0, RATINGS, LIMITS, ceilings={"cable": float("inf")})
    assert choice.rating_a == 20.0


def test_a_load_beyond_the_family_is_told_as_load():
    assert choose_fuse(40.0, RATINGS, LIMITS).reason == "load"
    beyond = choose_fuse(3.0, RATINGS, LIMITS, inrush_i2t_a2s=1e6, melting_i2t_a2s=MELTING)
    assert (beyond.rating_a, beyond.reason) == (None, "inrush")


@pytest.mark.parametrize(
    ("call", "where"),
    [
        (lambda: choose_fuse(-1.0, RATINGS, LIMITS), "load_a"),
        (lambda: choose_fuse(1.0, RATINGS[::-1], LIMITS), "ratings_a"),
        (lambda: choose_fuse(1.0, RATINGS, LIMITS[:-1]), "limits_a"),
        (lambda: choose_fuse(1.0, RATINGS, LIMITS, inrush_i2t_a2s=-1.0), "inrush_i2t_a2s"),
        (
            lambda: choose_fuse(
                1.0, RATINGS, LIMITS, inrush_i2t_a2s=1.0, melting_i2t_a2s=MELTING[:-1]
            ),
            "melting_i2t_a2s",
        ),
        (
            lambda: choose_fuse(
                1.0, RATINGS, LIMITS, inrush_i2t_a2s=1.0, melting_i2t_a2s=[0.0] * len(RATINGS)
            ),
            "melting_i2t_a2s",
        ),
        (lambda: choose_fuse(1.0, RATINGS, LIMITS, ceilings={"tap": -10.0}), "tap"),
        (lambda: choose_fuse(1.0, RATINGS, LIMITS, ceilings={"tap": float("nan")}), "tap"),
    ],
)
def test_figures_that_make_no_choice_are_refused_by_name(call, where):
    with pytest.raises(InputProblem) as refusal:
        call()
    assert refusal.value.where == where
