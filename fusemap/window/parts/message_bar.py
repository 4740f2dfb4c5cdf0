"""The quiet card over the foot of the window, and the line at its head for what goes on.

The card says why something was refused, and what to do about it. It lies over what it is the child
of and moves nothing there. It takes no focus and stops nothing; Escape or its button closes it, and
the next step that works; what was only done goes by itself. Where there is something to choose, a
button for each choice stands in it.
"""

from collections.abc import Callable, Iterator, Sequence
from functools import partial
from typing import Final, Protocol, runtime_checkable

from PySide6.QtCore import QEvent, QObject, QPoint, QRect, Qt, QTimer, Signal
from PySide6.QtGui import QAccessible, QAccessibleEvent, QEnterEvent
from PySide6.QtWidgets import (
    QFrame,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QSizePolicy,
    QToolButton,
    QWidget,
)

from fusemap.errors import FusemapError
from fusemap.text import Style, run_on
from fusemap.window.style.measures import height, px
from fusemap.window.style.sheet import as_link
from fusemap.window.style.theme import Theme, severity_icon, space
from fusemap.window.texts.plain import plain_label
from fusemap.window.texts.sentences import sentence, stopped

Choice = tuple[str, Callable[[], object]]
"""What a button says, and what it calls; the message is taken away first."""
WIDE: Final = 760
"""It is no wider; longer words wrap [px of the design]."""
STAYS_MS: Final = 5000
"""Good news is to be read for so long [ms]."""


@runtime_checkable
class KeepsClear(Protocol):
    """A page with parts that a message must not lie over."""

    @property
    def clear_of_messages(self) -> tuple[QWidget, ...]:
        """Those parts; one that is not shown counts for nothing."""


MOVES: Final = (QEvent.Type.Resize, QEvent.Type.Move, QEvent.Type.Show, QEvent.Type.Hide)


