"""Reckons what the page shows, piece by piece, one in each turn of the event loop.

In: the assessment, and which changes are ticked. Out: signals with what is ready: the answer as it
is, the changes that would help, the answer with what is ticked, and what each change gains then. A
new start forgets what was not reckoned yet, so that the window never waits for an old question.
"""

from collections.abc import Iterator
from typing import Final

from PySide6.QtCore import QObject, Signal

from fusemap.assess import Assessment, assess
from fusemap.assess.parked.ends import battery_said
from fusemap.errors import FusemapError
from fusemap.fixes.together import gains, with_all
from fusemap.fixes.what_if import WhatIf, best_first, tried
from fusemap.window.parked.chart_figures import Case
from fusemap.window.parts.later import Later

READY: Final = "band"
"""What an assessment holds once its answer was reckoned."""


class Reckoning(QObject):
    """One question at a time."""

    answered = Signal(object)
    """The `Case` as it is."""
    found = Signal(object)
    """What would help: tuple[WhatIf, ...], the best first."""
    together = Signal(object)
    """The `Case` with all that is ticked; `None` where nothing is."""
    gained = Signal(object)
    """What each change gains after the ticked: dict[str, float], in hours."""
    failed = Signal(object)
    """The error that keeps the forecast from being made."""
    refused = Signal(object, object)
    """Which ticked changes cannot be done together, and the error."""

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self._steps: Iterator[None] = iter(())
        self._next = Later(self._step, self)
        self._assessment: Assessment | None = None
        self.running = False

    def start(self, assessment: Assessment, wanted: tuple[str, ...]) -> None:
        """Reckon everything for this vehicle; `wanted` are the keys of the ticked changes."""
        self._assessment = assessment
        self._run(self._all(assessment, wanted))

    def tick(self, chosen: tuple[WhatIf, ...], others: tuple[WhatIf, ...]) -> None:
        """Reckon what is ticked anew."""
        if self._assessment is not None:
            self._run(self._ticked(self._assessment, chosen, others))

    def stop(self) -> None:
        """Forget what was not reckoned yet."""
        self._run(iter(()))

    def _run(self, steps: Iterator[None]) -> None:
        self._steps = steps
        self.running = True
        self._next.start()

    def _step(self) -> None:
        """One piece; the rest in the turns to come."""
        steps = self._steps
        try:
            next(steps)
        except StopIteration:
            self.running = self._steps is not steps
            if not self.running:
                return
        except FusemapError as error:
            self.running = False
            self.failed.emit(error)
            return
        self._next.start()

    def _all(self, a: Assessment, wanted: tuple[str, ...]) -> Iterator[None]:
        if READY not in vars(a):
            _ = a.parked
            yield
        self.answered.emit(Case(a.parked, a.band, battery_said(a.vehicle)))
        yield
        found: list[WhatIf] = []
        for each in tried(a):
            if each is not None:
                found.append(each)
            yield
        best = best_first(found)
        by_key = {each.key: each for each in best}
        chosen = tuple(by_key[key] for key in wanted if key in by_key)
        self.found.emit(best)
        yield from self._ticked(a, chosen, tuple(each for each in best if each not in chosen))

    def _ticked(
        self, a: Assessment, chosen: tuple[WhatIf, ...], others: tuple[WhatIf, ...]
    ) -> Iterator[None]:
        if not chosen:
            self.together.emit(None)
            self.gained.emit({each.key: each.gained_h for each in others})
            return
        try:
            after = assess(with_all(a.vehicle, chosen))
            yield
            _ = after.parked
        except FusemapError as error:
            self.refused.emit(chosen[-1:], error)
            return
        yield
        self.together.emit(Case(after.parked, after.band, battery_said(after.vehicle)))
        yield
        known: dict[str, float] = {}
        for key, hours in gains(a, chosen, others):
            known[key] = hours
            yield
        self.gained.emit(known)
