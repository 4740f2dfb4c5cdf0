"""What the ticked changes come to, before and after, and the button that takes them up."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QFrame, QHBoxLayout, QPushButton, QVBoxLayout

from fusemap.text import many, say
from fusemap.window.parked import page_words
from fusemap.window.parked.chart_figures import Case
from fusemap.window.parked.figure_label import DOTS, figure_label
from fusemap.window.style.theme import Theme, space
from fusemap.window.texts.plain import plain_label


class TakeBox(QFrame):
    """The span after, large, the span before below it, and one button."""

    wanted = Signal()
    """All that is ticked is to be taken into the plan."""

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self._theme = theme
        self.setObjectName("parkedTake")
        self.setStyleSheet(
            f"QFrame#parkedTake {{ background: {theme.accent_tint}; border-radius: 8px; }}"
        )
        self.span = figure_label("parkedAfter")
        self.before = plain_label("parkedBefore")
        self.button = QPushButton()
        self.button.setObjectName("whatIfApply")
        self.button.setProperty("kind", "main")
        self.button.clicked.connect(self.wanted)
        edge = space(self)
        row = QHBoxLayout()
        row.setSpacing(edge)
        row.addWidget(self.before, 1)
        row.addWidget(self.button, 0, Qt.AlignmentFlag.AlignBottom)
        column = QVBoxLayout(self)
        column.setContentsMargins(edge * 2, edge, edge, edge)
        column.setSpacing(0)
        column.addWidget(self.span)
        column.addLayout(row)
        self.wait()

    def wait(self) -> None:
        """It is being reckoned."""
        self.span.setText(DOTS)
        self.before.setText("")
        self._offer(0)

    def show_case(self, case: Case, ticked: Case | None, n: int) -> None:
        """Show what it comes to: as it is, or with what is ticked beside as it is."""
        style = self._theme.style
        if not n:
            self.span.setText(style.show(page_words.span_words(case)))
            self.before.setText(style.show(say("as it is; tick what you would do")))
        elif ticked is None:
            self.span.setText(DOTS)
            self.before.setText("")
        else:
            self.span.setText(style.show(page_words.span_words(ticked)))
            words = say(
                "{typical}; as it is {span}",
                typical=page_words.typical(ticked),
                span=page_words.span_words(case),
            )
            self.before.setText(style.show(words))
        self._offer(n)

    def _offer(self, n: int) -> None:
        words = say("Take into the plan")
        if n:
            words = many("Take it into the plan", "Take the {n} into the plan", n)
        self.button.setText(self._theme.style.show(words))
        self.button.setEnabled(bool(n))
        self.button.setToolTip(self.tr("Does all that is ticked, in one step; Undo takes it back"))
