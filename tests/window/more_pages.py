"""The pages that only a vehicle, a file or some keys bring about, each in its fullest state.

In: a window with a demo vehicle in it. Out: names of pages, each with the widget that shows it.
The window's own vehicle is in hand again after each group.
"""

import json
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QDialog, QLabel, QLineEdit, QMenu, QTabWidget, QWidget

from fusemap.errors import FileProblem
from fusemap.files import compact, write_vehicle
from fusemap.files.demos import read_demo
from fusemap.probing import plan
from fusemap.text import say
from fusemap.vehicle import Vehicle, edits
from fusemap.window import crash
from fusemap.window.chosen.way_view import WayView
from fusemap.window.files.file_questions import choose_version
from fusemap.window.main_window import MainWindow
from fusemap.window.photo.fit_dialog import FitDialog
from fusemap.window.photo.fit_view import FIRST_CORNERS
from fusemap.window.photo.taking import pack
from fusemap.window.settings import state_folder
from fusemap.window.shelf.second_link import ITSELF
from tests import trade_vehicles
from tests.window.photo.pictures import picture
from tests.window.probe.hand import Clock

Pages = Iterator[tuple[str, QWidget]]
Settle = Callable[..., None]
TRADE = (
    trade_vehicles.camper, trade_vehicles.pickup, trade_vehicles.truck,
    trade_vehicles.motorcycle, trade_vehicles.electric,
)  # fmt: skip
GONE = 2**22 + 1
"""A number that no process has."""


def more_pages(window: MainWindow, settle: Settle) -> Pages:
    """All of them, in the order of the job."""
    code = window.look.theme.style.language
    whole = window.document.vehicle
    for group in (_begun, _empty, _trade, _lid, _found, _beside, _boxes, _menus):
        yield from group(window, settle, code)
        window.document.stack.setClean()
        window.document.set_vehicle(whole)
        window.tasks.show("plan")
        settle()


# --- the beginning --------------------------------------------------------------------------------


def _begun(window: MainWindow, settle: Settle, code: str) -> Pages:
    """The first page with files to go on with, and the empty vehicle a lid makes."""
    folder = Path(tempfile.mkdtemp())
    for name in ("small_old_car", "light_truck", "family_estate"):
        path = folder / f"{name}.fusemap"
        write_vehicle(path, read_demo(name, code))
        window.settings.add_recent(path)
    window.settings.add_recent(folder / "gone.fusemap")
    window.show_start()
    for _ in range(30):
        settle(100)
        stages = [each.text() for each in window.start.findChildren(QLabel, "recentStage")]
        if all(stages[1:]):
            break
    yield "start with files", window
    window.document.set_vehicle(edits.add_panel(Vehicle(name="Van"), "Cabin", 3, 6))
    for stage in ("panel", "plan", "standing", "paper"):
        window.tasks.show(stage)  # type: ignore[arg-type]
        settle(120)
        yield f"new lid, {stage}", window
    window.go_finding(1)
    settle(60)
    yield "new lid, findings", window


def _empty(window: MainWindow, settle: Settle, code: str) -> Pages:
    """A vehicle without a panel."""
    window.document.set_vehicle(Vehicle(name="Van"))
    for stage in ("panel", "probe", "plan", "standing", "paper", "check", "hunt", "crank"):
        window.tasks.show(stage)  # type: ignore[arg-type]
        settle(80)
        yield f"nothing, {stage}", window
    for page in ("joint", "compare", "findings", "band"):
        window.focus_pane(page)
        settle(80)
        yield f"nothing, {page}", window


# --- vehicles with everything in them -------------------------------------------------------------


def _trade(window: MainWindow, settle: Settle, code: str) -> Pages:
    """The vehicles of the trade: switches, interlocks, sockets, links, converters, outputs."""
    for made in TRADE:
        vehicle = made()
        window.document.stack.setClean()
        window.document.set_vehicle(vehicle)
        name = made.__name__
        window.tasks.show("plan")
        settle(60)
        yield f"{name}, plan", window
        for tap in vehicle.taps:
            window.document.select("tap", tap.id)
            settle(30)
            yield f"{name}, chosen {tap.accessory}", window
        yield from _forms_of(window, settle, name)
        window.tasks.show("standing")
        settle(150)
        yield f"{name}, standing", window


