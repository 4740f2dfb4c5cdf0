"""Undo where the step cannot be seen: it is said which one went."""

from typing import Any

import pytest

from fusemap.vehicle import edits
from fusemap.window.main_window import MainWindow


@pytest.mark.parametrize("stage", ["probe", "check", "hunt", "crank", "standing", "paper"])
def test_a_step_taken_back_beside_the_panel_is_named(
    opened: MainWindow, qtbot: Any, stage: Any
) -> None:
    """Whoever takes back a figure half typed there learns which step was undone instead."""
    opened.document.apply("Radio renamed", edits.change_slot, "dash-f2", circuit="Wireless")
    opened.tasks.show(stage)
    qtbot.waitUntil(lambda: opened.tasks.shown == stage)
    opened.actions_.trigger("undo")
    assert opened.message.text == "Taken back: Radio renamed"
    opened.actions_.trigger("redo")
    assert opened.message.text == "Done again: Radio renamed"


def test_on_the_panel_the_cards_say_it(opened: MainWindow) -> None:
    opened.document.apply("Radio renamed", edits.change_slot, "dash-f2", circuit="Wireless")
    opened.tasks.show("panel")
    opened.actions_.trigger("undo")
    assert opened.message.text == ""
