"""What the vehicle draws asleep that no mapped slot explains, and which fuse to pull next.

In: a vehicle with readings of the whole and of its slots. Out: the `Remainder` with its band, the
`Suspect`s, the largest first, and how far it is known what draws, in words.
"""

from msgspec import Struct

from fusemap.circuits import counts_critical
from fusemap.probing import evidence
from fusemap.probing.loads import Load, by_fuse_out, loads_of, rest_current
from fusemap.text import Amount, Text, many, say
from fusemap.vehicle import Slot, Vehicle, look_up


class Remainder(Struct, frozen=True):
    """What the vehicle draws asleep that no mapped slot explains [A], with its band."""

    whole: Load
    explained_a: float
    explained_low_a: float
    explained_high_a: float
    unread: int

    @property
    def current_a(self) -> float:
        """The remainder, nothing where the slots explain more than the whole."""
        return max(0.0, self.whole.current_a - self.explained_a)

    @property
    def low_a(self) -> float:
        """The least it can be."""
        return max(0.0, self.whole.low_a - self.explained_high_a)

    @property
    def high_a(self) -> float:
        """The most it can be."""
        return max(0.0, self.whole.high_a - self.explained_low_a)

    @property
    def contradicts(self) -> bool:
        """Whether the slots surely draw more together than the whole vehicle."""
        return self.explained_low_a > self.whole.high_a

    @property
    def words(self) -> Text:
        """What is unexplained, as it may be said."""
        if self.contradicts:
            return say(
                "the slots together draw at least {slots}, the whole vehicle at most {whole}: one "
                "of them is wrong",
                slots=Amount(self.explained_low_a, "A"),
                whole=Amount(self.whole.high_a, "A"),
            )
        if self.low_a == 0:
            explained = say("the mapped slots can explain it all")
            if not self.unread:
                return explained
            return say("{what}, {unread}", what=explained, unread=self._unread_words)
        band = {
            "low": Amount(self.low_a, "A", significant=2),
            "high": Amount(self.high_a, "A", significant=2),
        }
        if not self.unread:
            return say(
                "{low} to {high} on no mapped slot: something hangs on the battery itself, or on a "
                "slot not yet read",
                **band,
            )
        return say(
            "{low} to {high} on no mapped slot, {unread}: something hangs on the battery itself, "
            "or on a slot not yet read",
            unread=self._unread_words,
            **band,
        )

    @property
    def _unread_words(self) -> Text:
        return many("{n} slot not read", "{n} slots not read", self.unread)


def remainder(vehicle: Vehicle) -> Remainder | None:
    """What of the rest current no slot explains, `None` before the whole vehicle was read."""
    whole = rest_current(vehicle)
    if whole is None:
        return None
    middle = low = high = 0.0
    unread = 0
    for slot in evidence.fuse_slots(vehicle):
        load = loads_of(vehicle, slot).get("asleep")
        if load is not None:
            middle += 0.0 if load.below_floor else load.current_a
            low, high = low + load.low_a, high + load.high_a
        elif slot.own_load.asleep is not None:
            known, most = slot.own_load.asleep, slot.own_most.asleep
            middle, low = middle + known, low + known
            high += known if most is None else most
        elif slot.fuse is not None and slot.feed_class in ("permanent", "unknown"):
            unread += 1
    return Remainder(whole, middle, low, high, unread)


class Suspect(Struct, frozen=True):
    """A slot that draws asleep: how much by what was read, and what pulling its fuse changed."""

    slot: Slot
    load: Load | None
    pulled: Load | None

    @property
    def amount_a(self) -> float:
        """What it draws, by the pull if there was one."""
        best = self.pulled or self.load
        return 0.0 if best is None else best.current_a


def suspects(vehicle: Vehicle) -> tuple[Suspect, ...]:
    """The slots by what they draw asleep, the largest first; unread ones of unknown feed last."""
    found = []
    for slot in evidence.fuse_slots(vehicle):
        if slot.fuse is None:
            continue
        load = loads_of(vehicle, slot).get("asleep")
        pulled = by_fuse_out(vehicle, slot.id)
        if load is not None or pulled is not None or slot.feed_class in ("permanent", "unknown"):
            found.append(Suspect(slot, load, pulled))
    return tuple(sorted(found, key=lambda suspect: (-suspect.amount_a, suspect.load is not None)))


def pull_next(vehicle: Vehicle) -> Suspect | None:
    """The fuse to pull next to find what draws: the largest not pulled yet that may be pulled.

    A critical circuit is never pulled: its share is read with the meter across its fuse.
    """
    left_in = [
        suspect
        for suspect in suspects(vehicle)
        if suspect.pulled is None and not counts_critical(suspect.slot)
    ]
    drawing = [each for each in left_in if each.load is not None and not each.load.below_floor]
    if drawing:
        return drawing[0]
    left = remainder(vehicle)
    unread = [suspect for suspect in left_in if suspect.load is None]
    return unread[0] if unread and (left is None or left.current_a > 0) else None


def tracing_words(vehicle: Vehicle) -> tuple[Text, ...]:
    """How far it is known what draws: the whole, the largest, what to pull next, what is left."""
    whole = rest_current(vehicle)
    if whole is None:
        return (say("Read the whole vehicle first, asleep, with all fuses in."),)
    lines = [say("Whole vehicle asleep: {load}.", load=whole.words)]
    for suspect in suspects(vehicle)[:3]:
        best = suspect.pulled or suspect.load
        if best is not None and not best.below_floor:
            slot = look_up.slot_words(suspect.slot)
            lines.append(say("{slot}: {load}, {how}.", slot=slot, load=best.words, how=best.how))
    following = pull_next(vehicle)
    left = remainder(vehicle)
    if following is not None:
        slot = look_up.fuse_words(following.slot)
        lines.append(say("Pull {slot} next, and read the whole again.", slot=slot))
    if left is not None:
        lines.append(say("Remainder: {words}.", words=left.words))
    return tuple(lines)
