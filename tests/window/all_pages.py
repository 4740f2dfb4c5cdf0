"""Every page of the window, one after the other, for tests that look at all of them.

In: a window with a demo vehicle in it. Out: names of pages, each with the widget that shows it; it
is shown until the next one is asked for.
"""

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

from PySide6.QtCore import Qt, QTimer
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QDialog, QPushButton, QTabWidget, QWidget
from shiboken6 import isValid

from fusemap.text import say
from fusemap.vehicle import edits
from fusemap.window import asking
from fusemap.window.document import Document
from fusemap.window.files.file_questions import ask_changed
from fusemap.window.main_window import MainWindow
from fusemap.window.panel.panel_drop import Payload, Stuck
from fusemap.window.photo.taking import pack
from fusemap.window.photo.walk_dialog import WalkDialog
from tests.window.more_pages import more_pages
from tests.window.photo.pictures import picture

SIZE = (1280, 720)
SOON_MS = 200
"""What waits longer waits for the user."""
FORMS = (
    "vehicle", "battery", "parking", "feed", "earth", "socket", "rules", "panel", "circuits",
    "nothing",
)  # fmt: skip
PANES = ("shelf", "findings", "parked", "band", "joint", "compare", "paper")
TABLES = ("own_slots", "own_accessories", "own_feeds", "fuse_families")


def every_page(window: MainWindow, *, more: bool = True) -> Iterator[tuple[str, QWidget]]:
    """All of them: first page, panel, forms, whole pages, tasks, boxes beside the window.

    With `more` those too that take vehicles of their own, which are the same for any window.
    """
    for pages in (_first, _work, _forms, _whole, _tasks, _boxes):
        yield from pages(window)
    if more:
        yield from more_pages(window, settle)


def settle(milliseconds: int = 20) -> None:
    """Let views catch up that fill in later turns of the event loop, and paint them.

    So long at least; on a busy machine until no view waits for its turn any more.
    """
    QTest.qWait(milliseconds)
    for _ in range(200):
        if not any(_is_due_soon(timer) for timer in _timers()):
            break
        QTest.qWait(5)
    for window in QApplication.topLevelWidgets():
        if isValid(window) and window.isVisible():
            window.repaint()


def _timers() -> Iterator[QTimer]:
    for window in QApplication.topLevelWidgets():
        if isValid(window) and window.isVisible():
            yield from window.findChildren(QTimer)


def _is_due_soon(timer: QTimer) -> bool:
    return timer.isActive() and timer.isSingleShot() and timer.interval() <= SOON_MS


def forms_of(window: MainWindow) -> Iterator[tuple[str, QWidget]]:
    """The forms alone."""
    yield from _forms(window)


def _first(window: MainWindow) -> Iterator[tuple[str, QWidget]]:
    window.show_start()
    settle()
    yield "start", window
    window.show_new()
    settle()
    yield "new vehicle", window
    window.start.ask_lid(picture=picture())
    settle()
    yield "grid on the picture", window
    window.start.new.show_picture(None)
    window.tasks.show("panel")
    settle()
    yield "panel alone", window
    window.tasks.show("plan")


def _work(window: MainWindow) -> Iterator[tuple[str, QWidget]]:
    vehicle = window.document.vehicle
    settle()
    yield "panel", window
    reversed_tap = next((t for t in vehicle.taps if t.way_round == "load_side"), vehicle.taps[0])
    window.document.select("tap", reversed_tap.id)
    settle(60)
    yield "chain", window
    window.work.show_more()
    settle(60)
    yield "chain in full", window
    window.show_advice()
    settle(120)
    yield "advice", window
    yield from _ways_on(window)


def _ways_on(window: MainWindow) -> Iterator[tuple[str, QWidget]]:
    """A slot that was refused for nothing but that nobody knows when it is live."""
    vehicle = window.document.vehicle
    slots = [tap.slot for tap in vehicle.taps if tap.slot is not None]
    window.tasks.show("plan")
    window.document.select("slot", slots[0])
    payload = Payload(accessory=vehicle.accessories[0].id)
    why = say("When it is live was not measured.")
    ways = window.work.ways
    ways.show_for(Stuck(payload, slots[0], vehicle.accessories[0].name, why, tuple(slots[1:4])))
    settle(60)
    yield "ways on", window
    QTest.keyClick(ways.measure, Qt.Key.Key_Escape)


