"""What the readings of a slot say, for the slot's form; and the field that calibrates its fuse.

What concludes from readings takes long to load: it is, with the first slot that has any.
"""

from collections.abc import Callable

from PySide6.QtWidgets import QHBoxLayout, QLabel, QLineEdit, QPushButton, QVBoxLayout, QWidget

from fusemap import tables
from fusemap.errors import InputProblem
from fusemap.text import Amount, Style, say
from fusemap.vehicle import Fuse, Slot, Vehicle, edits, look_up
from fusemap.window.document import Document
from fusemap.window.forms.entry import read_number
from fusemap.window.style.theme import space
from fusemap.window.texts.plain import plain_label


def evidence_words(vehicle: Vehicle, slot: Slot, style: Style) -> str:
    """The evidence of a slot, a line each; empty while nothing was read."""
    read = any(slot.id in (each.target_id, each.fuse_out) for each in vehicle.readings)
    if not read and slot.borrowed is None:
        return ""
    # loaded when it is first needed: the start stays short
    from fusemap.probing import conclusions, travel

    lines = [verdict.words for verdict in travel.verdicts(vehicle) if verdict.slot.id == slot.id]
    found = conclusions.of_slot(vehicle, slot)
    lines += found.lines
    if found.lines:
        lines += [say("open: {what}", what=what) for what in found.feed.open]
    return "\n".join(map(style.show, lines))


class CalibrateField(QWidget):
    """Millivolts at a known current make this very fuse a measuring resistor."""

    def __init__(self, document: Document, style: Style, slot: Callable[[], Slot]) -> None:
        super().__init__()
        self._document = document
        self._style = style
        self._slot = slot
        self.setObjectName("calibrateFuse")
        self.millivolts = self._line("calibrateMillivolts", self.tr("Millivolts across it"), "mV")
        self.amperes = self._line("calibrateAmperes", self.tr("Known current"), "A")
        self.button = QPushButton(self.tr("Calibrate"))
        self.button.setObjectName("calibrateButton")
        self.button.clicked.connect(self._calibrate)
        self.forget = QPushButton(self.tr("Forget"))
        self.forget.setObjectName("calibrateForget")
        self.forget.clicked.connect(self._forget)
        self.words: QLabel = plain_label("calibrateWords")
        row = QHBoxLayout()
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(space(self, "small"))
        buttons = QHBoxLayout()
        buttons.setSpacing(space(self, "small"))
        for each in (self.millivolts, self.amperes):
            row.addWidget(each)
        for button in (self.button, self.forget):
            buttons.addWidget(button)
        row.addStretch(1)
        buttons.addStretch(1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addLayout(row)
        column.addLayout(buttons)
        column.addWidget(self.words)

    def _line(self, key: str, name: str, unit: str) -> QLineEdit:
        line = QLineEdit()
        line.setObjectName(key)
        line.setAccessibleName(name)
        line.setToolTip(name)
        line.setPlaceholderText(unit)
        line.setMaximumWidth(self.fontMetrics().averageCharWidth() * 11)
        line.returnPressed.connect(self._calibrate)
        return line

    def refresh(self) -> None:
        """Say what is known of this fuse."""
        fuse = self._slot().fuse
        self.setEnabled(fuse is not None)
        own = fuse is not None and fuse.resistance_mohm is not None
        self.forget.setVisible(own)
        if fuse is None:
            self.words.setText("")
        elif fuse.resistance_mohm is not None:
            text = self.tr("calibrated: {value} cold")
            value = self._style.show(Amount(fuse.resistance_mohm, "mΩ"))
            self.words.setText(text.format(value=value))
        elif tables.fuse_resistance(fuse.family, fuse.rating) is None:
            self.words.setText(
                self.tr("No resistance is published: millivolts say nothing before this.")
            )
        else:
            self.words.setText("")

    def _calibrate(self) -> None:
        fuse = self._slot().fuse
        if fuse is None:
            return
        try:
            mv = read_number(self.millivolts.text(), "mV", self.millivolts.accessibleName())
            amperes = read_number(self.amperes.text(), "A", self.amperes.accessibleName())
            if mv is None or amperes is None:
                raise InputProblem(
                    say("both are needed"), remedy=say("load the circuit with a known current")
                )
            mohm = resistance(fuse, mv, amperes)
        except InputProblem as problem:
            self.words.setText(self._style.show(problem.text))
            return
        if self._write(mohm, self.tr("Calibrate the fuse of {slot}")):
            self.millivolts.clear()
            self.amperes.clear()

    def _forget(self) -> None:
        self._write(None, self.tr("Forget the calibration of {slot}"))

    def _write(self, mohm: float | None, text: str) -> bool:
        # loaded when it is first needed: the start stays short
        from msgspec.structs import replace

        slot = self._slot()
        assert slot.fuse is not None
        fuse = replace(slot.fuse, resistance_mohm=mohm)
        name = self._style.show(look_up.place_words(slot))
        return self._document.apply(text.format(slot=name), edits.change_slot, slot.id, fuse=fuse)


def resistance(fuse: Fuse, mv: float, amperes: float) -> float:
    """Cold resistance [mΩ] from millivolts at a known current [A].

    Raises `InputProblem` where no such fuse can have it.
    """
    # loaded when it is first needed: the start stays short
    from msgspec.structs import replace

    from fusemap.assess import facts
    from fusemap.electrics.meter import calibrate

    published = facts.fuse_resistance(replace(fuse, resistance_mohm=None))
    hot = published.hot_to_cold if published is not None else 1.0
    cold = published.cold_mohm if published is not None else None
    found = calibrate(mv, amperes, fuse.rating, hot, cold)
    if not found.believable:
        raise InputProblem(
            say("{value} is no such fuse", value=Amount(float(found.cold_mohm), "mΩ")),
            remedy=say("read both again; is the whole current through this fuse?"),
        )
    return round(float(found.cold_mohm), 4)
