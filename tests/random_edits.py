"""Random edits driven through the real window with keys, drops and menus, for the kill tests.

`python -m tests.random_edits SEED FILE COUNT` opens the window on a file (no screen needed), makes
COUNT random edits and says on standard output, a line each and at once: ``ready``, ``keeping SUM``
before a vehicle is kept, ``changed SUM`` whenever the vehicle has changed, ``done NUMBER SUM`` when
the turn of an edit is over and everything of it must be on the disk, and ``wrong …`` for a vehicle
that could not be saved. SUM tells one vehicle from another. Then it waits to be killed.
`python -m tests.random_edits next FILE` is the start after that.
"""

import hashlib
import os
import random
import sys
import time
from collections.abc import Callable
from pathlib import Path

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

import msgspec
from PySide6.QtCore import QCoreApplication, QEvent, QPointF, Qt
from PySide6.QtGui import QDragEnterEvent, QDragMoveEvent, QDropEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QComboBox, QDialog, QWidget

from fusemap.advise import library
from fusemap.errors import FusemapError
from fusemap.files import compact, read_vehicle
from fusemap.files.kept import Keeper, lost_work
from fusemap.files.validate import check_vehicle
from fusemap.vehicle import Vehicle
from fusemap.window.app import make_window, open_first
from fusemap.window.forms.fields import NoteField
from fusemap.window.forms.line_fields import LineField
from fusemap.window.main_window import MainWindow
from fusemap.window.panel.lid_questions import AddPanelDialog
from fusemap.window.panel.panel_drop import Payload, mime_of
from fusemap.window.panel.panel_view import PanelView
from fusemap.window.settings import state_folder

KEY = Qt.Key
LEFT, MOVE = Qt.MouseButton.LeftButton, Qt.DropAction.MoveAction
PLAIN = Qt.KeyboardModifier.NoModifier
WORDS = ("Radio", "Horn", "Wiper", "Fog lamps", "Kübel ½", "", "12 V socket", "Sitzheizung")
TYPED = ("7,5", "10", "0.35", "-1", "1e9", "x", "", "25 mA", "3 m", "60", "12", "0")
ACTIONS = (
    "undo", "undo", "redo", "add_panel", "row_above", "row_below", "column_left", "column_right",
    "remove_row", "remove_column", "add_slot", "remove_slot", "add_accessory", "remove_accessory",
    "remove_panel", "save",
)  # fmt: skip
PAGES = ("vehicle", "battery", "parking", "feed", "earth", "socket", "rules")


def sum_of(vehicle: Vehicle) -> str:
    """What tells one vehicle from another; 10 and 10.0 are one number."""
    same = msgspec.convert(msgspec.to_builtins(vehicle), Vehicle)
    return hashlib.sha256(compact(same)).hexdigest()[:16]


