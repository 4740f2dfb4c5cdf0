"""Give the map of this vehicle away, or take one in from somebody with the same vehicle type."""

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QObject, Qt
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QLineEdit,
    QVBoxLayout,
    QWidget,
)

from fusemap.errors import FusemapError
from fusemap.probing import travel
from fusemap.window import asking
from fusemap.window.document import Document
from fusemap.window.parts.export import file_name
from fusemap.window.style.theme import space
from fusemap.window.texts.plain import plain_label


class NameQuestion(QDialog):
    """Asks for a name, and goes on with it."""

    def __init__(
        self, parent: QWidget, title: str, words: str, then: Callable[[str], None]
    ) -> None:
        super().__init__(parent)
        self._then = then
        self.setObjectName("nameQuestion")
        self.setWindowTitle(title)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.name = QLineEdit()
        self.name.setObjectName("nameAnswer")
        self.name.setAccessibleName(self.tr("Name"))
        self.name.setMaxLength(80)
        buttons = QDialogButtonBox(
            QDialogButtonBox.StandardButton.Ok | QDialogButtonBox.StandardButton.Cancel
        )
        buttons.accepted.connect(self._answered)
        buttons.rejected.connect(self.reject)
        column = QVBoxLayout(self)
        column.setSpacing(space(self, "medium"))
        column.addWidget(plain_label("nameWords", words))
        column.addWidget(self.name)
        column.addWidget(buttons)
        self.setMinimumWidth(self.fontMetrics().height() * 26)

    def _answered(self) -> None:
        if self.name.text().strip():
            self.accept()
            self._then(self.name.text().strip())


class MapTravel(QObject):
    """The two actions, for the menu."""

    def __init__(self, window: QWidget, document: Document) -> None:
        super().__init__(window)
        self._window = window
        self._document = document

    def give_away(self) -> None:
        """Write the map alone to a file: no accessories, notes, history, battery or habits."""
        words = self.tr(
            "Panels, feeds and readings go along; accessories, notes, history, battery and habits "
            "stay here. Whose readings are they? This name goes with every reading."
        )
        question = NameQuestion(self._window, self.tr("Give the map away"), words, self._give)
        question.open()

    def _give(self, by: str) -> None:
        name = file_name(self._document.vehicle.name, self.tr("map"), asking.SUFFIX)
        folder = self._folder()
        asking.choose_file(
            self._window, self.tr("Give the map away"), folder,
            lambda path: self.write(path, by), save_as=name,
        )  # fmt: skip

    def write(self, path: Path, by: str) -> None:
        """Write the map to a file."""
        # loaded when it is first needed: the start stays short
        from fusemap.files import write_vehicle

        try:
            write_vehicle(path, travel.to_give_away(self._document.vehicle, by))
        except FusemapError as problem:
            self._document.refused.emit(problem)

    def take_in(self) -> None:
        """Choose somebody's map, say whose it is, and take it in as unverified."""
        title = self.tr("Take in somebody’s map")
        asking.choose_file(self._window, title, self._folder(), self._ask_whose)

    def _ask_whose(self, path: Path) -> None:
        words = self.tr(
            "Whose map is this? Every slot will say that it is this person’s word until you have "
            "read it at your vehicle; nothing is decided on it alone."
        )
        question = NameQuestion(
            self._window, self.tr("Take in somebody’s map"), words, lambda by: self.read(path, by)
        )
        question.open()

    def read(self, path: Path, by: str) -> None:
        """Take a map in."""
        # loaded when it is first needed: the start stays short
        from fusemap.files import read_vehicle

        try:
            other = read_vehicle(path)
        except FusemapError as problem:
            self._document.refused.emit(problem)
            return
        text = self.tr("Take in {name}’s map").format(name=by)
        self._document.apply(text, travel.take_in, other, by)

    def _folder(self) -> Path:
        path = self._document.path
        return path.parent if path is not None else Path.home()
