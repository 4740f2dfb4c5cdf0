"""What the accessory menu does, to the accessory that is selected."""

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject

from fusemap.vehicle import edits, look_up

if TYPE_CHECKING:
    from fusemap.window.main_window import MainWindow

FIRST_WATTS = 10.0
"""What an accessory of no kind draws until its own figure is entered [W]."""


class AccessoryTools(QObject):
    """Add an accessory of no kind, or remove the selected one."""

    def __init__(self, window: "MainWindow") -> None:
        super().__init__(window)
        self._window = window
        self._document = window.document

    @property
    def selected(self) -> str | None:
        """The id of the selected accessory, or of the one whose tap is selected."""
        selection = self._document.selection
        if selection is None:
            return None
        if selection.kind == "tap":
            return look_up.tap(self._document.vehicle, selection.id).accessory
        return selection.id if selection.kind == "accessory" else None

    def add(self) -> None:
        """Add an accessory of no kind yet, and show its form."""
        name = self.tr("New accessory")
        text = self.tr("Add accessory")
        if self._document.apply(text, edits.add_accessory, name, watts=FIRST_WATTS):
            self._document.select("accessory", self._document.vehicle.accessories[-1].id)
            self._window.focus_pane("details")

    def remove(self) -> None:
        """Remove the selected accessory with its taps."""
        selected = self.selected
        if selected is not None:
            name = look_up.accessory(self._document.vehicle, selected).name
            text = self.tr("Remove {name}").format(name=name)
            self._document.apply(text, edits.remove_accessory, selected)
