"""The three tasks of the job, Probe, Plan and Check, as pages of the main window.

Plan is the work area; the other two are made when they are first shown. While Probe is shown the
window around it wears its dark theme too.
"""

from datetime import datetime
from functools import cached_property
from typing import TYPE_CHECKING, Final, Literal

from PySide6.QtCore import QObject
from PySide6.QtGui import QPalette
from PySide6.QtWidgets import QDialog, QToolBar, QVBoxLayout, QWidget

from fusemap.window.parts.home import HasHome
from fusemap.window.settings import state_folder
from fusemap.window.style.theme import PROBE, palette, style_sheet

if TYPE_CHECKING:
    from fusemap.window.main_window import MainWindow
    from fusemap.window.probe.check_page import CheckPage
    from fusemap.window.probe.map_travel import MapTravel
    from fusemap.window.probe.page import ProbePage

Task = Literal["probe", "plan", "check"]
TASKS: Final[tuple[Task, ...]] = ("probe", "plan", "check")

_FRAME: Final = (
    f"QMenuBar, QMenuBar::item, QMenu {{ background: {PROBE.window}; color: {PROBE.text}; }}"
    f"QMenuBar::item:selected, QMenu::item:selected {{ background: {PROBE.accent};"
    f" color: {PROBE.accent_text}; }}"
    f"QMenu::item:disabled {{ color: {PROBE.muted_text}; }}"
    f"QToolButton {{ color: {PROBE.text}; padding: 0.25em 0.5em; border: none; }}"
    f"QToolButton:checked, QToolButton:hover {{ background: {PROBE.accent_tint}; }}"
    f"QToolButton:disabled {{ color: {PROBE.muted_text}; }}"
)
"""Menu bar and toolbar beside the vehicle."""


class Tasks(QObject):
    """Switches between the tasks of one main window."""

    def __init__(self, window: "MainWindow") -> None:
        super().__init__(window)
        self._window = window
        self.now = datetime.now
        self.probe: ProbePage | None = None
        self.check: CheckPage | None = None
        self._readings: QDialog | None = None
        self._dark = False
        window.pages.currentChanged.connect(self._page_changed)

    @cached_property
    def travel(self) -> "MapTravel":
        """Gives the map away and takes one in; what it needs is loaded when it is asked for."""
        from fusemap.window.probe.map_travel import MapTravel

        return MapTravel(self._window, self._window.document)

    @property
    def shown(self) -> Task | Literal[""]:
        """Which task is shown; empty on the first page."""
        page = self._window.pages.currentWidget()
        if page is None:
            return ""
        if page is self.probe:
            return "probe"
        if page is self.check:
            return "check"
        return "plan" if page is self._window.work else ""

    def show(self, task: Task) -> None:
        """Go to a task."""
        if task == "plan":
            self._window.show_work()
            self._window.focus_pane("panel")
        else:
            page = self._probe_page() if task == "probe" else self._check_page()
            self._window.pages.setCurrentWidget(page)
            home = page.home if isinstance(page, HasHome) else page
            (home or page).setFocus()
        self._window.actions_.update()

    def probe_slot(self, slot_id: str) -> None:
        """Go to a slot on the probing page, to read it now."""
        self.show("probe")
        assert self.probe is not None
        self.probe.take_in_hand(slot_id)

    def _probe_page(self) -> QWidget:
        if self.probe is None:
            from fusemap.window.probe.page import ProbePage

            kept = self._window.settings.kept
            self.probe = ProbePage(
                self._window.document, state_folder(), self.now, sound=kept.probe_sound
            )
            self.probe.options.sound.connect(self._keep_sound)
            self._window.pages.addWidget(self.probe)
        return self.probe

    def _check_page(self) -> QWidget:
        if self.check is None:
            from fusemap.window.probe.check_page import CheckPage

            self.check = CheckPage(self._window.document, self._window.look.theme, self.now)
            self._window.pages.addWidget(self.check)
        return self.check

    def _keep_sound(self, on: bool) -> None:
        self._window.settings.kept.probe_sound = on
        self._window.settings.save()

    def _page_changed(self, index: int) -> None:
        """The window is dark while the vehicle is probed: its menu, tools and messages too."""
        probing = self.shown == "probe"
        if probing == self._dark:
            return
        self._dark = probing
        window = self._window
        for part in (window.menuBar(), window.message, *window.findChildren(QToolBar)):
            part.setStyleSheet(style_sheet(PROBE) + _FRAME if probing else "")
            part.setPalette(palette(PROBE) if probing else QPalette())
        window.message.set_theme(PROBE if probing else window.look.theme)

    def look_again(self) -> None:
        """Make the pages anew in the look and language there are now; what is shown stays shown."""
        shown = self.shown
        self._dark = False
        for name in ("probe", "check"):
            page = getattr(self, name)
            if page is not None:
                setattr(self, name, None)
                self._window.pages.removeWidget(page)
                page.deleteLater()
        if shown in ("probe", "check"):
            self.show(shown)

    # --- boxes ----------------------------------------------------------------------------------

    def paste_table(self) -> QDialog:
        """Open the place to paste a table into."""
        from fusemap.window.probe.paste_dialog import PasteDialog

        dialog = PasteDialog(self._window, self._window.document, self._window.look.theme, self.now)
        dialog.show()
        return dialog

    def number_slots(self) -> QDialog | None:
        """Open the numbering of the panel that is shown."""
        from fusemap.window.probe.number_dialog import NumberDialog

        work = self._window.work
        view = None if work is None else work.panels.current_view()
        if view is None:
            return None
        dialog = NumberDialog(self._window, self._window.document, view.panel_id)
        dialog.show()
        return dialog

    def show_meters(self) -> QDialog:
        """Open the meters and how far they may be off."""
        from fusemap.window.probe.meters_dialog import MetersDialog

        dialog = MetersDialog(self._window, self._window.document)
        dialog.show()
        return dialog

    def show_readings(self) -> QDialog:
        """Open the list of all readings beside the window."""
        if self._readings is None:
            from fusemap.window.probe.readings_list import ReadingsList

            dialog = QDialog(self._window)
            dialog.setObjectName("readingsDialog")
            shown = ReadingsList(self._window.document)
            dialog.setWindowTitle(shown.windowTitle())
            column = QVBoxLayout(dialog)
            column.setContentsMargins(0, 0, 0, 0)
            column.addWidget(shown)
            em = dialog.fontMetrics().height()
            dialog.resize(em * 56, em * 28)
            self._readings = dialog
        self._readings.show()
        self._readings.raise_()
        return self._readings
