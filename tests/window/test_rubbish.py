"""The collector of unreachable objects runs between events."""

import gc
import weakref
from typing import Any

from PySide6.QtCore import QObject

from fusemap.window import rubbish
from fusemap.window.rubbish import Rubbish, collect_some


class Knot:
    """Something only the collector finds."""

    def __init__(self) -> None:
        self.own = self


def test_nothing_is_collected_while_python_runs_and_all_of_it_between_events(
    qtbot: Any, monkeypatch: Any
) -> None:
    monkeypatch.setattr(rubbish, "EVERY_MS", 10)
    parent = QObject()
    Rubbish(parent)
    assert not gc.isenabled()
    knot = weakref.ref(Knot())
    filled = [Knot() for _ in range(3 * gc.get_threshold()[0])]
    assert knot() is not None, "nobody looked yet"
    del filled
    qtbot.waitUntil(lambda: knot() is None)


def test_where_nothing_is_due_nothing_is_done() -> None:
    gc.collect()
    assert collect_some() is None
