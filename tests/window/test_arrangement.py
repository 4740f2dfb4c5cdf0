"""A panel turned and mirrored on the screen is still the same panel."""

from hypothesis import given
from hypothesis import strategies as st

from fusemap.window.panel.arrangement import Arrangement

arrangements = st.builds(
    Arrangement,
    rows=st.integers(1, 9),
    columns=st.integers(1, 9),
    quarter_turns=st.integers(0, 7),
    mirrored=st.booleans(),
)
SIDES = ("left", "right", "top", "bottom", "unknown")


@given(arrangements)
def test_every_place_is_shown_once_and_found_again(arrangement: Arrangement) -> None:
    high, wide = arrangement.size
    shown = set()
    for row in range(arrangement.rows):
        for column in range(arrangement.columns):
            at = arrangement.shown(row, column)
            assert 0 <= at[0] < high
            assert 0 <= at[1] < wide
            assert arrangement.place(*at) == (row, column)
            shown.add(at)
    assert len(shown) == arrangement.rows * arrangement.columns


@given(arrangements, st.sampled_from(SIDES))
def test_a_side_is_found_again(arrangement: Arrangement, side: str) -> None:
    assert arrangement.panel_side(arrangement.side(side)) == side  # type: ignore[arg-type]


def test_turning_a_panel_once_brings_its_left_to_the_top() -> None:
    turned = Arrangement(2, 5, quarter_turns=1)
    assert turned.size == (5, 2)
    assert turned.shown(0, 0) == (0, 1)
    assert turned.side("left") == "top"
    assert turned.orientation("upright") == "lying"


def test_mirroring_swaps_left_and_right_only() -> None:
    mirrored = Arrangement(2, 5, mirrored=True)
    assert mirrored.shown(1, 0) == (1, 4)
    assert [mirrored.side(side) for side in SIDES] == ["right", "left", "top", "bottom", "unknown"]  # type: ignore[arg-type]
    assert mirrored.orientation("upright") == "upright"


def test_a_neighbour_to_the_left_is_on_the_side_that_left_is_shown_on() -> None:
    """The live side turns with the grid: what points to a neighbour goes on pointing to it."""
    for mirrored in (False, True):
        for turns in range(4):
            arrangement = Arrangement(3, 3, turns, mirrored)
            here, there = arrangement.shown(1, 1), arrangement.shown(1, 0)
            step = (there[0] - here[0], there[1] - here[1])
            towards = {(0, -1): "left", (0, 1): "right", (-1, 0): "top", (1, 0): "bottom"}[step]
            assert arrangement.side("left") == towards
