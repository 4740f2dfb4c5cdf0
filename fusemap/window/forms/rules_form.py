"""The named rules and limits: their value for this vehicle, the default, and where it is from."""

from functools import partial

from PySide6.QtWidgets import QHBoxLayout, QLabel, QToolButton, QWidget

from fusemap import tables
from fusemap.assess.result import RuleValue
from fusemap.text import Amount, Style, Text
from fusemap.vehicle import edits
from fusemap.window.document import Document
from fusemap.window.forms.fields import NumberField
from fusemap.window.forms.form import Form
from fusemap.window.parts.layouts import WholeWords
from fusemap.window.style.theme import Theme
from fusemap.window.texts.sentences import capital


class RulesForm(Form):
    """One row for each rule, with a way back to its default; two columns where there is room."""

    def __init__(self, document: Document, theme: Theme) -> None:
        super().__init__(document, theme, "rules", self.tr("Rules and limits"))
        self.section(self.tr("Rules and limits"))
        self.note(
            self.tr(
                "What the checks hold this vehicle against. Blank brings back the default. Change "
                "one only for a reason, and note the reason in the vehicle's note."
            )
        )
        for number, key in enumerate(document.assessment.rules):
            if number:
                self.rows.begin()  # they go on beside one another where there is room
            self._add_rule(key)

    def _add_rule(self, key: str) -> None:
        row = RuleRow(self.document, self.theme.style, key)
        label = QLabel(row.label)
        label.setWordWrap(True)
        label.setBuddy(row.field)
        font = label.font()
        font.setBold(True)
        label.setFont(font)
        self.rows.addRow(label)
        self.rows.addRow(row)
        self.watch(row)


class RuleRow(QWidget):
    """A rule's value, its reset button, its default and its source."""

    def __init__(self, document: Document, style: Style, key: str) -> None:
        super().__init__()
        self._document = document
        self._style = style
        self._key = key
        # A rule without a unit is a share; people say shares in per cent.
        self._scale = 0.01 if not self.rule.unit else 1.0
        self.unit = self.rule.unit or "%"
        known = tables.rule_defaults()[key]
        self.field = NumberField(
            document,
            style,
            lambda: self.rule.value,
            self._write,
            name=self.label,
            unit=self.unit,
            scale=self._scale,
            optional=True,
            key=f"rule_{key}",
            least=known.low / self._scale,
            most=known.high / self._scale,
            hint=self._style.show(Text(known.what)),
        )
        self.reset = QToolButton()
        self.reset.setText(self.tr("Reset"))
        self.reset.setObjectName(f"rule_{key}_reset")
        name = self.tr("Bring back the default of: {rule}").format(rule=self.label)
        self.reset.setAccessibleName(name)
        self.reset.setToolTip(name)
        self.reset.clicked.connect(partial(self._write, None))
        keeps = self.reset.sizePolicy()
        keeps.setRetainSizeWhenHidden(True)
        self.reset.setSizePolicy(keeps)
        self._basis = WholeWords(f"rule_{key}_basis")
        self._basis.setProperty("muted", True)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, self.fontMetrics().height() // 2)
        row.addWidget(self.field)
        row.addWidget(self.reset)
        row.addWidget(self._basis, 1)
        self.refresh()

    @property
    def rule(self) -> RuleValue:
        """The rule as it holds now."""
        return self._document.assessment.rules[self._key]

    @property
    def label(self) -> str:
        """The rule's name in the user's language."""
        return self._style.show(self.rule.label)

    def source_here(self) -> str:
        """The source of the rule's default."""
        return tables.rule_defaults()[self._key].source.title

    def refresh(self) -> None:
        """Show the rule as it holds now."""
        rule = self.rule
        self.field.refresh()
        self.reset.setVisible(rule.changed)
        default = self._style.show(Amount(rule.default / self._scale, self.unit))
        known = tables.rule_defaults()[self._key]
        lines = [self._style.show(Text(known.what)), capital(self._style.show(rule.source))]
        if rule.changed:
            lines.append(self.tr("Default: {value}").format(value=default))
        self._basis.setText("\n".join(line for line in lines if line))

    def _write(self, value: float | None, checked: bool = False) -> bool:
        text = self.tr("Rule: {rule}").format(rule=self.label)
        return self._document.apply(text, edits.set_rule, self._key, value)
