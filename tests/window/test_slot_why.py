"""Why on the currents of a slot: the cursor's current opens its sum."""

from typing import Any

from PySide6.QtCore import Qt

from fusemap.units import NARROW_SPACE
from fusemap.vehicle import STATES, Vehicle, edits
from fusemap.window.document import Document
from fusemap.window.forms.slot_currents import COLUMNS, CurrentsModel, CurrentsTable
from fusemap.window.parts.sources import source_at
from fusemap.window.style.theme import LIGHT
from tests.vehicles import one_slot


def plain(text: str) -> str:
    return text.replace(NARROW_SPACE, " ")


def table(qtbot: Any, vehicle: Vehicle, slot_id: str) -> CurrentsTable:
    document = Document(vehicle)
    _ = document.assessment
    made = CurrentsTable(document, LIGHT)
    qtbot.addWidget(made)
    made.resize(700, 500)
    with qtbot.waitExposed(made):
        made.show()
    made.show_slot(slot_id, slot_id)
    return made


def test_it_starts_at_the_current_that_the_card_shows(qtbot: Any, van: Vehicle) -> None:
    made = table(qtbot, van, "slot-1")
    index = made.view.currentIndex()
    assert STATES[index.row()] == "running"
    assert COLUMNS[index.column()] == "host_a"
    assert "Host fuse, engine running" in made.why.button.text()


def test_it_opens_the_sum_and_follows_the_arrow_keys(qtbot: Any, van: Vehicle) -> None:
    made = table(qtbot, van, "slot-1")
    qtbot.mouseClick(made.why.button, Qt.MouseButton.LeftButton)
    assert "Own load: 3 A" in plain(made.why.label.text())
    made.view.setFocus()
    qtbot.keyClick(made.view, Qt.Key.Key_Right)
    assert "Live contact, engine running" in made.why.button.text()
    assert "Dash cam: " in made.why.label.text()


def test_a_limit_opens_how_it_came_about(qtbot: Any, van: Vehicle) -> None:
    made = table(qtbot, van, "slot-1")
    qtbot.mouseClick(made.why.button, Qt.MouseButton.LeftButton)
    made.view.setCurrentIndex(made.model.index(len(STATES), COLUMNS.index("host_a")))
    assert "Host fuse, limit" in made.why.button.text()
    assert "10 A mini" in plain(made.why.label.text())
    assert source_at(made.view) == "Littelfuse, Fuseology"


def test_an_edit_keeps_the_cursor_and_shows_the_new_sum(qtbot: Any, van: Vehicle) -> None:
    made = table(qtbot, van, "slot-1")
    qtbot.mouseClick(made.why.button, Qt.MouseButton.LeftButton)
    made.view.setCurrentIndex(made.model.index(STATES.index("ignition"), 0))
    made._document.apply("x", edits.change_slot, "slot-1", feed_class="unfed")
    made.show_slot("slot-1", "slot-1")
    assert made.view.currentIndex().row() == STATES.index("ignition")
    assert "the slot is dead then" in made.why.label.text()


def test_a_place_without_a_fuse_has_nothing_to_ask(qtbot: Any, van: Vehicle) -> None:
    assert not table(qtbot, van, "slot-6").why.isVisible()


def test_a_table_out_of_sight_keeps_its_figures_when_the_vehicle_is_another(qapp: Any) -> None:
    """An exception in what Qt asks of a model is not told, and can end the program much later."""
    document = Document(one_slot())
    table = CurrentsModel(document, LIGHT)
    table.show_slot("slot-1")
    document.set_vehicle(Vehicle(name="Another"))
    for row in range(table.rowCount()):
        for column in range(table.columnCount()):
            for role in (Qt.ItemDataRole.DisplayRole, Qt.ItemDataRole.ForegroundRole):
                table.data(table.index(row, column), role)
    assert table.rowCount() > 0
