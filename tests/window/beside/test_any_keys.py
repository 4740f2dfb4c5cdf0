"""Any keys in any order on Probe and Check: no fault, nothing signed, every reading heard."""

from pathlib import Path
from random import Random
from typing import Any

import pytest
from PySide6.QtCore import QCoreApplication, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from fusemap import files
from fusemap.files.demos import read_demo
from fusemap.probing import session
from fusemap.window.document import Document
from fusemap.window.probe.check_page import CheckPage
from fusemap.window.probe.page import ProbePage
from fusemap.window.style.theme import PROBE
from tests.window.probe.hand import Clock, press

KEYS = "0123456789.,-+*/⏎⏎⏎⏎⏎⌫⎋␣←→⇟⇞⇱mvaltjsnyxe"


@pytest.fixture
def document(qapp: Any) -> Document:
    return Document(read_demo("small_old_car"))


def listened(page: Any, qtbot: Any) -> list[str]:
    heard: list[str] = []
    page.herald.sounded.connect(heard.append)
    qtbot.addWidget(page)
    page.resize(1100, 700)
    page.show()
    return heard


def saved(document: Document) -> bool:
    vehicle = document.vehicle
    return files.parse(files.render(vehicle)) == vehicle


@pytest.mark.parametrize("seed", range(8))
def test_on_probe(document: Document, tmp_path: Path, qtbot: Any, seed: int) -> None:
    random, clock = Random(seed), Clock()
    page = ProbePage(document, PROBE, tmp_path, clock)
    heard = listened(page, qtbot)
    for _ in range(90):
        before = len(document.vehicle.readings)
        heard.clear()
        press(page, random.choice(KEYS))
        clock.wait(random.choice((0.1, 1, 20)))
        page.grab()
        if len(document.vehicle.readings) > before:
            assert heard in (["stored"], ["done"])
        if random.random() < 0.05:
            document.stack.undo()
        assert session.impossible(page.session, document.vehicle) == ()
    assert saved(document)


@pytest.mark.parametrize("seed", range(8))
def test_on_check(document: Document, tmp_path: Path, qtbot: Any, seed: int) -> None:
    random, clock = Random(seed), Clock()
    page = CheckPage(document, PROBE, clock, folder=tmp_path)
    heard = listened(page, qtbot)
    for _ in range(90):
        before = len(document.vehicle.readings)
        heard.clear()
        key = random.choice([*KEYS, "end"])
        if key == "end":
            at = QApplication.focusWidget() or page
            QTest.keyClick(
                at, random.choice((Qt.Key.Key_End, Qt.Key.Key_Return, Qt.Key.Key_Escape))
            )
            QCoreApplication.processEvents()
        else:
            press(page, key)  # type: ignore[arg-type]
        page.grab()
        if len(document.vehicle.readings) > before:
            assert heard[-1] in ("stored", "done", "doubted")
        if random.random() < 0.05:
            document.stack.undo()
        assert page.current() is not None
    assert document.vehicle.sign_offs == ()
    assert saved(document)
