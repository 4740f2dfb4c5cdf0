"""One lead of an accessory: where it takes its current from, through which fuse, cable and joint.

In: the lead's tap, if there is one. Out: edits of the tap. A slot that must be left alone is taken
only after the reason was written down.
"""

from collections.abc import Callable
from typing import Any, Final

from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QPushButton, QSizePolicy, QWidget

from fusemap.errors import EditRefused
from fusemap.vehicle import Fuse, Tap, Vehicle, edits, look_up
from fusemap.vehicle.words import LeadName
from fusemap.window import choices
from fusemap.window.accessory_choices import (
    Source,
    joints,
    side_by_side,
    sources,
    tap_kinds,
    ways_round,
)
from fusemap.window.cable_fields import CableFields
from fusemap.window.document import Document
from fusemap.window.fields import CheckField, ChoiceField, NoteField
from fusemap.window.part_form import PartForm

NO_TAP: Final = Tap(id="", accessory="")
NOWHERE: Final[Source] = ("", None)


class LeadForm(PartForm):
    """The tap of one lead."""

    def __init__(self, document: Document, lead: LeadName, name: str) -> None:
        self.accessory_id = ""
        self.lead = lead
        self._wanted: str | None = None
        self._critical_reason = ""
        super().__init__(document, f"{lead}Lead", name, self.tap, self._change_tap)
        self.section(name)
        self._add_source()
        self._add_tap()
        self._add_fuse()
        self._joint = self.choice("joint", self.tr("Joint"), joints())
        self.out = CableFields(self, "cable_out", self.tr("Cable to the accessory"))
        self.back = CableFields(self, "cable_back", self.tr("Return"))
        self._earth = self.text(
            "earth_point",
            self.tr("Earth point"),
            placeholder=self.tr("bolt behind the side trim"),
        )
        self._off = QPushButton(self.tr("Take off"))
        self._off.setObjectName(f"{lead}Lead_takeOff")
        self._off.setAccessibleName(self.tr("Take the {lead} off").format(lead=name.lower()))
        self._off.clicked.connect(self.take_off)
        self.rows.addRow(self._off)

    # --- the tap --------------------------------------------------------------------------------

    def tap(self) -> Tap:
        """The lead's tap as it is now; an empty one while it is not placed."""
        return look_up.tap_of(self.document.vehicle, self.accessory_id, self.lead) or NO_TAP

    @property
    def placed(self) -> bool:
        """Whether the lead is joined to something."""
        return bool(self.tap().id)

    def called(self) -> str:
        """The accessory by name."""
        found = [a.name for a in self.document.vehicle.accessories if a.id == self.accessory_id]
        return found[0] if found else self.accessibleName()

    def show_accessory(self, accessory_id: str) -> None:
        """Show the lead of another accessory."""
        self.accessory_id = accessory_id
        self._wanted = None
        self.refresh()

    def _change_tap(self, vehicle: Vehicle, **changes: Any) -> Vehicle:
        return edits.change_tap(vehicle, self.tap().id, **changes)

    def refresh(self) -> None:
        """Show the tap as it is now, and only the fields it has."""
        self._source.set_choices(self._sources())
        self._rating.set_choices(self._ratings())
        super().refresh()
        tap = self.tap()
        self.out.show_rows(self.placed)
        self.back.show_rows(self.placed and self.lead == "power")
        on_slot = tap.slot is not None
        shown: dict[QWidget, bool] = {
            self._kind: on_slot,
            self._way: on_slot and tap.kind in ("two_fuse", "take_off_lead"),
            self._ceiling: on_slot and tap.kind in ("two_fuse", "take_off_lead"),
            self._relay: self.placed and not on_slot and self.lead == "power",
            self._fuse_row: self.placed,
            self._joint: self.placed,
            self._earth: self.placed and self.lead == "power",
            self._reason: bool(self._wanted) or self._is_critical() or bool(tap.justification),
            self._anyway: bool(self._wanted),
            self._why: bool(self._wanted),
            self._off: self.placed,
            self._hint: not self.placed and not self._wanted,
        }
        for widget, on in shown.items():
            self.rows.setRowVisible(widget, on)

    # --- where it comes from --------------------------------------------------------------------

    def _add_source(self) -> None:
        self._hint = self.note(
            self.tr(
                "Not placed. Drag it from the shelf onto a slot, where every slot says whether it "
                "can take it; or choose here."
            )
        )
        self._source = ChoiceField(
            self.document,
            self._source_now,
            self._write_source,
            [],
            name=self.tr("Takes its current from"),
            key=f"{self.objectName()}_source",
        )
        self._source.setSizeAdjustPolicy(
            ChoiceField.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
        )
        self._source.setMinimumContentsLength(14)
        self._source.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.add(self.tr("From"), self._source)
        self._why = self.note("")
        self._reason = NoteField(
            self.document,
            lambda: self.tap().justification,
            self._write_reason,
            name=self.tr("Why it has to be this slot"),
            key=f"{self.objectName()}_justification",
            lines=2,
        )
        self.add(self.tr("Why it has to be this slot"), self._reason)
        self._anyway = QPushButton(self.tr("Take this slot for the reason written"))
        self._anyway.setObjectName(f"{self.objectName()}_anyway")
        self._anyway.clicked.connect(self._take_critical)
        self.rows.addRow(self._anyway)

    def _sources(self) -> list[tuple[Any, str]]:
        found = sources(self.document.vehicle)
        return found if self.placed else [(NOWHERE, self.tr("Nothing yet")), *found]

    def _source_now(self) -> Source:
        if self._wanted:
            return ("slot", self._wanted)
        tap = self.tap()
        if not tap.id:
            return NOWHERE
        return ("feed", tap.feed) if tap.slot is None else ("slot", tap.slot)

    def _write_source(self, source: Source) -> bool:
        kind, wanted = source
        self._wanted = None
        if kind == "":
            return False
        if kind == "feed":
            return self._place(feed=wanted)
        slot = look_up.slot(self.document.vehicle, wanted or "")
        if slot.critical:
            self._ask_reason(slot.id, slot.critical_reason)
            return True
        return self._place_on(slot.id)

    def _place_on(self, slot_id: str, **fields: Any) -> bool:
        """On a slot; a first placement with the fuse and cable proposed for it."""
        if not self.placed:
            from fusemap.placement import suggest_tap

            vehicle = self.document.vehicle
            accessory = look_up.accessory(vehicle, self.accessory_id)
            proposed = suggest_tap(vehicle, self.document.assessment, accessory, self.lead, slot_id)
            fields = {**proposed, **fields}
        return self._place(slot=slot_id, **fields)

    def _place(self, **fields: Any) -> bool:
        text = self.tr("Connect {name}").format(name=self.called())
        return self.document.apply(text, edits.place, self.accessory_id, self.lead, **fields)

    # --- a slot that must be left alone ---------------------------------------------------------

    def _ask_reason(self, slot_id: str, reason: str) -> None:
        self._wanted = slot_id
        self.refresh()
        name = look_up.slot_name(look_up.slot(self.document.vehicle, slot_id))
        self._why.setText(
            self.tr(
                "{slot} feeds a circuit that must be left alone{reason}. Choose another slot, or "
                "write why it has to be this one; that stands on the sheet."
            ).format(slot=name, reason=f" ({reason})" if reason else "")
        )
        self._reason.setFocus()
        # a text that grew while its row was hidden gets its room when the layout is asked again
        QTimer.singleShot(0, self.rows, self.rows.invalidate)

    def _write_reason(self, text: str) -> bool:
        if self._wanted or not self.placed:
            return False  # it is written together with the placing
        return self.write("justification", self.tr("reason"), text)

    def _take_critical(self) -> None:
        wanted, text = self._wanted, self._reason.toPlainText().strip()
        if not wanted:
            return
        if not text:
            self.document.refused.emit(
                EditRefused(
                    self.tr("the reason is blank"),
                    look_up.slot_name(look_up.slot(self.document.vehicle, wanted)),
                    self.tr("write why it has to be this slot, or choose another"),
                )
            )
            return
        self._wanted = None
        if not self._place_on(wanted, justification=text):
            self.refresh()

    def _is_critical(self) -> bool:
        slot_id = self.tap().slot
        return slot_id is not None and look_up.slot(self.document.vehicle, slot_id).critical

    # --- tap, fuse, ends ------------------------------------------------------------------------

    def _add_tap(self) -> None:
        self._kind = self.choice("kind", self.tr("By"), tap_kinds())
        self._way = self.choice(
            "way_round",
            self.tr("Way round"),
            ways_round(),
            hint=self.tr(
                "On the live side the host fuse carries only its own circuit; reversed it carries "
                "the accessory too, and takes the circuit along when it opens"
            ),
        )
        self._ceiling = self.number(
            "ceiling_a",
            self.tr("May carry"),
            "A",
            optional=True,
            placeholder=self.tr("usual"),
            hint=self.tr("What is printed on the fuse tap; blank for the usual ceiling"),
        )
        self._relay = CheckField(
            self.document,
            lambda: self.tap().relay,
            lambda on: self.write("relay", self.tr("relay"), on),
            text=self.tr("Through a relay, switched by the sense lead"),
            key=f"{self.objectName()}_relay",
        )
        self.add("", self._relay)

    def _add_fuse(self) -> None:
        self._family = self._fuse_choice(
            "fuse", self.tr("Fuse family"), lambda fuse: fuse.family, self._write_family
        )
        self._family.set_choices([(None, self.tr("No fuse")), *choices.fuse_families()])
        self._rating = self._fuse_choice(
            "rating", self.tr("Fuse rating"), lambda fuse: fuse.rating, self._write_rating
        )
        self._fuse_row = side_by_side(self._family, self._rating)
        self.add(self.tr("Accessory fuse"), self._fuse_row)
        self.watch(self._family)
        self.watch(self._rating)

    def _fuse_choice(
        self,
        key: str,
        name: str,
        read: Callable[[Fuse], Any],
        write: Callable[[Any], bool],
    ) -> ChoiceField:
        return ChoiceField(
            self.document,
            lambda: None if (fuse := self.tap().fuse) is None else read(fuse),
            write,
            [],
            name=name,
            key=f"{self.objectName()}_{key}",
        )

    def _ratings(self) -> list[tuple[Any, str]]:
        fuse = self.tap().fuse
        return [] if fuse is None else list(choices.fuse_ratings(fuse.family))

    def _write_family(self, family: str | None) -> bool:
        """Another family, with the rating next to the one there was."""
        label = self.tr("accessory fuse")
        if family is None:
            return self.write("fuse", label, None)
        old = self.tap().fuse
        wanted = old.rating if old is not None else 5.0
        ratings = [rating for rating, _ in choices.fuse_ratings(family)]
        nearest = min(ratings, key=lambda rating: (abs(rating - wanted), rating))
        return self.write("fuse", label, Fuse(family=family, rating=nearest))

    def _write_rating(self, rating: float) -> bool:
        fuse = self.tap().fuse
        if fuse is None:
            return False
        return self.write(
            "fuse", self.tr("accessory fuse"), Fuse(family=fuse.family, rating=rating)
        )

    def take_off(self) -> None:
        """Take the lead off its source."""
        tap = self.tap()
        if tap.id:
            text = self.tr("Take {name} off").format(name=self.called())
            self.document.apply(text, edits.unplace, tap.id)
