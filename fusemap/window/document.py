"""The vehicle in hand: its history, what is computed about it, what is selected.

In: edits of `fusemap.vehicle.edits`, asked for by the views. Out: signals to the views. The
document itself computes nothing and changes no vehicle: an edit makes a new one, `assess` says
everything about it, and both are kept until the next edit.
"""

import sys
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

from msgspec import Struct
from PySide6.QtCore import QObject, Signal
from PySide6.QtGui import QUndoCommand, QUndoStack
from shiboken6 import isValid

from fusemap.errors import EditRefused, InputProblem
from fusemap.text import Text
from fusemap.vehicle import Tap, Vehicle, look_up

if TYPE_CHECKING:
    from fusemap.assess.assessment import Assessment
    from fusemap.checks.finding import Finding, PlaceKind
    from fusemap.fixes.trial import Trial

    Assess = Callable[[Vehicle], Assessment]
    Find = Callable[[Vehicle, Assessment], tuple[Finding, ...]]

MERGES = 1
"""Qt asks only commands of one equal id other than -1 whether they merge."""


class Selection(Struct, frozen=True):
    """What the user points at: the kind of place and its id (empty for battery and vehicle)."""

    kind: "PlaceKind"
    id: str = ""


class Edit(QUndoCommand):
    """One step of the history. The new vehicle is made before; redo and undo only set one.

    `name` is what it is called; Qt's own `text()` has it in English where it is no plain `str`.
    """

    def __init__(
        self,
        document: "Document",
        name: Text | str,
        before: Vehicle,
        after: Vehicle,
        merge: str | None,
    ) -> None:
        super().__init__(str(name))
        self._document = document
        self.name = name
        self.before = before
        self.after = after
        self.merge = merge

    def redo(self) -> None:
        """Show the vehicle after the edit."""
        self._document._step(self.after)

    def undo(self) -> None:
        """Show the vehicle before the edit."""
        self._document._step(self.before)

    def id(self) -> int:
        """Whether Qt may ask to merge at all."""
        return -1 if self.merge is None else MERGES

    def mergeWith(self, other: QUndoCommand) -> bool:
        """Take a following edit of the same field into this one."""
        if not isinstance(other, Edit) or other.merge != self.merge:
            return False
        self.after = other.after
        self.setObsolete(self.after == self.before)
        return True


