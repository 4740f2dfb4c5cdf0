"""What a hunt has found by now: who draws, how much of the whole, what is left, what it costs.

In: a hunt and its vehicle. Out: an `Answer`. A circuit is found where it surely draws what is worth
finding; where its ends allow otherwise it may draw it, and is said so. What it costs is asked of
the forecast of the vehicle as it is and without it.
"""

from collections import deque
from collections.abc import Sequence
from math import inf, isnan
from typing import Final

from msgspec import Struct
from msgspec.structs import replace

from fusemap import tables
from fusemap.assess import assess
from fusemap.assess.facts import resolve
from fusemap.assess.parked.figures import Span
from fusemap.circuits import counts_critical
from fusemap.probing.hunt.levels import Level, levels, meets
from fusemap.probing.hunt.shares import Share, Shares, shares
from fusemap.probing.hunt.state import WORTH_A, Hunt
from fusemap.probing.hunt.suspicion import fitted_on, with_fuse
from fusemap.probing.loads import Load, band_words
from fusemap.text import Amount, Argument, Text, Words, in_row, run_on, say, share
from fusemap.vehicle import LIVE_IN, Slot, StateLoads, Vehicle, WakeUp, edits, look_up

SMALL_PART: Final = 0.1
"""So much of the whole is not looked for before the rest of it is off [-]; ours."""
SHOWN_IN_HOURS: Final = 2.0
"""Shorter times between wake-ups are said in minutes [h]; ours."""
MOST_NAMED: Final = 2
"""Of no more fuses than these is said what they feed, too, where more may be hidden; ours."""
CLOSE: Final = 0.2
"""A band narrower than this share of its figure is said as the figure alone [-]; ours."""


