"""Fixes along a chain: accessory fuse, cable, joint, relay.

In: a `Case` about a tap. Out: `Fix`es. Sections, fuses and lengths are tried one after the other
until the finding is gone: the first that helps is the smallest change that does.
"""

from collections.abc import Iterator
from functools import partial
from typing import Any, Final

from msgspec.structs import replace

from fusemap import tables
from fusemap.advise.advice import Route, ceilings, tap_advice, tap_fuse
from fusemap.advise.proposal import proposal
from fusemap.assess import assess
from fusemap.errors import FusemapError
from fusemap.fixes.fix import Case, Fix
from fusemap.fixes.source import name_of, taps_at
from fusemap.placement.rooms import Ask, ask_of
from fusemap.placement.suggest import (
    FIRST_LENGTH_M,
    OWN_FEED_FAMILIES,
    OWN_FEED_LENGTH_M,
    own_feed_fuse,
    suggest_cable,
    suggest_fuse,
)
from fusemap.text import Section, Text, given, say
from fusemap.vehicle import Cable, Fuse, Tap, Vehicle, edits, look_up
from fusemap.vehicle.words import LeadSwitch

RELAYS_A: Final = (40.0, 50.0, 70.0, 100.0, 150.0, 200.0, 300.0)
"""Usual contacts of larger relays [A]; from memory."""
TIMERS_MIN: Final = (15.0, 60.0)
"""Usual settings of a timer [min]; from memory."""
SWITCHES_A: Final = (16.0, 20.0, 30.0, 50.0)
"""Usual contacts of larger switches [A]; from memory."""
COILS_A: Final = (0.15, 0.12, 0.1, 0.05, 0.01)
"""Coils of smaller relays, the last of an electronic one [A]; from memory."""
COOLER: Final = "xlpe"
SHORTEST_M = 0.3


# --- fuse and cable together ----------------------------------------------------------------------


def adopt_proposal(case: Case) -> Iterator[Fix]:
    """The fuse and the section with which every hop of the tap holds."""
    for tap in taps_at(case):
        changes = proposal(case.a, tap.id).changes
        if changes:
            edit = partial(edits.change_tap, tap_id=tap.id, **changes)
            yield Fix(_adopt_words(changes), edit)


def _adopt_words(changes: dict[str, Any]) -> Text:
    fuse: Fuse | None = changes.get("fuse")
    out: Cable | None = changes.get("cable_out")
    if fuse is not None and out is not None:
        return say(
            "Fit an accessory fuse of {rating} and a cable of {section}",
            rating=given(fuse.rating, "A"),
            section=Section(out.section_mm2),
        )
    if fuse is not None:
        return say("Fit an accessory fuse of {rating}", rating=given(fuse.rating, "A"))
    if out is not None:
        return say("Fit a cable of {section}", section=Section(out.section_mm2))
    back: Cable = changes["cable_back"]
    return say("Fit a return cable of {section}", section=Section(back.section_mm2))


# --- cable ----------------------------------------------------------------------------------------


def thicken_cable(case: Case) -> Iterator[Fix]:
    """The section that passes every check, else the smallest that removes the finding."""
    for tap in taps_at(case):
        if tap.cable_out is not None:
            advice = tap_advice(case.a, tap.id).cable
            right = None if advice is None else advice.area_mm2
            yield from case.first(_thicker_cables(tap, right or 0.0))


def _thicker_cables(tap: Tap, least_mm2: float) -> Iterator[Fix]:
    thinnest = min(cable.section_mm2 for _, cable in _cables(tap))
    for row in tables.standard_sections():
        if row.area_mm2 > thinnest and row.area_mm2 >= least_mm2:
            edit = partial(edits.change_tap, tap_id=tap.id, **_at_least(tap, row.area_mm2))
            yield Fix(say("Use a cable of {section}", section=Section(row.area_mm2)), edit)


