"""Hops at the slot and of the tap in it: contact, host fuse, tap, its fuse."""

from collections.abc import Iterator
from typing import Final

import numpy as np

from fusemap.assess import facts
from fusemap.assess.gather import fuse_load_a
from fusemap.assess.hops.kind import Breach, Held, HopKind, Input, Setting, View
from fusemap.assess.result import Basis, Floats, HopKey, worst
from fusemap.assess.sources import ASLEEP
from fusemap.assess.verdict import Ground
from fusemap.assess.words import (
    LOAD_WORDS,
    WAY_WORDS,
    fuse_words,
    rated_words,
    turn_words,
)
from fusemap.text import Amount, Text, say
from fusemap.vehicle import STATES, Slot, look_up
from fusemap.vehicle.words import STATE, TAP

SAME_A: Final = 1e-6
"""Two currents this near are the same [A]."""


def _held(s: Setting, load: Floats, limit: Floats) -> Held:
    """A current (states, slots) against a limit (slots,), for the taps that sit on a slot."""
    column = s.circuit.taps.slot
    on = column >= 0
    loads, limits = s.blank(), s.blank()
    state = np.full(s.count, -1, dtype=np.intp)
    loads[on] = worst(load)[column[on]]
    limits[on] = limit[column[on]]
    state[on] = load.argmax(axis=0)[column[on]] if load.size else -1
    return Held(loads, limits, state)


def _slot(v: View) -> Slot:
    return look_up.slot(v.a.vehicle, v.tap.slot or "")


def contact_ground(slot: Slot) -> Ground:
    """Where what a slot's contacts may carry is from."""
    if slot.contact_limit_a is not None:
        return "user"
    return "assumed" if facts.contact_published(slot.family) is None else "published"


def host_ground(slot: Slot) -> Ground:
    """Where what the fuse of a slot carries for long is from."""
    if slot.fuse is None:
        return "none"
    return facts.fuse_ground(slot.fuse.family, slot.fuse.rating)


def _inputs(v: View) -> tuple[Input, ...]:
    slots = v.a.slots
    column = slots.index[v.tap.slot or ""]
    row = int(slots.live_contact_a[:, column].argmax())
    return (
        (say("Own load"), Amount(float(slots.own_a[row, column]), "A")),
        (say("Accessories"), Amount(float(slots.accessory_a[row, column]), "A")),
        (say("State"), STATE[STATES[row]].label),
    )


def _at_worst(v: View, key: HopKey, load: Floats, accessories: Floats) -> Iterator[Input]:
    """What the other end of a hop is made of, where it is another: the most that may flow.

    `load` is all that may pass the slot there [A, (states,)], `accessories` what is tapped of it.
    """
    row = int(load.argmax())
    total, taken = float(load[row]), float(accessories[row])
    if total <= v.load(key) + SAME_A:
        return
    yield (
        say("At worst"),
        say(
            "{own} + {accessories}, {state}",
            own=Amount(total - taken, "A"),
            accessories=Amount(taken, "A"),
            state=STATE[STATES[row]].label,
        ),
    )


class LiveContact(HopKind):
    """The contact that brings the current: everything the slot asks passes it."""

    key = "live_contact"
    printed = True

    def figures(self, s: Setting) -> Held:
        return _held(s, s.slots.live_contact_a, s.slots.contact_limit_a)

    def title(self, v: View) -> Text:
        return say("Live contact of {slot}", slot=look_up.place_words(_slot(v)))

    def ground(self, v: View) -> Ground:
        return contact_ground(_slot(v))

    def basis(self, v: View) -> Basis:
        slot = _slot(v)
        entered = slot.contact_limit_a is not None
        most = v.a.most.slots
        column = most.index[slot.id]
        return Basis(
            say("own load + every accessory tapped here"),
            (
                *_inputs(v),
                *_at_worst(
                    v, self.key, most.live_contact_a[:, column], most.accessory_a[:, column]
                ),
            ),
            say("limit as entered for this slot") if entered else facts.contact_source(slot.family),
        )


