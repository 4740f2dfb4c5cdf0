"""In which vehicle states a slot is live, and what feed that makes it: with the evidence in words.

In: the readings of a slot that count. A current through the fuse is as good as a voltage: where
current surely flows, the slot is live. Out: the feed class, what it rests on, what is still missing
and which readings contradict each other.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from fusemap.probing import evidence
from fusemap.probing.loads import load_of
from fusemap.vehicle import FeedClass, Reading, Slot, State, Vehicle

BEFORE_SLEEP, LONG_AFTER = 0.0, float("inf")


@dataclass(frozen=True, slots=True)
class Seen:
    """Live or dead, as one reading shows it. `minute` after locking, infinite once asleep."""

    state: State
    minute: float
    lamps_on: bool
    live: bool
    words: str


@dataclass(frozen=True, slots=True)
class FeedConclusion:
    """A feed class with its evidence; `open` names what would have to be read to be sure."""

    feed_class: FeedClass = "unknown"
    delayed_off_min: float = 0.0
    evidence: str = ""
    open: tuple[str, ...] = ()
    contradictions: tuple[str, ...] = ()

    @property
    def known(self) -> bool:
        """Whether the readings give a class."""
        return self.feed_class != "unknown"


@dataclass(slots=True)
class _Says:
    """What the readings say, state by state; `None` where nothing was read."""

    parked: list[Seen] = field(default_factory=list)
    key: dict[State, bool] = field(default_factory=dict)
    lamps: bool | None = None
    contradictions: list[str] = field(default_factory=list)

    @property
    def asleep(self) -> bool | None:
        """Live once asleep."""
        return next((one.live for one in self.parked if one.minute == LONG_AFTER), None)


def sightings(vehicle: Vehicle, slot: Slot, readings: Iterable[Reading]) -> list[Seen]:
    """Live or dead, from every reading that shows it; in the order they were taken."""
    sleeps = vehicle.parking.sleep_after_min
    found = []
    for one in readings:
        live = _live(vehicle, slot, one)
        if live is not None:
            words = "live" if live else "dead"
            if one.quantity != "live":
                words = f"live by {evidence.value_words(one)}"
            seen = f"{words} {_at(one)}"
            found.append(Seen(one.state, _minute(one, sleeps), one.lamps_on, live, seen))
    return found


_IN: dict[State, str] = {
    "asleep": "asleep",
    "awake": "while still awake",
    "accessory": "with key at accessory",
    "ignition": "with ignition on",
    "running": "with engine running",
}


def _at(reading: Reading) -> str:
    """In which state, as the end of a phrase."""
    lamps = " and the lamps on" if reading.lamps_on else ""
    if reading.after_lock_min is not None and _parked(reading.state):
        return f"at {evidence.minutes_words(reading.after_lock_min)} after locking{lamps}"
    return _IN[reading.state] + lamps


def _parked(state: State) -> bool:
    return state in ("asleep", "awake")


def _live(vehicle: Vehicle, slot: Slot, reading: Reading) -> bool | None:
    if reading.quantity == "live":
        return reading.yes
    if reading.quantity.startswith("live_"):
        return True if reading.yes else None
    load = load_of(vehicle, slot, reading)
    return True if load is not None and load.flows else None


def _minute(reading: Reading, sleeps_min: float) -> float:
    """Minutes after locking; a vehicle that is said to sleep, or should by then, is long parked."""
    if reading.after_lock_min is None:
        return LONG_AFTER if reading.state == "asleep" else BEFORE_SLEEP
    asleep = reading.state == "asleep" and reading.after_lock_min >= sleeps_min
    return LONG_AFTER if asleep else reading.after_lock_min


def _gather(seen: Sequence[Seen]) -> _Says:
    says = _Says()
    latest: dict[tuple[State | str, float, bool], Seen] = {}
    for one in seen:
        key = ("parked" if _parked(one.state) else one.state, one.minute, one.lamps_on)
        before = latest.get(key)
        if before is not None and before.live != one.live:
            says.contradictions.append(f"{before.words}, then {one.words}: the later one counts")
        latest[key] = one
    for (state, _, lamps_on), one in latest.items():
        if state == "parked":
            if not lamps_on:
                says.parked.append(one)
        elif lamps_on:
            says.lamps = bool(says.lamps) or one.live
        else:
            says.key[one.state] = one.live
    says.parked.sort(key=lambda one: one.minute)
    return says


def feed_of(vehicle: Vehicle, slot: Slot, *, verified: bool = True) -> FeedConclusion:
    """The feed class of a slot from its readings."""
    seen = sightings(vehicle, slot, evidence.of_slot(vehicle, slot.id, verified=verified))
    if not seen:
        return FeedConclusion(open=("whether it is live asleep",))
    says = _gather(seen)
    _contradict(says)
    found = _conclude(says, vehicle.parking.sleep_after_min)
    return FeedConclusion(
        found.feed_class,
        found.delayed_off_min,
        f"{_told(seen)}: {found.evidence}",
        found.open,
        tuple(says.contradictions),
    )


def _told(seen: Sequence[Seen]) -> str:
    """The sightings in words, the later one of two of the same moment."""
    latest = {(one.state, one.minute, one.lamps_on): one.words for one in seen}
    words = list(latest.values())
    after = " after locking"
    return ", ".join(
        one.removesuffix(after) if after in one and after in following else one
        for one, following in zip(words, [*words[1:], ""], strict=True)
    )


def _contradict(says: _Says) -> None:
    """What cannot be true together."""
    dead = next((one for one in says.parked if not one.live), None)
    if dead is not None:
        for one in says.parked:
            if one.live and one.minute > dead.minute:
                says.contradictions.append(
                    f"{dead.words}, but {one.words}: the vehicle was woken, or one is wrong"
                )
    if says.asleep:
        for state, live in says.key.items():
            if not live:
                says.contradictions.append(
                    f"live asleep, but dead with {evidence.IN_STATE[state]}: one of them is wrong"
                )
    if says.key.get("accessory") and says.key.get("ignition") is False:
        says.contradictions.append("live with key at accessory, but dead with ignition on")
    if says.key.get("ignition") and says.key.get("running") is False:
        says.contradictions.append("live with ignition on, but dead with engine running")


def _conclude(says: _Says, sleeps_min: float) -> FeedConclusion:
    if says.contradictions and not _settled(says):
        return FeedConclusion(evidence="they contradict each other", open=("read it again",))
    if says.asleep:
        return FeedConclusion("permanent", evidence="permanent")
    delayed = _delayed(says, sleeps_min)
    if delayed is not None:
        return delayed
    if says.parked and says.parked[-1].live:
        return FeedConclusion(
            evidence="permanent or delayed-off", open=("whether it is live asleep",)
        )
    return _by_key(says)


def _settled(says: _Says) -> bool:
    """Whether all that contradicted was an earlier reading of the very same moment."""
    return all(text.endswith("the later one counts") for text in says.contradictions)


def _delayed(says: _Says, sleeps_min: float) -> FeedConclusion | None:
    lives = [one for one in says.parked if one.live]
    deads = [one for one in says.parked if not one.live]
    if not lives or not deads or deads[0].minute <= lives[-1].minute:
        return None
    last, first = lives[-1].minute, deads[0].minute
    off = max(sleeps_min, last) if first == LONG_AFTER else first
    left: tuple[str, ...] = ()
    if off - last > max(10.0, last):
        left = (f"when it goes off, between {last:.0f} and {off:.0f} min after locking",)
    return FeedConclusion("delayed_off", off, "delayed-off", left)


def _by_key(says: _Says) -> FeedConclusion:
    """The class of a slot that is dead when parked, or was not read then."""
    key, parked = says.key, bool(says.parked)
    asleep: tuple[str, ...] = () if says.asleep is False else ("whether it is live asleep",)
    later: tuple[str, ...] = ()
    if not any(one.minute < LONG_AFTER for one in says.parked):
        later = ("whether it stays live for some minutes after locking",)
    if key.get("accessory"):
        if not parked:
            return FeedConclusion(evidence="permanent, delayed-off or accessory", open=asleep)
        return FeedConclusion("accessory", evidence="accessory", open=later)
    if key.get("ignition"):
        if "accessory" not in key:
            return FeedConclusion(
                evidence="live at the latest with ignition on",
                open=("whether it is live with key at accessory", *asleep),
            )
        return FeedConclusion("ignition", evidence="ignition", open=() if parked else asleep)
    if says.lamps and key.get("ignition") is False:
        return FeedConclusion("lighting", evidence="lighting", open=asleep)
    if says.lamps:
        return FeedConclusion(
            evidence="live with the lamps on", open=("whether it is live with the lamps off",)
        )
    if key.get("running"):
        return _only_running(key)
    return _dead(says, asleep)


def _only_running(key: dict[State, bool]) -> FeedConclusion:
    if key.get("ignition") is False:
        return FeedConclusion(
            evidence="live with the engine running only, which is no feed to plan on"
        )
    return FeedConclusion(
        evidence="live at the latest with engine running",
        open=("whether it is live with ignition on",),
    )


def _dead(says: _Says, asleep: tuple[str, ...]) -> FeedConclusion:
    if says.key.get("ignition") is not False:
        return FeedConclusion(
            evidence="dead so far", open=("whether it is live with ignition on", *asleep)
        )
    left = []
    if says.lamps is None:
        left.append("whether it is live with the lamps on")
    if "running" not in says.key:
        left.append("whether it is live with engine running")
    return FeedConclusion("unfed", evidence="unfed", open=(*left, *asleep))
