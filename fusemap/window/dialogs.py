"""The few boxes of the window. None of them waits: each is opened and answers through a call.

The question about unsaved work, and the choice of a file.
"""

from collections.abc import Callable
from pathlib import Path
from typing import Final

from PySide6.QtCore import QCoreApplication, Qt
from PySide6.QtWidgets import QFileDialog, QMessageBox, QWidget

translate = QCoreApplication.translate

SUFFIX: Final = ".fusemap"


def file_filter() -> str:
    """Which files a file dialog shows."""
    vehicles = translate("Dialogs", "Vehicles (*.fusemap)")
    return f"{vehicles};;{translate('Dialogs', 'All files (*)')}"


def ask_to_save(
    parent: QWidget, name: str, *, save: Callable[[], None], discard: Callable[[], None]
) -> QMessageBox:
    """Ask what becomes of unsaved work; Cancel does nothing at all."""
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
    answers = {buttons.Save: save, buttons.Discard: discard}

    def answered(result: int) -> None:
        then = answers.get(buttons(result))
        if then is not None:
            then()

    box.finished.connect(answered)
    box.open()
    return box


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
