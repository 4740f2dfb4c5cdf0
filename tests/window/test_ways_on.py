"""A slot of which nobody knows when it is live: who knows it chooses a word, not a number."""

from typing import Any

import pytest
from PySide6.QtCore import QRect

from fusemap.text import say
from fusemap.vehicle import edits
from fusemap.vehicle.words import FEED
from fusemap.window.document import Document
from fusemap.window.main_window import MainWindow
from fusemap.window.panel.panel_drop import Payload, Stuck
from fusemap.window.panel.ways_on import LIVE
from fusemap.window.settings import Settings


@pytest.mark.parametrize("language", ["en", "de", "fr", "nl", "es"])
@pytest.mark.parametrize("size", [(1280, 720), (1600, 1000)])
def test_each_feed_stands_there_with_its_word_whole_beside_its_number(
    qtbot: Any, van: Any, language: str, size: tuple[int, int]
) -> None:
    window = MainWindow(Document(), Settings())
    qtbot.addWidget(window, before_close_func=lambda w: w.document.stack.setClean())
    window.document.set_vehicle(edits.change_slot(van, "slot-8", feed_class="unknown"))
    window.look.set_language(language)
    try:
        window.resize(*size)
        window.show()
        window.show_work()
        ways = window.work.ways
        ways.show_for(Stuck(Payload(accessory="accessory-2"), "slot-8", "Cool box", say("no"), ()))
        qtbot.wait(50)
        show = window.look.theme.style.show
        for feed_class in LIVE:
            button = ways.feeds[feed_class]
            assert show(FEED[feed_class].label) in button.text()
            assert show(FEED[feed_class].meaning) in button.toolTip()
            assert not button.icon().isNull()
            assert button.width() >= button.sizeHint().width(), "its word is cut"
            inside = button.parentWidget().rect()
            assert inside.contains(QRect(button.pos(), button.size()))
    finally:
        window.look.set_language("en")


def test_no_mark_of_a_feed_touches_its_word(qtbot: Any, van: Any) -> None:
    window = MainWindow(Document(), Settings())
    qtbot.addWidget(window, before_close_func=lambda w: w.document.stack.setClean())
    window.document.set_vehicle(van)
    window.show()
    window.show_work()
    for button in window.work.ways.feeds.values():
        room = button.iconSize()
        mark = button.icon().pixmap(room, 1.0).toImage()
        air = range(room.width() - max(2, room.height() // 8), room.width())
        inked = [x for x in air for y in range(mark.height()) if mark.pixelColor(x, y).alpha()]
        assert inked == [], button.objectName()
