"""The chain of one tap in words: battery, feeds, slot, tap, fuse, cable, accessory and back.

The figures are those of `hops`; here each gets its title, its sum and its source. A chain is put
together when somebody looks at it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from fusemap.assess import facts
from fusemap.assess.result import Basis, Chain, Hop
from fusemap.electrics.cable import awg_name, nearest_awg
from fusemap.units import digits, quantity
from fusemap.vehicle import STATES, Cable, Fuse, Tap, look_up

if TYPE_CHECKING:
    from fusemap.assess.assessment import Assessment

KIRCHHOFF = "currents at a junction add up (Kirchhoff's current law)"
TAP_WORDS = {
    "two_fuse": "Two-fuse tap",
    "take_off_lead": "Fuse with take-off lead",
    "splice": "Splice",
    "own_feed": "Own feed",
}
WAY_WORDS = {"live_side": "on the live side", "load_side": "on the load side (reversed)"}


class Chains(Mapping[str, Chain]):
    """All chains by tap id, each made when it is asked for."""

    def __init__(self, assessment: Assessment) -> None:
        self._assessment = assessment
        self._made: dict[str, Chain] = {}

    def __getitem__(self, tap_id: str) -> Chain:
        if tap_id not in self._made:
            self._made[tap_id] = make_chain(self._assessment, tap_id)
        return self._made[tap_id]

    def __iter__(self) -> Iterator[str]:
        return iter(self._assessment.taps.ids)

    def __len__(self) -> int:
        return len(self._assessment.taps.ids)


@dataclass(frozen=True, eq=False)
class View:
    """One tap with everything its words are taken from."""

    assessment: Assessment
    tap: Tap
    column: int

    @property
    def rating(self) -> Fuse | None:
        """The fuse that protects the cable."""
        return self.assessment.circuit.cables.protecting[self.column]

    def rule(self, key: str) -> tuple[str, str]:
        """A named rule as an input of a sum."""
        rule = self.assessment.rules[key]
        return rule.label, quantity(rule.value, rule.unit) if rule.unit else f"{rule.value:g}"

    def figure(self, key: str) -> tuple[float, float]:
        """Load and limit of a hop."""
        hop = self.assessment.hops[key]
        return float(hop.load[self.column]), float(hop.limit[self.column])


def make_chain(assessment: Assessment, tap_id: str) -> Chain:
    """The chain of one tap, from the battery's side to the accessory and back."""
    tap = look_up.tap(assessment.vehicle, tap_id)
    view = View(assessment, tap, assessment.taps.index[tap_id])
    hops = [*_feed_hops(view)]
    for key, figures in assessment.hops.items():
        load, limit = view.figure(key)
        if not figures.given[view.column]:
            continue
        row = int(figures.state[view.column])
        title, what, basis = WORDS[key](view)
        hops.append(
            Hop(
                key=key,
                title=title,
                quantity=what,
                load=load,
                limit=limit,
                unit=figures.unit,
                basis=basis,
                state=None if row < 0 else STATES[row],
                at_most=figures.at_most,
            )
        )
    name = look_up.accessory(assessment.vehicle, tap.accessory).name
    lead = "" if tap.lead == "power" else f", {tap.lead} lead"
    return Chain(tap_id, f"{name}{lead}: {source_name(assessment, tap)}", tuple(hops))


def source_name(assessment: Assessment, tap: Tap) -> str:
    """Where a tap takes its current from, as people say it."""
    if tap.slot is not None:
        slot = look_up.slot(assessment.vehicle, tap.slot)
        return " ".join(part for part in (look_up.slot_name(slot), slot.circuit) if part)
    if tap.feed is not None:
        return look_up.feed(assessment.vehicle, tap.feed).name
    return "battery"


def _feed_hops(view: View) -> Iterator[Hop]:
    """The feeds above a tap, from the battery downwards; those without any limit are left out."""
    a = view.assessment
    feed_id = (
        look_up.slot(a.vehicle, view.tap.slot).feed if view.tap.slot is not None else view.tap.feed
    )
    chain = []
    while feed_id is not None:
        feed = look_up.feed(a.vehicle, feed_id)
        chain.append(feed)
        feed_id = feed.parent
    for feed in reversed(chain):
        column = a.feeds.index[feed.id]
        limit = float(a.feeds.limit_a[column])
        if not np.isfinite(limit):
            continue
        load = a.feeds.current_a[:, column]
        state = STATES[int(load.argmax())]
        yield Hop(
            key=f"feed:{feed.id}",
            title=f"Feed “{feed.name}”",
            quantity="current",
            load=float(load.max()),
            limit=limit,
            unit="A",
            state=state,
            basis=Basis(
                "everything that hangs below this feed, summed; the tighter of its own limit and "
                "what its fuse carries for long",
                (
                    ("Own limit", "not given" if feed.limit_a is None else f"{feed.limit_a:g} A"),
                    ("Fuse", "none given" if feed.fuse is None else fuse_words(feed.fuse)),
                ),
                KIRCHHOFF,
            ),
        )


