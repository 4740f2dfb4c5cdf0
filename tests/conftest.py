"""What every test gets: no screen needed, no modal box, settings in a folder of its own."""

import gc
import os
import sys

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from pathlib import Path
from typing import Any, NoReturn

import pytest
from hypothesis import settings

# How long one example takes says more about the machine than about the code. A run tries the same
# examples each time; FUSEMAP_HUNT=1 goes looking for others.
settings.register_profile("steady", deadline=None, derandomize=True, database=None)
settings.register_profile("hunt", deadline=None, print_blob=True)
settings.load_profile("hunt" if os.environ.get("FUSEMAP_HUNT") else "steady")


@pytest.fixture(autouse=True, scope="session")
def _rubbish_waits() -> None:
    """The collector runs between tests, as in the program between events (`window.rubbish`)."""
    gc.disable()


@pytest.hookimpl(trylast=True)
def pytest_runtest_teardown(item: pytest.Item) -> None:
    """What the test left behind, and with what is due of the older."""
    if "fusemap.window.rubbish" in sys.modules:
        sys.modules["fusemap.window.rubbish"].collect_some()
    else:
        gc.collect(1)


@pytest.fixture(autouse=True)
def settings_dir(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Settings and rescued work go into a folder of this test."""
    folder = tmp_path / "settings"
    monkeypatch.setenv("FUSEMAP_SETTINGS_DIR", str(folder))
    return folder


@pytest.fixture
def no_modal_boxes(monkeypatch: pytest.MonkeyPatch) -> None:
    """A box that waits for an answer would hang the test; here it fails it."""
    from PySide6.QtWidgets import QDialog, QFileDialog, QInputDialog, QMenu, QMessageBox

    def refuse(*args: Any, **kwargs: Any) -> NoReturn:
        raise AssertionError("a modal box opened in a test")

    for box in (QDialog, QFileDialog, QInputDialog, QMessageBox, QMenu):
        monkeypatch.setattr(box, "exec", refuse)
    for name in ("question", "information", "warning", "critical", "about"):
        monkeypatch.setattr(QMessageBox, name, refuse)
    for name in ("getOpenFileName", "getSaveFileName", "getExistingDirectory"):
        monkeypatch.setattr(QFileDialog, name, refuse)
    for name in ("getText", "getInt", "getDouble", "getItem", "getMultiLineText"):
        monkeypatch.setattr(QInputDialog, name, refuse)


@pytest.fixture(autouse=True)
def _window_tests_open_no_modal_box(request: pytest.FixtureRequest) -> None:
    """Whatever uses Qt in a test is kept from waiting for an answer."""
    if "qtbot" in request.fixturenames:
        request.getfixturevalue("no_modal_boxes")
