"""Which lead of an accessory it is, and where it takes its current from: a slot or an own feed.

A slot that must be left alone is taken only after the reason was written down: the choice waits
beside the question until it is answered or another source is chosen.
"""

from functools import partial
from typing import Any, Final

from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QPushButton, QSizePolicy

from fusemap import tables
from fusemap.circuits import counts_critical, unanswered
from fusemap.errors import EditRefused
from fusemap.vehicle import Slot, Tap, edits, look_up
from fusemap.vehicle.texts import clean, is_reasoned
from fusemap.vehicle.words import LeadName
from fusemap.window.document import Document
from fusemap.window.forms.choices import Source, sources
from fusemap.window.forms.fields import ChoiceField, NoteField
from fusemap.window.forms.form import Form

REASON: Final = ("justification", "found_how")
"""The fields of the two parts of a reason."""
NO_TAP: Final = Tap(id="", accessory="")


class Lead:
    """Which lead it is, of which accessory; everything else is asked of the document."""

    def __init__(self, document: Document, lead: LeadName, name: str) -> None:
        self._document = document
        self._name = name
        self.lead = lead
        self.accessory_id = ""

    def tap(self) -> Tap:
        """The lead's tap; an empty one while it is not placed."""
        return look_up.tap_of(self._document.vehicle, self.accessory_id, self.lead) or NO_TAP

    @property
    def placed(self) -> bool:
        """Whether the lead is joined to something."""
        return bool(self.tap().id)

    @property
    def supplied_by(self) -> str | None:
        """The converter a power lead hangs on, `None` where it hangs on none."""
        if self.lead != "power":
            return None
        found = (a for a in self._document.vehicle.accessories if a.id == self.accessory_id)
        return next((a.supplied_by for a in found), None)

    def part_name(self) -> str:
        """The accessory by name, or the lead's own name while there is none."""
        found = (a for a in self._document.vehicle.accessories if a.id == self.accessory_id)
        return next((a.name for a in found), self._name)


NOWHERE: Final[Source] = ("", None)


