"""The main part of the page: the answer over the chart, and what would make it surer below.

In: words, a verdict, `ChartFigures`. Out: nothing of its own; its parts are asked and told by the
view. While something is reckoned dots stand where the words were.
"""

from typing import Final

from PySide6.QtCore import Qt
from PySide6.QtGui import QPalette, QResizeEvent
from PySide6.QtWidgets import QBoxLayout, QLabel, QToolButton, QVBoxLayout, QWidget

from fusemap.assess.verdict import Verdict
from fusemap.window.help.help_pages import LearnButton
from fusemap.window.parked.figure_label import DOTS, figure_label
from fusemap.window.parked.known_lines import KnownLines
from fusemap.window.parked.parked_chart import ParkedChart
from fusemap.window.parked.surer import SurerRow
from fusemap.window.style.sheet import as_link
from fusemap.window.style.signs import verdict_icon
from fusemap.window.style.theme import Theme, space
from fusemap.window.texts.plain import copyable_label

DAY_H: Final = 24.0
ROW: Final = 46
"""Heights of the font from which on three readings stand side by side."""
ROLES: Final = {"holds": "good", "may_not_hold": "caution", "fails": "stop"}


class MainPart(QWidget):
    """Answer, verdict on the plan, chart, and what would make it surer."""

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self._theme = theme
        self.headline = figure_label("parkedHeadline")
        self.mark = QLabel()
        self.verdict = copyable_label("parkedVerdict", strong=True)
        self.more = copyable_label("parkedMore")
        self.second = copyable_label("parkedSecondLine")
        for quiet in (self.more, self.second):
            quiet.setProperty("muted", True)
        self.known = KnownLines(theme)
        self.chart = ParkedChart(theme)
        self.surer = SurerRow(theme)
        line = QBoxLayout(QBoxLayout.Direction.LeftToRight)
        line.setSpacing(space(self))
        line.addWidget(self.mark, 0, Qt.AlignmentFlag.AlignVCenter)
        line.addWidget(self.verdict, 1)
        line.addLayout(self._tools())
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(space(self, "small"))
        column.addWidget(self.headline)
        column.addLayout(line)
        column.addWidget(self.more)
        column.addWidget(self.second)
        column.addWidget(self.known)
        column.addWidget(self.chart, 1)
        column.addSpacing(space(self, "small"))
        column.addWidget(self.surer)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """What would make it surer stands in a row where there is room for one."""
        super().resizeEvent(event)
        self.surer.turn(wide=self.width() >= self.fontMetrics().height() * ROW)

    def _tools(self) -> QBoxLayout:
        """Which part of the time is shown."""
        tools = QBoxLayout(QBoxLayout.Direction.LeftToRight)
        tools.setSpacing(space(self, "small"))
        for text, key, hours in (
            (self.tr("Day"), "day", DAY_H),
            (self.tr("Week"), "week", 7 * DAY_H),
            (self.tr("Month"), "month", 30 * DAY_H),
            (self.tr("All"), "all", float("inf")),
        ):
            tools.addWidget(self._zoom_button(text, key, hours))
        tools.addWidget(LearnButton("standing", self._theme.style))
        return tools

    def _zoom_button(self, text: str, key: str, hours: float) -> QToolButton:
        button = as_link(QToolButton())
        button.setText(text)
        button.setAutoRaise(True)
        button.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        button.setObjectName(f"parkedZoom_{key}")
        button.setAccessibleName(self.tr("Show: {span}").format(span=text))
        button.clicked.connect(lambda: self.chart.zoom_to(hours))
        return button

    # --- what is shown --------------------------------------------------------------------------

    def wait(self) -> None:
        """It is being reckoned: no word that may not be true any more."""
        self.headline.setText(DOTS)
        self.mark.clear()
        for label in (self.verdict, self.more, self.second):
            label.clear()
        self.known.show_known(())
        self.chart.wait()
        self.surer.show_found((), waiting=True)

    def say_verdict(self, verdict: Verdict, words: str, more: str) -> None:
        """Whether the plan fits, with its mark, and what is to be said about it."""
        size = round(self.fontMetrics().height() * 1.2)
        self.mark.setPixmap(verdict_icon(verdict, self._theme, size).pixmap(size, size))
        self.verdict.setText(words)
        palette = self.verdict.palette()
        colour = self._theme.colour(ROLES.get(verdict, "muted_text"))
        palette.setColor(QPalette.ColorRole.WindowText, colour)
        self.verdict.setPalette(palette)
        self._say_more(more)

    def wait_for_verdict(self) -> None:
        """What is ticked is being reckoned."""
        self.mark.clear()
        self.verdict.setText(DOTS)
        self._say_more("")

    def say_second(self, words: str) -> None:
        """How long the second battery lasts."""
        self.second.setText(words)
        self.second.setVisible(bool(words))

    def _say_more(self, words: str) -> None:
        self.more.setText(words)
        self.more.setVisible(bool(words))

    def say_problem(self, words: str) -> None:
        """What keeps the forecast from being made, instead of everything else."""
        self.headline.setText(words)
        self.say_verdict("unchecked", self.tr("Cannot say."), "")
        self.say_second("")

    def show_parts(self, *, on: bool) -> None:
        """Chart and readings, or the words alone."""
        if not on:
            self.known.show_known(())
        for part in (self.chart, self.surer):
            part.setVisible(on)
