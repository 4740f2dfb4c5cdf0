"""Edits of the photo behind a panel: take one in, set its grid, take it away.

In: a picture as JPEG bytes in base 64, made small by who took it in; corners as shares of the
picture. Nothing here looks into the picture.
"""

from collections.abc import Sequence

from msgspec.structs import replace

from fusemap.errors import EditRefused
from fusemap.text import say
from fusemap.vehicle import look_up
from fusemap.vehicle.edits.panels import change_panel
from fusemap.vehicle.model import Vehicle
from fusemap.vehicle.photo import CORNERS, PanelPhoto, PhotoPoint


def set_photo(
    vehicle: Vehicle, panel_id: str, jpeg: str, corners: Sequence[PhotoPoint] = ()
) -> Vehicle:
    """Put a photo behind a panel; without `corners` its grid fills the whole picture."""
    photo = PanelPhoto(jpeg=jpeg, **dict(zip(CORNERS, corners, strict=bool(corners))))
    return change_panel(vehicle, panel_id, photo=photo)


def fit_photo(vehicle: Vehicle, panel_id: str, corners: Sequence[PhotoPoint]) -> Vehicle:
    """Set the four corners of the panel's grid on its photo, clockwise from the top left."""
    photo = look_up.panel(vehicle, panel_id).photo
    if photo is None:
        raise EditRefused(say("this panel has no photo"), remedy=say("take one in first"))
    fitted = replace(photo, **dict(zip(CORNERS, corners, strict=True)))
    return change_panel(vehicle, panel_id, photo=fitted)


def remove_photo(vehicle: Vehicle, panel_id: str) -> Vehicle:
    """Take the photo of a panel away."""
    return change_panel(vehicle, panel_id, photo=None)
