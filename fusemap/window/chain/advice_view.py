"""What would be right for one tap: fuse and cable in a sentence, why, and one click to adopt.

In: the document, a tap. Out: one undoable edit. Below stand every section with every criterion, and
the published ampacities beside the model's. Computed when it is looked at.
"""

from typing import Final

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QPushButton, QVBoxLayout, QWidget

from fusemap.advise.advice import fault_current
from fusemap.advise.proposal import Proposal, proposal, published
from fusemap.assess.words import fuse_words
from fusemap.text import Section, say
from fusemap.vehicle import edits, look_up
from fusemap.window.chain import advice_words as words
from fusemap.window.chain.band_words import order_words
from fusemap.window.document import Document
from fusemap.window.parts.figure_table import FigureTable
from fusemap.window.style.theme import Theme, space
from fusemap.window.texts.plain import copyable_label

LINES: Final = ("fuse", "cable", "longest", "order", "elsewhere")
"""What is said below the proposal, a line each where there is something to say."""


class AdviceView(QWidget):
    """The proposal for the tap that is shown."""

    def __init__(self, document: Document, theme: Theme) -> None:
        super().__init__()
        self.document = document
        self._style = theme.style
        self.tap_id = ""
        self.proposal: Proposal | None = None
        self.setObjectName("adviceView")
        self.setAccessibleName(self.tr("What would be right"))
        self.headline = copyable_label("adviceHeadline", strong=True)
        self.adopt_button = QPushButton(self.tr("Adopt this"))
        self.adopt_button.setObjectName("adviceAdopt")
        self.adopt_button.clicked.connect(self.adopt)
        self.lines = {key: copyable_label(f"advice_{key}") for key in LINES}
        self.sections_title = copyable_label("adviceSectionsTitle", strong=True)
        self.sections = FigureTable(document, theme, "adviceSections", self.tr("Sections on offer"))
        self.beside_title = copyable_label("advicePublishedTitle", strong=True)
        self.beside_note = copyable_label("advicePublishedNote")
        self.beside_note.setProperty("muted", True)
        self.beside = FigureTable(
            document, theme, "advicePublished", self.tr("Published beside the model")
        )
        self._lay_out()

    def _lay_out(self) -> None:
        gap = space(self, "medium")
        column = QVBoxLayout(self)
        column.setContentsMargins(gap, gap, gap, gap)
        column.setSpacing(gap)
        column.addWidget(self.headline)
        column.addWidget(self.adopt_button, 0, Qt.AlignmentFlag.AlignLeft)
        for line in self.lines.values():
            column.addWidget(line)
        for widget in (self.sections_title, self.sections):
            column.addWidget(widget)
        for widget in (self.beside_title, self.beside_note, self.beside):
            column.addWidget(widget)
        column.addStretch(1)

    # --- what is shown --------------------------------------------------------------------------

    def show_tap(self, tap_id: str) -> None:
        """Show what would be right for this tap as it is now."""
        self.tap_id = tap_id
        if not tap_id:
            self.proposal = None
            return
        a = self.document.assessment
        found = self.proposal = proposal(a, tap_id)
        self.headline.setText(self._style.show(words.headline(found)))
        self.adopt_button.setVisible(bool(found.changes))
        self._show_lines(found, fault_current(a, tap_id))
        self._show_sections(found)
        self._show_published(found)

    def _show_lines(self, found: Proposal, fault_a: float | None) -> None:
        texts = {
            "fuse": words.fuse_line(found),
            "cable": words.cable_line(found),
            "longest": words.longest_line(found),
            "order": order_words(found.advice.order, fault_a) or words.NOTHING,
            "elsewhere": words.elsewhere_line(found),
        }
        for key, label in self.lines.items():
            label.setText(self._style.show(texts[key]))
            label.setVisible(bool(texts[key]))

    def _show_sections(self, found: Proposal) -> None:
        there = found.sections is not None
        for widget in (self.sections_title, self.sections):
            widget.setVisible(there)
        if there:
            guard = found.fuse or found.tap.fuse
            title = (
                say("Every section")
                if guard is None
                else say("Every section behind {fuse}", fuse=fuse_words(guard))
            )
            self.sections_title.setText(self._style.show(title))
            self.sections.show_cells(
                words.section_columns(found, self._style),
                tuple(words.section_cells(found, self._style)),
                first=words.first_row(found),
            )

    def _show_published(self, found: Proposal) -> None:
        cable = found.tap.cable_out
        rows = () if cable is None else published(cable.section_mm2, cable.insulation)
        for widget in (self.beside_title, self.beside_note, self.beside):
            widget.setVisible(bool(rows))
        if cable is None or not rows:
            return
        title = say("Published for {section}, beside the model", section=Section(cable.section_mm2))
        self.beside_title.setText(self._style.show(title))
        self.beside_note.setText(
            self.tr(
                "The model is for one vehicle cable in still air, each at the table’s own "
                "temperatures; on the mean of the tables it is good to ±20 %. Where both differ "
                "more, go by the lower."
            )
        )
        self.beside.show_cells(
            words.beside_columns(self._style), tuple(words.beside_cells(rows, self._style))
        )

    # --- what is asked for ----------------------------------------------------------------------

    def adopt(self) -> None:
        """Put the proposed fuse and cable there, as one step."""
        found = self.proposal
        if found is None or not found.changes:
            return
        accessory = look_up.accessory(self.document.vehicle, found.tap.accessory)
        text = words.step_words(accessory.name, found.changes, found)
        self.document.apply(self._style.show(text), edits.change_tap, found.tap.id, **found.changes)
