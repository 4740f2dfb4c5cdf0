"""The rail at the head of the window: the job's stages with their states, and the one next step.

In: what `JobState` knows. Out: `stage_wanted`, `step_wanted`, `menu_wanted`. Arrow keys walk along
the stages, Enter goes there. Where room is short something yields, in the order of `ROOMS`; where
the next step would be cut, it stands in a line of its own below. The way to each stage and to the
next step never yields.
"""

from typing import TYPE_CHECKING, Final, NamedTuple

from PySide6.QtCore import QEvent, QSize, Qt, Signal
from PySide6.QtGui import QAction, QFontMetrics, QResizeEvent
from PySide6.QtWidgets import (
    QButtonGroup,
    QFrame,
    QHBoxLayout,
    QLabel,
    QToolButton,
    QVBoxLayout,
)

from fusemap.text import Text
from fusemap.window.frame.rail_buttons import (
    IN_TWO_LINES,
    KEYS,
    NextButton,
    StageButton,
    stage_name,
)
from fusemap.window.style import icons
from fusemap.window.style.letters import letters
from fusemap.window.style.measures import height, px
from fusemap.window.style.theme import Theme
from fusemap.window.texts.plain import plain_tip

if TYPE_CHECKING:
    from fusemap.job import StageState


HIGH, HIGH_WITH_STEP = 56, 68
"""How high the rail is, and where the next step has a line of its own [px of the design]."""


class Room(NamedTuple):
    """What is shown at a width: the vehicle's name, the stages' states, their names (or numbers,
    but for the one in hand), all in small letters or not, and how much of the next step's one
    line there must be room for."""

    name: bool
    states: bool
    stages: bool
    small: bool
    step: float


ROOMS: Final = (
    Room(name=True, states=True, stages=True, small=False, step=1.0),
    Room(name=True, states=True, stages=True, small=False, step=IN_TWO_LINES),
    Room(name=False, states=True, stages=True, small=False, step=IN_TWO_LINES),
    Room(name=False, states=False, stages=True, small=False, step=0.0),
)
"""From much room to little, the next step beside the stages."""
BELOW: Final = (
    Room(name=False, states=False, stages=True, small=False, step=0.0),
    Room(name=False, states=False, stages=True, small=True, step=0.0),
    Room(name=False, states=False, stages=False, small=True, step=0.0),
)
"""The same where the next step has a line of its own."""
STEP_LEAST: Final = 300
"""With less room beside the stages the next step goes below them [px of the design]: by the width
alone, so that no other step moves the page."""


