"""Ways out of findings, tried one a turn of the event loop: the hand is never held up.

In: the document, whose `trials` remember what was tried for the vehicle as it is now. Out: the
trials of a finding, told to whoever asked, at once where they are known.
"""

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject

from fusemap.window.document import Document
from fusemap.window.parts.later import Later

if TYPE_CHECKING:
    from fusemap.checks.finding import Finding
    from fusemap.fixes.trial import Search, Trial

    Tell = Callable[[tuple[Trial, ...]], object]


class Trying(QObject):
    """Tries the ways out of one finding at a time; another question takes the place of the last."""

    def __init__(self, document: Document, parent: QObject) -> None:
        super().__init__(parent)
        self._document = document
        self._next = Later(self._step, self)
        self._search: Search | None = None
        self._tell: Tell | None = None
        document.changed.connect(self.stop)

    def ask(self, finding: "Finding", tell: "Tell") -> None:
        """Have `tell` called with every way out of this finding."""
        # the whole planner comes with it, which nobody waits for at the start
        from fusemap.fixes.trial import Search

        self.stop()
        known = self._document.trials.get(finding)
        if known is not None:
            tell(known)
            return
        self._search, self._tell = Search(self._document.assessment, finding), tell
        self._next.start()

    def stop(self, *_: object) -> None:
        """Nobody waits for it any more."""
        self._next.stop()
        self._search = self._tell = None

    def _step(self) -> None:
        search, tell = self._search, self._tell
        if search is None or tell is None:
            return
        if search.step():
            self._next.start()
            return
        found = self._document.trials[search.finding] = search.found
        self.stop()
        tell(found)
