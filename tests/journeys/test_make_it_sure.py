"""From “may not hold” to “holds”: one click, the readings on the number pad, the verdict turned."""

from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QPushButton

from fusemap.probing.session import rounds_left, spot_in_hand
from fusemap.vehicle import Fuse, Vehicle, edits
from fusemap.vehicle.model import UNREAD
from fusemap.window.document import Document
from fusemap.window.findings.findings_list import FindingsList
from fusemap.window.main_window import MainWindow
from fusemap.window.probe.page import ProbePage
from fusemap.window.settings import Settings
from tests.assess.test_ends import camera, ten_slots
from tests.probing.test_to_be_sure import half_measured, two_open
from tests.window.probe.hand import press


@pytest.fixture
def window(qtbot: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> MainWindow:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path))
    made = MainWindow(Document(), Settings())
    made.resize(1280, 720)
    qtbot.addWidget(made)
    with qtbot.waitExposed(made):
        made.show()
    yield made
    made.document.stack.setClean()


def findings_of(window: MainWindow, vehicle: Vehicle, qtbot: Any) -> FindingsList:
    """The findings of a vehicle, once it was reckoned what to measure."""
    window.document.set_vehicle(vehicle)
    window.show_work()
    assert window.work is not None
    window.work.focus_pane("findings")
    view = window.work.findings
    view.refresh()
    qtbot.waitUntil(lambda: view.verdict.asked is not None)
    return view


def read_all(page: ProbePage, figure: str) -> int:
    """Type the figure wherever something is asked, Enter at the end of a round; how many keys."""
    keys = 0
    while page.session.sure and rounds_left(page.session, page._document.vehicle):
        keys += press(page, f"{figure}⏎" if spot_in_hand(page.session) else "⏎")
        assert keys < 60
    return keys


class TestTwoOpenReadings:
    def test_one_click_and_a_handful_of_keys_turn_it(self, window: MainWindow, qtbot: Any) -> None:
        view = findings_of(window, two_open(), qtbot)
        assert view.verdict.words.text() == (
            "May not hold: Main feed, Rear feed. Measure F5 Radio and F10 Radio, then it is sure."
        )
        QTest.mouseClick(view.verdict.measure, Qt.MouseButton.LeftButton)
        page = window.tasks.probe
        assert page is not None
        assert window.tasks.shown == "probe"
        assert window.focusWidget() is page
        assert page.session.slot == window.document.vehicle.panels[0].slots[4].id
        assert "Why: feed “Main feed” may carry" in page.words.text
        assert read_all(page, "1") <= 12
        assert "Everything holds, whatever was not measured." in page.words.text
        window.tasks.show("plan")
        window.work.focus_pane("findings")
        qtbot.waitUntil(lambda: view.verdict.words.text().startswith("Everything holds"))
        qtbot.waitUntil(lambda: not view.verdict.measure.isVisible())

    def test_undo_brings_the_doubt_back(self, window: MainWindow, qtbot: Any) -> None:
        view = findings_of(window, two_open(), qtbot)
        QTest.mouseClick(view.verdict.measure, Qt.MouseButton.LeftButton)
        page = window.tasks.probe
        read_all(page, "1")
        press(page, "/")
        assert rounds_left(page.session, window.document.vehicle) != ()
        assert spot_in_hand(page.session) is not None

    def test_it_goes_on_after_a_restart(self, window: MainWindow, qtbot: Any) -> None:
        view = findings_of(window, two_open(), qtbot)
        QTest.mouseClick(view.verdict.measure, Qt.MouseButton.LeftButton)
        press(window.tasks.probe, "1⏎2")
        before = window.tasks.probe.session
        window.tasks.look_again()
        assert window.tasks.probe.session == before
        assert (before.sure, before.typed) == (True, "2")


