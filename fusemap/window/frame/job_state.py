"""What the frame shows, reckoned a moment after each change and in steps: it never stops the hand.

In: the document. Out: `told` whenever more is known: first the job with what holds, then what is
open and comes next, then for how long it stands, last the best way out where the next step is one.
What is not reckoned yet is `None`; nothing of the vehicle before is ever shown for the one there is
now.
"""

from dataclasses import replace
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QWidget

from fusemap.errors import FusemapError
from fusemap.text import Text
from fusemap.window.document import Document
from fusemap.window.parts.later import Later

if TYPE_CHECKING:
    from fusemap.job import Job, NextStep, StageState, Standing

REST_MS = 60
"""Nothing was changed for so long before the checks run [ms]."""
ASK_MS = 120
"""So long after that before it is reckoned what would make it sure [ms]."""
LOOK_AHEAD_MS = 120
"""So long after that before it is reckoned how long it stands [ms]."""
TRY_MS = 350
"""So long after that before the ways out of a finding are tried [ms]."""


class JobState(QObject):
    """The job of one document, as far as it is reckoned."""

    told = Signal()

    def __init__(self, document: Document, seen: QWidget) -> None:
        super().__init__(seen)
        self._document = document
        self._seen = seen
        """Nothing is reckoned while this is out of view."""
        self.job: Job | None = None
        self.standing: Standing | None = None
        self.problem: FusemapError | None = None
        """Why it cannot be reckoned how long it stands."""
        self.step: NextStep | None = None
        self.asked = False
        """Whether it is known what is open."""
        self._cold = True
        """Nothing was reckoned in this process yet: the cards are given their figures first."""
        self._steps = (
            (Later(self._find, self), REST_MS),
            (Later(self._ask, self), ASK_MS),
            (Later(self._look_ahead, self), LOOK_AHEAD_MS),
            (Later(self._try, self), TRY_MS),
        )
        for later, wait in self._steps:
            later.setInterval(wait)
        document.changed.connect(self.begin_anew)

    @property
    def stages(self) -> "tuple[StageState, ...]":
        """The stages with their states; none while nothing is known."""
        if self.job is None:
            return ()
        # loaded when it is first needed: the start stays short
        from fusemap.job import stage_states

        return stage_states(self.job, self.standing)

    @property
    def title(self) -> Text | None:
        """The next step in words; `None` while that is reckoned."""
        return None if self.step is None else self.step.title

    def begin_anew(self, *_: object) -> None:
        """Another vehicle: nothing is known of it."""
        for later, _wait in self._steps:
            later.stop()
        self.job = self.standing = self.step = self.problem = None
        self.asked = False
        self.told.emit()
        self._steps[0][0].start()

    def catch_up(self) -> None:
        """It came into view: reckon what was left out meanwhile."""
        if self.job is None:
            self._steps[0][0].start()
        elif not self.asked:
            self._steps[1][0].start()
        elif self.standing is None and self.problem is None:
            self._steps[2][0].start()

    # --- step by step ---------------------------------------------------------------------------

    def _find(self) -> None:
        if self.job is None and self._seen.isVisible():
            if self._cold:
                self._cold = False
                _ = self._document.assessment
                self._steps[0][0].start()
                return
            self._find_now()
            self.told.emit()
            self._steps[1][0].start()

    def _ask(self) -> None:
        if self.job is not None and not self.asked and self._seen.isVisible():
            self._ask_now()
            self.told.emit()
            self._steps[2][0].start()

    def _look_ahead(self) -> None:
        if self.job is not None and self.standing is None and self._seen.isVisible():
            self._look_ahead_now()
            self.told.emit()
            self._steps[3][0].start()

    def _try(self) -> None:
        if self.step is not None and self.step.title is None and self._seen.isVisible():
            self._try_now()
            self.told.emit()

    def _find_now(self) -> None:
        # loaded when it is first needed: the start stays short
        from fusemap.job import Job

        document = self._document
        self.job = Job(document.vehicle, document.assessment, document.findings)

    def _ask_now(self) -> None:
        # loaded when it is first needed: the start stays short
        from fusemap.job import next_step

        assert self.job is not None
        _ = self.job.asked
        self.step = next_step(self.job, None)
        self.asked = True

    def _look_ahead_now(self) -> None:
        # loaded when it is first needed: the start stays short
        from fusemap.job import next_step

        assert self.job is not None
        try:
            self.standing = self.job.look_ahead()
        except FusemapError as error:
            self.problem = error
            return
        self.step = next_step(self.job, self.standing)

    def _try_now(self) -> None:
        # loaded when it is first needed: the start stays short
        from fusemap.job import way_out

        step = self.step
        if self.job is None or step is None or step.title is not None or step.finding is None:
            return
        self.step = replace(step, title=way_out(self.job, step.finding))
