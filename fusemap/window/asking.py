"""Questions whose answers come later, asked in a straight line, and the few boxes that ask them.

A box must not wait for its answer, or the window behind it would stand still. What asks is written
as a coroutine all the same: it awaits the `Answer` that the box will give, and `begin` takes it
from one question to the next. The boxes: the questions about unsaved work, about what is still out
of the vehicle and about its voltage, and the choice of a file.
"""

from collections.abc import Callable, Coroutine, Generator
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final, Generic, Literal, TypeVar, get_args

from PySide6.QtCore import QCoreApplication, Qt
from PySide6.QtWidgets import QWidget

from fusemap.text import Style, given
from fusemap.vehicle.words import SystemVoltage

if TYPE_CHECKING:
    from PySide6.QtWidgets import QFileDialog

translate = QCoreApplication.translate
Unsaved = Literal["save", "discard", "stay"]
StillOut = Literal["in", "keep", "stay"]
SUFFIX: Final = ".fusemap"
Value = TypeVar("Value")
Steps = Coroutine["Answer[Any]", None, object]


class Answer(Generic[Value]):
    """What will be answered. It is given once and awaited by one; what comes later is not heard."""

    def __init__(self) -> None:
        self._given: list[Value] = []
        self._go_on: Callable[[], None] | None = None

    def give(self, value: Value) -> None:
        """Answer; whoever awaits it goes on at once."""
        if self._given:
            return
        self._given.append(value)
        if self._go_on is not None:
            self._go_on()

    def then(self, go_on: Callable[[], None]) -> None:
        """Call this when the answer is there."""
        self._go_on = go_on

    def __await__(self) -> Generator["Answer[Any]", None, Value]:
        if not self._given:
            yield self
        return self._given[0]


def begin(steps: Steps) -> None:
    """Run steps up to their first open question; each answer takes them on to the next.

    What is never answered (its box went with the window) goes away with the box.

    >>> async def ask(question):
    ...     print("hello", await question)
    >>> name = Answer()
    >>> begin(ask(name))
    >>> name.give("van")
    hello van
    """
    try:
        question = steps.send(None)
    except StopIteration:
        return
    question.then(partial(begin, steps))


def file_filter() -> str:
    """Which files a file dialog shows."""
    vehicles = translate("Dialogs", "Vehicles (*.fusemap)")
    return f"{vehicles};;{translate('Dialogs', 'All files (*)')}"


def ask_to_save(parent: QWidget, name: str) -> Answer[Unsaved]:
    """Ask what becomes of unsaved work; with Cancel all stays as it is."""
    # loaded when it is first needed: the start stays short
    from PySide6.QtWidgets import QMessageBox

    buttons = QMessageBox.StandardButton
    box = QMessageBox(parent)
    box.setObjectName("unsavedQuestion")
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


def ask_system_voltage(parent: QWidget, style: Style) -> Answer[SystemVoltage | None]:
    """Ask which voltage the vehicle has [V]; `None` with Cancel."""
    # loaded when it is first needed: the start stays short
    from PySide6.QtWidgets import QMessageBox

    box = QMessageBox(parent)
    box.setObjectName("systemVoltageQuestion")
    box.setTextFormat(Qt.TextFormat.PlainText)
    box.setText(translate("Dialogs", "Which voltage has the vehicle?"))
    box.setInformativeText(
        translate("Dialogs", "24 V is two batteries in series, as lorries and buses have them.")
    )
    meant: dict[object, SystemVoltage] = {}
    for volts in get_args(SystemVoltage):
        button = box.addButton(style.show(given(volts, "V")), QMessageBox.ButtonRole.AcceptRole)
        button.setObjectName(f"system{volts}V")
        meant[button] = volts
    box.setDefaultButton(next(iter(meant)))  # type: ignore[call-overload]
    box.setEscapeButton(box.addButton(QMessageBox.StandardButton.Cancel))
    box.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
    answer: Answer[SystemVoltage | None] = Answer()
    box.finished.connect(lambda _: answer.give(meant.get(box.clickedButton())))
    box.open()
    return answer


def ask_what_is_out(parent: QWidget, what: str) -> Answer[StillOut]:
    """Ask whether what was taken out of the vehicle is back; with Cancel all stays as it is."""
    # loaded when it is first needed: the start stays short
    from PySide6.QtWidgets import QMessageBox

    box = QMessageBox(parent)
    box.setObjectName("stillOutQuestion")
    box.setIcon(QMessageBox.Icon.Warning)
    box.setTextFormat(Qt.TextFormat.PlainText)
    box.setText(f"{what}.")
    box.setInformativeText(
        translate(
            "Dialogs",
            "It was taken out for a reading. What you keep noted is named again when this vehicle "
            "is opened.",
        )
    )
    roles = QMessageBox.ButtonRole
    in_ = box.addButton(translate("Dialogs", "It is &back in"), roles.AcceptRole)
    keep = box.addButton(translate("Dialogs", "&Keep it noted and close"), roles.DestructiveRole)
    stay = box.addButton(QMessageBox.StandardButton.Cancel)
    in_.setObjectName("stillOutIn")
    keep.setObjectName("stillOutKeep")
    box.setDefaultButton(stay)
    box.setEscapeButton(stay)
    box.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
    answer: Answer[StillOut] = Answer()

    def tell(*_: object) -> None:
        pressed = box.clickedButton()
        answer.give("in" if pressed is in_ else "keep" if pressed is keep else "stay")

    box.finished.connect(tell)
    box.open()
    return answer


def choose_file(
    parent: QWidget, title: str, folder: Path, then: Callable[[Path], None], *, save_as: str = ""
) -> "QFileDialog":
    """Let a file be chosen: one to open, or with `save_as` the name offered to save under."""
    # loaded when it is first needed: the start stays short
    from PySide6.QtWidgets import QFileDialog

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
