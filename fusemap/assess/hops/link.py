"""Hops of the link between two batteries: its fuses, its cable's warmth, and what protects that.

Together they stand above everything that hangs on the second battery. In: the figures of `link`.
"""

from collections.abc import Iterator
from typing import Final

from fusemap.assess import facts
from fusemap.assess.battery import CHARGER_SHARE
from fusemap.assess.figures import Figures
from fusemap.assess.hops.cable_limits import (
    HEAT_RULE,
    HEAT_SUM,
    OVERLOAD_SUM,
    SHORT_RULE,
    SHORT_SUM,
    far_end_breach,
    heat_source,
)
from fusemap.assess.hops.kind import Breach, Input
from fusemap.assess.hops.limit import Limit
from fusemap.assess.link import Guard, Heat, Link, link_of
from fusemap.assess.result import Basis, Hop, HopKey
from fusemap.assess.verdict import Ground
from fusemap.assess.words import cable_words, fuse_words
from fusemap.electrics.protection import FAULT_CABLE_C
from fusemap.text import NOTHING, Amount, Text, given, say, share
from fusemap.vehicle import STATES

NAN: Final = float("nan")
CHARGER_UNKNOWN: Final = say("what the charger between the batteries takes is not entered")
NO_CABLE: Final = say("the cable of the link is not entered")
ONE_END: Final = say("the link has no fuse at one of its ends")
THICKER: Final = say("Use a thicker cable for the link, or smaller fuses at its ends.")


def link_hops(a: Figures) -> tuple[Limit, ...]:
    """The limits of the link, in the order of the current; none where there is none."""
    link = link_of(a)
    return () if link is None else tuple(_limits(a, link))


def _limits(a: Figures, link: Link) -> Iterator[Limit]:
    if link.near is not None:
        title = say("Fuse of the link at the starter battery")
        yield _fuse(a, link, link.near, "link_near_fuse", title)
    yield _heat(link)
    yield _overload(a, link)
    yield _short(a, link)
    yield _far_end(a, link)
    if link.far is not None:
        title = say("Fuse of the link at the second battery")
        yield _fuse(a, link, link.far, "link_far_fuse", title)


def _hop(
    key: HopKey,
    title: Text,
    quantity: Text,
    unit: str,
    ends: tuple[float, float],
    limit: float,
    basis: Basis,
    ground: Ground,
    missing: Text = NOTHING,
    *,
    at_most: bool = True,
    driving: bool = False,
    least: float | None = None,
) -> Hop:
    """One of them; where something is missing it cannot be checked."""
    known, most = ends
    blind = bool(missing)
    return Hop(
        key=key,
        title=title,
        quantity=quantity,
        load=known,
        most=most,
        limit=NAN if blind else limit,
        least=None if blind else least,
        unit=unit,
        basis=Basis(missing) if blind else basis,
        state=STATES[-1] if driving and not blind else None,
        at_most=at_most,
        ground="none" if blind else ground,
        missing=missing,
    )


def _inputs(link: Link) -> tuple[Input, ...]:
    """Cable and fuses of the link as inputs of a sum."""
    second = link.second
    ends = (
        (say("Fuse at the starter battery"), second.near_fuse),
        (say("Fuse at the second battery"), second.far_fuse),
    )
    cable = say("not entered") if second.link_cable is None else cable_words(second.link_cable)
    guards = ((name, say("no fuse") if f is None else fuse_words(f)) for name, f in ends)
    return ((say("Cable"), cable), *guards)


def _flow(link: Link) -> tuple[Text, tuple[Input, ...]]:
    """How the current in it came about."""
    if link.second.link == "dcdc":
        return say("what the charger takes from the starter battery’s side"), (
            (say("Charger"), Amount(link.known_a, "A")),
            (say("Share of it that comes out"), share(CHARGER_SHARE)),
        )
    return (
        say(
            "what hangs on the second battery and what that takes as charge while the engine runs, "
            "no more than the link lets pass; at the most an empty battery"
        ),
        ((say("Current"), Amount(link.known_a, "A")), (say("At most"), Amount(link.most_a, "A"))),
    )


def _unknown(link: Link) -> Text:
    return CHARGER_UNKNOWN if link.known_a != link.known_a else NOTHING


