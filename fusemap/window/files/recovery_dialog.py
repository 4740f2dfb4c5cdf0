"""The box that offers lost work: one or several, each with what it has that its file has not.

In: lost work (`fusemap.files.kept`). Out: what is to be taken up; what is given up is told when the
box is closed, and can be kept after all until then.
"""

from collections.abc import Callable, Sequence
from datetime import datetime
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QCoreApplication, QDateTime, QLocale
from PySide6.QtWidgets import QPushButton, QWidget

from fusemap.text import Style
from fusemap.vehicle import Vehicle
from fusemap.window.files.compare_dialog import CompareDialog, Item
from fusemap.window.files.difference_words import Row, rows

if TYPE_CHECKING:
    from fusemap.files.kept import Lost


class RecoveryDialog(CompareDialog):
    """Lost work, one or several, each with what it has that its file has not."""

    def __init__(
        self,
        parent: QWidget,
        style: Style,
        lost: "Sequence[Lost]",
        take: "Callable[[Lost], object]",
        give_up: "Callable[[Lost], object]",
    ) -> None:
        self._lost = list(lost)
        self._given_up: set[int] = set()
        self._give_up: QPushButton | None = None
        self._leave: QPushButton | None = None
        super().__init__(
            parent,
            style,
            "recoveryDialog",
            tr("Unsaved work"),
            tr("The program ended before this work was saved. It was kept, up to the last edit."),
            tr("What this work has that its file has not:"),
            [_item(each) for each in self._lost],
        )
        self.add_button("takeUp", tr("&Take it up"), lambda row: take(self._lost[row]),
                        default=True)  # fmt: skip
        self._give_up = self.add_plain_button("giveUp", tr("&Discard"))
        self._give_up.clicked.connect(self._turn_round)
        self._leave = self.add_closing(tr("Decide &later"))
        self.finished.connect(partial(self._forget, give_up))

    def _turn_round(self) -> None:
        """Give up the work looked at, or keep it after all; it is done when the box is closed."""
        self._given_up ^= {self.row}
        given_up = self.row in self._given_up
        self.set_item(self.row, _item(self._lost[self.row], given_up=given_up))

    def _enable(self) -> None:
        super()._enable()
        if self._give_up is not None:
            given_up = self.row in self._given_up
            self._give_up.setText(tr("&Keep it after all") if given_up else tr("&Discard"))
        if self._leave is not None:
            self._leave.setText(tr("&Done") if self._given_up else tr("Decide &later"))

    def _forget(self, give_up: "Callable[[Lost], object]", result: int) -> None:
        for row in sorted(self._given_up):
            give_up(self._lost[row])


def _item(lost: "Lost", *, given_up: bool = False) -> Item:
    title = f"{name_of(lost)}\n{when_words(lost.when)}"
    if given_up:
        title = tr("{title}\nwill be discarded").format(title=title)
    usable = lost.vehicle is not None and not given_up
    return Item(title, _about(lost, given_up), partial(_rows, lost), usable)


def _about(lost: "Lost", given_up: bool) -> str:
    lines = [name_of(lost), tr("Last edit: {when}").format(when=when_words(lost.when))]
    if lost.path is None:
        lines.append(tr("It has no file yet."))
    else:
        lines.append(tr("File: {path}").format(path=lost.path))
        lines += _file_lines(lost, lost.path)
    if lost.elsewhere:
        lines.append(
            tr("It is kept by the computer “{name}” and may still be open there.").format(
                name=lost.elsewhere
            )
        )
    if lost.vehicle is None:
        kept = ", ".join(str(file) for file in lost.files)
        lines.append(tr("It stays kept in {file}").format(file=kept))
    if given_up:
        lines.append(tr("It will be discarded when this box is closed."))
        if lost.vehicle is not None:
            lines.append(tr("It stays among the earlier versions for 20 days."))
    return "\n".join(lines)


def _file_lines(lost: "Lost", path: Path) -> list[str]:
    """What is to be known of the file: gone, or written after the last edit."""
    try:
        written = datetime.fromtimestamp(path.stat().st_mtime)
    except (OSError, OverflowError, ValueError):
        return [tr("The file is not there now; saving writes it anew.")]
    if written <= lost.when:
        return []
    return [tr("The file was written later, {when}.").format(when=when_words(written))]


def _rows(lost: "Lost") -> list[Row]:
    # loaded when it is first needed: the start stays short
    from fusemap.vehicle.difference import differences

    if lost.vehicle is None:
        assert lost.problem is not None
        raise lost.problem
    before = in_file(lost.path) or Vehicle(name=lost.vehicle.name)
    return rows(differences(before, lost.vehicle))


def in_file(path: Path | None) -> Vehicle | None:
    """The vehicle in a file, if there is one that can be read."""
    if path is None:
        return None
    # loaded when it is first needed: the start stays short
    from fusemap.errors import FusemapError
    from fusemap.files import read_vehicle

    try:
        return read_vehicle(path)
    except FusemapError:
        return None


def name_of(lost: "Lost") -> str:
    """What to call lost work: its file's name, else the vehicle's."""
    if lost.path is not None:
        return lost.path.name
    return (lost.vehicle.name if lost.vehicle else "") or tr("New vehicle")


def when_words(when: datetime) -> str:
    """A date and time as this desktop writes them."""
    moment = QDateTime.fromString(when.isoformat(timespec="seconds"), "yyyy-MM-ddTHH:mm:ss")
    return QLocale().toString(moment, QLocale.FormatType.ShortFormat)


def tr(text: str) -> str:
    return QCoreApplication.translate("Recovery", text)
