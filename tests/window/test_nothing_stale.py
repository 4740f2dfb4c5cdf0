"""What is kept between two edits is never shown for what it was before.

After each edit all that is in sight beside and on the lid is what a new window shows of the same
vehicle; so it is after undo, and after the second edit of the same thing.
"""

from collections.abc import Callable
from typing import Any

import pytest
from PySide6.QtCore import QEvent, QObject, QPoint
from PySide6.QtGui import QFont
from PySide6.QtWidgets import QApplication, QLabel, QWidget

from fusemap.files import demos
from fusemap.vehicle import Cable, Fuse, StateLoads, Tap, Vehicle, edits, look_up
from fusemap.window.chosen.facts_view import FactsView
from fusemap.window.main_window import MainWindow
from fusemap.window.panel.panel_model import LOOK
from fusemap.window.panel.strip_places import places_in
from tests.window.keyboard_hands import opened


def estate() -> Vehicle:
    return demos.read_demo("family_estate")


def its_tap(vehicle: Vehicle) -> Tap:
    """A tap that sits on a slot, by a cable."""
    return next(tap for tap in vehicle.taps if tap.slot is not None and tap.cable_out is not None)


def its_slot(vehicle: Vehicle) -> str:
    slot_id = its_tap(vehicle).slot
    assert slot_id is not None
    return slot_id


def on_slot(**fields: Any) -> Callable[[Vehicle], Vehicle]:
    return lambda v: edits.change_slot(v, its_slot(v), **fields)


def on_accessory(**fields: Any) -> Callable[[Vehicle], Vehicle]:
    return lambda v: edits.change_accessory(v, its_tap(v).accessory, **fields)


def on_tap(**fields: Any) -> Callable[[Vehicle], Vehicle]:
    return lambda v: edits.change_tap(v, its_tap(v).id, **fields)


def on_feed(**fields: Any) -> Callable[[Vehicle], Vehicle]:
    def change(vehicle: Vehicle) -> Vehicle:
        feed = look_up.slot(vehicle, its_slot(vehicle)).feed
        assert feed is not None
        return edits.change_feed(vehicle, feed, **fields)

    return change


LONG = "A name that is far too long for one line of the pane and wraps onto a second and a third"
EDITS: dict[str, Callable[[Vehicle], Vehicle]] = {
    "fuse": on_slot(fuse=Fuse(family="mini", rating=5.0)),
    "no fuse": on_slot(fuse=None),
    "circuit": on_slot(circuit="Airbag"),
    "feed class": on_slot(feed_class="accessory"),
    "own load": on_slot(own_load=StateLoads(asleep=0.2, awake=1.0, ignition=9.0, running=9.0)),
    "load": on_accessory(watts=None, amperes=17.0),
    "name of the accessory": on_accessory(name=LONG),
    "section": on_tap(cable_out=Cable(section_mm2=0.5, length_m=2.0)),
    "length": on_tap(cable_out=Cable(section_mm2=0.5, length_m=12.0)),
    "bundle": on_tap(cable_out=Cable(section_mm2=0.5, length_m=2.0, bundle=5)),
    "place": on_tap(cable_out=Cable(section_mm2=0.5, length_m=2.0, place="engine_bay")),
    "fuse of the tap": on_tap(fuse=Fuse(family="mini", rating=30.0)),
    "name of the feed": on_feed(name=LONG),
    "limit of the feed": on_feed(limit_a=3.0),
    "resistance of the feed": on_feed(resistance_mohm=60.0),
    "name of the vehicle": lambda v: edits.change_vehicle(v, name="Another one"),
}


def seen(window: MainWindow) -> dict[str, Any]:
    """What stands on the lid, in the pane, the shelf and the rail."""
    work = window.work
    assert work is not None
    page = work.panels.current_page()
    assert page is not None
    model, strip, pane = page.view.panel_model, page.strip, work.lid.pane.pane
    width = pane.way.width()
    wide, high, unit = strip.width(), strip.height(), strip.unit
    assert strip.places() == places_in(wide, high, unit, strip.rows, folded=strip._folded)
    return {
        "cards": [
            model.index(row, column).data(LOOK)
            for row in range(model.rowCount())
            for column in range(model.columnCount())
        ],
        "strip": strip.rows,
        "facts": [(key, value.accessibleName()) for key, value in pane.facts.values.items()],
        "line": pane.facts.line.text(),
        "stations": [
            (key, button.accessibleName(), button.toolTip(), button.heightForWidth(width))
            for key, button in pane.way.buttons.items()
        ],
        "where": pane.station_places(),
        "shelf": work.shelf.own.shelf.rows,
        "rail": (window.frame_.rail.name.text(), window.frame_.rail.name.toolTip()),
    }


