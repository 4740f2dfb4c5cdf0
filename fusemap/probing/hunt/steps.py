"""What to do next in a hunt: where, how and why, as a value.

In: a hunt, its vehicle and the time. Out: a `Step`. Whole current first; then millivolts across the
fuses, the likeliest first, nothing pulled; then what goes into a panel as a whole, by clamp; what
that cannot tell is pulled by halves, and put back at every step. A reading is asked for only where
it can change the answer. `across=False` leaves the millivolts out: for a vehicle whose fuses cannot
be reached with the tips, and to compare; the clamp with them.
"""

from collections.abc import Sequence
from datetime import datetime

from fusemap.circuits import counts_critical
from fusemap.probing import evidence
from fusemap.probing.hunt import asked
from fusemap.probing.hunt.answer import Answer, answer
from fusemap.probing.hunt.asked import Step
from fusemap.probing.hunt.levels import difference_off
from fusemap.probing.hunt.shares import Share, Shares
from fusemap.probing.hunt.state import WORTH_A, Hunt, Kind, sleeps
from fusemap.probing.hunt.suspicion import Suspicion, expected
from fusemap.probing.loads import least_to_tell
from fusemap.vehicle import Panel, Slot, Vehicle
from fusemap.vehicle.validity import MOST

MOST_PULLED = MOST["fuses_out"]
"""Fuses that are pulled at a time, at most: more are not put back without a slip; ours."""

MOST_AGAIN = 2
"""How often the same is read again where something came or went meanwhile; ours."""

MOST_CAUGHT = 6
"""How often it is waited for what comes and goes; ours."""

MOST_OF_IT = 0.6
"""What was found is pulled once it is so much of the whole [-], and may be all of it; ours."""

HIDES = 0.3
"""A found circuit is pulled too where its band is wider than this share of what is unexplained [-];
ours."""

TELLS = 0.7
"""Millivolts are asked for where the meter's floor is below this share of what is looked for [-];
ours."""


def next_step(hunt: Hunt, vehicle: Vehicle, now: datetime, *, across: bool = True) -> Step:
    """What to do next."""
    asleep = sleeps(hunt, vehicle, now)
    if hunt.scene.out and not asleep:
        return asked.put_back_awake(hunt, vehicle)
    if hunt.scene.locked_at is None:
        return asked.prepare(hunt)
    if not asleep:
        return asked.wait(hunt, vehicle, now)
    known = answer(hunt, vehicle)
    if hunt.scene.out:
        return asked.put_back(hunt, vehicle, known, now)
    if hunt.scene.behind is not None:
        step = asked.part(hunt, vehicle, hunt.scene.behind)
        if step is not None:
            return step
    if known.shares is None or known.whole is None:
        return asked.whole(hunt, known)
    return _hunting(hunt, vehicle, known, known.shares, across)


def _hunting(hunt: Hunt, vehicle: Vehicle, known: Answer, at: Shares, across: bool) -> Step:
    given_up = hunt.scene.given_up
    if hunt.scene.enough and known.found:
        return asked.end(known)
    if known.is_usual:
        return _by_night(hunt, known)
    if not vehicle.panels and "lid" not in given_up:
        return asked.lid(known)
    if known.explained and not (known.outside is not None and at.level.open):
        return asked.end(known)
    if at.contradicts:
        return asked.whole(hunt, known) if at.level.open else _by_night(hunt, known)
    if known.comes_and_goes:
        tired = "catch" in given_up or _times(hunt, "catch") >= MOST_CAUGHT
        return _at_last(hunt, known) if tired else asked.catch(hunt, known)
    pulls = "pull" not in given_up
    sure = _to_confirm(hunt, known, at) if pulls else None
    if sure is not None and sure.slot is not None:
        return asked.pull(hunt, vehicle, (sure.slot,), asked.confirms(sure))
    left = _left_to_read(hunt, vehicle, at) if across else []
    if left:
        return asked.across(hunt, left[0], at, len(left))
    fed = _to_clamp(hunt, at, vehicle) if across else None
    if fed is not None:
        return asked.feed(fed, at)
    if at.level.open:
        return asked.whole(hunt, known)
    wide = _widest(hunt, at) if pulls and _tells_by_pull(vehicle, at) else None
    if wide is not None and wide.slot is not None:
        return asked.pull(hunt, vehicle, (wide.slot,), asked.confirms(wide))
    group = _group(hunt, vehicle, at) if pulls and _tells_by_pull(vehicle, at) else ()
    if not group:
        return _at_last(hunt, known)
    among = _narrowest(at, _undecided(hunt, vehicle, at))
    inside = [each.slot for each in at.slots if each.slot is not None and each.slot.id in among]
    return asked.pull(hunt, vehicle, group, asked.why_pull(at, inside))


def _at_last(hunt: Hunt, known: Answer) -> Step:
    """Nothing can be told any more: with nothing found a night may show something."""
    if known.found or known.outside is not None:
        return asked.end(known)
    return _by_night(hunt, known)


def _by_night(hunt: Hunt, known: Answer) -> Step:
    asks = not hunt.scene.logged and "night" not in hunt.scene.given_up
    return asked.night(known) if asks else asked.end(known)


def _times(hunt: Hunt, kind: Kind, slots: frozenset[str] = frozenset()) -> int:
    """How often a step of a sort was done, at these slots."""
    return sum(done.kind == kind and frozenset(done.slots) == slots for done in hunt.done)


