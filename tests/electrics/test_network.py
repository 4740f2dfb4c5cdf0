"""The network against sums by hand and against the laws it stands on."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fusemap.electrics.network import solve, tree
from fusemap.errors import InputProblem


@st.composite
def networks(draw: st.DrawFn) -> dict[str, object]:
    """A random tree with small resistances and loads of every kind, far from collapse."""
    count = draw(st.integers(1, 12))
    parent = [draw(st.integers(-1, i - 1)) for i in range(count)]
    ohm = [draw(st.floats(0.0, 0.02)) for _ in range(count)]
    load = [draw(st.floats(0.0, 5.0)) for _ in range(count)]
    kind = [draw(st.sampled_from([-1.0, 0.0, 0.55, 1.0])) for _ in range(count)]
    return {
        "network": tree(parent),
        "resistance_ohm": np.array(ohm),
        "load_a": np.array(load),
        "load_exponent": np.array(kind),
        "load_at_v": 12.0,
        "emf_v": 12.6,
    }


def test_voltage_falls_by_current_times_resistance_on_the_way() -> None:
    found = solve(tree([-1, 0]), resistance_ohm=[0.1, 0.4], emf_v=12.0, load_a=[2.0, 4.0])
    assert found.current_a == pytest.approx([6.0, 4.0])
    assert found.voltage_v == pytest.approx([12.0 - 0.6, 12.0 - 0.6 - 1.6])


def test_a_resistive_network_equals_the_nodal_solution() -> None:
    """Conductance matrix solved by numpy: the textbook way, another way than the module's."""
    parent = [-1, 0, 1, 1, 0]
    ohm = np.array([0.05, 0.1, 0.2, 0.3, 0.15])
    load_ohm = np.array([np.inf, 12.0, 6.0, 4.0, 24.0])
    nodal = np.zeros((5, 5))
    right = np.zeros(5)
    for node, above in enumerate(parent):
        nodal[node, node] += 1 / ohm[node] + 1 / load_ohm[node]
        if above < 0:
            right[node] += 12.6 / ohm[node]
        else:
            nodal[above, above] += 1 / ohm[node]
            nodal[node, above] -= 1 / ohm[node]
            nodal[above, node] -= 1 / ohm[node]
    found = solve(
        tree(parent),
        resistance_ohm=ohm,
        emf_v=12.6,
        load_a=12.0 / load_ohm,
        load_at_v=12.0,
        load_exponent=1.0,
    )
    assert found.voltage_v == pytest.approx(np.linalg.solve(nodal, right), abs=1e-9)


@pytest.mark.parametrize("watts", [1.0, 100.0, 300.0, 359.9])
def test_constant_power_on_one_branch_has_its_closed_form(watts: float) -> None:
    found = solve(
        tree([-1]),
        resistance_ohm=[0.1],
        emf_v=12.0,
        load_a=[watts / 12.0],
        load_at_v=12.0,
        load_exponent=[-1.0],
    )
    by_hand = (12.0 + np.sqrt(144.0 - 4 * 0.1 * watts)) / 2
    assert found.voltage_v[0] == pytest.approx(by_hand, abs=1e-6)
    assert not found.collapsed[0]


@pytest.mark.parametrize("watts", [360.1, 500.0, 50_000.0])
def test_above_a_quarter_of_e_squared_over_r_the_voltage_collapses(watts: float) -> None:
    found = solve(
        tree([-1]),
        resistance_ohm=[0.1],
        emf_v=12.0,
        load_a=[watts / 12.0],
        load_at_v=12.0,
        load_exponent=[-1.0],
    )
    assert found.collapsed[0]
    assert 0.0 < found.voltage_v[0] < 6.0


def test_one_collapsed_load_is_named_among_sound_ones() -> None:
    found = solve(
        tree([-1, 0, 0]),
        resistance_ohm=[0.01, 2.0, 0.01],
        emf_v=12.0,
        load_a=[0.0, 10.0, 5.0],
        load_at_v=12.0,
        load_exponent=[0.0, -1.0, -1.0],
    )
    assert found.collapsed.tolist() == [False, True, False]


