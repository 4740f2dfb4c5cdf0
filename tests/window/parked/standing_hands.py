"""What the tests of the page of the standing vehicle share: vehicles, the page, ticks."""

from datetime import date
from typing import Any, Final

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QListWidgetItem

from fusemap.assess.parked.unplaced import not_placed
from fusemap.files.demos import read_demo
from fusemap.units import NARROW_SPACE
from fusemap.vehicle import Cable, Fuse, StateLoads, Vehicle, VoltageCutOff, edits, look_up
from fusemap.window.document import Document
from fusemap.window.parked.fitted_list import KEY, MORE
from fusemap.window.parked.parked_view import ParkedView
from fusemap.window.style.theme import LIGHT

TODAY: Final = date(2026, 11, 13)
"""A Friday."""
DAY: Final = 24.0


def van(camera_a: float = 0.2) -> Vehicle:
    """A camera that is always on, with a cut-off, beside 25 mA of the vehicle's own."""
    nothing = StateLoads(asleep=0.0, awake=0.0, accessory=0.0, ignition=0.0, running=0.0)
    vehicle = edits.add_panel(Vehicle(name="Van"), "Cabin", 1, 1)
    fuse = Fuse(family="mini", rating=10)
    vehicle = edits.change_slot(
        vehicle, "slot-1", fuse=fuse, feed_class="permanent", own_load=nothing
    )
    vehicle = edits.change_battery(vehicle, capacity_ah=70.0, soh=1.0, start_soc=0.9)
    vehicle = edits.change_parking(
        vehicle,
        rest_current_a=0.025,
        awake_current_a=2.0,
        stand_days=5.0,
        temperature_c=25.0,
        locked_at_h=18.0,
    )
    vehicle = edits.add_accessory(
        vehicle,
        "Camera",
        amperes=camera_a,
        load_kind="constant_current",
        works_in=("asleep", "awake", "running"),
        cut_off=VoltageCutOff(off_v=11.9, on_v=12.8),
    )
    cable = Cable(section_mm2=1.0, length_m=2.0)
    small = Fuse(family="mini", rating=2)
    return edits.place(vehicle, "accessory-1", slot="slot-1", fuse=small, cable_out=cable)


def fitted() -> Vehicle:
    """The family estate with what is placed alone: a cool box on the shelf would hide the rest."""
    vehicle = read_demo("family_estate")
    for accessory_id in not_placed(vehicle):
        vehicle = edits.remove_accessory(vehicle, accessory_id)
    return vehicle


def on_second(vehicle: Vehicle, accessory_id: str) -> Vehicle:
    """An accessory moved onto the second battery, by a feed of its own."""
    vehicle = edits.change_accessory(vehicle, accessory_id, battery="second")
    tap = look_up.tap_of(vehicle, accessory_id)
    if tap is not None:
        vehicle = edits.unplace(vehicle, tap.id)
    return edits.place(vehicle, accessory_id)


def page_of(vehicle: Vehicle, qtbot: Any, size: tuple[int, int] = (1366, 640)) -> ParkedView:
    """The page of a vehicle, shown, with all that it reckons."""
    view = ParkedView(Document(vehicle), LIGHT, lambda: TODAY)
    qtbot.addWidget(view)
    view.resize(*size)
    with qtbot.waitExposed(view):
        view.show()
    settle(view, qtbot)
    return view


def settle(view: ParkedView, qtbot: Any) -> None:
    """Until everything is reckoned and laid out."""
    qtbot.waitUntil(
        lambda: (
            not view._later.isActive()
            and not view.reckoning.running
            and not view._fit.isActive()
            and (view.case is not None or not view.chart.isVisible())
        )
    )


def plain(text: object) -> str:
    return str(text).replace(NARROW_SPACE, " ")


def titles(view: ParkedView) -> list[str]:
    """What would help, as it is spoken."""
    rows = view.what_if.list
    return [plain(rows.item(n).text()) for n in range(rows.count())]


def row_of(view: ParkedView, start: str) -> QListWidgetItem:
    """The row that begins so; the least are unfolded for it."""
    rows = view.what_if.list
    more = rows.row_of(MORE)
    if more is not None and not any(title.startswith(start) for title in titles(view)):
        rows.itemActivated.emit(more)
    return rows.item(next(n for n, title in enumerate(titles(view)) if title.startswith(start)))


def tick(view: ParkedView, qtbot: Any, start: str) -> None:
    """Tick a row with the space bar, and wait for what it comes to."""
    rows = view.what_if.list
    rows.setFocus()
    rows.setCurrentItem(row_of(view, start))
    key = rows.currentItem().data(KEY)
    qtbot.keyClick(rows, Qt.Key.Key_Space)
    assert rows.row_of(key) is not None
    settle(view, qtbot)
