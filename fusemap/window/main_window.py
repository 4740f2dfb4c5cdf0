"""The main window: one document, its views, the actions, and the bar for messages.

It assembles and passes on; what can be done with files is in `file_commands`, with panels in
`panel_tools`, and where the keyboard is in `work_area`.
"""

from functools import cached_property
from typing import TYPE_CHECKING

from PySide6.QtCore import QByteArray, QEvent, QPoint, Qt, Signal
from PySide6.QtGui import QCloseEvent, QDragEnterEvent, QDropEvent, QKeyEvent, QShowEvent
from PySide6.QtWidgets import QMainWindow, QPushButton, QToolButton, QVBoxLayout, QWidget
from shiboken6 import isValid

from fusemap.errors import InputProblem
from fusemap.vehicle import Vehicle
from fusemap.window.accessory_tools import AccessoryTools
from fusemap.window.actions import Actions
from fusemap.window.asking import ask_what_is_out, begin
from fusemap.window.desk import Desk
from fusemap.window.document import Document, Selection
from fusemap.window.files.file_commands import FileCommands
from fusemap.window.files.rescue import Recovery
from fusemap.window.frame.frame import Frame
from fusemap.window.help.help_tools import HelpTools
from fusemap.window.panel.panel_tools import PanelTools
from fusemap.window.parts.clipboard import Clipboard
from fusemap.window.parts.dropped import dropped_files, file_to_open, take_copy
from fusemap.window.parts.later import Later, LaterStill
from fusemap.window.parts.layouts import lay_out_now
from fusemap.window.parts.message_bar import HasFoot, MessageBar, StandingMark
from fusemap.window.parts.sources import source_at
from fusemap.window.parts.typing import finish_typing
from fusemap.window.photo.photo_tools import PhotoTools
from fusemap.window.probe.tasks import Tasks
from fusemap.window.removals import removed_words
from fusemap.window.settings import Settings
from fusemap.window.start.first_steps import FirstSteps
from fusemap.window.style.theme import Look
from fusemap.window.texts.plain import plain_tip

if TYPE_CHECKING:
    from fusemap.window.help.quick_search import QuickSearch
    from fusemap.window.pages.tables_page import TablesPage
    from fusemap.window.start.start_page import StartPage
    from fusemap.window.work_area import WorkArea


ENTER = (Qt.Key.Key_Return, Qt.Key.Key_Enter)


