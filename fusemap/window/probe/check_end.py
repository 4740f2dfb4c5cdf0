"""The end of the check: all steps in a list, the count, the signature by a button of its own.

In: the steps and the signatures there are. Out: `chosen(row)` for a step to go to, `signed(name)`
once somebody has pressed the button, and, where steps are open, has been asked. Enter behind the
name goes to the button and never signs. The name can be written with letters to press, too.
"""

from collections.abc import Callable, Sequence
from datetime import datetime

from PySide6.QtCore import QCoreApplication, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHBoxLayout,
    QHeaderView,
    QLineEdit,
    QPushButton,
    QSizePolicy,
    QStackedWidget,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from fusemap.probing import final_check, signing
from fusemap.probing.check_step import CheckStep
from fusemap.vehicle import SignOff, Vehicle
from fusemap.window.beside.keypad import Keypad
from fusemap.window.beside.pad_keys import of_name
from fusemap.window.beside.scale import BODY
from fusemap.window.style.icons import icon
from fusemap.window.style.letters import figure, letters
from fusemap.window.style.measures import em, px
from fusemap.window.style.signs import verdict_icon
from fusemap.window.style.theme import Theme, space
from fusemap.window.texts.plain import plain_label

COLUMNS = 4
LARGE = 17
"""The list's type [px at a font of 14 px]: it is read standing."""


class CheckTable(QTableWidget):
    """A row for each step; the row in hand stays when the steps are made anew."""

    def __init__(self, theme: Theme) -> None:
        super().__init__(0, COLUMNS)
        self._theme = theme
        self.setObjectName("checkTable")
        self.setAccessibleName(self.tr("Steps of the check"))
        self.setHorizontalHeaderLabels(
            [self.tr("Check"), self.tr("Predicted"), self.tr("Measured"), self.tr("Verdict")]
        )
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setTabKeyNavigation(False)
        self.setFont(letters(self, LARGE))
        self.verticalHeader().hide()
        header = self.horizontalHeader()
        header.setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        for column in (0, 1):
            header.setSectionResizeMode(column, QHeaderView.ResizeMode.Stretch)
        rows = self.verticalHeader()
        rows.setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)

    def show_steps(self, steps: Sequence[CheckStep]) -> None:
        """Show these steps, without telling of the rows passed meanwhile."""
        kept = self.currentRow()
        self.blockSignals(True)
        self.setRowCount(len(steps))
        for row, step in enumerate(steps):
            self._fill(row, step)
        self.blockSignals(False)
        self.setCurrentCell(min(max(0, kept), len(steps) - 1), 0)

    def _fill(self, row: int, step: CheckStep) -> None:
        show = self._theme.style.show
        verdict = self._verdict(step)
        words = (show(step.title), show(step.predicted_words), show(step.measured_words), verdict)
        for column, text in enumerate(words):
            item = QTableWidgetItem(text)
            if column == COLUMNS - 1 and verdict and step.expected is not None:
                differs = step.verdict == "differs"
                size = self.fontMetrics().height()
                item.setIcon(verdict_icon("fails" if differs else "holds", self._theme, size))
            self.setItem(row, column, item)

    def _verdict(self, step: CheckStep) -> str:
        if step.verdict == "differs":
            return self.tr("differs")
        if step.verdict == "agrees":
            return self.tr("agrees") if step.expected else self.tr("noted")
        return ""


