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
from fusemap.text import ENGLISH, say
from fusemap.window import actions
from fusemap.window.document import Document
from fusemap.window.forms.fields import NumberField
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


WRONG = (("battery_capacity_ah", "seventy"), ("battery_rest_v", "99"), ("battery_soh", "180"))
"""No number; more than any battery has; beyond what the field takes."""


def field_of(window: MainWindow, key: str) -> QLineEdit:
    window.actions_.trigger("battery")
    field = window.work.details.findChild(QLineEdit, key)
    assert isinstance(field, QLineEdit), key
    return field


@pytest.mark.parametrize(("key", "typed"), WRONG)
def test_a_wrong_entry_stays_as_typed_marked_and_said_in_another_language(
    window: MainWindow, key: str, typed: str
) -> None:
    field = field_of(window, key)
    before = field.text()
    field.setFocus()
    field.setText(typed)
    QTest.keyClick(field, Qt.Key.Key_Return)
    said = [field.toolTip()]
    assert field.property("wrong")
    for code in ("de", "fr"):
        window.actions_.trigger(f"language_{code}")
        field = field_of(window, key)
        assert (field.text(), field.property("wrong")) == (typed, True)
        said.append(field.toolTip())
        assert field.accessibleDescription() == field.toolTip()
    assert len(set(said)) == len(said), "what is wrong is not said in the language"
    QTest.keyClick(field, Qt.Key.Key_Escape)
    assert not field.property("wrong")
    window.actions_.trigger("language_en")
    assert field_of(window, key).text() == before


def test_a_wrong_entry_is_not_found_again_at_another_place_or_value(window: MainWindow) -> None:
    def made(value: float) -> NumberField:
        return NumberField(window.document, ENGLISH, lambda: value, lambda _: True, name="Limit")

    panel = window.document.vehicle.panels[0]
    window.document.select("slot", panel.slots[0].id)
    field = made(5.0)
    field.setText("many")
    field.commit()
    again = made(5.0)
    assert (again.text(), again.property("wrong")) == ("many", True)
    assert made(7.5).text() == "7.5"
    again.setText("many")
    again.commit()
    window.document.select("slot", panel.slots[1].id)
    assert made(5.0).text() == "5"


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
