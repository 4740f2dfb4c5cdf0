"""The table of actions as Qt actions of one window: in its menus, on its keys.

The menus stand in one menu behind a button of the frame; the menu bar has them, too, where the
desktop shows it apart from the window, and is not shown else.

Menus of the other languages are written without “&”: here each entry gets a letter that no other of
its menu has, the first of a word where that is still free.
"""

from collections.abc import Callable, Iterable
from functools import partial

from PySide6.QtCore import QCoreApplication, QObject
from PySide6.QtGui import QAction, QActionGroup, QKeySequence
from PySide6.QtWidgets import QMainWindow, QMenu, QMenuBar

from fusemap.window.action_rows import Entries, Row, Window
from fusemap.window.action_table import menu_titles, rows
from fusemap.window.shortcuts import tool_tip

translate = QCoreApplication.translate


def with_letters(texts: Iterable[str]) -> list[str]:
    """The texts, each with “&” before its letter; as it is where no letter is left.

    >>> with_letters(["Datei", "Drucken", "&Bild", "Bad"])
    ['&Datei', 'D&rucken', '&Bild', 'B&ad']
    """
    given = list(texts)
    taken = {text[text.index("&") + 1].lower() for text in given if "&" in text[:-1]}
    made = []
    for text in given:
        place = None if "&" in text else _place(text, taken)
        if place is None:
            made.append(text)
            continue
        taken.add(text[place].lower())
        made.append(f"{text[:place]}&{text[place:]}")
    return made


def _place(text: str, taken: set[str]) -> int | None:
    """Where the letter is: beginnings of words first."""
    starts: list[int] = [at for at in range(len(text)) if at == 0 or text[at - 1] == " "]
    order: list[int] = [*starts, *range(len(text))]
    for at in order:
        if text[at].isalnum() and text[at].lower() not in taken:
            return at
    return None


def give_letters(entries: Iterable[QAction]) -> None:
    """Give each of these entries of one menu its letter."""
    actions = [action for action in entries if not action.isSeparator()]
    for action, text in zip(actions, with_letters(a.text() for a in actions), strict=True):
        if text != action.text():
            action.setText(text)


class Actions:
    """The table as Qt actions of one window, in its menus.

    Others may be there meanwhile: in another language they are made anew beside those there are,
    which are taken down only when the new ones stand.
    """

    def __init__(self, frame: QMainWindow, window: Window) -> None:
        self._frame = frame
        """Where the menus are; `window` is what their entries ask and do."""
        self._window = window
        self._held = QObject(frame)
        """What actions and groups hang on, to go with it; a submenu has its own action."""
        self._menus: dict[str, QMenu] = {}
        self._groups: dict[str, QActionGroup] = {}
        self.menu = QMenu(frame)
        """All menus in one."""
        self.menu.setObjectName("menu_all")
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
        for each in self._top_menus():
            self.menu.addMenu(each)
        self._bar().setVisible(self._bar().isNativeMenuBar())
        self.update()

    def take_down(self) -> None:
        """Take the menus away; nothing of them is left with the window."""
        self.menu.deleteLater()
        for menu in self._top_menus():
            self._bar().removeAction(menu.menuAction())
            menu.deleteLater()
        self._held.deleteLater()

    def update(self) -> None:
        """Enable what can be done now, and tick what is in force."""
        can = {test: test(self._window) for test in {row.can for row in self.rows}}
        for row in self.rows:
            action = self.by_key[row.key]
            action.setEnabled(can[row.can])
            if row.ticked is not None:
                action.setChecked(row.ticked(self._window))

    def trigger(self, key: str) -> None:
        """Do an action."""
        self.by_key[key].trigger()

    def _add(self, row: Row) -> None:
        menu = self._menu(row.menu)
        if row.parted:
            menu.addSeparator()
        if row.entries is not None:
            self.by_key[row.key] = self._add_list(menu, row, row.entries)
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
        self._frame.addAction(action)  # its keys hold while the menu is not seen
        self.by_key[row.key] = action

    def _add_list(self, menu: QMenu, row: Row, entries: Entries) -> QAction:
        inside = menu.addMenu(row.text)
        inside.setObjectName(f"menu_{row.key}")
        inside.aboutToShow.connect(partial(self._fill, inside, entries))
        return inside.menuAction()

    def _fill(self, menu: QMenu, entries: Entries) -> None:
        menu.clear()
        for text, do in entries(self._window):
            menu.addAction(text).triggered.connect(partial(_call, do))
        if menu.isEmpty():
            menu.addAction(translate("Actions", "None yet")).setEnabled(False)

    def _do(self, row: Row, checked: bool = False) -> None:
        row.do(self._window)

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

    def _bar(self) -> QMenuBar:
        return self._frame.menuBar()

    def _group(self, name: str) -> QActionGroup:
        return self._groups.setdefault(name, QActionGroup(self._held))


def _call(do: Callable[[], object], checked: bool = False) -> None:
    """Do it, whatever the tick beside it says."""
    do()
