"""From what draws parked, and from a finding, straight to the hunt; and back where it began."""

from typing import Any

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QPushButton, QWidget

from fusemap.files.demos import read_demo
from fusemap.fixes.fix import Case
from fusemap.fixes.trial import find_fixes
from fusemap.vehicle import edits
from fusemap.window.document import Document
from fusemap.window.main_window import MainWindow
from fusemap.window.settings import Settings


@pytest.fixture
def window(qtbot: Any) -> MainWindow:
    vehicle = edits.change_parking(read_demo("small_old_car"), rest_current_a=0.35)
    made = MainWindow(Document(vehicle), Settings())
    qtbot.addWidget(made, before_close_func=lambda w: w.document.stack.setClean())
    made.resize(1366, 768)
    with qtbot.waitExposed(made):
        made.show()
    made.show_work()
    return made


def seen(window: MainWindow, words: str) -> QPushButton:
    """The button with these words that is in view, once it stays where it is."""
    before = None
    for _ in range(100):
        for each in window.findChildren(QPushButton):
            if each.isVisible() and (words in each.text() or words in each.accessibleName()):
                here = (each, each.mapTo(window, QPoint(0, 0)), each.size())
                if here == before and not each.visibleRegion().isEmpty():
                    return each
                before = here
                break
        QTest.qWait(50)
    raise AssertionError(f"there is no {words}")


def click(button: QWidget) -> None:
    QTest.mouseClick(button, Qt.MouseButton.LeftButton)


def test_from_what_draws_parked(window: MainWindow) -> None:
    window.tasks.show("standing")
    QTest.qWait(300)
    link = window.findChild(QPushButton, "parkedHunt")
    assert link is not None
    assert link.isVisible()
    click(link)
    assert window.tasks.shown == "hunt"
    hunt = window.tasks.hunt
    assert hunt is not None
    assert QApplication.focusWidget() is hunt
    QTest.keyClick(hunt, Qt.Key.Key_Escape)
    assert window.tasks.shown == "standing", "back where it began"


def test_from_the_finding_that_it_draws_too_much(window: MainWindow) -> None:
    found = window.document.findings
    high = next(each for each in found if each.code == "rest_current_high")
    window.show_whole("findings")
    assert window.work is not None
    window.work.show_finding(high)
    click(seen(window, "Find it"))
    assert window.tasks.shown == "hunt"


def test_it_is_a_way_out_only_where_the_vehicle_itself_draws_too_much(window: MainWindow) -> None:
    a = window.document.assessment
    short = next(each for each in window.document.findings if each.code.startswith("stands_"))
    assert any(trial.fix.hunt for trial in find_fixes(a, short))
    quiet = edits.change_parking(window.document.vehicle, rest_current_a=0.02, stand_days=90)
    document = Document(quiet)
    short = next(each for each in document.findings if each.code.startswith("stands_"))
    assert not any(trial.fix.hunt for trial in find_fixes(document.assessment, short))
    assert Case(document.assessment, short).vehicle is quiet


def keys(text: str) -> None:
    """To whatever has the keyboard; `⏎` is Enter."""
    for key in text:
        focused = QApplication.focusWidget()
        assert focused is not None
        if key == "⏎":
            QTest.keyClick(focused, Qt.Key.Key_Return)
        else:
            QTest.keyClicks(focused, key)


def test_while_one_hunts_what_comes_next_is_the_hunts_own_step(window: MainWindow) -> None:
    """Whatever else is open: with a fuse out on every page, since it has to go back first."""
    says = window.frame_.rail.next
    window.tasks.find_drain()
    assert says.words == "Lock the vehicle"
    keys("⏎")
    assert says.words == "Wait until it sleeps"
    keys("⏎")
    assert says.words == "Read the whole vehicle"
    keys("0.35⏎")
    assert says.words == "Read across fuse 2"
    window.tasks.show("plan")
    assert says.words != "Read across fuse 2", "elsewhere the job goes on"
    window.tasks.find_drain()
    keys("1.3⏎")
    assert says.words == "Pull fuse 2"
    keys("0.08⏎")
    window.tasks.show("plan")
    assert says.words == "Put fuse 2 back"
    assert says.isEnabled()
    click(says)
    assert window.tasks.shown == "hunt"
    assert QApplication.focusWidget() is window.tasks.hunt
    keys("0.35⏎")
    assert says.words == "Read across fuse 1"
    keys("e")
    window.tasks.show("plan")
    QTest.qWait(1200)
    assert says.words is not None
    assert "fuse" not in says.words.split(":")[0], "at its end the job goes on"
