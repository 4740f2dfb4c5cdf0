"""How the slots of a panel are walked, with which meter and by whom; and how they are numbered.

`ProbeOptions` is the quiet row at the head of the probing page. `NumberDialog` numbers the slots of
the panel on which the selection is as its lid does: prefix, first number, along which way, from
where. Out: one undoable edit. Its preview shows the panel with the labels it would get; slots whose
label repeats, or that have none, are left out by a click.
"""

from collections.abc import Callable
from typing import Final

from msgspec.structs import replace
from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import (
    QAbstractItemView,
    QComboBox,
    QDialog,
    QDialogButtonBox,
    QFormLayout,
    QHeaderView,
    QLineEdit,
    QPushButton,
    QSizePolicy,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from fusemap.probing import plan
from fusemap.probing.plan import HandOrder, number_slots
from fusemap.probing.session import Session, spots_needed
from fusemap.probing.walking import begin
from fusemap.text import Style
from fusemap.vehicle import Panel, Vehicle, look_up
from fusemap.window.document import Document
from fusemap.window.forms.count_box import CountBox
from fusemap.window.parts.choice import Choice
from fusemap.window.parts.flow import Flow
from fusemap.window.parts.number_box import with_air
from fusemap.window.style.theme import Theme, space
from fusemap.window.texts.plain import plain_label

CORNERS = ((False, False), (True, False), (False, True), (True, True))
"""From the right and from the bottom, for each corner the walk can begin at."""
MOST_FIRST: Final = 9999
"""The labels of a panel begin no higher."""


class ProbeOptions(QWidget):
    """Choices of the session; `chosen(session)` tells the one that results."""

    chosen = Signal(object)
    sound = Signal(bool)
    voice = Signal(bool)

    def __init__(self, theme: Theme) -> None:
        super().__init__()
        self._theme = theme
        self._vehicle: Vehicle | None = None
        self._session: Session | None = None
        self.setObjectName("probeOptions")
        self.rounds = self._combo("probeRound", self.tr("Round"), self._round_chosen)
        self.along = self._combo("probeAlong", self.tr("Walk"), self._order_chosen)
        for key, words in (
            ("rows", self.tr("along the rows")),
            ("columns", self.tr("down the columns")),
        ):
            self.along.addItem(words, key)
        self.corner = self._combo("probeCorner", self.tr("From"), self._order_chosen)
        for words in (self.tr("top left"), self.tr("top right"), self.tr("bottom left"),
                      self.tr("bottom right")):  # fmt: skip
            self.corner.addItem(words)
        self.mirrored = self._check(
            "probeMirrored", self.tr("seen from behind"), self._order_chosen
        )
        self.fro = self._check("probeToAndFro", self.tr("to and fro"), self._order_chosen)
        self.meter = self._combo("probeMeter", self.tr("Meter"), self._meter_chosen)
        self.clamp = self._check("probeClamp", self.tr("currents by clamp"), self._clamp_chosen)
        self.by = QLineEdit()
        self.by.setObjectName("probeBy")
        self.by.setAccessibleName(self.tr("Read by"))
        self.by.setPlaceholderText(self.tr("read by"))
        self.by.setMaxLength(80)
        self.by.setMaximumWidth(self.fontMetrics().averageCharWidth() * 16)
        self.by.editingFinished.connect(self._by_written)
        self.sounds = self._check("probeSound", self.tr("sound"), lambda: None)
        self.sounds.toggled.connect(self.sound)
        self.voices = self._check("probeVoice", self.tr("voice"), lambda: None)
        self.voices.setToolTip(self.tr("Says the next place, where this computer has a voice"))
        self.voices.toggled.connect(self.voice)
        self._lay_out()

    def _lay_out(self) -> None:
        """Two rows: what is walked, and with what; each goes on below where it is narrow."""
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(space(self, "small"))
        for widgets in (
            (self.rounds, self.along, self.corner, self.mirrored, self.fro),
            (self.meter, self.clamp, self.by, self.sounds, self.voices),
        ):
            row = Flow(space(self, "medium"))
            for widget in widgets:
                row.add(widget)
            column.addWidget(row)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """As high as its lines are at this width."""
        super().resizeEvent(event)
        layout = self.layout()
        assert layout is not None
        self.setMinimumHeight(layout.heightForWidth(self.width()))

    def _combo(self, key: str, name: str, chosen: Callable[[], None]) -> QComboBox:
        box = Choice()
        box.setObjectName(key)
        box.setAccessibleName(name)
        box.setToolTip(name)
        box.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToContents)
        box.activated.connect(chosen)
        return box

    def _check(self, key: str, text: str, chosen: Callable[[], None]) -> QPushButton:
        """A choice that is on or off: pressed in, in the colour of what is chosen."""
        box = QPushButton(text)
        box.setCheckable(True)
        box.setObjectName(key)
        box.setStyleSheet(_toggle_sheet(self._theme))
        box.setSizePolicy(QSizePolicy.Policy.Maximum, QSizePolicy.Policy.Preferred)
        box.clicked.connect(chosen)
        return box

    def show_session(self, vehicle: Vehicle, session: Session) -> None:
        """Show what is chosen."""
        self._vehicle, self._session = vehicle, session
        self._fill_rounds(vehicle, session)
        self.along.setCurrentIndex(self.along.findData(session.order.along))
        self.corner.setCurrentIndex(
            CORNERS.index((session.order.from_right, session.order.from_bottom))
        )
        self.mirrored.setChecked(session.order.mirrored)
        self.fro.setChecked(session.order.to_and_fro)
        self.meter.clear()
        self.meter.addItem(self.tr("a usual meter"), None)
        for meter in vehicle.meters:
            self.meter.addItem(meter.name, meter.id)
        self.meter.setCurrentIndex(max(0, self.meter.findData(session.meter)))
        self.clamp.setChecked(session.current_by == "clamp_current")
        if not self.by.hasFocus():
            self.by.setText(session.by)

    def _fill_rounds(self, vehicle: Vehicle, session: Session) -> None:
        """Every round with how many slots still need it."""
        self.rounds.clear()
        for round_ in plan.ROUNDS:
            count = len(spots_needed(session, vehicle, round_))
            words = self._theme.style.show(plan.title(round_))
            self.rounds.addItem(f"{words} ({count})" if round_.kind != "whole" else words)
        if session.round in plan.ROUNDS:
            self.rounds.setCurrentIndex(plan.ROUNDS.index(session.round))

    # --- what is chosen -------------------------------------------------------------------------

    def _choose(self, session: Session) -> None:
        self.chosen.emit(session)

    def _round_chosen(self) -> None:
        if self._session is not None and self._vehicle is not None:
            chosen = plan.ROUNDS[self.rounds.currentIndex()]
            self._choose(
                begin(replace(self._session, only=(), job=False, sure=False), self._vehicle, chosen)
            )

    def _order_chosen(self) -> None:
        if self._session is None or self._vehicle is None:
            return
        right, bottom = CORNERS[self.corner.currentIndex()]
        order = HandOrder(
            along=self.along.currentData(),
            from_right=right,
            from_bottom=bottom,
            mirrored=self.mirrored.isChecked(),
            to_and_fro=self.fro.isChecked(),
        )
        session = replace(self._session, order=order)
        self._choose(begin(session, self._vehicle, session.round, walk=session.walk))

    def _meter_chosen(self) -> None:
        if self._session is not None:
            self._choose(replace(self._session, meter=self.meter.currentData()))

    def _clamp_chosen(self) -> None:
        if self._session is not None:
            by = "clamp_current" if self.clamp.isChecked() else "inline_current"
            self._choose(replace(self._session, current_by=by))

    def _by_written(self) -> None:
        if self._session is not None and self.by.text() != self._session.by:
            self._choose(replace(self._session, by=self.by.text()))


