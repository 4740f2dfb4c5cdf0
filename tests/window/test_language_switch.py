"""Another language in the middle of the work: menus, tools and views are new, nothing old stays."""

import gc
import random
import weakref
from collections import Counter
from collections.abc import Iterator
from typing import Any

import pytest
from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QAction, QActionGroup
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QComboBox, QLineEdit, QMenu, QToolButton

from fusemap.errors import EditRefused
from fusemap.text import say
from fusemap.window import actions
from fusemap.window.document import Document
from fusemap.window.main_window import MainWindow
from fusemap.window.settings import Settings
from fusemap.window.texts.languages import LANGUAGES, speak


@pytest.fixture
def window(qtbot: Any) -> Iterator[MainWindow]:
    window = MainWindow(Document(), Settings())
    qtbot.addWidget(window, before_close_func=lambda w: w.document.stack.setClean())
    window.resize(1280, 900)
    window.show()
    window.files.open_demo("")
    yield window
    speak("en")


def settle() -> None:
    """Let what was taken away go."""
    QApplication.processEvents()
    QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete.value)
    gc.collect()


def counted(window: MainWindow) -> Counter[str]:
    """How many menus, groups and actions of the table there are."""
    actions_ = [a for a in window.findChildren(QAction) if a.objectName().startswith("action_")]
    found = Counter({"actions": len(actions_)})
    for kind in (QMenu, QActionGroup):
        # Views have menus of their own, which come and go with them; Qt's own have no name.
        found_ = [w for w in window.findChildren(kind) if w.objectName() or kind is QActionGroup]
        named = [w for w in found_ if w.parent() is window or _of_bar(window, w)]
        found[kind.__name__] = len(named)
    return found


def _of_bar(window: MainWindow, part: Any) -> bool:
    return part.parent() is window.menuBar() or isinstance(part.parent(), QMenu)


def test_no_menu_or_action_of_an_earlier_language_stays(window: MainWindow) -> None:
    settle()
    before = counted(window)
    assert before["QMenu"] > 14
    for code in (*LANGUAGES, *LANGUAGES, "en"):
        window.actions_.trigger(f"language_{code}")
        settle()
    assert counted(window) == before


def test_nothing_holds_the_actions_of_an_earlier_language(window: MainWindow) -> None:
    window.actions_.trigger("search")
    window.search.close()
    earlier = weakref.ref(window.actions_)
    window.actions_.trigger("language_de")
    settle()
    assert earlier() is None


def test_a_fault_while_menus_are_made_leaves_the_ones_there_are(
    window: MainWindow, monkeypatch: pytest.MonkeyPatch
) -> None:
    settle()
    before, earlier = counted(window), window.actions_

    def fault(row: object) -> str:
        raise ValueError("fault")

    with monkeypatch.context() as broken:
        broken.setattr(actions, "tool_tip", fault)
        with pytest.raises(ValueError, match="fault"):
            window._say_anew()
        settle()
    assert window.actions_ is earlier
    assert counted(window) == before
    window.actions_.trigger("probe")
    window.actions_.trigger("plan")
    window.actions_.trigger("language_fr")
    settle()
    assert window.actions_ is not earlier
    assert counted(window) == before


@pytest.mark.parametrize("seed", range(2))
def test_any_walk_with_menus_pages_and_panels_open_outlives_fifteen_languages(
    window: MainWindow, seed: int
) -> None:
    dice = random.Random(seed)
    settle()
    before = counted(window)
    for _ in range(15):
        menu = dice.choice([m for m in window.findChildren(QMenu) if m.objectName()[:5] == "menu_"])
        menu.popup(window.pos())
        for key in dice.sample(
            ["probe", "check", "plan", "paper", "search", "tour", "battery", "undo"], 2
        ):
            window.actions_.trigger(key)
        window.actions_.trigger(f"language_{dice.choice(list(LANGUAGES))}")
        if dice.random() < 0.5:
            settle()
        window.document.select("battery")
        window.document.select(None)
    window.actions_.trigger("plan")
    settle()
    assert counted(window) == before
    assert [a.objectName() for a in window.menuBar().actions() if a.menu() is None] == []


# --- what is said and typed meanwhile ------------------------------------------------------------


def test_a_message_that_is_up_goes_over_into_the_language(window: MainWindow) -> None:
    window.message.show_error(EditRefused(say("this is a folder"), "boot", say("choose a picture")))
    window.actions_.trigger("language_de")
    assert window.message.text == "boot: das ist ein Ordner. Ein Bild wählen."
    close = window.message.findChild(QToolButton, "messageClose")
    assert close.text() == "Schließen"
    window.message.clear()
    window.actions_.trigger("language_fr")
    assert window.message.text == ""


def test_a_reading_that_is_typed_and_not_noted_outlives_the_language(window: MainWindow) -> None:
    window.actions_.trigger("battery")
    for key, text in (("crankReading_rest_v", "12.6"), ("standReading_hours", "30")):
        field = window.work.details.findChild(QLineEdit, key)
        field.setFocus()
        field.setText(text)
    window.setFocus()
    kind = window.work.details.findChild(QComboBox, "standReading_kind")
    QTest.keyClick(kind, Qt.Key.Key_Down)
    window.actions_.trigger("language_de")
    window.actions_.trigger("battery")
    details = window.work.details
    assert details.findChild(QLineEdit, "crankReading_rest_v").text() == "12,6"
    assert details.findChild(QLineEdit, "standReading_hours").text() == "30"
    assert details.findChild(QComboBox, "standReading_kind").currentIndex() == 1


def test_a_reading_typed_for_one_vehicle_is_never_noted_of_the_next(window: MainWindow) -> None:
    window.actions_.trigger("battery")
    field = window.work.details.findChild(QLineEdit, "crankReading_rest_v")
    field.setFocus()
    field.setText("12.6")
    window.setFocus()
    window.files.open_demo("courier_van")
    window.actions_.trigger("battery")
    field = window.work.details.findChild(QLineEdit, "crankReading_rest_v")
    assert field.text() == ""
