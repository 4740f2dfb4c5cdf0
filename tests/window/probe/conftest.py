"""A probing page on a small invented vehicle, with a clock the test turns."""

from pathlib import Path
from typing import Any

import pytest

from fusemap.vehicle import Fuse, Vehicle, edits
from fusemap.window.document import Document
from fusemap.window.probe.page import ProbePage
from fusemap.window.style.theme import PROBE
from tests.window.probe.hand import Clock


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def twelve() -> Vehicle:
    """A panel of two rows of six, a mini fuse in every slot but the last."""
    vehicle = edits.add_panel(Vehicle(name="Van"), "Dash", 2, 6)
    for number, rating in enumerate((5, 10, 15, 20, 7.5, 10, 15, 10, 5, 20, 15), start=1):
        fuse = Fuse(family="mini", rating=float(rating))
        vehicle = edits.change_slot(vehicle, f"slot-{number}", fuse=fuse)
    return vehicle


@pytest.fixture
def document(twelve: Vehicle, qapp: Any) -> Document:
    made = Document(twelve)
    made.refused.connect(lambda error: pytest.fail(f"refused: {error}"))
    return made


@pytest.fixture
def page(document: Document, clock: Clock, tmp_path: Path, qtbot: Any) -> ProbePage:
    made = ProbePage(document, PROBE, tmp_path, clock)
    qtbot.addWidget(made)
    made.resize(1100, 700)
    made.show()
    qtbot.waitExposed(made)
    made.setFocus()
    return made