def _forms_of(window: MainWindow, settle: Settle, name: str) -> Pages:
    vehicle = window.document.vehicle
    for accessory in vehicle.accessories:
        window.document.select("accessory", accessory.id)
        window.work.show_more()
        tabs = window.work.details.findChild(QTabWidget, "accessoryTabs")
        assert tabs is not None
        for index in range(2):
            tabs.setCurrentIndex(index)
            settle(30)
            yield f"{name}, {accessory.kind or accessory.name} {index}", window
    for kind, things in (("feed", vehicle.feeds), ("socket", vehicle.sockets),
                         ("earth", vehicle.earths)):  # fmt: skip
        for thing in things:
            window.document.select(kind, thing.id)  # type: ignore[arg-type]
            window.work.show_more()
            settle(30)
            yield f"{name}, {kind} {thing.id}", window
    for page in ("battery", "parking", "vehicle"):
        window.show_page(page)
        settle(200)
        yield f"{name}, {page}", window


# --- the lid --------------------------------------------------------------------------------------


def _lid(window: MainWindow, settle: Settle, code: str) -> Pages:
    """The lid typed on, with its photo, with marks proposed; the library over the shelf."""
    vehicle = window.document.vehicle
    panel = vehicle.panels[0]
    slots = [each for each in panel.slots if each.kind == "fuse"]
    pictured = edits.set_photo(vehicle, panel.id, pack(picture()))
    pictured = edits.change_slot(pictured, slots[0].id, circuit="Airbags")
    window.document.set_vehicle(pictured)
    window.tasks.show("panel")
    for strength in ("strong", "alone", "faint"):
        window.photos.set_strength(strength)  # type: ignore[arg-type]
        settle(60)
        yield f"photo {strength}", window
    window.document.select("slot", slots[1].id)
    view = window.work.panels.current_view()
    assert view is not None
    view.edit_entry()
    settle(60)
    yield "typed beside the photo", window
    line = view.findChild(QLineEdit, "slotEntry")
    assert line is not None
    QTest.keyClick(line, Qt.Key.Key_Escape)
    settle()
    window.document.select(None)
    window.work.lid.pane.show_circuits()
    settle(60)
    yield "circuits beside the lid", window
    window.document.set_vehicle(vehicle)
    window.tasks.show("plan")
    settle(60)
    window.activateWindow()  # the library is open while the keyboard is in its search
    window.work.search_accessories()
    settle(60)
    yield "library", window
    window.work.shelf.search_for("co")
    window.work.shelf.open_library()
    settle(60)
    yield "library searched", window
    window.work.shelf.search_for(window.look.theme.style.show(ITSELF))
    window.work.shelf.open_library()
    settle(60)
    yield "library, second battery", window
    window.work.shelf.search_for("zzzz")
    window.work.shelf.open_library()
    settle(60)
    yield "library with nothing", window
    window.work.shelf.search_for("")
    window.work.shelf.close_library()
    locked = next(each.id for each in slots if each.critical)
    chosen = (("feed", vehicle.feeds[0].id), ("battery", ""), ("slot", locked))
    for kind, place in chosen:
        window.document.select(kind, place)  # type: ignore[arg-type]
        settle(60)
        yield f"chosen {kind} {place}", window
    window.document.select("accessory", vehicle.accessories[0].id)
    settle(60)
    for way in window.work.lid.pane.findChildren(WayView):
        for station in [each for each in way.stations if not each.slot_id][:3]:
            way.toggle(station.key)
    settle(60)
    yield "stations opened", window
    lead = vehicle.accessories[-1]
    window.work.start_placing({"accessory": lead.id})
    settle(100)
    yield "placing", window
    window.work.panels.placing.put_back()


# --- what is found and reckoned -------------------------------------------------------------------


def _found(window: MainWindow, settle: Settle, code: str) -> Pages:
    """Every finding; the sheets of the standing page; two plans side by side."""
    window.focus_pane("findings")
    settle(150)
    for number in range(min(12, window.work.findings.model.rowCount())):
        window.go_finding(1)
        settle(250)
        yield f"finding {number}", window
    window.tasks.show("standing")
    settle(200)
    parked: Any = window.work.parked
    yield "standing", window
    parked.open_form("battery", "")
    settle(200)
    yield "battery beside the standing", window
    parked.open_form("parking", "")
    settle(200)
    yield "parking beside the standing", window
    parked._open_reckoned()
    settle(60)
    yield "how it is reckoned", window
    parked.sheet.close_it()


# --- beside the vehicle ---------------------------------------------------------------------------


def _beside(window: MainWindow, settle: Settle, code: str) -> Pages:
    """Probe, check, hunt and one start, each at every kind of question it has."""
    before = window.tasks.now
    clock = Clock()
    window.tasks.now = clock
    window.tasks.look_again()
    for pages in (_probed, _checked, _hunted, _cranked, _typed_by_touch):
        yield from pages(window, settle, code, clock)
    window.tasks.now = before
    window.tasks.show("plan")
    window.tasks.look_again()