class CheckEnd(QWidget):
    """The list, the count, the name, the button, and what earlier signatures stand for."""

    chosen = Signal(int)
    signed = Signal(str)
    back = Signal()
    pad_wanted = Signal(bool)
    """The keypad for the name is to be shown, or put away."""

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self._theme = theme
        self._left_open = 0
        self.setObjectName("checkEnd")
        self._build()
        self._lay_out()

    def _build(self) -> None:
        self.table = CheckTable(self._theme)
        self.table.cellDoubleClicked.connect(lambda row, column: self.chosen.emit(row))
        self.tally = plain_label("checkTally")
        self.tally.setFont(figure(self))
        self.by = QLineEdit()
        self.by.setObjectName("checkBy")
        self.by.setAccessibleName(self.tr("Signed by"))
        self.by.setPlaceholderText(self.tr("name"))
        self.by.setMaxLength(80)
        self.by.textChanged.connect(self._show_pad)
        self.letters = self._button("checkLetters", "", lambda: self.pad_wanted.emit(True))
        self.letters.setAccessibleName(self.tr("Letters to press"))
        self.letters.setToolTip(self.letters.accessibleName())
        side = px(self, 20)
        self.letters.setIcon(icon("keypad", self._theme.colour("text"), side))
        self.keypad = Keypad(self._theme, "checkKeypad")
        self.keypad.pressed.connect(self._write)
        self.keypad.closed.connect(lambda: self.pad_wanted.emit(False))
        self.keypad.hide()
        self.sign = self._button("checkSign", self.tr("&Sign the check"), self._sign)
        self.to_steps = self._button("checkBack", self.tr("&Back to the steps"), self.back.emit)
        self.signatures = plain_label("checkSigned")
        self.asking = QWidget()
        self.asking_words = plain_label("checkAsking")
        self.sign_open = self._button("checkSignOpen", self.tr("Sign all the same"), self._now)
        self.go_open = self._button("checkGoOpen", self.tr("Go to an open step"), self._go_open)

    def _button(self, key: str, text: str, do: Callable[[], None]) -> QPushButton:
        button = QPushButton(text)
        button.setObjectName(key)
        button.clicked.connect(lambda: do())
        return button

    def _lay_out(self) -> None:
        edge = space(self, "large")
        asking = QHBoxLayout(self.asking)
        asking.setContentsMargins(0, 0, 0, 0)
        asking.addWidget(self.asking_words, 1)
        # a second click where the first one was signs nothing
        for button in (self.sign_open, self.go_open):
            asking.addWidget(button)
        head = QHBoxLayout()
        head.addWidget(self.tally, 1)
        head.addWidget(self.to_steps)
        self.signing = QWidget()
        signing_ = QHBoxLayout(self.signing)
        signing_.setContentsMargins(0, 0, 0, 0)
        signing_.addWidget(self.by, 1)
        signing_.addWidget(self.letters)
        signing_.addWidget(self.sign)
        self.foot = QStackedWidget()
        """The name and its button, or what is asked first: in the same place, so that nothing
        moves."""
        self.foot.addWidget(self.signing)
        self.foot.addWidget(self.asking)
        self.foot.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
        column = QVBoxLayout(self)
        column.setContentsMargins(edge * 2, edge, edge * 2, edge)
        column.setSpacing(space(self, "medium"))
        column.addLayout(head)
        column.addWidget(self.table, 1)
        column.addWidget(self.foot)
        column.addWidget(self.keypad)
        column.addWidget(self.signatures)

    # --- the name by mouse or touch -------------------------------------------------------------

    def open_pad(self, on: bool) -> None:
        """Show the letters below the name, or put them away."""
        self._pad_open = on
        self._show_pad()

    _pad_open = False

    def _show_pad(self) -> None:
        asking = self.foot.currentWidget() is self.asking
        self.letters.setVisible(not self._pad_open)
        self.keypad.setVisible(self._pad_open and not asking)
        if self._pad_open:
            pad = of_name(self._theme.style.language, capital=self._capital(),
                          space=QCoreApplication.translate("Probe", "Space"))  # fmt: skip
            self.keypad.show_pad(pad, None, em(self) / BODY)

    def _capital(self) -> bool:
        """A name begins with one, and so does each of its parts."""
        before = self.by.text()[: self.by.cursorPosition()]
        return not before[-1:].isalpha()

    def _write(self, key: str) -> None:
        self.by.backspace() if key == "back" else self.by.insert(key)
        self.by.textEdited.emit(self.by.text())  # as if it were typed
        self.by.setFocus()

    # --- showing --------------------------------------------------------------------------------

    def show_check(self, vehicle: Vehicle, steps: Sequence[CheckStep], row: int) -> None:
        """Show the steps, how many agree, and what is signed."""
        self.foot.setCurrentWidget(self.signing)
        self._show_pad()
        self.table.show_steps(steps)
        self.table.setCurrentCell(row, 0)
        count = final_check.tally(tuple(steps))
        self._left_open = count.left_open
        self.tally.setText(
            self.tr("{good} agree, {bad} differ, {left} open").format(
                good=count.agreeing, bad=count.differing, left=count.left_open
            )
        )
        lines = [self._signature(vehicle, each) for each in vehicle.sign_offs[-3:]]
        self.signatures.setText("\n".join(lines))

    def _signature(self, vehicle: Vehicle, sign: SignOff) -> str:
        """Who signed what, and what that says of the plan as it is now."""
        when = self._theme.style.forms.moment(datetime.fromisoformat(sign.when))
        words = self.tr("Signed {when} by {by}: {good} agreed, {bad} differed, {left} open").format(
            when=when, by=sign.by, good=sign.passed,
            bad=sign.differing, left=sign.left_open,
        )  # fmt: skip
        meaning = self._theme.style.show(signing.meaning(vehicle, sign))
        return f"{words}; {meaning}"

    # --- keys -----------------------------------------------------------------------------------

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Enter in the list goes to its step, behind the name to the button; it never signs."""
        key = event.key()
        if key == Qt.Key.Key_Escape:
            self.back.emit()
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            if self.by.hasFocus():
                self.sign.setFocus()
            elif self.table.hasFocus():
                self.chosen.emit(self.table.currentRow())
        else:
            super().keyPressEvent(event)

    def _sign(self) -> None:
        """Sign, or ask first where a step is open; that a name is missing is told by the edit."""
        if not self._left_open or not self.by.text().strip():
            self._now()
            return
        words = self.tr("Steps still open: {n}. The signature says so for good.")
        self.asking_words.setText(words.format(n=self._left_open))
        self.foot.setCurrentWidget(self.asking)
        self._show_pad()
        self.go_open.setFocus()

    @property
    def message_foot(self) -> int:
        """From the name and its button down: they are needed while a message is read [px]."""
        return self.height() - self.foot.y()

    def _now(self) -> None:
        if self.by.text().strip():
            # the button pressed goes away: without this the keyboard falls out of the page
            self.table.setFocus()
        else:
            self.by.setFocus(Qt.FocusReason.OtherFocusReason)
        self.signed.emit(self.by.text())

    def _go_open(self) -> None:
        self.foot.setCurrentWidget(self.signing)
        self._show_pad()
        self.chosen.emit(-1)