def _at_least(tap: Tap, area_mm2: float) -> dict[str, Any]:
    """The tap's cables with a section of at least this."""
    return {
        name: replace(cable, section_mm2=max(cable.section_mm2, area_mm2))
        for name, cable in _cables(tap)
    }


def _cables(tap: Tap) -> Iterator[tuple[str, Cable]]:
    for name, cable in (("cable_out", tap.cable_out), ("cable_back", tap.cable_back)):
        if cable is not None:
            yield name, cable


def shorten_cable(case: Case) -> Iterator[Fix]:
    """The longest run that removes the finding, out and back cut alike."""
    for tap in taps_at(case):
        out = tap.cable_out
        if out is None or out.whole_m <= SHORTEST_M:
            continue
        low, high = 0, int(out.whole_m * 10 - 1e-9)
        if not case.is_removed_by(_cut(tap, SHORTEST_M)):
            continue
        low = int(SHORTEST_M * 10)
        while high - low > 0:
            middle = (low + high + 1) // 2
            low, high = (
                (middle, high) if case.is_removed_by(_cut(tap, middle / 10)) else (low, middle - 1)
            )
        title = say(
            "Shorten the cable from {now} to {length} or less",
            now=given(out.whole_m, "m"),
            length=given(low / 10, "m"),
        )
        yield Fix(title, _cut(tap, low / 10))


def _cut(tap: Tap, length_m: float) -> "partial[Vehicle]":
    assert tap.cable_out is not None  # asked for only with a cable
    share = length_m / tap.cable_out.whole_m
    cut: dict[str, Any] = {name: _times(c, share) for name, c in _cables(tap)}
    return partial(edits.change_tap, tap_id=tap.id, **cut)


def _times(cable: Cable, share: float) -> Cable:
    """A cable with every stretch so many times as long."""
    further = tuple(replace(s, length_m=round(s.length_m * share, 3)) for s in cable.further)
    return replace(cable, length_m=round(cable.length_m * share, 3), further=further)


def add_return_cable(case: Case) -> Iterator[Fix]:
    """A return cable of the same section in place of the body."""
    for tap in taps_at(case):
        if tap.cable_out is not None and tap.cable_back is None:
            edit = partial(edits.change_tap, tap_id=tap.id, cable_back=tap.cable_out)
            yield Fix(say("Bring the return back by a cable of the same section"), edit)


def bear_more_heat(case: Case) -> Iterator[Fix]:
    """An insulation that bears more heat, and a cable that lies apart from others."""
    for tap in taps_at(case):
        warm: dict[str, Any] = {
            n: replace(c, insulation=COOLER) for n, c in _cables(tap) if c.insulation != COOLER
        }
        if warm:
            yield Fix(
                say(
                    "Use cable with insulation that bears more heat ({insulation})",
                    insulation=tables.insulations()[COOLER].words,
                ),
                partial(edits.change_tap, tap_id=tap.id, **warm),
            )
        apart: dict[str, Any] = {n: replace(c, bundle=1) for n, c in _cables(tap) if c.bundle > 1}
        if apart:
            yield Fix(
                say("Lay it apart from the other loaded cables"),
                partial(edits.change_tap, tap_id=tap.id, **apart),
            )


def enter_cable(case: Case) -> Iterator[Fix]:
    """A first cable, to be replaced by what is measured."""
    for tap in taps_at(case):
        guard = case.a.circuit.cables.protecting[case.a.taps.index[tap.id]]
        accessory = look_up.accessory(case.vehicle, tap.accessory)
        fuse = guard or _first_fuse(case, tap)
        if fuse is None:
            continue
        slot = None if tap.slot is None else look_up.slot(case.vehicle, tap.slot)
        way = Route(FIRST_LENGTH_M) if slot else Route(OWN_FEED_LENGTH_M, place="engine_bay")
        feed = tap.feed if slot is None else slot.feed
        ask = ask_of(case.a, accessory, tap.lead)
        cable = suggest_cable(case.a, ask, fuse, feed, way)
        if cable is not None:
            yield Fix(
                say(
                    "Enter {section} over {length} for now; measure the way",
                    section=Section(cable.section_mm2),
                    length=given(cable.length_m, "m"),
                ),
                partial(edits.change_tap, tap_id=tap.id, cable_out=cable),
            )


