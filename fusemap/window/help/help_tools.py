"""What the help menu does: the page for where the keyboard is, all pages, the guided tour."""

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QApplication, QWidget

from fusemap.window.desk import Desk
from fusemap.window.help import help_pages

if TYPE_CHECKING:
    from fusemap.window.help.help_page import HelpWindow
    from fusemap.window.help.tour import Tour
    from fusemap.window.pages.tables_page import TablesPage
    from fusemap.window.probe.tasks import Tasks

FIRST_PAGE = help_pages.TASKS[0]


class HelpTools(QObject):
    """Opens the help beside the window; both are made when they are first asked for."""

    demo_wanted = Signal()
    """There is no vehicle to show around in: open one, and begin there."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self._desk = desk
        self.shown: HelpWindow | None = None
        self.tasks: Tasks | None = None
        self._tour: Tour | None = None

    def show_here(self) -> None:
        """Show the page for the part of the window that the keyboard is in."""
        self.show_page(topic_of(QApplication.focusWidget()))

    def tables_page(self, source: str) -> "TablesPage":
        """The tables on the rows that a source cites; beside the window without a vehicle."""
        desk = self._desk
        if desk.work is None:
            # loaded when it is first needed: the start stays short
            from fusemap.window.pages.tables_page import open_beside

            return open_beside(desk.window, desk.document, desk.look.theme, source)
        desk.window.activateWindow()
        self._tasks_now().show_whole("tables")
        desk.work.tables.look_for_source(source)
        return desk.work.tables

    def show_page(self, key: str) -> None:
        """Show a page."""
        if self.shown is None:
            # loaded when it is first needed: the start stays short
            from fusemap.window.help.help_page import HelpWindow, beside

            window = self._desk.window
            self.shown = HelpWindow(self._desk.document, self._desk.look.theme, window)
            room = window.screen().availableGeometry()
            self.shown.move(beside(window.frameGeometry(), self.shown.size(), room))
        self.shown.show()
        self.shown.show_page(key)
        self.shown.raise_()
        self.shown.activateWindow()
        self.shown.list.setFocus()

    def pages(self) -> list[tuple[str, str]]:
        """Every page: its title and its key."""
        language = self._desk.look.theme.style.language
        return [(help_pages.page(key, language).title, key) for key in help_pages.PAGES]

    def tour(self) -> None:
        """Take the guided tour up where it was left, on a demo vehicle where none is open."""
        if self._tasks_now().shown:
            self.begin_tour(self._desk.settings.kept.tour_at)
        else:
            self.demo_wanted.emit()

    def begin_tour(self, at: int = 0) -> None:
        """Walk from this step on, in the look and language there are now."""
        # loaded when it is first needed: the start stays short
        from fusemap.window.help.tour import Tour

        if self._tour is not None:
            self._tour.end()
        self._tour = Tour(self._desk, self._tasks_now())
        self._tour.made_anew.connect(self.begin_tour)
        self._tour.left.connect(self._keep_step)
        self._tour.go(at)

    def _keep_step(self, at: int) -> None:
        self._desk.settings.kept.tour_at = at
        self._desk.settings.save()

    def _tasks_now(self) -> "Tasks":
        assert self.tasks is not None, "the window gives them once they are made"
        return self.tasks

    def look_again(self) -> None:
        """Show what is open in the theme and language there are now."""
        if self.shown is not None:
            page, seen = self.shown.key, self.shown.isVisible()
            self.shown.close()
            self.shown.deleteLater()
            self.shown = None
            if seen:
                self.show_page(page)


def topic_of(widget: QWidget | None) -> str:
    """The page for a widget: that of the nearest part round it that has one."""
    while widget is not None:
        if widget.objectName() in help_pages.TOPICS:
            return help_pages.TOPICS[widget.objectName()]
        widget = widget.parentWidget()
    return FIRST_PAGE
