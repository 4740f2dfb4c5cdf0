"""Unsaved work of earlier runs: shown with what differs, taken up or given up as the user says.

Nothing is taken up unasked and nothing is thrown away unasked. What is not decided on stays kept
and is offered again at the next start, or from the file menu.
"""

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject
from PySide6.QtWidgets import QWidget

from fusemap.window.asking import begin
from fusemap.window.files.file_commands import FileCommands
from fusemap.window.settings import state_folder
from fusemap.window.style.look import Look

if TYPE_CHECKING:
    from fusemap.files.kept import Lost
    from fusemap.window.files.rescue import Rescue


class Recovery(QObject):
    """Offers lost work in a window. `rescue` keeps the work in hand, where there is one."""

    def __init__(self, window: QWidget, files: FileCommands, look: Look) -> None:
        super().__init__(window)
        self._window = window
        self._files = files
        self._look = look
        self.rescue: Rescue | None = None

    def offer(self) -> bool:
        """Show the lost work; says whether there is any."""
        folder = state_folder()
        if not any(folder.glob("unsaved-*")):
            return False
        # loaded when it is first needed: the start stays short
        from fusemap.files.kept import lost_work
        from fusemap.window.files.recovery_dialog import RecoveryDialog

        lost = [work for work in lost_work(folder) if not self._is_saved(work)]
        if lost:
            style = self._look.theme.style
            RecoveryDialog(self._window, style, lost, self._take, _give_up).open()
        return bool(lost)

    def _is_saved(self, lost: "Lost") -> bool:
        """Whether this very vehicle stands in its file already; then it is forgotten."""
        # loaded when it is first needed: the start stays short
        from fusemap.window.files.recovery_dialog import in_file

        if lost.vehicle is None or lost.elsewhere or lost.vehicle != in_file(lost.path):
            return False
        lost.forget()
        return True

    def _take(self, lost: "Lost") -> None:
        begin(self._take_up(lost))

    async def _take_up(self, lost: "Lost") -> None:
        if not await self._files.may_leave():
            return
        assert lost.vehicle is not None
        self._files.take_up(lost.vehicle, lost.path)
        # Only when it is kept anew may the old keeping go.
        if self.rescue is not None and self.rescue.keep():
            lost.forget()


def _give_up(lost: "Lost") -> None:
    """Put it among the earlier versions; where that cannot be done it is offered again."""
    # loaded when it is first needed: the start stays short
    from fusemap.files.backups import give_up

    if lost.vehicle is None or give_up(state_folder(), lost.path, lost.vehicle):
        lost.forget()
