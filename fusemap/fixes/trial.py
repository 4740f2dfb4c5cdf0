"""Fixes of a finding, each tried out before it is shown.

In: an assessed vehicle and one of its findings. Out: `Trial`s: what to do, the vehicle with it
done, and what that changes: findings that go and come, load shares, days the vehicle may stand. A
fix that does not remove its finding is not shown. One that only somebody at the vehicle can make
has no edit. Fixes that bring up something as bad or worse come last and say so.
"""

from collections.abc import Iterator

from msgspec import Struct
from msgspec.structs import replace

from fusemap.assess import Assessment, assess
from fusemap.assess.hops import keys_of
from fusemap.checks import SEVERITIES, Finding, findings
from fusemap.checks.finding import Severity
from fusemap.errors import FusemapError
from fusemap.fixes.fix import Case, Edit, Fix, key_of
from fusemap.fixes.table import FIXES
from fusemap.text import ENGLISH, Argument, Duration, Text, run_on, say, share
from fusemap.vehicle import Vehicle

MOST = 8
"""So many fixes are shown of one finding at most."""


class Share(Struct, frozen=True):
    """The most loaded hop or part at the place of a finding, before and after."""

    what: Argument
    before: float
    after: float


class Effect(Struct, frozen=True, eq=False):
    """What a fix changes; `hours` the vehicle may stand, before and after.

    `found` are all findings there are with it done, worst first, and `after` what was computed.
    """

    after: Assessment
    found: tuple[Finding, ...]
    removed: tuple[Finding, ...]
    added: tuple[Finding, ...]
    hours: tuple[float, float]
    shares: tuple[Share, ...] = ()

    @property
    def vehicle(self) -> Vehicle:
        """The vehicle with it done."""
        return self.after.vehicle

    def worse_than(self, finding: Finding) -> tuple[Finding, ...]:
        """What it brings up that is as bad as a finding, or worse."""
        return tuple(f for f in self.added if _rank(f) <= _rank(finding))


class Trial(Struct, frozen=True, eq=False):
    """A fix with its effect; `None` where it is made at the vehicle."""

    fix: Fix
    effect: Effect | None = None


class Search:
    """The fixes of one finding, tried one after the other: each takes some hundredths of a second.

    `step` tries the next and says whether one is left; `found` is the answer after the last.
    """

    def __init__(self, a: Assessment, finding: Finding) -> None:
        self.a, self.finding = a, finding
        self._before = findings(a.vehicle, a)
        make = FIXES.get(finding.code)
        self._left = iter(() if make is None else make(Case(a, finding)))
        self._trials: list[Trial] = []
        self._seen: set[int] = set()

    def step(self) -> bool:
        """Try the next one; False where none was left."""
        fix = next(self._left, None)
        if fix is None:
            return False
        trial = _try(self.a, self._before, self.finding, fix)
        if trial is None:
            return True
        if trial.effect is not None:
            if hash(trial.effect.vehicle) in self._seen:
                return True
            self._seen.add(hash(trial.effect.vehicle))
        self._trials.append(trial)
        return True

    @property
    def found(self) -> tuple[Trial, ...]:
        """Those that really remove the finding, the plainest first, at most `MOST` of them.

        Where a reading is missing, to take it is the plainest of all.
        """
        found = sorted(self._trials, key=lambda each: _order(each, self.finding))
        done = [each for each in found if each.effect is not None][:MOST]
        by_hand = [each for each in found if each.effect is None]
        answers = [each for each in by_hand if each.fix.answers]
        others = [each for each in by_hand if not each.fix.answers]
        return (*answers, *done, *others) if found else (Trial(Fix(self.finding.remedy)),)


def find_fixes(a: Assessment, finding: Finding) -> tuple[Trial, ...]:
    """Every fix of a finding that really removes it, as `Search` finds them, without a pause."""
    search = Search(a, finding)
    while search.step():
        pass
    return search.found


def _order(each: Trial, finding: Finding) -> int:
    return 0 if each.effect is None else len(each.effect.worse_than(finding))


def _try(a: Assessment, before: tuple[Finding, ...], finding: Finding, fix: Fix) -> Trial | None:
    if fix.edit is None:
        return Trial(fix)
    try:
        effect = _effect(a, before, fix.edit)
    except FusemapError:
        return None
    gone = any(key_of(f) == key_of(finding) for f in effect.removed)
    if not gone:
        return None
    return Trial(fix, replace(effect, shares=tuple(_shares(a, effect.after, finding))))


