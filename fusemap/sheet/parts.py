"""The parts: everything to have at hand, how long each cable is cut, the labels for its ends.

In: a subject. Out: the parts list with quantities, counted from the taps, added feeds and ends of
cables; the cut list, each cable by its number. Lengths in m: as planned, and cut with what is lost
at the ends. No Qt.
"""

from collections import Counter
from collections.abc import Iterable, Iterator
from math import ceil
from typing import Final

from fusemap import tables
from fusemap.sheet.cables import Numbered, by_the_body, numbered
from fusemap.sheet.content import Figure, Row, Table
from fusemap.sheet.fitting import ring_kind, sleeve, thread_of
from fusemap.sheet.style import TOTAL, named
from fusemap.sheet.subject import Subject
from fusemap.text import Amount, Argument, Section, Text, Words, in_row, many, say, say_in
from fusemap.vehicle import Cable, Fuse, Panel, SecondBattery, Slot, Tap, look_up
from fusemap.vehicle.words import CLOSED_BY, SOCKET, SWITCH

TIE_EVERY_M: Final = 0.3
"""Between two clamps or ties at most [m]. Source: a van maker's body builder manual (2015)."""
WASTE: Final = 0.1
END_M: Final = 0.15
"""Lost on a cable: a share of its length, and at each end [m]. Common practice, no source."""
OUTSIDE: Final = ("engine_bay", "underbody", "trailer")
"""Places where a cable lies in a sleeve."""

Kind = tuple[float, str, str]
"""Section [mm²], insulation, colour."""
Counted = tuple[Argument, float, list[str]]
"""A part, how many (or how many metres), and what it is for."""


def parts(subject: Subject) -> Table:
    """Everything to have at hand before the work begins."""
    columns = (
        subject.column(say_in("to buy", "Part"), 50),
        subject.column(say("Needed"), 14, "right"),
        subject.column(say("For No."), 36),
    )
    rows = (
        *_group(subject, say("Fuses"), _fuses(subject)),
        *_group(subject, say("Taps, fuse holders, relays"), _taps(subject)),
        *_group(subject, say("Terminals and joints"), _ends(subject)),
        *_group(subject, say("Grommets and ties"), _small(subject)),
        *_cable_rows(subject),
    )
    return Table("parts", columns, rows)


def _group(subject: Subject, title: Text, counted: Iterable[Counted]) -> Iterator[Row]:
    """A group of things that are counted, with its total."""
    found = list(counted)
    if not found:
        return
    yield subject.row(title, "", "", kind="group")
    for name, count, whom in found:
        yield subject.row(name, _count(count), in_row(dict.fromkeys(whom)))
    yield subject.row(TOTAL, _count(sum(count for _, count, _ in found)), "", kind="total")


def _count(number: float) -> Figure:
    return Figure(float(number), "", f"{number:.0f}")


def to_lay(subject: Subject) -> tuple[Numbered, ...]:
    """The cables that this job lays."""
    return tuple(each for each in numbered(subject) if each.to_lay)


class _Tally:
    """Parts counted by name, each with what it is for, in the order in which they came."""

    def __init__(self) -> None:
        self._counts: Counter[Argument] = Counter()
        self._whom: dict[Argument, list[str]] = {}

    def add(self, name: Argument, whom: str, count: int = 1) -> None:
        """So many more of a part."""
        self._counts[name] += count
        self._whom.setdefault(name, []).append(whom)

    def __iter__(self) -> Iterator[Counted]:
        return ((name, float(count), self._whom[name]) for name, count in self._counts.items())


# --- fuses, taps, holders -------------------------------------------------------------------------


def _new_fuses(subject: Subject) -> Iterator[tuple[Fuse, str]]:
    """Every fuse that is fitted, with the number of the lead or cable it protects."""
    for tap in subject.to_fit:
        if tap.fuse is not None:
            yield tap.fuse, subject.badge(tap)
    for cable in to_lay(subject):
        if cable.role == "feed":
            fuse = look_up.feed(subject.vehicle, cable.of).fuse
            if fuse is not None:
                yield fuse, cable.number
    for accessory in subject.hanging:
        if accessory.lead_fuse is not None and accessory.found == "no":
            yield accessory.lead_fuse, f"W{subject.numbers[accessory.id]}+"
    yield from ((slot.fuse, subject.badge(tap)) for slot, tap in block_slots(subject) if slot.fuse)
    second = subject.vehicle.second_battery
    if second is not None:
        yield from ((fuse, "W0+") for fuse in (second.near_fuse, second.far_fuse) if fuse)