class Document(QObject):
    """One vehicle being worked on.

    `changed(old, new)` follows every edit, undo, redo and opening; `done(old, new)` an edit alone,
    after that; `refused(error)` one that cannot be. While `changed` is being told nobody may ask
    for a further edit.
    """

    stepped = Signal(object)
    """A step of the history leads to this vehicle; told before anybody shows it."""
    changed = Signal(object, object)
    done = Signal(object, object)
    opened = Signal()
    selected = Signal(object)
    path_changed = Signal()
    modified_changed = Signal(bool)
    refused = Signal(object)
    told = Signal(str)
    """What was done beside the vehicle, in words: a file that was written."""
    offered = Signal(object)
    """What may be chosen in the place of what was just refused: pairs of words and a call."""

    def __init__(
        self,
        vehicle: Vehicle | None = None,
        path: Path | None = None,
        *,
        assess: "Assess | None" = None,
        find: "Find | None" = None,
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self.stack = QUndoStack(self)
        self.stack.cleanChanged.connect(self._tell_modified)
        self._vehicle = vehicle or Vehicle(name="")
        self._path = path
        self._mark = ""
        self.drafts: dict[str, dict[str, Any]] = {}
        """What is typed into forms and not noted yet, by form: it outlives the views, in another
        language or look, and goes with its vehicle."""
        self._selection: Selection | None = None
        self._assess = assess or _assess
        self._find = find or _find
        self._assessment: Assessment | None = None
        self._findings: tuple[Finding, ...] | None = None
        self.trials: dict[Finding, tuple[Trial, ...]] = {}
        """The ways out of findings that were tried on the vehicle as it is now."""
        self._telling = False

    def __del__(self) -> None:
        """Let Qt delete the steps while it still owns them.

        Where Python's garbage collector takes a stack apart together with its commands, these are
        given back to Python and deleted, and then once more by the stack: a crash.
        """
        if isValid(self) and isValid(self.stack):
            self.stack.blockSignals(True)
            self.stack.clear()

    # --- what there is to see ------------------------------------------------------------------

    @property
    def vehicle(self) -> Vehicle:
        """The vehicle as it is now."""
        return self._vehicle

    @property
    def assessment(self) -> "Assessment":
        """Everything computed about the vehicle as it is now; once per vehicle."""
        if self._assessment is None:
            self._assessment = self._assess(self._vehicle)
        return self._assessment

    @property
    def numbers_ready(self) -> bool:
        """Whether figures can be had at once: what computes them takes long to load."""
        return self._assessment is not None or "fusemap.assess" in sys.modules

    @property
    def findings(self) -> "tuple[Finding, ...]":
        """What the checks found about the vehicle as it is now, worst first."""
        if self._findings is None:
            self._findings = self._find(self._vehicle, self.assessment)
        return self._findings

    @property
    def findings_ready(self) -> bool:
        """Whether the findings can be had at once."""
        return self._findings is not None

    @property
    def path(self) -> Path | None:
        """The file the vehicle was opened from or saved to."""
        return self._path

    @property
    def mark(self) -> str:
        """What tells the vehicle from another of its name while neither has a file."""
        return self._mark

    @property
    def goes_by(self) -> str:
        """What its hunt, check and readings are kept under while it has no file."""
        return self._mark or self._vehicle.name

    @property
    def modified(self) -> bool:
        """Whether there is something to save."""
        return not self.stack.isClean()

    def step_name(self, steps: int) -> Text | str:
        """What a step of the history is called, −1 for the one undo takes back, 0 for redo's.

        Empty where there is none.
        """
        step = self.stack.command(self.stack.index() + steps)
        return step.name if isinstance(step, Edit) else ""

    @property
    def selection(self) -> Selection | None:
        """What is selected; not part of the vehicle and never undone."""
        return self._selection

    # --- what can be asked ----------------------------------------------------------------------

    def select(self, kind: "PlaceKind | None", place_id: str = "") -> None:
        """Select a place, or with `None` nothing."""
        self._set_selection(None if kind is None else Selection(kind, place_id))

    def select_again(self, selection: Selection | None) -> None:
        """Select what was selected before."""
        self._set_selection(selection)

    def apply(
        self,
        step: Text | str,
        edit: Callable[..., Vehicle],
        /,
        *args: Any,
        merge: str | None = None,
        **kwargs: Any,
    ) -> bool:
        """Do `edit(vehicle, *args, **kwargs)` as one undoable `step` of that name.

        Returns whether the vehicle is now as asked; a refused edit changes nothing and is told by
        `refused`. Following steps with the same `merge` key become one.
        """
        if self._telling:
            raise RuntimeError("an edit was asked for while the last one is still being told")
        try:
            after = self._tried(edit, *args, **kwargs)
        except (EditRefused, InputProblem) as error:
            self.refused.emit(error)
            return False
        if after != self._vehicle:
            before = self._vehicle
            self.stack.push(Edit(self, step, before, after, merge))
            self.done.emit(before, after)
        return True

    def refusal(self, edit: Callable[[Vehicle], Vehicle]) -> EditRefused | InputProblem | None:
        """Why an edit would be refused now, with nothing done; `None` where it would not be."""
        try:
            self._tried(edit)
        except (EditRefused, InputProblem) as error:
            return error
        return None

    def _tried(self, edit: Callable[..., Vehicle], /, *args: Any, **kwargs: Any) -> Vehicle:
        after = edit(self._vehicle, *args, **kwargs)
        _refuse(self._vehicle, after)
        return after

    def set_vehicle(
        self,
        vehicle: Vehicle,
        path: Path | None = None,
        *,
        unsaved: bool = False,
        mark: str = "",
    ) -> None:
        """Take another vehicle in hand, with an empty history.

        Without a `mark` its name alone tells it from others that have no file.
        """
        self.stack.clear()
        self._set_selection(None)
        self._mark = mark
        self.drafts = {}
        self._show(vehicle)
        self._set_path(path)
        if unsaved:
            self.stack.resetClean()
        self._tell_modified()
        self.opened.emit()

    def mark_saved(self, path: Path) -> None:
        """Note that the vehicle as it is now stands in this file."""
        self.stack.setClean()
        self._set_path(path)

    # --- inside ---------------------------------------------------------------------------------

    def _step(self, vehicle: Vehicle) -> None:
        self.stepped.emit(vehicle)
        self._show(vehicle)

    def _show(self, vehicle: Vehicle) -> None:
        old, self._vehicle = self._vehicle, vehicle
        self._assessment = self._findings = None
        self.trials = {}
        self._telling = True
        try:
            if self._selection is not None and not is_there(vehicle, self._selection):
                self._set_selection(None)
            self.changed.emit(old, vehicle)
        finally:
            self._telling = False

    def _set_selection(self, selection: Selection | None) -> None:
        if selection != self._selection:
            self._selection = selection
            self.selected.emit(selection)

    def _set_path(self, path: Path | None) -> None:
        if path != self._path:
            self._path = path
            self.path_changed.emit()

    def _tell_modified(self) -> None:
        self.modified_changed.emit(self.modified)


def is_there(vehicle: Vehicle, selection: Selection) -> bool:
    """Whether the place selected exists in this vehicle."""
    parts: dict[str, Callable[[], Any]] = {
        "slot": lambda: look_up.slots(vehicle),
        "panel": lambda: vehicle.panels,
        "feed": lambda: vehicle.feeds,
        "earth": lambda: vehicle.earths,
        "socket": lambda: vehicle.sockets,
        "accessory": lambda: vehicle.accessories,
        "tap": lambda: vehicle.taps,
    }
    if selection.kind not in parts:
        return True
    return any(part.id == selection.id for part in parts[selection.kind]())


def slot_of(vehicle: Vehicle, selection: Selection | None) -> str | None:
    """The slot that is selected, or that the selected tap or accessory sits on."""
    if selection is None:
        return None
    if selection.kind == "slot":
        return selection.id
    if selection.kind in ("tap", "accessory"):
        for tap in vehicle.taps:
            if selection.id in (tap.id, tap.accessory) and tap.slot is not None:
                return tap.slot
    return None


# All are imported when first asked for: the window can be painted before the numbers are ready.


def _refuse(before: Vehicle, after: Vehicle) -> None:
    # loaded when it is first needed: the start stays short
    from fusemap.files.validate import refuse_edit

    refuse_edit(before, after)


def _assess(vehicle: Vehicle) -> "Assessment":
    # loaded when it is first needed: the start stays short
    from fusemap.assess import assess

    return assess(vehicle)


def _find(vehicle: Vehicle, assessment: "Assessment") -> "tuple[Finding, ...]":
    # loaded when it is first needed: the start stays short
    from fusemap.checks import findings

    return findings(vehicle, assessment)


def taps_of(vehicle: Vehicle, selection: Selection | None) -> tuple[Tap, ...]:
    """The taps that belong to what is selected: its own, or all that hang below it."""
    if selection is None:
        return ()
    kind, wanted = selection.kind, selection.id
    if kind == "tap":
        # the accessory's other lead can be chosen too
        mine = [tap for tap in vehicle.taps if tap.id == wanted]
        return tuple(t for t in vehicle.taps if mine and t.accessory == mine[0].accessory)
    if kind == "accessory":
        return _of_accessory(vehicle, wanted)
    if kind == "slot":
        return look_up.taps_on(vehicle, wanted)
    if kind == "panel":
        slots = {slot.id for slot in look_up.panel(vehicle, wanted).slots}
        return tuple(tap for tap in vehicle.taps if tap.slot in slots)
    if kind == "feed":
        return tuple(tap for tap in vehicle.taps if wanted in _feeds(vehicle, tap))
    return vehicle.taps if kind in ("battery", "vehicle") else ()


def _of_accessory(vehicle: Vehicle, accessory_id: str) -> tuple[Tap, ...]:
    """An accessory's taps, and behind a converter those of the converter it ends at."""
    accessory = look_up.accessory(vehicle, accessory_id)
    ends = [each.id for each in look_up.above(vehicle, accessory)][-1:]
    power = tuple(t for t in vehicle.taps if t.accessory in ends and t.lead == "power")
    return (*power, *(tap for tap in vehicle.taps if tap.accessory == accessory_id))


def _feeds(vehicle: Vehicle, tap: Tap) -> set[str]:
    """Every feed above a tap."""
    first = tap.feed if tap.slot is None else look_up.slot(vehicle, tap.slot).feed
    return {feed.id for feed in look_up.feeds_above(vehicle, first)}
