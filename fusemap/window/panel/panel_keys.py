"""What the keys on a panel do, with nothing in hand and while something is being placed.

Arrows walk; a rating, a circuit or both are typed (``15 Radio``), Enter opens the line and stores;
Space opens the marks, a letter each; Delete takes the fuse out, then the slot; Insert fills a gap.
While something is being placed: Enter drops, Escape puts it back; Tab, the next best slot, is
asked of the view by Qt.
"""

from collections.abc import Callable
from functools import partial
from typing import Final, Protocol

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent, QKeySequence

from fusemap.window.panel.panel_commands import PanelCommands
from fusemap.window.panel.panel_drop import Placing

_ENTER: Final = (Qt.Key.Key_Return, Qt.Key.Key_Enter)
_ARROWS: Final = (
    Qt.Key.Key_Left,
    Qt.Key.Key_Right,
    Qt.Key.Key_Up,
    Qt.Key.Key_Down,
    Qt.Key.Key_Home,
    Qt.Key.Key_End,
)


class KeyedPanel(Protocol):
    """What the keys need of the panel they are pressed on."""

    commands: PanelCommands
    placing: Placing

    def current_slot_id(self) -> str | None:
        """The slot under the cursor."""

    def edit_entry(self) -> None:
        """Open the line for rating and circuit."""

    def edit_label(self) -> None:
        """Open the line for the label."""

    def open_marks(self) -> None:
        """Open the marks of the chosen slots."""

    def zoom_by(self, steps: int) -> None:
        """Larger or smaller by so many steps."""


class PanelKeys:
    """Does what a key stands for on a panel."""

    def __init__(self, panel: KeyedPanel) -> None:
        self._panel = panel
        commands = panel.commands
        self._by_text: dict[str, Callable[[], object]] = {
            " ": panel.open_marks,
            "!": commands.toggle_critical,
            "?": partial(commands.set_feed_class, "unknown"),
        }
        self._by_key: dict[int, Callable[[], object]] = {
            Qt.Key.Key_Return: panel.edit_entry,
            Qt.Key.Key_Enter: panel.edit_entry,
            Qt.Key.Key_F2: panel.edit_entry,
            Qt.Key.Key_Delete: commands.clear,
            Qt.Key.Key_Backspace: commands.clear,
            Qt.Key.Key_Insert: commands.add_slots,
        }
        self._by_key_held: dict[tuple[int, Qt.KeyboardModifier], Callable[[], object]] = {
            (Qt.Key.Key_F2, Qt.KeyboardModifier.ShiftModifier): panel.edit_label,
            (Qt.Key.Key_Delete, Qt.KeyboardModifier.ControlModifier): commands.remove_slots,
        }

    def press(self, event: QKeyEvent) -> bool:
        """Do what a key stands for; False where the table is to walk or to open a line."""
        if self._panel.placing.active:
            return self._place(event)
        do = self._meant(event)
        if do is not None:
            do()
        return do is not None

    def _meant(self, event: QKeyEvent) -> Callable[[], object] | None:
        if event.matches(QKeySequence.StandardKey.ZoomIn):
            return partial(self._panel.zoom_by, 1)
        if event.matches(QKeySequence.StandardKey.ZoomOut):
            return partial(self._panel.zoom_by, -1)
        held = event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier
        return (
            self._by_key_held.get((event.key(), held))
            or self._by_text.get(event.text())
            or self._by_key.get(event.key())
        )

    def _place(self, event: QKeyEvent) -> bool:
        """A key while something is being placed; the arrows walk as ever, letters do nothing."""
        if event.key() in _ARROWS:
            return False
        if event.key() == Qt.Key.Key_Escape:
            self._panel.placing.put_back()
        elif event.key() in _ENTER:
            slot_id = self._panel.current_slot_id()
            if slot_id is not None:
                self._panel.placing.drop(slot_id)
        else:
            event.ignore()
        return True