class MessageBar(QFrame):
    """Shows one message at a time, or nothing, over `under`.

    `clear` tells what of it is to stay free: the bar lies as low as that lets it.
    """

    closed = Signal()

    def __init__(
        self, theme: Theme, under: QWidget, clear: Callable[[], tuple[QWidget, ...]] = lambda: ()
    ) -> None:
        super().__init__(under)
        self._theme = theme
        self._under = under
        self._clear = clear
        self._read = QTimer(self)
        self._read.setSingleShot(True)
        self._read.timeout.connect(self.clear)
        self._passing = False
        under.installEventFilter(self)
        self.setObjectName("messageBar")
        self.setAccessibleName(self.tr("Message"))
        self._error: FusemapError | None = None
        self._icon = QLabel()
        self._text = QLabel()
        self._text.setObjectName("messageText")
        self._text.setWordWrap(True)
        self._text.setTextFormat(Qt.TextFormat.PlainText)
        self._text.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        self._text.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        self._close = as_link(QToolButton())
        self._close.setObjectName("messageClose")
        self._name_close()
        self._close.setAutoRaise(True)
        self._close.clicked.connect(self.clear)
        row = QHBoxLayout(self)
        row.setContentsMargins(*(space(self, "medium"),) * 4)
        row.setSpacing(space(self, "medium"))
        row.addWidget(self._icon)
        row.addWidget(self._text, 1)
        self._choices = QHBoxLayout()
        row.addLayout(self._choices)
        row.addWidget(self._close)
        self.hide()

    @property
    def text(self) -> str:
        """The message shown; empty when there is none."""
        return self._text.text() if not self.isHidden() else ""

    def set_theme(self, theme: Theme) -> None:
        """Draw in another theme from the next message on; say an error in the language there is."""
        self._theme = theme
        self._name_close()
        if self._error is not None and not self.isHidden():
            self._put(error_words(self._error, theme.style))
            self.lie_at_the_foot()

    def _name_close(self) -> None:
        self._close.setText(self.tr("Close"))
        self._close.setAccessibleName(self.tr("Close the message"))

    def show_error(self, error: FusemapError, choices: Sequence[Choice] = ()) -> None:
        """Say what is wrong, where, and what to do; offer the choices there are."""
        self._error = error
        self._say(error_words(error, self._theme.style), "stop", choices)

    def show_note(self, text: str, choices: Sequence[Choice] = ()) -> None:
        """Say that something was done; offer the choices there are."""
        self._error = None
        self._say(text, "note", choices)

    def clear(self) -> None:
        """Take the message away."""
        self._read.stop()
        if not self.isHidden():
            self.hide()
            self.closed.emit()

    def _say(self, text: str, kind: str, choices: Sequence[Choice] = ()) -> None:
        self.offer(choices)
        severity = "stop" if kind == "stop" else "note"
        size = self.fontMetrics().height()
        icon = severity_icon(severity, self._theme, size, self.devicePixelRatioF())  # type: ignore[arg-type]
        self._icon.setPixmap(icon.pixmap(size, size))
        self._put(text)
        self.setProperty("kind", kind)
        self.style().unpolish(self)
        self.style().polish(self)
        self._passing = kind == "note"
        self._count_down()
        self.show()
        self.lie_at_the_foot()
        QAccessible.updateAccessibility(QAccessibleEvent(self, QAccessible.Event.Alert))

    def _put(self, text: str) -> None:
        self._text.setText(text)
        self.setAccessibleDescription(text)

    # --- where it lies, and how long ------------------------------------------------------------

    def lie_at_the_foot(self) -> None:
        """A card in the middle, as large as its words need, over everything else."""
        gap = px(self, 12)
        wide = min(self._words_width(), px(self, WIDE), self._under.width() - 2 * gap)
        high = max(self.heightForWidth(wide), height(self, "message"))
        left = (self._under.width() - wide) // 2
        card = QRect(left, self._under.height() - gap - high, wide, high)
        for part in sorted(self._kept_clear(), key=QRect.bottom, reverse=True):
            if part.intersects(card):
                card.moveBottom(part.top() - 1 - gap)
        card.moveTop(max(0, card.top()))
        self.setGeometry(card)
        self.raise_()

    def _kept_clear(self) -> Iterator[QRect]:
        """Where the parts stand that stay free; the bar follows them."""
        for part in self._clear():
            part.installEventFilter(self)
            if part.isVisible():
                yield QRect(part.mapTo(self._under, QPoint(0, 0)), part.size())

    def _words_width(self) -> int:
        """How wide it is with its words in one line [px]."""
        layout = self.layout()
        assert layout is not None
        words = self._text.fontMetrics().horizontalAdvance(self._text.text())
        beside = layout.sizeHint().width() - self._text.sizeHint().width()
        return words + beside + px(self, 8)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Follow what is below it, and what stays free of it; no event is held back."""
        if event.type() in MOVES and not self.isHidden():
            self.lie_at_the_foot()
        return False

    def enterEvent(self, event: QEnterEvent) -> None:
        """Who points at it is reading it."""
        super().enterEvent(event)
        self._read.stop()

    def leaveEvent(self, event: QEvent) -> None:
        """Good news may go again."""
        super().leaveEvent(event)
        self._count_down()

    def _count_down(self) -> None:
        if self._passing:
            self._read.start(STAYS_MS)
        else:
            self._read.stop()

    # --- its buttons ----------------------------------------------------------------------------

    def offer(self, choices: Sequence[Choice]) -> None:
        """A button for each choice, in place of those there were."""
        while (old := self._choices.takeAt(0)) is not None:
            if (button := old.widget()) is not None:
                button.hide()
                button.deleteLater()
        for number, (text, do) in enumerate(choices):
            made = QPushButton(text)
            made.setObjectName(f"messageChoice{number}")
            made.setMinimumWidth(height(made, "button"))
            # A click leaves the keyboard where it is: the button is gone right after.
            made.setFocusPolicy(Qt.FocusPolicy.TabFocus)
            made.clicked.connect(partial(self._chosen, do))
            self._choices.addWidget(made)
            made.show()
        if not self.isHidden():
            self.lie_at_the_foot()  # the words have less room beside them

    def _chosen(self, do: Callable[[], object], checked: bool = False) -> None:
        self.clear()
        do()


class StandingMark(QFrame):
    """A line at the head of the window that stays as long as something is amiss, or nothing.

    What goes on takes room of its own, so that nothing is covered, on every page. It takes no focus
    and stops nothing.
    """

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self.setObjectName("standingMark")
        self._theme = theme
        self._trouble: FusemapError | None = None
        self._icon = QLabel()
        self._words = plain_label("standingWords")
        row = QHBoxLayout(self)
        row.setContentsMargins(*(space(self, "medium"),) * 4)
        row.setSpacing(space(self, "medium"))
        row.addWidget(self._icon, 0, Qt.AlignmentFlag.AlignTop)
        row.addWidget(self._words, 1)
        self._draw()
        self._say()
        self.hide()

    @property
    def text(self) -> str:
        """What is amiss; empty when nothing is."""
        return "" if self.isHidden() else self._words.text()

    def set_theme(self, theme: Theme) -> None:
        """Draw in another theme, and say it in the language there is now."""
        self._theme = theme
        self._draw()
        self._say()

    def show_trouble(self, trouble: FusemapError | None) -> None:
        """Say what is amiss, or with `None` that nothing is any more."""
        self._trouble = trouble
        self._say()
        self.setVisible(trouble is not None)
        if trouble is not None:
            QAccessible.updateAccessibility(QAccessibleEvent(self, QAccessible.Event.Alert))

    def _say(self) -> None:
        words = error_words(self._trouble, self._theme.style) if self._trouble is not None else ""
        self._words.setText(words)
        self.setAccessibleName(self.tr("Not in order"))
        self.setAccessibleDescription(words)

    def _draw(self) -> None:
        size = self.fontMetrics().height()
        icon = severity_icon("stop", self._theme, size, self.devicePixelRatioF())
        self._icon.setPixmap(icon.pixmap(size, size))


def error_words(error: FusemapError, style: Style) -> str:
    """What is wrong, where, and what to do, as sentences."""
    what, remedy = map(style.show, (error.what, error.remedy))
    if error.where:
        what = style.show(run_on(error.where, stopped(what), between=": "))
    else:
        what = sentence(what)
    return what + (f" {sentence(remedy)}" if remedy else "")