# --- fuse -----------------------------------------------------------------------------------------


def fit_fuse(case: Case) -> Iterator[Fix]:
    """An accessory fuse where there is none."""
    for tap in taps_at(case):
        if tap.fuse is None:
            fuse = _first_fuse(case, tap)
            if fuse is not None:
                yield _with_fuse(case, tap, fuse)


def _first_fuse(case: Case, tap: Tap) -> Fuse | None:
    ask = _ask(case, tap)
    if tap.slot is None:
        return own_feed_fuse(case.a, ask)
    slot = look_up.slot(case.vehicle, tap.slot)
    warm = float(case.a.most.slots.ambient_c[case.a.slots.index[tap.slot]])
    return suggest_fuse(case.a, ask, slot, warm)


def _ask(case: Case, tap: Tap) -> Ask:
    return ask_of(case.a, look_up.accessory(case.vehicle, tap.accessory), tap.lead)


def fit_larger_fuse(case: Case) -> Iterator[Fix]:
    """The next larger accessory fuse that helps, with a cable to match."""
    for tap in taps_at(case):
        if tap.fuse is not None:
            most = min(ceilings(case.a, tap).values(), default=float("inf"))
            larger = [f for f in _ratings(tap, tap.fuse) if tap.fuse.rating < f.rating <= most]
            yield from case.first(_with_fuse(case, tap, fuse) for fuse in larger)


def fit_smaller_fuse(case: Case) -> Iterator[Fix]:
    """The smallest accessory fuse that carries the load, else the next one that helps."""
    for tap in taps_at(case):
        if tap.fuse is None:
            continue
        column = case.a.taps.index[tap.id]
        at = int(case.a.circuit.taps.slot[column])
        warm = case.a.rule("ambient_engine_bay_c") if at < 0 else case.a.most.slots.ambient_c[at]
        least = tap_fuse(case.a, column, tap.fuse.family, ambient_c=float(warm)).rating_a
        if least is not None:
            down = [f for f in _family(tap.fuse) if least <= f.rating < tap.fuse.rating]
            yield from case.first(_only_fuse(case, tap, fuse) for fuse in down)


def _ratings(tap: Tap, fuse: Fuse) -> list[Fuse]:
    """Every fuse of the family; beside the battery those of larger families too."""
    found = _family(fuse)
    if tap.slot is None:
        at = OWN_FEED_FAMILIES.index(fuse.family) if fuse.family in OWN_FEED_FAMILIES else -1
        for family in OWN_FEED_FAMILIES[at + 1 :]:
            found += _family(Fuse(family=family, rating=fuse.rating))
    return found


def _family(fuse: Fuse) -> list[Fuse]:
    ratings = tables.fuse_family(fuse.family).ratings_a
    return [Fuse(family=fuse.family, rating=rating) for rating in ratings]


def _only_fuse(case: Case, tap: Tap, fuse: Fuse) -> Fix:
    edit = partial(edits.change_tap, tap_id=tap.id, fuse=fuse)
    rating, name = given(fuse.rating, "A"), name_of(case, tap)
    if tap.lead == "power":
        title = say(
            "Fit an accessory fuse of {rating} for “{accessory}”", rating=rating, accessory=name
        )
    else:
        title = say(
            "Fit an accessory fuse of {rating} for the sense lead of “{accessory}”",
            rating=rating,
            accessory=name,
        )
    return Fix(title, edit)