class Answer(Struct, frozen=True):
    """All that a hunt knows.

    `shares` are those of the level with the largest whole, `None` before it was read; `now` is the
    latest whole, `comes_and_goes` whether it has gone off since. `at_rest` is the least whole that
    was read where it drew more at other times. `passing` are circuits that surely drew at another
    level. `good_a` [A] is what a healthy vehicle draws; `wake_ups` are those of the night that was
    followed, `logged` whether one was; `panels` is how many there are.
    """

    shares: Shares | None
    now: Load | None
    comes_and_goes: bool
    passing: tuple[Share, ...]
    good_a: float
    wake_ups: tuple[WakeUp, ...] = ()
    logged: bool = False
    at_rest: Load | None = None
    panels: int = 1

    @property
    def whole(self) -> Load | None:
        """The whole current that is to be explained."""
        return None if self.shares is None else self.shares.level.whole

    @property
    def found(self) -> tuple[Share, ...]:
        """Everything that surely draws, the largest first."""
        if self.shares is None:
            return ()
        there = {share.slot.id for share in self.shares.found if share.slot is not None}
        more = [s for s in self.passing if s.slot is not None and s.slot.id not in there]
        return (*self.shares.found, *more)

    @property
    def is_usual(self) -> bool:
        """Whether even the most that was drawn is what a healthy vehicle draws."""
        return self.whole is not None and self.whole.high_a <= self.good_a

    @property
    def explained(self) -> bool:
        """Whether what is left beside those found is what a healthy vehicle draws, at most.

        What surely is on no fuse is found, too: then it is what may be left on the fuses, which
        may be a small part of the whole.
        """
        if self.shares is None or self.shares.contradicts or self.whole is None:
            return False
        if self.outside is not None:
            return self.shares.hidden <= max(self.good_a, SMALL_PART * self.whole.current_a)
        return self.shares.unexplained[1] <= self.good_a

    @property
    def outside(self) -> Share | None:
        """What surely is on no fuse of the panels, where it is worth finding."""
        if self.shares is None or not self.shares.outside.found or not self.shares.slots:
            return None  # with no fuse entered nothing is known to be on none
        return self.shares.outside

    @property
    def headline(self) -> Text:
        """The answer in one line."""
        if self.whole is None:
            return say("Nothing is known yet: read the whole vehicle first")
        if self.found:
            return self._found_words()
        if self.outside is not None:
            load = _band_of(self.outside)
            if self.panels > 1:
                return say("Not in these panels: {load}", load=load)
            return say("Not in this panel: {load}", load=load)
        if self.is_usual:
            return self._usual_words()
        if self.shares is not None and not self.shares.slots:
            return say("{whole} is drawn, and no panel is entered", whole=self.whole.words)
        if self.whole.low_a <= self.good_a:
            return say(
                "{whole} may be usual: this meter cannot tell it from too much",
                whole=self.whole.words,
            )
        if self.wake_ups and self.at_rest is not None:
            wakes = in_row([wake_words(wake) for wake in self.wake_ups])
            return say("It wakes up: {wakes}; where is not found yet", wakes=wakes)
        if self.shares is not None and self.shares.open:
            places: list[Argument] = [_name(each.slot) for each in self.shares.open[:4]]
            if len(self.shares.open) > len(places):
                places.append(say("others"))
            if self.shares.outside.open:
                places.append(say("on no fuse"))
            return say("Not found yet: it may be {places}", places=in_row(places, "or"))
        return say("Not found: no circuit surely draws more than is usual")

    @property
    def so_far(self) -> Text:
        """What was found while the hunt still goes on, with what is left; nothing before that."""
        if not self.found or self.shares is None:
            return Text("")
        if self.shares.contradicts:
            return say("{found}.", found=self._found_words())
        left = both_ends(*self.shares.unexplained)
        return say("{found}. {left} beside that.", found=self._found_words(), left=left)

    def _found_words(self) -> Text:
        first = self.found[0]
        if len(self.found) > 1:
            return say("Found: {circuits}", circuits=in_row([self.part(s) for s in self.found]))
        return say("Found: {circuit}", circuit=self.part(first))

    def part(self, share_: Share) -> Text:
        """A circuit with its part of the whole: “F2 Socket, 0.27 of 0.35 A (77 %)”.

        With both ends where they are far apart.
        """
        if self.whole is None or share_.slot is None or self.whole.current_a <= 0:
            return say("{current} on no fuse", current=Amount(share_.current_a, "A"))
        whole = self.whole.current_a
        ends = [share_.low_a, min(share_.high_a, whole)]
        of = {"slot": _name(share_.slot), "whole": Amount(whole, "A", significant=2)}
        if ends[1] - ends[0] <= CLOSE * share_.current_a:
            part = min(1.0, share_.current_a / whole)
            return say(
                "{slot}, {current} of {whole} ({share})",
                current=_in_unit_of(share_.current_a, whole),
                share=share(part),
                **of,
            )
        return say(
            "{slot}, {low} to {high} of {whole} ({low_share} to {high_share})",
            low=_in_unit_of(ends[0], whole),
            high=_in_unit_of(ends[1], whole),
            low_share=Amount(100 * min(1.0, ends[0] / whole), significant=2),
            high_share=share(min(1.0, ends[1] / whole)),
            **of,
        )

    def _usual_words(self) -> Text:
        whole = self.whole
        assert whole is not None  # asked for where it was read
        if self.wake_ups:
            return say("It wakes up: {wakes}", wakes=in_row([wake_words(w) for w in self.wake_ups]))
        if self.logged:
            return say("{whole} is usual, and it slept all night", whole=whole.words)
        return say("{whole} is usual: nothing draws too much now", whole=whole.words)

    @property
    def left_words(self) -> Text:
        """What is left beside those found, with both ends, and where it may be."""
        if self.shares is None:
            return Text("")
        if self.shares.contradicts:
            return say("The readings do not go together: something came or went between them")
        low, high = self.shares.unexplained
        current = both_ends(low, high)
        left = say("{current} unexplained", current=current)
        if self.shares.found:
            left = say("{current} beside that", current=current)
        if high <= self.good_a:
            return say("{left}: that is usual", left=left)
        if self.outside is not None:
            return say(
                "{left}, of it at least {outside} on no fuse of these panels",
                left=left,
                outside=Amount(self.outside.low_a, "A", significant=2),
            )
        if not self.shares.slots:
            return say("Enter the panel with its fuses’ ratings, and go on hunting.")
        places = [each.slot for each in self.shares.open if each.slot is not None]
        # of many the labels alone: the line is read standing, and what each feeds is on the lid
        name = _name if len(places) <= MOST_NAMED else look_up.fuse_words
        where = [name(slot) for slot in places]
        if where:
            named = in_row(where[:6], "or")
            if len(where) > len(where[:6]):
                return say(
                    "{left}: it may hide in {slots} or others, or on no fuse",
                    left=left,
                    slots=in_row(where[:6]),
                )
            return say("{left}: it may hide in {slots}, or on no fuse", left=left, slots=named)
        return say("{left}, in many small ones or on no fuse of these panels", left=left)


