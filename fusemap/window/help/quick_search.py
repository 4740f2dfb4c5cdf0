"""Go to anything by a few letters: actions, places, kinds, fields, readings, words, the help.

In: what there is now, as `Goal`s. Out: the goal chosen is done. Letters may be any parts of words;
case and accents do not matter.
"""

from collections.abc import Iterator, Sequence
from typing import Final

from PySide6.QtCore import QEvent, QObject, QPoint, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QFrame, QLineEdit, QListWidget, QListWidgetItem, QVBoxLayout

from fusemap.text import run_on
from fusemap.window.actions import Actions
from fusemap.window.desk import Desk
from fusemap.window.help.goals import Goal, goals
from fusemap.window.help.help_tools import HelpTools
from fusemap.window.style.theme import space
from fusemap.window.texts.folded import folded

MOST: Final = 40
"""So many goals are shown at most."""


class QuickSearch(QFrame):
    """A line to type in over the list of what fits; Enter goes there, Escape closes."""

    def __init__(self, desk: Desk, actions: Actions, help: HelpTools) -> None:
        super().__init__(desk.window, Qt.WindowType.Popup)
        self._desk = desk
        self._actions = actions
        self._help = help
        self._goals: tuple[Goal, ...] = ()
        self._shown: list[Goal] = []
        self.setObjectName("quickSearch")
        self.setFrameShape(QFrame.Shape.StyledPanel)
        self.setAccessibleName(self.tr("Go to anything"))
        self.line = QLineEdit()
        self.line.setObjectName("quickSearchLine")
        self.line.setAccessibleName(self.tr("Go to anything"))
        self.line.setPlaceholderText(
            self.tr("A slot, an accessory, a field, a word, what is to be done…")
        )
        self.line.textChanged.connect(self._narrow)
        self.line.installEventFilter(self)
        self.list = QListWidget()
        self.list.setObjectName("quickSearchList")
        self.list.setAccessibleName(self.tr("What fits"))
        self.list.itemActivated.connect(self._item_chosen)
        self.list.itemClicked.connect(self._item_chosen)
        column = QVBoxLayout(self)
        column.setContentsMargins(*(space(self, "medium"),) * 4)
        column.addWidget(self.line)
        column.addWidget(self.list)

    def open(self) -> None:
        """Show it over the window, with everything there is."""
        self._goals = tuple(self.goals())
        self.line.clear()
        self._narrow("")
        em = self.fontMetrics().height()
        window = self._desk.window
        self.resize(min(em * 40, window.width() * 9 // 10), min(em * 26, window.height() * 3 // 4))
        self.move(window.mapToGlobal(QPoint((window.width() - self.width()) // 2, em * 4)))
        self.show()
        self.line.setFocus()

    def goals(self) -> Iterator[Goal]:
        """Everything one can go to now."""
        return goals(self._desk, self._actions, self._help)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """The keys of the list work from the line."""
        if isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress:
            key = event.key()
            if key in (Qt.Key.Key_Down, Qt.Key.Key_Up):
                step = 1 if key == Qt.Key.Key_Down else -1
                count = max(1, self.list.count())
                self.list.setCurrentRow((self.list.currentRow() + step) % count)
                return True
            if key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
                self.choose(self.list.currentRow())
                return True
        return super().eventFilter(watched, event)

    def choose(self, row: int) -> None:
        """Go to the goal of a row."""
        if 0 <= row < len(self._shown):
            goal = self._shown[row]
            self.close()
            goal.do()

    def _item_chosen(self, item: QListWidgetItem) -> None:
        self.choose(self.list.row(item))

    def _narrow(self, text: str) -> None:
        self._shown = fitting(self._goals, text)
        self.list.clear()
        style = self._desk.look.theme.style
        for goal in self._shown:
            hint = f"   {goal.hint}" if goal.hint else ""
            words = style.show(run_on(goal.sort, goal.text, between=": "))
            self.list.addItem(f"{words}{hint}")
        if not self._shown:
            nothing = QListWidgetItem(self.tr("Nothing fits"))
            nothing.setFlags(Qt.ItemFlag.NoItemFlags)
            self.list.addItem(nothing)
        self.list.setCurrentRow(0)


def fitting(all_goals: Sequence[Goal], text: str) -> list[Goal]:
    """The goals that have every word typed in them, those that begin with the first one first.

    >>> def nothing() -> None: ...
    >>> goals = [Goal("Reading lamp", "Slot", nothing), Goal("Lamp", "Slot", nothing)]
    >>> [goal.text for goal in fitting(goals, "lám")]
    ['Lamp', 'Reading lamp']
    """
    words = folded(text).split()
    if not words:
        return list(all_goals[:MOST])
    ranked = [(_rank(goal, words), goal) for goal in all_goals]
    found = [(rank, goal) for rank, goal in ranked if rank is not None]
    found.sort(key=lambda pair: pair[0])
    return [goal for _, goal in found[:MOST]]


def _rank(goal: Goal, words: list[str]) -> int | None:
    """How well a goal fits, 0 best: by the beginning of its name, its words, its other words."""
    shown = folded(f"{goal.sort} {goal.text}")
    if all(word in shown for word in words):
        return 0 if _begins(goal, words[0]) else 1
    known = f" {shown} {folded(goal.also)}"
    # of what is not shown a word has to begin so: else a long text fits any letters
    return 2 if all(word in shown or f" {word}" in known for word in words) else None


def _begins(goal: Goal, word: str) -> bool:
    """Whether a part of what a goal is called itself, without the menus above it, begins so."""
    own = goal.text.rpartition(" ▸ ")[2]
    return any(folded(part).startswith(word) for part in own.split(" · "))
