"""Everything about one finding: the sum, the rule, what to do, and the fixes of it.

In: a finding. Out: text that can be copied, the way to its place and to the tables behind it.
"""

from collections.abc import Callable

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel, QToolButton, QVBoxLayout, QWidget

from fusemap.checks.finding import Finding
from fusemap.window.document import Document
from fusemap.window.findings.fixes_view import FixesView
from fusemap.window.parts.layouts import WrappingButton
from fusemap.window.style.theme import Theme, space
from fusemap.window.texts.plain import embolden


class Details(QWidget):
    """Everything about one finding, as text that can be copied."""

    def __init__(self, document: Document, theme: Theme, jump: Callable[[], None]) -> None:
        super().__init__()
        self._theme = theme
        self._document = document
        self._finding: Finding | None = None
        self.setObjectName("findingDetails")
        self.setAccessibleName(self.tr("About this finding"))
        self._column = QVBoxLayout(self)
        self._column.setSpacing(space(self, "small"))
        self.labels: dict[str, QLabel] = {}
        self._headings: dict[str, QLabel] = {}
        for key, title in (
            ("what", ""),
            ("sum", self.tr("Sum")),
            ("formula", self.tr("How it is reckoned")),
            ("remedy", self.tr("What to do")),
            ("rule", self.tr("Rule")),
            ("source", self.tr("Source")),
        ):
            self.labels[key] = self._label(key, title)
            if key == "sum":
                self.fixes = FixesView(document, theme)
                self._column.addWidget(self.fixes)
        self.tables = QToolButton()
        self.tables.setObjectName("findingTables")
        self.tables.setText(self.tr("The tables behind it"))
        self.tables.clicked.connect(self._show_tables)
        self.button = WrappingButton(self.tr("Show it"))
        self.button.setObjectName("findingShow")
        self.button.clicked.connect(jump)
        self._column.addWidget(self.tables, 0, Qt.AlignmentFlag.AlignLeft)
        self._column.addWidget(self.button)
        self._column.addStretch(1)  # room that is left over stays below, not between

    def _label(self, key: str, title: str) -> QLabel:
        label = QLabel()
        label.setObjectName(f"finding_{key}")
        label.setWordWrap(True)
        label.setTextFormat(Qt.TextFormat.PlainText)
        label.setTextInteractionFlags(
            Qt.TextInteractionFlag.TextSelectableByMouse
            | Qt.TextInteractionFlag.TextSelectableByKeyboard
        )
        if title:
            heading = QLabel(title)
            heading.setProperty("muted", True)
            heading.setContentsMargins(0, space(self, "small"), 0, 0)
            self._headings[key] = heading
            self._column.addWidget(heading)
        else:
            embolden(label)
        self._column.addWidget(label)
        return label

    def show_finding(self, finding: Finding | None) -> None:
        """Show this one, or nothing."""
        self._finding = finding
        show = self._theme.style.show
        for key, label in self.labels.items():
            label.setText("" if finding is None else show(getattr(finding, key)))
            for widget in filter(None, (self._headings.get(key), label)):
                widget.setVisible(bool(label.text()))
        self.fixes.show_finding(finding)
        self.button.setVisible(finding is not None)
        self.tables.setVisible(finding is not None)
        if finding is not None:
            self.button.show_words(self.tr("Show {where}").format(where=show(finding.where)))

    def source_here(self) -> str:
        """The source of the finding shown."""
        return "" if self._finding is None else str(self._finding.source)

    def _show_tables(self) -> None:
        # loaded when it is first needed: the start stays short
        from fusemap.window.pages.tables_page import open_tables

        open_tables(self, self._document, self._theme.style, self.source_here())
