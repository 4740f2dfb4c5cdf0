"""The one step that comes next, in words, and where it leads.

In: a `Job`, and how long it stands, once that is known. Out: a `NextStep`, in the order in which
somebody with practice goes: the lid first, then what does not hold, what may not, what nobody
answered, what has no place, how long it stands, the check, the paper. Where the step is the best
way out of a finding its words wait for `way_out`, for which the fixes have to be tried.
"""

from collections.abc import Iterator, Sequence
from typing import Final, Literal

from msgspec import Struct

from fusemap.assess.parked.ends import battery_said
from fusemap.assess.sources import unsaid_places
from fusemap.assess.sure import How, Wanted
from fusemap.assess.sure_words import place_words
from fusemap.checks import Finding
from fusemap.fixes.fix import answer
from fusemap.fixes.trial import Trial
from fusemap.job.stages import Stage
from fusemap.job.standing_of import Job, Standing, something_said
from fusemap.text import Text, Words, many, say
from fusemap.vehicle import State, Vehicle, look_up

How_ = Literal[
    "panel", "select", "finding", "read", "tell", "circuits", "add", "place", "battery", "standing",
    "check", "paper", "field",
]  # fmt: skip
"""What is opened: the lid, a place in it, a finding with its ways out, a reading, a field where
something is said of a place or, by form and name, of the vehicle, the list of circuits, the
library, an accessory in the hand, the battery, or a page."""


class Lead(Struct, frozen=True):
    """Where a step leads: a stage, what is opened there, and the kind and id of a place in it."""

    stage: Stage
    how: How_
    kind: str = ""
    id: str = ""
    state: State | None = None


class NextStep(Struct, frozen=True):
    """What to do next; `title` is `None` while the ways out of `finding` were not tried."""

    title: Text | None
    lead: Lead
    finding: Finding | None = None


MEASURE: Final[dict[How, Text]] = {
    "say": say("Say what is not known of {place}"),
    "label": say("Say what the alternator’s label states"),
    "warmth": say("Say how warm the cabin and the boot get"),
    "length": say("Take with a tape where the fuse of {place} is"),
    "millivolts": say("Measure {place}"),
    "volts": say("Measure the volts at {place}"),
    "contacts": say("Measure the live side of {place}"),
    "clamp": say("Measure {place} by clamp"),
}
"""What makes it sure, as an order."""


def next_step(job: Job, standing: Standing | None) -> NextStep | None:
    """What comes next; `None` while that hangs on how long it stands, and this is not known yet."""
    for step in _before_standing(job):
        return step
    if standing is None:
        return None
    if standing.verdict != "holds":
        return _stand(job, standing)
    return _after_fitting(job)


def _before_standing(job: Job) -> Iterator[NextStep]:
    """What is done before one asks how long it stands."""
    said, slots = job.mapped
    if not slots:
        yield NextStep(say("Draw the panel: rows and columns"), Lead("panel", "panel"))
    elif not said or (said < slots and not job.vehicle.accessories):
        yield _fill(job, slots - said)
    yield from (_mend(job, each) for each in job.found if each.severity == "stop")
    if job.vehicle.taps:
        if job.asked and not battery_said(job.vehicle):
            yield NextStep(say("Say which battery it has"), Lead("standing", "battery"))
        yield from (_settle(job, each) for each in job.asked)
    used = [each for each in job.unanswered if each.in_use]
    if used:
        where = look_up.place_words(used[0].slot)
        lead = Lead("panel", "circuits", "slot", used[0].slot.id)
        yield NextStep(say("Say what {slot} feeds", slot=where), lead)
    if not job.vehicle.accessories:
        yield NextStep(say("Add an accessory"), Lead("plan", "add"))
    if job.live_first is not None:
        where = look_up.place_words(job.live_first)
        lead = Lead("probe", "read", "slot", job.live_first.id)
        yield NextStep(say("Measure when {slot} is live", slot=where), lead)
    for accessory in job.unplaced:
        name = look_up.accessory(job.vehicle, accessory).name
        lead = Lead("plan", "place", "accessory", accessory)
        yield NextStep(say("Place {accessory}", accessory=name), lead)
    if job.verdict == "unchecked":
        yield from (_mend(job, each) for each in job.found if each.severity != "note")


def _fill(job: Job, left: int) -> NextStep:
    """The first slot of which nothing is said."""
    blank = next(
        slot
        for slot in look_up.slots(job.vehicle)
        if slot.kind == "fuse" and not something_said(slot)
    )
    words = many("Fill in the panel: {n} slot", "Fill in the panel: {n} slots", left)
    return NextStep(words, Lead("panel", "select", "slot", blank.id))


def _mend(job: Job, finding: Finding) -> NextStep:
    """The best way out of a finding, once its fixes were tried."""
    lead = Lead("plan", "finding", finding.place, finding.place_id)
    return NextStep(None, lead, finding)


