"""The network against sums by hand and against the laws it stands on."""

import warnings
from dataclasses import dataclass, replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fusemap.electrics.network import Solution, solve, tree
from fusemap.errors import InputProblem

KINDS = [-1.0, 0.0, 0.55, 1.0]


@dataclass(frozen=True)
class Network:
    """What a network is made of."""

    parent: list[int]
    ohm: np.ndarray
    amps: np.ndarray
    kind: np.ndarray
    live: np.ndarray
    emf_v: float = 12.6

    def solved(self) -> Solution:
        return solve(
            tree(self.parent),
            resistance_ohm=self.ohm,
            emf_v=self.emf_v,
            load_a=self.amps,
            load_exponent=self.kind,
            live=self.live,
        )

    def below(self, node: int) -> np.ndarray:
        return tree(self.parent).on_way[:, node] > 0

    def with_one(self, field: str, node: int, value: float) -> "Network":
        changed = getattr(self, field).copy()
        changed[node] = value
        return replace(self, **{field: changed})


def made(draw: st.DrawFn, most_ohm: float, most_a: float, kinds: list[float] = KINDS) -> Network:
    count = draw(st.integers(1, 12))

    def figures(most: float) -> np.ndarray:
        return np.array([draw(st.floats(0.0, most)) for _ in range(count)])

    return Network(
        parent=[draw(st.integers(-1, i - 1)) for i in range(count)],
        ohm=figures(most_ohm),
        amps=figures(most_a),
        kind=np.array([draw(st.sampled_from(kinds)) for _ in range(count)]),
        live=np.array([draw(st.integers(0, 5)) > 0 for _ in range(count)]),
    )


@st.composite
def networks(draw: st.DrawFn) -> Network:
    """Small resistances and loads of every kind, as in a vehicle."""
    return made(draw, most_ohm=0.02, most_a=5.0)


@st.composite
def overloaded(draw: st.DrawFn) -> Network:
    """Anything, up to many times what the source can give."""
    return made(draw, most_ohm=3.0, most_a=60.0)


@st.composite
def resistive(draw: st.DrawFn) -> Network:
    """Resistances only, so that the nodal solution is linear."""
    found = made(draw, most_ohm=2.0, most_a=20.0, kinds=[1.0])
    return replace(found, ohm=found.ohm + 1e-3, live=np.full(found.live.shape, True))


def nodal_voltages(network: Network) -> np.ndarray:
    """Conductance matrix solved by numpy: the textbook way, another way than the module's."""
    count = len(network.parent)
    matrix, right = np.zeros((count, count)), np.zeros(count)
    for node, above in enumerate(network.parent):
        conductance = 1.0 / network.ohm[node]
        matrix[node, node] += conductance + network.amps[node] / 12.0
        if above < 0:
            right[node] += network.emf_v * conductance
        else:
            matrix[above, above] += conductance
            matrix[node, above] -= conductance
            matrix[above, node] -= conductance
    return np.linalg.solve(matrix, right)


def one_branch(emf_v: float, ohm: float, watts: float) -> Solution:
    """A constant-power load behind one resistance."""
    return solve(
        tree([-1]),
        resistance_ohm=[ohm],
        emf_v=emf_v,
        load_a=[watts / 12.0],
        load_at_v=12.0,
        load_exponent=[-1.0],
    )


def test_voltage_falls_by_current_times_resistance_on_the_way() -> None:
    found = solve(tree([-1, 0]), resistance_ohm=[0.1, 0.4], emf_v=12.0, load_a=[2.0, 4.0])
    assert found.current_a == pytest.approx([6.0, 4.0])
    assert found.voltage_v == pytest.approx([12.0 - 0.6, 12.0 - 0.6 - 1.6])


def test_each_load_draws_by_its_own_law() -> None:
    found = solve(
        tree([-1, -1, -1, -1]),
        resistance_ohm=[0.0] * 4,
        emf_v=9.0,
        load_a=[3.0] * 4,
        load_exponent=[-1.0, 0.0, 1.0, 0.55],
    )
    assert found.load_current_a == pytest.approx([4.0, 3.0, 2.25, 3.0 * 0.75**0.55])


