"""The frame of the stage: where each piece stands, whatever the page on it is about.

In: a theme, a widget that draws, perhaps one in the place of the entry and one across the top; at
each moment a `Shown`. Out: paint, and `pressed` for a click on a key of the picture or of the
keypad, `sound_wanted` and `left` for the two signs at the right, `pad_wanted` for the keypad.
"""

from typing import Final, Literal, cast

from msgspec.structs import replace
from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QFontMetricsF, QResizeEvent
from PySide6.QtWidgets import QPushButton, QWidget

from fusemap.window.beside.big import RIGHT, BigLine
from fusemap.window.beside.keypad import Keypad
from fusemap.window.beside.keys_picture import OPENS_PAD, KeysPicture
from fusemap.window.beside.pad_place import with_pad
from fusemap.window.beside.pieces import MOST_ROWS, Entry, LastStored, Piece, Progress, Words
from fusemap.window.beside.scale import BODY, FIGURE, SMALL, Box, Scale, scale_of
from fusemap.window.beside.shown import KeyShown, Pad, Shown
from fusemap.window.style.icons import icon
from fusemap.window.style.measures import TARGET
from fusemap.window.style.theme import Theme

Part = Literal["drawing", "question", "under", "entry", "said", "last", "keys", "top", "aside"]
Places = dict[Part, Box]

AT_A_SLOT: Final[Places] = {
    "drawing": (28, 92, 648, 748),
    "aside": (516, 574, 648, 752),
    "question": (690, 88, 1338, 142),
    "under": (690, 142, 1338, 208),
    "entry": (690, 214, 1338, 336),
    "said": (690, 340, 1338, 436),
    "last": (690, 440, 1338, 530),
    "keys": (690, 536, 1338, 748),
}
"""Where things stand while places are walked: what is seen at the left, what is typed at the
right."""
AT_THE_WHOLE: Final[Places] = AT_A_SLOT | {
    "under": (690, 142, 1338, 268),
    "entry": (690, 276, 1338, 372),
    "said": (690, 380, 1338, 444),
    "last": (690, 448, 1338, 528),
}
"""The same where no place is in hand: there is more to be told of the whole."""
ON_A_WAY: Final[Places] = {
    "top": (28, 90, 1338, 226),
    "question": (28, 234, 452, 312),
    "under": (28, 314, 452, 402),
    "drawing": (28, 404, 452, 748),
    "entry": (480, 236, 1338, 452),
    "said": (480, 462, 1338, 616),
    "last": (480, 740, 1338, 748),
    "keys": (480, 626, 1338, 748),
}
"""Where things stand while the way of a current is checked, which runs across the top."""
ASKED_ON_A_WAY: Final[Places] = ON_A_WAY | {
    "under": (28, 320, 452, 748),
    "drawing": (28, 747, 452, 748),
}
"""The same where no meter is drawn: there is room to say what to do."""
HEAD: Final[Box] = (28, 10, 1338, 80)
NO_PLACE: Final[Box] = (0.0, 0.0, 0.0, 0.0)
"""Where a piece stands that is not shown."""
QUESTION_STEP: Final = 6
"""By how much a question grows at a time [px of the design]."""
READABLE: Final = 0.75
"""Words are to be no smaller than this share of their size, to be read a metre and a half away."""