def both_ends(low: float, high: float) -> Argument:
    """A current with both its ends, as one figure where they are as good as one."""
    if high - low <= CLOSE / 4 * high:
        return Amount((low + high) / 2, "A", significant=2)
    return say(
        "{low} to {high}",
        low=Amount(low * 1000 if high < 0.1 else low, significant=2),
        high=Amount(high, "A", significant=2),
    )


def _band_of(share_: Share) -> Text:
    return band_words(share_.current_a, share_.low_a, share_.high_a, "A")


def _in_unit_of(value: float, whole: float) -> Amount:
    """A current without its unit, which stands behind the whole: in thousandths where that is."""
    return Amount(value * 1000 if whole < 0.1 else value, significant=2)


def _name(slot: Slot | None) -> Words:
    if slot is None:
        return say("on no fuse")
    words = look_up.fuse_words(slot)
    return run_on(words, slot.circuit) if slot.circuit else words


def wake_words(wake: WakeUp) -> Text:
    """A wake-up in words."""
    return say(
        "{current} more for {minutes} every {hours}",
        current=Amount(wake.current_a, "A"),
        minutes=Amount(wake.minutes, "min", significant=2),
        hours=Amount(wake.every_h, "h", significant=2)
        if wake.every_h >= SHOWN_IN_HOURS
        else Amount(60 * wake.every_h, "min", significant=2),
    )


_KEPT: Final[deque[tuple[Vehicle, object, Answer]]] = deque(maxlen=4)
"""The last few answers; a vehicle never changes, so they hold."""


def answer(hunt: Hunt, vehicle: Vehicle) -> Answer:
    """What a hunt has found by now."""
    key = (hunt.since, hunt.earlier, hunt.scene.logged)
    for there, known, found in _KEPT:
        if there is vehicle and known == key:
            return found
    _KEPT.append((vehicle, key, _answer(hunt, vehicle)))
    return _KEPT[-1][2]


def _answer(hunt: Hunt, vehicle: Vehicle) -> Answer:
    found = levels(hunt, vehicle)
    good = resolve(vehicle.rules)["rest_current_good_ma"].value / 1000
    wakes = vehicle.parking.wake_ups if hunt.scene.logged else ()
    if not found:
        return Answer(None, None, False, (), good, wakes, hunt.scene.logged)
    place = {reading.id: number for number, reading in enumerate(vehicle.readings)}
    now = max(found, key=lambda level: place[level.whole.reading]).whole
    slots = list(with_fuse(vehicle))
    main = max(found, key=lambda level: level.whole.current_a)
    gone = not meets(main.whole, now)
    least = min(found, key=lambda level: level.whole.current_a).whole
    return Answer(
        shares(main, slots),
        now,
        gone,
        _passing(found, main, slots),
        good,
        wakes,
        hunt.scene.logged,
        None if meets(main.whole, least) else least,
        len(vehicle.panels),
    )


def _passing(found: Sequence[Level], main: Level, slots: list[Slot]) -> tuple[Share, ...]:
    """What surely drew at other levels, by what was read at single circuits."""
    seen: dict[str, Share] = {}
    by_id = {slot.id: slot for slot in slots}
    for level in found:
        for key, load in level.more.items():
            if key in by_id and load.low_a >= WORTH_A:
                seen[key] = Share(by_id[key], load.low_a, load.current_a, load.high_a, load)
        for each in () if level is main else shares(level, slots).found:
            if each.slot is not None:
                seen[each.slot.id] = each
    return tuple(sorted(seen.values(), key=lambda each: -each.current_a))


# --- what hangs there, and what to do -------------------------------------------------------------


def parts_behind(vehicle: Vehicle, slot: Slot) -> tuple[str, ...]:
    """What hangs behind a fuse, as far as it is known: what is tapped in first, then its circuit.

    Names, as somebody gave them.
    """
    tapped = [
        look_up.accessory(vehicle, tap.accessory).name for tap in look_up.taps_on(vehicle, slot.id)
    ]
    read = tables.circuit_name(slot.circuit)
    own = [each.name for each in read.consumers] + list(read.unread)
    in_order = sorted(dict.fromkeys(own), key=lambda name: slot.circuit.find(name))
    return tuple(dict.fromkeys((*tapped, *in_order)))


