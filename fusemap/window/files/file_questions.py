"""The questions about a file that somebody else has to do with, and its earlier versions.

Each opens a box that does not wait, and gives the answer that will come.
"""

from collections.abc import Callable, Sequence
from datetime import datetime
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal

from PySide6.QtCore import QCoreApplication, Qt
from PySide6.QtWidgets import QMessageBox, QWidget

from fusemap.text import Style
from fusemap.vehicle import Vehicle
from fusemap.window.asking import Answer
from fusemap.window.files.compare_dialog import CompareDialog, Item
from fusemap.window.files.difference_words import Row, rows
from fusemap.window.files.recovery_dialog import when_words

if TYPE_CHECKING:
    from fusemap.files.backups import Version
    from fusemap.files.lock import Mark

translate = QCoreApplication.translate
Change = Literal["write", "elsewhere", "take_theirs", "leave"]
"""What becomes of a file that was changed: it is written all the same, left, or taken up."""
Chosen = tuple[Vehicle, str]
"""A vehicle, and what to call the version it was."""


def ask_in_use(
    parent: QWidget, path: Path, mark: "Mark", answers: Sequence[tuple[str, str]]
) -> Answer[str]:
    """Say who has a file open, and offer what can be done: (name, text).

    The answer is the name of what was chosen, empty where nothing was.
    """
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
