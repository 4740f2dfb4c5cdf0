"""The ways out of a finding: edits that remove it, each tried out before it is shown.

In: an assessed vehicle and one of its findings. Out: `Tried` ways: what to do, the vehicle with it
done, and what that changes: findings that go and come, load shares, days the vehicle may stand. A
way that does not remove its finding is not shown. One that only somebody beside the car can go has
no edit. Ways that bring up something as bad or worse come last and say so.
"""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass

from fusemap.assess import Assessment, assess
from fusemap.checks import CHECKS, SEVERITIES, Finding, findings
from fusemap.errors import FusemapError
from fusemap.units import duration, percent
from fusemap.vehicle import Vehicle

Edit = Callable[[Vehicle], Vehicle]
MOST = 8
"""So many ways are shown of one finding at most."""


HOPS = {
    "cable_overload_gap": "overload",
    "cable_short": "short",
    "cable_far_end": "far_end",
    "cable_drop": "drop",
    "low_voltage": "voltage",
    "cable_too_hot_out": "heat_out",
    "cable_too_hot_back": "heat_back",
    "cable_too_thin_to_last": "section",
    "fuse_overloaded": "accessory_fuse",
    "tap_overloaded": "tap",
    "inrush": "inrush",
    "relay_overloaded": "relay",
    "sense_overloaded": "sense",
}
"""The hop that a finding is about."""


@dataclass(frozen=True, slots=True)
class WayOut:
    """One way out: what to do, in a few words; `edit` `None` where it is done beside the car.

    `read_slot` is the slot to be read, where a reading is what is missing.
    """

    title: str
    edit: Edit | None = None
    read_slot: str = ""


@dataclass(frozen=True, slots=True)
class Share:
    """The most loaded hop or part at the place of a finding, before and after."""

    what: str
    before: float
    after: float


@dataclass(frozen=True, eq=False)
class Effect:
    """What a way changes; `hours` the vehicle may stand, before and after."""

    vehicle: Vehicle
    removed: tuple[Finding, ...]
    added: tuple[Finding, ...]
    hours: tuple[float, float]
    shares: tuple[Share, ...] = ()

    def worse_than(self, finding: Finding) -> tuple[Finding, ...]:
        """What it brings up that is as bad as a finding, or worse."""
        return tuple(f for f in self.added if _rank(f) <= _rank(finding))


@dataclass(frozen=True, eq=False)
class Tried:
    """A way with its effect; `None` where it is done beside the car."""

    way: WayOut
    effect: Effect | None = None


def ways_out(a: Assessment, finding: Finding) -> tuple[Tried, ...]:
    """Every way out of a finding that really removes it, the plainest first.

    Where a reading is missing, to take it is the plainest of all.
    """
    from fusemap.placement.ways_table import WAYS

    make = WAYS.get(finding.code)
    proposed = () if make is None else make(Case(a, finding))
    found: list[Tried] = []
    seen: set[int] = set()
    for way in proposed:
        tried = _try(a, finding, way)
        if tried is None or (tried.effect is not None and hash(tried.effect.vehicle) in seen):
            continue
        if tried.effect is not None:
            seen.add(hash(tried.effect.vehicle))
        found.append(tried)
    found.sort(key=lambda each: _order(each, finding))
    done = [each for each in found if each.effect is not None][:MOST]
    beside = [each for each in found if each.effect is None]
    read = [each for each in beside if each.way.read_slot]
    others = [each for each in beside if not each.way.read_slot]
    return (*read, *done, *others) if found else (Tried(WayOut(finding.remedy)),)


def _order(each: Tried, finding: Finding) -> int:
    return 0 if each.effect is None else len(each.effect.worse_than(finding))


def _try(a: Assessment, finding: Finding, way: WayOut) -> Tried | None:
    if way.edit is None:
        return Tried(way)
    try:
        effect = effect_of(a, way.edit)
    except FusemapError:
        return None
    gone = any(key_of(f) == key_of(finding) for f in effect.removed)
    if not gone:
        return None
    return Tried(way, _with_shares(a, finding, effect))


def effect_of(a: Assessment, edit: Edit) -> Effect:
    """What an edit changes: findings that go and come, and how long the vehicle may stand."""
    vehicle = edit(a.vehicle)
    new = assess(vehicle)
    before, after = findings(a.vehicle, a), findings(vehicle, new)
    were, are = {key_of(f) for f in before}, {key_of(f) for f in after}
    worse = {key_of(f): _rank(f) for f in before}
    return Effect(
        vehicle,
        tuple(f for f in before if key_of(f) not in are),
        tuple(
            f for f in after if key_of(f) not in were or _rank(f) < worse.get(key_of(f), _rank(f))
        ),
        (a.parked.hours, new.parked.hours),
    )


