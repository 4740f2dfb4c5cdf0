"""What feeds a slot and on which contact: in which states it is live, with the evidence in words.

In: the readings of a slot that count. A current through the fuse is as good as a voltage: where
current surely flows, the slot is live. Out: the feed class and the live side, each with what it
rests on, what is still missing and which readings contradict each other.
"""

from collections.abc import Iterable, Sequence

from msgspec import Struct, field

from fusemap.probing import evidence
from fusemap.probing.loads import load_of
from fusemap.text import Text, given, in_row, say
from fusemap.vehicle import FeedClass, Reading, Slot, State, Vehicle
from fusemap.vehicle.parts import CONTACTS
from fusemap.vehicle.words import FEED, STATE, LiveSide

BEFORE_SLEEP, LONG_AFTER = 0.0, float("inf")
NOTHING = Text("")

WHETHER_ASLEEP = say("whether it is live asleep")
WHETHER_IGNITION = say("whether it is live with ignition on")


class Seen(Struct, frozen=True):
    """Live or dead, as one reading shows it. `minute` after locking, infinite once asleep."""

    reading: Reading
    minute: float
    live: bool

    @property
    def state(self) -> State:
        """The state it was read in."""
        return self.reading.state

    @property
    def lamps_on(self) -> bool:
        """Whether the lamps were on."""
        return self.reading.lamps_on

    @property
    def timed(self) -> bool:
        """Whether it is said how long after locking it was."""
        return _parked(self.state) and self.reading.after_lock_min is not None

    @property
    def words(self) -> Text:
        """Live or dead, by which figure, and when: “live by 0.4 mV with ignition on”."""
        return self._words(evidence.when_phrase(self.reading))

    @property
    def briefly(self) -> Text:
        """The same before another one that says what the minutes count from."""
        return self._words(evidence.when_phrase(self.reading, locking=False))

    def _words(self, when: Text) -> Text:
        if self.reading.quantity != "live":
            value = evidence.value_words(self.reading)
            return say("live by {value} {when}", value=value, when=when)
        return say("live {when}", when=when) if self.live else say("dead {when}", when=when)


class FeedConclusion(Struct, frozen=True):
    """A feed class with its evidence; `open` names what would have to be read to be sure."""

    feed_class: FeedClass = "unknown"
    delayed_off_min: float = 0.0
    evidence: Text = NOTHING
    open: tuple[Text, ...] = ()
    contradictions: tuple[Text, ...] = ()

    @property
    def known(self) -> bool:
        """Whether the readings give a class."""
        return self.feed_class != "unknown"


class _Says(Struct):
    """What the readings say, state by state; `None` where nothing was read.

    `settled` are contradictions of two readings of the very same moment: the later one counts.
    """

    parked: list[Seen] = field(default_factory=list)
    key: dict[State, bool] = field(default_factory=dict)
    lamps: bool | None = None
    settled: list[Text] = field(default_factory=list)
    contradictions: list[Text] = field(default_factory=list)

    @property
    def asleep(self) -> bool | None:
        """Live once asleep."""
        return next((seen.live for seen in self.parked if seen.minute == LONG_AFTER), None)


def sightings(vehicle: Vehicle, slot: Slot, readings: Iterable[Reading]) -> list[Seen]:
    """Live or dead, from every reading that shows it; in the order they were taken."""
    sleeps = vehicle.parking.sleep_after_min
    found = []
    for reading in readings:
        live = _live(vehicle, slot, reading)
        if live is not None:
            found.append(Seen(reading, _minute(reading, sleeps), live))
    return found


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
    for sight in seen:
        key = ("parked" if _parked(sight.state) else sight.state, sight.minute, sight.lamps_on)
        before = latest.get(key)
        if before is not None and before.live != sight.live:
            says.settled.append(
                say(
                    "{earlier}, then {later}: the later one counts",
                    earlier=before.words,
                    later=sight.words,
                )
            )
        latest[key] = sight
    for (state, _, lamps_on), sight in latest.items():
        if state == "parked":
            if not lamps_on:
                says.parked.append(sight)
        elif lamps_on:
            says.lamps = bool(says.lamps) or sight.live
        else:
            says.key[sight.state] = sight.live
    says.parked.sort(key=lambda sight: sight.minute)
    return says