def block_slots(subject: Subject) -> Iterator[tuple[Slot, Tap]]:
    """The places of added fuse blocks that this job uses, each with its first tap."""
    seen: set[str] = set()
    for tap in subject.to_fit:
        slot = subject.slot(tap)
        if slot is not None and slot.id not in seen and subject.on_block(slot):
            seen.add(slot.id)
            yield slot, tap


def _fuses(subject: Subject) -> Iterator[Counted]:
    tally = _Tally()
    for fuse, whom in sorted(_new_fuses(subject), key=lambda f: (f[0].family, f[0].rating)):
        tally.add(subject.fuse(Fuse(family=fuse.family, rating=fuse.rating)), whom)
    yield from tally


def _taps(subject: Subject) -> Iterator[Counted]:
    """Fuse taps by family, fuses with a take-off lead by rating too, fuse holders and relays."""
    tally = _Tally()
    for tap in subject.to_fit:
        for name in _tap_parts(subject, tap):
            tally.add(name, subject.badge(tap))
    for fuse, whom in _new_fuses(subject):
        if whom.startswith("W"):
            tally.add(_holder(subject, fuse), whom)
    used = {slot.id for slot, _ in block_slots(subject)}
    for panel in subject.vehicle.panels:
        if any(slot.id in used for slot in panel.slots):
            tally.add(_block(subject, panel), subject.show(subject.panel_name(panel)))
    for feed in subject.vehicle.feeds:
        if feed.added and feed.cut_off is not None:
            tally.add(CUT_OFF, subject.show(subject.feed_name(feed.id)))
    second = subject.vehicle.second_battery
    if second is not None:
        tally.add(link_words(second, subject.vehicle.system_v), "W0+")
    yield from tally


CUT_OFF: Final = say("Low-voltage cut-off, in the feed")


def _block(subject: Subject, panel: Panel) -> Text:
    families = dict.fromkeys(slot.family for slot in panel.slots)
    return many(
        "Fuse block, {n} way, {family}",
        "Fuse block, {n} ways, {family}",
        len(panel.slots),
        family=in_row(subject.family(family) for family in families),
    )


def link_words(second: SecondBattery, system_v: int) -> Text:
    """What joins a second battery to the first: a relay, or a charger with its rating."""
    if second.link == "relay":
        return say("Relay to link the batteries, {volts} V", volts=system_v)
    if second.charger_a is None:
        return say("DC-DC charger, rating not entered")
    return say("DC-DC charger, {rating}", rating=Amount(second.charger_a, "A"))


def _holder(subject: Subject, fuse: Fuse) -> Text:
    return say("Fuse holder for {family}", family=subject.family(fuse.family))


def _tap_parts(subject: Subject, tap: Tap) -> Iterator[Text]:
    slot = subject.slot(tap)
    if slot is not None and tap.kind == "two_fuse":
        yield say("Two-fuse tap for {family}", family=subject.family(slot.family))
    elif slot is not None and tap.kind == "take_off_lead":
        seat = subject.family(slot.family) if slot.fuse is None else subject.fuse(slot.fuse)
        yield say("Fuse with take-off lead: {fuse}", fuse=seat)
    elif slot is not None and tap.kind == "terminal" and not subject.on_block(slot):
        # a spare place of the vehicle's box has room for it, and no contact of its own
        family = subject.family(slot.family)
        yield say("Terminal of the box for {family}, as its maker has it", family=family)
    elif slot is not None and tap.kind == "plug":
        socket = look_up.socket(subject.vehicle, tap.socket or "")
        yield say("Plug for: {socket}", socket=SOCKET[socket.kind])
    if tap.fuse is not None and tap.kind != "two_fuse":
        yield _holder(subject, tap.fuse)
    if tap.switch in CLOSED_BY:
        yield say("Switch: {what}", what=SWITCH[tap.switch])
    if tap.relay:
        yield say("Relay, make contact, {volts} V", volts=subject.vehicle.system_v)
        yield say("Base for a relay")


