"""The stages of the job, each with its state in words, and whether it is done.

In: a `Job`, and how long it stands, once that is known. Out: six states in the order of the job. A
state that waits for a reckoning has no words, never an old or an invented figure.
"""

from typing import Final, Literal

from msgspec import Struct

from fusemap.job.standing_of import Job, Standing
from fusemap.text import Amount, Text, many, say, say_in

Stage = Literal["panel", "probe", "plan", "standing", "paper", "check"]
STAGES: Final[tuple[Stage, ...]] = ("panel", "probe", "plan", "standing", "paper", "check")

NOT_YET: Final = say_in("stage", "not yet")


class StageState(Struct, frozen=True):
    """One stage: its state in a word or two, `None` while that is reckoned, and if it is done."""

    stage: Stage
    words: Text | None
    done: bool = False


def stage_states(job: Job, standing: Standing | None) -> tuple[StageState, ...]:
    """All six, in the order of the job."""
    return (
        _panel(job),
        _probe(job),
        _plan(job),
        _standing(standing),
        _paper(job),
        _check(job),
    )


def _of(part: int, whole: int) -> Text:
    return say("{part} of {whole}", part=Amount(part), whole=Amount(whole))


def _panel(job: Job) -> StageState:
    said, slots = job.mapped
    if not slots:
        return StageState("panel", NOT_YET)
    return StageState("panel", _of(said, slots), done=said == slots)


def _probe(job: Job) -> StageState:
    """Open is every slot that a round still asks about, and the vehicle as a whole."""
    if not job.mapped[1]:
        return StageState("probe", NOT_YET)
    left = len(job.to_read) + (not job.whole_read)
    if not left:
        return StageState("probe", say_in("stage", "all read"), done=True)
    return StageState("probe", many("{n} open", "{n} open", left))


def _plan(job: Job) -> StageState:
    every = len(job.vehicle.accessories)
    if not every:
        return StageState("plan", NOT_YET)
    left = len(job.unplaced)
    words = say("{part} of {whole} placed", part=Amount(every - left), whole=Amount(every))
    return StageState("plan", words, done=not left and job.verdict == "holds")


def _standing(standing: Standing | None) -> StageState:
    if standing is None:
        return StageState("standing", None)
    if standing.verdict == "unchecked":
        return StageState("standing", NOT_YET)
    if standing.verdict == "holds":
        days = many("{n} day fits", "{n} days fit", standing.planned_days)
        return StageState("standing", days, done=True)
    if standing.never:
        return StageState("standing", say_in("stage", "may not start"))
    if standing.verdict == "fails":
        return StageState("standing", say_in("stage", "too long"))
    return StageState("standing", say_in("stage", "not sure"))


def _paper(job: Job) -> StageState:
    """The sheet is made of the plan: until that stands it is not worth printing."""
    ready = bool(job.vehicle.taps) and not job.unplaced and job.verdict == "holds"
    if not ready:
        return StageState("paper", NOT_YET)
    return StageState("paper", say_in("stage", "ready"), done=_checked(job))


def _check(job: Job) -> StageState:
    if not job.vehicle.taps:
        return StageState("check", NOT_YET)
    read = sum(step.verdict != "open" for step in job.checks)
    return StageState("check", _of(read, len(job.checks)), done=_checked(job))


def _checked(job: Job) -> bool:
    """Whether everything that was fitted is measured, and agrees."""
    return bool(job.vehicle.taps) and all(step.verdict == "agrees" for step in job.checks)