def feed_of(vehicle: Vehicle, slot: Slot, *, verified: bool = True) -> FeedConclusion:
    """The feed class of a slot from its readings."""
    seen = sightings(vehicle, slot, evidence.of_slot(vehicle, slot.id, verified=verified))
    if not seen:
        return FeedConclusion(open=(WHETHER_ASLEEP,))
    says = _gather(seen)
    _contradict(says)
    found = _conclude(says, vehicle.parking.sleep_after_min)
    return FeedConclusion(
        found.feed_class,
        found.delayed_off_min,
        say("{readings}: {conclusion}", readings=_in_row(seen), conclusion=found.evidence),
        found.open,
        (*says.settled, *says.contradictions),
    )


def _in_row(seen: Sequence[Seen]) -> Text:
    """The sightings in words, the later one of two of the same moment."""
    latest = list({(each.state, each.minute, each.lamps_on): each for each in seen}.values())
    followed = [each.timed for each in latest[1:]]
    return in_row(
        each.briefly if each.timed and timed_next else each.words
        for each, timed_next in zip(latest, [*followed, False], strict=True)
    )


def _contradict(says: _Says) -> None:
    """What cannot be true together."""
    dead = next((seen for seen in says.parked if not seen.live), None)
    if dead is not None:
        for seen in says.parked:
            if seen.live and seen.minute > dead.minute:
                says.contradictions.append(
                    say(
                        "{dead}, but {live}: the vehicle was woken, or one is wrong",
                        dead=dead.words,
                        live=seen.words,
                    )
                )
    if says.asleep:
        for state, live in says.key.items():
            if not live:
                says.contradictions.append(
                    say(
                        "live asleep, but dead {state}: one of them is wrong",
                        state=STATE[state].phrase,
                    )
                )
    if says.key.get("accessory") and says.key.get("ignition") is False:
        says.contradictions.append(say("live with key at accessory, but dead with ignition on"))
    if says.key.get("ignition") and says.key.get("running") is False:
        says.contradictions.append(say("live with ignition on, but dead with engine running"))


def _conclude(says: _Says, sleeps_min: float) -> FeedConclusion:
    if says.contradictions:
        return FeedConclusion(
            evidence=say("they contradict each other"), open=(say("read it again"),)
        )
    if says.asleep:
        return _class("permanent")
    delayed = _delayed(says, sleeps_min)
    if delayed is not None:
        return delayed
    if says.parked and says.parked[-1].live:
        return FeedConclusion(evidence=say("permanent or delayed-off"), open=(WHETHER_ASLEEP,))
    return _by_key(says)


def _class(
    feed_class: FeedClass, open_: tuple[Text, ...] = (), delayed_off_min: float = 0.0
) -> FeedConclusion:
    return FeedConclusion(feed_class, delayed_off_min, FEED[feed_class].label, open_)


def _delayed(says: _Says, sleeps_min: float) -> FeedConclusion | None:
    lives = [seen for seen in says.parked if seen.live]
    deads = [seen for seen in says.parked if not seen.live]
    if not lives or not deads or deads[0].minute <= lives[-1].minute:
        return None
    last, first = lives[-1].minute, deads[0].minute
    off = max(sleeps_min, last) if first == LONG_AFTER else first
    left: tuple[Text, ...] = ()
    if off - last > max(10.0, last):
        left = (
            say(
                "when it goes off, between {last} and {first} after locking",
                last=given(round(last)),
                first=evidence.minutes_amount(off),
            ),
        )
    return _class("delayed_off", left, off)


