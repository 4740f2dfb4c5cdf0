"""The buttons of the rail: a stage with its state, and the next step. Both draw themselves.

In: a stage's state, a step in words. Out: what is wanted, and where the arrow keys walk.
"""

from typing import TYPE_CHECKING, Final

from PySide6.QtCore import QCoreApplication, QEvent, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QEnterEvent, QFont, QFontMetrics, QKeyEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QAbstractButton, QSizePolicy

from fusemap.window.parts.leading import LeadingButton
from fusemap.window.style.bars import draw_dots
from fusemap.window.style.icons import draw_icon
from fusemap.window.style.letters import BODY, SMALL, letters
from fusemap.window.style.measures import px
from fusemap.window.style.signs import draw_tick
from fusemap.window.style.theme import Theme
from fusemap.window.texts.plain import plain_tip

if TYPE_CHECKING:
    from fusemap.job import StageState

KEYS: Final = ("panel", "probe", "plan", "standing", "paper", "check")
"""The stages in the order of the job."""
IN_TWO_LINES: Final = 0.56
"""So much of the width of its one line the next step needs in two lines of small letters."""


def tr(text: str) -> str:
    """A text of this module in the user's language."""
    return QCoreApplication.translate("Rail", text)


def stage_name(key: str) -> str:
    """A stage by name."""
    return {
        "panel": tr("Panel"),
        "probe": tr("Probe"),
        "plan": tr("Plan"),
        "standing": tr("Standing"),
        "paper": tr("Paper"),
        "check": tr("Check"),
        "hunt": tr("What drains it"),
        "crank": tr("One start, with a meter"),
    }[key]