class LeadSource:
    """Rows of a form: the source, and the question a critical slot asks."""

    def __init__(self, form: Form, at: Lead) -> None:
        self._form = form
        self._at = at
        self._wanted: str | None = None
        self._typed = dict.fromkeys(REASON, "")
        tr = form.tr
        self._hint = form.note(
            tr(
                "Not placed. Drag it from the shelf onto a slot, where every slot says whether it "
                "can take it; or choose here."
            )
        )
        self._source = self._source_field()
        form.add(tr("From"), self._source)
        self.why = form.note("")
        self.short = form.note("")
        self._reason = {
            "justification": self._reason_field("justification", tr("The circuit feeds")),
            "found_how": self._reason_field("found_how", tr("How that was found")),
        }
        self._anyway = QPushButton(tr("Take this slot for the reason written"))
        self._anyway.setObjectName(f"{form.objectName()}_anyway")
        self._anyway.clicked.connect(self._take_critical)
        form.rows.addRow(self._anyway)

    def _reason_field(self, field: str, name: str) -> NoteField:
        """One of the two parts of the reason to touch a circuit that must be left alone."""
        made = NoteField(
            lambda: self._typed[field] if self._wanted else getattr(self._at.tap(), field),
            partial(self._write_reason, field, name),
            name=name,
            key=f"{self._form.objectName()}_{field}",
            lines=2,
        )
        self._form.add(name, made)
        return made

    def _source_field(self) -> ChoiceField:
        field = ChoiceField(
            self._now,
            self._write,
            [],
            name=self._form.tr("Takes its current from"),
            key=f"{self._form.objectName()}_source",
        )
        field.setSizeAdjustPolicy(
            ChoiceField.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
        )
        field.setMinimumContentsLength(14)
        field.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        return field

    # --- what is shown --------------------------------------------------------------------------

    def offer(self) -> None:
        """Offer the sources there are now."""
        form = self._form
        found = sources(
            form.document.vehicle,
            form.theme.style,
            self._at.accessory_id if self._at.lead == "power" else None,
        )
        nothing = (
            []
            if self._at.placed or self._at.supplied_by
            else [(NOWHERE, self._form.tr("Nothing yet"))]
        )
        self._source.set_choices([*nothing, *found])

    def show_rows(self) -> None:
        """Show the question only where it is asked."""
        form, asking = self._form, bool(self._wanted)
        tap = self._at.tap()
        here = None if tap.slot is None else look_up.slot(form.document.vehicle, tap.slot)
        critical = here is not None and counts_critical(here)
        loose = not self._at.placed and self._at.supplied_by is None
        form.rows.setRowVisible(self._hint, loose and not asking)
        form.rows.setRowVisible(self.why, asking)
        written = bool(tap.justification or tap.found_how)
        for field in self._reason.values():
            form.rows.setRowVisible(field, asking or critical or written)
        short = not asking and critical and not is_reasoned(tap.justification, tap.found_how)
        self.short.setText(self._short_words(written) if short else "")
        form.rows.setRowVisible(self.short, short)
        form.rows.setRowVisible(self._anyway, asking)

    def _short_words(self, written: bool) -> str:
        if written:
            return self._form.tr(
                "The reason is not complete: write what the circuit feeds and how that was found, "
                "in a few words each."
            )
        return self._form.tr(
            "This circuit must be left alone. Choose another slot, or write what it feeds and how "
            "that was found."
        )

    def forget(self) -> None:
        """Drop a question that was not answered."""
        self._wanted = None
        self._typed = dict.fromkeys(REASON, "")

    def _now(self) -> Source:
        if self._wanted:
            return ("slot", self._wanted)
        tap = self._at.tap()
        if self._at.supplied_by is not None:
            return ("converter", self._at.supplied_by)
        if not tap.id:
            return NOWHERE
        if tap.kind == "plug":
            return ("socket", tap.socket)
        return ("feed", tap.feed) if tap.slot is None else ("slot", tap.slot)

    # --- what is asked for ----------------------------------------------------------------------

    def _write(self, source: Source) -> bool:
        kind, wanted = source
        self.forget()
        done = False
        if kind == "feed":
            done = self._place(feed=wanted)
        elif kind == "converter":
            done = self._hang_on(wanted)
        elif kind == "socket":
            done = self._plug_in(wanted or "")
        elif kind == "slot":
            slot = look_up.slot(self._form.document.vehicle, wanted or "")
            if counts_critical(slot):
                self._ask_reason(slot)
                return True
            done = self._place_on(slot.id)
        self._form.refresh()
        return done

    def _place_on(self, slot_id: str, **fields: Any) -> bool:
        """On a slot; a first placement with the fuse and cable proposed for it."""
        form = self._form
        if not self._at.placed:
            # loaded when it is first needed: the start stays short
            from fusemap.placement import suggest_tap

            document = form.document
            accessory = look_up.accessory(document.vehicle, self._at.accessory_id)
            proposed = suggest_tap(
                document.vehicle, document.assessment, accessory, self._at.lead, slot_id
            )
            fields = {**proposed, **fields}
        return self._place(slot=slot_id, **fields)

    def _place(self, **fields: Any) -> bool:
        form = self._form
        text = form.tr("Connect {name}").format(name=self._at.part_name())
        return form.document.apply(
            text, edits.place, self._at.accessory_id, self._at.lead, **fields
        )

    def _plug_in(self, socket_id: str) -> bool:
        form = self._form
        text = form.tr("Connect {name}").format(name=self._at.part_name())
        return form.document.apply(text, edits.plug_in, self._at.accessory_id, socket_id)

    def _hang_on(self, converter_id: str | None) -> bool:
        form = self._form
        text = form.tr("Connect {name}").format(name=self._at.part_name())
        return form.document.apply(
            text, edits.change_accessory, self._at.accessory_id, supplied_by=converter_id
        )

    # --- a slot that must be left alone ---------------------------------------------------------

    def _ask_reason(self, slot: Slot) -> None:
        form = self._form
        why = slot.critical_reason or unanswered(slot).get("critical", "")
        reason = form.theme.style.show(tables.reasons(why))
        self._wanted = slot.id
        form.refresh()
        self.why.setText(
            form.tr(
                "{slot} feeds a circuit that must be left alone{reason}. Choose another slot, or "
                "write what the circuit feeds and how that was found; both stand on the sheet."
            ).format(slot=self._slot_name(slot.id), reason=f" ({reason})" if reason else "")
        )
        self._reason["justification"].setFocus()
        # a text that grew while its row was hidden gets its room when the layout is asked again
        QTimer.singleShot(0, form.rows, form.rows.invalidate)

    def _slot_name(self, slot_id: str) -> str:
        slot = look_up.slot(self._form.document.vehicle, slot_id)
        return self._form.theme.style.show(look_up.place_words(slot))

    def _write_reason(self, field: str, name: str, text: str) -> bool:
        """A reason that is asked for waits for the button; one that is there is changed."""
        if self._wanted:
            self._typed[field] = text
            return True
        if not self._at.placed:
            return False
        step = f"{self._at.part_name()}: {name}"
        return self._form.document.apply(step, edits.change_tap, self._at.tap().id, **{field: text})

    def _take_critical(self) -> None:
        wanted = self._wanted
        reason = {
            field: clean(made.toPlainText(), lines=True) for field, made in self._reason.items()
        }
        form = self._form
        if not wanted:
            return
        if not is_reasoned(reason["justification"], reason["found_how"]):
            what = form.tr("the reason is not complete")
            if not any(reason.values()):
                what = form.tr("the reason is blank")
            form.document.refused.emit(
                EditRefused(
                    what,
                    self._slot_name(wanted),
                    form.tr(
                        "write what the circuit feeds and how that was found, in a few words each, "
                        "or choose another slot"
                    ),
                )
            )
            return
        self.forget()
        self._place_on(wanted, **reason)
        form.refresh()
