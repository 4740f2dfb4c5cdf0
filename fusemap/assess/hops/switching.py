"""Hops of what switches a lead: its coil, the switch, the relay, and how the load starts."""

from abc import abstractmethod
from collections.abc import Iterator
from typing import Final, NamedTuple

import numpy as np

from fusemap.assess import facts
from fusemap.assess.hops.kind import Breach, Held, HopKind, Input, Setting, View
from fusemap.assess.hops.slot import asked_inputs
from fusemap.assess.result import Basis, worst
from fusemap.assess.verdict import Ground
from fusemap.assess.words import AS_ENTERED
from fusemap.electrics.fuses import LONGEST_PULSE_S, inrush_check, pulse_i2t
from fusemap.text import Amount, Text, Words, given, say
from fusemap.vehicle import Accessory, Fuse, Tap, look_up
from fusemap.vehicle.words import CLOSED_BY, SWITCH


class Sense(HopKind):
    """What a sense lead asks of its circuit, with the relay coil that hangs on it."""

    key = "sense"
    code = "sense_overloaded"

    def figures(self, s: Setting) -> Held:
        sense = np.array([tap.lead == "sense" for tap in s.circuit.taps.taps])
        budget = np.full(s.count, s.rules["sense_budget_ma"] / 1000)
        return Held(np.where(sense, s.peak_a, np.nan), budget, s.peak_state)

    def title(self, v: View) -> Text:
        return say("Sense lead and what it drives")

    def ground(self, v: View) -> Ground:
        return v.rule_ground("sense_budget_ma")

    def basis(self, v: View) -> Basis:
        return Basis(
            say("current of the accessory's sense lead, and of the relay coil that hangs on it"),
            (
                (say("The accessory itself"), Amount(v.accessory.sense_a, "A")),
                *self._coil(v),
                v.rule("sense_budget_ma"),
            ),
            v.a.rules["sense_budget_ma"].source,
        )

    def _coil(self, v: View) -> Iterator[Input]:
        relay = look_up.tap_of(v.a.vehicle, v.tap.accessory)
        if relay is None or not relay.relay:
            return
        coil = relay.relay_coil_a
        if coil is None:
            rule = Amount(v.a.rule("relay_coil_ma") / 1000, "A")
            words = say("{current} (the rule’s)", current=rule)
        else:
            words = say("{current} (as entered)", current=Amount(coil, "A"))
        yield say("Relay coil, 86 to 85"), words

    def breach(self, v: View) -> Breach:
        return Breach(
            "caution",
            say("The sense lead asks more of its circuit than a sense lead may."),
            v.a.rules["sense_budget_ma"].label,
            say("Use a relay with a smaller coil, or drive it from a slot with room for it."),
        )


class Contact(HopKind):
    """A contact in a lead: what it says that it carries, or a rule's figure, less on 24 V."""

    contact_rule: str

    @abstractmethod
    def is_in(self, tap: Tap) -> bool:
        """Whether this tap has such a contact."""

    @abstractmethod
    def own_limit_a(self, tap: Tap) -> float | None:
        """What its own contact carries [A], as entered; `None` where nobody said."""

    def figures(self, s: Setting) -> Held:
        taps = s.circuit.taps.taps
        there = np.array([self.is_in(tap) for tap in taps], dtype=bool)
        on_24v = s.rules["relay_24v_share"] if s.a.vehicle.system_v == 24 else 1.0
        rule = s.rules[self.contact_rule] * on_24v
        own = (self.own_limit_a(tap) for tap in taps)
        limit = np.array([rule if each is None else each for each in own], dtype=float)
        return Held(np.where(there, s.peak_a, np.nan), limit, s.peak_state)

    def ground(self, v: View) -> Ground:
        return v.rule_ground(self.contact_rule) if self.own_limit_a(v.tap) is None else "user"

    def contact(self, v: View) -> tuple[Input, ...]:
        """The limit as inputs of a sum: as entered, or the rules that stand in for it."""
        if self.own_limit_a(v.tap) is not None:
            return ((say("Contact"), AS_ENTERED),)
        on_24v = ("relay_24v_share",) if v.a.vehicle.system_v == 24 else ()
        return tuple(v.rule(key) for key in (self.contact_rule, *on_24v))

    def limit_source(self, v: View, entered: Text) -> Words:
        """Where the limit is from; `entered` where the contact says it itself."""
        known = self.own_limit_a(v.tap) is not None
        return entered if known else v.a.rules[self.contact_rule].source


class SwitchContact(Contact):
    """The contact of a switch in a lead: in a relay's coil wire, or in the power lead itself."""

    key = "switch"
    code = "switch_overloaded"
    contact_rule = "switch_contact_a"

    def is_in(self, tap: Tap) -> bool:
        return tap.switch in CLOSED_BY

    def own_limit_a(self, tap: Tap) -> float | None:
        return tap.switch_limit_a

    def title(self, v: View) -> Text:
        return say("Contact of the switch")

    def basis(self, v: View) -> Basis:
        return Basis(
            say(
                "what flows in this lead against what its switch may carry; on 24 V one that does "
                "not say carries a share of it only"
            ),
            ((say("Through"), SWITCH[v.tap.switch]), *self.contact(v)),
            self.limit_source(v, say("as entered for this switch")),
        )

    def breach(self, v: View) -> Breach:
        return Breach(
            "stop",
            say("The switch in this lead carries more than it may."),
            v.a.rules[self.contact_rule].label,
            say("Let the switch drive a relay's coil only, or use one that is made for it."),
        )


