"""The questions about a file that somebody else has to do with, and its earlier versions.

Each opens a box that does not wait; the buttons call what is handed in.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QCoreApplication, Qt
from PySide6.QtWidgets import QMessageBox, QWidget

from fusemap.vehicle import Vehicle
from fusemap.window.files.compare_dialog import CompareDialog, Item
from fusemap.window.files.difference_words import Row, rows
from fusemap.window.files.recovery_dialog import when_words

if TYPE_CHECKING:
    from fusemap.files.backups import Version
    from fusemap.files.lock import Mark

translate = QCoreApplication.translate
Answer = Callable[[], object]


def ask_in_use(
    parent: QWidget,
    path: Path,
    mark: "Mark",
    answers: Sequence[tuple[str, str, Answer]],
) -> QMessageBox:
    """Say who has a file open, and offer what can be done: (name, text, what to call)."""
    box = QMessageBox(parent)
    box.setObjectName("inUseQuestion")
    box.setIcon(QMessageBox.Icon.Question)
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
    for name, text, do in answers:
        button = box.addButton(text, QMessageBox.ButtonRole.AcceptRole)
        button.setObjectName(name)
        button.clicked.connect(partial(_later, do))
    cancel = box.addButton(QMessageBox.StandardButton.Cancel)
    box.setEscapeButton(cancel)
    box.open()
    return box


def _later(do: Answer, checked: bool = False) -> None:
    do()


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


@dataclass(frozen=True, slots=True)
class ChangedAnswers:
    """What can be done about a file that something else has changed."""

    replace: Answer
    save_as: Answer
    take_theirs: Answer


def ask_changed(
    parent: QWidget,
    path: Path,
    theirs: Callable[[], Vehicle],
    mine: Vehicle,
    answers: ChangedAnswers,
) -> CompareDialog:
    """Ask what becomes of a file that something else has changed since it was opened here."""
    box = CompareDialog(
        parent,
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
    box.add_button(
        "takeTheirs",
        translate("FileQuestions", "Take up &the file's"),
        lambda row: answers.take_theirs(),
    ).setToolTip(translate("FileQuestions", "One step, that can be undone"))
    for button, answer in ((replace, answers.replace), (elsewhere, answers.save_as)):
        button.clicked.connect(box.accept)
        button.clicked.connect(partial(_later, answer))
    elsewhere.setDefault(True)
    box.add_closing(translate("FileQuestions", "Cancel"))
    box.open()
    return box


def show_versions(
    parent: QWidget,
    name: str,
    in_file: Callable[[], Vehicle] | None,
    versions: "Sequence[Version]",
    now: Vehicle,
    restore: Callable[[Vehicle, str], object],
) -> CompareDialog:
    """Show the earlier versions of a file, and what restoring each would change.

    Without a `name` they are work that was given up before it had a file.
    `in_file` reads what stands in the file now. `restore(vehicle, words)` is called with the
    version chosen and what to call it.
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
        "versionsDialog",
        translate("FileQuestions", "Earlier versions"),
        _intro(name),
        translate("FileQuestions", "What restoring would change:"),
        items,
    )
    box.add_button(
        "restoreVersion",
        translate("FileQuestions", "&Restore"),
        lambda row: restore(read[row](), titles[row]),
        default=True,
    )
    box.add_closing(translate("FileQuestions", "Close"))
    box.open()
    return box


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
    from fusemap.vehicle.difference import differences

    return rows(differences(before(), after() if callable(after) else after))
