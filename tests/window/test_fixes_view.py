"""The fixes of a finding as buttons: previewed, one step each, undone by undo."""

from typing import Any

import pytest
from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtWidgets import QAbstractButton, QApplication, QLabel, QScrollArea, QWidget

from fusemap.assess import assess
from fusemap.checks import findings
from fusemap.fixes.trial import find_fixes
from fusemap.vehicle import Vehicle
from fusemap.window.document import Document
from fusemap.window.findings.findings_list import FindingsList
from fusemap.window.findings.fix_row import FixRow
from fusemap.window.main_window import MainWindow
from fusemap.window.settings import Settings
from fusemap.window.style.theme import LIGHT
from tests.vehicles import one_slot, with_accessory


def reversed_tap() -> Vehicle:
    """A lamp on the load side of a fuse that it overloads."""
    return with_accessory(one_slot(own_a=7.0), amperes=6.0, way_round="load_side")


@pytest.fixture
def document() -> Document:
    return Document(reversed_tap())


@pytest.fixture
def shown(document: Document, qtbot: Any) -> FindingsList:
    view = FindingsList(document, LIGHT)
    qtbot.addWidget(view)
    view.resize(1000, 600)
    with qtbot.waitExposed(view):
        view.show()
    return view


def go_to(view: FindingsList, code: str) -> None:
    row = [f.code for f in view.model.findings].index(code)
    view.list.setCurrentIndex(view.model.index(row, 0))


def tried(view: FindingsList, qtbot: Any) -> None:
    qtbot.waitUntil(lambda: view.details.fixes.heading.text() == "Ways out")


def test_the_ways_come_when_the_cursor_rests_on_a_finding(shown: FindingsList, qtbot: Any) -> None:
    go_to(shown, "reversed_tap")
    assert shown.details.fixes.buttons == []
    tried(shown, qtbot)
    names = [button.accessibleName() for button in shown.details.fixes.buttons]
    assert names == ["Turn the tap of “Lamp” round"]


def test_a_way_tells_its_effect_before_it_is_gone(shown: FindingsList, qtbot: Any) -> None:
    go_to(shown, "host_overloaded")
    tried(shown, qtbot)
    effect = shown.details.fixes.findChild(QLabel, "fixEffect_1")
    assert effect is not None
    assert "→" in effect.text()
    assert "Also removes" in effect.text()


def test_a_way_has_its_figures_before_and_after(shown: FindingsList, qtbot: Any) -> None:
    """They are those of the host's own fuse, and the number of what one stops for."""
    go_to(shown, "host_overloaded")
    tried(shown, qtbot)
    row = shown.details.fixes.findChild(FixRow, "fixRow_1")
    assert row is not None
    a = shown.document.assessment
    edit = find_fixes(a, shown.current())[0].fix.edit
    assert edit is not None
    after = assess(edit(a.vehicle))
    share = [round(100 * float(each.known.slots.worst_share[0])) for each in (a, after)]
    before, then = row.figure.text().replace("\N{NARROW NO-BREAK SPACE}", " ").split(" → ")
    assert before.startswith(str(share[0]))
    assert then.startswith(str(share[1]))
    stops = [sum(f.severity == "stop" for f in findings(e.vehicle, e)) for e in (a, after)]
    assert row.stops.text() == f"stops {stops[0]} → {stops[1]}"


def test_the_way_of_a_finding_stands_as_a_row_that_breaks_where_it_breaks(
    shown: FindingsList,
) -> None:
    go_to(shown, "host_overloaded")
    way = shown.details.way
    assert way.stations[0].part == "battery"
    assert way.broken == "host"
    assert "host" in [each.key for each in way.stations]
    go_to(shown, "reversed_tap")
    assert way.broken == "tap"
    assert "Lamp" in way.accessibleName()


class Windows(QObject):
    """The widgets that were shown as a window of their own."""

    def __init__(self) -> None:
        super().__init__()
        self.shown: list[str] = []

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.Show and isinstance(watched, QWidget) and watched.isWindow():
            self.shown.append(watched.objectName())
        return False


def test_no_way_flashes_up_as_a_window_of_its_own(shown: FindingsList, qtbot: Any) -> None:
    """Such a window takes the keyboard away from the one that is worked in."""
    application = QApplication.instance()
    assert application is not None
    seen = Windows()
    application.installEventFilter(seen)
    go_to(shown, "host_overloaded")
    tried(shown, qtbot)
    application.removeEventFilter(seen)
    assert shown.details.fixes.findChild(QLabel, "fixEffect_1") is not None
    assert seen.shown == []


def test_space_on_its_button_goes_it_as_one_step(
    shown: FindingsList, document: Document, qtbot: Any
) -> None:
    before = document.vehicle
    go_to(shown, "reversed_tap")
    tried(shown, qtbot)
    button = shown.details.fixes.buttons[0]
    button.setFocus()
    qtbot.keyClick(button, Qt.Key.Key_Space)
    assert document.vehicle.taps[0].way_round == "live_side"
    assert document.stack.undoText() == "Turn the tap of “Lamp” round"
    assert "reversed_tap" not in {f.code for f in document.findings}
    document.stack.undo()
    assert document.vehicle == before


def test_after_a_way_was_gone_the_next_finding_has_its_own_ways(
    shown: FindingsList, document: Document, qtbot: Any
) -> None:
    go_to(shown, "reversed_tap")
    tried(shown, qtbot)
    shown.details.fixes.buttons[0].click()
    qtbot.waitUntil(lambda: len(shown.model.findings) == len(document.findings))
    tried(shown, qtbot)
    names = [button.accessibleName() for button in shown.details.fixes.buttons]
    assert "Turn the tap of “Lamp” round" not in names


