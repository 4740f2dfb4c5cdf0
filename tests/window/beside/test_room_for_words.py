"""What is said on the stage is large enough to be read from a metre and a half."""

from typing import Any

import pytest
from PySide6.QtWidgets import QWidget

from fusemap.window.beside.frame import AT_A_SLOT, ON_A_WAY, READABLE, StageFrame
from fusemap.window.beside.pieces import Entry
from fusemap.window.beside.shown import KeyShown, LastShown, Shown
from fusemap.window.style.theme import PROBE

LONG = (
    "Found: fuse 2 Hazard lamps, socket, 0.17 to 0.35 of 0.35 A (49 to 100 %). 0 to 0.18 A\n"
    "It draws 0.17 A to 0.36 A by its millivolts; with its fuse out the whole tells how much.\n"
    "The meter in line again, red in 10A; then the bridge off."
)
ROWS = tuple(LastShown(name, "0.35 A") for name in ("whole vehicle", "2", "1"))


@pytest.fixture
def frame(qtbot: Any) -> StageFrame:
    made = StageFrame(PROBE, QWidget(), AT_A_SLOT)
    qtbot.addWidget(made)
    made.resize(1366, 660)
    with qtbot.waitExposed(made):
        made.show()
    return made


def show(frame: StageFrame, said: str, rows: tuple[LastShown, ...]) -> None:
    frame.show_stage(Shown(
        state="ASLEEP", how="", progress="", done=0, total=0, question="1", under="", said=said,
        keys=(), last=rows,
    ))  # fmt: skip


def share(frame: StageFrame) -> float:
    return frame.words.share_in(frame.words.width(), frame.words.height())


@pytest.mark.parametrize("rows", range(4))
def test_long_words_are_readable_whatever_was_stored(frame: StageFrame, rows: int) -> None:
    show(frame, LONG, ROWS[:rows])
    assert share(frame) >= READABLE
    assert frame.last.isVisible()
    assert frame.last.geometry().bottom() < frame.picture.geometry().top()
    assert not frame.words.geometry().intersects(frame.last.geometry())
    assert (frame.last.height() > 20) is bool(rows), "the newest row is kept"


def test_short_words_leave_three_rows_in_sight(frame: StageFrame) -> None:
    show(frame, "Round done.", ROWS)
    assert frame.last.height() == pytest.approx(frame.height() * 90 / 768, abs=2)
    top = frame.words.geometry().top()
    show(frame, LONG, ROWS)
    assert frame.words.geometry().top() == top, "what is said begins where it ever does"


def test_the_words_of_a_key_have_room_in_it(frame: StageFrame) -> None:
    """At its end beside the cap, as large as there is room; where that would be small, below it."""
    picture = frame.picture
    keys = (
        KeyShown(
            "enter", "Enter", "go on behind fuse 2", "unplug Phone charger, read again", "main"
        ),
        KeyShown("+", "+", "go on hunting", "read the whole anew", "wide"),
        KeyShown("undo", "/", "back", "one step", "wide"),
        KeyShown("leave", "Esc", "leave", "the hunt is kept", "wide"),
    )
    for wide, sideways in ((1310, True), (1180, True), (640, False)):
        picture.resize(wide, 110)
        picture.show_keys(keys, 1.0)
        share = picture._sideways(keys)
        assert bool(share) is sideways
        places = [place for _, place in picture.places()]
        assert places[-1].right() == pytest.approx(wide, abs=1)
        if sideways:
            for key, place in picture.places():
                assert picture._wide_sideways(key) * share <= place.width() + 1


@pytest.mark.parametrize("high", [400, 470, 660])
def test_a_long_question_on_a_low_stage_is_whole_above_what_to_do(qtbot: Any, high: int) -> None:
    """In large type on a small screen it takes what the lines below it can spare."""
    frame = StageFrame(PROBE, QWidget(), ON_A_WAY)
    qtbot.addWidget(frame)
    font = frame.font()
    font.setPixelSize(27)
    frame.setFont(font)
    frame.resize(1280, high)
    with qtbot.waitExposed(frame):
        frame.show()
    frame.show_stage(Shown(
        state="IGNITION ON", how="", progress="", done=0, total=0,
        question="Stays on with the vehicle’s host fuse out", under="Pull it.", said="", keys=(),
    ))  # fmt: skip
    question, under = frame.question, frame.under
    assert question.share_in(question.width(), question.height()) > 0
    assert under.share_in(under.width(), under.height()) > 0
    assert question.geometry().bottom() <= under.geometry().top() + 1


def test_an_entry_without_any_height_is_painted_all_the_same(qtbot: Any) -> None:
    entry = Entry("probeEntry", "Typed", PROBE)
    qtbot.addWidget(entry)
    entry.set_unit(1.0)
    entry.show_entry("12", "A")
    for high in range(1, 12):
        entry.resize(300, high)
        assert not entry.grab().isNull()