class HostFuse(HopKind):
    """The vehicle's own fuse: its own load, and the accessories that pass it."""

    key = "host_fuse"
    printed = warms = True

    def figures(self, s: Setting) -> Held:
        return _held(s, s.slots.host_a, s.slots.host_limit_a)

    def title(self, v: View) -> Text:
        slot = _slot(v)
        if slot.fuse is None:
            return say("Host fuse {slot}", slot=look_up.slot_words(slot))
        fuse = fuse_words(slot.fuse)
        return say("Host fuse {slot}, {fuse}", slot=look_up.slot_words(slot), fuse=fuse)

    def blind(self, s: Setting) -> np.ndarray:
        return np.asarray(s.circuit.taps.slot >= 0)

    def missing(self, v: View) -> Text:
        return say("no fuse is entered in this slot")

    def ground(self, v: View) -> Ground:
        return host_ground(_slot(v))

    def basis(self, v: View) -> Basis:
        column = v.a.slots.index[v.tap.slot or ""]
        ambient, most = float(v.a.slots.ambient_c[column]), v.a.most.slots
        carries = v.a.circuit.taps.through_host[v.column] > 0
        return Basis(
            say(
                "own load + accessories that pass the host fuse; limit = share × rating × rerating "
                "at the ambient, or the maker's table where that is lower"
            ),
            (
                *_inputs(v),
                *_at_worst(v, self.key, most.host_a[:, column], _through_host(v, column)),
                (say("This tap passes the host fuse"), say("yes") if carries else say("no")),
                v.rule("continuous_share"),
                (say("Ambient"), Amount(ambient, "°C")),
                *_warmest(v, column, ambient),
            ),
            v.a.rules["continuous_share"].source,
        )


def _through_host(v: View, column: int) -> Floats:
    """The most that what is tapped on a slot may take through its host fuse [A, (states,)]."""
    end = v.a.most
    taps = end.circuit.taps
    return np.asarray((end.taps.current_a * taps.through_host)[:, taps.slot == column].sum(axis=1))


def _warmest(v: View, column: int, ambient_c: float) -> Iterator[Input]:
    """How warm its place may get, and what the fuse carries then, where that is warmer."""
    most = v.a.most.slots
    warm = float(most.ambient_c[column])
    if warm > ambient_c:
        limit = Amount(float(most.host_limit_a[column]), "A")
        yield (
            say("At its warmest"),
            say("{ambient}: limit {limit}", ambient=Amount(warm, "°C"), limit=limit),
        )


class TapItself(HopKind):
    """What the tap is made for: its own figure, else the rule for kits that state none."""

    key = "tap"
    code = "tap_overloaded"

    def figures(self, s: Setting) -> Held:
        ceiling = np.array(
            [
                (s.rules["tap_kit_ceiling_a"] if tap.ceiling_a is None else tap.ceiling_a)
                if tap.kind in ("two_fuse", "take_off_lead")
                else np.nan
                for tap in s.circuit.taps.taps
            ],
            dtype=float,
        )
        return Held(np.where(np.isnan(ceiling), np.nan, s.peak_a), ceiling, s.peak_state)

    def title(self, v: View) -> Text:
        return say("{tap}, {side}", tap=TAP[v.tap.kind], side=WAY_WORDS[v.tap.way_round])

    def ground(self, v: View) -> Ground:
        return v.rule_ground("tap_kit_ceiling_a") if v.tap.ceiling_a is None else "user"

    def basis(self, v: View) -> Basis:
        own = v.tap.ceiling_a is not None
        rule = v.a.rules["tap_kit_ceiling_a"]
        return Basis(
            say("the accessory's current against what the tap may carry"),
            ((say("Ceiling"), say("the tap's own figure") if own else rule.label),),
            say("as entered for this tap") if own else rule.source,
        )

    def breach(self, v: View) -> Breach:
        return Breach(
            "stop",
            say("The tap carries more than it is made for."),
            v.a.rules["tap_kit_ceiling_a"].label,
            say(
                "Use an own feed with its own fuse, with a relay if it has to be switched; or enter"
                " the kit's own figure if it carries more."
            ),
        )