class Rail(QFrame):
    """One row: menu, vehicle, stages, next step, undo, search."""

    stage_wanted = Signal(str)
    step_wanted = Signal()
    menu_wanted = Signal()

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self.theme = theme
        self._states: tuple[StageState, ...] = ()
        self.setObjectName("rail")
        self.setAccessibleName(self.tr("The job"))
        self.setAutoFillBackground(True)
        self.menu = self._icon_button("railMenu", self.tr("Menu"))
        self.menu.clicked.connect(self.menu_wanted)
        self.name = QLabel()
        self.name.setObjectName("railVehicle")
        self.name.setTextFormat(Qt.TextFormat.PlainText)
        self.stages = {key: StageButton(key, theme) for key in KEYS}
        self._group = QButtonGroup(self)
        for button in self.stages.values():
            self._group.addButton(button)
            button.wanted.connect(self.stage_wanted)
            button.walked.connect(self._walk)
        self.next = NextButton(theme)
        self.next.clicked.connect(self.step_wanted)
        self.undo = self._icon_button("railUndo", "")
        self.search = self._icon_button("railSearch", "")
        self._full_name = ""
        self._lay_out()
        self.set_theme(theme)

    def _icon_button(self, key: str, name: str) -> QToolButton:
        button = QToolButton()
        button.setObjectName(key)
        button.setAccessibleName(name)
        button.setToolTip(name)
        button.setAutoRaise(True)
        button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        return button

    def _lay_out(self) -> None:
        edge = px(self, 8)
        column = QVBoxLayout(self)
        column.setContentsMargins(edge, 0, edge, 0)
        column.setSpacing(0)
        self._row = row = QHBoxLayout()
        row.setSpacing(px(self, 4))
        column.addLayout(row, 1)
        row.addWidget(self.menu)
        row.addWidget(self.name)
        row.addSpacing(px(self, 4))
        for button in self.stages.values():
            row.addWidget(button)
        row.addStretch(1)
        for part in (self.next, self.undo, self.search):
            row.addWidget(part)
        self.below = False
        """Whether the next step stands below the stages."""
        self.setFixedHeight(px(self, HIGH))

    def set_theme(self, theme: Theme) -> None:
        """Draw in another theme."""
        self.theme = theme
        size = px(self, 18)
        for button, icon in ((self.menu, "menu"), (self.undo, "undo"), (self.search, "search")):
            button.setIcon(icons.icon(icon, theme.colour("text"), size))
            button.setIconSize(QSize(size, size))
            button.setFixedSize(height(self, "icon"), height(self, "icon"))
        for key, stage in self.stages.items():
            stage.theme = theme
            stage.setText(stage_name(key))  # the language may be another, too
        self.next.theme = theme
        self.setAccessibleName(self.tr("The job"))
        self.menu.setAccessibleName(self.tr("Menu"))
        self.menu.setToolTip(self.tr("Menu"))
        self.setStyleSheet(
            f"QFrame#rail {{ background: {theme.base}; border: none;"
            f" border-bottom: 1px solid {theme.line}; }}"
            f"QLabel#railVehicle {{ color: {theme.text}; font-weight: 600; }}"
            "QFrame#rail QToolButton { border: none; border-radius: 6px; background: transparent; }"
            f"QFrame#rail QToolButton:hover {{ background: {theme.raised}; }}"
            f"QFrame#rail QToolButton:focus {{ border: 2px solid {theme.accent}; }}"
        )
        self.say_actions()  # what cannot be done now is dim in this theme, too

    def take_actions(self, undo: QAction, search: QAction) -> None:
        """The icon buttons do, and say, what these actions of the menu do."""
        for button, action in ((self.undo, undo), (self.search, search)):
            button.setDefaultAction(action)
            button.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonIconOnly)
            action.setIconVisibleInMenu(False)
            # whatever the action tells, the button takes its icon from it again
            action.changed.connect(self.say_actions)
        self.say_actions()

    def say_actions(self) -> None:
        """An action's own icon is none: the button keeps its own, and its action's words."""
        theme = self.theme
        for button, icon in ((self.undo, "undo"), (self.search, "search")):
            role = "text" if button.isEnabled() else "frame"
            button.setIcon(icons.icon(icon, theme.colour(role), px(self, 18)))
            button.setAccessibleName(button.text().replace("&", ""))

    # --- what is shown --------------------------------------------------------------------------

    def show_vehicle(self, name: str) -> None:
        """Say whose job it is; most edits leave its name alone."""
        if name == self._full_name:
            return
        self._full_name = name
        self.name.setToolTip(plain_tip(name))
        self._give_room()

    def show_job(self, states: "tuple[StageState, ...]", step: Text | None) -> None:
        """The stages with their states and the next step; none, and dots, while it is reckoned."""
        known = {state.stage: state for state in states}
        for key, button in self.stages.items():
            button.show_state(known.get(key))  # type: ignore[call-overload]
        self.next.show_words(None if step is None else self.theme.style.show(step))
        if states or step is not None:  # while they are reckoned, all keep their room
            self._give_room()

    def show_stage(self, key: str) -> None:
        """Fill the stage that is shown; none where the window shows none."""
        self._group.setExclusive(False)
        for name, button in self.stages.items():
            button.setChecked(name == key)
            # one stop for the Tab key, as for any row of tabs
            one = name == key or (key not in self.stages and name == KEYS[0])
            policy = Qt.FocusPolicy.StrongFocus if one else Qt.FocusPolicy.ClickFocus
            button.setFocusPolicy(policy)
        self._group.setExclusive(key in self.stages)
        self._give_room()

    def _walk(self, key: str, by: int) -> None:
        at = (KEYS.index(key) + by) % len(KEYS)
        self.stages[KEYS[at]].setFocus(Qt.FocusReason.TabFocusReason)

    # --- who yields -----------------------------------------------------------------------------

    def minimumSizeHint(self) -> QSize:
        """Any window is wide enough: what there is no room for yields."""
        return QSize(px(self, 200), self._high())

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Another width: another one yields."""
        super().resizeEvent(event)
        self._give_room()

    def changeEvent(self, event: QEvent) -> None:
        """Another font: other heights."""
        super().changeEvent(event)
        if event.type() == QEvent.Type.FontChange:
            self.setFixedHeight(self._high())

    def _high(self) -> int:
        return px(self, HIGH_WITH_STEP if self.below else HIGH)

    def _give_room(self) -> None:
        """Leave out what there is no room for, in the order that hurts least."""
        self._show_room(ROOMS[-1])
        self._put_step(below=self.width() - self._need() < px(self, STEP_LEAST))
        for room in BELOW if self.below else ROOMS:
            self._show_room(room)
            beside = 0 if self.below else self.next.width_for(room.step)
            if self._need() + beside <= self.width():
                break
        for button in self.stages.values():
            button.updateGeometry()
            button.update()
        self._widen_step()
        column = self.layout()
        if column is not None:
            column.activate()  # else the step lies over what is beside it until the next event

    def _show_room(self, room: Room) -> None:
        """Leave out what this room has no place for."""
        words = QFontMetrics(letters(self, strong=True))
        name = words.elidedText(self._full_name, Qt.TextElideMode.ElideRight, px(self, 220))
        for button in self.stages.values():
            button.with_state = room.states
            button.by_name = room.stages or button.isChecked()
            button.small = room.small
        self.name.setText(name if room.name else "")
        self.name.setVisible(bool(room.name and name))

    def _put_step(self, *, below: bool) -> None:
        """The next step beside the stages, or in a line of its own below them."""
        column = self.layout()
        if below == self.below or not isinstance(column, QVBoxLayout):
            return
        self.below = below
        (self._row if below else column).removeWidget(self.next)
        if below:
            column.addWidget(self.next)
        else:
            self._row.insertWidget(self._row.indexOf(self.undo), self.next)
        edge = px(self, 8)
        column.setContentsMargins(edge, 0, edge, px(self, 2) if below else 0)
        self.next.low = below
        for button in self.stages.values():
            button.low = below
        self.next.setFixedHeight(self.next.high())
        self.setFixedHeight(self._high())

    def _widen_step(self) -> None:
        """As wide as its words, as far as there is room."""
        room = self.width() - (px(self, 16) if self.below else self._need())
        self.next.setFixedWidth(max(self.next.width_for(0.0), min(self.next.width_for(1.0), room)))

    def _need(self) -> int:
        """What everything but the next step takes [px]."""
        name = self.name.sizeHint().width() + px(self, 4) if self.name.text() else 0
        stages = sum(button.sizeHint().width() for button in self.stages.values())
        icons = height(self, "icon") * 3
        return name + stages + icons + px(self, 4) * 11 + px(self, 8) * 2
