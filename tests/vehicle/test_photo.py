"""A photo behind a panel: taken in, fitted, removed, each one edit; what is none is refused."""

from math import inf, nan
from typing import Any

import pytest
from msgspec.structs import replace

from fusemap import files
from fusemap.errors import EditRefused, FileProblem
from fusemap.probing.travel import take_in, to_give_away
from fusemap.vehicle import PanelPhoto, PhotoPoint, Vehicle, edits
from fusemap.vehicle.parts import CORNERS, MOST_JPEG_LETTERS
from fusemap.vehicle.validity import faults, is_grid

JPEG = "/9j/4AAQ"
ASLANT = tuple(
    PhotoPoint(across=a, down=d) for a, d in ((0.2, 0.1), (0.9, 0.2), (0.8, 0.9), (0.1, 0.7))
)


@pytest.fixture
def van() -> Vehicle:
    return edits.add_panel(Vehicle(name="Van"), "Cabin", 2, 4)


@pytest.fixture
def pictured(van: Vehicle) -> Vehicle:
    return edits.set_photo(van, "panel-1", JPEG, ASLANT)


def photo_of(vehicle: Vehicle) -> PanelPhoto | None:
    return vehicle.panels[0].photo


def test_a_photo_take_in_fills_the_grid_until_it_is_fitted(van: Vehicle) -> None:
    photo = photo_of(edits.set_photo(van, "panel-1", JPEG))
    assert photo is not None
    assert [(c.across, c.down) for c in photo.corners] == [(0, 0), (1, 0), (1, 1), (0, 1)]


def test_fitting_moves_the_corners_and_keeps_the_picture(van: Vehicle) -> None:
    fitted = photo_of(edits.fit_photo(edits.set_photo(van, "panel-1", JPEG), "panel-1", ASLANT))
    assert fitted == PanelPhoto(jpeg=JPEG, **dict(zip(CORNERS, ASLANT, strict=True)))


def test_removing_leaves_the_panel_as_it_was(van: Vehicle, pictured: Vehicle) -> None:
    assert edits.remove_photo(pictured, "panel-1") == van


def test_there_is_nothing_to_fit_without_a_photo(van: Vehicle) -> None:
    with pytest.raises(EditRefused, match="no photo"):
        edits.fit_photo(van, "panel-1", ASLANT)


def test_a_photo_goes_with_the_file_and_comes_back(pictured: Vehicle) -> None:
    assert files.parse(files.render(pictured)) == pictured


def test_a_map_given_away_carries_no_photo(pictured: Vehicle) -> None:
    given = to_give_away(pictured)
    assert given.panels[0].slots
    assert all(panel.photo is None for panel in given.panels)
    assert "jpeg" not in files.render(given)


def test_taking_a_map_in_keeps_the_own_photo(pictured: Vehicle) -> None:
    other = to_give_away(pictured)
    assert photo_of(take_in(pictured, other, "Kim")) == photo_of(pictured)


@pytest.mark.parametrize(
    "jpeg",
    [
        "",
        "iVBORw0KGgo=",  # a PNG
        "/9j/4AA",  # cut
        "/9j/4AA\n",
        "/9j/4AA!",
        "/9j/4A==AAAA",
        "/9j/Ä===",
        "/9j/" + "A" * MOST_JPEG_LETTERS,
    ],
)
def test_what_is_no_jpeg_in_base_64_is_refused(van: Vehicle, jpeg: str) -> None:
    with pytest.raises(EditRefused):
        edits.set_photo(van, "panel-1", jpeg)
    assert faults_with(van, jpeg=jpeg)


def test_the_largest_picture_there_may_be_is_taken(van: Vehicle) -> None:
    jpeg = "/9j/" + "A" * (MOST_JPEG_LETTERS - 4)
    assert photo_of(edits.set_photo(van, "panel-1", jpeg)) is not None


@pytest.mark.parametrize(
    ("corner", "across", "down"),
    [
        ("top_left", nan, 0.1),
        ("top_right", inf, 0.1),
        ("top_right", 2.01, 0.1),
        ("bottom_left", -1.01, 0.7),
        ("top_left", 0.9, 0.9),  # crossed
        ("top_left", 0.5, 0.45),  # on the line between its neighbours
        ("bottom_right", 0.3, 0.3),  # bent inwards
        ("bottom_left", 0.2, 0.1),  # two corners on one place
    ],
)
def test_corners_that_no_grid_has_are_refused(
    pictured: Vehicle, corner: str, across: float, down: float
) -> None:
    point = PhotoPoint(across=across, down=down)
    moved = [point if name == corner else at for name, at in zip(CORNERS, ASLANT, strict=True)]
    with pytest.raises(EditRefused):
        edits.fit_photo(pictured, "panel-1", moved)
    assert faults_with(pictured, jpeg=JPEG, **dict(zip(CORNERS, moved, strict=True)))


def test_a_corner_may_lie_outside_the_picture_that_does_not_show_the_whole_panel(
    pictured: Vehicle,
) -> None:
    outside = PhotoPoint(across=-0.2, down=1.3)
    fitted = edits.fit_photo(pictured, "panel-1", (*ASLANT[:3], outside))
    photo = photo_of(fitted)
    assert photo is not None
    assert photo.bottom_left == outside


def test_a_grid_seen_from_behind_or_upside_down_is_one() -> None:
    assert is_grid(ASLANT[::-1])
    assert is_grid((*ASLANT[2:], *ASLANT[:2]))


def test_a_strangers_file_with_a_photo_that_is_none_says_where(pictured: Vehicle) -> None:
    text = files.render(pictured).replace(JPEG, "/9j/####")
    with pytest.raises(FileProblem) as caught:
        files.parse(text)
    assert caught.value.where == "panels[0].photo.jpeg"


def faults_with(vehicle: Vehicle, **fields: Any) -> list[str]:
    """What is wrong with the vehicle, its first panel having such a photo."""
    panel = replace(vehicle.panels[0], photo=PanelPhoto(**fields))
    return [fault.path for fault in faults(replace(vehicle, panels=(panel,)))]
