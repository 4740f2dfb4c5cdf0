"""What is typed beside the vehicle and not stored yet: there again, whatever happened meanwhile."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from msgspec.structs import replace
from PySide6.QtCore import QCoreApplication

from fusemap.files.demos import read_demo
from fusemap.window.document import Document
from fusemap.window.hunt.page import HuntPage
from fusemap.window.probe.check_page import CheckPage
from fusemap.window.probe.page import ProbePage
from fusemap.window.style.theme import PROBE
from tests.window.probe.hand import Clock, press

TYPED = {"probe": "1.2", "check": "-", "hunt": "⏎0.4"}
"""What is typed on each page; the hunt is at its beginning."""

Made = Callable[[], Any]


@pytest.fixture
def document(qapp: Any) -> Document:
    made = Document()
    made.set_vehicle(read_demo("small_old_car"))
    return made


@pytest.fixture(params=["probe", "check", "hunt"])
def made(request: pytest.FixtureRequest, document: Document, tmp_path: Path, qtbot: Any) -> Made:
    clock = Clock()

    def make() -> Any:
        page: Any = {
            "probe": lambda: ProbePage(document, PROBE, tmp_path, clock),
            "check": lambda: CheckPage(document, PROBE, clock, folder=tmp_path),
            "hunt": lambda: HuntPage(document, PROBE, tmp_path, clock),
        }[request.param]()
        qtbot.addWidget(page)
        page.resize(1100, 700)
        page.show()
        return page

    make.typed = TYPED[request.param]  # type: ignore[attr-defined]
    return make


def typed_on(page: Any) -> str:
    return str(page.session.typed if isinstance(page, ProbePage) else page.typed)


def begun(made: Any) -> Any:
    """The page with something typed, a step further on than its beginning."""
    page = made()
    if isinstance(page, CheckPage):
        press(page, "+⏎→")
    press(page, made.typed)
    assert typed_on(page)
    return page


def where(page: Any) -> object:
    if isinstance(page, CheckPage):
        return page.current().key, page.current().target_id
    return page.session.slot if isinstance(page, ProbePage) else page.step.kind


def test_closed_and_opened_again(made: Any) -> None:
    page = begun(made)
    again = made()
    assert (typed_on(again), where(again)) == (typed_on(page), where(page))


def test_saved_under_another_name_meanwhile(made: Any, document: Document, tmp_path: Path) -> None:
    page = begun(made)
    document.mark_saved(tmp_path / "car.fusemap")
    QCoreApplication.processEvents()
    again = made()
    assert (typed_on(again), where(again)) == (typed_on(page), where(page))


def test_given_another_name_before_it_was_ever_saved(made: Any, document: Document) -> None:
    page = begun(made)
    document.apply("Name", lambda vehicle: replace(vehicle, name="Van"))
    QCoreApplication.processEvents()
    again = made()
    assert (typed_on(again), where(again)) == (typed_on(page), where(page))


def test_another_vehicle_was_in_hand_meanwhile(
    made: Any, document: Document, tmp_path: Path
) -> None:
    document.mark_saved(tmp_path / "car.fusemap")
    page = begun(made)
    mine, here, typed = document.vehicle, where(page), typed_on(page)
    document.set_vehicle(read_demo("light_truck"), tmp_path / "truck.fusemap")
    QCoreApplication.processEvents()
    assert typed_on(page) == ""
    document.set_vehicle(mine, tmp_path / "car.fusemap")
    QCoreApplication.processEvents()
    assert (typed_on(page), where(page)) == (typed, here)


def test_a_hunt_that_was_left_for_another_vehicle_goes_on(
    document: Document, tmp_path: Path, qtbot: Any
) -> None:
    clock = Clock()
    document.mark_saved(tmp_path / "car.fusemap")
    page = HuntPage(document, PROBE, tmp_path, clock)
    qtbot.addWidget(page)
    page.show()
    press(page, "⏎⏎0.31⏎")
    mine, hunt = document.vehicle, page.hunt
    assert len(hunt.done) == 3
    document.set_vehicle(read_demo("light_truck"), tmp_path / "truck.fusemap")
    document.set_vehicle(mine, tmp_path / "car.fusemap")
    assert page.hunt == hunt