def _probed(window: MainWindow, settle: Settle, code: str, clock: Clock) -> Pages:
    page = _shown(window, settle, "probe")
    for keys in ("1", "2.5", "~", "7~", "999~", "undo~"):
        _press(page, keys)
        clock.wait(1)
        settle()
        yield f"probe {keys}", window
    for _ in range(8):
        page.press("next_round")
        settle()
        yield f"probe {page.session.round.kind}", window
    page.show_options(True)
    settle(60)
    yield "probe options", window


def _checked(window: MainWindow, settle: Settle, code: str, clock: Clock) -> Pages:
    page = _shown(window, settle, "check")
    seen: set[str] = set()
    for number, step in enumerate(page.steps):
        kind = f"{step.key} {step.unit}"
        if kind not in seen:
            seen.add(kind)
            page._go_to(number)
            settle()
            yield f"check {kind}", window
            _press(page, "77~" if step.unit else "n")
            clock.wait(1)
            settle()
            yield f"check {kind} differs", window
    page.show_end()
    settle(60)
    yield "check's end", window
    page.end.by.setText("R. Marsh")
    page.end.sign.click()
    settle(60)
    yield "check's end, asked", window
    page.end.sign_open.click()
    settle(60)
    yield "check signed", window


def _hunted(window: MainWindow, settle: Settle, code: str, clock: Clock) -> Pages:
    window.document.stack.setClean()
    window.document.set_vehicle(read_demo("small_old_car", code))
    page = _shown(window, settle, "hunt")
    yield "hunt prepare", window
    _press(page, "~")
    clock.wait(8.5)
    page.tick()
    settle()
    yield "hunt waits", window
    clock.wait(53)
    page.tick()
    _press(page, "0.35~")
    first = True
    for number in range(24):
        settle()
        kind = page.step.kind
        yield f"hunt {number} {kind}", window
        clock.wait(1)
        if kind == "across":
            if first:
                _press(page, "900~")
                settle()
                yield "hunt doubts", window
                page.press("undo")
            _press(page, "1.5~" if first else "0~")
            first = False
        elif kind == "put_back":
            _press(page, "0.35~" if page.step.quantity else "~")
        elif kind in ("end", "night"):
            break
        else:
            _press(page, "0.35~")
    yield "hunt at its end", window
    for row in ("0 .01~", "60 .64~", "120 .0"):
        _press(page, row)
        settle()
    yield "hunt's nights", window
    yield from _hunted_by_clamp(window, settle, code, clock)


def _hunted_by_clamp(window: MainWindow, settle: Settle, code: str, clock: Clock) -> Pages:
    """A vehicle with feeds of its own: each is read as a whole, then its fuses."""
    window.document.stack.setClean()
    window.document.set_vehicle(read_demo("family_estate", code))
    page = _shown(window, settle, "hunt")
    _press(page, "c~")
    clock.wait(61)
    page.tick()
    _press(page, "0.8~")
    for number in range(12):
        settle()
        yield f"hunt by clamp {number} {page.step.kind}", window
        clock.wait(1)
        if page.step.kind in ("end", "night"):
            break
        _press(page, "0.3~" if page.step.kind != "across" else "0.2~")


def _cranked(window: MainWindow, settle: Settle, code: str, clock: Clock) -> Pages:
    window.document.stack.setClean()
    window.document.set_vehicle(read_demo("family_estate", code))
    window.tasks.show("probe")
    page = _shown(window, settle, "crank")
    yield "start prepare", window
    for number, keys in enumerate(("~3~", "1~", "12.6", "~", "12.5~", "10.4~", "2~")):
        _press(page, keys)
        settle()
        yield f"start {number} {page.state.step}", window


def _typed_by_touch(window: MainWindow, settle: Settle, code: str, clock: Clock) -> Pages:
    """The keypad open, at every kind of entry there is."""
    window.document.stack.setClean()
    window.document.set_vehicle(read_demo("family_estate", code))
    page = _shown(window, settle, "check")
    page.frame.ask_for_pad(on=True)
    for number, step in enumerate(page.steps):
        if step.key in ("current", "volts", "earth", "rest", "evening"):
            page._go_to(number)
            _press(page, "99~" if step.key == "rest" else "12")
            settle()
            yield f"keypad, check {number} {step.key}", window
    page.show_end()
    settle(60)
    yield "keypad, a name", window
    page.show_steps()
    page._go_to(0)
    _press(page, "n~")
    settle()
    yield "keypad, check with a fuse out", window
    page.press("in")
    page = _shown(window, settle, "probe")
    for keys in ("4", "99~", "undo~"):
        _press(page, keys)
        settle()
        yield f"keypad, probe {keys}", window
    for step in range(2 * len(plan.ROUNDS)):
        page.press("next_round" if step < len(plan.ROUNDS) else "previous_round")
        settle()
        yield f"keypad, probe {step} {page.session.round.kind}", window
    _press(page, "0.03~")
    page._pressed("pull")
    _press(page, "0.02~0.02~")
    settle()
    yield "keypad, probe with a fuse out", window
    page.frame.ask_for_pad(on=False)
    settle()
    yield "probe with a fuse out", window
    page.frame.ask_for_pad(on=True)
    page._pressed("in")
    slots = [each.id for each in window.document.vehicle.panels[0].slots if each.kind == "fuse"]
    page.take_in_hand(("slot", slots[0]))
    settle()
    yield "keypad, a slot", window
    page = _shown(window, settle, "hunt")
    for keys in ("~~", "0.35~", "900~", "undo1.3~"):
        _press(page, keys)
        settle()
        yield f"keypad, hunt {keys}", window
    page = _shown(window, settle, "crank")
    for number, keys in enumerate(("~", "12.6")):
        _press(page, keys)
        settle()
        yield f"keypad, start {number}", window
    page.frame.ask_for_pad(on=False)


