"""Go to anything by a few letters: actions, slots, accessories, findings, pages of the help.

In: what there is now, as `Goal`s. Out: the goal chosen is done. Letters may be any parts of words;
case and accents do not matter.
"""

import unicodedata
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from typing import Final

from PySide6.QtCore import QCoreApplication, QEvent, QObject, QPoint, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QFrame, QLineEdit, QListWidget, QListWidgetItem, QVBoxLayout

from fusemap.text import run_on
from fusemap.vehicle import look_up
from fusemap.window.action_table import menu_titles, native, plain
from fusemap.window.actions import Actions
from fusemap.window.desk import Desk
from fusemap.window.help.help_tools import HelpTools
from fusemap.window.panel.slot_words import fuse_words, sentence
from fusemap.window.style.theme import severity_shape, space

MOST: Final = 40
"""So many goals are shown at most."""


@dataclass(frozen=True, slots=True)
class Goal:
    """Something to go to or to do: its words, what sort of thing it is, and how it is done."""

    text: str
    sort: str
    do: Callable[[], object]
    hint: str = ""


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
        self.line.setPlaceholderText(self.tr("An action, a slot, an accessory, a finding, help…"))
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
        if self._desk.working:
            yield from _places(self._desk)
        titles = menu_titles()
        for row in self._actions.rows:
            action = self._actions.by_key[row.key]
            if action.isEnabled() and row.entries is None:
                keys = native(row.keys[0]) if row.keys else ""
                path = row.menu.split("/")
                names = [plain(titles["/".join(path[: at + 1])]) for at in range(len(path))]
                text = " ▸ ".join((*names, plain(action.text())))
                yield Goal(text, tr("Action"), action.trigger, keys)
        for title, key in self._help.pages():
            yield Goal(title, tr("Help"), partial(self._help.show_page, key))

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
        for goal in self._shown:
            hint = f"   {goal.hint}" if goal.hint else ""
            self.list.addItem(f"{goal.sort}: {goal.text}{hint}")
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
    words = _folded(text).split()
    found = [g for g in all_goals if all(w in _folded(f"{g.sort} {g.text}") for w in words)]
    if words:
        found.sort(key=lambda goal: not _last(goal).startswith(words[0]))
    return found[:MOST]


def _last(goal: Goal) -> str:
    """What a goal is called itself, without the menus above it."""
    return _folded(goal.text.rpartition(" ▸ ")[2])


def _folded(text: str) -> str:
    apart = unicodedata.normalize("NFKD", text.casefold())
    return "".join(letter for letter in apart if not unicodedata.combining(letter))


def _places(desk: Desk) -> Iterator[Goal]:
    document, style = desk.document, desk.look.theme.style
    for slot in look_up.slots(document.vehicle):
        parts = (look_up.slot_name(slot), slot.circuit, fuse_words(slot, style))
        text = " · ".join(part for part in parts if part)
        yield Goal(text, tr("Slot"), partial(_go, desk, "slot", slot.id))
    for accessory in document.vehicle.accessories:
        do = partial(_go, desk, "accessory", accessory.id)
        yield Goal(accessory.name, tr("Accessory"), do)
    for found in document.findings:
        words = sentence(style.show(run_on(found.where, found.what, between=": ")))
        do = partial(_go, desk, found.place, found.place_id)
        yield Goal(words, severity_shape(found.severity).word, do)


def _go(desk: Desk, kind: str, place_id: str) -> None:
    desk.document.select(kind, place_id)  # type: ignore[arg-type]
    desk.focus_pane("panel" if kind == "slot" else "details")


def tr(text: str) -> str:
    """A text of this module in the user's language."""
    return QCoreApplication.translate("QuickSearch", text)
