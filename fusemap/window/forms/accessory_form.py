"""Everything about the selected accessory: what it draws, when it works, how it switches off.

In: the accessory as the document has it. Out: one edit per finished field.
"""

from collections.abc import Callable
from typing import Any, Final

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QSizePolicy

from fusemap import tables
from fusemap.advise import library
from fusemap.text import Amount, Text
from fusemap.vehicle import PARKED_STATES, Accessory, Vehicle, edits, look_up
from fusemap.vehicle.words import Found
from fusemap.window.document import Document, Selection
from fusemap.window.forms import choices
from fusemap.window.forms.accessory_parts import (
    FIRST_CONVERTER,
    FIRST_CUT_OFF,
    ConverterFields,
    CutOffFields,
)
from fusemap.window.forms.entry import read_spans, show_spans
from fusemap.window.forms.fields import CheckField, ChoiceField, NoteField, NumberField, TextField
from fusemap.window.forms.form import MayBeAbsent, PartForm, below_each_other, side_by_side
from fusemap.window.style.theme import Theme
from fusemap.window.texts.plain import plain_label

AMPLIFIERS: Final = ("amplifier", "subwoofer")
"""Kinds whose label says what they give out, not what they take."""
NO_ACCESSORY: Final = Accessory(id="", name="", watts=1.0)


