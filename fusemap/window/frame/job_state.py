"""What the frame shows, reckoned a moment after each change and in steps: it never stops the hand.

In: the document. Out: `told` whenever more is known: first the job with what holds, then what is
open and comes next, then for how long it stands, last the best way out where the next step is one;
and `forgot` when an edit made it out of date. What is not reckoned yet is `None`; nothing of the
vehicle before stands for the one there is now. A vehicle that was just opened is not waited for:
nobody is typing yet.
"""

from functools import partial
from typing import TYPE_CHECKING

from msgspec.structs import replace
from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QWidget

from fusemap.errors import FusemapError
from fusemap.text import Text
from fusemap.window.document import Document
from fusemap.window.parts.later import FIGURES, Later
from fusemap.window.trying import Trying

if TYPE_CHECKING:
    from fusemap.fixes.trial import Trial
    from fusemap.job import Job, StageState, Standing
    from fusemap.job.next_step import NextStep

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
    forgot = Signal()

    def __init__(self, document: Document, seen: QWidget) -> None:
        super().__init__(seen)
        self._document = document
        self._seen = seen
        """Nothing is reckoned while this is out of view."""
        self.job: Job | None = None
        self._before: Job | None = None
        """What was known of the vehicle before: taken down, which takes a while, after painting."""
        self.standing: Standing | None = None
        self.problem: FusemapError | None = None
        """Why it cannot be reckoned how long it stands."""
        self.step: NextStep | None = None
        self.asked = False
        """Whether it is known what is open."""
        self._cold = True
        """Nothing was reckoned in this process yet: the cards are given their figures first."""
        self._opened = True
        """Nothing was changed since the vehicle was opened."""
        self._trying = Trying(document, self)
        self._steps = (
            (Later(self._find, self), REST_MS),
            (Later(self._ask, self), ASK_MS),
            (Later(self._look_ahead, self), LOOK_AHEAD_MS),
            (Later(self._try, self), TRY_MS),
        )
        document.changed.connect(self._changed)
        document.opened.connect(self.begin_anew)

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

    def begin_anew(self) -> None:
        """Another vehicle: nothing is known of it."""
        self._opened = True
        if self._forget():
            self.told.emit()
        self._go_on(0)

    def _changed(self, *_: object) -> None:
        self._opened = False
        if self._forget():
            self.forgot.emit()
        self._go_on(0)

    def _forget(self) -> bool:
        """Drop what was reckoned; whether anything was."""
        for later, _wait in self._steps:
            later.stop()
        known = self.job is not None
        self._before = self.job or self._before
        self.job = self.standing = self.step = self.problem = None
        self.asked = False
        return known

    def _go_on(self, step: int) -> None:
        """Reckon the next step, at once or when the hand has come to rest; the first of all when
        something can be seen.
        """
        later, wait = self._steps[step]
        if self._cold:
            later.start_when_painted(self._seen, FIGURES)
            self._seen.update()
        else:
            later.start(0 if self._opened else wait)

    def catch_up(self) -> None:
        """It came into view: reckon what was left out meanwhile."""
        if self.job is None:
            self._go_on(0)
        elif not self.asked:
            self._go_on(1)
        elif self.standing is None and self.problem is None:
            self._go_on(2)

    # --- step by step ---------------------------------------------------------------------------

    def _find(self) -> None:
        if self.job is None and self._seen.isVisible():
            if self._cold:
                _ = self._document.assessment
                self._go_on(0)  # the verdict follows the painting of these
                self._cold = False
                return
            self._find_now()
            self.told.emit()
            self._go_on(1)

    def _ask(self) -> None:
        if self.job is not None and not self.asked and self._seen.isVisible():
            self._ask_now()
            self.told.emit()
            self._go_on(2)

    def _look_ahead(self) -> None:
        if self.job is not None and self.standing is None and self._seen.isVisible():
            self._look_ahead_now()
            self.told.emit()
            self._go_on(3)

    def _try(self) -> None:
        step = self.step
        if step is None or step.title is not None or not self._seen.isVisible():
            return
        if step.finding is not None:
            self._trying.ask(step.finding, partial(self._say_way, step))

    def _say_way(self, step: "NextStep", trials: "tuple[Trial, ...]") -> None:
        # loaded when it is first needed: the start stays short
        from fusemap.job.next_step import way_out

        if self.job is not None and step is self.step and step.finding is not None:
            self.step = replace(step, title=way_out(self.job, step.finding, trials))
            self.told.emit()

    def _find_now(self) -> None:
        # loaded when it is first needed: the start stays short
        from fusemap.job import Job

        document = self._document
        self._before = None
        self.job = Job(document.vehicle, document.assessment, document.findings)

    def _ask_now(self) -> None:
        # loaded when it is first needed: the start stays short
        from fusemap.job.next_step import next_step

        assert self.job is not None
        _ = self.job.asked
        self.step = next_step(self.job, None)
        self.asked = True

    def _look_ahead_now(self) -> None:
        # loaded when it is first needed: the start stays short
        from fusemap.job.next_step import next_step

        assert self.job is not None
        try:
            self.standing = self.job.look_ahead()
        except FusemapError as error:
            self.problem = error
            return
        self.step = next_step(self.job, self.standing)
