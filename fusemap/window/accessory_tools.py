"""What the accessory menu does, to the accessory that is selected."""

from PySide6.QtCore import QObject

from fusemap.text import say
from fusemap.vehicle import edits, look_up
from fusemap.window.desk import Desk


class AccessoryTools(QObject):
    """Go to where accessories are added, or remove the selected one."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self._desk = desk
        self._document = desk.document

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
        """Go to the search over the library; a name that nothing fits makes a new accessory."""
        if self._desk.work is not None:
            self._desk.work.search_accessories()

    def remove(self) -> None:
        """Remove the selected accessory with its taps."""
        selected = self.selected
        if selected is not None:
            name = look_up.accessory(self._document.vehicle, selected).name
            step = say("Remove {name}", name=name)
            self._document.apply(step, edits.remove_accessory, selected)
