"""The few boxes of the window. None of them waits: each is opened, and its answer comes later.

The question about unsaved work, and the choice of a file.
"""

from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Final, Literal

from PySide6.QtCore import QCoreApplication, Qt
from PySide6.QtWidgets import QFileDialog, QMessageBox, QWidget

from fusemap.window.asking import Answer

translate = QCoreApplication.translate

Unsaved = Literal["save", "discard", "stay"]
SUFFIX: Final = ".fusemap"


def file_filter() -> str:
    """Which files a file dialog shows."""
    vehicles = translate("Dialogs", "Vehicles (*.fusemap)")
    return f"{vehicles};;{translate('Dialogs', 'All files (*)')}"


def ask_to_save(parent: QWidget, name: str) -> Answer[Unsaved]:
    """Ask what becomes of unsaved work; with Cancel all stays as it is."""
    buttons = QMessageBox.StandardButton
    box = QMessageBox(parent)
    box.setObjectName("unsavedQuestion")
    box.setIcon(QMessageBox.Icon.Question)
    box.setTextFormat(Qt.TextFormat.PlainText)
    box.setText(translate("Dialogs", "“{name}” has changes that are not saved.").format(name=name))
    box.setInformativeText(
        translate(
            "Dialogs",
            "Save them first? What you discard stays among the earlier versions for 20 days.",
        )
    )
    box.setStandardButtons(buttons.Save | buttons.Discard | buttons.Cancel)
    box.setDefaultButton(buttons.Save)
    box.setEscapeButton(buttons.Cancel)
    box.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
    answer: Answer[Unsaved] = Answer()
    meant: dict[int, Unsaved] = {buttons.Save.value: "save", buttons.Discard.value: "discard"}
    box.finished.connect(lambda result: answer.give(meant.get(result, "stay")))
    box.open()
    return answer


def choose_file(
    parent: QWidget, title: str, folder: Path, then: Callable[[Path], None], *, save_as: str = ""
) -> QFileDialog:
    """Let a file be chosen: one to open, or with `save_as` the name offered to save under."""
    dialog = QFileDialog(parent, title, str(folder), file_filter())
    dialog.setObjectName("fileDialog")
    dialog.setDefaultSuffix(SUFFIX.removeprefix("."))
    dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
    if save_as:
        dialog.setAcceptMode(QFileDialog.AcceptMode.AcceptSave)
        dialog.selectFile(save_as)
    else:
        dialog.setFileMode(QFileDialog.FileMode.ExistingFile)
    dialog.fileSelected.connect(lambda name: then(Path(name)))
    dialog.open()
    return dialog


def ask_for_file(
    parent: QWidget, title: str, folder: Path, *, save_as: str = ""
) -> Answer[Path | None]:
    """The same as a question; the answer is `None` where no file is chosen."""
    answer: Answer[Path | None] = Answer()
    dialog = choose_file(parent, title, folder, answer.give, save_as=save_as)
    dialog.rejected.connect(partial(answer.give, None))
    return answer