def _with_fuse(case: Case, tap: Tap, fuse: Fuse) -> Fix:
    """Another fuse, and a thicker cable where that one needs it."""
    plain = _only_fuse(case, tap, fuse)
    if tap.cable_out is None or plain.edit is None:
        return plain
    try:
        vehicle = plain.edit(case.vehicle)
    except FusemapError:
        return plain
    advice = tap_advice(assess(vehicle), tap.id).cable
    area = None if advice is None else advice.area_mm2
    thinnest = min(cable.section_mm2 for _, cable in _cables(tap))
    if area is None or area <= thinnest:
        return plain
    edit = partial(edits.change_tap, tap_id=tap.id, fuse=fuse, **_at_least(tap, area))
    return Fix(_with_cable_words(case, tap, fuse, area), edit)


def _with_cable_words(case: Case, tap: Tap, fuse: Fuse, area_mm2: float) -> Text:
    rating, section = given(fuse.rating, "A"), Section(area_mm2)
    name = name_of(case, tap)
    if tap.lead == "power":
        return say(
            "Fit an accessory fuse of {rating} for “{accessory}”, and a cable of {section}",
            rating=rating,
            accessory=name,
            section=section,
        )
    return say(
        "Fit an accessory fuse of {rating} for the sense lead of “{accessory}”, and a cable of "
        "{section}",
        rating=rating,
        accessory=name,
        section=section,
    )


# --- joint and relay ------------------------------------------------------------------------------


def change_joint(case: Case) -> Iterator[Fix]:
    """The best joint that bears the place."""
    for tap in taps_at(case):
        place = "cabin" if tap.cable_out is None else tap.cable_out.place
        best = next((j for j in tables.joints().values() if place in j.places), None)
        if best is not None:
            edit = partial(edits.change_tap, tap_id=tap.id, joint=best.key)
            yield Fix(say("Use a {joint}", joint=Text(best.name)), edit)


def fit_larger_relay(case: Case) -> Iterator[Fix]:
    """The smallest usual relay that carries the load."""
    for tap in taps_at(case):
        yield from case.first(
            Fix(
                say("Use a relay for {current}", current=given(amperes, "A")),
                partial(edits.change_tap, tap_id=tap.id, relay_limit_a=amperes),
            )
            for amperes in RELAYS_A
        )


def put_switch(case: Case) -> Iterator[Fix]:
    """A switch in the lead: by hand, or by hand and with the main beam only."""
    for tap in taps_at(case):
        titles: dict[LeadSwitch, Text] = {
            "hand": say("Put a hand switch into the wire to the coil"),
            "main_beam": say("Put in a switch that works with the main beam only"),
        }
        for switch, title in titles.items():
            yield Fix(title, partial(edits.change_tap, tap_id=tap.id, switch=switch))


def set_timer(case: Case) -> Iterator[Fix]:
    """A timer that runs for a usual while."""
    for tap in taps_at(case):
        for minutes in TIMERS_MIN:
            title = say("Set the timer to {time}", time=given(minutes, "min"))
            yield Fix(title, partial(edits.change_tap, tap_id=tap.id, timer_min=minutes))


def fit_larger_switch(case: Case) -> Iterator[Fix]:
    """A switch that is made for what flows through it."""
    for tap in taps_at(case):
        yield from case.first(
            Fix(
                say("Use a switch for {current}", current=given(amperes, "A")),
                partial(edits.change_tap, tap_id=tap.id, switch_limit_a=amperes),
            )
            for amperes in SWITCHES_A
        )


def fit_smaller_coil(case: Case) -> Iterator[Fix]:
    """A relay whose coil the sense circuit can drive."""
    for tap in taps_at(case):
        relay = look_up.tap_of(case.vehicle, tap.accessory)
        if relay is not None and relay.relay:
            yield from case.first(
                Fix(
                    say(
                        "Use a relay whose coil draws {current} or less",
                        current=given(amperes * 1000, "mA"),
                    ),
                    partial(edits.change_tap, tap_id=relay.id, relay_coil_a=amperes),
                )
                for amperes in COILS_A
            )
