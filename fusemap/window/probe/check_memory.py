"""What is kept of the check of the vehicle in hand, on disk, at every key. No Qt widgets.

In: the document and the folder of the user's state, `None` for a page that keeps nothing. Out: the
check as it was left.
"""

from pathlib import Path

from fusemap.probing.check_step import CheckStep
from fusemap.window.document import Document
from fusemap.window.probe.kept import HeldCheck, KeptCheck


def place_of(step: CheckStep) -> tuple[str, str, str, int]:
    """What tells one step from another, whatever the plan says of it."""
    return step.key, step.target, step.target_id, step.pin


class CheckMemory:
    """Remembers where a check is; `held` is what was kept last."""

    def __init__(self, folder: Path | None, document: Document) -> None:
        self._folder = folder
        self._document = document
        self._kept: KeptCheck | None = None
        self.held = HeldCheck()

    def take_up(self) -> HeldCheck:
        """The check of the vehicle in hand as it was left, or a new one."""
        self._find()
        self.held = HeldCheck() if self._kept is None else self._kept.read(self._document.vehicle)
        return self.held

    def keep(self, now: HeldCheck) -> None:
        """Keep it as it is now, where that is something else."""
        if now != self.held:
            self.held = now
            if self._kept is not None:
                self._kept.write(now)

    def move(self) -> None:
        """The vehicle goes by another file or name: keep it under that."""
        self._find()
        if self._kept is not None:
            self._kept.write(self.held)

    def _find(self) -> None:
        document = self._document
        if self._folder is not None:
            self._kept = KeptCheck(self._folder, document.path, document.goes_by)
