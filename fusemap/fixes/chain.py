"""Ways out along a chain: accessory fuse, cable, joint, relay.

In: a `Case` about a tap. Out: `WayOut`s. Sections, fuses and lengths are tried one after the other
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
from fusemap.fixes.source import named, taps_at
from fusemap.fixes.trial import Case, WayOut
from fusemap.placement.asks import Ask, ask_of
from fusemap.placement.suggest import (
    FIRST_LENGTH_M,
    OWN_FEED_FAMILIES,
    OWN_FEED_LENGTH_M,
    own_feed_fuse,
    suggested_cable,
    suggested_fuse,
)
from fusemap.placement.variants import section_words
from fusemap.vehicle import Cable, Fuse, Tap, Vehicle, edits, look_up

RELAYS_A: Final = (40.0, 50.0, 70.0, 100.0, 150.0, 200.0, 300.0)
"""Usual contacts of larger relays [A]; from memory."""
COILS_A: Final = (0.15, 0.12, 0.1, 0.05, 0.01)
"""Coils of smaller relays, the last of an electronic one [A]; from memory."""
COOLER: Final = "xlpe"
SHORTEST_M = 0.3


# --- fuse and cable together ----------------------------------------------------------------------


def adopt(case: Case) -> Iterator[WayOut]:
    """The fuse and the section with which every hop of the tap holds."""
    for tap in taps_at(case):
        changes = proposal(case.a, tap.id).changes
        if changes:
            edit = partial(edits.change_tap, tap_id=tap.id, **changes)
            yield WayOut(" and ".join(_change_words(tap, changes)), edit)


def _change_words(tap: Tap, changes: dict[str, Any]) -> Iterator[str]:
    fuse, out = changes.get("fuse", tap.fuse), changes.get("cable_out", tap.cable_out)
    words = []
    if fuse is not None and fuse != tap.fuse:
        words.append(f"an accessory fuse of {fuse.rating:g} A")
    if out is not None and (tap.cable_out is None or out.section_mm2 != tap.cable_out.section_mm2):
        words.append(f"a cable of {section_words(out.section_mm2)}")
    for number, each in enumerate(words):
        yield f"{'Fit' if number == 0 else ''} {each}".strip()


# --- cable ----------------------------------------------------------------------------------------


def thicker(case: Case) -> Iterator[WayOut]:
    """The section that passes every check, else the smallest that removes the finding."""
    for tap in taps_at(case):
        if tap.cable_out is not None:
            advice = tap_advice(case.a, tap.id).cable
            right = None if advice is None else advice.area_mm2
            yield from case.first(_thicker(tap, right or 0.0))


def _thicker(tap: Tap, least_mm2: float) -> Iterator[WayOut]:
    thinnest = min(cable.section_mm2 for _, cable in _cables(tap))
    for row in tables.standard_sections():
        if row.area_mm2 > thinnest and row.area_mm2 >= least_mm2:
            edit = partial(edits.change_tap, tap_id=tap.id, **_at_least(tap, row.area_mm2))
            yield WayOut(f"Use a cable of {section_words(row.area_mm2)}", edit)


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


def shorter(case: Case) -> Iterator[WayOut]:
    """The longest run that removes the finding, out and back cut alike."""
    for tap in taps_at(case):
        out = tap.cable_out
        if out is None or out.length_m <= SHORTEST_M:
            continue
        low, high = 0, int(out.length_m * 10 - 1e-9)
        if not case.helps(_cut(tap, SHORTEST_M)):
            continue
        low = int(SHORTEST_M * 10)
        while high - low > 0:
            middle = (low + high + 1) // 2
            low, high = (middle, high) if case.helps(_cut(tap, middle / 10)) else (low, middle - 1)
        yield WayOut(f"Shorten the cable from {out.length_m:g} m to {low / 10:g} m or less",
                     _cut(tap, low / 10))  # fmt: skip


def _cut(tap: Tap, length_m: float) -> "partial[Vehicle]":
    assert tap.cable_out is not None  # asked for only with a cable
    share = length_m / tap.cable_out.length_m
    cut: dict[str, Any] = {
        name: replace(c, length_m=round(c.length_m * share, 3)) for name, c in _cables(tap)
    }
    return partial(edits.change_tap, tap_id=tap.id, **cut)


def return_by_cable(case: Case) -> Iterator[WayOut]:
    """A return cable of the same section in place of the body."""
    for tap in taps_at(case):
        if tap.cable_out is not None and tap.cable_back is None:
            edit = partial(edits.change_tap, tap_id=tap.id, cable_back=tap.cable_out)
            yield WayOut("Bring the return back by a cable of the same section", edit)


def cooler(case: Case) -> Iterator[WayOut]:
    """An insulation that bears more heat, and a cable that lies apart from others."""
    for tap in taps_at(case):
        warm: dict[str, Any] = {
            n: replace(c, insulation=COOLER) for n, c in _cables(tap) if c.insulation != COOLER
        }
        if warm:
            name = tables.insulations()[COOLER].name
            yield WayOut(
                f"Use cable with insulation that bears more heat ({name})",
                partial(edits.change_tap, tap_id=tap.id, **warm),
            )
        apart: dict[str, Any] = {n: replace(c, bundle=1) for n, c in _cables(tap) if c.bundle > 1}
        if apart:
            yield WayOut(
                "Lay it apart from the other loaded cables",
                partial(edits.change_tap, tap_id=tap.id, **apart),
            )


def enter_cable(case: Case) -> Iterator[WayOut]:
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
        cable = suggested_cable(case.a, ask, fuse, feed, way)
        if cable is not None:
            yield WayOut(
                f"Enter {section_words(cable.section_mm2)} over {cable.length_m:g} m for now; "
                "measure the way",
                partial(edits.change_tap, tap_id=tap.id, cable_out=cable),
            )


# --- fuse -----------------------------------------------------------------------------------------


def fit_fuse(case: Case) -> Iterator[WayOut]:
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
    warm = float(case.a.slots.ambient_c[case.a.slots.index[tap.slot]])
    return suggested_fuse(case.a, ask, slot, warm)


def _ask(case: Case, tap: Tap) -> Ask:
    return ask_of(case.a, look_up.accessory(case.vehicle, tap.accessory), tap.lead)


def larger_fuse(case: Case) -> Iterator[WayOut]:
    """The next larger accessory fuse that helps, with a cable to match."""
    for tap in taps_at(case):
        if tap.fuse is not None:
            most = min(ceilings(case.a, tap).values(), default=float("inf"))
            larger = [f for f in _ratings(tap, tap.fuse) if tap.fuse.rating < f.rating <= most]
            yield from case.first(_with_fuse(case, tap, fuse) for fuse in larger)


def smaller_fuse(case: Case) -> Iterator[WayOut]:
    """The smallest accessory fuse that carries the load, else the next one that helps."""
    for tap in taps_at(case):
        if tap.fuse is None:
            continue
        column = case.a.taps.index[tap.id]
        at = int(case.a.circuit.taps.slot[column])
        warm = case.a.rule("ambient_engine_bay_c") if at < 0 else case.a.slots.ambient_c[at]
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


def _only_fuse(case: Case, tap: Tap, fuse: Fuse) -> WayOut:
    edit = partial(edits.change_tap, tap_id=tap.id, fuse=fuse)
    return WayOut(f"Fit an accessory fuse of {fuse.rating:g} A for {named(case, tap)}", edit)


def _with_fuse(case: Case, tap: Tap, fuse: Fuse) -> WayOut:
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
    return WayOut(f"{plain.title}, and a cable of {section_words(area)}", edit)


# --- joint and relay ------------------------------------------------------------------------------


def other_joint(case: Case) -> Iterator[WayOut]:
    """The best joint that bears the place."""
    for tap in taps_at(case):
        place = "cabin" if tap.cable_out is None else tap.cable_out.place
        best = next((j for j in tables.joints().values() if place in j.places), None)
        if best is not None:
            edit = partial(edits.change_tap, tap_id=tap.id, joint=best.key)
            yield WayOut(f"Use a {best.name}", edit)


def larger_relay(case: Case) -> Iterator[WayOut]:
    """The smallest usual relay that carries the load."""
    for tap in taps_at(case):
        yield from case.first(
            WayOut(
                f"Use a relay for {amperes:g} A",
                partial(edits.change_tap, tap_id=tap.id, relay_limit_a=amperes),
            )
            for amperes in RELAYS_A
        )


def smaller_coil(case: Case) -> Iterator[WayOut]:
    """A relay whose coil the sense circuit can drive."""
    for tap in taps_at(case):
        relay = look_up.tap_of(case.vehicle, tap.accessory)
        if relay is not None and relay.relay:
            yield from case.first(
                WayOut(
                    f"Use a relay whose coil draws {amperes * 1000:g} mA or less",
                    partial(edits.change_tap, tap_id=relay.id, relay_coil_a=amperes),
                )
                for amperes in COILS_A
            )