def test_what_hangs_below_a_dead_branch_is_dead() -> None:
    found = solve(
        tree([-1, 0, 1, 0]),
        resistance_ohm=[0.1] * 4,
        emf_v=12.0,
        load_a=[0.0, 1.0, 1.0, 1.0],
        live=[True, False, True, True],
    )
    assert found.voltage_v.tolist() == pytest.approx([11.9, 0.0, 0.0, 11.8])
    assert found.current_a.tolist() == [1.0, 0.0, 0.0, 1.0]


def test_states_are_solved_side_by_side() -> None:
    both = solve(
        tree([-1, 0]),
        resistance_ohm=[0.1, 0.2],
        emf_v=[12.0, 14.0],
        load_a=[[1.0, 2.0], [3.0, 4.0]],
        load_exponent=[-1.0, 1.0],
    )
    for row, (emf, load) in enumerate([(12.0, [1.0, 2.0]), (14.0, [3.0, 4.0])]):
        alone = solve(
            tree([-1, 0]),
            resistance_ohm=[0.1, 0.2],
            emf_v=emf,
            load_a=load,
            load_exponent=[-1.0, 1.0],
        )
        assert both.voltage_v[row] == pytest.approx(alone.voltage_v, abs=1e-9)


def test_resistances_may_follow_the_currents() -> None:
    """A fuse whose resistance grows with its current: V = 12 − I²·0.01 at a constant 10 A."""
    found = solve(
        tree([-1]),
        resistance_ohm=[0.0],
        emf_v=12.0,
        load_a=[10.0],
        refresh=lambda current: 0.01 * current,
    )
    assert found.voltage_v[0] == pytest.approx(12.0 - 10.0 * 0.1)


def test_impossible_trees_and_figures_are_refused() -> None:
    with pytest.raises(InputProblem, match="no node 7"):
        tree([-1, 7])
    with pytest.raises(InputProblem, match="hangs on itself"):
        tree([1, 0])
    with pytest.raises(InputProblem, match="resistance_ohm"):
        solve(tree([-1]), resistance_ohm=[-0.1], emf_v=12.0, load_a=[1.0])
    with pytest.raises(InputProblem, match="load_exponent"):
        solve(tree([-1]), resistance_ohm=[0.1], emf_v=12.0, load_a=[1.0], load_exponent=[2.0])


@given(networks())
@settings(max_examples=60, deadline=None)
def test_currents_sum_to_zero_at_every_node(given_network: dict[str, object]) -> None:
    found = solve(**given_network)
    parent = given_network["network"].parent
    for node in range(parent.size):
        below = found.current_a[parent == node].sum()
        assert found.current_a[node] == pytest.approx(found.load_current_a[node] + below, abs=1e-9)


@given(networks(), st.integers(0, 11), st.floats(0.1, 3.0))
@settings(max_examples=60, deadline=None)
def test_more_load_never_raises_a_voltage(
    given_network: dict[str, object], node: int, more: float
) -> None:
    before = solve(**given_network)
    load = given_network["load_a"].copy()
    load[node % load.size] += more
    after = solve(**{**given_network, "load_a": load})
    assert (after.voltage_v <= before.voltage_v + 1e-8).all()


@given(networks(), st.integers(0, 11), st.floats(0.001, 0.02))
@settings(max_examples=60, deadline=None)
def test_more_resistance_never_raises_a_voltage_below_it(
    given_network: dict[str, object], node: int, more: float
) -> None:
    before = solve(**given_network)
    ohm = given_network["resistance_ohm"].copy()
    node %= ohm.size
    ohm[node] += more
    after = solve(**{**given_network, "resistance_ohm": ohm})
    below = given_network["network"].on_way[:, node] > 0
    assert (after.voltage_v[below] <= before.voltage_v[below] + 1e-8).all()