def _forms(window: MainWindow) -> Iterator[tuple[str, QWidget]]:
    vehicle = window.document.vehicle
    tapped = next(tap.slot for tap in vehicle.taps if tap.slot is not None)
    window.document.select("slot", tapped)
    window.work.show_more()
    settle(60)
    yield "slot", window
    converter = next((a for a in vehicle.accessories if a.converter is not None), None)
    for accessory in filter(None, (vehicle.accessories[0], converter)):
        window.document.select("accessory", accessory.id)
        window.work.show_more()
        tabs = window.work.details.findChild(QTabWidget, "accessoryTabs")
        assert tabs is not None
        for index in range(tabs.count()):
            tabs.setCurrentIndex(index)
            settle(60)
            yield f"accessory {accessory.id} {index}", window
    for name in FORMS:
        if name == "panel":
            window.work.show_place("panel", vehicle.panels[0].id)
        else:
            window.show_page(name)
        settle(120)
        yield name, window
        yield from _first_of(window, name)
    window.show_tables()
    for key in TABLES:
        window.work.tables.show_table(key)
        settle(60)
        yield f"table {key}", window


def _first_of(window: MainWindow, name: str) -> Iterator[tuple[str, QWidget]]:
    """A list with nothing in it: its first part, which is taken away again."""
    add = window.work.details.findChild(QPushButton, f"{name}_add")
    empty = not getattr(window.document.vehicle, f"{name}s", (None,))
    if add is not None and empty:
        add.click()
        settle(120)
        yield f"{name}, the first", window
        window.document.stack.undo()
        settle()


def _whole(window: MainWindow) -> Iterator[tuple[str, QWidget]]:
    for pane in PANES:
        window.focus_pane(pane)
        settle(150)
        if pane == "findings":
            for _ in range(3):
                window.go_finding(1)
                settle(150)
        yield pane, window
    window.focus_pane("shelf")


def _tasks(window: MainWindow) -> Iterator[tuple[str, QWidget]]:
    for task in ("probe", "check", "hunt", "crank"):
        window.tasks.show(task)
        settle(60)
        yield task, window
    window.tasks.probe_sure()
    settle(60)
    yield "to be sure", window
    feed = window.document.vehicle.feeds[0].id
    window.tasks.probe_at("feed", feed, None)
    settle(60)
    yield "a feed as a whole", window
    window.tasks.show("plan")


def _boxes(window: MainWindow) -> Iterator[tuple[str, QWidget]]:
    """What opens beside the window: each is closed before the next."""
    for name, opened in _openers(window).items():
        box = opened()
        if box is None:
            box = _opened_beside(window)
        settle(60)
        yield name, box
        box.close()
    window.help.tour()
    settle(60)
    yield "tour", window
    tour: Any = window.help._tour
    tour.end()


def _openers(window: MainWindow) -> dict[str, Callable[[], QWidget | None]]:
    from fusemap.window.help import about

    tasks = window.tasks
    return {
        "shortcuts": lambda: about.show_shortcuts(window),
        "about": lambda: about.show_about(window, window.look.theme.style),
        "paste": tasks.paste_table,
        "number": tasks.number_slots,
        "meters": tasks.show_meters,
        "readings": tasks.show_readings,
        "help": lambda: _help(window),
        "search": lambda: _search(window),
        "compare files": lambda: _compared(window),
        "add panel": lambda: _asked(window, "add_panel"),
        "save first": lambda: _asked_to_save(window),
        "system voltage": lambda: _asked_system_voltage(window),
        "still out": lambda: _asked_what_is_out(window),
        "slot by slot": lambda: _walked(window),
    }


def _asked(window: MainWindow, action: str) -> None:
    window.actions_.trigger(action)


def _walked(window: MainWindow) -> QWidget:
    """The first panel with a photo, in a document of its own: the window's stays as it is."""
    vehicle = window.document.vehicle
    pictured = edits.set_photo(vehicle, vehicle.panels[0].id, pack(picture()))
    box = WalkDialog(window, Document(pictured), window.look.theme, vehicle.panels[0].id)
    box.show()
    settle(60)
    return box


def _help(window: MainWindow) -> QWidget:
    window.help.show_page("live_side")
    assert window.help.shown is not None
    return window.help.shown


def _search(window: MainWindow) -> QWidget:
    window.search.open()
    return window.search


def _compared(window: MainWindow) -> QWidget:
    vehicle = window.document.vehicle
    other = edits.change_accessory(vehicle, vehicle.accessories[0].id, name="Other", duty=0.31)
    other = edits.unplace(other, vehicle.taps[-1].id)
    ask_changed(window, window.look.theme.style, Path("x.fusemap"), lambda: other, vehicle)
    return _opened_beside(window)


def _asked_to_save(window: MainWindow) -> QWidget:
    asking.ask_to_save(window, "x")
    return _opened_beside(window)


def _asked_system_voltage(window: MainWindow) -> QWidget:
    asking.ask_system_voltage(window, window.look.theme.style)
    return _opened_beside(window)


def _asked_what_is_out(window: MainWindow) -> QWidget:
    style = window.look.theme.style
    words = say("Put {slots} back", slots="F2")
    asking.ask_what_is_out(window, style.show(words))
    return _opened_beside(window)


def _opened_beside(window: MainWindow) -> QWidget:
    return next(box for box in window.findChildren(QDialog) if box.isVisible())
