"""What to do next in a hunt: where, how and why, as a value.

In: a hunt, its vehicle and the time. Out: a `Step`. Whole current first; then millivolts across the
fuses, the likeliest first, nothing pulled; what that cannot tell is pulled by halves, and put back
at every step. A reading is asked for only where it can change the answer. `across=False` leaves the
millivolts out: for a vehicle whose fuses cannot be reached with the tips, and to compare.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime

from fusemap.assess import facts
from fusemap.assess.facts import resolve
from fusemap.circuits import counts_critical
from fusemap.probing.disbelief import Caution, caution
from fusemap.probing.hunt.answer import Answer, answer, parts_behind
from fusemap.probing.hunt.levels import difference_off
from fusemap.probing.hunt.shares import Share, Shares
from fusemap.probing.hunt.state import SETTLE_MIN, WORTH_A, Hunt, Kind, asleep_at, sleeps
from fusemap.probing.hunt.suspicion import Suspicion, expected
from fusemap.probing.loads import CHARGER_WARNING, least_to_tell
from fusemap.text import Amount, Text, given, in_row, many, say
from fusemap.vehicle import Slot, Vehicle, look_up
from fusemap.vehicle.validity import MOST
from fusemap.vehicle.words import Quantity

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


@dataclass(frozen=True, slots=True)
class Step:
    """What to do: in large letters, in words, and why; at which slots; what is typed.

    `quantity` is what is read, `None` where Enter alone goes on. `optional` steps may be passed
    over. `reminders` are said beside it, `caution` is what to mind at its slot. `due` is when a
    wait is over, `left_s` what is left of it [s], at least 0. `part` is what is unplugged.
    """

    kind: Kind
    title: Text
    what: Text
    why: Text
    slots: tuple[str, ...] = ()
    quantity: Quantity | None = None
    optional: bool = False
    reminders: tuple[Text, ...] = ()
    caution: Caution | None = None
    due: datetime | None = None
    left_s: float = 0.0
    part: str = ""

    @property
    def clock(self) -> str:
        """The time left as minutes and seconds; empty where nothing is waited for.

        >>> no = say("")
        >>> Step("wait", no, no, no, due=datetime(2025, 5, 17), left_s=125.0).clock
        '2:05'
        """
        left = round(self.left_s)
        return "" if self.due is None else f"{left // 60}:{left % 60:02}"


REMINDERS = (
    say("Latch the bonnet’s and the door’s lock by hand, so that the vehicle takes them as shut."),
    say("Keep the key well away: near it, the vehicle does not fall asleep."),
    CHARGER_WARNING,
)
"""What keeps a vehicle awake; common practice, no source."""

BRIDGE = say(
    "In line: join the meter between post and clamp before the clamp comes off, with a lead across "
    "it as a bridge. The circuit stays closed and the vehicle goes on falling asleep; take the "
    "bridge away when it sleeps, and back before anybody opens a door or turns the key."
)
"""How a meter comes in line without waking the vehicle; common practice, no source."""


def next_step(hunt: Hunt, vehicle: Vehicle, now: datetime, *, across: bool = True) -> Step:
    """What to do next."""
    if hunt.scene.locked_at is None:
        return _prepare(hunt)
    if not sleeps(hunt, vehicle, now):
        return _wait(hunt, vehicle, now)
    known = answer(hunt, vehicle)
    if hunt.scene.out:
        return _put_back(hunt, vehicle, known, now)
    if hunt.scene.behind is not None:
        step = _part(hunt, vehicle, hunt.scene.behind)
        if step is not None:
            return step
    if known.shares is None or known.whole is None:
        return _whole(hunt, known)
    return _hunting(hunt, vehicle, known, known.shares, across)


def _hunting(hunt: Hunt, vehicle: Vehicle, known: Answer, at: Shares, across: bool) -> Step:
    given_up = hunt.scene.given_up
    if known.is_usual:
        return _by_night(hunt, known)
    if known.explained:
        return _end(known)
    if at.contradicts:
        return _whole(hunt, known) if at.level.open else _by_night(hunt, known)
    if known.comes_and_goes:
        tired = "catch" in given_up or _times(hunt, "catch") >= MOST_CAUGHT
        return _end(known) if tired else _catch(hunt, known)
    pulls = "pull" not in given_up
    sure = _to_confirm(hunt, known, at) if pulls else None
    if sure is not None and sure.slot is not None:
        return _pull(hunt, vehicle, (sure.slot,), _confirms(sure))
    left = _left_to_read(hunt, vehicle, at) if across else []
    if left:
        return _across(left[0], at, len(left))
    if at.level.open:
        return _whole(hunt, known)
    wide = _widest(hunt, at) if pulls and _tells_by_pull(vehicle, at) else None
    if wide is not None and wide.slot is not None:
        return _pull(hunt, vehicle, (wide.slot,), _confirms(wide))
    group = _group(hunt, vehicle, at) if pulls and _tells_by_pull(vehicle, at) else ()
    return _pull(hunt, vehicle, group, _why_pull(at, group)) if group else _end(known)


def _by_night(hunt: Hunt, known: Answer) -> Step:
    asks = not hunt.scene.logged and "night" not in hunt.scene.given_up
    return _night(known) if asks else _end(known)


def _times(hunt: Hunt, kind: Kind, slots: frozenset[str] = frozenset()) -> int:
    """How often a step of a sort was done, at these slots."""
    return sum(done.kind == kind and frozenset(done.slots) == slots for done in hunt.done)


# --- before anything is found ---------------------------------------------------------------------


def _prepare(hunt: Hunt) -> Step:
    inline = hunt.whole_by == "inline_current"
    return Step(
        "prepare",
        say("LOCK THE VEHICLE"),
        say("Meter ready, all off, nothing plugged in. Lock it, and press Enter at that moment."),
        say("What it draws asleep can only be read when it sleeps: the time counts from locking."),
        reminders=(BRIDGE, *REMINDERS) if inline else REMINDERS,
    )


def _wait(hunt: Hunt, vehicle: Vehicle, now: datetime) -> Step:
    due = asleep_at(hunt, vehicle)
    left = 0.0 if due is None else max(0.0, (due - now).total_seconds())
    wait = resolve(vehicle.rules)["sleep_wait_min"].value
    return Step(
        "wait",
        say("WAIT: IT FALLS ASLEEP"),
        say("Leave it shut. A current typed now is kept for the time of falling asleep."),
        say(
            "Most vehicles sleep after {usual}, some after {wait}. Enter: it sleeps already.",
            usual=given(30, "min"),
            wait=given(wait, "min"),
        ),
        quantity=hunt.whole_by,
        optional=True,
        reminders=(BRIDGE, *REMINDERS) if hunt.whole_by == "inline_current" else REMINDERS,
        due=due,
        left_s=left,
    )


def _whole(hunt: Hunt, known: Answer) -> Step:
    again = known.whole is not None
    why = say("All else is held against this figure: how much there is to find.")
    if again:
        why = say(
            "If it is what it was, what was read in between holds; if not, something comes and "
            "goes."
        )
    return Step(
        "whole",
        say("WHOLE VEHICLE"),
        say("All fuses in. Read what the whole vehicle draws, and type it."),
        why,
        quantity=hunt.whole_by,
        reminders=() if again else (CHARGER_WARNING,),
    )


def _catch(hunt: Hunt, known: Answer) -> Step:
    assert known.whole is not None  # something was seen to draw
    return Step(
        "catch",
        say("WAIT UNTIL IT DRAWS AGAIN"),
        say(
            "Watch the whole current. When it is near {whole} again, type it, and go straight to "
            "the fuses.",
            whole=Amount(known.whole.current_a, "A", significant=2),
        ),
        say("It has gone off by itself: what draws can only be found while it draws."),
        quantity=hunt.whole_by,
        optional=True,
    )


def _night(known: Answer) -> Step:
    return Step(
        "night",
        say("FOLLOW IT OVER A NIGHT"),
        say(
            "Leave a meter or logger in line or a clamp on, and paste its table: times and "
            "currents. Enter ends the hunt without it."
        ),
        say("What it draws now is usual. If the battery still goes flat, something wakes up."),
        optional=True,
    )


def _end(known: Answer) -> Step:
    unseen = say("What comes and goes shows over a night alone.")
    return Step(
        "end",
        say("DONE"),
        known.headline,
        known.left_words,
        reminders=() if known.logged else (unseen,),
    )


# --- across the fuses -----------------------------------------------------------------------------


def _left_to_read(hunt: Hunt, vehicle: Vehicle, at: Shares) -> list[Suspicion]:
    """The fuses across which a reading can still change the answer, the likeliest first."""
    undecided = {each.slot.id for each in at.open if each.slot is not None}
    read = at.level.across
    return [
        each
        for each in expected(vehicle, undecided - read.keys() - set(hunt.scene.skipped))
        if _times(hunt, "across", frozenset((each.slot.id,))) < MOST_AGAIN
        and least_to_tell(vehicle, each.slot.fuse, hunt.meter) < TELLS * at.unexplained[1]
    ]


def _across(suspicion: Suspicion, at: Shares, left: int) -> Step:
    slot = suspicion.slot
    return Step(
        "across",
        say("ACROSS {slot}", slot=look_up.fuse_words(slot)),
        say(
            "Meter at millivolts, both tips on the fuse’s own test points. Nothing is pulled. "
            "Type what it shows, 0 too."
        ),
        say(
            "{reason}; {left} to find.",
            reason=suspicion.why,
            left=say("up to {high}", high=Amount(at.unexplained[1], "A", significant=2)),
        ).capital(),
        slots=(slot.id,),
        quantity="millivolts",
        optional=True,
        reminders=(many("{n} fuse left to read at most", "{n} fuses left to read at most", left),),
        caution=caution(slot, "probe"),
    )


# --- with fuses out -------------------------------------------------------------------------------


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


def _confirms(found: Share) -> Text:
    return say(
        "It draws {low} to {high} by its millivolts; with its fuse out the whole tells how much, "
        "and whether anything is left.",
        low=Amount(found.low_a, "A", significant=2),
        high=Amount(found.high_a, "A", significant=2),
    )


def _group(hunt: Hunt, vehicle: Vehicle, at: Shares) -> tuple[Slot, ...]:
    """The fuses to pull next: about half of where it may be, never one that is left alone."""
    tried = {each.slots for each in at.level.pulled}
    off = difference_off(vehicle, at.level)
    undecided = {
        each.slot.id
        for each in at.open
        if each.slot is not None
        and each.high_a > off  # less does not show in the whole
        and each.slot.id not in hunt.scene.skipped
        and not counts_critical(each.slot)
    }
    inside = _narrowest(at, undecided)
    those = expected(vehicle, inside or undecided)
    half = _half(those)
    for group in (half, those[len(half) : len(half) + MOST_PULLED], *([each] for each in those)):
        those_ids = frozenset(each.slot.id for each in group)
        if group and those_ids not in tried and _times(hunt, "pull", those_ids) < MOST_AGAIN:
            return tuple(each.slot for each in group)
    return ()


def _narrowest(at: Shares, undecided: set[str]) -> set[str]:
    """The undecided of the smallest pull that surely took something out and is not explained."""
    found = {each.slot.id: each for each in at.found if each.slot is not None}
    best: set[str] = set()
    for pulled in at.level.pulled:
        explained = sum(found[key].high_a for key in pulled.slots if key in found)
        those = set(pulled.slots) & undecided
        holds = pulled.drop[0] - explained >= WORTH_A and those
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


def _why_pull(at: Shares, group: Iterable[Slot]) -> Text:
    return say(
        "{open} may still draw it, and millivolts cannot tell: the likelier half at a time.",
        open=many("{n} circuit", "{n} circuits", len(at.open)),
    )


def _pull(hunt: Hunt, vehicle: Vehicle, group: Sequence[Slot], why: Text) -> Step:
    names = in_row([look_up.fuse_words(slot) for slot in group], "and")
    return Step(
        "pull",
        say("PULL {slots}", slots=names),
        say(
            "Pull {slots}, keep each beside its place, let the whole current settle, and type it.",
            slots=names,
        ),
        why,
        slots=tuple(slot.id for slot in group),
        quantity=hunt.whole_by,
        optional=True,
        reminders=(say("It settles after about {time}.", time=given(SETTLE_MIN, "min")),),
    )


def _put_back(hunt: Hunt, vehicle: Vehicle, known: Answer, now: datetime) -> Step:
    slots = [look_up.slot(vehicle, each) for each in hunt.scene.out]
    names = in_row([look_up.fuse_words(slot) for slot in slots], "and")
    fell = known.shares is not None and any(
        each.slots == frozenset(hunt.scene.out) and each.drop[0] > 0
        for each in known.shares.level.pulled
    )
    what = say("Put {slots} back, each in its own place, and press Enter.", slots=names)
    why = say("Nothing fell away with them: what draws is elsewhere.")
    if fell:
        what = say(
            "Put {slots} back, let it fall asleep again, and type the whole current.", slots=names
        )
        why = say("It fell with them out: only if it comes back was it they.")
    return Step(
        "put_back",
        say("PUT {slots} BACK", slots=names),
        what,
        why,
        slots=hunt.scene.out,
        quantity=hunt.whole_by if fell else None,
        optional=not fell,
    )


def _part(hunt: Hunt, vehicle: Vehicle, slot_id: str) -> Step | None:
    """The next thing to unplug behind a fuse, `None` when there is none left."""
    slot = look_up.slot(vehicle, slot_id)
    left = [each for each in parts_behind(vehicle, slot) if each not in hunt.scene.unplugged]
    if not left:
        return None
    return Step(
        "part",
        say("UNPLUG {part}", part=left[0]),
        say(
            "Unplug {part} and leave it unplugged. Read {slot} again as before, and type it.",
            part=left[0],
            slot=look_up.fuse_words(slot),
        ),
        say("What the current falls by is this part’s."),
        slots=(slot.id,),
        quantity="millivolts" if _readable(slot) else hunt.whole_by,
        optional=True,
        caution=caution(slot, "probe"),
        part=left[0],
    )


def _readable(slot: Slot) -> bool:
    return slot.fuse is not None and facts.fuse_resistance(slot.fuse) is not None
