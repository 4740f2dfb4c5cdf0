"""A step taken back, or done again, on a page that does not show it: there it is said in words.

In: the window. Out: one step of the history, and on the stages beside the panel a message that
names it: who takes back a figure half typed there may have lost a reading of another page.
"""

from typing import Final

from PySide6.QtCore import QCoreApplication

from fusemap.text import Text
from fusemap.window.action_rows import Window

translate = QCoreApplication.translate
SEEN: Final = ("", "panel", "plan")
"""Stages on which the panel shows what became of it."""


def take_back(window: Window) -> None:
    """Take the last step back."""
    name = window.document.step_name(-1)
    window.document.stack.undo()
    _say(window, translate("TakingBack", "Taken back: {step}"), name)


def do_again(window: Window) -> None:
    """Do the step again that was taken back last."""
    name = window.document.step_name(0)
    window.document.stack.redo()
    _say(window, translate("TakingBack", "Done again: {step}"), name)


def _say(window: Window, words: str, name: Text | str) -> None:
    step = window.look.theme.style.show(name)
    if step and window.tasks.shown not in SEEN:
        window.document.told.emit(words.format(step=step))
