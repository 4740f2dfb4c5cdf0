"""The recommended section: the smallest that passes every criterion."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec.structs import replace

from fusemap.electrics.cable_heat import conductor_temperature
from fusemap.electrics.protection import adiabatic_k
from fusemap.electrics.sizing import (
    CRITERIA,
    CableDuty,
    Sections,
    recommend_section,
    section_checks,
)
from fusemap.errors import InputProblem

OFFER = Sections(
    np.array([0.35, 0.5, 0.75, 1.0, 1.5, 2.0, 2.5, 3.0, 4.0, 6.0, 8.0, 10.0, 16.0, 25.0]),
    np.array([54.4, 37.1, 24.7, 18.5, 12.7, 9.42, 7.6, 6.15, 4.71, 3.14, 2.38, 1.82, 1.16, 0.743]),
    np.array([1.4, 1.6, 1.9, 2.1, 2.4, 2.8, 3.0, 3.4, 3.7, 4.3, 5.0, 6.0, 7.2, 8.7]),
)
COUNT = len(OFFER.area_mm2)

# 5 A at the end of 4 m, body return, behind a 7.5 A mini
DUTY = CableDuty(
    load_a=5.0,
    plus_m=4.0,
    return_m=0.5,
    fixed_ohm=0.005,
    allowed_drop_v=0.36,
    ambient_c=25.0,
    limit_c=105.0,
    rating_a=7.5,
    overload_limit_c=130.0,
    short_i2t_a2s=4.0 * 7.5**2 * 5.0,
    k=adiabatic_k(105.0, 160.0),
    u_min_v=11.0,
    other_ohm=0.05,
)

# a duty for each criterion, in which that one decides
DECIDING = {
    "drop": replace(DUTY, allowed_drop_v=0.2),
    "heat": replace(DUTY, load_a=7.0, plus_m=0.5, allowed_drop_v=3.0, ambient_c=85.0, limit_c=90.0),
    "overload": replace(
        DUTY, plus_m=0.5, allowed_drop_v=3.0, load_a=1.0, rating_a=15.0, short_i2t_a2s=100.0
    ),
    "short": replace(
        DUTY, plus_m=0.5, allowed_drop_v=3.0, rating_a=10.0, load_a=1.0, short_i2t_a2s=5e4
    ),
    "far_end": replace(DUTY, plus_m=20.0, load_a=0.1, rating_a=10.0),
    "floor": replace(DUTY, plus_m=0.5, load_a=0.1, rating_a=2.0, short_i2t_a2s=80.0),
}


@st.composite
def duties(draw: st.DrawFn) -> CableDuty:
    rating = draw(st.sampled_from([2.0, 3.0, 5.0, 7.5, 10.0, 15.0, 20.0, 30.0, 40.0]))
    limit = draw(st.sampled_from([85.0, 105.0, 125.0]))
    return CableDuty(
        load_a=draw(st.floats(0.0, rating)),
        plus_m=draw(st.floats(0.1, 15.0)),
        return_m=draw(st.floats(0.0, 15.0)),
        fixed_ohm=draw(st.floats(0.0, 0.01)),
        allowed_drop_v=draw(st.sampled_from([0.36, 0.6, 1.2])),
        ambient_c=draw(st.floats(-20.0, 80.0)),
        limit_c=limit,
        rating_a=rating,
        overload_limit_c=limit + 25.0,
        short_i2t_a2s=20.0 * rating**2,
        k=float(adiabatic_k(limit, limit + 55.0)),
        u_min_v=11.0,
        other_ohm=draw(st.floats(0.01, 0.08)),
    )


@settings(max_examples=100)
@given(duty=duties())
def test_the_recommended_section_passes_all_and_the_next_smaller_one_fails(duty):
    choice = recommend_section(OFFER, duty)
    assert tuple(choice.checks) == CRITERIA
    if choice.index is None:
        assert not choice.passes.any()
        assert choice.area_mm2 is None
        failing = COUNT - 1
    else:
        assert choice.area_mm2 == OFFER.area_mm2[choice.index]
        assert all(check.at(np.s_[choice.index]).passed for check in spread(choice.checks).values())
        failing = choice.index - 1
    if failing < 0:
        assert choice.decided_by == ""
    else:
        assert not choice.passes[failing]
        assert not spread(choice.checks)[choice.decided_by].at(failing).passed


def spread(checks):
    """Every comparison stretched to one figure per section on offer."""
    zeros = np.zeros(COUNT)
    return {name: replace(check, found=check.found + zeros) for name, check in checks.items()}


@settings(max_examples=60)
@given(duty=duties(), more=st.floats(0.0, 10.0))
def test_a_longer_way_never_gets_a_thinner_cable(duty, more):
    near, far = recommend_section(OFFER, duty), longer(duty, more)
    assert size(near) <= size(recommend_section(OFFER, far))


def longer(duty: CableDuty, more: float) -> CableDuty:
    return replace(duty, plus_m=duty.plus_m + more)


def size(choice) -> float:
    return np.inf if choice.area_mm2 is None else choice.area_mm2


@settings(max_examples=60)
@given(duty=duties(), more=st.floats(0.0, 5.0))
def test_a_larger_load_never_gets_a_thinner_cable(duty, more):
    heavier = replace(duty, load_a=duty.load_a + more)
    assert size(recommend_section(OFFER, duty)) <= size(recommend_section(OFFER, heavier))


@settings(max_examples=60)
@given(duty=duties(), warmer=st.floats(0.0, 60.0))
def test_a_hotter_place_never_gets_a_thinner_cable(duty, warmer):
    hotter = replace(duty, ambient_c=duty.ambient_c + warmer)
    assert size(recommend_section(OFFER, duty)) <= size(recommend_section(OFFER, hotter))


@pytest.mark.parametrize("criterion", CRITERIA)
def test_every_criterion_can_be_the_one_that_decides(criterion):
    choice = recommend_section(OFFER, DECIDING[criterion])
    assert choice.index is not None
    assert choice.decided_by == criterion


def test_the_drop_can_be_redone_by_hand():
    checks = section_checks(OFFER, DUTY)
    warm = conductor_temperature(5.0, 12.7, 1.5, 2.4, 25.0)
    by_hand = 5.0 * (4.5 * 12.7 / 1000.0 * (1.0 + 0.00393 * (warm - 20.0)) + 0.005)
    assert checks["drop"].at(4).found == pytest.approx(by_hand)
    assert checks["drop"].limit == 0.36
    assert checks["floor"].at(4).found == 1.5


def test_the_far_end_can_be_redone_by_hand():
    hot = 4.5 * 12.7 / 1000.0 * (1.0 + 0.00393 * 65.0) + 0.005 + 0.05
    checks = section_checks(OFFER, DUTY)
    assert checks["far_end"].at(4).found == pytest.approx(11.0 / hot / 7.5)


def test_with_the_smallest_on_offer_nothing_decides():
    choice = recommend_section(OFFER, replace(DECIDING["floor"], floor_mm2=0.1))
    assert (choice.index, choice.decided_by) == (0, "")


def test_if_none_passes_the_largest_one_s_worst_criterion_is_named():
    choice = recommend_section(OFFER, replace(DUTY, load_a=7.0, plus_m=400.0))
    assert (choice.index, choice.area_mm2, choice.decided_by) == (None, None, "drop")


def test_a_load_that_melts_the_copper_is_stopped_by_heat():
    choice = recommend_section(OFFER, replace(DUTY, load_a=5000.0, allowed_drop_v=1e6))
    assert choice.decided_by in ("heat", "overload")
    assert not np.isnan(choice.checks["drop"].found).any()


def test_many_cables_at_once_are_each_as_alone():
    loads, lengths = np.array([0.5, 5.0, 7.0]), np.array([1.0, 4.0, 12.0])
    many = replace(DUTY, load_a=loads[:, None], plus_m=lengths[:, None])
    together = section_checks(OFFER, many)
    for row, (load, length) in enumerate(zip(loads, lengths, strict=True)):
        alone = section_checks(OFFER, replace(DUTY, load_a=load, plus_m=length))
        for name in CRITERIA:
            found = np.broadcast_to(together[name].found, (3, COUNT))[row]
            assert found == pytest.approx(np.broadcast_to(alone[name].found, COUNT))


@pytest.mark.parametrize(
    ("change", "where"),
    [
        ({"allowed_drop_v": -0.1}, "allowed_drop_v"),
        ({"allowed_drop_v": float("nan")}, "allowed_drop_v"),
        ({"limit_c": float("nan")}, "limit_c"),
        ({"floor_mm2": float("nan")}, "floor_mm2"),
        ({"load_a": -1.0}, "load_a"),
        ({"plus_m": -1.0}, "plus_m"),
        ({"return_m": float("inf")}, "return_m"),
        ({"fixed_ohm": -0.1}, "fixed_ohm"),
        ({"ambient_c": 300.0}, "ambient_c"),
        ({"rating_a": 0.0}, "rating_a"),
        ({"overload_limit_c": float("nan")}, "overload_limit_c"),
        ({"overload_s": -1.0}, "overload_s"),
        ({"overload_multiple": 0.0}, "overload_multiple"),
        ({"short_i2t_a2s": -1.0}, "short_i2t_a2s"),
        ({"k": 0.0}, "k"),
        ({"u_min_v": 0.0}, "u_min_v"),
        ({"other_ohm": -0.1}, "other_ohm"),
        ({"wanted_multiple": 0.0}, "wanted_multiple"),
    ],
)
def test_a_duty_with_a_figure_that_makes_no_sense_is_refused_by_name(change, where):
    with pytest.raises(InputProblem) as refusal:
        section_checks(OFFER, replace(DUTY, **change))
    assert refusal.value.where == where


@pytest.mark.parametrize(
    ("area", "r20", "od", "where"),
    [
        ([1.5, 1.0], [12.7, 18.5], [2.4, 2.1], "area_mm2"),
        ([1.0, 1.5], [18.5, 12.7, 9.42], [2.1, 2.4], "r20_mohm_per_m"),
        ([1.0, 1.5], [18.5, 12.7], [2.1, 2.4, 3.0], "od_mm"),
        ([1.0, 1.5], [18.5, -12.7], [2.1, 2.4], "r20_mohm_per_m"),
        ([], [], [], "area_mm2"),
    ],
)
def test_an_offer_that_does_not_fit_together_is_refused_by_name(area, r20, od, where):
    with pytest.raises(InputProblem) as refusal:
        Sections(np.array(area), np.array(r20), np.array(od))
    assert refusal.value.where == where
