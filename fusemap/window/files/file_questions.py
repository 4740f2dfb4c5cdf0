"""Questions that show states of a vehicle: lost work, files others changed, earlier versions.

Each opens a box that does not wait; it tells what is to be taken up, or gives the answer that will
come. Of lost work (`fusemap.files.kept`), one or several, each is shown with what it has that its
file has not; what is given up is told when the box is closed, and can be kept after all until then.
"""

from collections.abc import Callable, Sequence
from datetime import datetime
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal

from PySide6.QtCore import QCoreApplication, QDateTime, QLocale, Qt
from PySide6.QtWidgets import QMessageBox, QPushButton, QWidget

from fusemap.text import Style
from fusemap.vehicle import Vehicle
from fusemap.window.asking import Answer
from fusemap.window.files.compare_dialog import CompareDialog, Item
from fusemap.window.files.difference_words import Row, rows

if TYPE_CHECKING:
    from fusemap.files.backups import Version
    from fusemap.files.kept import Lost
    from fusemap.files.lock import Mark


translate = QCoreApplication.translate
Change = Literal["write", "elsewhere", "take_theirs", "leave"]
"""What becomes of a file that was changed: it is written all the same, left, or taken up."""
Chosen = tuple[Vehicle, str]
"""A vehicle, and what to call the version it was."""


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
    return Item(title, _about(lost, given_up), partial(_lost_rows, lost), usable)


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


def _lost_rows(lost: "Lost") -> list[Row]:
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


def ask_in_use(
    parent: QWidget, path: Path, mark: "Mark", answers: Sequence[tuple[str, str]]
) -> Answer[str]:
    """Say who has a file open, and offer what can be done: (name, text).

    The answer is the name of what was chosen, empty where nothing was.
    """
    box = QMessageBox(parent)
    box.setObjectName("inUseQuestion")
    box.setTextFormat(Qt.TextFormat.PlainText)
    box.setText(
        translate("FileQuestions", "“{name}” is open {where}.").format(
            name=path.name, where=_where(mark)
        )
    )
    box.setInformativeText(
        translate("FileQuestions", "Two that save to one file undo each other's work.")
    )
    box.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
    answer: Answer[str] = Answer()
    for name, text in answers:
        button = box.addButton(text, QMessageBox.ButtonRole.AcceptRole)
        button.setObjectName(name)
        button.clicked.connect(partial(_give, answer, name))
    cancel = box.addButton(QMessageBox.StandardButton.Cancel)
    box.setEscapeButton(cancel)
    cancel.clicked.connect(partial(_give, answer, ""))
    box.open()
    return answer


def _give(answer: Answer[Any], value: str, checked: bool = False) -> None:
    answer.give(value)


def _where(mark: "Mark") -> str:
    """By whom, on which computer, since when."""
    since = mark.since
    try:
        since = when_words(datetime.fromisoformat(mark.since).astimezone().replace(tzinfo=None))
    except (ValueError, OverflowError, OSError):
        since = "?"
    if mark.is_mine:
        return translate("FileQuestions", "in another window, since {since}").format(since=since)
    return translate(
        "FileQuestions", "in another fusemap, by {user} on {computer}, since {since}"
    ).format(user=mark.owner.user or "?", computer=mark.owner.computer or "?", since=since)


def ask_changed(
    parent: QWidget, style: Style, path: Path, theirs: Callable[[], Vehicle], mine: Vehicle
) -> Answer[Change]:
    """Ask what becomes of a file that something else has changed since it was opened here."""
    box = CompareDialog(
        parent,
        style,
        "changedQuestion",
        translate("FileQuestions", "Changed meanwhile"),
        translate(
            "FileQuestions",
            "Something else has changed “{name}” since it was opened here. Your vehicle is not "
            "saved yet.",
        ).format(name=path.name),
        translate("FileQuestions", "What your vehicle has that the file now has not:"),
        [Item(path.name, "", partial(_rows, theirs, mine))],
    )
    replace = box.add_plain_button("replaceFile", translate("FileQuestions", "&Replace the file"))
    replace.setToolTip(
        translate("FileQuestions", "What stands in it now is kept among the earlier versions")
    )
    elsewhere = box.add_plain_button(
        "saveElsewhere", translate("FileQuestions", "Save under &another name…")
    )
    answer: Answer[Change] = Answer()
    box.add_button(
        "takeTheirs",
        translate("FileQuestions", "Take up &the file's"),
        lambda row: answer.give("take_theirs"),
    ).setToolTip(translate("FileQuestions", "One step, that can be undone"))
    for button, change in ((replace, "write"), (elsewhere, "elsewhere")):
        button.clicked.connect(box.accept)
        button.clicked.connect(partial(_give, answer, change))
    box.rejected.connect(partial(_give, answer, "leave"))
    elsewhere.setDefault(True)
    box.add_closing(translate("FileQuestions", "Cancel"))
    box.open()
    return answer


def choose_version(
    parent: QWidget,
    style: Style,
    name: str,
    in_file: Callable[[], Vehicle] | None,
    versions: "Sequence[Version]",
    now: Vehicle,
) -> Answer[Chosen | None]:
    """Show the earlier versions of a file, and what restoring each would change, to choose one.

    Without a `name` they are work that was given up before it had a file.
    `in_file` reads what stands in the file now.
    """
    read: list[Callable[[], Vehicle]] = [version.read for version in versions]
    titles = [_title(version) for version in versions]
    if in_file is not None:
        read.insert(0, in_file)
        titles.insert(0, translate("FileQuestions", "As it stands in the file"))
    items = [
        Item(title, title, partial(_rows, lambda: now, vehicle))
        for title, vehicle in zip(titles, read, strict=True)
    ]
    box = CompareDialog(
        parent,
        style,
        "versionsDialog",
        translate("FileQuestions", "Earlier versions"),
        _intro(name),
        translate("FileQuestions", "What restoring would change:"),
        items,
    )
    answer: Answer[Chosen | None] = Answer()
    box.add_button(
        "restoreVersion",
        translate("FileQuestions", "&Restore"),
        lambda row: answer.give((read[row](), titles[row])),
        default=True,
    )
    box.add_closing(translate("FileQuestions", "Close"))
    box.rejected.connect(partial(answer.give, None))
    box.open()
    return answer


def _intro(name: str) -> str:
    """Where the versions come from, and what restoring one does."""
    if not name:
        return translate(
            "FileQuestions",
            "Vehicles that were discarded before they had a file are kept for 20 days. Restoring "
            "is a step like any other: it can be undone.",
        )
    return translate(
        "FileQuestions",
        "Each save of “{name}” kept what was in the file before; what was discarded unsaved is "
        "kept for 20 days. Restoring is a step like any other: it can be undone, and the file "
        "stays as it is until you save.",
    ).format(name=name)


def _title(version: "Version") -> str:
    words = (
        translate("FileQuestions", "No. {number} · {when} · discarded unsaved")
        if version.given_up
        else translate("FileQuestions", "No. {number} · {when}")
    )
    return words.format(number=version.number, when=when_words(version.when))


def _rows(before: Callable[[], Vehicle], after: Vehicle | Callable[[], Vehicle]) -> list[Row]:
    """What differs; reading either may raise `FileProblem`."""
    # loaded when it is first needed: the start stays short
    from fusemap.vehicle.difference import differences

    return rows(differences(before(), after() if callable(after) else after))