def fuse_words(fuse: Fuse) -> str:
    """A fuse as people say it: "10 A mini"."""
    return f"{fuse.rating:g} A {facts.family_name(fuse.family)}"


def cable_words(cable: Cable) -> str:
    """A cable with both gauges: "1.5 mm² (AWG 15), 2.5 m"."""
    awg = awg_name(int(nearest_awg(cable.section_mm2)))
    return f"{cable.section_mm2:g} mm² (about AWG {awg}), {cable.length_m:g} m"


Words = tuple[str, str, Basis]


def _live_contact(v: View) -> Words:
    slot = look_up.slot(v.assessment.vehicle, v.tap.slot or "")
    given = slot.contact_limit_a is not None
    return (
        f"Live contact of {look_up.slot_name(slot)}",
        "current",
        Basis(
            "own load + every accessory tapped here",
            _slot_inputs(v),
            "limit as entered for this slot" if given else facts.contact_source(slot.family),
        ),
    )


def _slot_inputs(v: View) -> tuple[tuple[str, str], ...]:
    slots = v.assessment.slots
    column = slots.index[v.tap.slot or ""]
    row = int(slots.live_contact_a[:, column].argmax())
    return (
        ("Own load", quantity(float(slots.own_a[row, column]), "A")),
        ("Accessories", quantity(float(slots.accessory_a[row, column]), "A")),
        ("State", STATES[row]),
    )


def _limit_inputs(v: View, ambient_c: float) -> tuple[tuple[str, str], ...]:
    return (v.rule("continuous_share"), ("Ambient", quantity(ambient_c, "°C")))


def _host_fuse(v: View) -> Words:
    slot = look_up.slot(v.assessment.vehicle, v.tap.slot or "")
    name = look_up.slot_name(slot)
    column = v.assessment.slots.index[slot.id]
    carries = v.assessment.circuit.taps.through_host[v.column] > 0
    fuse = "" if slot.fuse is None else f", {fuse_words(slot.fuse)}"
    return (
        f"Host fuse {name}{fuse}",
        "current",
        Basis(
            "own load + accessories that pass the host fuse; limit = share × rating × rerating at "
            "the ambient, or the maker's table where that is lower",
            (
                *_slot_inputs(v),
                ("This tap passes the host fuse", "yes" if carries else "no"),
                *_limit_inputs(v, float(v.assessment.slots.ambient_c[column])),
            ),
            v.assessment.rules["continuous_share"].source,
        ),
    )


def _tap(v: View) -> Words:
    own = v.tap.ceiling_a is not None
    rule = v.assessment.rules["tap_kit_ceiling_a"]
    way = WAY_WORDS[v.tap.way_round]
    return (
        f"{TAP_WORDS[v.tap.kind]}, {way}",
        "current",
        Basis(
            "the accessory's current against what the tap may carry",
            (("Ceiling", "the tap's own figure" if own else rule.label),),
            "as entered for this tap" if own else rule.source,
        ),
    )


def _accessory_fuse(v: View) -> Words:
    fuse = v.tap.fuse
    assert fuse is not None  # the hop exists only with a fuse
    return (
        f"Accessory fuse, {fuse_words(fuse)}",
        "current",
        Basis(
            "current the accessory draws at the voltage it gets; limit = share × rating × rerating "
            "at the ambient, or the maker's table where that is lower",
            (*_asked_inputs(v), v.rule("continuous_share")),
            v.assessment.rules["continuous_share"].source,
        ),
    )


def _asked_inputs(v: View) -> tuple[tuple[str, str], ...]:
    accessory = look_up.accessory(v.assessment.vehicle, v.tap.accessory)
    asked = (
        f"{accessory.watts:g} W ÷ {accessory.rated_v:g} V"
        if accessory.watts is not None
        else f"{accessory.amperes:g} A at {accessory.rated_v:g} V"
    )
    return (("Rated", asked), ("Load kind", accessory.load_kind.replace("_", " ")))


def _inrush(v: View) -> Words:
    accessory = look_up.accessory(v.assessment.vehicle, v.tap.accessory)
    return (
        "Inrush through the accessory fuse",
        "I²t",
        Basis(
            "(peak current)² × duration against 22 % of the fuse's melting I²t (100 000 starts; "
            "the share is taken over from other fuses by analogy)",
            (
                ("Peak", f"{accessory.inrush_multiple:g} × rated current"),
                ("Duration", quantity(accessory.inrush_s, "s")),
            ),
            "Littelfuse fuse catalogue 2017, pulse table; melting I²t: "
            + facts.melting_source(v.tap.fuse),
        ),
    )


def _cable_inputs(v: View) -> tuple[tuple[str, str], ...]:
    found = []
    for name, cable in (("Out", v.tap.cable_out), ("Back", v.tap.cable_back)):
        found.append((name, "by the body" if cable is None else cable_words(cable)))
    return tuple(found)