class TestAFeed:
    def test_a_feed_is_read_by_clamp_and_stands_in_its_form(
        self, window: MainWindow, qtbot: Any
    ) -> None:
        view = findings_of(window, half_measured(), qtbot)
        QTest.mouseClick(view.verdict.measure, Qt.MouseButton.LeftButton)
        page = window.tasks.probe
        assert page.session.feed == "feed-1"
        assert page.entry.text.endswith("A")
        assert page.stage.accessibleDescription().startswith("Main feed, the whole feed")
        read_all(page, "12")
        assert window.document.vehicle.feeds[0].carried.ignition == 12.3
        window.tasks.show("plan")
        window.document.select("feed", "feed-1")
        form = window.work.details.page("feed").form
        assert (
            form.evidence.text()
            .replace("\u202f", " ")
            .startswith("Ignition on: 12 A (11.7 to 12.3 A), 12 A by clamp")
        )

    def test_too_much_is_said_to_fail(self, window: MainWindow, qtbot: Any) -> None:
        view = findings_of(window, half_measured(), qtbot)
        QTest.mouseClick(view.verdict.measure, Qt.MouseButton.LeftButton)
        read_all(window.tasks.probe, "29")
        assert "Does not hold: Main feed." in window.tasks.probe.words.text

    def test_a_finding_leads_to_the_reading_that_settles_it(
        self, window: MainWindow, qtbot: Any
    ) -> None:
        view = findings_of(window, half_measured(), qtbot)
        qtbot.waitUntil(lambda: view.details.fixes.heading.text() == "Ways out")
        button = view.details.fixes.buttons[0]
        assert button.accessibleName().startswith(("Measure", "Feed"))
        QTest.mouseClick(button, Qt.MouseButton.LeftButton)
        session = window.tasks.probe.session
        assert (session.feed, session.round.state, session.sure) == ("feed-1", "ignition", True)


class TestWhatIsSaid:
    def test_what_else_a_feed_carries_is_said_in_its_form(
        self, window: MainWindow, qtbot: Any
    ) -> None:
        vehicle = edits.change_feed(half_measured(), "feed-1", other_load=UNREAD)
        for slot in vehicle.panels[0].slots:
            known = vehicle.panels[0].slots[0].own_load
            vehicle = edits.change_slot(vehicle, slot.id, own_load=known)
        view = findings_of(window, vehicle, qtbot)
        assert view.verdict.tell.isVisible()
        assert not view.verdict.measure.isVisible()
        QTest.mouseClick(view.verdict.tell, Qt.MouseButton.LeftButton)
        field = window.focusWidget()
        assert isinstance(field, QPushButton)
        assert field.objectName() == "feed_nothing_else"
        QTest.keyClick(field, Qt.Key.Key_Space)
        window.show_whole("findings")
        qtbot.waitUntil(lambda: view.verdict.words.text().startswith("Everything holds"))

    def test_how_an_accessory_starts_is_said_in_its_form(
        self, window: MainWindow, qtbot: Any
    ) -> None:
        motor = edits.change_accessory(camera(ten_slots(10), 6.0), "accessory-1", load_kind="motor")
        view = findings_of(window, motor, qtbot)
        QTest.mouseClick(view.verdict.tell, Qt.MouseButton.LeftButton)
        field = window.focusWidget()
        assert field is not None
        named = field if field.objectName() else field.parentWidget()
        assert named.objectName() == "accessory_inrush_multiple"


class TestTheSign:
    def test_every_verdict_has_its_words(self, window: MainWindow, qtbot: Any) -> None:
        vehicle = half_measured()
        view = findings_of(window, vehicle, qtbot)
        assert view.verdict.words.text().startswith("May not hold")
        empty = edits.remove_accessory(vehicle, "accessory-1")
        assert findings_of(window, empty, qtbot).verdict.words.text() == (
            "Nothing is placed yet: there is nothing to check."
        )
        slot = vehicle.panels[0].slots[0].id
        unnamed = findings_of(window, edits.change_slot(vehicle, slot, critical=True), qtbot)
        assert unnamed.verdict.words.text().startswith("Does not hold: F1 Radio")

    def test_an_edit_does_not_wait_for_what_to_measure(
        self, window: MainWindow, qtbot: Any
    ) -> None:
        """It is reckoned when nothing has changed for a moment; the buttons wait for it."""
        view = findings_of(window, two_open(), qtbot)
        slot = window.document.vehicle.panels[0].slots[0].id
        fuse = Fuse(family="mini", rating=20.0)
        assert window.document.apply("Fuse", edits.change_slot, slot, fuse=fuse)
        QApplication.processEvents()
        assert "measure_next" not in vars(window.document.assessment)
        assert not view.verdict.measure.isEnabled()
        qtbot.waitUntil(view.verdict.measure.isEnabled)