class AccessoryFuse(HopKind):
    """The tap's own fuse and what it carries for long."""

    key = "accessory_fuse"
    code = "fuse_overloaded"
    own = printed = warms = True

    def figures(self, s: Setting) -> Held:
        fused = np.array([tap.fuse is not None for tap in s.circuit.taps.taps])
        load = np.where(fused, fuse_load_a(s.circuit.taps, s.peak_a), np.nan)
        return Held(load, s.taps.fuse_limit_a, s.peak_state)

    def title(self, v: View) -> Text:
        assert v.tap.fuse is not None  # the hop exists only with a fuse
        return say("Accessory fuse, {fuse}", fuse=fuse_words(v.tap.fuse))

    def ground(self, v: View) -> Ground:
        fuse = v.tap.fuse
        return "none" if fuse is None else facts.fuse_ground(fuse.family, fuse.rating)

    def basis(self, v: View) -> Basis:
        return Basis(
            say(
                "current the accessory draws at the voltage it gets; limit = share × rating × "
                "rerating at the ambient, or the maker's table where that is lower"
            ),
            (*asked_inputs(v), *self._turns(v), v.rule("continuous_share")),
            v.a.rules["continuous_share"].source,
        )

    def _turns(self, v: View) -> Iterator[Input]:
        """Why the fuse feels another current than the load’s: a long start, or short turns."""
        it, peak = v.accessory, float(worst(v.a.taps.current_a)[v.column])
        if v.a.circuit.taps.start_multiple[v.column] > 1.0:
            times, start = it.inrush_multiple, Amount(it.inrush_s, "s")
            yield (
                say("Start, so long that it counts as load"),
                say("{times} × for {time}", times=times, time=start),
            )
        elif v.load(self.key) < peak * (1 - 1e-9):
            turn = turn_words(it, v.a.rule("short_rest_min"))
            mean = say("{peak} × √duty, {turn}", peak=Amount(peak, "A"), turn=turn)
            yield say("Turns that the fuse bears, so the mean counts"), mean

    def breach(self, v: View) -> Breach:
        fuse = v.tap.fuse
        assert fuse is not None  # the hop exists only with a fuse
        blows = v.load(self.key) > fuse.rating
        return Breach(
            "stop" if blows else "caution",
            say("The accessory fuse, {fuse}, will open in normal use.", fuse=fuse_words(fuse))
            if blows
            else say(
                "The accessory fuse, {fuse}, carries more than it may for long.",
                fuse=fuse_words(fuse),
            ),
            v.a.rules["continuous_share"].label,
            say("Fit the next larger fuse if cable, tap and host allow it."),
        )


def asked_inputs(v: View) -> Iterator[Input]:
    """What the accessory is rated at, and what hangs behind it where it is a converter."""
    yield say("Rated"), rated_words(v.accessory)
    yield say("Load kind"), LOAD_WORDS[v.accessory.load_kind]
    for each in v.a.circuit.taps.behind.of(v.column):
        taken = Amount(float(each.taken_w.max()), "W")
        yield say("Behind it: {accessory}", accessory=each.accessory.name), taken


class Lasting(HopKind):
    """A load that works for hours while parked, against a share of the fuse of its cable."""

    key = "lasting"
    code = "lasting_load"
    own = True

    def figures(self, s: Setting) -> Held:
        circuit = s.circuit
        load = np.where(circuit.taps.lasting, s.taps.current_a[ASLEEP], np.nan)
        limit = s.rules["cable_share_of_fuse"] * circuit.cables.rating_a
        return Held(load, limit, np.full(s.count, ASLEEP))

    def title(self, v: View) -> Text:
        return say("Load for hours on the fuse of its cable")

    def ground(self, v: View) -> Ground:
        return v.rule_ground("cable_share_of_fuse")

    def basis(self, v: View) -> Basis:
        return Basis(
            say(
                "what it draws while parked, for an hour or longer at a time, against a share of "
                "the rating of the fuse that protects its cable"
            ),
            (*asked_inputs(v), v.protected_by(), v.rule("cable_share_of_fuse")),
            v.a.rules["cable_share_of_fuse"].source,
        )

    def breach(self, v: View) -> Breach:
        return Breach(
            "caution",
            say(
                "This load works for hours and takes more of its fuse than a permanent load should."
            ),
            v.a.rules["cable_share_of_fuse"].label,
            say("Fit the next larger fuse with a cable to match, if tap and host allow it."),
        )


HOPS: Final = (LiveContact(), HostFuse(), TapItself(), AccessoryFuse(), Lasting())