def _fuse(a: Figures, link: Link, guard: Guard, key: HopKey, title: Text) -> Limit:
    formula, inputs = _flow(link)
    rule, fuse = a.rules["continuous_share"], guard.fuse
    hop = _hop(
        key,
        title,
        say("current"),
        "A",
        (guard.known_a, guard.most_a),
        guard.limit_a,
        Basis(formula, (*inputs, (rule.label, rule.value)), rule.source),
        facts.fuse_ground(fuse.family, fuse.rating),
        _unknown(link),
        driving=True,
        least=guard.least_a,
    )
    what = say("A fuse of the link between the batteries carries more than it may for long.")
    remedy = say("Fit the next larger fuse that the cable bears, or a charger that takes less.")
    breach = Breach("caution", what, rule.label, remedy)
    return Limit(hop, "link_fuse_overloaded", breach, dangerous=False)


def _heat(link: Link) -> Limit:
    title, quantity = say("Cable of the link, its warmth"), say("conductor temperature")
    formula, inputs = _flow(link)
    breach = Breach(
        "stop",
        say("The cable between the batteries gets hotter than its insulation bears."),
        HEAT_RULE,
        THICKER,
    )
    heat, cable = link.heat, link.second.link_cable
    missing = NO_CABLE if heat is None else _unknown(link)
    basis, ends, limit = Basis(NOTHING), (NAN, NAN), NAN
    if heat is not None and cable is not None:
        ends, limit = (heat.known_c, heat.most_c), heat.limit_c
        wire = facts.wire(cable.section_mm2, cable.insulation)
        flows = (say("What flows"), formula)
        basis = Basis(HEAT_SUM, (*_inputs(link), flows, *inputs), heat_source(wire))
    hop = _hop(
        "link_heat", title, quantity, "°C", ends, limit, basis, "published", missing, driving=True
    )
    return Limit(hop, "link_cable_too_hot", breach)


def _protected(link: Link) -> tuple[Heat | None, Text]:
    """The cable's figures, and what is missing to say whether its fuses protect it."""
    if link.heat is None:
        return None, NO_CABLE
    return link.heat, NOTHING if link.near is not None and link.far is not None else ONE_END


def _ground(a: Figures, link: Link) -> Ground:
    multiple = a.rule("overload_multiple")
    known = [
        facts.protection(guard.fuse.family, guard.fuse.rating, multiple).published
        for guard in (link.near, link.far)
        if guard is not None
    ]
    return "published" if all(known) else "analogy"


def _overload(a: Figures, link: Link) -> Limit:
    heat, missing = _protected(link)
    found = NAN if heat is None else heat.overload_c
    rule = a.rules["overload_multiple"]
    hop = _hop(
        "link_overload",
        say("Cable of the link while a fuse lets an overload pass"),
        say("conductor temperature"),
        "°C",
        (found, found),
        NAN if heat is None else heat.overload_limit_c,
        Basis(
            OVERLOAD_SUM,
            _inputs(link),
            rule.source,
        ),
        _ground(a, link),
        missing,
    )
    what = say("A fuse lets an overload pass long enough to overheat the cable of the link.")
    return Limit(hop, "link_cable_overload", Breach("stop", what, rule.label, THICKER))


def _short(a: Figures, link: Link) -> Limit:
    heat, missing = _protected(link)
    found = NAN if heat is None else heat.through_a2s
    hop = _hop(
        "link_short",
        say("Cable of the link in a hard short"),
        say("I²t"),
        "A²s",
        (found, found),
        NAN if heat is None else heat.bears_a2s,
        Basis(
            SHORT_SUM,
            _inputs(link),
            "IEC 60364-4-43",
        ),
        _ground(a, link),
        missing,
    )
    what = say("A short circuit overheats the cable of the link before a fuse has opened.")
    return Limit(hop, "link_cable_short", Breach("stop", what, SHORT_RULE, THICKER))


def _far_end(a: Figures, link: Link) -> Limit:
    """The worse of both ends: each fuse has to open for a short at the other end of the cable."""
    heat, missing = _protected(link)
    rule = a.rules["far_end_multiple"]
    times = [g.short_a / g.fuse.rating for g in (link.near, link.far) if g is not None]
    found = NAN if heat is None or missing else min(times)
    hop = _hop(
        "link_far_end",
        say("Short at the far end of the link: does each fuse open?"),
        say("fault current"),
        "× rating",
        (found, found),
        rule.value,
        Basis(
            say(
                "voltage of a low battery ÷ (battery + fuse + cable at {warm} + body), from either "
                "end, as a multiple of the fuse there",
                warm=given(FAULT_CABLE_C, "°C"),
            ),
            _inputs(link),
            rule.source,
        ),
        rule.ground,
        missing,
        at_most=False,
    )
    breach = far_end_breach(found, a.rule("far_end_multiple_least"), rule, THICKER)
    return Limit(hop, "link_cable_far_end", breach)
