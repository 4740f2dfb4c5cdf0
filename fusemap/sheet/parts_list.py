"""What is needed for the job: fuses, taps, relays, joints and cable, with totals.

In: a subject. Out: one table, counted from the taps of the vehicle. Lengths in m are sums of the
cables' lengths; nothing is added for waste. No Qt.
"""

from collections import Counter
from collections.abc import Iterable, Iterator

from fusemap.sheet.content import Cell, Column, Figure, Row, Table
from fusemap.sheet.language import named
from fusemap.sheet.subject import Subject
from fusemap.vehicle import Cable, Fuse, Tap

CableKind = tuple[float, str, str]
"""Section [mm²], insulation, colour."""


def parts(subject: Subject) -> Table:
    """Everything to have at hand before the work begins."""
    say = subject.say
    columns = (
        Column(say("column.part"), 46),
        Column(say("column.count"), 14, "right"),
        Column(say("column.for"), 40),
    )
    rows = (
        *_group(subject, "fuses", fuses(subject)),
        *_group(subject, "taps", _taps(subject)),
        *_group(subject, "joints", _joints(subject)),
        *_cable_rows(subject),
    )
    return Table("parts", columns, rows)


def _group(subject: Subject, key: str, rows: Iterable[tuple[str, list[Tap]]]) -> Iterator[Row]:
    """A group of things that are counted, with its total."""
    counted = list(rows)
    if not counted:
        return
    yield Row((subject.say(f"parts.{key}"), "", ""), "group")
    for name, taps in counted:
        yield Row((name, _count(len(taps)), _leads(subject, taps)))
    total = sum(len(taps) for _, taps in counted)
    yield Row((subject.say("total"), _count(total), ""), "total")


def _count(number: int) -> Figure:
    return Figure(float(number), "", str(number))


def _leads(subject: Subject, taps: Iterable[Tap]) -> str:
    """The numbers of the leads something is for."""
    return ", ".join(dict.fromkeys(subject.badge(tap) for tap in taps))


def fuses(subject: Subject) -> Iterator[tuple[str, list[Tap]]]:
    """The accessory fuses by family and rating."""
    found: dict[tuple[str, float], list[Tap]] = {}
    for tap in subject.to_fit:
        if tap.fuse is not None:
            found.setdefault((tap.fuse.family, tap.fuse.rating), []).append(tap)
    for (family, rating), taps in sorted(found.items()):
        yield subject.fuse(Fuse(family=family, rating=rating)), taps


def _taps(subject: Subject) -> Iterator[tuple[str, list[Tap]]]:
    """Fuse taps by family, fuses with a take-off lead by rating too, fuse holders and relays."""
    found: dict[str, list[Tap]] = {}
    for tap in subject.to_fit:
        for name in _tap_parts(subject, tap):
            found.setdefault(name, []).append(tap)
    yield from found.items()


def _tap_parts(subject: Subject, tap: Tap) -> Iterator[str]:
    slot = subject.slot(tap)
    if slot is not None and tap.kind == "two_fuse":
        yield subject.say("part.two_fuse", family=subject.family(slot.family))
    elif slot is not None and tap.kind == "take_off_lead":
        yield subject.say(
            "part.take_off_lead",
            fuse=subject.family(slot.family) if slot.fuse is None else subject.fuse(slot.fuse),
        )
    if tap.fuse is not None and tap.kind != "two_fuse":
        yield subject.say("part.holder", family=subject.family(tap.fuse.family))
    if tap.relay:
        yield subject.say("part.relay", volts=f"{subject.vehicle.system_v}")


def _joints(subject: Subject) -> Iterator[tuple[str, list[Tap]]]:
    found: dict[str, list[Tap]] = {}
    for tap in subject.to_fit:
        if tap.joint:
            found.setdefault(subject.joint(tap.joint), []).append(tap)
    yield from found.items()


# --- cable ----------------------------------------------------------------------------------------


def cables(subject: Subject) -> Iterator[tuple[CableKind, float, list[Tap]]]:
    """Every kind of cable with its whole length [m] and the taps it is for."""
    metres: Counter[CableKind] = Counter()
    taps: dict[CableKind, list[Tap]] = {}
    for tap in subject.to_fit:
        for cable in (tap.cable_out, tap.cable_back):
            if cable is not None:
                kind = _kind(cable)
                metres[kind] += cable.length_m  # type: ignore[assignment]
                taps.setdefault(kind, []).append(tap)
    for kind in sorted(metres):
        yield kind, float(metres[kind]), taps[kind]


def _kind(cable: Cable) -> CableKind:
    return cable.section_mm2, cable.insulation, named(cable.colour)


def _cable_rows(subject: Subject) -> Iterator[Row]:
    found = list(cables(subject))
    if not found:
        return
    yield Row((subject.say("parts.cable"), "", ""), "group")
    for (area, insulation, colour), metres, taps in found:
        kind = insulation.upper().replace("_", " ")
        words = (subject.language.section(area), kind, subject.language.colour(colour))
        name = ", ".join(part for part in words if part)
        yield Row((name, subject.amount(metres, "m"), _leads(subject, taps)))
    total: Cell = subject.amount(sum(metres for _, metres, _ in found), "m")
    yield Row((subject.say("total"), total, ""), "total")
