"""How often a rating proposed from a picture is right, on pictures of our own, badly taken.

They are drawn, not taken: no real photo is among them. What is proposed has to be right in nine of
ten at least; what is left open is counted beside it.
"""

from collections import Counter

import numpy as np
import pytest
from PySide6.QtGui import QGuiApplication

from fusemap import tables
from fusemap.photo.bodies import Body, straightened
from fusemap.photo.light import light
from fusemap.photo.ratings import (
    TOLD_BY_COLOUR,
    Proposal,
    _proposal,
    gains_of,
    propose,
    standard_colours,
)
from tests.photo.lids import CELL, WAYS, How, Taken, taken

NINE_OF_TEN = 0.9


@pytest.fixture(scope="module")
def pictures(qapp: QGuiApplication) -> list[Taken]:
    """Fourteen panels of 32 places, each taken another way."""
    return [taken(how, 300 + number) for number, how in enumerate(WAYS)]


def counted(pictures: list[Taken], *, by_grey: bool, family: str = "mini") -> Counter[str]:
    """Proposals by how many ratings they name and whether they are right; what is left open."""
    found: Counter[str] = Counter()
    for picture in pictures:
        proposed = proposals(picture, by_grey=by_grey, family=family)
        for place, truth in picture.truth.items():
            found[kind(proposed[place], truth)] += 1
    return found


def proposals(
    picture: Taken, *, by_grey: bool = False, family: str = "mini"
) -> dict[tuple[int, int], Proposal]:
    families = dict.fromkeys(picture.truth, family)
    size, neutral = (picture.rows, picture.columns), picture.grey if by_grey else None
    return propose(picture.pixels, picture.corners, size, families, neutral)


def kind(proposal: Proposal, truth: float | None) -> str:
    if proposal.empty:
        return f"empty {'right' if truth is None else 'wrong'}"
    if not proposal.ratings_a:
        return "open"
    right = truth in proposal.ratings_a
    return f"{len(proposal.ratings_a)} {'right' if right else 'wrong'}"


def share(found: Counter[str], *kinds: str) -> float:
    right, wrong = (sum(found[f"{kind} {how}"] for kind in kinds) for how in ("right", "wrong"))
    return right / (right + wrong)


@pytest.mark.parametrize("by_grey", [False, True], ids=["estimated light", "a grey was shown"])
def test_nine_of_ten_proposals_are_right_however_the_picture_was_taken(
    pictures: list[Taken], by_grey: bool
) -> None:
    found = counted(pictures, by_grey=by_grey)
    print(dict(sorted(found.items())))
    assert sum(found.values()) == 14 * 32
    assert share(found, "1") >= NINE_OF_TEN
    assert share(found, "2") >= NINE_OF_TEN
    assert share(found, "empty") >= NINE_OF_TEN
    assert found["open"] <= 0.1 * sum(found.values())
    assert found["1 right"] + found["1 wrong"] >= 0.6 * sum(found.values())


@pytest.mark.parametrize("family", ["micro2", "regular"])
def test_so_are_those_of_other_families_with_each_of_their_ratings_as_often(
    qapp: QGuiApplication, family: str
) -> None:
    ratings = tables.fuse_family(family).ratings_a
    drawn = [taken(how, 500 + n, ratings=ratings) for n, how in enumerate(WAYS)]
    found = counted(drawn, by_grey=False, family=family)
    print(dict(sorted(found.items())))
    assert share(found, "1") >= NINE_OF_TEN
    assert share(found, "1", "2") >= NINE_OF_TEN


def test_each_way_of_taking_it_alone_is_right_in_nine_of_ten(pictures: list[Taken]) -> None:
    """A picture that goes wrong as a whole would hide among thirteen good ones."""
    shares = {
        picture.how.name: share(counted([picture], by_grey=False), "1", "2", "empty")
        for picture in pictures
    }
    assert min(shares.values()) >= 0.8, shares


def test_makers_whose_plastics_are_twice_as_far_off_are_mostly_told_apart(
    qapp: QGuiApplication,
) -> None:
    odd = [taken(How(f"odd {n}", off=18, gains=(1.2, 1, 0.8)), 700 + n) for n in range(6)]
    assert share(counted(odd, by_grey=False), "1", "2", "empty") >= 0.85


def test_a_printed_lid_proposes_nothing(qapp: QGuiApplication) -> None:
    printed = taken(How("printed lid", plastic=214, empty=1.0), 5)
    assert set(proposals(printed).values()) == {Proposal()}