def _settle(job: Job, wanted: Wanted) -> NextStep:
    """What makes it sure: read it, or say it."""
    words = Text(MEASURE[wanted.how].template, {"place": _where(job, wanted)})
    way = answer(job.vehicle, wanted)
    if way.read is not None:
        return NextStep(words, Lead("probe", "read", *way.read, state=way.state))
    if way.tell is not None:
        return NextStep(words, Lead("plan", "tell", *way.tell))
    if wanted.how == "label":
        return NextStep(words, Lead("standing", "field", "parking", "parking_alternator_a"))
    if wanted.how == "warmth":
        return NextStep(words, _warmth(job.vehicle))
    if wanted.place == "slot":
        return NextStep(words, Lead("probe", "read", "slot", wanted.place_id))
    if wanted.place == "link":
        return NextStep(words, Lead("plan", "select", "battery", "battery"))
    if wanted.place == "output":
        return NextStep(words, Lead("plan", "select", "accessory", wanted.place_id))
    tap = look_up.tap(job.vehicle, wanted.place_id)
    return NextStep(words, Lead("plan", "select", "accessory", tap.accessory))


def _warmth(vehicle: Vehicle) -> Lead:
    """Where it is said how warm a place gets: at its panel, else among the rules."""
    unsaid = unsaid_places(vehicle)
    for panel in vehicle.panels:
        if panel.place in unsaid:
            return Lead("panel", "tell", "panel", panel.id)
    place = unsaid[0] if unsaid else "cabin"
    return Lead("panel", "field", "rules", f"rule_ambient_{place}_c")


def _where(job: Job, wanted: Wanted) -> Words:
    """The place, a slot by its label alone."""
    if wanted.place == "slot":
        return look_up.place_words(look_up.slot(job.vehicle, wanted.place_id))
    if wanted.place == "feed":
        return look_up.feed(job.vehicle, wanted.place_id).name
    if wanted.place == "link":
        return say("the link between the batteries")
    return place_words(job.vehicle, wanted)


def _stand(job: Job, standing: Standing) -> NextStep:
    """The first help where it stands too short; where that is not sure, what would help."""
    if not standing.battery_said:
        return NextStep(say("Say which battery it has"), Lead("standing", "battery"))
    codes = ("does_not_start_now", "stands_too_short")
    finding = next((each for each in job.found if each.code in codes), None)
    if finding is not None:
        return NextStep(None, Lead("standing", "standing", "battery", "battery"), finding)
    words = many(
        "See what would make it stand {n} day",
        "See what would make it stand {n} days",
        standing.planned_days,
    )
    return NextStep(words, Lead("standing", "standing"))


def _after_fitting(job: Job) -> NextStep:
    """Check what was fitted; then keep the record."""
    steps = job.checks
    left = [step for step in steps if step.verdict == "open"]
    if left and len(left) == len(steps):
        words = many("Fit it, then check: {n} step", "Fit it, then check: {n} steps", len(left))
        return NextStep(words, Lead("check", "check"))
    if left:
        words = many("Go on checking: {n} open", "Go on checking: {n} open", len(left))
        return NextStep(words, Lead("check", "check"))
    differs = next((step for step in steps if step.verdict == "differs"), None)
    if differs is not None:
        words = say("Find out why it differs: {step}", step=differs.title)
        return NextStep(words, Lead("check", "check"))
    return NextStep(say("Done: keep the record"), Lead("paper", "paper", "part", "record"))


def way_out(job: Job, finding: Finding, trials: Sequence[Trial]) -> Text:
    """The best way out of a finding and where, of all that were tried: the first that brings up
    nothing as bad, else the first.
    """
    good = (t for t in trials if t.effect is not None and not t.effect.worse_than(finding))
    fix = next(good, trials[0]).fix
    title, place = fix.title, _short(job, finding)
    if fix.edit is None and not fix.answers:
        # done at the vehicle, in more words than one reads in passing
        return say("See what to do: {what}", what=finding.where if place is None else place)
    if place is None or str(place) in str(title):
        return title
    return say("{place}: {step}", place=place, step=title)


def _short(job: Job, finding: Finding) -> Words | None:
    """The place of a finding in as few words as people call it by."""
    if finding.place == "slot":
        return look_up.place_words(look_up.slot(job.vehicle, finding.place_id))
    if finding.place == "feed":
        return look_up.feed(job.vehicle, finding.place_id).name
    if finding.place == "tap":
        accessory = look_up.tap(job.vehicle, finding.place_id).accessory
        return look_up.accessory(job.vehicle, accessory).name
    if finding.place == "accessory":
        return look_up.accessory(job.vehicle, finding.place_id).name
    return None
