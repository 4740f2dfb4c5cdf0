"""The table of actions as Qt actions of one window: in its menus, its toolbar, on its keys."""

from collections.abc import Callable
from functools import partial
from typing import Any, Protocol

from PySide6.QtCore import QCoreApplication, QObject
from PySide6.QtGui import QAction, QActionGroup, QKeySequence
from PySide6.QtWidgets import QMenu, QToolBar

from fusemap.window.action_table import Row, menu_titles, rows, tool_tip
from fusemap.window.texts.mnemonics import give_letters

translate = QCoreApplication.translate


class Window(Protocol):
    """What the table needs of the window."""

    def can(self, when: str) -> bool:
        """Whether rows with this `when` can be done now."""

    def chosen(self, group: str) -> str:
        """Which argument of a group is the one in force."""


def handler(window: QObject, path: str) -> Callable[..., Any]:
    """The method a path names, looked up when it is needed."""
    found: Any = window
    for name in path.split("."):
        found = getattr(found, name)
    return found  # type: ignore[no-any-return]


class Actions:
    """The table as Qt actions of one window, in its menus and its toolbar.

    Others may be there meanwhile: in another language they are made anew beside those there are,
    which are taken down only when the new ones stand.
    """

    def __init__(self, window: Any) -> None:
        self._window = window
        self._held = QObject(window)
        """What actions and groups hang on, to go with it; a submenu has its own action."""
        self._menus: dict[str, QMenu] = {}
        self._groups: dict[str, QActionGroup] = {}
        self._toolbar: QToolBar | None = None
        self.rows = rows()
        self.by_key: dict[str, QAction] = {}
        try:
            self._make()
        except BaseException:
            self.take_down()
            raise

    def _make(self) -> None:
        for row in self.rows:
            self._add(row)
        give_letters(menu.menuAction() for menu in self._top_menus())
        for menu in self._menus.values():
            give_letters(menu.actions())
        self._make_toolbar()
        self.update()

    def take_down(self) -> None:
        """Take menus and toolbar away; nothing of them is left with the window."""
        if self._toolbar is not None:
            self._window.removeToolBar(self._toolbar)
            self._toolbar.deleteLater()
        for menu in self._top_menus():
            self._bar().removeAction(menu.menuAction())
            menu.deleteLater()
        self._held.deleteLater()

    def update(self) -> None:
        """Enable what can be done now, and tick what is in force."""
        can = {when: self._window.can(when) for when in {row.when for row in self.rows}}
        for row in self.rows:
            action = self.by_key[row.key]
            action.setEnabled(can[row.when])
            if row.group:
                action.setChecked(self._window.chosen(row.group) == row.argument)

    def trigger(self, key: str) -> None:
        """Do an action."""
        self.by_key[key].trigger()

    def _add(self, row: Row) -> None:
        menu = self._menu(row.menu)
        if row.parted:
            menu.addSeparator()
        if row.list:
            self.by_key[row.key] = self._add_list(menu, row)
            return
        action = QAction(row.text, self._held)
        action.setObjectName(f"action_{row.key}")
        if not row.local:
            action.setShortcuts([QKeySequence(keys) for keys in row.keys])
        action.setToolTip(tool_tip(row))
        action.setStatusTip(row.tip)
        if row.key == "quit":
            action.setMenuRole(QAction.MenuRole.QuitRole)
        if row.group:
            self._group(row.group).addAction(action)
            action.setCheckable(True)
        action.triggered.connect(partial(self._do, row))
        menu.addAction(action)
        self.by_key[row.key] = action

    def _add_list(self, menu: QMenu, row: Row) -> QAction:
        inside = menu.addMenu(row.text)
        inside.setObjectName(f"menu_{row.key}")
        inside.aboutToShow.connect(partial(self._fill, inside, row))
        return inside.menuAction()

    def _fill(self, menu: QMenu, row: Row) -> None:
        menu.clear()
        for text, argument in handler(self._window, row.list)():
            action = menu.addAction(text)
            action.triggered.connect(partial(self._do_with, row, argument))
        if menu.isEmpty():
            menu.addAction(translate("Actions", "None yet")).setEnabled(False)

    def _do(self, row: Row, checked: bool = False) -> None:
        arguments = () if row.argument is None else (row.argument,)
        handler(self._window, row.handler)(*arguments)

    def _do_with(self, row: Row, argument: Any, checked: bool = False) -> None:
        handler(self._window, row.handler)(argument)

    def _menu(self, path: str) -> QMenu:
        if path not in self._menus:
            above, _, _ = path.rpartition("/")
            title = menu_titles()[path]
            menu = self._menu(above).addMenu(title) if above else self._bar().addMenu(title)
            menu.setObjectName(f"menu_{path}")
            menu.setToolTipsVisible(True)
            self._menus[path] = menu
        return self._menus[path]

    def _top_menus(self) -> list[QMenu]:
        return [menu for path, menu in self._menus.items() if "/" not in path]

    def _bar(self) -> Any:
        return self._window.menuBar()

    def _group(self, name: str) -> QActionGroup:
        return self._groups.setdefault(name, QActionGroup(self._held))

    def _make_toolbar(self) -> None:
        bar = self._toolbar = self._window.addToolBar(translate("Actions", "Tools"))
        bar.setObjectName("tools")
        bar.setMovable(False)
        last = ""
        for row in self.rows:
            if row.tool:
                if last and row.menu != last:
                    bar.addSeparator()
                bar.addAction(self.by_key[row.key])
                last = row.menu