class Hands:
    """Does random things to a window, one at a time."""

    def __init__(self, window: MainWindow, seed: int) -> None:
        self.window = window
        self.random = random.Random(seed)
        self.kinds = [kind.key for kind in library.kinds()]
        self.doing: tuple[Callable[[], None], ...] = (
            self.type_entry, self.type_entry, self.mark, self.fill_field, self.fill_field,
            self.fill_field, self.choose, self.drop, self.drop, self.write_note, self.take_action,
            self.take_action, self.take_action, self.clear,
        )  # fmt: skip

    def once(self) -> None:
        """One random thing; some change nothing, or are refused."""
        self.random.choice(self.doing)()
        settle()
        for box in self.window.findChildren(QDialog):
            if box.isVisible():
                box.close()

    def press(self, *keys: Qt.Key | str) -> None:
        """Press keys where the keyboard is."""
        for key in keys:
            for each in key if isinstance(key, str) else [key]:
                at = QApplication.activePopupWidget() or QApplication.focusWidget()
                if at is not None:
                    QTest.keyClick(at, each)
                QCoreApplication.sendPostedEvents()
                QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete.value)

    def view(self) -> PanelView | None:
        """A panel of the vehicle, with the cursor on one of its slots."""
        slots = [slot.id for panel in self.window.document.vehicle.panels for slot in panel.slots]
        if not slots:
            return None
        self.window.show_work()
        self.window.focus_pane("panel")
        views = [view for view in self.window.findChildren(PanelView) if view.isVisible()]
        if not views:
            return None
        slot = self.random.choice(slots)
        self.window.document.select("slot", slot)
        views[0].go_to(slot)
        views[0].setFocus()
        return views[0]

    def type_entry(self) -> None:
        """Rating and circuit into a slot."""
        if self.view() is not None:
            rating = self.random.choice(("5", "7.5", "10", "15", "20", "99", ""))
            self.press(f"{rating} {self.random.choice(WORDS)}".strip() or "5", KEY.Key_Return)

    def mark(self) -> None:
        """A letter of the menu of marks."""
        if self.view() is not None:
            self.press(KEY.Key_Space, self.random.choice("PIADLUC46"))
            popup = QApplication.activePopupWidget()
            if popup is not None:
                popup.close()

    def clear(self) -> None:
        """Take a fuse out."""
        if self.view() is not None:
            self.press(KEY.Key_Delete)

    def look_at_something(self) -> None:
        """Show one of the forms."""
        vehicle = self.window.document.vehicle
        parts = [("slot", s.id) for panel in vehicle.panels for s in panel.slots[:6]]
        parts += [("accessory", a.id) for a in vehicle.accessories]
        parts += [("tap", tap.id) for tap in vehicle.taps]
        if parts and self.random.random() < 0.7:
            self.window.document.select(*self.random.choice(parts))
            self.window.work.show_more()
        else:
            self.window.show_page(self.random.choice(PAGES))
        settle()

    def fill_field(self) -> None:
        """Type into a field of a form and go on with Enter."""
        self.look_at_something()
        fields = visible(self.window, LineField)
        if fields:
            field = self.random.choice(fields)
            field.setFocus()
            field.selectAll()
            self.press(self.random.choice(TYPED), KEY.Key_Return)

    def choose(self) -> None:
        """Another value of a list."""
        self.look_at_something()
        boxes = [box for box in visible(self.window, QComboBox) if not box.isEditable()]
        if boxes:
            self.random.choice(boxes).setFocus()
            self.press(self.random.choice((KEY.Key_Down, KEY.Key_Up)))

    def write_note(self) -> None:
        """Several lines into a note, left by going elsewhere."""
        self.look_at_something()
        notes = visible(self.window, NoteField)
        if notes:
            self.random.choice(notes).setFocus()
            self.press("note ", KEY.Key_Return, self.random.choice("abc"))
            self.window.focus_pane("panel")

    def drop(self) -> None:
        """Something from the library, or of the vehicle, onto a slot."""
        view = self.view()
        if view is None:
            return
        own = [accessory.id for accessory in self.window.document.vehicle.accessories]
        payload = Payload(kind=self.random.choice(self.kinds))
        if own and self.random.random() < 0.5:
            payload = Payload(accessory=self.random.choice(own))
        mime = mime_of(payload)
        at = view.visualRect(view.currentIndex()).center()
        for event in (
            QDragEnterEvent(at, MOVE, mime, LEFT, PLAIN),
            QDragMoveEvent(at, MOVE, mime, LEFT, PLAIN),
            QDropEvent(QPointF(at), MOVE, mime, LEFT, PLAIN),
        ):
            QApplication.sendEvent(view.viewport(), event)

    def take_action(self) -> None:
        """Something from the menus."""
        self.view()
        action = self.random.choice(ACTIONS)
        if self.window.actions_.by_key[action].isEnabled():
            self.window.actions_.trigger(action)
        for dialog in self.window.findChildren(AddPanelDialog):
            self.press(KEY.Key_2, KEY.Key_Return, KEY.Key_3, KEY.Key_Return)
            settle()
            dialog.close()


def visible(window: MainWindow, kind: type) -> list:
    """The widgets of a kind that can be used now."""
    return [w for w in window.findChildren(kind) if w.isVisible() and w.isEnabled()]


def settle() -> None:
    """Let everything that waits be done."""
    for _ in range(2):
        QApplication.processEvents()
        QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete.value)


def say(*words: object) -> None:
    """A line on standard output that is out when this returns, whatever comes then."""
    os.write(1, (" ".join(map(str, words)) + "\n").encode())


def tell_what_is_kept() -> None:
    """Say of each vehicle that it is about to be kept: whoever kills may come before or after."""
    write = Keeper.write

    def telling(keeper: Keeper, vehicle: Vehicle, path: Path | None, mark: str = "") -> None:
        say("keeping", sum_of(vehicle))
        write(keeper, vehicle, path, mark)

    Keeper.write = telling  # type: ignore[method-assign]


def main(seed: int, file: Path, count: int) -> None:
    """Make so many random edits, then wait for the end."""
    app = QApplication([])
    window = make_window()
    window.resize(1366, 800)
    open_first(window, file, None)
    window.show()
    settle()
    document = window.document
    tell_what_is_kept()
    document.changed.connect(lambda old, new: say("changed", sum_of(new)))
    hands = Hands(window, seed)
    say("ready", sum_of(document.vehicle))
    for number in range(1, count + 1):
        hands.once()
        try:
            check_vehicle(document.vehicle)
        except FusemapError as error:
            say("wrong", error)
        say("done", number, sum_of(document.vehicle))
    del app
    while True:
        time.sleep(1)


# --- what the next start finds --------------------------------------------------------------------


def next_start(file: Path) -> None:
    """Start the window on the file, take up lost work where it is offered, and say what is found.

    Says ``found SUM`` of the vehicle then in hand, and ``left`` when lost work is still there.
    """
    app = QApplication([])
    window = make_window()
    window.show()
    open_first(window, file, None)
    settle()
    box = window.findChild(QDialog, "recoveryDialog")
    if box is not None:
        QTest.mouseClick(box.findChild(QWidget, "takeUp"), LEFT)
        settle()
    say("found", sum_of(window.document.vehicle))
    read_vehicle(file)  # whatever was being saved, the file is whole
    if lost_work(state_folder()):
        say("left")
    window.document.stack.setClean()
    window.close()
    del app


if __name__ == "__main__":
    if sys.argv[1] == "next":
        next_start(Path(sys.argv[2]))
    else:
        main(int(sys.argv[1]), Path(sys.argv[2]), int(sys.argv[3]))