def what_to_do(vehicle: Vehicle, share_: Share) -> tuple[Text, ...]:
    """What to do about a circuit that draws."""
    slot = share_.slot
    if slot is None:
        return (
            say(
                "Take the clamp round each cable at the battery’s posts, one by one: what feeds "
                "no fuse of these panels is the alternator, the starter, or another fuse box."
            ),
            say("Work on these cables only with the battery’s negative post off."),
        )
    found = []
    if "asleep" not in LIVE_IN[slot.feed_class]:
        found.append(
            say(
                "Its feed should be dead with the key out: look for an ignition lock or a relay "
                "that stays on."
            )
        )
    parts = parts_behind(vehicle, slot)
    if counts_critical(slot):
        found.append(
            say(
                "It is a circuit to leave alone: unplug nothing of it. Have the vehicle’s maker’s "
                "workshop look at it."
            )
        )
    elif len(parts) > 1:
        found.append(
            say(
                "Unplug {part}, and read {slot} again: which of the {n} it is.",
                part=parts[0],
                slot=look_up.fuse_words(slot),
                n=len(parts),
            )
        )
    else:
        found.append(say("Unplug what hangs on it, and read {slot} again.", slot=_name(slot)))
    if fitted_on(vehicle, slot.id):
        found.append(say("Or feed it from a slot that is dead while parked."))
    return tuple(found)


# --- what it costs --------------------------------------------------------------------------------


class Cost(Struct, frozen=True):
    """How long half of such vehicles stand until they no longer start, with and without it [h].

    Infinite where longer than computed. `without` has both ends, by how much the drain may be; how
    far battery and start may be off is in neither: that is the forecast's own span.
    """

    as_it_is: Span
    without: Span

    @property
    def words(self) -> Text:
        """Both in one line."""
        return say("{now} as it is, {then} without it", now=self.as_it_is, then=self.without)


def cost(
    vehicle: Vehicle, found: Sequence[Share], whole: Load, at_rest: Load | None = None
) -> Cost:
    """What these cost, by the forecast of the vehicle with and without them.

    Reckoned with what the whole current is known to be, at both of its ends. With `at_rest` it
    draws the whole for a while only: as often as a night showed, else from never to always.
    """
    if at_rest is not None:
        return _cost_of_spells(vehicle, found, whole, at_rest)
    now = [_hours(vehicle, whole_a, ()) for whole_a in (whole.high_a, whole.low_a)]
    least = sum(each.low_a for each in found)
    most = sum(min(each.high_a, whole.high_a) for each in found)
    then = [
        _hours(vehicle, max(0.0, whole.high_a - least), found),
        _hours(vehicle, max(0.0, whole.low_a - most), found),
    ]
    return Cost(Span(*now), Span(*then))


def _cost_of_spells(vehicle: Vehicle, found: Sequence[Share], whole: Load, at_rest: Load) -> Cost:
    seen = bool(vehicle.parking.wake_ups)
    now = [
        _hours(vehicle, at_rest.high_a if seen else whole.high_a, ()),
        _hours(vehicle, at_rest.low_a, ()),
    ]
    quiet = edits.change_parking(vehicle, wake_ups=())
    then = [_hours(quiet, rest_a, found) for rest_a in (at_rest.high_a, at_rest.low_a)]
    return Cost(Span(*now), Span(*then))


def _hours(vehicle: Vehicle, rest_a: float, without: Sequence[Share]) -> float:
    rest = round(rest_a, 6)
    changed = edits.change_parking(
        vehicle, rest_current_a=rest, low_rest_current_a=None, high_rest_current_a=None
    )
    for each in without:
        if each.slot is not None:
            own = look_up.slot(changed, each.slot.id).own_load
            if own.asleep:
                changed = edits.change_slot(changed, each.slot.id, own_load=_nothing_asleep(own))
    hours = assess(changed).band.middle_h
    return inf if isnan(hours) else hours


def _nothing_asleep(own: StateLoads) -> StateLoads:
    return replace(own, asleep=0.0)