class StageFrame(QWidget):
    """Places the pieces of the stage and fills them with what is shown."""

    pressed = Signal(str)
    sound_wanted = Signal(bool)
    pad_wanted = Signal(bool)
    left = Signal()

    def __init__(
        self,
        theme: Theme,
        drawing: QWidget,
        places: Places,
        *,
        entry: QWidget | None = None,
        top: QWidget | None = None,
        aside: QWidget | None = None,
    ) -> None:
        super().__init__()
        self._theme = theme
        self._boxes = places
        self._below = False
        ink = theme.colour
        self.banner = BigLine("probeState", self.tr("State"), ink("accent"), most=0.68)
        self.how = Words("probeHow", self.tr("What to do"), theme, SMALL, "muted_text", middle=True)
        self.clock = BigLine("probeClock", self.tr("Timers"), ink("text"), align=RIGHT, most=0.5)
        self.progress = Progress("probeProgress", self.tr("Progress"), theme)
        self.question = Words(
            "stageQuestion", self.tr("In hand"), theme, FIGURE, "text", middle=True, strong=True
        )
        self.under = Words("stageUnder", self.tr("Known of it"), theme, SMALL, "muted_text")
        self.typed = Entry("probeEntry", self.tr("Typed"), theme)
        self.words = Words("probeSaid", self.tr("Said"), theme, BODY, "text")
        self.last = LastStored("probeLast", self.tr("Read last"), theme)
        self.picture, self.keypad = KeysPicture(theme), Keypad(theme)
        self.picture.pressed.connect(self._pressed)
        self.keypad.pressed.connect(self.pressed)
        self.keypad.closed.connect(lambda: self.ask_for_pad(on=False))
        self.keypad.hide()
        self.drawing = drawing
        self.entry: QWidget = entry if entry is not None else self.typed
        self.top, self.aside = top, aside
        self._build_signs()
        pieces = (self.banner, self.how, self.clock, self.progress, self.question, self.under,
                  self.entry, self.words, self.last, self.picture, self.keypad,
                  drawing)  # fmt: skip
        for piece in (*pieces, *filter(None, (top, aside))):
            piece.setParent(self)
        if entry is not None:
            self.typed.setParent(self)
            self.typed.hide()

    def _build_signs(self) -> None:
        """Sound on or off, and the way out, at the right of the head."""
        self.sounds = self._sign("stageSound", self.tr("Sound"))
        self.sounds.setCheckable(True)
        self.sounds.toggled.connect(self._sound_toggled)
        self.leave = self._sign("stageLeave", self.tr("Leave the stage"))
        self.leave.setIcon(icon("close", self._theme.colour("text"), 40))
        self.leave.clicked.connect(self.left)

    def _sign(self, key: str, name: str) -> QPushButton:
        button = QPushButton(self)
        button.setObjectName(key)
        button.setAccessibleName(name)
        button.setToolTip(name)
        # the keyboard stays with the stage
        button.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        button.setStyleSheet(
            "QPushButton { border: none; background: transparent; padding: 0; }"
            f"QPushButton:hover {{ background: {self._theme.raised}; border-radius: 8px; }}"
        )
        return button

    def show_sound(self, on: bool) -> None:
        """Show whether sounds are given."""
        self.sounds.setChecked(on)
        self._sound_toggled(on, tell=False)

    def _sound_toggled(self, on: bool, *, tell: bool = True) -> None:
        name = "sound" if on else "sound_off"
        self.sounds.setIcon(icon(name, self._theme.colour("text"), 40))
        if tell:
            self.sound_wanted.emit(on)

    # --- the keypad -----------------------------------------------------------------------------

    def open_pad(self, on: bool) -> None:
        """Show the keypad wherever something is typed, or put it away."""
        self._pad_open = on
        self._place()

    def ask_for_pad(self, *, on: bool) -> None:
        """The same by the user's hand: it is to be remembered."""
        self.open_pad(on)
        self.pad_wanted.emit(on)

    def _pressed(self, key: str) -> None:
        if key == OPENS_PAD:
            self.ask_for_pad(on=True)
        else:
            self.pressed.emit(key)

    _pad_open = False
    _pad: Pad | None = None

    # --- showing --------------------------------------------------------------------------------

    def show_stage(self, shown: Shown) -> None:
        """Show one moment."""
        self.banner.show_text(shown.state)
        self.how.show_text(shown.how)
        self.progress.show_progress(shown.progress, shown.done, shown.total)
        self.question.show_text(shown.question)
        self.under.yields = shown.under_yields
        self.under.show_text(shown.under)
        self.words.show_text(shown.said, shown.said_tone)
        self.last.show_rows(shown.last)
        self.last.setVisible(not shown.said_alone)
        self._alone = shown.said_alone
        self._keys, self._pad = tuple(shown.keys), shown.pad
        self._place()

    _alone = False
    _keys: tuple[KeyShown, ...] = ()

    def use(self, places: Places) -> None:
        """Put things elsewhere from now on."""
        self._boxes = places

    def show_clock(self, text: str, *, due: bool) -> None:
        """Show the timer that matters, on a filled ground once it is due."""
        ink = self._theme.colour("accent_text" if due else "text")
        changed = text != self.clock.text
        self.clock.show_text(text, ink, self._theme.colour("accent") if due else None)
        if changed:
            self._place()

    # --- placing --------------------------------------------------------------------------------

    def sizeHint(self) -> QSize:
        """Its design."""
        return QSize(1366, 700)

    def minimumSizeHint(self) -> QSize:
        """Still to be read close by."""
        em = self.fontMetrics().height()
        return QSize(em * 24, em * 13)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Everything grows with the room."""
        self._place()

    def _place(self) -> None:
        scale = scale_of(self)
        unit = scale.unit
        boxes = dict(self._boxes)
        for piece in self.findChildren(Piece):
            piece.set_unit(unit)
        keys, pad = self._keys, self._pad if self._pad_open else None
        if pad is not None:
            keys = self._place_pad(boxes, pad, scale)
        elif self._alone:
            left, top, right, _ = boxes["said"]
            boxes["said"] = (left, top, right, max(boxes["said"][3], boxes["last"][3]))
            if boxes["last"][1] > boxes["keys"][1]:
                boxes["said"] = self._boxes["said"]
        else:
            self._give_words_room(boxes, scale)
        self.keypad.setVisible(pad is not None)
        self._give_question_room(boxes, scale)
        parts: dict[Part, QWidget | None] = {
            "drawing": self.drawing, "question": self.question, "under": self.under,
            "entry": self.entry, "said": self.words, "last": self.last, "keys": self.picture,
            "top": self.top, "aside": self.aside,
        }  # fmt: skip
        for name, part in parts.items():
            if part is not None and name in boxes:
                part.setGeometry(scale.rect(boxes[name]).toRect())
        self.picture.show_keys(keys, unit)
        self._place_head()

    def _place_pad(self, boxes: Places, pad: Pad, scale: Scale) -> tuple[KeyShown, ...]:
        """Make room for the keypad; the keys that are left for the picture, in one row."""
        enter = next((key for key in self._keys if key.place == "main"), None)
        others = [key for key in self._keys if key.place != "main" and key.press != OPENS_PAD]
        row = tuple(replace(key, place="row", more="") for key in (*others, *pad.row))
        said = bool(self.words.text)
        placed = with_pad(boxes, scale, row=bool(row), said=said, tight=False)
        room = scale.rect(placed.boxes["said"])
        if said and self.words.share_in(room.width(), room.height()) < READABLE:
            placed = with_pad(boxes, scale, row=bool(row), said=said, tight=True)
        boxes.update(cast("Places", placed.boxes))
        self.last.show_most(max(1, placed.last_rows))
        self.last.setVisible(placed.last_rows > 0)
        self.keypad.setGeometry(scale.rect(placed.pad).toRect())
        self.keypad.show_pad(pad, enter, scale.unit)
        return row

    def _give_words_room(self, boxes: Places, scale: Scale) -> None:
        """Rows of what was stored last yield, the oldest first, to words that would be small.

        Where there are fewer rows than have room the words have the rest, too.
        """
        left, top, right, bottom = boxes["said"]
        _, first, _, end = last = boxes["last"]
        if first < bottom or last == NO_PLACE:
            return
        row = (end - first) / MOST_ROWS
        shown = self.last.rows
        while shown > 1:
            room = scale.rect((left, top, right, end - shown * row - (first - bottom)))
            if self.words.share_in(room.width(), room.height()) >= READABLE:
                break
            shown -= 1
        self.last.show_most(shown)
        boxes["last"] = (last[0], end - shown * row, last[2], end)
        boxes["said"] = (left, top, right, end - shown * row - (first - bottom))

    def _give_question_room(self, boxes: Places, scale: Scale) -> None:
        """A question too long for its place takes from the lines below it what they can spare."""
        left, top, right, bottom = boxes["question"]
        under = boxes["under"]
        if under[1] < bottom or not self.question.text:
            return
        for more in range(0, round((under[3] - under[1]) / 2), QUESTION_STEP):
            question = (left, top, right, bottom + more)
            below = (under[0], under[1] + more, under[2], under[3])
            room, rest = scale.rect(question), scale.rect(below)
            if not self.under.share_in(rest.width(), rest.height()):
                return
            boxes["question"], boxes["under"] = question, below
            if self.question.share_in(room.width(), room.height()):
                return

    def _place_head(self) -> None:
        """State, what to do, timer, how far it is, the two signs: from both ends to the middle."""
        scale = scale_of(self)
        head = scale.rect(HEAD).toRect()
        high, gap = head.height(), round(18 * scale.unit)
        side = max(TARGET, round(min(high * 0.62, 44 * scale.unit)))
        right = head.right()
        for sign in (self.leave, self.sounds):
            sign.setGeometry(right - side, head.center().y() - side // 2, side, side)
            sign.setIconSize(QSize(round(side * 0.7), round(side * 0.7)))
            right -= side + gap // 2
        wide = round(270 * scale.across)
        self.progress.setGeometry(right - wide - gap, head.top() + round(high * 0.16), wide,
                                  round(high * 0.72))  # fmt: skip
        right -= wide + 2 * gap
        wide = self._advance(self.banner, 0.68, high)
        wide = min(wide, round((right - head.left()) * 0.62))
        self.banner.setGeometry(head.left(), head.top(), wide, high)
        left = head.left() + wide + gap
        clock = 0
        if self.clock.text:
            clock = min(self._advance(self.clock, 0.5, high) + high // 2, max(0, right - left))
        self.clock.setGeometry(right - clock, head.top() + round(high * 0.1), clock,
                               round(high * 0.8))  # fmt: skip
        room = right - clock - (gap if clock else 0) - left
        self.how.setVisible(room > 150 * scale.unit)
        self.how.setGeometry(left, head.top() + round(high * 0.04), max(10, room),
                             round(high * 0.96))  # fmt: skip

    @staticmethod
    def _advance(line: BigLine, most: float, high: int) -> int:
        font = line.font()
        font.setBold(True)
        font.setPixelSize(max(6, round(high * most)))
        return round(QFontMetricsF(font).horizontalAdvance(line.text) * 1.04) + 4