class RelayContact(Contact):
    """A relay's contact in an own feed."""

    key = "relay"
    code = "relay_overloaded"
    contact_rule = "relay_contact_a"

    def is_in(self, tap: Tap) -> bool:
        return tap.relay and tap.lead == "power"

    def own_limit_a(self, tap: Tap) -> float | None:
        return tap.relay_limit_a

    def title(self, v: View) -> Text:
        return say("Relay contact, 30 to 87")

    def basis(self, v: View) -> Basis:
        return Basis(
            say(
                "the accessory's current against what the relay's contact may carry; on 24 V a "
                "relay that does not say carries a share of it only"
            ),
            (*asked_inputs(v), *self.contact(v)),
            self.limit_source(v, say("as entered for this relay")),
        )

    def breach(self, v: View) -> Breach:
        return Breach(
            "stop",
            say("The relay's contact carries more than it may."),
            v.a.rules[self.contact_rule].label,
            say("Use a relay for more current, or two of them with half the load each."),
        )


class Inrush(HopKind):
    """A short start against the fuse's melting I²t; a long one is load, see `AccessoryFuse`.

    Of motors, filament lamps and inputs that charge a converter nobody may have said how they
    start: then nothing is known of it, and the most is a rule's. Where the fuse's figure is not
    published one by analogy warns, but says of no start that it is too much.
    """

    key = "inrush"
    quantity = say("I²t")
    unit = "A²s"
    code = "inrush"
    dangerous = False
    own = True

    def figures(self, s: Setting) -> Held:
        load, melting = s.blank(), s.blank()
        starts = list(_starts(s))
        at = [i for i, _fuse, _start in starts]
        asked = worst(s.circuit.taps.asked_a)[at]
        peak = asked * np.array([start.times for _, _, start in starts], dtype=float)
        seconds = np.array([start.seconds for _, _, start in starts], dtype=float)
        pulse = np.asarray(pulse_i2t("constant", peak, seconds))
        for (i, fuse, start), i2t, most_a in zip(
            starts, pulse.tolist(), peak.tolist(), strict=True
        ):
            own = facts.melting_i2t(fuse.family, fuse.rating)
            certain = start.certain and own is not None
            load[i] = i2t if certain or s.at_most else 0.0
            found = facts.like_melting_i2t(fuse.family, fuse.rating, most_a) if own is None else own
            melting[i] = np.nan if found is None else found
        limit, held = s.blank(), ~np.isnan(melting)
        limit[held] = inrush_check(0.0, melting[held]).limit
        return Held(load, limit)

    def title(self, v: View) -> Text:
        return say("Inrush through the accessory fuse")

    def blind(self, s: Setting) -> np.ndarray:
        found = np.zeros(s.count, dtype=bool)
        found[[i for i, _fuse, _start in _starts(s)]] = True
        return found

    def missing(self, v: View) -> Text:
        return say("what its fuse melts at is not published, nor that of a like fuse")

    def ground(self, v: View) -> Ground:
        fuse = v.tap.fuse
        if fuse is None:
            return "none"
        return "published" if facts.melting_source(fuse) else "analogy"

    def basis(self, v: View) -> Basis:
        start = _start(v.accessory, v.a.rule_values)
        assert start is not None  # the hop exists only with one
        melting = facts.melting_source(v.tap.fuse)
        return Basis(
            say(
                "(peak current)² × duration against 22 % of the fuse's melting I²t (100 000 starts;"
                " the share is taken over from other fuses by analogy)"
            ),
            (
                (
                    say("Peak") if start.certain else say("Peak, not known, at most"),
                    say("{times} × rated current", times=given(start.times)),
                ),
                (say("Duration"), Amount(start.seconds, "s")),
            ),
            say(
                "Littelfuse fuse catalogue 2017, pulse table; melting I²t: {source}",
                source=melting or say("the least of a like fuse, by analogy"),
            ),
        )

    def breach(self, v: View) -> Breach:
        return Breach(
            "caution",
            say("Switching on wears the accessory fuse out."),
            say("pulse I²t at most 22 % of the fuse's melting I²t for 100 000 starts"),
            say(
                "Choose the next larger fuse with a cable to match. A soft start helps a motor, not"
                " a heater or a glow plug."
            ),
        )


class Start(NamedTuple):
    """How a load starts: times its rated current, for so long [s]; `certain` if entered."""

    times: float
    seconds: float
    certain: bool


def _start(accessory: Accessory, rules: dict[str, float]) -> Start | None:
    """The short start of an accessory, entered or the most of its kind; `None` without one."""
    if accessory.inrush_s > 0:
        short = accessory.inrush_s <= LONGEST_PULSE_S
        return Start(accessory.inrush_multiple, accessory.inrush_s, True) if short else None
    kind = "input" if accessory.converter is not None else accessory.load_kind
    if kind not in ("motor", "filament", "input"):
        return None
    return Start(rules[f"start_{kind}_times"], rules[f"start_{kind}_s"], False)


def _starts(s: Setting) -> Iterator[tuple[int, Fuse, Start]]:
    """The taps whose accessory has a short start: which, its fuse, and the start."""
    taps = s.circuit.taps
    for i, (tap, accessory) in enumerate(zip(taps.taps, taps.accessories, strict=True)):
        start = _start(accessory, s.rules)
        if tap.lead == "power" and tap.fuse is not None and start is not None:
            yield i, tap.fuse, start


HOPS: Final = (Sense(), SwitchContact(), RelayContact(), Inrush())
