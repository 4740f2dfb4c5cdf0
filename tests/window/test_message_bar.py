"""Messages lie over the window; rail and verdict stay where they are whatever is said or shown."""

from typing import Any

import pytest
from PySide6.QtCore import QEvent, QPoint, QPointF
from PySide6.QtGui import QEnterEvent
from PySide6.QtWidgets import QApplication, QLabel, QPushButton, QWidget

from fusemap.errors import EditRefused
from fusemap.window.main_window import MainWindow
from fusemap.window.parts import message_bar
from fusemap.window.parts.message_bar import MessageBar
from fusemap.window.style import measures
from fusemap.window.work_area import PANES, WorkArea

SMALL = (1366, 768)
REFUSED = EditRefused("the place is taken", "F1", "choose a free place")


@pytest.fixture
def work(window: MainWindow, qtbot: Any) -> WorkArea:
    """The views of the demo vehicle on a small laptop."""
    window.resize(*SMALL)
    window.files.open_demo("")
    qtbot.wait(20)
    assert window.work is not None
    return window.work


def places(window: MainWindow) -> dict[str, tuple[QPoint, Any]]:
    """Where everything inside the pages is, and how large."""
    return {
        part.objectName(): (part.mapTo(window, QPoint()), part.size())
        for part in window.pages.findChildren(QWidget)
        if part.isVisible() and part.objectName()
    }


def settled(window: MainWindow, qtbot: Any) -> dict[str, tuple[QPoint, Any]]:
    """The same once nothing moves by itself any more: what is chosen gets its figures late."""
    found: list[dict[str, tuple[QPoint, Any]]] = [{}]

    def still() -> bool:
        qtbot.wait(250)
        found.append(places(window))
        return found[-1] == found[-2]

    qtbot.waitUntil(still, timeout=20_000)
    return found[-1]


def frame_places(window: MainWindow) -> list[tuple[QPoint, Any]]:
    """Where every button of rail and verdict is, and how large."""
    frame = window.frame_
    parts = (*frame.rail.stages.values(), *frame.verdict.cells.values(), frame.rail.next)
    return [(part.mapTo(window, QPoint()), part.size()) for part in parts]


def test_a_message_moves_nothing_in_the_window(
    window: MainWindow, work: WorkArea, qtbot: Any
) -> None:
    before = settled(window, qtbot)
    window.message.show_error(REFUSED)
    QApplication.processEvents()
    assert window.message.isVisible()
    assert places(window) == before
    window.message.clear()
    QApplication.processEvents()
    assert places(window) == before


def test_a_message_is_read_whole_and_leaves_rail_and_verdict_free(
    window: MainWindow, work: WorkArea
) -> None:
    window.message.show_error(EditRefused("the place is taken " * 40, "F1", "choose another"))
    QApplication.processEvents()
    bar = window.message
    for size in ((1366, 768), (900, 700)):
        window.resize(*size)
        QApplication.processEvents()
        at, under = bar.mapTo(window, QPoint()), bar.parentWidget()
        assert bar.height() >= bar.heightForWidth(bar.width())
        assert abs(bar.geometry().center().x() - under.rect().center().x()) <= 1, "in the middle"
        assert under.rect().contains(bar.geometry())
        frame = window.frame_
        foot = frame.mapTo(window, QPoint()).y() + frame.height()
        assert at.y() >= foot, "rail and verdict stay free"


def test_a_message_is_read_whole_beside_the_choices_that_come_after_it(
    window: MainWindow, work: WorkArea, qtbot: Any
) -> None:
    what = "A 12 V accessory needs a converter in a 24 V vehicle; never the middle of two batteries"
    window.message.show_error(EditRefused(what, "F1", "choose a converter's output"))
    window.message.offer([("Hang it behind 24 to 12 V converter", lambda: None)])
    qtbot.wait(20)
    words = window.message.findChild(QLabel, "messageText")
    assert words.heightForWidth(words.width()) <= words.height()


def test_a_short_message_is_a_small_card(window: MainWindow, work: WorkArea) -> None:
    window.message.show_note("Saved")
    QApplication.processEvents()
    bar = window.message
    assert bar.width() < window.width() / 3
    assert bar.height() >= measures.height(bar, "message")
    words = bar.findChild(QLabel, "messageText")
    assert words is not None
    assert words.heightForWidth(words.width()) < 2 * words.fontMetrics().height(), "in one line"


