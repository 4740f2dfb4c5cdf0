"""Hops at the slot: its live contact and the host fuse in it.

What passes these limits is told once for each slot, by the checks of slots.
"""

from typing import Final

import numpy as np

from fusemap.assess import facts
from fusemap.assess.hops.kind import Held, HopKind, Input, Setting, View
from fusemap.assess.result import Basis, Floats, worst
from fusemap.assess.words import fuse_words
from fusemap.text import Amount, Text, say
from fusemap.vehicle import STATES, Slot, look_up
from fusemap.vehicle.words import STATE


def _held(s: Setting, load: Floats, limit: Floats) -> Held:
    """A current (states, slots) against a limit (slots,), for the taps that sit on a slot."""
    column = s.a.circuit.taps.slot
    on = column >= 0
    loads, limits = s.blank(), s.blank()
    state = np.full(s.count, -1, dtype=np.intp)
    loads[on] = worst(load)[column[on]]
    limits[on] = limit[column[on]]
    state[on] = load.argmax(axis=0)[column[on]] if load.size else -1
    return Held(loads, limits, state)


def _slot(v: View) -> Slot:
    return look_up.slot(v.a.vehicle, v.tap.slot or "")


def _inputs(v: View) -> tuple[Input, ...]:
    slots = v.a.slots
    column = slots.index[v.tap.slot or ""]
    row = int(slots.live_contact_a[:, column].argmax())
    return (
        (say("Own load"), Amount(float(slots.own_a[row, column]), "A")),
        (say("Accessories"), Amount(float(slots.accessory_a[row, column]), "A")),
        (say("State"), STATE[STATES[row]].label),
    )


class LiveContact(HopKind):
    """The contact that brings the current: everything the slot asks passes it."""

    key = "live_contact"
    printed = True

    def figures(self, s: Setting) -> Held:
        return _held(s, s.a.slots.live_contact_a, s.a.slots.contact_limit_a)

    def title(self, v: View) -> Text:
        return say("Live contact of {slot}", slot=look_up.slot_words(_slot(v)))

    def basis(self, v: View) -> Basis:
        slot = _slot(v)
        entered = slot.contact_limit_a is not None
        return Basis(
            say("own load + every accessory tapped here"),
            _inputs(v),
            say("limit as entered for this slot") if entered else facts.contact_source(slot.family),
        )


class HostFuse(HopKind):
    """The vehicle's own fuse: its own load, and the accessories that pass it."""

    key = "host_fuse"
    printed = True

    def figures(self, s: Setting) -> Held:
        return _held(s, s.a.slots.host_a, s.a.slots.host_limit_a)

    def title(self, v: View) -> Text:
        slot = _slot(v)
        if slot.fuse is None:
            return say("Host fuse {slot}", slot=look_up.slot_words(slot))
        fuse = fuse_words(slot.fuse)
        return say("Host fuse {slot}, {fuse}", slot=look_up.slot_words(slot), fuse=fuse)

    def basis(self, v: View) -> Basis:
        ambient = float(v.a.slots.ambient_c[v.a.slots.index[v.tap.slot or ""]])
        carries = v.a.circuit.taps.through_host[v.column] > 0
        return Basis(
            say(
                "own load + accessories that pass the host fuse; limit = share × rating × rerating "
                "at the ambient, or the maker's table where that is lower"
            ),
            (
                *_inputs(v),
                (say("This tap passes the host fuse"), say("yes") if carries else say("no")),
                v.rule("continuous_share"),
                (say("Ambient"), Amount(ambient, "°C")),
            ),
            v.a.rules["continuous_share"].source,
        )


HOPS: Final = (LiveContact(), HostFuse())