class StageButton(QAbstractButton):
    """One stage: its name with a tick when it is done, its state below."""

    wanted = Signal(str)
    walked = Signal(str, int)
    """From this stage one on along the row, or with −1 one back."""

    def __init__(self, key: str, theme: Theme) -> None:
        super().__init__()
        self.key = key
        self.theme = theme
        self.with_state = True
        self.by_name = True
        """Shown by its name, not by its number."""
        self.small = False
        self.low = False
        """As high as one line, where the next step has a line of its own below."""
        self._state: StageState | None = None
        self._words = ""
        self._held = ("", False)
        """Its last words, and whether with a tick: it keeps their room while it is reckoned."""
        self.setObjectName(f"stage_{key}")
        self.setCheckable(True)
        self.setText(stage_name(key))
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self.setMouseTracking(True)
        self.clicked.connect(lambda: self.wanted.emit(self.key))
        self.show_state(None)

    @property
    def words(self) -> str:
        """The state as it is written; empty while it is reckoned."""
        return self._words

    @property
    def done(self) -> bool:
        """Whether the stage has its tick."""
        return self._state is not None and self._state.done

    @property
    def shown(self) -> str:
        """What is written on it: its name, or its number where room is short."""
        return self.text() if self.by_name else str(KEYS.index(self.key) + 1)

    def _letters(self) -> QFont:
        return letters(self, SMALL if self.small else BODY, strong=True)

    def show_state(self, state: "StageState | None") -> None:
        """Say how far this stage is."""
        self._state = state
        known = state is not None and state.words is not None
        self._words = self.theme.style.show(state.words) if known else ""  # type: ignore[union-attr,arg-type]
        if known:
            self._held = (self._words, self.done)
        said = self._words or self.tr("being reckoned")
        said = self.tr("{state}, done").format(state=said) if self.done else said
        number = KEYS.index(self.key) + 1
        self.setAccessibleName(self.text())
        self.setAccessibleDescription(said)
        self.setToolTip(plain_tip(f"{self.text()}: {said} (Alt+{number})"))
        self.updateGeometry()
        self.update()

    def sizeHint(self) -> QSize:
        """As wide as the longer of its two lines."""
        words, done = self._held
        title = QFontMetrics(self._letters()).horizontalAdvance(self.shown)
        if done:
            title += px(self, 18)
        state = 0
        if self.with_state:
            small = QFontMetrics(letters(self, SMALL))
            state = max(small.horizontalAdvance(words), px(self, 30))
        return QSize(max(title, state) + 2 * self._edge(), px(self, 30 if self.low else 44))

    def _edge(self) -> int:
        """Left and right of the words [px]."""
        return px(self, 7 if self.small else 11)

    def minimumSizeHint(self) -> QSize:
        """It is never cut."""
        return self.sizeHint()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Arrow keys walk, Enter goes there."""
        by = {Qt.Key.Key_Left: -1, Qt.Key.Key_Right: 1}.get(Qt.Key(event.key()))
        if by is not None:
            self.walked.emit(self.key, by)
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.click()
        else:
            super().keyPressEvent(event)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Two lines, on the accent where it is the stage that is shown."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        inside = QRectF(self.rect()).adjusted(1, 1, -1, -1)
        self._draw_ground(painter, inside)
        on = self.isChecked()
        ink = self.theme.colour("accent_text" if on else "text")
        second = self.theme.colour("accent_text" if on else "muted_text")
        left = self._edge()
        line = inside.height() / 2
        top = QRectF(left, inside.top() + px(self, 3), inside.width(), line - px(self, 2))
        if not self.with_state:
            top = QRectF(left, inside.top(), inside.width(), inside.height())
        painter.setFont(self._letters())
        painter.setPen(ink)
        painter.drawText(top, Qt.AlignmentFlag.AlignVCenter, self.shown)
        if self.done:
            at = left + painter.fontMetrics().horizontalAdvance(self.shown) + px(self, 5)
            size = px(self, 12)
            draw_tick(painter, QRectF(at, top.center().y() - size / 2, size, size), ink)
        if self.with_state:
            below = QRectF(left, inside.top() + line - px(self, 1), inside.width(), line)
            painter.setFont(letters(self, SMALL))
            painter.setPen(second)
            if self._words:
                painter.drawText(below, Qt.AlignmentFlag.AlignVCenter, self._words)
            else:
                draw_dots(painter, QRectF(left, below.top(), px(self, 16), below.height()), second)
        painter.end()

    def _draw_ground(self, painter: QPainter, inside: QRectF) -> None:
        round_ = px(self, 8)
        painter.setPen(Qt.PenStyle.NoPen)
        if self.isChecked():
            painter.setBrush(self.theme.colour("accent"))
            painter.drawRoundedRect(inside, round_, round_)
        elif self.underMouse():
            painter.setBrush(self.theme.colour("raised"))
            painter.drawRoundedRect(inside, round_, round_)
        if self.hasFocus():
            painter.setPen(QPen(self.theme.colour("text" if self.isChecked() else "accent"), 2))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRoundedRect(inside, round_, round_)

    def enterEvent(self, event: QEnterEvent) -> None:
        """Light up under the mouse."""
        super().enterEvent(event)
        self.update()

    def leaveEvent(self, event: QEvent) -> None:
        """And go out again."""
        super().leaveEvent(event)
        self.update()


def two_lines(words: str, letters_: QFontMetrics, wide: int) -> tuple[str, str]:
    """Words in two lines of that width [px], the first as full as it gets, the second cut.

    A word longer than the line stands in the first by itself, and is cut there.
    """
    first, *rest = words.split(" ")
    while rest and letters_.horizontalAdvance(f"{first} {rest[0]}") < wide - 2:
        first = f"{first} {rest.pop(0)}"
    end = Qt.TextElideMode.ElideRight
    return letters_.elidedText(first, end, wide), letters_.elidedText(" ".join(rest), end, wide)


class NextButton(LeadingButton):
    """The one main button: “Next”, and the step in words, or dots while it is reckoned."""

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self.theme = theme
        self.words: str | None = None
        self.low = False
        """In a line of its own, lower than beside the stages."""
        self._held = ""
        """The last step it said: it keeps the room for it while the next one is reckoned."""
        self.setObjectName("nextStep")
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self.show_words(None)

    def show_words(self, words: str | None) -> None:
        """Show the step; `None` while it is reckoned."""
        self.words = words
        self._held = words or self._held
        self.setEnabled(words is not None)
        said = words or self.tr("being reckoned")
        self.setText(said)
        self.setAccessibleName(self.tr("Next: {step}").format(step=said))
        self.setToolTip(plain_tip(self.tr("Next: {step}").format(step=said) + " (Ctrl+Return)"))
        self.setFixedHeight(self.high())
        self.update()

    def high(self) -> int:
        """Its height [px]."""
        return px(self, 33 if self.low else 36)

    def width_for(self, part: float) -> int:
        """The width that shows this share of its words in one line [px]; with 0 none of them.

        “Next” stands before them where they have room for all of them in two lines.
        """
        bare = px(self, 14 * 2 + 18)
        if part >= IN_TWO_LINES:
            bare += self._lead_wide()
        if not self._held:
            return bare + self._lead_wide() + px(self, 12)
        words = QFontMetrics(letters(self, strong=True)).horizontalAdvance(self._held)
        return bare + round(part * words) + (px(self, 10) if part else 0)

    def _lead_wide(self) -> int:
        """“Next” and what is left free behind it [px]."""
        return QFontMetrics(letters(self)).horizontalAdvance(self.tr("Next")) + px(self, 9)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Outlined in the accent; its words as far as there is room."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        inside = QRectF(self.rect()).adjusted(1, 1, -1, -1)
        accent = self.theme.colour("accent")
        ink = accent if self.isEnabled() else self.theme.colour("line")
        painter.setPen(QPen(ink, 2.0 if self.hasFocus() else 1.2))
        tinted = self.isEnabled() and (self.underMouse() or self.isDown())
        painter.setBrush(self.theme.colour("accent_tint" if tinted else "base"))
        painter.drawRoundedRect(inside, px(self, 8), px(self, 8))
        self._draw_words(painter, inside)
        painter.end()

    def _draw_words(self, painter: QPainter, inside: QRectF) -> None:
        middle = Qt.AlignmentFlag.AlignVCenter
        place = inside.adjusted(px(self, 14), 0, -px(self, 14), 0)
        if self.words is None or self.width() >= self.width_for(IN_TWO_LINES):
            painter.setFont(letters(self))
            painter.setPen(self.theme.colour("muted_text"))
            painter.drawText(place, middle, self.tr("Next"))
            place.setLeft(place.left() + self._lead_wide())
        size = px(self, 14)
        icon = QRectF(place.right() - size, place.center().y() - size / 2, size, size)
        if self.words is None:
            draw_dots(painter, icon.adjusted(-size * 2, 0, 0, 0), self.theme.colour("muted_text"))
            return
        draw_icon(painter, icon, "on", self.theme.colour("accent"))
        place.setRight(icon.left() - px(self, 4))
        painter.setPen(self.theme.colour("accent"))
        if place.width() > px(self, 24):
            self._draw_step(painter, place, self.words)

    def _draw_step(self, painter: QPainter, place: QRectF, words: str) -> None:
        """In one line; where that is too long in two lines of small letters, then cut."""
        wide, middle = int(place.width()) + 1, Qt.AlignmentFlag.AlignVCenter
        painter.setFont(letters(self, strong=True))
        if painter.fontMetrics().horizontalAdvance(words) <= wide:
            painter.drawText(place, middle, words)
            return
        painter.setFont(letters(self, SMALL, strong=True))
        lines = [line for line in two_lines(words, painter.fontMetrics(), wide) if line]

        high = place.height() / len(lines)
        for number, line in enumerate(lines):
            part = QRectF(place.left(), place.top() + number * high, wide, high)
            painter.drawText(part, middle, line)