@given(resistive())
@settings(max_examples=60, deadline=None)
def test_a_resistive_network_equals_the_nodal_solution(network: Network) -> None:
    assert network.solved().voltage_v == pytest.approx(nodal_voltages(network), abs=1e-8)


@given(st.floats(6.0, 30.0), st.floats(0.01, 2.0), st.floats(0.01, 1.0))
@settings(max_examples=60, deadline=None)
def test_constant_power_on_one_branch_has_its_closed_form(
    emf: float, ohm: float, share: float
) -> None:
    watts = 0.9999 * share * emf**2 / (4 * ohm)
    found = one_branch(emf, ohm, watts)
    by_hand = (emf + np.sqrt(emf**2 - 4 * ohm * watts)) / 2
    assert found.voltage_v[0] == pytest.approx(by_hand, abs=1e-9)
    assert found.load_current_a[0] == pytest.approx(watts / by_hand, rel=1e-9)


@given(st.floats(6.0, 30.0), st.floats(0.01, 2.0), st.floats(-6.0, 2.0), st.booleans())
@settings(max_examples=60, deadline=None)
def test_the_voltage_collapses_exactly_above_a_quarter_of_e_squared_over_r(
    emf: float, ohm: float, distance: float, above: bool
) -> None:
    limit = emf**2 / (4 * ohm)
    watts = limit * (1 + 10**distance) if above else limit / (1 + 10**distance)
    found = one_branch(emf, ohm, watts)
    assert bool(found.collapsed[0]) is above
    assert (found.voltage_v[0] < emf / 2) == above
    assert found.voltage_v[0] > 0.0


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


def test_plans_and_states_may_have_an_axis_each() -> None:
    amps = np.arange(1.0, 13.0).reshape(3, 2, 2)
    emf = np.array([[12.0, 14.0]] * 3)
    every = solve(
        tree([-1, 0]), resistance_ohm=[0.1, 0.2], emf_v=emf, load_a=amps, load_exponent=[0.55, -1.0]
    )
    for plan in range(3):
        one = solve(
            tree([-1, 0]),
            resistance_ohm=[0.1, 0.2],
            emf_v=[12.0, 14.0],
            load_a=amps[plan],
            load_exponent=[0.55, -1.0],
        )
        assert every.voltage_v[plan] == pytest.approx(one.voltage_v, abs=1e-9)


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


def test_figures_that_make_no_sense_are_refused() -> None:
    good = {"resistance_ohm": [0.1], "emf_v": 12.0, "load_a": [1.0]}
    for name, bad in [
        ("emf_v", np.nan),
        ("load_a", [-1.0]),
        ("load_at_v", 0.0),
        ("load_exponent", np.nan),
        ("source_ohm", -0.1),
        ("resistance_ohm", [np.inf]),
    ]:
        with pytest.raises(InputProblem, match=name):
            solve(tree([-1]), **{**good, name: bad})


def test_a_node_is_named_only_if_it_is_in_the_circle() -> None:
    with pytest.raises(InputProblem, match=r"parent\[[12]\]"):
        tree([-1, 2, 1, 2, 3])


def test_resistances_that_never_settle_are_refused() -> None:
    turns = iter(range(1000))
    with pytest.raises(InputProblem, match="refresh"):
        solve(
            tree([-1]),
            resistance_ohm=[0.1],
            emf_v=12.0,
            load_a=[10.0],
            refresh=lambda current: 0.1 * (2 + next(turns)) + 0 * current,
        )


