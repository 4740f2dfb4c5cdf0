"""The table of actions: complete, without clashes, and what the menus and keys come from."""

from collections import Counter
from types import SimpleNamespace
from typing import Any

import pytest
from PySide6.QtGui import QKeySequence
from PySide6.QtWidgets import QMainWindow

from fusemap.window import action_rows, shortcuts
from fusemap.window.action_rows import Row
from fusemap.window.action_table import menu_titles, rows
from fusemap.window.actions import Actions
from fusemap.window.document import Document
from fusemap.window.settings import Settings
from fusemap.window.shortcuts import shortcut_rows

pytestmark = pytest.mark.usefixtures("qapp")


class Stand(QMainWindow):
    """A window that notes what it is asked to do."""

    def __init__(self) -> None:
        super().__init__()
        self.done: list[tuple[str, Any]] = []
        self.working = True
        self.document = Document()
        self.settings = Settings()
        self.settings.kept.theme = "dark"
        self.tasks = SimpleNamespace(shown="")
        self.panels = SimpleNamespace(view=None)
        self.photos = SimpleNamespace(strength="faint")
        self.accessories = SimpleNamespace(selected=None)

    def show_page(self, name: str) -> None:
        self.done.append(("show_page", name))

    @property
    def files(self) -> Any:
        return Files(self.done)


class Files:
    def __init__(self, done: list[tuple[str, Any]]) -> None:
        self._done = done

    def save(self) -> None:
        self._done.append(("save", None))

    def demos(self) -> list[tuple[str, str]]:
        return [("Blue van", "van"), ("Old truck", "truck")]

    def recent(self) -> list[tuple[str, str]]:
        return []

    def open_path(self, path: str) -> None:
        self._done.append(("open_path", path))

    def open_demo(self, key: str) -> None:
        self._done.append(("open_demo", key))


@pytest.fixture
def stand(qtbot: Any) -> Stand:
    window = Stand()
    qtbot.addWidget(window)
    return window


def test_every_action_has_its_own_key() -> None:
    assert max(Counter(row.key for row in rows()).values()) == 1


def test_no_shortcut_stands_for_two_things() -> None:
    keys = Counter(QKeySequence(key).toString() for row in rows() for key in row.keys)
    assert "" not in keys
    assert [key for key, times in keys.items() if times > 1] == []


@pytest.mark.parametrize("menu", menu_titles())
def test_no_mnemonic_stands_for_two_things_in_a_menu(menu: str) -> None:
    letters = [row.text[row.text.index("&") + 1].lower() for row in rows() if row.menu == menu]
    inside = [t for path, t in menu_titles().items() if path.rpartition("/")[0] == menu]
    letters += [title[title.index("&") + 1].lower() for title in inside]
    assert [letter for letter, times in Counter(letters).items() if times > 1] == []


def test_every_menu_has_a_title_and_every_title_a_menu() -> None:
    used = {row.menu for row in rows()}
    used |= {menu.rpartition("/")[0] for menu in used if "/" in menu}
    assert used == set(menu_titles())


def test_every_action_stands_in_its_menu(stand: Stand) -> None:
    actions = Actions(stand, stand)
    for row in rows():
        assert actions.by_key[row.key].text() == row.text
    assert [a.text() for a in stand.menuBar().actions()] == [
        title for path, title in menu_titles().items() if "/" not in path
    ]


def test_the_sheet_of_shortcuts_lists_every_action_that_has_one() -> None:
    listed = [text for _, text, _ in shortcut_rows()]
    known = [shortcuts.plain(row.text) for row in rows() if row.keys]
    assert listed == known + [text for _, text, _ in shortcuts.view_keys()]


def test_keys_that_a_view_takes_itself_are_not_taken_from_it(stand: Stand) -> None:
    actions = Actions(stand, stand)
    for row in rows():
        assert bool(actions.by_key[row.key].shortcuts()) == bool(row.keys and not row.local)


def test_an_action_calls_its_handler_with_its_argument(stand: Stand) -> None:
    actions = Actions(stand, stand)
    actions.trigger("battery")
    actions.trigger("save")
    assert stand.done == [("show_page", "battery"), ("save", None)]


def test_what_cannot_be_done_now_is_disabled(stand: Stand) -> None:
    actions = Actions(stand, stand)
    assert actions.by_key["save"].isEnabled()
    assert not actions.by_key["remove_accessory"].isEnabled()
    stand.accessories.selected = "accessory-1"
    actions.update()
    assert actions.by_key["remove_accessory"].isEnabled()
    stand.working = False
    actions.update()
    assert not actions.by_key["save"].isEnabled()


def test_the_choice_in_force_is_ticked(stand: Stand) -> None:
    actions = Actions(stand, stand)
    ticked = [row.key for row in rows() if actions.by_key[row.key].isChecked()]
    assert ticked == [
        "photo_faint", "theme_dark", "word_earth", "language_system", "unit_m", "unit_c",
        "unit_mm2",
    ]  # fmt: skip


def test_a_list_is_filled_when_it_is_opened(stand: Stand) -> None:
    actions = Actions(stand, stand)
    menu = actions.by_key["demo"].menu()
    menu.aboutToShow.emit()
    assert [action.text() for action in menu.actions()] == ["Blue van", "Old truck"]
    menu.actions()[1].trigger()
    assert stand.done == [("open_demo", "truck")]


def test_an_empty_list_says_so(stand: Stand) -> None:
    menu = Actions(stand, stand).by_key["recent"].menu()
    menu.aboutToShow.emit()
    assert [(a.text(), a.isEnabled()) for a in menu.actions()] == [("None yet", False)]


def test_a_tip_names_the_shortcut() -> None:
    row = Row("x", "File", "&Save", action_rows.nothing, ("Ctrl+S",), "Save it")
    assert shortcuts.tool_tip(row) == "Save it (Ctrl+S)"