def _by_key(says: _Says) -> FeedConclusion:
    """The class of a slot that is dead when parked, or was not read then."""
    key, parked = says.key, bool(says.parked)
    asleep: tuple[Text, ...] = () if says.asleep is False else (WHETHER_ASLEEP,)
    later: tuple[Text, ...] = ()
    if not any(seen.minute < LONG_AFTER for seen in says.parked):
        later = (say("whether it stays live for some minutes after locking"),)
    if key.get("accessory"):
        if not parked:
            return FeedConclusion(evidence=say("permanent, delayed-off or accessory"), open=asleep)
        return _class("accessory", later)
    if key.get("ignition"):
        if "accessory" not in key:
            return FeedConclusion(
                evidence=say("live at the latest with ignition on"),
                open=(say("whether it is live with key at accessory"), *asleep),
            )
        return _class("ignition", () if parked else asleep)
    if says.lamps and key.get("ignition") is False:
        return _class("lighting", asleep)
    if says.lamps:
        return FeedConclusion(
            evidence=say("live with the lamps on"),
            open=(say("whether it is live with the lamps off"),),
        )
    if key.get("running"):
        return _only_running(key)
    return _dead(says, asleep)


def _only_running(key: dict[State, bool]) -> FeedConclusion:
    if key.get("ignition") is False:
        return FeedConclusion(
            evidence=say("live with the engine running only, which is no feed to plan on")
        )
    return FeedConclusion(
        evidence=say("live at the latest with engine running"), open=(WHETHER_IGNITION,)
    )


def _dead(says: _Says, asleep: tuple[Text, ...]) -> FeedConclusion:
    if says.key.get("ignition") is not False:
        return FeedConclusion(evidence=say("dead so far"), open=(WHETHER_IGNITION, *asleep))
    left = []
    if says.lamps is None:
        left.append(say("whether it is live with the lamps on"))
    if "running" not in says.key:
        left.append(say("whether it is live with engine running"))
    return _class("unfed", (*left, *asleep))


# --- the live side --------------------------------------------------------------------------------

OPPOSITE: dict[LiveSide, LiveSide] = {
    "left": "right",
    "right": "left",
    "top": "bottom",
    "bottom": "top",
}
SIDE: dict[LiveSide, Text] = {
    "left": say("live side left"),
    "right": say("live side right"),
    "top": say("live side top"),
    "bottom": say("live side bottom"),
}


class SideConclusion(Struct, frozen=True):
    """The live side with its evidence; `unknown` where the readings do not give it."""

    side: LiveSide = "unknown"
    evidence: Text = NOTHING
    contradictions: tuple[Text, ...] = ()

    @property
    def known(self) -> bool:
        """Whether the readings give a side."""
        return self.side != "unknown"


def side_of(vehicle: Vehicle, slot: Slot, *, verified: bool = True) -> SideConclusion:
    """The live side of a slot from its contacts, both read with the fuse out; the latest of each.

    Both live is a slot fed from both sides, or something behind it that holds a voltage.
    """
    latest: dict[LiveSide, Reading] = {}
    for reading in evidence.of_slot(vehicle, slot.id, verified=verified):
        side = CONTACTS.get(reading.quantity)
        if side is not None:
            latest[side] = reading
    live = [side for side, reading in latest.items() if reading.yes]
    dead = [side for side, reading in latest.items() if not reading.yes]
    read = in_row(evidence.value_words(reading) for reading in latest.values())
    if len(live) == 1:
        side = live[0]
        if OPPOSITE[side] in dead:
            words = say("fuse out, {read}: {side}", read=read, side=SIDE[side])
        else:
            words = say(
                "fuse out, {read}, the other not read: {side} if it is dead",
                read=read,
                side=SIDE[side],
            )
        return SideConclusion(side, words)
    if len(live) > 1:
        both = say(
            "both contacts are live with the fuse out: it is fed from both sides, or something "
            "behind it holds a voltage (an accessory with a source of its own, a second feed)"
        )
        return SideConclusion("unknown", say("fuse out, {read}", read=read), (both,))
    if dead:
        return SideConclusion(
            "unknown", say("fuse out, {read}: read it in a state that feeds it", read=read)
        )
    return SideConclusion()