def key_of(finding: Finding) -> tuple[str, str, str]:
    """What makes two findings the same, whatever their figures."""
    return finding.code, finding.place, finding.place_id


def _rank(finding: Finding) -> int:
    return SEVERITIES.index(finding.severity)


def _with_shares(a: Assessment, finding: Finding, effect: Effect) -> Effect:
    new = assess(effect.vehicle)
    shares = tuple(_shares(a, new, finding))
    return Effect(effect.vehicle, effect.removed, effect.added, effect.hours, shares)


def _shares(a: Assessment, new: Assessment, finding: Finding) -> Iterator[Share]:
    """The load share at the place of a finding, before and after."""
    place, wanted = finding.place, finding.place_id
    if place == "tap" and wanted in a.chains and wanted in new.chains:
        hops = [h for h in a.chains[wanted].hops if h.key == HOPS.get(finding.code)]
        worst = (a.chains[wanted].worst, new.chains[wanted].worst)
        titles = {hop.key: hop.title for hop in (*hops, *worst) if hop is not None}
        for key, title in titles.items():
            yield Share(title, _same_hop(a, wanted, key), _same_hop(new, wanted, key))
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


def _same_hop(a: Assessment, tap_id: str, key: str) -> float:
    return next((hop.share for hop in a.chains[tap_id].hops if hop.key == key), 0.0)


def effect_words(effect: Effect, finding: Finding) -> tuple[str, ...]:
    """An effect as short lines: margins, days, what goes and what comes."""
    lines = [
        f"{share.what}: {_percent(share.before)} → {_percent(share.after)} of the limit"
        for share in effect.shares
        if abs(share.before - share.after) >= 0.005
    ]
    before, after = effect.hours
    if duration(before) != duration(after):
        lines.append(f"Starts for {duration(before)} → {duration(after)}")
    others = [f for f in effect.removed if key_of(f) != key_of(finding)]
    for severity in SEVERITIES:
        places = dict.fromkeys(f.where for f in others if f.severity == severity)
        if places:
            lines.append(f"Also removes a {severity}: {'; '.join(places)}")
    for added in effect.added:
        word = "But brings up" if added in effect.worse_than(finding) else "Leaves"
        lines.append(f"{word} a {added.severity}: {_short(added)}")
    return tuple(lines)


def _percent(share: float) -> str:
    return percent(min(share, 99.0)) if share == share else "–"


def _short(finding: Finding) -> str:
    return f"{finding.where}: {finding.what.rstrip('.')}"


# --- what the makers of ways are given -----------------------------------------------------------


@dataclass(frozen=True, eq=False)
class Case:
    """A finding in its vehicle, and whether an edit removes it."""

    a: Assessment
    finding: Finding

    @property
    def vehicle(self) -> Vehicle:
        """The vehicle as it is."""
        return self.a.vehicle

    @property
    def place_id(self) -> str:
        """The id of the place of the finding."""
        return self.finding.place_id

    def helps(self, edit: Edit) -> bool:
        """Whether the finding is gone with this edit; asks only the check that found it."""
        try:
            vehicle = edit(self.vehicle)
        except FusemapError:
            return False
        new = assess(vehicle)
        wanted = key_of(self.finding)
        check = next(c for c in CHECKS if any(key_of(f) == wanted for f in c(self.vehicle, self.a)))
        return not any(key_of(f) == wanted for f in check(vehicle, new))

    def first(self, options: Iterable[WayOut]) -> Iterator[WayOut]:
        """The first of the options that helps; the rest is not tried."""
        for way in options:
            if way.edit is not None and self.helps(way.edit):
                yield way
                return

    def mildest(self, options: Sequence[WayOut]) -> Iterator[WayOut]:
        """The first that helps of options of which each helps more than the one before."""
        low, high = 0, len(options) - 1
        if high < 0 or not self._works(options[high]):
            return
        while low < high:
            middle = (low + high) // 2
            low, high = (low, middle) if self._works(options[middle]) else (middle + 1, high)
        yield options[low]

    def _works(self, way: WayOut) -> bool:
        return way.edit is not None and self.helps(way.edit)