def test_what_is_done_beside_the_vehicle_has_words_and_no_button(qtbot: Any) -> None:
    document = Document(with_accessory(one_slot(fuse=None)))
    view = FindingsList(document, LIGHT)
    qtbot.addWidget(view)
    view.resize(1000, 600)
    with qtbot.waitExposed(view):
        view.show()
    go_to(view, "host_fuse_missing")
    tried(view, qtbot)
    assert view.details.fixes.buttons == []
    words = [label.text() for label in view.details.fixes.findChildren(QLabel)]
    assert any(text.startswith("Beside the vehicle: Look which fuse") for text in words)


def test_the_words_of_a_way_wrap_and_are_not_cut(shown: FindingsList, qtbot: Any) -> None:
    go_to(shown, "host_overloaded")
    tried(shown, qtbot)
    shown.resize(380, 700)
    qtbot.wait(30)
    rows = shown.details.fixes.findChildren(FixRow)
    assert len(rows) > 1
    for row in rows:
        for label in (row.title, row.effect):
            assert label.height() >= label.heightForWidth(label.width())
        assert row.button is not None
        assert row.button.width() >= row.button.sizeHint().width()


class PaintedWhole(QObject):
    """Looks at every label about a finding whenever one is painted."""

    def __init__(self, view: FindingsList) -> None:
        super().__init__(view)
        self.view = view
        self.wrong: set[str] = set()
        self.seen = 0
        view.details.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.Paint:
            self.seen += 1
            self.wrong |= set(crushed(self.view))
        return False


def crushed(view: FindingsList) -> list[str]:
    """What is shown about a finding with another height than its words need.

    What is pressed may be higher than its words, as a target, and no lower.
    """

    def gap(label: QLabel) -> int:
        needed = label.heightForWidth(label.width())
        pressed = isinstance(label.parentWidget(), QAbstractButton)
        return max(0, needed - label.height()) if pressed else abs(needed - label.height())

    return [
        f"{label.text()[:20]} {label.height()} for {label.heightForWidth(label.width())}"
        for label in view.details.findChildren(QLabel)
        if label.isVisible() and label.wordWrap() and label.text() and gap(label) > 2
    ]


@pytest.mark.parametrize("opened", [False, True])
@pytest.mark.parametrize("size", [(1280, 720), (1600, 1400), (900, 700)])
def test_what_is_about_a_finding_is_never_painted_crushed_or_with_gaps(
    window: MainWindow, qtbot: Any, size: tuple[int, int], opened: bool
) -> None:
    window.resize(*size)
    window.files.open_demo("")
    window.focus_pane("findings")
    qtbot.wait(50)
    assert window.work is not None
    view = window.work.findings
    view.details.more.setChecked(opened)
    qtbot.waitUntil(lambda: not view.details.visibleRegion().isEmpty())
    painted = PaintedWhole(view)
    for row in range(view.model.rowCount()):
        view.list.setCurrentIndex(view.model.index(row, 0))
        window.repaint()
        tried(view, qtbot)
        window.repaint()
    assert painted.seen >= 2 * view.model.rowCount()
    assert painted.wrong == set()


def test_where_a_reading_is_missing_the_first_way_opens_the_probe_page_at_the_slot(
    qtbot: Any,
) -> None:
    vehicle = with_accessory(one_slot(live_side="unknown"))
    window = MainWindow(Document(), Settings())
    qtbot.addWidget(window, before_close_func=lambda w: w.document.stack.setClean())
    window.resize(1400, 900)
    window.show()
    window.document.set_vehicle(vehicle)
    window.focus_pane("findings")
    view = window.work.findings
    qtbot.waitUntil(lambda: bool(view.model.findings))
    go_to(view, "live_side_unknown")
    tried(view, qtbot)
    button = view.details.fixes.buttons[0]
    assert button.text() == "Measure now"
    button.setFocus()
    qtbot.keyClick(button, Qt.Key.Key_Space)
    assert window.tasks.shown == "probe"
    assert window.tasks.probe.session.slot == vehicle.taps[0].slot
    assert window.document.vehicle == vehicle


def test_figures_that_leave_the_words_no_room_stand_below_them(qtbot: Any) -> None:
    row = FixRow(LIGHT, 1, "Sobrecalentamiento", "Also removes: reversed")
    row.offer("Do it", "A button of many words, so that it is broad", 1, lambda: None)
    qtbot.addWidget(row)
    row.show_figures(None, "121–146 % → 39–41 %, and so on", "3 stops → none left at all")
    wide = sum(each.sizeHint().width() for each in (row.figure, row.stops, row.button))
    row.resize(wide + row.title.sizeHint().width() // 2, 200)
    row.show()
    qtbot.waitUntil(lambda: row.figure.y() > row.title.geometry().bottom())
    assert row.figure.width() >= row.figure.sizeHint().width()


def test_a_way_that_stood_on_a_wide_page_goes_onto_a_narrow_one(qtbot: Any) -> None:
    row = FixRow(LIGHT, 1, "Turn the tap of “Lamp” round", "Also removes: reversed")
    row.show_figures("holds", "121–138 % → 69 %", "stops 2 → 1")
    button = row.offer("Turn it round", "Do it", 1, lambda: None)
    area = QScrollArea()
    qtbot.addWidget(area)
    area.setWidget(row)
    area.setWidgetResizable(True)
    area.resize(1400, 400)
    with qtbot.waitExposed(area):
        area.show()
    beside = row.figure.y()
    for wide in (420, 240):
        area.resize(wide, 400)
        qtbot.waitUntil(lambda: row.width() <= area.viewport().width())
        assert area.horizontalScrollBar().maximum() == 0
        assert row.rect().contains(button.geometry())
        assert row.figure.width() >= row.figure.sizeHint().width()
    assert row.stops.y() > row.figure.y() > beside