def _shown(window: MainWindow, settle: Settle, task: Any) -> Any:
    window.tasks.show(task)
    settle(60)
    return getattr(window.tasks, task)


def _press(page: Any, keys: str) -> None:
    """Keys one by one; “~” is Enter, “undo” the key that takes back."""
    if keys.startswith("undo"):
        page.press("undo")
        return
    for key in keys:
        page.press("enter" if key == "~" else key)


# --- boxes, messages, menus -----------------------------------------------------------------------


def _boxes(window: MainWindow, settle: Settle, code: str) -> Pages:
    """What asks, and what stays at the window's head and foot."""
    style = window.look.theme.style
    vehicle = window.document.vehicle
    window.message.show_error(
        FileProblem(say("the file cannot be read"), "van.fusemap", say("open another one")),
        (("1", lambda: None), ("2", lambda: None)),
    )
    window.standing.show_trouble(FileProblem(say("unsaved work cannot be kept against a crash"),
                                             "state", say("save the vehicle often")))  # fmt: skip
    settle(60)
    yield "messages", window
    window.message.clear()
    window.standing.show_trouble(None)
    folder = state_folder()
    folder.mkdir(parents=True, exist_ok=True)
    lost = folder / f"unsaved-{GONE}-1-a.kept"
    note = {"owner": {"pid": GONE}, "file": "", "when": "2025-05-17T18:30:00", "turn": 1}
    lost.write_bytes(json.dumps(note).encode() + b"\n" + compact(vehicle))
    openers: dict[str, Callable[[], object]] = {
        "lost work": window.recovery.offer,
        "earlier versions": lambda: choose_version(
            window, style, "van", lambda: vehicle, (), edits.unplace(vehicle, vehicle.taps[0].id)
        ),
        "whose map": window.tasks.travel.give_away,
        "fault": lambda: crash._details(window, "Traceback\n  line 1", Path("fusemap.log")),
        "fit the photo": lambda: _fitted(window),
    }
    for name, opener in openers.items():
        opener()
        settle(60)
        box = next(each for each in window.findChildren(QDialog) if each.isVisible())
        yield name, box
        box.close()
        settle()
    lost.unlink(missing_ok=True)


def _fitted(window: MainWindow) -> None:
    panel = window.document.vehicle.panels[0]
    style = window.look.theme.style
    FitDialog(window, picture(), panel, FIRST_CORNERS, style).show()


def _menus(window: MainWindow, settle: Settle, code: str) -> Pages:
    """Every menu, and what a slot offers."""
    window.tasks.show("plan")
    slot = next(tap.slot for tap in window.document.vehicle.taps if tap.slot is not None)
    window.document.select("slot", slot)
    window.focus_pane("panel")
    settle(60)
    for menu in _menus_within(window.actions_.menu):
        menu.popup(window.mapToGlobal(QPoint(20, 20)))
        settle()
        yield f"menu {menu.title()}", menu
        menu.close()
    view = window.work.panels.current_view()
    assert view is not None
    for name, opener in (("marks", view.open_marks), ("slot's menu", _slot_menu(view))):
        opener()
        settle()
        menu = next(each for each in view.findChildren(QMenu) if each.isVisible())
        yield name, menu
        menu.close()
        settle()


def _menus_within(menu: QMenu) -> list[QMenu]:
    """A menu, and those it leads to."""
    inner = [action.menu() for action in menu.actions()]
    return [menu, *(each for one in inner if isinstance(one, QMenu) for each in _menus_within(one))]


def _slot_menu(view: Any) -> Callable[[], None]:
    from fusemap.window.panel.panel_keys import context_menu

    def opener() -> None:
        menu = context_menu(view, view.document.vehicle, view.theme.style, view)
        menu.popup(view.mapToGlobal(QPoint(40, 40)))

    return opener