def _section(v: View) -> Words:
    return (
        "Cable, mechanical strength",
        "section",
        Basis(
            "thinner cable breaks in a vehicle before it gets warm",
            (*_cable_inputs(v), v.rule("mechanical_floor_mm2")),
            v.assessment.rules["mechanical_floor_mm2"].source,
        ),
    )


def _heat(which: str) -> Callable[[View], Words]:
    def words(v: View) -> Words:
        cable = v.tap.cable_out if which == "out" else v.tap.cable_back
        assert cable is not None  # the hop exists only with a cable
        run = getattr(v.assessment.circuit.cables, which)
        wire = facts.wire(cable.section_mm2, cable.insulation)
        together = f", {cable.bundle} loaded together" if cable.bundle > 1 else ""
        return (
            f"Cable {which}, {cable_words(cable)}{together}",
            "conductor temperature",
            Basis(
                "I²R(T) = (T − T surface)/R insulation = heat given off by convection and radiation"
                "; good to ±20 %",
                (
                    ("Ambient", quantity(float(run.ambient_c[v.column]), "°C")),
                    ("Resistance at 20 °C", f"{wire.r20_mohm_per_m:.3g} mΩ/m"),
                    ("Insulation", cable.insulation.upper()),
                ),
                f"conductor: {wire.source}; heat: Churchill–Chu, horizontal cylinder in still air",
            ),
        )

    return words


def _protected_by(v: View) -> tuple[str, str]:
    return "Protected by", "no fuse" if v.rating is None else fuse_words(v.rating)


def _protection_source(v: View) -> str:
    if v.rating is None:
        return ""
    multiple = v.assessment.rule("overload_multiple")
    known = facts.protection(v.rating.family, v.rating.rating, multiple)
    return "" if known is None else known.source


def _overload_points(v: View) -> str:
    multiple = v.assessment.rule("overload_multiple")
    known = None
    if v.rating is not None:
        known = facts.protection(v.rating.family, v.rating.rating, multiple)
    points = () if known is None else known.overloads
    return ", ".join(f"{times:g} × for {digits(seconds)} s" for times, seconds in points)


def _overload(v: View) -> Words:
    return (
        "Cable while its fuse lets an overload pass",
        "conductor temperature",
        Basis(
            "a fuse may carry so many times its rating for so long; the conductor's temperature at "
            "the worst of these points",
            (_protected_by(v), ("Published points", _overload_points(v)), *_cable_inputs(v)),
            _protection_source(v),
        ),
    )


def _short(v: View) -> Words:
    return (
        "Cable in a hard short",
        "I²t",
        Basis(
            "I²t the fuse lets through ≤ (k × section)², no heat leaving the copper",
            (_protected_by(v), *_cable_inputs(v)),
            f"IEC 60364-4-43; {_protection_source(v)}",
        ),
    )


def _far_end(v: View) -> Words:
    a = v.assessment
    cables = a.circuit.cables
    ohm = float(cables.fault_ohm()[v.column])
    above = float(a.upstream_ohm[v.column])
    return (
        "Short at the far end: does the fuse open?",
        "fault current",
        Basis(
            "lowest source voltage ÷ (source + feeds + slot + fuse + cables at 85 °C + return), "
            "as a multiple of the fuse's rating",
            (
                ("Voltage", quantity(float(a.circuit.emf_v.min()), "V")),
                ("Cables, warm", quantity(ohm, "Ω")),
                ("Everything else", quantity(above, "Ω")),
                _protected_by(v),
            ),
            a.rules["far_end_multiple"].source,
        ),
    )


def _drop(v: View) -> Words:
    row = int(v.assessment.hops["drop"].state[v.column])
    return (
        "Voltage drop, slot to accessory and back",
        "voltage drop",
        Basis(
            "current × (joint + fuse + cable out + return), cables at working temperature",
            (
                *_cable_inputs(v),
                ("Current", quantity(float(v.assessment.taps.current_a[row, v.column]), "A")),
                v.rule("allowed_drop_share"),
            ),
            v.assessment.rules["allowed_drop_share"].source,
        ),
    )


def _voltage(v: View) -> Words:
    row = int(v.assessment.hops["voltage"].state[v.column])
    return (
        "Voltage at the accessory",
        "voltage",
        Basis(
            "source voltage less every drop on the way, in the state where it is lowest",
            (("Source", quantity(float(v.assessment.battery_v[row]), "V")),),
            "the accessory's own minimum, as entered",
        ),
    )


WORDS: Mapping[str, Callable[[View], Words]] = {
    "live_contact": _live_contact,
    "host_fuse": _host_fuse,
    "tap": _tap,
    "accessory_fuse": _accessory_fuse,
    "inrush": _inrush,
    "section": _section,
    "heat_out": _heat("out"),
    "heat_back": _heat("back"),
    "overload": _overload,
    "short": _short,
    "far_end": _far_end,
    "drop": _drop,
    "voltage": _voltage,
}
"""Title, quantity and basis of each kind of hop."""
