"""Which parts of the paper go into one PDF: a tick for each, remembered for each vehicle's file.

In: the document and the settings. Out: the parts that are ticked, in the order of the paper. A
vehicle without a file has its ticks until another is opened.
"""

from collections.abc import Sequence

from PySide6.QtWidgets import QCheckBox, QGroupBox, QVBoxLayout, QWidget

from fusemap.sheet.content import PARTS, USUAL, Part
from fusemap.window.document import Document
from fusemap.window.settings import Settings


class PaperTicks(QGroupBox):
    """A box to tick for each part; `names` are the parts as people know them.

    Where nobody chose, the usual parts are ticked.
    """

    def __init__(
        self,
        document: Document,
        settings: Settings | None,
        names: Sequence[tuple[str, str]],
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._document = document
        self._settings = settings
        self.setObjectName("paperTicks")
        self.setTitle(self.tr("In one PDF"))
        self._boxes: dict[str, QCheckBox] = {}
        column = QVBoxLayout(self)
        for key, words in names:
            box = QCheckBox(words)
            box.setObjectName(f"tick_{key}")
            box.clicked.connect(self.remember)
            column.addWidget(box)
            self._boxes[key] = box
        self._choose(self._known() or USUAL)
        document.opened.connect(lambda: self._choose(self._known() or USUAL))
        document.path_changed.connect(self._saved_elsewhere)

    @property
    def taken(self) -> tuple[Part, ...]:
        """The parts that are ticked."""
        return tuple(part for part in PARTS if self._boxes[part].isChecked())

    def remember(self) -> None:
        """Keep the ticks for the vehicle's file, if it has one."""
        path = self._document.path
        if self._settings is not None and path is not None:
            self._settings.keep_paper(path, self.taken)

    def _known(self) -> tuple[str, ...]:
        path = self._document.path
        if self._settings is None or path is None:
            return ()
        return self._settings.paper_of(path)

    def _choose(self, parts: Sequence[str]) -> None:
        for key, box in self._boxes.items():
            box.setChecked(key in parts)

    def _saved_elsewhere(self) -> None:
        """A file that has ticks of its own keeps them; any other has those that are set."""
        known = self._known()
        if known:
            self._choose(known)