def test_a_source_of_its_own_resistance_is_one_more_branch() -> None:
    inside = np.array([0.01, 0.05])
    loads = {"emf_v": 12.6, "load_exponent": [-1.0, 0.55, 1.0]}
    amps = np.array([5.0, 2.0, 8.0])
    by_source = solve(
        tree([-1, 0, -1]),
        resistance_ohm=[0.1, 0.2, 0.3],
        source_ohm=inside,
        load_a=amps,
        **loads,
    )
    for row, ohm in enumerate(inside):
        by_branch = solve(
            tree([-1, 0, 1, 0]),
            resistance_ohm=[ohm, 0.1, 0.2, 0.3],
            load_a=[0.0, *amps],
            emf_v=12.6,
            load_exponent=[0.0, -1.0, 0.55, 1.0],
        )
        assert by_source.voltage_v[row] == pytest.approx(by_branch.voltage_v[1:], abs=1e-9)


def test_each_state_may_have_its_own_resistances() -> None:
    ohm = np.array([[0.1, 0.2], [0.3, 0.4]])
    both = solve(tree([-1, 0]), resistance_ohm=ohm, emf_v=12.0, load_a=[2.0, 4.0])
    assert both.voltage_v[0] == pytest.approx([11.4, 10.6])
    assert both.voltage_v[1] == pytest.approx([10.2, 8.6])


def test_two_loads_side_by_side_collapse_together() -> None:
    """By hand: 60 W fall to a resistance of (6.3 V)²/60 W behind 1 Ω."""
    watts = np.array([36.0, 24.0])
    found = solve(
        tree([-1, 0]),
        resistance_ohm=[1.0, 3e-11],
        emf_v=12.6,
        load_a=watts / 12.0,
        load_exponent=[-1.0, -1.0],
    )
    siemens = watts.sum() / 6.3**2
    assert found.voltage_v == pytest.approx([12.6 / (1 + siemens)] * 2, abs=1e-9)
    assert found.collapsed.tolist() == [True, True]


def test_a_collapsed_load_leaves_the_other_states_alone() -> None:
    load = {"resistance_ohm": [0.1, 1.0], "emf_v": 12.0, "load_exponent": [1.0, -1.0]}
    both = solve(tree([-1, 0]), load_a=[[2.0, 1.0], [2.0, 30.0]], **load)
    alone = solve(tree([-1, 0]), load_a=[2.0, 1.0], **load)
    assert both.collapsed.tolist() == [[False, False], [False, True]]
    assert both.voltage_v[0] == pytest.approx(alone.voltage_v, abs=1e-9)


def test_a_network_without_loads_or_nodes_has_no_currents() -> None:
    idle = solve(tree([-1, 0]), resistance_ohm=[0.1, 0.1], emf_v=12.0, load_a=[0.0, 0.0])
    assert idle.voltage_v.tolist() == [12.0, 12.0]
    assert idle.current_a.tolist() == [0.0, 0.0]
    empty = solve(tree([]), resistance_ohm=[], emf_v=[12.0, 24.0], load_a=np.zeros((2, 0)))
    assert empty.voltage_v.shape == (2, 0)


def test_a_flat_source_feeds_nothing() -> None:
    found = solve(
        tree([-1, -1]),
        resistance_ohm=[0.1, 0.1],
        emf_v=0.0,
        load_a=[5.0, 5.0],
        load_exponent=[-1.0, 1.0],
    )
    assert found.voltage_v == pytest.approx([0.0, 0.0], abs=1e-9)
    assert found.load_current_a == pytest.approx([0.0, 0.0], abs=1e-9)


@given(st.one_of(networks(), overloaded()))
@settings(max_examples=100, deadline=None)
def test_currents_sum_to_zero_at_every_node(network: Network) -> None:
    found = network.solved()
    for node in range(len(network.parent)):
        out = found.current_a[np.array(network.parent) == node].sum() + found.load_current_a[node]
        assert found.current_a[node] == pytest.approx(out, abs=1e-9)