def settled(window: MainWindow, qtbot: Any) -> dict[str, Any]:
    for _ in range(3):
        qtbot.wait(10)
        QApplication.processEvents()
    return seen(window)


def shown(vehicle: Vehicle, qtbot: Any) -> MainWindow:
    """A new window with a vehicle, the slot chosen that is edited."""
    made = opened(qtbot, Vehicle(name=""), high=1500)  # room for all of the pane
    made.document.set_vehicle(vehicle)
    _ = made.document.findings
    made.document.select("slot", its_slot(vehicle))
    settled(made, qtbot)
    return made


@pytest.fixture
def window(qtbot: Any) -> MainWindow:
    return shown(estate(), qtbot)


@pytest.mark.parametrize("what", ["fuse", "name of the accessory", "bundle", "limit of the feed"])
def test_an_edit_is_seen_as_in_a_new_window(what: str, window: MainWindow, qtbot: Any) -> None:
    assert window.document.apply("Edit", EDITS[what])
    assert settled(window, qtbot) == seen(shown(window.document.vehicle, qtbot))


def test_edits_one_after_the_other_are_seen_and_so_is_each_undo(
    window: MainWindow, qtbot: Any
) -> None:
    states = [seen(window)]
    for what, edit in EDITS.items():
        assert window.document.apply("Edit", edit)
        states.append(settled(window, qtbot))
        assert states[-1] != states[-2], what
    assert states[-1] == seen(shown(window.document.vehicle, qtbot))
    for what, state in zip(reversed(EDITS), reversed(states[:-1]), strict=True):
        window.document.stack.undo()
        assert settled(window, qtbot) == state, what


def test_an_edit_of_one_fact_is_said_in_its_row_and_moves_none(
    window: MainWindow, qtbot: Any
) -> None:
    assert window.work is not None
    pane = window.work.lid.pane.pane
    before, said = dict(pane.facts.values), names(pane.facts)
    places = {key: b.mapTo(pane, QPoint(0, 0)) for key, b in pane.way.buttons.items()}
    moved: list[str] = []
    for key, button in pane.way.buttons.items():
        button.installEventFilter(Moves(moved, key, button))
    window.document.apply("Edit", on_slot(fuse=Fuse(family="mini", rating=5.0)))
    settled(window, qtbot)
    assert [key for key, words in names(pane.facts).items() if words != said[key]] == ["fuse"]
    assert pane.facts.values == before  # with them the keyboard stays
    assert moved == []
    assert places == {key: b.mapTo(pane, QPoint(0, 0)) for key, b in pane.way.buttons.items()}


def test_a_fact_whose_sign_comes_and_goes_is_drawn_right(window: MainWindow, qtbot: Any) -> None:
    assert window.work is not None
    facts = window.work.lid.pane.pane.facts
    rated = [Fuse(family="mini", rating=rating) for rating in (5.0, 20.0)]
    pictures = []
    for fuse in (rated[0], None, rated[0], rated[1], None, rated[1]):
        assert window.document.apply("Edit", on_slot(fuse=fuse))
        settled(window, qtbot)
        row = facts.values["fuse"].parentWidget()
        signs = [each for each in row.findChildren(QLabel) if each.pixmap().width()]
        assert len(signs) == (fuse is not None)
        pictures += [each.pixmap().toImage() for each in signs]
    assert pictures[0] == pictures[1]
    assert pictures[2] == pictures[3]
    assert pictures[1] != pictures[2]


def names(facts: FactsView) -> dict[str, str]:
    """What each row says."""
    return {key: widget.accessibleName() for key, widget in facts.values.items()}


class Moves(QObject):
    """Notes the key of a button that is moved or given another size."""

    def __init__(self, moved: list[str], key: str, button: QWidget) -> None:
        super().__init__(button)
        self._moved, self._key = moved, key

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() in (QEvent.Type.Move, QEvent.Type.Resize):
            self._moved.append(self._key)
        return False


def test_larger_letters_make_the_stations_higher(window: MainWindow, qtbot: Any) -> None:
    assert window.work is not None
    buttons = window.work.lid.pane.pane.way.buttons
    before = {key: button.heightForWidth(300) for key, button in buttons.items()}
    for button in buttons.values():
        font = QFont(button.font())
        font.setPixelSize(3 * button.fontInfo().pixelSize())
        button.setFont(font)
        assert button.heightForWidth(300) > before[button.objectName().removeprefix("station_")]
