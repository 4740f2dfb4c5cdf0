"""A bus that an alternator holds up to a current, with one battery on it or two."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from fusemap.electrics.charging import Bus, BusSolution, Loads, SecondBus, solve_bus
from fusemap.electrics.network import tree

HELD, OWN, INSIDE = 14.2, 12.6, 0.006
EXPONENTS = {"constant_power": -1.0, "constant_current": 0.0, "filament": 0.55, "resistive": 1.0}


def bus(limit_a: float) -> Bus:
    one = np.ones(1)
    return Bus(HELD * one, limit_a * one, OWN * one, INSIDE * one, one > 0)


def loads(amperes: float, exponent: float = 0.0, *, nodes: int = 2, at: int = 1) -> Loads:
    """One load of so many amperes at 12 V behind a milliohm."""
    asked = np.zeros((1, nodes))
    asked[0, at] = amperes
    ohm = np.full(nodes, 0.001)
    return Loads(
        ohm, asked, np.full(nodes, 12.0), np.full(nodes, exponent),
        np.ones((1, nodes), dtype=bool), np.zeros((1, nodes)),
    )  # fmt: skip


def solved(limit_a: float, amperes: float, exponent: float = 0.0) -> BusSolution:
    return solve_bus(tree([-1, 0]), bus(limit_a), None, loads(amperes, exponent))


def volts(found: BusSolution) -> float:
    return float(found.solution.voltage_v[0, 0])


def test_up_to_its_current_it_holds_its_voltage() -> None:
    found = solved(80.0, 80.0)
    assert volts(found) == HELD
    assert not found.limited[0]
    assert found.from_battery_a[0] == 0.0


def test_beyond_it_the_battery_gives_the_rest_at_its_own_terminal_voltage() -> None:
    """By hand: 400 − 80 = 320 A out of 12.6 V behind 6 mΩ leave 12.6 − 1.92 = 10.68 V."""
    found = solved(80.0, 400.0)
    assert volts(found) == pytest.approx(10.68)
    assert found.from_battery_a[0] == pytest.approx(320.0)


def test_lamps_that_draw_less_at_less_voltage_stand_between() -> None:
    """80 A at 12 V ohmic are 94 A at 14.1 V: at 85 A the post stands at 12.75 V and some."""
    found = solved(85.0, 80.0, 1.0)
    ohm = 12.0 / 80.0 + 0.001
    assert volts(found) == pytest.approx(85.0 * ohm, abs=1e-6)
    assert OWN < volts(found) < HELD
    assert found.from_battery_a[0] == 0.0


@given(
    limit=st.floats(0.0, 300.0),
    amperes=st.floats(0.1, 500.0),
    more=st.floats(0.0, 100.0),
    kind=st.sampled_from(sorted(EXPONENTS)),
)
def test_more_load_or_less_alternator_never_raises_the_voltage(
    limit: float, amperes: float, more: float, kind: str
) -> None:
    exponent = EXPONENTS[kind]
    here = volts(solved(limit, amperes, exponent))
    assert volts(solved(limit, amperes + more, exponent)) <= here + 1e-7
    assert volts(solved(max(0.0, limit - more), amperes, exponent)) <= here + 1e-7


@given(
    limit=st.floats(0.0, 300.0),
    amperes=st.floats(0.1, 500.0),
    kind=st.sampled_from(sorted(EXPONENTS)),
)
def test_currents_sum_to_none_on_the_post(limit: float, amperes: float, kind: str) -> None:
    """What the loads take is what the alternator gives, at most its limit, and the battery."""
    found = solved(limit, amperes, EXPONENTS[kind])
    taken = float(found.solution.current_a[0, 0])
    battery = float(found.from_battery_a[0])
    if found.limited[0]:
        assert taken == pytest.approx(limit + battery, rel=1e-6, abs=1e-6)
        assert volts(found) <= HELD
        if battery > 0:
            assert volts(found) == pytest.approx(OWN - battery * INSIDE)
    else:
        assert taken <= limit * (1 + 1e-9)
        assert volts(found) == HELD


def second(link_ohm: float, *, asks: bool = False) -> SecondBus:
    one = np.ones(1)
    return SecondBus(12.5 * one, 0.005 * one, link_ohm * one, np.array([asks]))


def on_second(link_ohm: float, limit: float, amperes: float, *, asks: bool = False) -> BusSolution:
    """All load on the second battery's post, the last node."""
    of = loads(amperes, nodes=2, at=1)
    return solve_bus(tree([-1, -1]), bus(limit), second(link_ohm, asks=asks), of)


def test_two_batteries_and_an_alternator_are_two_nodes() -> None:
    """Held against Kirchhoff's nodal equations, written down for two posts and a link."""
    link, limit, amperes = 0.003, 50.0, 200.0
    found = on_second(link, limit, amperes)
    near, far, joined = 1 / INSIDE, 1 / 0.005, 1 / link
    conductances = [[near + joined, -joined], [-joined, far + joined]]
    currents = [near * OWN + limit, far * 12.5 - amperes]
    posts = np.linalg.solve(conductances, currents)
    assert found.solution.voltage_v[0] == pytest.approx(posts)


def test_what_hangs_behind_an_open_link_may_still_be_asked_of_it() -> None:
    """Nobody knows whether the link is closed: the worst of both is reckoned with."""
    assert volts(on_second(np.inf, 50.0, 60.0)) == HELD
    asked = on_second(np.inf, 50.0, 60.0, asks=True)
    assert volts(asked) == pytest.approx(OWN - 10.0 * INSIDE)


def test_states_without_an_alternator_are_a_battery() -> None:
    held = Bus(
        np.array([12.5, HELD]), np.array([np.inf, 30.0]), np.array([12.5, OWN]),
        np.full(2, INSIDE), np.array([False, True]),
    )  # fmt: skip
    one = loads(40.0)
    both = Loads(
        one.resistance_ohm, np.tile(one.load_a, (2, 1)), one.at_v, one.exponent,
        np.tile(one.live, (2, 1)), np.tile(one.own_a, (2, 1)),
    )  # fmt: skip
    found = solve_bus(tree([-1, 0]), held, None, both).solution.voltage_v[:, 0]
    assert found == pytest.approx([12.5 - 40.0 * INSIDE, OWN - 10.0 * INSIDE])