@given(st.one_of(networks(), overloaded()))
@settings(max_examples=100, deadline=None)
def test_every_branch_drops_its_current_times_its_resistance(network: Network) -> None:
    found = network.solved()
    for node in np.flatnonzero(found.voltage_v > 0.0).tolist():
        above = network.parent[node]
        before = network.emf_v if above < 0 else found.voltage_v[above]
        drop = found.current_a[node] * network.ohm[node]
        assert before - found.voltage_v[node] == pytest.approx(drop, abs=1e-9)


@given(networks())
@settings(max_examples=60, deadline=None)
def test_every_load_draws_what_its_voltage_asks_for(network: Network) -> None:
    found = network.solved()
    on = found.voltage_v > 0.0
    asked = network.amps[on] * (found.voltage_v[on] / 12.0) ** network.kind[on]
    assert found.load_current_a[on] == pytest.approx(asked, abs=1e-9)


@given(overloaded())
@settings(max_examples=150, deadline=None)
def test_whatever_is_asked_of_it_every_figure_is_finite(network: Network) -> None:
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        found = network.solved()
    for figures in (found.voltage_v, found.current_a, found.load_current_a):
        assert np.isfinite(figures).all()
        assert (figures >= -1e-9).all()
    assert (found.voltage_v <= network.emf_v).all()
    assert found.iterations < 200


@given(overloaded())
@settings(max_examples=100, deadline=None)
def test_a_load_is_marked_where_it_has_less_than_half_the_source_voltage(network: Network) -> None:
    found = network.solved()
    away = np.abs(found.voltage_v - network.emf_v / 2) > 1e-6
    fed = (found.voltage_v > 0.0) & (network.amps > 0.0) & (network.kind < 1.0)
    expected = fed & (found.voltage_v < network.emf_v / 2)
    assert found.collapsed[away].tolist() == expected[away].tolist()


@given(st.one_of(networks(), overloaded()))
@settings(max_examples=60, deadline=None)
def test_dead_branches_carry_exactly_nothing(network: Network) -> None:
    found = network.solved()
    for node in np.flatnonzero(~network.live).tolist():
        assert (found.current_a[network.below(node)] == 0.0).all()
        assert (found.load_current_a[network.below(node)] == 0.0).all()
        assert (found.voltage_v[network.below(node)] == 0.0).all()


@given(st.one_of(networks(), overloaded()), st.randoms(use_true_random=False))
@settings(max_examples=60, deadline=None)
def test_the_order_of_the_nodes_does_not_matter(network: Network, random: object) -> None:
    count = len(network.parent)
    new_place = list(range(count))
    random.shuffle(new_place)
    old = np.argsort(new_place)
    parent = [
        -1 if network.parent[node] < 0 else new_place[network.parent[node]] for node in old.tolist()
    ]
    shuffled = Network(
        parent, network.ohm[old], network.amps[old], network.kind[old], network.live[old]
    ).solved()
    straight = network.solved()
    assert shuffled.voltage_v == pytest.approx(straight.voltage_v[old], abs=1e-7)
    assert shuffled.current_a == pytest.approx(straight.current_a[old], abs=1e-6)


@given(st.one_of(networks(), overloaded()), st.integers(0, 11), st.floats(0.1, 30.0))
@settings(max_examples=100, deadline=None)
def test_more_load_never_raises_a_voltage(network: Network, node: int, more: float) -> None:
    node %= len(network.parent)
    after = network.with_one("amps", node, network.amps[node] + more).solved()
    assert (after.voltage_v <= network.solved().voltage_v + 1e-7).all()


@given(st.one_of(networks(), overloaded()), st.integers(0, 11), st.floats(0.001, 1.0))
@settings(max_examples=100, deadline=None)
def test_more_resistance_never_raises_a_voltage_below_it(
    network: Network, node: int, more: float
) -> None:
    node %= len(network.parent)
    after = network.with_one("ohm", node, network.ohm[node] + more).solved()
    below = network.below(node)
    assert (after.voltage_v[below] <= network.solved().voltage_v[below] + 1e-7).all()


