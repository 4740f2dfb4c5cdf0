"""What was taken out for a check or a probing round, named until somebody says that it is back.

A fuse that was pulled, a lead that was parted for a meter in line: that to an accessory, or that of
the battery’s minus. In: the document, the folder of the user's state (`None` for pages that keep
nothing), what a step asks to take out. Out: `changed`, and the words for it. It is kept on disk at
once, apart from the readings: who gives up his work puts no fuse back.
"""

from collections.abc import Iterator
from pathlib import Path
from typing import Literal

from msgspec.structs import replace
from PySide6.QtCore import QObject, QTimer, Signal

from fusemap.text import NOTHING, Text, Words, in_row, many, run_on, say
from fusemap.vehicle import BATTERY, Slot, Tap, Vehicle, look_up
from fusemap.vehicle.parts import Value
from fusemap.window.document import Document
from fusemap.window.probe.kept_file import TAKEN_OUT
from fusemap.window.probe.kept_of import KeptOf

By = Literal["check", "probe"]


class Out(Value, frozen=True, kw_only=True):
    """A fuse by its slot, the lead to an accessory by its tap, the battery’s minus lead; `name` is
    what it was called.
    """

    what: Literal["fuse", "lead", "minus"] = "fuse"
    id: str
    by: By
    name: Text = NOTHING

    @property
    def place(self) -> tuple[str, str]:
        """What tells one from another, whoever took it out."""
        return self.what, self.id


class Note(Value, frozen=True, kw_only=True):
    """What is `out`; what `may_be`, as its step is in hand and a key was pressed; what is asked for
    by the step `in_view` alone.
    """

    out: tuple[Out, ...] = ()
    may_be: tuple[Out, ...] = ()
    in_view: tuple[Out, ...] = ()


def fuse_of(slot: Slot, by: By) -> Out:
    """The fuse of a slot."""
    return Out(id=slot.id, by=by, name=run_on(look_up.fuse_words(slot)))


def lead_of(vehicle: Vehicle, tap: Tap, by: By) -> Out:
    """The lead of a tap to its accessory."""
    name = look_up.accessory(vehicle, tap.accessory).name
    return Out(what="lead", id=tap.id, by=by, name=run_on(name))


def minus_of(by: By) -> Out:
    """The battery’s minus lead, for a meter between it and its post."""
    return Out(what="minus", id=BATTERY, by=by)


class TakenOut(QObject):
    """What is out of the vehicle in hand."""

    changed = Signal()

    def __init__(
        self, folder: Path | None, document: Document, parent: QObject | None = None
    ) -> None:
        super().__init__(parent)
        self._folder, self._document = folder, document
        self._kept: KeptOf[Note] | None = None
        self._moved = QTimer(self)
        self._moved.setSingleShot(True)
        self._moved.timeout.connect(self._move)
        document.path_changed.connect(self._moved.start)
        document.changed.connect(self._called_otherwise)
        document.opened.connect(self._opened)
        self.note = self._take_up()

    # --- kept -----------------------------------------------------------------------------------

    def _take_up(self) -> Note:
        if self._folder is None:
            return Note()
        document = self._document
        self._kept = _kept(self._folder, document.path, document.goes_by)
        return _as_left(self._kept)

    def _opened(self) -> None:
        self._moved.stop()  # what stands here is of the vehicle before
        self.note = self._take_up()
        self.changed.emit()

    def _called_otherwise(self, old: Vehicle, new: Vehicle) -> None:
        if old.name != new.name:
            self._moved.start()

    def _move(self) -> None:
        """The vehicle goes by another file or name: what is out of it is kept under that."""
        before, held = self._kept, self.note
        self._take_up()
        if before is not None and self._kept is not None and before.path != self._kept.path:
            before.path.unlink(missing_ok=True)
            if held != Note():
                self._kept.write(held)

    def _put(self, note: Note) -> None:
        if note == self.note:
            return
        self.note = note
        if self._kept is not None:
            self._kept.write(note)
        self.changed.emit()

    # --- what the pages tell --------------------------------------------------------------------

    def in_hand(self, by: By, asked: tuple[Out, ...], *, touched: bool) -> None:
        """A step that asks to take these out is shown; `touched` where a key was pressed there."""
        note = self.note
        may_be = tuple(each for each in note.may_be if each.by != by)
        if touched:
            self._put(replace(note, may_be=(*may_be, *asked), in_view=_but(note.in_view, by)))
        else:
            self._put(replace(note, in_view=(*_but(note.in_view, by), *asked)))

    def left(self, by: By) -> None:
        """The page is shown no more."""
        self._put(replace(self.note, in_view=_but(self.note.in_view, by)))

    def taken(self, these: tuple[Out, ...]) -> None:
        """A reading is taken with these out."""
        there = {each.place for each in self.note.out}
        new = tuple(each for each in these if each.place not in there)
        self._put(replace(self.note, out=(*self.note.out, *new)))

    def put_back(self, place: tuple[str, str]) -> None:
        """Somebody said that this one is back."""
        self._put(replace(
            self.note, out=tuple(each for each in self.note.out if each.place != place),
        ))  # fmt: skip

    def said_back(self) -> None:
        """Somebody said that what `back_words` name is back."""
        said = self._first_back()
        self._put(Note(out=tuple(each for each in self.note.out if each not in said)))

    def all_back(self) -> None:
        """Somebody said that all is back."""
        self._put(Note())

    # --- in words -------------------------------------------------------------------------------

    def by(self) -> By | None:
        """On which page it was taken out."""
        for each in (*self.note.out, *self.note.may_be):
            return each.by
        return None

    def words(self, *, on: str = "") -> Text | None:
        """What is said wherever one is; `on` the page whose step asks for it, that alone is not."""
        note = replace(self.note, may_be=_but(self.note.may_be, on))
        return not_back(note, self._document.vehicle)

    def _first_back(self) -> tuple[Out, ...]:
        """What comes back first: the battery’s minus lead last, as the meter stays in line there
        while one fuse after the other is pulled.
        """
        return tuple(each for each in self.note.out if each.what != "minus") or self.note.out

    def first_words(self) -> Text:
        """That this comes back before anything else is read."""
        words = not_back(Note(out=self._first_back()), self._document.vehicle)
        return say("{what} first, then press I.", what=words) if words else NOTHING

    def back_words(self) -> Text | None:
        """What somebody says by whom that is back; `None` where nothing is out."""
        out = self._first_back()
        if not out:
            return None
        if any(each.what != "fuse" for each in out):
            return say("all is back and joined")
        names = _names(out, self._document.vehicle)
        if len(names) > 1:
            return say("{slots} are back in", slots=in_row(names, "and"))
        return say("{slot} is back in", slot=names[0])


