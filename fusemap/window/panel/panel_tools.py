"""What the panel menu does: panels, rows, columns and slots, on the page that is shown."""

from typing import TYPE_CHECKING, Literal

from PySide6.QtCore import QObject

from fusemap.errors import EditRefused
from fusemap.vehicle import Panel, edits, look_up
from fusemap.window.desk import Desk

if TYPE_CHECKING:
    from fusemap.window.panel.panel_page import PanelPage
    from fusemap.window.panel.panel_view import PanelView


Axis = Literal["row", "column"]
Side = Literal["above", "below", "left", "right"]
"""Of the cursor's slot, as the screen shows it."""


class PanelTools(QObject):
    """Edits of the panel on the page that is shown."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self._desk = desk
        self._document = desk.document

    @property
    def view(self) -> "PanelView | None":
        """The panel that is shown."""
        work = self._desk.work
        return None if work is None else work.panels.current_view()

    @property
    def panel(self) -> Panel | None:
        """The same as the vehicle has it."""
        view = self.view
        return None if view is None else look_up.panel(self._document.vehicle, view.panel_id)

    def add(self) -> None:
        """Ask what the lid of a further panel shows, and add it."""
        # Not needed to show the window.
        from fusemap.window.panel.add_panel import AddPanelDialog

        dialog = AddPanelDialog(self._desk.window, self._document, self._desk.look.theme.style)
        dialog.added.connect(self._show_added)
        dialog.open()

    def _show_added(self, panel_id: str) -> None:
        self._document.select("panel", panel_id)
        self._desk.focus_pane("panel")

    def show(self) -> None:
        """Show the panel's details."""
        if self.panel is not None:
            self._document.select("panel", self.panel.id)
            self._desk.focus_pane("details")

    def remove(self) -> None:
        """Remove the panel that is shown."""
        panel = self.panel
        if panel is not None:
            text = self.tr("Remove {name}").format(name=panel.name)
            self._document.apply(text, edits.remove_panel, panel.id)

    def add_line(self, where: Side) -> None:
        """Add a row above or below, or a column to the left or right, as the screen shows it."""
        if self.view is not None:
            axis: Axis = "row" if where in ("above", "below") else "column"
            self.view.commands.insert_line(axis, after=where in ("below", "right"))

    def remove_line(self, axis: Axis) -> None:
        """Remove the row or column of the cursor."""
        if self.view is not None:
            self.view.commands.remove_line(axis)

    def add_slot(self) -> None:
        """Put slots where the chosen gaps are."""
        if self.view is not None and not self.view.commands.add_slots():
            self._refuse(self.tr("there is a slot here"), self.tr("choose a gap of the panel"))

    def remove_slot(self) -> None:
        """Leave gaps where the chosen slots are."""
        if self.view is not None:
            self.view.commands.remove_slots()

    def zoom(self, step: int) -> None:
        """Show the panel so many steps larger, with −1 one smaller."""
        if self.view is not None:
            self.view.zoom_by(step)

    def zoom_whole(self) -> None:
        """Show the panel fitted to the room there is."""
        if self.view is not None:
            self.view.zoom_whole()

    def turn(self, quarters: int) -> None:
        """Show the panel a quarter turned to the right, or with −1 to the left."""
        if (page := self._page()) is not None:
            page.turn(quarters)

    def mirror(self) -> None:
        """Show the panel mirrored, or no longer."""
        if (page := self._page()) is not None:
            page.mirror()

    def _page(self) -> "PanelPage | None":
        work = self._desk.work
        return None if work is None else work.panels.current_page()

    def _refuse(self, what: str, remedy: str) -> None:
        self._document.refused.emit(EditRefused(what, remedy=remedy))
