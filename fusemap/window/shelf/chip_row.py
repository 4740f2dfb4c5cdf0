"""The chips of the strip with what stands behind them: how many more there are, and their menu."""

from typing import TYPE_CHECKING, Final

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QIcon, QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QMenu, QToolButton, QWidget

from fusemap.window.shelf.chips import ChipList
from fusemap.window.shelf.shelf_rows import Mark
from fusemap.window.style.icons import icon
from fusemap.window.style.measures import height, px
from fusemap.window.style.sheet import as_icon, as_link
from fusemap.window.style.signs import verdict_icon
from fusemap.window.style.theme import Theme

if TYPE_CHECKING:
    from fusemap.assess.verdict import Verdict

_WORST: Final[tuple[tuple[Mark, "Verdict"], ...]] = (
    ("fails", "fails"),
    ("may_not_hold", "may_not_hold"),
    ("unchecked", "unchecked"),
    ("loose", "unchecked"),
)
"""Of several marks the first that is there is shown, by this sign."""


class ChipRow(QWidget):
    """A list of chips, “+3 more” where it is too long, and the menu of the chosen one."""

    def __init__(self, chips: ChipList, theme: Theme) -> None:
        super().__init__()
        self.chips = chips
        self._theme = theme
        self.more = self._more_button()
        self.menu_button = self._menu_button()
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(px(self, 8))
        row.addWidget(chips, 1)
        row.addWidget(self.more)
        row.addWidget(self.menu_button)
        chips.setFixedHeight(height(self, "chip") + 2)
        chips.overflowed.connect(self.count_hidden)

    def _more_button(self) -> QToolButton:
        """How many chips there is no room for; pressed it lists them."""
        more = as_link(QToolButton())
        more.setObjectName("shelfMore")
        more.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextBesideIcon)
        more.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        more.setIconSize(QSize(px(self, 16), px(self, 16)))
        more.clicked.connect(self._list_hidden)
        more.hide()
        return more

    def _menu_button(self) -> QToolButton:
        """The menu of the chosen chip, for who looks for it."""
        button = as_icon(QToolButton())
        button.setObjectName("shelfMenu")
        button.setAccessibleName(self.tr("What can be done with the chosen accessory"))
        button.setToolTip(button.accessibleName())
        size = px(self, 18)
        button.setIconSize(QSize(size, size))
        button.setIcon(icon("more", self._theme.colour("text"), size, self.devicePixelRatioF()))
        button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        button.clicked.connect(self._open_menu)
        return button

    def resizeEvent(self, event: QResizeEvent) -> None:
        """More or fewer chips have room."""
        super().resizeEvent(event)
        self.count_hidden()

    def count_hidden(self) -> None:
        """Say how many chips are out of sight, with the mark of the worst of them."""
        gap = px(self, 8)
        room = self.width() - (self.menu_button.sizeHint().width() + gap)
        hidden = self.chips.hidden_in(room)
        if not hidden:
            self.more.hide()
            return
        marks = {self.chips.shelf.rows[row].mark for row in hidden}
        worst = next((sign for mark, sign in _WORST if mark in marks), None)
        size = px(self, 16)
        self.more.setText(" " + self.tr("+{n} more").format(n=len(hidden)))
        self.more.setIcon(verdict_icon(worst, self._theme, size) if worst else QIcon())
        self.more.show()

    def _list_hidden(self) -> None:
        """A menu of the chips out of sight; the one chosen comes into sight."""
        menu = QMenu(self)
        menu.setObjectName("shelfHidden")
        for number in self.chips.out_of_sight():
            row = self.chips.shelf.rows[number]
            words = f"{row.name}, {row.short}" if row.first else row.short
            action = menu.addAction(words.replace("&", "&&"))
            action.triggered.connect(lambda _=False, n=number: self._go_to_chip(n))
        self._pop_up(menu, self.more)

    def _go_to_chip(self, number: int) -> None:
        index = self.chips.shelf.index(number, 0)
        self.chips.setCurrentIndex(index)
        self.chips.scrollTo(index)
        self.chips.setFocus(Qt.FocusReason.OtherFocusReason)

    def _open_menu(self) -> None:
        menu = QMenu(self)
        menu.addActions(self.chips.actions())
        self._pop_up(menu, self.menu_button)

    def _pop_up(self, menu: QMenu, button: QToolButton) -> None:
        """Above its button: the shelf lies at the foot of the window."""
        menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        at = button.mapToGlobal(button.rect().topLeft())
        at.setY(at.y() - menu.sizeHint().height())
        menu.popup(at)