def test_a_message_takes_the_mouse_from_nothing_it_does_not_cover(
    window: MainWindow, work: WorkArea
) -> None:
    window.message.show_note("Saved")
    QApplication.processEvents()
    stage = window.frame_.rail.stages["standing"]
    assert window.childAt(stage.mapTo(window, stage.rect().center())) is stage


@pytest.fixture
def bar(qtbot: Any, window: MainWindow, monkeypatch: pytest.MonkeyPatch) -> MessageBar:
    """The window's bar, with little patience."""
    monkeypatch.setattr(message_bar, "STAYS_MS", 10)
    return window.message


def test_good_news_goes_by_itself(bar: MessageBar, qtbot: Any) -> None:
    bar.show_note("Saved")
    qtbot.waitUntil(lambda: bar.text == "")


def test_what_was_refused_stays_until_it_is_taken_away(bar: MessageBar, qtbot: Any) -> None:
    bar.show_note("Saved")
    bar.show_error(REFUSED, choices=[("Another", lambda: None)])
    qtbot.wait(60)
    assert "F1" in bar.text
    choice = bar.findChild(QPushButton, "messageChoice0")
    assert choice is not None
    choice.click()
    assert bar.text == ""


def test_good_news_stays_while_it_is_pointed_at(bar: MessageBar, qtbot: Any) -> None:
    bar.show_note("Saved to a long way off")
    at = QPointF(3, 3)
    QApplication.sendEvent(bar, QEnterEvent(at, at, at))
    qtbot.wait(60)
    assert bar.text
    QApplication.sendEvent(bar, QEvent(QEvent.Type.Leave))
    qtbot.waitUntil(lambda: bar.text == "")


def test_rail_and_verdict_stay_where_they_are_whatever_is_looked_at(
    window: MainWindow, work: WorkArea, qtbot: Any
) -> None:
    qtbot.waitUntil(lambda: window.frame_.state.title is not None)
    qtbot.wait(60)
    at = frame_places(window)
    for pane in PANES:
        work.focus_pane(pane)
        qtbot.wait(60)
        assert frame_places(window) == at, pane
    for task in ("probe", "check"):
        window.tasks.show(task)
        qtbot.wait(60)
        assert frame_places(window) == at, task


def test_the_panel_has_the_shelf_s_room_while_it_is_filled_in(
    window: MainWindow, work: WorkArea, qtbot: Any
) -> None:
    window.tasks.show("plan")
    qtbot.wait(20)
    planned = work.panels.height()
    window.tasks.show("panel")
    qtbot.waitUntil(lambda: work.panels.height() > planned)
    assert not work.shelf.isVisible()
    work.focus_pane("shelf")
    qtbot.waitUntil(lambda: work.panels.height() == planned)
    assert window.tasks.shown == "plan"


def test_room_that_the_user_gave_is_kept(work: WorkArea, qtbot: Any) -> None:
    split = work.lid.split
    split.moveSplitter(split.sizes()[0] - 60, 1)
    given = split.sizes()
    for pane in ("parked", "findings", "panel", "shelf"):
        work.focus_pane(pane)
        qtbot.wait(60)
    assert split.sizes() == given


LONG = EditRefused(
    "there is no way to do this while so much else is open, and it has to be said at some length",
    "Main fuse box under the bonnet",
    "finish what is open first, or leave it as it is and come back to it tomorrow",
)


@pytest.mark.parametrize("size", [SMALL, (1280, 720), (2560, 1440)])
@pytest.mark.parametrize("stage", ["probe", "check", "hunt", "crank"])
def test_on_the_stage_a_message_lies_over_no_key_and_no_entry(
    window: MainWindow, qtbot: Any, stage: str, size: tuple[int, int]
) -> None:
    window.resize(*size)
    window.files.open_demo("")
    window.tasks.show(stage)
    page: Any = window.pages.currentWidget()
    frame = page.frame
    for error in (REFUSED, LONG):
        for on in (False, True, False):  # the keypad opened and put away under the message
            window.message.show_error(error)
            page.open_pad(on)
            qtbot.wait(20)
            card = window.message
            assert card.isVisible()
            assert card.y() >= 0
            for part in (frame.entry, frame.picture, frame.keypad):
                place = part.rect().translated(part.mapTo(card.parentWidget(), QPoint()))
                assert not part.isVisible() or not place.intersects(card.geometry()), part