# --- ends of cables -------------------------------------------------------------------------------


def _ends(subject: Subject) -> Iterator[Counted]:
    """What is crimped onto the cables, at both ends and at what sits in their way."""
    tally = _Tally()
    for cable in to_lay(subject):
        for name, count in _ends_of(subject, cable):
            tally.add(name, cable.number, count)
    yield from tally


def _ends_of(subject: Subject, cable: Numbered) -> Iterator[tuple[Words, int]]:
    device = _device_end(cable)
    if cable.role == "link_back":
        yield _ring(cable.sized, None), 2
        return
    if cable.role in ("feed", "link"):
        fuses = sum(whom == cable.number for _, whom in _new_fuses(subject))
        # the link is cut once more for its relay or charger
        yield _ring(cable.cable, None), 2 + 2 * fuses + 2 * (cable.role == "link")
        return
    if cable.role == "behind":
        holder = look_up.accessory(subject.vehicle, cable.of).lead_fuse is not None
        yield device, 1
        yield _butt(cable.cable), 3 if holder else 1
        return
    if cable.role == "behind_back":
        accessory = look_up.accessory(subject.vehicle, cable.of)
        yield device, 1
        body = by_the_body(accessory)
        yield _ring(cable.sized, None) if body else _butt(cable.sized), 1
        return
    tap = look_up.tap(subject.vehicle, cable.of)
    yield device, 1
    if cable.role == "back":
        yield _ring(cable.sized, thread_of(subject, tap)), 1
        return
    if tap.kind == "own_feed":
        yield _ring(cable.cable, None), 1
        yield from _at_holder(subject, tap)
    elif tap.joint:
        yield _joint(subject, tap), 1
    if tap.switch in CLOSED_BY:
        thick = tap.cable_out is not None and ring_kind(tap.cable_out) == "lug"
        blade = _sized(say("Blade terminal for the switch"), "insulated", tap.cable_out)
        yield _ring(tap.cable_out, None) if thick else blade, 2
    if tap.relay:
        yield _sized(say("Blade terminal for the relay"), "insulated", tap.cable_out), 4


def _at_holder(subject: Subject, tap: Tap) -> Iterator[tuple[Words, int]]:
    """Two ends at a holder in the lead: ring terminals where the fuse is bolted."""
    if tap.fuse is not None:
        bolted = tables.fuse_family(tap.fuse.family).bolted_or_cartridge
        name = _ring(tap.cable_out, None) if bolted else _butt(tap.cable_out)
        yield name, 2


def _device_end(cable: Numbered) -> Words:
    if cable.sized is not None and ring_kind(cable.sized) == "lug":
        return _ring(cable.sized, None)
    return say("At the accessory, its own terminal or: {joint}", joint=_butt(cable.sized))


def _butt(cable: Cable | None) -> Words:
    return _sized(say("Butt crimp with sealing sleeve"), "butt", cable)


def _ring(cable: Cable | None, thread_mm: float | None) -> Words:
    stud = say("stud as found") if thread_mm is None else f"M{thread_mm:g}"
    kind = "insulated" if cable is None else ring_kind(cable)
    return in_row([_sized(say("Ring terminal"), kind, cable), stud])


def _joint(subject: Subject, tap: Tap) -> Words:
    if tap.joint == "butt_crimp":
        return _butt(tap.cable_out)
    if tap.joint == "ring_terminal":
        return _ring(tap.cable_out, None)
    return _sized(subject.joint(tap.joint), None, tap.cable_out)


def _sized(name: Words, kind: tables.CrimpKind | None, cable: Cable | None) -> Words:
    """A part with the section it is for, and the colour of its sleeve."""
    if cable is None:
        return in_row([name, say("section not entered")])
    found = None if kind is None else tables.crimp(kind, cable.section_mm2)
    parts = [name, Section(cable.section_mm2), *([] if found is None else [sleeve(found)])]
    return in_row(parts)