@given(networks(), st.floats(1.0, 5.0))
@settings(max_examples=60, deadline=None)
def test_a_higher_source_never_lowers_a_voltage(network: Network, more: float) -> None:
    after = replace(network, emf_v=network.emf_v + more).solved()
    assert (after.voltage_v >= network.solved().voltage_v - 1e-9).all()


@pytest.mark.parametrize("amps", [1e20, 1e100, 1e300])
def test_currents_beyond_all_reckoning_draw_what_a_short_circuit_draws(amps):
    """Below the knee each is a resistance of next to nothing: what lies before them is left."""
    found = solve(
        tree([-1, 0, 0]),
        resistance_ohm=[0.01, 0.001, 0.001],
        emf_v=12.0,
        load_a=[0.0, amps, amps],
    )
    whole = 12.0 / (0.01 + 0.001 / 2)
    assert found.current_a == pytest.approx([whole, whole / 2, whole / 2], rel=1e-9)
    assert found.voltage_v == pytest.approx([12.0 - 0.01 * whole, 0.0, 0.0], abs=1e-6)
    assert found.collapsed.tolist() == [False, True, True]


def test_a_matrix_that_cannot_be_solved_is_said_too(monkeypatch):
    def singular(*args):
        raise np.linalg.LinAlgError("Singular matrix")

    monkeypatch.setattr(np.linalg, "solve", singular)
    with pytest.raises(InputProblem, match="no voltages can be found"):
        solve(tree([-1]), resistance_ohm=[1.0], emf_v=12.0, load_a=[100.0])


@pytest.mark.parametrize("amps", [1e3, 1e5, 1e7])
def test_loads_far_beyond_what_the_source_gives_draw_what_their_resistance_draws(amps):
    """Below the knee a load is the resistance it is at the knee: 6 V at so many amperes, here."""
    found = solve(tree([-1, 0]), resistance_ohm=[100.0, 100.0], emf_v=12.0, load_a=[0.0, amps])
    drawn = 12.0 / (200.0 + 6.0 / amps)
    assert found.collapsed[1]
    assert found.current_a == pytest.approx([drawn, drawn], rel=1e-9)
    assert found.voltage_v[1] == pytest.approx(drawn * 6.0 / amps, abs=1e-6)


def test_figures_a_thousand_times_beyond_any_vehicle_still_have_voltages():
    """Some 1e-6 to 1000 Ω and up to 1e8 A: far more than a file may ask for.

    On other processors other digits are lost; the voltages are the same, and those of dividers.
    """
    chance = np.random.default_rng(3)
    for _ in range(2000):
        count = int(chance.integers(2, 14))
        parents = [-1, *(int(chance.integers(0, node)) for node in range(1, count))]
        ohm = 10 ** chance.uniform(-6, 3, count)
        amps, kind = 10 ** chance.uniform(-6, 8, count), chance.choice(KINDS, count)
        found = solve(
            tree(parents), resistance_ohm=ohm, emf_v=12.0, load_a=amps, load_exponent=kind
        )
        assert np.isfinite(found.voltage_v).all()
        conductance = amps / 12.0 * (np.maximum(found.voltage_v, 6.0) / 12.0) ** (kind - 1.0)
        divided = as_dividers(parents, ohm, conductance)
        assert found.voltage_v == pytest.approx(divided, rel=1e-7, abs=1e-6)


def as_dividers(parents, ohm, conductance):
    """Voltages [V] below 12 V at nodes of a tree with loads of given conductances [S].

    From the leaves to the root and back as voltage dividers: sums and products of what is positive
    alone, so that no digit is lost however far the figures lie apart.
    """
    below = conductance.copy()
    for node in range(len(parents) - 1, 0, -1):
        below[parents[node]] += 1.0 / (ohm[node] + 1.0 / below[node])
    voltage = np.zeros(len(parents))
    for node, parent in enumerate(parents):
        above = 12.0 if parent < 0 else voltage[parent]
        voltage[node] = above / (1.0 + ohm[node] * below[node])
    return voltage