class MainWindow(QMainWindow):
    """The window of one vehicle. `closed` is told when it really closes."""

    closed = Signal()

    def __init__(self, document: Document, settings: Settings) -> None:
        super().__init__()
        self.document = document
        self.settings = settings
        self.setObjectName("mainWindow")
        self.setAcceptDrops(True)
        self.look = Look(settings, self)
        self.files = FileCommands(self, document, settings, self.look)
        self.recovery = Recovery(self, self.files, self.look)
        self.desk = Desk(self, document, settings, self.look)
        self.pages = self.desk.pages
        self.panels = PanelTools(self.desk)
        self.photos = PhotoTools(self.desk, self.panels)
        self.accessories = AccessoryTools(self.desk)
        self.clipboard = Clipboard(self.desk, self.panels, self.accessories, self.photos)
        self.help = HelpTools(self.desk)
        self._open = False
        self._closing = False
        # The panel takes the keyboard after it was painted: its cursor fills the details.
        self._soon = Later(self._land, self)
        self._build()
        self.help.tasks = self.tasks = Tasks(self.desk, self.message)
        self.frame_ = Frame(self.desk, self.tasks)
        self._column.insertWidget(0, self.frame_)
        self.first = FirstSteps(
            self.desk, self.files, self.photos, self.accessories, self.help, self.tasks
        )
        self.actions_ = Actions(self, self)
        self._take_actions()
        self._listen()
        self._show_title()
        self._restore()

    def _build(self) -> None:
        whole = QWidget()
        self.pages.setFocusPolicy(Qt.FocusPolicy.ClickFocus)
        column = self._column = QVBoxLayout(whole)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        self.standing = StandingMark(self.look.theme)
        column.addWidget(self.standing)
        column.addWidget(self.pages, 1)
        self.message = MessageBar(self.look.theme, whole, self._message_foot)
        self.pages.currentChanged.connect(self.message.lie_at_the_foot)
        self.setCentralWidget(whole)

    def _message_foot(self) -> int:
        """What a message leaves free at the foot of the page that is shown [px]."""
        page = self.pages.currentWidget()
        return page.message_foot if isinstance(page, HasFoot) else 0

    def _listen(self) -> None:
        document, files = self.document, self.files
        document.opened.connect(self._opened)
        document.changed.connect(self._changed)
        document.done.connect(self._say_removed)
        document.selected.connect(self._selected)
        document.path_changed.connect(self._show_title)
        document.modified_changed.connect(self._show_title)
        document.refused.connect(self.message.show_error)
        document.told.connect(self.message.show_note)
        document.offered.connect(self.message.offer)
        self._naming = LaterStill(self._name_steps, self)
        document.stack.indexChanged.connect(self._step_done)
        files.problem.connect(self.message.show_error)
        files.stuck.connect(self.message.show_error)
        files.done.connect(self.message.show_note)
        files.new_wanted.connect(self.show_new)
        self.clipboard.done.connect(self.message.show_note)
        self.help.demo_wanted.connect(lambda: self.first.only_look())
        self.desk.work_made.connect(self._wire)
        self.desk.turned.connect(self._turned)
        self.frame_.menu_wanted.connect(self.open_menu)
        self.look.spoken.connect(self._say_anew)
        self.look.changed.connect(self._rebuild)

    @cached_property
    def start(self) -> "StartPage":
        """The page that a vehicle is started from; made when it is first shown."""
        # loaded when it is first needed: the start stays short
        from fusemap.window.start.start_page import StartPage

        start = StartPage(self.look.theme)
        start.asked.connect(self.first.create)
        start.door_opened.connect(self._open_door)
        start.picture_dropped.connect(lambda picture: self.first.take_photo(start, picture))
        start.open_file.connect(self.files.open)
        start.open_path.connect(self.files.open_path)
        start.open_demo.connect(self.files.open_demo)
        start.back.connect(self.show_work)
        start.menu_wanted.connect(self.open_menu)
        start.find_wanted.connect(lambda: self.search.open())
        self.pages.addWidget(start)
        return start

    @cached_property
    def search(self) -> "QuickSearch":
        """Goes to anything by a few letters; made when it is first asked for."""
        # loaded when it is first needed: the start stays short
        from fusemap.window.help.quick_search import QuickSearch

        return QuickSearch(self.desk, self.actions_, self.help)

    def showEvent(self, event: QShowEvent) -> None:
        """Nothing was opened before the window is shown: ask for the lid."""
        super().showEvent(event)
        if self.pages.currentWidget() is None:
            self.show_start()

    # --- which page -----------------------------------------------------------------------------

    def show_start(self) -> None:
        """Show the page that a vehicle is started from."""
        self.start.show_choices(
            self.settings.recent,
            self.files.demo_stories(),
            self.look.theme,
            in_hand=self.files.name if self._open else "",
            saved=self.document.path if self.document.stack.isClean() else None,
            left=self.tasks.not_back,
        )
        if self.pages.currentWidget() is not self.start:
            self.start.new.start_afresh()
        self.first.begin_anew()
        self.pages.setCurrentWidget(self.start)
        self.start.show_doors()
        self.actions_.update()

    def _shown_start(self) -> "StartPage":
        self.show_start()
        return self.start

    def show_new(self) -> None:
        """Show the questions about a new vehicle's lid."""
        self.show_start()
        self.start.ask_lid(by_door=not self._open)

    def _open_door(self, key: str) -> None:
        self.first.open_door(key, self.start, in_hand=self._open)

    def _land(self) -> None:
        """A vehicle was opened: go to its panel, or to what it was opened for or gone to since."""
        if not self.first.land() and self.work is not None and self.work.page == "lid":
            self.focus_pane("panel")

    def show_work(self) -> None:
        """Show the vehicle in hand."""
        self.desk.show_work()

    @property
    def work(self) -> "WorkArea | None":
        """The views of the vehicle in hand, once they were shown."""
        return self.desk.work

    def _wire(self, work: "WorkArea") -> None:
        """What the views ask for is done by the tools."""
        work.copy_asked.connect(self.clipboard.copy)
        work.paste_asked.connect(self.clipboard.paste)
        work.panels.panel_wanted.connect(self.panels.add)
        work.panels.picture_dropped.connect(self.photos.take_in)
        work.panels.next_strength_wanted.connect(self.photos.next_strength)
        work.photo_wanted.connect(self.photos.do_for)
        work.turned.connect(self.desk.turned)
        work.left_behind.connect(self.tasks.came_back)
        work.probe_wanted.connect(self.tasks.probe_at)
        work.sure_wanted.connect(self.tasks.probe_sure)

    def _turned(self) -> None:
        self.actions_.update()

    def show_page(self, name: str) -> None:
        """Show a form, or the list of circuits: the battery, a feed, the rules …"""
        self.show_work()
        assert self.work is not None
        if name == "circuits":
            self.work.show_circuits()
        else:
            self.work.show_page(name)

    # --- what the table of actions asks -------------------------------------------------------

    @property
    def working(self) -> bool:
        """Whether the vehicle in hand is shown, with its panel and details."""
        return self.desk.working

    def focus_pane(self, pane: str) -> None:
        """Go to a part of the window."""
        self.desk.focus_pane(pane)

    def cycle_pane(self, step: int) -> None:
        """Go to the next part of the window, or with −1 to the one before."""
        if self.work is not None:
            self.work.cycle_pane(step)

    def go_finding(self, step: int) -> None:
        """Go to the next finding, or with −1 to the one before."""
        if self.work is not None:
            self.work.go_finding(step)

    def show_advice(self) -> None:
        """Show what would be right for what is selected."""
        if self.work is not None:
            self.work.show_advice()

    def show_search(self) -> None:
        """Open the search over everything."""
        self.search.open()

    def show_lost_work(self) -> None:
        """Offer the work that was not saved when the program ended."""
        if not self.recovery.offer():
            self.message.show_note(self.tr("There is no unsaved work of earlier runs."))

    def show_whole(self, name: str) -> None:
        """Show a page that uses the whole room, with a way back."""
        self.tasks.show_whole(name)

    def save_papers(self) -> None:
        """Go to the paper, and ask where all that is ticked there is saved as one PDF."""
        self.tasks.show("paper")
        if self.work is not None:
            self.work.paper.save_whole()

    def follow_step(self) -> None:
        """Go where the next step of the job leads."""
        self.frame_.follow()

    def open_menu(self) -> None:
        """Open the menu of everything, below its button."""
        button = self.frame_.rail.menu if self.frame_.isVisible() else self.start.menu
        menu = self.actions_.menu
        menu.setStyleSheet(self.menuBar().styleSheet())  # dark beside the vehicle, as its submenus
        menu.popup(button.mapToGlobal(QPoint(0, button.height())))

    def _take_actions(self) -> None:
        by_key = self.actions_.by_key
        self.frame_.rail.take_actions(by_key["undo"], by_key["search"])

    def show_tables(self) -> None:
        """Open the published tables, on the source of the number the keyboard is on."""
        self.tables_page(source_at(self.focusWidget()))

    def tables_page(self, source: str) -> "TablesPage":
        """The tables, as a page of this window or beside it, on the rows that a source cites."""
        return self.help.tables_page(source)

    def show_shortcuts(self) -> None:
        """Open the sheet of shortcuts."""
        # loaded when it is first needed: the start stays short
        from fusemap.window.help import about

        about.show_shortcuts(self)

    def show_about(self) -> None:
        """Open what the program is, and the cautions."""
        # loaded when it is first needed: the start stays short
        from fusemap.window.help import about

        about.show_about(self, self.look.theme.style)

    # --- what the document tells ----------------------------------------------------------------

    def _opened(self) -> None:
        self._open = True
        self._show_title()
        self.message.clear()
        self.show_work()
        self.actions_.update()
        self.pages.setFocus()
        if self.isVisible():
            self._soon.start()
        else:
            self._soon.start_when_painted(self.frame_)

    def _changed(self, old: Vehicle, new: Vehicle) -> None:
        self.message.clear()
        self._show_title()  # what can be done now is told when the step has its name

    def _say_removed(self, old: Vehicle, new: Vehicle) -> None:
        """What a step took away is said, with a button that brings it back."""
        if words := removed_words(old, new, self.look.theme.style):
            undo = (self.tr("Undo"), self.document.stack.undo)
            self.message.show_note(self.tr("Removed {what}").format(what=words), [undo])

    def _selected(self, selection: Selection | None) -> None:
        self.actions_.update()

    def _step_done(self, index: int) -> None:
        if isValid(self.document.stack):  # it tells once more while it is taken down
            self.actions_.update()
            self._naming.start()  # menus are laid out anew for it

    def _name_steps(self) -> None:
        """Undo and redo say what they would do."""
        for key, word, steps in (("undo", self.tr("&Undo"), -1), ("redo", self.tr("&Redo"), 0)):
            step = self.look.theme.style.show(self.document.step_name(steps))
            action = self.actions_.by_key[key]
            plain = word.replace("&", "")
            text = f"{word}: {step.replace('&', '&&')}" if step else word
            tip = plain_tip(f"{plain}: {step}") if step else plain
            if (text, tip) == (action.text(), action.toolTip()):
                continue  # what shows it is laid out anew where a word is set
            action.setText(text)
            action.setIconText(plain)
            action.setToolTip(tip)

    def _show_title(self) -> None:
        if not self._open:
            self.setWindowTitle("fusemap")
            return
        self.setWindowTitle(f"{self.files.name}[*] – fusemap")
        self.setWindowModified(self.document.modified)

    # --- look -----------------------------------------------------------------------------------

    def _say_anew(self) -> None:
        """Menus and first page in another language; the views follow by themselves."""
        earlier, self.actions_ = self.actions_, Actions(self, self)
        earlier.take_down()
        self._take_actions()
        self.tasks.look_again()
        self._name_steps()
        self.actions_.update()
        for name in ("start", "search"):
            old = self.__dict__.pop(name, None)
            if old is not None:
                begun = self.pages.currentWidget() is old
                self.pages.removeWidget(old)
                old.deleteLater()
                if begun:
                    self.first.go_on_from(old, self._shown_start)

    def reset_layout(self) -> None:
        """Window and parts as large as at the first start."""
        self.settings.kept.splitters.clear()
        self.settings.kept.geometry = ""
        self.settings.save()
        self.showNormal()
        self._restore()
        self._rebuild(keep=False)

    def _rebuild(self, keep: bool = True) -> None:
        """Make the views anew in the look there is now; document, history, selection stay."""
        self.message.set_theme(self.look.theme)
        self.standing.set_theme(self.look.theme)
        self.frame_.set_theme(self.look.theme)
        self.help.look_again()
        self.tasks.look_again()
        self.desk.make_work_anew(keep)

    def _restore(self) -> None:
        em = self.fontMetrics().height()
        room = self.screen().availableSize()
        self.resize(min(em * 92, room.width() * 9 // 10), min(em * 58, room.height() * 9 // 10))
        if self.settings.kept.geometry:
            self.restoreGeometry(QByteArray.fromBase64(self.settings.kept.geometry.encode()))

    def event(self, event: QEvent) -> bool:
        """Whatever was filled is laid out whole before any of it is painted."""
        if event.type() == QEvent.Type.UpdateRequest:
            lay_out_now()
        return super().event(event)

    # --- a vehicle file dropped here ------------------------------------------------------------

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        """A file may be dropped anywhere that takes nothing else."""
        if dropped_files(event.mimeData()):
            take_copy(event)

    def dropEvent(self, event: QDropEvent) -> None:
        """Open the file, as from the menu; say why where it is nothing to be opened."""
        take_copy(event)
        try:
            path = file_to_open(dropped_files(event.mimeData()))
        except InputProblem as problem:
            self.message.show_error(problem)
        else:
            self.files.open_path(path)

    # --- closing --------------------------------------------------------------------------------

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Escape takes the message away, or leads back from a whole page; F10 opens the menu.

        Enter pushes the button that has the keyboard, as it does in a box.
        """
        focused = self.focusWidget()
        if event.key() == Qt.Key.Key_Escape and self.message.text:
            self.message.clear()
        elif event.key() == Qt.Key.Key_Escape and self.work is not None and self.working:
            self.work.go_back()
        elif event.key() == Qt.Key.Key_F10:
            self.open_menu()
        elif event.key() in ENTER and isinstance(focused, QPushButton | QToolButton):
            focused.click()
        else:
            super().keyPressEvent(event)

    def changeEvent(self, event: QEvent) -> None:
        """Come back to, the window looks whether something else has changed its file."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.ActivationChange and self.isActiveWindow():
            self.files.notice_changes()

    def closeEvent(self, event: QCloseEvent) -> None:
        """Ask about what is out and unsaved work first; keep the sizes when it closes."""
        finish_typing(self)
        if not self._closing and (self.document.modified or self.tasks.not_back is not None):
            event.ignore()
            begin(self._close_when_asked())
            return
        self.settings.kept.geometry = bytes(self.saveGeometry().toBase64().data()).decode()
        if self.work is not None:
            self.work.keep()
        self.settings.save()
        super().closeEvent(event)
        self.files.let_go()
        self.closed.emit()

    async def _close_when_asked(self) -> None:
        out = self.tasks.not_back
        if out is not None:
            answer = await ask_what_is_out(self, self.look.theme.style.show(out))
            if answer == "stay":
                return
            if answer == "in":
                self.tasks.all_back()
        if await self.files.may_leave():
            self._closing = True
            self.close()