# --- grommets, sleeve, ties, cable ----------------------------------------------------------------


def _small(subject: Subject) -> Iterator[Counted]:
    tally = _Tally()
    for each in to_lay(subject):
        if each.cable is None:
            continue
        if each.cable.crossings:
            tally.add(say("Grommet for the bulkhead"), each.number, each.cable.crossings)
        ties = ceil(each.cable.whole_m / TIE_EVERY_M - 1e-9)
        tally.add(
            say("Cable tie or clamp, one every {length}", length=Amount(1000 * TIE_EVERY_M, "mm")),
            each.number,
            ties,
        )
    yield from tally


def sleeve_m(cable: Cable) -> float:
    """How much of a cable lies where it wants a sleeve [m]."""
    return sum(part.length_m for part in cable.stretches if part.place in OUTSIDE)


def cut_m(cable: Cable) -> float:
    """How long a cable is cut [m]: as planned, with what is lost, rounded up to a tenth.

    >>> cut_m(Cable(section_mm2=1.0, length_m=2.0))
    2.5
    """
    return ceil((cable.whole_m * (1 + WASTE) + 2 * END_M) * 10 - 1e-9) / 10


def _cable_rows(subject: Subject) -> Iterator[Row]:
    """Cable by kind: as planned; below the total what to buy for it, and sleeve."""
    found: dict[Kind, list[Numbered]] = {}
    for each in to_lay(subject):
        if each.cable is not None:
            kind = (each.cable.section_mm2, each.cable.insulation, named(each.cable.colour))
            found.setdefault(kind, []).append(each)
    if not found:
        return
    yield subject.row(say("Cable, as planned (with waste: cut list)"), "", "", kind="group")
    total = 0.0
    for kind, lines in sorted(found.items()):
        metres = sum(each.cable.whole_m for each in lines if each.cable is not None)
        total += metres
        whom = in_row(each.number for each in lines)
        yield subject.row(subject.kind_of_cable(*kind), subject.figure(metres, "m"), whom)
    yield subject.row(TOTAL, subject.figure(total, "m"), "", kind="total")


def cut_list(subject: Subject) -> Table:
    """Every cable that is cut: number, kind, from where to where, planned, cut, sleeve."""
    columns = (
        subject.column(say("Cable"), 9),
        subject.column(say_in("of a cable", "Kind"), 27),
        subject.column(say("From"), 22),
        subject.column(say("To"), 22),
        subject.column(say("Planned"), 10, "right"),
        subject.column(say("Cut"), 10, "right"),
        subject.column(say("Sleeve"), 10, "right"),
    )
    rows: list[Row] = []
    sums = [0.0, 0.0, 0.0]
    for each in to_lay(subject):
        lengths = _lengths(each.cable)
        shown = [_metres(subject, length) for length in lengths]
        kind: Words = not_entered(each)
        if each.cable is not None:
            cable = each.cable
            kind = subject.kind_of_cable(cable.section_mm2, cable.insulation, cable.colour)
        rows.append(subject.row(each.number, kind, each.start, each.end, *shown))
        sums = [a + (b or 0.0) for a, b in zip(sums, lengths, strict=True)]
    if rows:
        totals = (subject.figure(each, "m") for each in sums)
        rows.append(subject.row(TOTAL, "", "", "", *totals, kind="total"))
    return Table("cut-list", columns, tuple(rows))


def not_entered(each: Numbered) -> Text:
    """What is said of a cable that nobody entered: its section at least, where one is known."""
    if each.like is None:
        return say("not entered: measure at the vehicle")
    section = Section(each.like.section_mm2)
    return say("at least {section}, length as measured at the vehicle", section=section)


def _lengths(cable: Cable | None) -> tuple[float | None, float | None, float | None]:
    if cable is None:
        return None, None, None
    return cable.whole_m, cut_m(cable), sleeve_m(cable)


def _metres(subject: Subject, length: float | None) -> Figure | str:
    return "–" if not length else subject.figure(length, "m")