class AccessoryForm(PartForm):
    """The accessory that was selected last, itself or by one of its taps."""

    def __init__(self, document: Document, theme: Theme) -> None:
        self.accessory_id = ""
        super().__init__(
            document,
            theme,
            "accessory",
            self.tr("Accessory"),
            self.accessory,
            self._change_accessory,
        )
        self._add_name()
        self._add_load()
        self._add_supply()
        self._add_parked()
        self.cut_off = CutOffFields(
            self,
            MayBeAbsent(
                lambda: self.accessory().cut_off,
                lambda _, part: self.write("cut_off", self.tr("low-voltage cut-off"), part),
                lambda: FIRST_CUT_OFF,
            ),
        )
        self.converter = ConverterFields(
            self,
            MayBeAbsent(
                lambda: self.accessory().converter,
                lambda _, part: self.write("converter", self.tr("converter"), part),
                lambda: FIRST_CONVERTER,
            ),
        )
        self._add_limits()
        self._add_note()
        document.selected.connect(self._selected)
        self._selected(document.selection)

    # --- the accessory --------------------------------------------------------------------------

    def accessory(self) -> Accessory:
        """The accessory shown, as it is now; an empty one while there is none."""
        found = self.document.vehicle.accessories
        return next((each for each in found if each.id == self.accessory_id), NO_ACCESSORY)

    def part_name(self) -> str:
        """The accessory by name."""
        return self.accessory().name or self.tr("Accessory")

    def show_accessory(self, accessory_id: str) -> None:
        """Show another accessory."""
        self.accessory_id = accessory_id
        self.refresh()

    def refresh(self) -> None:
        """Show the accessory as it is now, and only the fields it has."""
        super().refresh()
        it = self.accessory()
        unit = "W" if it.watts is not None else "A"
        if self._amount.unit != unit:
            self._amount.set_unit(unit)
        self._sum.setText(self._sum_words(it))
        self.rows.setRowVisible(self._sense_a, "sense" in it.leads)
        loud = it.kind in AMPLIFIERS or it.output_w is not None
        self.rows.setRowVisible(self._output, loud)
        self.cut_off.show_rows()
        second = self.document.vehicle.second_battery is not None or it.battery != "starter"
        self.rows.setRowVisible(self._battery, second)
        self.converter.show_rows(it)

    def _selected(self, selection: Selection | None) -> None:
        if selection is None:
            return
        if selection.kind == "accessory":
            self.show_accessory(selection.id)
        elif selection.kind == "tap":
            self.show_accessory(look_up.tap(self.document.vehicle, selection.id).accessory)

    def _change_accessory(self, vehicle: Vehicle, **changes: Any) -> Vehicle:
        return edits.change_accessory(vehicle, self.accessory_id, **changes)

    # --- fields ---------------------------------------------------------------------------------

    def _add_name(self) -> None:
        self.section(self.tr("What it is"))
        self.text("name", self.tr("Name"))
        show = self.theme.style.show
        kinds = [(kind.key, show(Text(kind.name).capital())) for kind in library.kinds()]
        field = self.choice("kind", self.tr("Kind"), [("", self.tr("None of the library")), *kinds])
        for row, (key, _) in enumerate(kinds, start=1):
            tip = show(library.figures(library.kind(key)))
            field.setItemData(row, tip, Qt.ItemDataRole.ToolTipRole)

        found: list[tuple[Found, str]] = [
            ("no", self.tr("Planned or fitted by me")),
            ("keep", self.tr("An earlier owner: keep it")),
            ("remove", self.tr("An earlier owner: remove it")),
            ("unknown", self.tr("An earlier owner: not known what it is")),
        ]
        self.choice("found", self.tr("Fitted by"), found)

    def _add_load(self) -> None:
        self.section(self.tr("What it draws"))
        self._amount = NumberField(
            self.document,
            self.theme.style,
            self._amount_now,
            self._write_amount,
            name=self.tr("Draws"),
            unit="W",
            least=0,
            key="accessory_amount",
            hint=self.tr("While it works, as its label says"),
        )
        self._unit = ChoiceField(
            lambda: "W" if self.accessory().watts is not None else "A",
            self._write_unit,
            [("W", self.tr("watts")), ("A", self.tr("amperes"))],
            name=self.tr("Given in"),
            key="accessory_unit",
        )
        self.add(self.tr("Draws"), side_by_side(self._amount, self._unit))
        self.watch(self._amount)
        self.watch(self._unit)
        self.number("rated_v", self.tr("At"), "V", hint=self.tr("The voltage its figure is for"))
        self._output = NumberField(
            self.document,
            self.theme.style,
            lambda: self.accessory().output_w,
            self._write_output,
            name=self.tr("Gives out"),
            unit="W",
            optional=True,
            placeholder=self.tr("not entered"),
            key="accessory_output_w",
            hint=self.tr("All channels together; what it takes is entered from that, about twice"),
        )
        self.add(self.tr("Gives out"), self._output)
        self._sum = self.note("")
        self.choice("load_kind", self.tr("Behaves as"), choices.load_kinds())

    def _add_supply(self) -> None:
        self.section(self.tr("How it is supplied"))
        self.choice("needs", self.tr("Needs"), choices.needs())
        self._sense = self._check(
            lambda: "sense" in self.accessory().leads,
            lambda on: self.write(
                "leads", self.tr("Sense lead"), ("power", "sense") if on else ("power",)
            ),
            self.tr("Has a sense lead besides its power lead"),
            "sense",
            self.tr("A thin lead that tells it when the vehicle is on"),
        )
        self._sense_a = self.number("sense_a", self.tr("Sense lead"), "mA", scale=0.001, least=0)
        states = [
            self._state_check(state, words) for state, words in choices.states(self.theme.style)
        ]
        # beside its label it would not have room for its words in every language
        self.rows.addRow(plain_label(text=self.tr("Works when")))
        self.add("", below_each_other(states))
        for each in states:
            self.watch(each)
        self.number(
            "duty",
            self.tr("Share of the time"),
            "%",
            scale=0.01,
            least=0,
            most=100,
            hint=self.tr("For how much of the time it really draws, as with a compressor"),
        )
        self.number(
            "duty_period_s",
            self.tr("One on and off"),
            "s",
            least=0,
            hint=self.tr("How long one turn of on and off takes; 0 where it is not known"),
        )
        self.number(
            "short_s",
            self.tr("Works at a time"),
            "s",
            optional=True,
            placeholder=self.tr("no end"),
            hint=self.tr("The longest run of a winch or pump; blank where it may work on and on"),
        )

    def _add_parked(self) -> None:
        self.section(self.tr("While parked"))
        self._battery = self.choice(
            "battery",
            self.tr("Hangs on"),
            [("starter", self.tr("Starter battery")), ("second", self.tr("Second battery"))],
            hint=self.tr("What it drains while parked; the second battery stands in its own form"),
        )
        self._mode = ChoiceField(
            lambda: self.accessory().parked_mode,
            self._write_mode,
            [("", self.tr("Not said"))],
            name=self.tr("Does while parked"),
            key="accessory_parked_mode",
            hint=self.tr("Its standby current and how far that may be off follow from it"),
        )
        self.add(self.tr("Does while parked"), self._mode, follow=self._offer_modes)
        self.choice(
            "figures_from",
            self.tr("Its figures are"),
            choices.figures_from(),
            hint=self.tr("The library’s have the library’s span in the parked forecast"),
        )
        self.number(
            "current_spread",
            self.tr("Its current may differ by ±"),
            "%",
            scale=0.01,
            optional=True,
            least=0,
            most=99,
            placeholder=self.tr("usual"),
            hint=self.tr("How well its current is known; for the band of the parked forecast"),
        )
        self.number(
            "standby_a",
            self.tr("Standby"),
            "mA",
            scale=0.001,
            least=0,
            hint=self.tr("What it draws when it does not work, as long as its lead is live"),
        )
        self.choice(
            "rest_from",
            self.tr("Standby is"),
            [(None, self.tr("As its other figures")), *choices.figures_from()],
            hint=self.tr("Who measured what it takes at work has not measured what it rests with"),
        )
        self.number(
            "run_on_min",
            self.tr("Runs on for"),
            "min",
            optional=True,
            least=0,
            placeholder=self.tr("no end"),
            hint=self.tr("How long after locking it still works; blank where it does not stop"),
        )
        self._timetable = TextField(
            self.document,
            self.theme.style,
            lambda: show_spans(self.accessory().timetable),
            lambda text: self.write(
                "timetable", self.tr("Timetable"), read_spans(text, self.tr("Timetable"))
            ),
            name=self.tr("Timetable"),
            key="accessory_timetable",
            placeholder=self.tr("any hour"),
            hint=self.tr(
                "Hours of the day in which it works while parked, like 22:00–06:00, 12–13"
            ),
        )
        self.add(self.tr("Works only at"), self._timetable)

    def _add_limits(self) -> None:
        self.section(self.tr("What it can bear, and how it starts"))
        self.number(
            "min_voltage_v",
            self.tr("Needs at least"),
            "V",
            optional=True,
            hint=self.tr("The lowest voltage at which it still works, as its label says"),
        )
        self.number(
            "largest_fuse_a",
            self.tr("Its fuse at most"),
            "A",
            optional=True,
            least=0,
            placeholder=self.tr("not said"),
            hint=self.tr("The largest fuse its maker allows in front of it and its own lead"),
        )
        self.number(
            "inrush_multiple",
            self.tr("Starts with"),
            "×",
            least=0,
            hint=self.tr("How many times its current it draws in the moment it is switched on"),
        )
        self.number("inrush_s", self.tr("For"), "s", least=0)

    def _add_note(self) -> None:
        self.section(self.tr("Note"))
        note = NoteField(
            lambda: self.accessory().note,
            lambda text: self.write("note", self.tr("Note"), text),
            name=self.tr("Note"),
            key="accessory_note",
        )
        note.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.add("", note)

    def _check(
        self,
        read: Callable[[], bool],
        write: Callable[[bool], bool],
        text: str,
        key: str,
        hint: str = "",
    ) -> CheckField:
        field = CheckField(read, write, text=text, key=f"accessory_{key}", hint=hint)
        self.add("", field)
        return field

    def _state_check(self, state: str, words: str) -> CheckField:
        def write(on: bool) -> bool:
            kept = [
                s
                for s, _ in choices.states(self.theme.style)
                if (on if s == state else self._works(s))
            ]
            return self.write("works_in", self.tr("Works when"), tuple(kept))

        return CheckField(
            lambda: self._works(state),
            write,
            text=words,
            name=self.tr("Works when: {state}").format(state=words),
            key=f"accessory_works_{state}",
        )

    def _works(self, state: str) -> bool:
        return state in self.accessory().works_in

    def _offer_modes(self) -> None:
        """The modes of its kind; where it has none, no choice."""
        modes = tables.parked_modes(self.accessory().kind)
        show = self.theme.style.show
        named = [(key, show(Text(mode.name).capital())) for key, mode in modes.items()]
        self._mode.set_choices([("", self.tr("Not said")), *named])
        self.rows.setRowVisible(self._mode, bool(modes))

    def _write_mode(self, key: str) -> bool:
        """A mode brings its usual standby current along."""
        mode = tables.parked_modes(self.accessory().kind).get(key)
        changes: dict[str, Any] = {"parked_mode": key}
        if mode is not None:
            # what it does then is the mode's, not its work with the key
            works = self.accessory().works_in
            changes["works_in"] = tuple(each for each in works if each not in PARKED_STATES)
            changes |= {"standby_a": mode.typical_a, "rest_from": "library"}
        text = f"{self.part_name()}: {self.tr('Does while parked')}"
        return self.document.apply(text, self._change, **changes)

    # --- watts and amperes ----------------------------------------------------------------------

    def _amount_now(self) -> float | None:
        it = self.accessory()
        return it.watts if it.watts is not None else it.amperes

    def _write_amount(self, value: float) -> bool:
        field = "watts" if self.accessory().watts is not None else "amperes"
        return self.write(field, self.tr("Draws"), value)

    def _write_output(self, output_w: float | None) -> bool:
        """What an amplifier gives out, with what it takes for that."""
        changes: dict[str, Any] = {"output_w": output_w}
        if output_w is not None:
            # loaded when it is first needed: the start stays short
            from fusemap.checks.amplifiers import takes_w

            share = self.document.assessment.rule("amplifier_share")
            changes |= {"watts": round(takes_w(output_w, share), 1), "amperes": None}
        text = f"{self.part_name()}: {self.tr('Gives out')}"
        return self.document.apply(text, self._change, **changes)

    def _write_unit(self, unit: str) -> bool:
        """The same load in the other unit."""
        it = self.accessory()
        text = self.tr("{name}: given in {unit}").format(name=self.part_name(), unit=unit)
        changes: dict[str, Any] = {"watts": None, "amperes": None}
        if unit == "W":
            changes["watts"] = round((it.amperes or 0.0) * it.rated_v, 3)
        else:
            changes["amperes"] = round((it.watts or 0.0) / it.rated_v, 4)
        return self.document.apply(text, self._change, **changes)

    def _sum_words(self, it: Accessory) -> str:
        show = self.theme.style.show
        if it.watts is not None:
            other = show(Amount(it.watts / it.rated_v, "A"))
        else:
            other = show(Amount((it.amperes or 0.0) * it.rated_v, "W"))
        volts = show(Amount(it.rated_v, "V"))
        return self.tr("That is {other} at {volts}.").format(other=other, volts=volts)