def not_back(note: Note, vehicle: Vehicle) -> Text | None:
    """What is to be put back, or looked at whether it is; `None` where all is."""
    lines = [*_parts_out(note.out, vehicle)]
    if not lines:  # what comes after one that is out was not taken out yet
        lines += _parts_maybe_out(note.may_be, vehicle)
    if any(each.what == "minus" for each in note.out):
        lines.append(say("Join the battery’s minus lead again"))
    elif any(each.what == "minus" for each in note.may_be):
        lines.append(say("See that the battery’s minus lead is joined"))
    return run_on(*lines, between=". ") if lines else None


def _parts_out(out: tuple[Out, ...], vehicle: Vehicle) -> Iterator[Text]:
    """The fuses and the accessories' leads that are out."""
    if fuses := [each for each in out if each.what == "fuse"]:
        yield say("Put {slots} back", slots=in_row(_names(fuses, vehicle), "and"))
    if leads := [each for each in out if each.what == "lead"]:
        names = in_row(_names(leads, vehicle), "and")
        yield say("Join the lead to {accessory} again", accessory=names)


def _parts_maybe_out(may_be: tuple[Out, ...], vehicle: Vehicle) -> Iterator[Text]:
    """The fuses and the accessories' leads that may be."""
    if fuses := [each for each in may_be if each.what == "fuse"]:
        slots = in_row(_names(fuses, vehicle), "and")
        yield many("See that {slots} is in", "See that {slots} are in", len(fuses), slots=slots)
    if leads := [each for each in may_be if each.what == "lead"]:
        names = in_row(_names(leads, vehicle), "and")
        yield say("See that the lead to {accessory} is joined", accessory=names)


def left_out(folder: Path, path: Path, vehicle: Vehicle) -> Text | None:
    """What is kept of a file that is not in hand, in words; `None` where all is back."""
    return not_back(_as_left(_kept(folder, path, "")), vehicle)


def _kept(folder: Path, path: Path | None, goes_by: str) -> KeptOf[Note]:
    return KeptOf(folder, path, goes_by, Note, TAKEN_OUT)


def _as_left(kept: KeptOf[Note]) -> Note:
    """As it was left: whether what was in view then was done is not known."""
    note = kept.found() or Note()
    return Note(out=note.out, may_be=(*note.may_be, *note.in_view))


def _but(those: tuple[Out, ...], by: str) -> tuple[Out, ...]:
    return tuple(each for each in those if each.by != by)


def _names(those: "tuple[Out, ...] | list[Out]", vehicle: Vehicle) -> list[Words]:
    """What they are called now; what is not in the vehicle any more is called as it was."""
    slots = {slot.id: look_up.fuse_words(slot) for slot in look_up.slots(vehicle)}
    leads = {tap.id: look_up.accessory(vehicle, tap.accessory).name for tap in vehicle.taps}
    return [(slots if each.what == "fuse" else leads).get(each.id, each.name) for each in those]