def test_a_panel_with_too_few_fuses_to_tell_the_light_proposes_nothing(
    qapp: QGuiApplication,
) -> None:
    lonely = taken(How("nearly empty", empty=0.95), 11)
    assert 0 < sum(truth is not None for truth in lonely.truth.values()) < 4
    assert set(proposals(lonely).values()) == {Proposal()}


def test_places_outside_the_picture_are_left_open(pictures: list[Taken]) -> None:
    picture = pictures[0]
    # Half as wide again: the grid's last columns lie beyond the edge.
    corners = tuple((x * 1.6, y) for x, y in picture.corners)
    families = dict.fromkeys(picture.truth, "mini")
    found = propose(picture.pixels, corners, (picture.rows, picture.columns), families)
    assert {found[row, 7] for row in range(4)} == {Proposal()}


def test_a_black_fuse_and_an_empty_place_cannot_be_told_apart_where_there_are_black_ones(
    pictures: list[Taken],
) -> None:
    """1 A is black by JASO D 612, and the regular family has it: an empty place is left open."""
    picture = pictures[0]
    families = dict.fromkeys(picture.truth, "regular")
    found = propose(picture.pixels, picture.corners, (4, 8), families)
    assert not any(each.empty for each in found.values())


@pytest.mark.parametrize("family", sorted(TOLD_BY_COLOUR))
def test_of_a_family_that_is_told_by_colour_every_rating_has_one(family: str) -> None:
    assert tuple(standard_colours(family)) == tables.fuse_family(family).ratings_a


@pytest.mark.parametrize("family", sorted(tables.fuse_families().keys() - TOLD_BY_COLOUR))
def test_all_other_families_are_left_open(pictures: list[Taken], family: str) -> None:
    """A maxi fuse's 25 and 35 A have no colour in the table: any body might be one of them."""
    assert set(proposals(pictures[0], family=family).values()) == {Proposal()}


def test_of_two_families_on_one_panel_each_has_its_own_colours(pictures: list[Taken]) -> None:
    picture = pictures[0]
    families = dict.fromkeys(picture.truth, "mini") | {(0, n): "maxi" for n in range(8)}
    found = propose(picture.pixels, picture.corners, (4, 8), families)
    assert {found[0, n] for n in range(8)} == {Proposal()}
    below = [kind(found[place], truth) for place, truth in picture.truth.items() if place[0]]
    assert below.count("1 right") >= 0.6 * len(below)


def test_few_fuses_of_a_family_that_is_told_by_colour_say_nothing_among_many_others(
    pictures: list[Taken],
) -> None:
    picture = pictures[0]
    families = dict.fromkeys(picture.truth, "maxi") | {(0, n): "mini" for n in range(3)}
    found = propose(picture.pixels, picture.corners, (4, 8), families)
    assert set(found.values()) == {Proposal()}


def test_a_clear_and_a_grey_fuse_are_proposed_together(pictures: list[Taken]) -> None:
    """One looks through a clear body onto the panel: it is grey there, too."""
    pairs = [
        proposals(picture)[place].ratings_a
        for picture in pictures
        for place, truth in picture.truth.items()
        if truth == 25
    ]
    together = [pair for pair in pairs if set(pair) == {2.0, 25.0}]
    assert len(together) >= 0.6 * len(pairs)


def test_in_a_warm_light_that_is_only_estimated_white_is_never_said_to_be_tan() -> None:
    """An opaque white 25 A body by a lamp: 5 A alone would be a fifth of what is in there."""
    palette = standard_colours("mini")
    warm = np.array((0.80, 0.70, 0.52))
    seen = Body(light(np.array((0.86, 0.86, 0.86))) * warm, unlike=0.5, within=1.0)
    guessed = _proposal(seen, palette, np.full(3, 1.3), sure=False).ratings_a
    assert guessed != (5.0,)
    assert not guessed or 25.0 in guessed
    assert _proposal(seen, palette, 1 / warm, sure=True).ratings_a == (25.0,)


def test_straightening_brings_back_what_was_drawn() -> None:
    """A picture that is the grid itself, each place of another grey, comes back place by place."""
    wide, high = CELL
    shades = np.arange(8).reshape(2, 4) * 30
    picture = np.kron(shades, np.ones((high, wide))).astype(np.uint8)
    whole = ((0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0))
    cells = straightened(np.stack((picture,) * 3, axis=-1), whole, 2, 4)
    assert np.median(cells, axis=(2, 3, 4)) * 255 == pytest.approx(shades)


def test_a_grey_gives_the_gains_and_a_dark_one_none() -> None:
    red, green, blue = gains_of((0.8, 0.6, 0.4))
    assert red < green == 1.0 < blue
    with pytest.raises(ValueError, match="dark"):
        gains_of((0.02, 0.02, 0.02))