# --- what may still be told -----------------------------------------------------------------------


def _left_to_read(hunt: Hunt, vehicle: Vehicle, at: Shares) -> list[Suspicion]:
    """The fuses across which a reading can still change the answer, the likeliest first."""
    undecided = {each.slot.id for each in at.open if each.slot is not None}
    read = at.level.across
    return [
        each
        for each in expected(vehicle, undecided - read.keys() - set(hunt.scene.skipped))
        if each.slot.fuse is not None
        and _times(hunt, "across", frozenset((each.slot.id,))) < MOST_AGAIN
        and least_to_tell(vehicle, each.slot.fuse, hunt.meter) < TELLS * at.unexplained[1]
    ]


def _to_clamp(hunt: Hunt, at: Shares, vehicle: Vehicle) -> Panel | None:
    """The panel of which it is worth knowing whether what draws is in it at all.

    That is where it may be on no fuse, or surely is and more may be on one, and where a clamp can
    tell as much as is looked for.
    """
    clamp = evidence.range_of(None, "clamp_current", at.level.whole.current_a)
    off = clamp.share * at.level.whole.current_a + clamp.counts * clamp.resolution
    may_be = at.outside.open or at.outside.found
    if not may_be or off > TELLS * at.unexplained[1]:
        return None
    undecided = {each.slot.id for each in at.open if each.slot is not None}
    read = {done.panel for done in hunt.done if done.kind == "feed"}
    left = [
        (len(those), panel)
        for panel in vehicle.panels
        if (those := undecided & {slot.id for slot in panel.slots})
        and panel.id not in read
        and panel.id not in hunt.scene.no_feed
    ]
    return max(left, key=lambda each: each[0])[1] if left else None


def _to_confirm(hunt: Hunt, known: Answer, at: Shares) -> Share | None:
    """One that was found across its fuse alone, and leaves nothing where it is its most.

    Its band is as wide as fuses differ; with the fuse out, the whole tells it far closer.
    """
    whole = at.level.whole.current_a
    may = whole - sum(min(whole, share.high_a) for share in at.found) <= known.good_a
    most_of_it = sum(share.current_a for share in at.found) >= MOST_OF_IT * whole
    return _widest(hunt, at) if may and most_of_it else None


def _tells_by_pull(vehicle: Vehicle, at: Shares) -> bool:
    """Whether the meter can tell what is looked for as a difference of two wholes."""
    off = difference_off(vehicle, at.level)
    return off < TELLS * at.unexplained[1]


def _widest(hunt: Hunt, at: Shares) -> Share | None:
    """The found one of which it is least known how much it draws, where that hides other things."""
    pulled = {slots for each in at.level.pulled if len(slots := each.slots) == 1}
    wide = [
        share
        for share in at.found
        if share.slot is not None
        and frozenset((share.slot.id,)) not in pulled
        and not counts_critical(share.slot)
        and _times(hunt, "pull", frozenset((share.slot.id,))) < MOST_AGAIN
        and share.high_a - share.low_a > HIDES * at.unexplained[1]
    ]
    return max(wide, key=lambda share: share.high_a - share.low_a, default=None)


def _group(hunt: Hunt, vehicle: Vehicle, at: Shares) -> tuple[Slot, ...]:
    """The fuses to pull next: about half of where it may be, never one that is left alone."""
    tried = {each.slots for each in at.level.pulled}
    undecided = _undecided(hunt, vehicle, at)
    inside = _narrowest(at, undecided)
    those = expected(vehicle, inside or undecided)
    half = _half(those)
    for group in (half, those[len(half) : len(half) + MOST_PULLED], *([each] for each in those)):
        those_ids = frozenset(each.slot.id for each in group)
        if group and those_ids not in tried and _times(hunt, "pull", those_ids) < MOST_AGAIN:
            return tuple(each.slot for each in group)
    return ()


def _undecided(hunt: Hunt, vehicle: Vehicle, at: Shares) -> set[str]:
    """The slots of which a pull may tell something."""
    off = difference_off(vehicle, at.level)
    return {
        each.slot.id
        for each in at.open
        if each.slot is not None
        and each.high_a > off  # less does not show in the whole
        and each.slot.id not in hunt.scene.skipped
        and not counts_critical(each.slot)
    }


def _narrowest(at: Shares, undecided: set[str]) -> set[str]:
    """The undecided of the smallest pull or panel that surely draws more than is explained."""
    found = {each.slot.id: each for each in at.found if each.slot is not None}
    best: set[str] = set()
    sums = [(pulled.slots, pulled.drop[0]) for pulled in at.level.pulled]
    sums += [(fed.slots, fed.load.low_a) for fed in at.level.fed]
    for slots, least in sums:
        explained = sum(found[key].high_a for key in slots if key in found)
        those = set(slots) & undecided
        holds = least - explained >= WORTH_A and those
        if holds and (not best or len(those) < len(best)):
            best = those
    return best


def _half(those: Sequence[Suspicion]) -> list[Suspicion]:
    """The likeliest, as near as can be to half of all that is expected of them."""
    half = sum(each.weight for each in those) / 2
    found: list[Suspicion] = []
    so_far = 0.0
    for each in those[:MOST_PULLED]:
        if found and so_far + each.weight - half > half - so_far:
            break
        found.append(each)
        so_far += each.weight
    return found