def effect_of(a: Assessment, edit: Edit) -> Effect:
    """What an edit changes: findings that go and come, and how long the vehicle may stand."""
    return _effect(a, findings(a.vehicle, a), edit)


def _effect(a: Assessment, before: tuple[Finding, ...], edit: Edit) -> Effect:
    new = assess(edit(a.vehicle))
    after = findings(new.vehicle, new)
    are, were = {key_of(f) for f in after}, {key_of(f): _rank(f) for f in before}
    return Effect(
        new,
        after,
        tuple(f for f in before if key_of(f) not in are),
        tuple(f for f in after if _rank(f) < were.get(key_of(f), len(SEVERITIES))),
        (a.parked.hours, new.parked.hours),
    )


def _rank(finding: Finding) -> int:
    return SEVERITIES.index(finding.severity)


def _shares(a: Assessment, new: Assessment, finding: Finding) -> Iterator[Share]:
    """The load share at the place of a finding, before and after."""
    place, wanted = finding.place, finding.place_id
    if place == "tap" and wanted in a.chains and wanted in new.chains:
        hops = [h for h in a.chains[wanted].hops if h.key in keys_of(finding.code)]
        worst = (a.chains[wanted].worst, new.chains[wanted].worst)
        titles = {hop.id: hop.title for hop in (*hops, *worst) if hop is not None}
        for hop_id, title in titles.items():
            yield Share(title, _same_hop(a, wanted, hop_id), _same_hop(new, wanted, hop_id))
    elif place == "slot" and wanted in a.slots.index and wanted in new.slots.index:
        yield Share(
            finding.where,
            float(a.slots.worst_share[a.slots.index[wanted]]),
            float(new.slots.worst_share[new.slots.index[wanted]]),
        )
    elif place == "feed" and wanted in a.feeds.index and wanted in new.feeds.index:
        yield Share(
            finding.where,
            float(a.feeds.worst_share[a.feeds.index[wanted]]),
            float(new.feeds.worst_share[new.feeds.index[wanted]]),
        )


def _same_hop(a: Assessment, tap_id: str, hop_id: str) -> float:
    return next((hop.share for hop in a.chains[tap_id].hops if hop.id == hop_id), 0.0)


# --- an effect in words ---------------------------------------------------------------------------


def effect_words(effect: Effect, finding: Finding) -> tuple[Text, ...]:
    """An effect as short lines: margins, days, what goes and what comes."""
    return tuple(_effect_words(effect, finding))


def _effect_words(effect: Effect, finding: Finding) -> Iterator[Text]:
    for part in effect.shares:
        if not abs(part.before - part.after) < 0.005:
            yield say(
                "{part}: {before} → {after} of the limit",
                part=part.what,
                before=_percent(part.before),
                after=_percent(part.after),
            )
    before, after = effect.hours
    if ENGLISH.show(Duration(before)) != ENGLISH.show(Duration(after)):
        yield say(
            "Starts by the usual figures for {before} → {after}",
            before=Duration(before),
            after=Duration(after),
        )
    others = [f for f in effect.removed if key_of(f) != key_of(finding)]
    for severity in SEVERITIES:
        places = dict.fromkeys(f.where for f in others if f.severity == severity)
        if places:
            yield _also_removes(severity, run_on(*places, between="; "))
    for added in effect.added:
        bring_up = _brings_up if added in effect.worse_than(finding) else _leaves
        yield bring_up(added.severity, added.where, added.what)


def _also_removes(severity: Severity, places: Text) -> Text:
    return {
        "stop": say("Also removes a stop: {places}", places=places),
        "caution": say("Also removes a caution: {places}", places=places),
        "note": say("Also removes a note: {places}", places=places),
    }[severity]


def _brings_up(severity: Severity, where: Argument, what: Argument) -> Text:
    return {
        "stop": say("But brings up a stop: {where}: {what}", where=where, what=what),
        "caution": say("But brings up a caution: {where}: {what}", where=where, what=what),
        "note": say("But brings up a note: {where}: {what}", where=where, what=what),
    }[severity]


def _leaves(severity: Severity, where: Argument, what: Argument) -> Text:
    return {
        "stop": say("Leaves a stop: {where}: {what}", where=where, what=what),
        "caution": say("Leaves a caution: {where}: {what}", where=where, what=what),
        "note": say("Leaves a note: {where}: {what}", where=where, what=what),
    }[severity]


def _percent(part: float) -> Argument:
    return share(min(part, 99.0)) if part == part else "–"
