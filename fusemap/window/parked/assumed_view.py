"""How it is reckoned: what was assumed, what makes it uncertain, the sum and its source.

In: the forecast with its band, the usual week, the second battery. Out: words to read and mark.
"""

from collections.abc import Sequence

from PySide6.QtWidgets import QVBoxLayout, QWidget

from fusemap.assess.assessment import Assessment
from fusemap.assess.parked.week import checked_week
from fusemap.text import Argument, Text, say
from fusemap.window.document import Document
from fusemap.window.parked import parked_words
from fusemap.window.parked.chart_figures import Case, ChartFigures
from fusemap.window.parked.course_table import CourseTable
from fusemap.window.parts.headline import BasisView, basis_text
from fusemap.window.style.theme import Theme, space
from fusemap.window.texts.plain import copyable_label
from fusemap.window.texts.sentences import capital


class AssumedView(QWidget):
    """Everything that the answer rests on."""

    def __init__(self, document: Document, theme: Theme) -> None:
        super().__init__()
        self._theme = theme
        self.setObjectName("parkedAssumedView")
        self.setAccessibleName(self.tr("How it is reckoned"))
        self.caveat = copyable_label("parkedCaveat")
        self.learned = copyable_label("parkedLearned")
        self.assumed = copyable_label("parkedAssumed")
        self.week = copyable_label("parkedWeek")
        self.second = copyable_label("parkedSecond")
        self.why = BasisView(document, theme.style, self.tr("How this came about"), "parkedWhy")
        self.why.button.setChecked(True)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(space(self))
        self.course = CourseTable(theme.style)
        for part in (
            self.caveat,
            self.learned,
            self.assumed,
            self.week,
            self.second,
            self.course,
            self.why,
        ):
            column.addWidget(part)
        column.addStretch(1)

    def show_case(self, assessment: Assessment, case: Case, figures: ChartFigures) -> None:
        """Say what this forecast rests on; `figures` are those of the vehicle as it is."""
        style, parked, band = self._theme.style, case.parked, case.band
        self.caveat.setText(style.show(parked_words.caveat()))
        learned = () if band.learned is None else band.learned.words
        listed = self._listed(say("Learned from what was read:"), learned)
        self.learned.setText("\n".join(listed))
        self.learned.setVisible(bool(listed))
        lines = (
            *self._listed(say("Assumed:"), parked.assumed),
            *self._listed(say("What makes it uncertain:"), parked_words.spread_lines(band)),
        )
        self.assumed.setText("\n".join(lines))
        week, words = checked_week(assessment)
        doubts = () if week is None else week.assumed
        told = (style.show(words or ""), *self._listed(say("Assumed:"), doubts))
        self.week.setText("\n".join(told))
        self.week.setVisible(bool(words))
        taken = () if parked.second is None else parked.second.assumed
        listed = self._listed(say("Assumed of the second battery:"), taken)
        self.second.setText("\n".join(listed))
        self.second.setVisible(bool(listed))
        self.course.show_figures(figures)
        self.why.show_text(basis_text(parked.basis, style), str(parked.basis.source))

    def _listed(self, head: Text, texts: Sequence[Argument]) -> tuple[str, ...]:
        """A heading and a line for each; nothing where there is nothing to list."""
        words = [self._theme.style.show(text) for text in texts]
        lines = (f"• {capital(each)}" for each in words)
        return (self._theme.style.show(head), *lines) if words else ()
