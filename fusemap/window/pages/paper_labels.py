"""What labels are printed on: a kind from the table, or a sheet by its own numbers in mm.

In: the document and the settings. Out: the stock; `changed` when it is another. It is remembered
for each vehicle's file; how many labels of the sheet are used already is not.
"""

from typing import Final

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QDoubleSpinBox, QFormLayout, QGroupBox, QWidget

from fusemap.errors import InputProblem
from fusemap.sheet.stock import PLAIN, STOCKS, Stock, StockPaper, own_sheet, read, written
from fusemap.text import Style
from fusemap.window.document import Document
from fusemap.window.forms.count_box import CountBox
from fusemap.window.parts.choice import Choice
from fusemap.window.parts.number_box import with_air
from fusemap.window.settings import Settings

OWN: Final = "own"
START: Final = STOCKS["a4-65"]
"""What the own numbers begin with."""
MOST_MM: Final = 300.0
MOST_USED: Final = 999
"""So many labels of a sheet are used at most."""


class LabelChoice(QGroupBox):
    """The kinds of stock, how many labels are used, and the numbers of an own sheet."""

    changed = Signal()

    def __init__(
        self,
        document: Document,
        style: Style,
        settings: Settings | None = None,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._document, self._settings = document, settings
        self.setObjectName("paperLabels")
        self.setTitle(self.tr("Labels"))
        self.kind = Choice.among("labelStock", self.tr("Label stock"), self._kinds(style))
        self.kind.setMinimumContentsLength(12)
        used = self.tr("Labels used already")
        self.used = CountBox(style, "labelsUsed", used, 0, MOST_USED)
        self.used.refused.connect(document.refused)
        with_air(self.used)
        self.numbers = [self._number(key, name) for key, name in self._names()]
        self._form = QFormLayout(self)
        self._form.setRowWrapPolicy(QFormLayout.RowWrapPolicy.WrapLongRows)
        self._form.addRow(self.kind)
        self._form.addRow(self.used.accessibleName(), self.used)
        for box in self.numbers:
            self._form.addRow(box.accessibleName(), box)
        self._choose(START, kind="plain")
        self._remembered()
        self.kind.currentIndexChanged.connect(self._kind_changed)
        self.used.valueChanged.connect(lambda _: self.changed.emit())
        document.opened.connect(self._remembered)
        document.path_changed.connect(self._remembered)

    def _kinds(self, style: Style) -> list[tuple[str, str]]:
        """The stock that is known, then a sheet by its own numbers."""
        return [
            *((name, style.show(stock.words)) for name, stock in STOCKS.items()),
            (f"{OWN}-a4", self.tr("Own sheet, A4")),
            (f"{OWN}-letter", self.tr("Own sheet, Letter")),
        ]

    def _names(self) -> list[tuple[str, str]]:
        """The numbers of an own sheet, in the order in which they are kept."""
        return [
            ("labelWide", self.tr("Width, mm")),
            ("labelHigh", self.tr("Height, mm")),
            ("labelAcross", self.tr("Across")),
            ("labelDown", self.tr("Down")),
            ("labelLeft", self.tr("Left margin, mm")),
            ("labelTop", self.tr("Top margin, mm")),
            ("labelPitchX", self.tr("From one to the next across, mm")),
            ("labelPitchY", self.tr("From one to the next down, mm")),
        ]

    def _number(self, key: str, name: str) -> QDoubleSpinBox:
        box = QDoubleSpinBox()
        box.setObjectName(key)
        box.setAccessibleName(name)
        count = key in ("labelAcross", "labelDown")
        box.setDecimals(0 if count else 2)
        box.setRange(1.0 if count else 0.0, 60.0 if count else MOST_MM)
        box.editingFinished.connect(self._own_changed)
        return with_air(box)

    # --- the stock ------------------------------------------------------------------------------

    @property
    def stock(self) -> Stock:
        """What is chosen; plain paper while the own numbers are no sheet."""
        try:
            found = self._chosen()
        except InputProblem:
            return PLAIN
        taken = self.used.value() if found.kind == "sheet" else 0
        return Stock(found.kind, found.wide_mm, found.high_mm, found.paper, found.across,
                     found.down, found.left_mm, found.top_mm, found.pitch_x_mm, found.pitch_y_mm,
                     taken)  # fmt: skip

    def _chosen(self) -> Stock:
        """The stock without what is used of it. Raises `InputProblem` for numbers of no sheet."""
        key = str(self.kind.currentData())
        if key in STOCKS:
            return STOCKS[key]
        paper: StockPaper = "a4" if key.endswith("a4") else "letter"
        return own_sheet(paper, tuple(box.value() for box in self.numbers))

    def _kind_changed(self) -> None:
        self._show_rows()
        self._keep()
        self.changed.emit()

    def _own_changed(self) -> None:
        """Own numbers were typed: told where they are no sheet."""
        try:
            self._chosen()
        except InputProblem as problem:
            self._document.refused.emit(problem)
        self._keep()
        self.changed.emit()

    def _show_rows(self) -> None:
        own = str(self.kind.currentData()).startswith(OWN)
        for box in self.numbers:
            self._form.setRowVisible(box, own)
        sheet = own or STOCKS[str(self.kind.currentData())].kind == "sheet"
        self._form.setRowVisible(self.used, sheet)

    # --- remembered -----------------------------------------------------------------------------

    def _keep(self) -> None:
        path = self._document.path
        if self._settings is None or path is None:
            return
        try:
            self._settings.keep_labels(path, written(self._chosen()))
        except InputProblem:
            return

    def _remembered(self) -> None:
        """Take what was chosen for the vehicle's file; plain paper where nobody chose."""
        path = self._document.path
        word = "" if self._settings is None or path is None else self._settings.labels_of(path)
        try:
            stock = read(word) if word else PLAIN
        except InputProblem:  # written by hand, or by a version that had other kinds
            stock = PLAIN
        name = written(stock)
        self._choose(stock, kind=name if name in STOCKS else f"{OWN}-{stock.paper}")

    def _choose(self, stock: Stock, *, kind: str) -> None:
        self.kind.show_value(kind)
        if kind.startswith(OWN) or stock is START:
            values = (stock.wide_mm, stock.high_mm, stock.across, stock.down, stock.left_mm,
                      stock.top_mm, stock.pitch_x_mm, stock.pitch_y_mm)  # fmt: skip
            for box, value in zip(self.numbers, values, strict=True):
                box.setValue(value)
        self._show_rows()
