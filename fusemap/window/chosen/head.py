"""The head of the chosen thing: its place in large type, its name, what may be done there, “More”.

In: a `Head`. Out: `more_wanted` for the long form, `answer_wanted` where something is asked of the
circuit.
"""

from typing import TYPE_CHECKING

from PySide6.QtCore import QRectF, QSize, Qt, Signal
from PySide6.QtGui import QColor, QPainter, QPaintEvent
from PySide6.QtWidgets import QHBoxLayout, QLabel, QSizePolicy, QVBoxLayout, QWidget

from fusemap.window.chosen.facts import Head
from fusemap.window.chosen.links import LinkButton
from fusemap.window.chosen.measures import figure, label, sized, small
from fusemap.window.style.measures import px
from fusemap.window.style.signs import draw_padlock, verdict_icon
from fusemap.window.style.theme import Theme
from fusemap.window.texts.plain import plain_tip

if TYPE_CHECKING:
    from fusemap.window.chosen.stations import Station

LONG = 6
"""A place of more letters stands in the usual size, so that it is whole."""


class Lock(QWidget):
    """A padlock; the words beside it say the same."""

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self._theme = theme
        self.setFixedSize(px(self, 16), px(self, 16))

    def paintEvent(self, event: QPaintEvent) -> None:
        """A closed padlock."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        ground: QColor = self._theme.colour("window")
        draw_padlock(painter, QRectF(self.rect()), self._theme.colour("muted_text"), ground)
        painter.end()


class HeadView(QWidget):
    """Place, name, what may be done there; the way to the long form."""

    more_wanted = Signal()
    answer_wanted = Signal()

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self._theme = theme
        self.setObjectName("chosenHead")
        self.place = label("chosenPlace", figure(self.font()))
        self.place.setWordWrap(False)
        self.name = label("chosenName", sized(self.font(), 14, strong=True))
        self.line = label("chosenLine", small(self.font()), muted=True)
        for each in (self.name, self.line):
            each.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        self.lock = Lock(theme)
        self.sign = QLabel()
        self.sign.hide()
        self.worst_sign = QLabel()
        self.worst = label("chosenWorst", sized(self.font(), 14, strong=True))
        self.worst.setWordWrap(False)
        self.show_worst(None)
        self.answer = LinkButton("chosenAnswer")
        self.answer.set_flush()
        self.answer.clicked.connect(self.answer_wanted)
        self.more = LinkButton("chosenMore", self.tr("More"))
        self.more.setToolTip(self.tr("Everything that can be entered here"))
        self.more.setAccessibleDescription(self.more.toolTip())
        self.more.clicked.connect(self.more_wanted)
        self._lay_out()

    def _lay_out(self) -> None:
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, px(self, 4))
        row.setSpacing(px(self, 12))
        top = Qt.AlignmentFlag.AlignTop
        row.addWidget(self.sign, 0, top)
        row.addWidget(self.place, 0, top)
        words = QVBoxLayout()
        words.setSpacing(0)
        words.addWidget(self.name)
        under = QHBoxLayout()
        under.setSpacing(px(self, 4))
        under.addWidget(self.lock, 0, top)
        under.addWidget(self.line, 1)
        words.addLayout(under)
        words.addWidget(self.answer)
        words.addStretch(1)
        row.addLayout(words, 1)
        row.addWidget(self.worst_sign, 0, top)
        row.addWidget(self.worst, 0, top)
        self.more.setMinimumWidth(self.more.fontMetrics().horizontalAdvance(self.tr("More")) + 2)
        row.addWidget(self.more, 0, top)
        for part in (self.worst_sign, self.worst):  # on one line with “More”
            part.setMinimumHeight(self.more.sizeHint().height())

    def show_worst(self, station: "Station | None") -> None:
        """Say what decides of its way, where that may be out of sight; `None`: it is in sight."""
        for part in (self.worst_sign, self.worst):
            part.setVisible(station is not None)
        if station is None or station.verdict is None:
            return
        show, size = self._theme.style.show, px(self, 20)
        icon = verdict_icon(station.verdict, self._theme, size)
        self.worst_sign.setPixmap(icon.pixmap(QSize(size, size)))
        self.worst.setText(show(station.figure))
        for part in (self.worst_sign, self.worst):
            part.setToolTip(plain_tip(show(station.words)))
        self.worst.setAccessibleName(show(station.words))

    def take_keyboard(self) -> None:
        """Have the keyboard on “More”, where it opens a form and changes nothing."""
        self.more.setFocus(Qt.FocusReason.OtherFocusReason)

    def show_head(self, head: Head, *, more: bool = True) -> None:
        """Say what is chosen; `more` where there is a long form for it."""
        show = self._theme.style.show
        place, name = show(head.place), show(head.name)
        long = len(place) > LONG
        self.place.setVisible(not long and bool(place))
        self.place.setText("" if long else place)
        self.name.setText(" ".join(part for part in (place if long else "", name) if part))
        self.name.setVisible(bool(self.name.text()))
        self.line.setText(show(head.line))
        self.line.setVisible(bool(self.line.text()))
        self.lock.setVisible(head.lock)
        self.sign.setVisible(head.verdict is not None)
        if head.verdict is not None:
            size = px(self, 24)
            icon = verdict_icon(head.verdict, self._theme, size)
            self.sign.setPixmap(icon.pixmap(QSize(size, size)))
        self.answer.setVisible(head.ask)
        self.answer.show_words(self.tr("Answer what it is"))
        self.more.setVisible(more)
        self.setAccessibleName(", ".join(part for part in (place, name, show(head.line)) if part))
