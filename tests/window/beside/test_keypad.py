"""The keypad beside the vehicle: large enough for a finger, over nothing; keys still work."""

from collections.abc import Callable, Iterator
from itertools import combinations
from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QFont
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget

from fusemap.files.demos import read_demo
from fusemap.text import Style
from fusemap.window.beside import pad_keys
from fusemap.window.beside.keypad import TOUCH
from fusemap.window.beside.pieces import LEAST_SHARE
from fusemap.window.main_window import MainWindow
from fusemap.window.settings import Settings
from fusemap.window.texts.languages import LANGUAGES, speak
from tests.window.keyboard_hands import opened
from tests.window.pad_hands import box, drawn_keys, finger
from tests.window.pad_hands import pad_keys as seen_keys

SIZES = ((1280, 720), (1366, 768), (2560, 1440))


@pytest.fixture(autouse=True)
def _english_afterwards(qapp: QApplication) -> Iterator[None]:
    font = QFont(qapp.font())
    yield
    qapp.setFont(font)
    speak("en")


@pytest.fixture
def window(qtbot: Any) -> MainWindow:
    made = opened(qtbot, read_demo("family_estate"))
    made.settings.kept.stage_pad = True
    return made


def moments(window: MainWindow) -> Iterator[tuple[str, Any]]:
    """Every kind of moment at which something is typed, with its page."""
    window.tasks.show("check")
    check: Any = window.tasks.check
    seen = set()
    for row, step in enumerate(check.steps):
        if step.unit and step.key not in seen:
            seen.add(step.key)
            check._go_to(row)
            yield f"check {step.key}", check
            check.press("x")
            yield f"check {step.key}, refused", check
    window.tasks.show("probe")
    probe: Any = window.tasks.probe
    yield "probe", probe
    for key in "999":
        probe.press(key)
    probe.press("enter")
    yield "probe, doubted", probe
    slots = [each.id for each in window.document.vehicle.panels[0].slots if each.kind == "fuse"]
    probe.take_in_hand(("slot", slots[0]))
    yield "probe, slot", probe
    for _ in range(9):
        probe.press("previous_round")
    yield "probe, whole", probe
    window.tasks.show("hunt")
    hunt: Any = window.tasks.hunt
    for keys in (("enter", "enter"), ("0", ".", "3", "5", "enter"), ("9", "0", "0", "enter")):
        for key in keys:
            hunt.press(key)
        yield f"hunt {''.join(keys)}", hunt


@pytest.mark.parametrize("size", SIZES, ids=str)
@pytest.mark.parametrize("font", [1.0, 2.0])
def test_it_covers_nothing_and_every_key_is_large_enough(
    window: MainWindow, qapp: QApplication, size: tuple[int, int], font: float
) -> None:
    large = QFont(qapp.font())
    large.setPointSizeF(large.pointSizeF() * font)
    qapp.setFont(large)
    window.resize(*size)
    shown = 0
    for name, page in moments(window):
        QTest.qWait(1)
        frame = page.frame
        assert frame.keypad.isVisible(), name
        parts: list[QWidget] = [frame.keypad, frame.entry, frame.question, frame.under, frame.words,
                                frame.last, frame.picture]  # fmt: skip
        there = [each for each in parts if each.isVisible() and each.height() > 1]
        for one, other in combinations(there, 2):
            common = box(one, frame) & box(other, frame)
            assert min(common.width(), common.height()) <= 1, (name, one, other)
        assert frame.rect().contains(box(frame.keypad, frame)), name
        for key, (_, place) in drawn_keys(frame).items():
            assert min(place.width(), place.height()) >= TOUCH - 1, (name, key, place)
        words = frame.words
        if words.text:
            assert words.share_in(words.width(), words.height()) >= LEAST_SHARE, name
        assert frame.entry.height() >= TOUCH, name
        shown += 1
    assert shown > 12


def test_the_keys_of_the_keyboard_work_while_it_is_open(window: MainWindow) -> None:
    window.tasks.show("check")
    page: Any = window.tasks.check
    page._go_to(next(row for row, step in enumerate(page.steps) if step.unit == "V"))
    assert page.hasFocus()
    finger(page, "1")
    assert page.hasFocus(), "the focus stays where it is typed"
    focused = QApplication.focusWidget()
    assert focused is page
    QTest.keyClicks(focused, "2.4")
    finger(page, "back")
    assert page.typed == "12."
    QTest.keyClick(focused, Qt.Key.Key_Escape)
    assert page.typed == ""
    finger(page, "1", "3", "enter")
    assert window.document.vehicle.readings[-1].value == 13.0


@pytest.mark.parametrize("code", LANGUAGES)
def test_the_decimal_sign_is_that_of_the_language(window: MainWindow, code: Any) -> None:
    window.look.set_language(code)
    window.tasks.show("check")
    page: Any = window.tasks.check
    page._go_to(next(row for row, step in enumerate(page.steps) if step.unit == "V"))
    there = seen_keys(page.frame.keypad)
    sign = "." if code == "en" else ","
    assert sign in there
    assert ("." in there) == (sign == ".")
    finger(page, "1", "2", sign, "4", "enter")
    assert window.document.vehicle.readings[-1].value == pytest.approx(12.4)


def test_a_unit_stands_behind_a_figure_once(window: MainWindow) -> None:
    def usable() -> Callable[[str], bool]:
        pad = pad_keys.of_figure(Style("en"), page.typed, ("mA", "A"))
        keys = {key.cap: key.usable for column in pad.columns for key in column}
        return keys.__getitem__

    window.tasks.show("check")
    page: Any = window.tasks.check
    page._go_to(next(row for row, step in enumerate(page.steps) if step.key == "rest"))
    assert not usable()("mA")
    finger(page, "3", "6", "0")
    assert usable()("mA")
    finger(page, "ma")
    assert not usable()("A")
    finger(page, "enter")
    assert window.document.vehicle.readings[-1].value == pytest.approx(0.36)


def test_where_nothing_is_typed_there_is_no_keypad(window: MainWindow) -> None:
    window.tasks.show("check")
    page: Any = window.tasks.check
    page._go_to(next(row for row, step in enumerate(page.steps) if not step.unit))
    assert not page.frame.keypad.isVisible()
    assert {"+", "-", "enter"} <= set(drawn_keys(page.frame))


def test_a_name_has_its_capitals_and_the_letters_of_its_language() -> None:
    def caps(code: str, *, capital: bool) -> str:
        pad = pad_keys.of_name(code, capital=capital, space=" ")
        return "".join(key.cap for column in pad.columns for key in column)

    assert {"A", "Z", "'", "."} <= set(caps("en", capital=True))
    assert {"Ä", "Ö", "Ü", "ß"} <= set(caps("de", capital=True))
    assert {"é", "ç"} <= set(caps("fr", capital=False))
    assert "ñ" in caps("es", capital=False)
    for code in LANGUAGES:
        columns = pad_keys.of_name(code, capital=True, space=" ").columns
        assert len({len(column) for column in columns}) == 1, "every row is full"


def test_settings_written_before_there_was_a_keypad_are_read(tmp_path: Any) -> None:
    (tmp_path / "settings.json").write_text('{"stage_sound": false}')
    kept = Settings(tmp_path).kept
    assert (kept.stage_sound, kept.stage_pad) == (False, False)
