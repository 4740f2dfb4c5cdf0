"""What waits for a window to be painted: in which order it comes, and that each is seen first."""

from typing import Any

from PySide6.QtGui import QPaintEvent
from PySide6.QtWidgets import QWidget

from fusemap.window.parts.later import FIGURES, REST, VERDICT, Later


class Painted(QWidget):
    """Notes when it is painted."""

    def __init__(self) -> None:
        super().__init__()
        self.told: list[str] = []

    def paintEvent(self, event: QPaintEvent) -> None:
        """One more painting, unless nothing happened since the last."""
        if self.told[-1:] != ["painted"]:
            self.told.append("painted")


def test_figures_verdict_and_rest_each_follow_a_painting_of_what_came_before(qtbot: Any) -> None:
    widget = Painted()
    qtbot.addWidget(widget)
    steps = {"rest": REST, "verdict": VERDICT, "figures": FIGURES}
    for name, after in steps.items():
        later = Later(lambda name=name: widget.told.append(name), widget)
        later.start_when_painted(widget, after)
    widget.show()
    qtbot.waitUntil(lambda: "rest" in widget.told)
    done = [each for each in widget.told if each != "painted"]
    assert done == ["figures", "verdict", "rest"]
    assert widget.told[:6] == ["painted", "figures", "painted", "verdict", "painted", "rest"]


def test_nothing_starts_while_nothing_is_painted(qtbot: Any) -> None:
    widget = Painted()
    qtbot.addWidget(widget)
    Later(lambda: widget.told.append("done"), widget).start_when_painted(widget, FIGURES)
    qtbot.wait(20)
    assert widget.told == []


def test_a_second_start_follows_without_waiting_again(qtbot: Any) -> None:
    widget = Painted()
    qtbot.addWidget(widget)
    later = Later(lambda: widget.told.append("done"), widget)
    later.start_when_painted(widget, FIGURES)
    widget.show()
    qtbot.waitUntil(lambda: "done" in widget.told)
    widget.hide()
    later.start()
    qtbot.waitUntil(lambda: widget.told.count("done") == 2)
