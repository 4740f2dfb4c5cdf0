"""What a view says in a sentence, and how its numbers came about.

A `Headline` stands at the head: a severity's mark, a shape as well as a colour, and in bold what it
comes to. A `Basis` is opened in place: the sum in words, what went into it, the source; as lines
for a row of a list, or as a widget with a button that opens and closes.
"""

from typing import TYPE_CHECKING

from PySide6.QtCore import QCoreApplication, Qt
from PySide6.QtWidgets import QHBoxLayout, QLabel, QSizePolicy, QToolButton, QVBoxLayout, QWidget

from fusemap import tables
from fusemap.text import Argument, Style, say
from fusemap.window.document import Document
from fusemap.window.parts.row_list import Line
from fusemap.window.parts.sources import open_tables
from fusemap.window.style.sheet import as_link
from fusemap.window.style.theme import Theme, severity_icon, space
from fusemap.window.texts.plain import copyable_label

if TYPE_CHECKING:
    from fusemap.assess.result import Basis
    from fusemap.checks.finding import Severity


class Headline(QHBoxLayout):
    """A mark and a sentence that can be copied."""

    def __init__(self, theme: Theme, name: str) -> None:
        super().__init__()
        self._theme = theme
        self.mark = QLabel()
        self.label = copyable_label(name, strong=True)
        self.addWidget(self.mark, 0, Qt.AlignmentFlag.AlignVCenter)
        self.addWidget(self.label, 1)

    def say(self, severity: "Severity", words: str) -> None:
        """Say this, marked as so severe."""
        size = self.mark.fontMetrics().height()
        self.mark.setPixmap(severity_icon(severity, self._theme, size).pixmap(size, size))
        self.label.setText(words)


def basis_lines(basis: "Basis", style: Style, indent: int = 0) -> tuple[Line, ...]:
    """A basis as lines of a row: the sum, each input with its value at the right, the source."""
    inputs = (
        Line(style.show(name), colour="muted_text", right=style.show(value), indent=indent)
        for name, value in basis.inputs
    )
    sum_ = Line(_sentence(style.show(basis.formula)), indent=indent)
    return (sum_, *inputs, *_source(basis, style, indent))


def _source(basis: "Basis", style: Style, indent: int) -> tuple[Line, ...]:
    if not basis.source:
        return ()
    words = style.show(say("Source: {source}", source=basis.source))
    return (Line(words, colour="muted_text", indent=indent),)


def basis_text(basis: "Basis", style: Style) -> str:
    """A basis as plain text, for a label and for the clipboard."""
    lines = (
        f"{line.text}: {line.right}" if line.right else line.text
        for line in basis_lines(basis, style)
    )
    return "\n".join(lines)


def _sentence(text: str) -> str:
    return text[:1].upper() + text[1:]


class BasisView(QWidget):
    """A button that opens the basis below itself."""

    def __init__(self, document: Document, style: Style, title: str, key: str) -> None:
        super().__init__()
        self._document = document
        self._style = style
        self.setObjectName(key)
        self.setAccessibleName(title)
        self._text = ""
        self.button = QToolButton()
        self.button.setObjectName(f"{key}Button")
        self.button.setText(title)
        self.button.setAutoRaise(True)
        self.button.setCheckable(True)
        self.button.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextBesideIcon)
        self.button.toggled.connect(self._open)
        self.label = QLabel()
        self.label.setObjectName(f"{key}Text")
        self.label.setWordWrap(True)
        self.label.setTextFormat(Qt.TextFormat.PlainText)
        self.label.setTextInteractionFlags(
            Qt.TextInteractionFlag.TextSelectableByMouse
            | Qt.TextInteractionFlag.TextSelectableByKeyboard
        )
        self.label.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Minimum)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(space(self, "small"))
        self.tables = as_link(QToolButton())
        self.tables.setObjectName(f"{key}Tables")
        self.tables.setText(QCoreApplication.translate("Basis", "The tables behind it"))
        self.tables.clicked.connect(self._show_tables)
        column.addWidget(self.button)
        column.addWidget(self.label)
        column.addWidget(self.tables)
        self._open(False)

    def set_title(self, title: str) -> None:
        """Say of which number it is."""
        self.button.setText(title)
        self.setAccessibleName(title)

    def show_text(self, text: str, source: Argument | None = None) -> None:
        """Show this when opened; `source` names its sources as the tables do."""
        self.label.setText(text)
        self.label.setAccessibleName(text)
        # the tables know their sources by their English
        self._text = text if source is None else str(source)
        self._offer_tables()

    def source_here(self) -> str:
        """The text that names the sources."""
        return self._text

    def _open(self, on: bool) -> None:
        self.button.setArrowType(Qt.ArrowType.DownArrow if on else Qt.ArrowType.RightArrow)
        self.label.setVisible(on)
        self._offer_tables()

    def _offer_tables(self) -> None:
        """The way to the tables is there where the number rests on one of them."""
        cites = False
        if self.button.isChecked():
            cites = bool(tables.cited(self.source_here()))
        self.tables.setVisible(cites)

    def _show_tables(self) -> None:
        open_tables(self, self.source_here())