def _toggle_sheet(theme: Theme) -> str:
    return (
        f"QPushButton {{ border: 1px solid {theme.frame}; border-radius: 3px;"
        " padding: 0.2em 0.6em; }"
        f"QPushButton:focus {{ border: 2px solid {theme.accent}; }}"
        f"QPushButton:checked {{ background: {theme.accent}; color: {theme.accent_text}; }}"
    )


class NumberDialog(QDialog):
    """Asks how the lid numbers its slots, and shows the labels at once."""

    def __init__(self, parent: QWidget, document: Document, panel_id: str, style: Style) -> None:
        super().__init__(parent)
        self._document = document
        self._style = style
        self._panel_id = panel_id
        self._skipped: set[str] = set()
        self.setObjectName("numberDialog")
        self.setWindowTitle(self.tr("Number the slots"))
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self._build()
        self._lay_out()
        self._show()

    def _build(self) -> None:
        self.prefix = QLineEdit("F")
        self.prefix.setObjectName("numberPrefix")
        self.prefix.setMaxLength(12)
        self.prefix.textChanged.connect(self._show)
        self.first = CountBox(self._style, "numberFirst", self.tr("First number"), 0, MOST_FIRST)
        self.first.setValue(1)
        with_air(self.first)
        self.first.valueChanged.connect(self._show)
        self.along = self._combo("numberAlong", (self.tr("along the rows"),
                                                 self.tr("down the columns")))  # fmt: skip
        self.corner = self._combo("numberCorner", (
            self.tr("top left"), self.tr("top right"), self.tr("bottom left"),
            self.tr("bottom right"),
        ))  # fmt: skip
        self.fro = QPushButton(self.tr("to and fro"))
        self.fro.setObjectName("numberToAndFro")
        self.fro.setCheckable(True)
        self.fro.toggled.connect(self._show)
        self.table = QTableWidget()
        self.table.setObjectName("numberPreview")
        self.table.setAccessibleName(self.tr("The labels; click a slot to leave it out"))
        self.table.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.table.setSelectionMode(QAbstractItemView.SelectionMode.NoSelection)
        self.table.horizontalHeader().hide()
        self.table.verticalHeader().hide()
        self.table.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Stretch)
        self.table.cellClicked.connect(self._skip)
        self.table.cellActivated.connect(self._skip)

    def _combo(self, key: str, words: tuple[str, ...]) -> QComboBox:
        box = Choice()
        box.setObjectName(key)
        box.addItems(list(words))
        box.currentIndexChanged.connect(self._show)
        return box

    def _lay_out(self) -> None:
        form = QFormLayout()
        form.setRowWrapPolicy(QFormLayout.RowWrapPolicy.WrapLongRows)
        form.addRow(self.tr("&Before the number"), self.prefix)
        form.addRow(self.tr("&First number"), self.first)
        form.addRow(self.tr("&Runs"), self.along)
        form.addRow(self.tr("Fr&om"), self.corner)
        form.addRow("", self.fro)
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Cancel)
        give = buttons.addButton(self.tr("&Number them"), QDialogButtonBox.ButtonRole.AcceptRole)
        give.setObjectName("numberGive")
        buttons.accepted.connect(self._give)
        buttons.rejected.connect(self.reject)
        column = QVBoxLayout(self)
        column.setSpacing(space(self, "medium"))
        column.addLayout(form)
        column.addWidget(plain_label("numberHint", self.tr(
            "Click a slot to leave it out: one whose label repeats, or that has none."
        )))  # fmt: skip
        column.addWidget(self.table, 1)
        column.addWidget(buttons)
        em = self.fontMetrics().height()
        self.resize(em * 34, em * 30)

    def order(self) -> HandOrder:
        """The walk that is chosen."""
        right, bottom = CORNERS[self.corner.currentIndex()]
        return HandOrder(
            along="rows" if self.along.currentIndex() == 0 else "columns",
            from_right=right,
            from_bottom=bottom,
            to_and_fro=self.fro.isChecked(),
        )

    def _numbered_panel(self) -> Panel:
        made = number_slots(
            self._document.vehicle, self._panel_id, self.order(),
            prefix=self.prefix.text().strip(), first=self.first.value(),
            skipping=tuple(self._skipped),
        )  # fmt: skip
        return look_up.panel(made, self._panel_id)

    def _show(self) -> None:
        panel = self._numbered_panel()
        self.table.setRowCount(panel.rows)
        self.table.setColumnCount(panel.columns)
        self.table.clearContents()
        for slot in panel.slots:
            item = QTableWidgetItem(slot.label)
            item.setTextAlignment(Qt.AlignmentFlag.AlignCenter)
            font = item.font()
            font.setStrikeOut(slot.id in self._skipped)
            item.setFont(font)
            if slot.kind != "fuse":
                item.setFlags(Qt.ItemFlag.NoItemFlags)
            self.table.setItem(slot.row, slot.column, item)

    def _skip(self, row: int, column: int) -> None:
        """Leave a slot out of the numbering, or take it in again."""
        panel = look_up.panel(self._document.vehicle, self._panel_id)
        slot = look_up.slot_at(panel, row, column)
        if slot is not None and slot.kind == "fuse":
            self._skipped ^= {slot.id}
            self._show()

    def _give(self) -> None:
        if self.first.problem is not None:
            self._document.refused.emit(self.first.problem)
            self.first.setFocus(Qt.FocusReason.OtherFocusReason)
            self.first.selectAll()
            return
        if self._document.apply(
            self.tr("Number the slots"), number_slots, self._panel_id, self.order(),
            prefix=self.prefix.text().strip(), first=self.first.value(),
            skipping=tuple(self._skipped),
        ):  # fmt: skip
            self.accept()
