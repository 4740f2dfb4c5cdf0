"""How a help page ends: its subject in the figures of the vehicle on screen.

In: a page's key and the document. Out: sentences; nothing but a hint where no vehicle is open.
"""

from collections.abc import Callable, Iterator
from typing import Final

from PySide6.QtCore import QCoreApplication

from fusemap import tables
from fusemap.assess import Assessment
from fusemap.assess.parked.band import parked_band
from fusemap.assess.parked.ends import battery_said
from fusemap.assess.parked.start_words import reading_words
from fusemap.text import Amount, Section, Style, Text, say, share
from fusemap.vehicle import FEED_CLASSES, STATES, Slot, Tap, look_up
from fusemap.vehicle.words import FEED, SOCKET, STATE, TOW
from fusemap.window.document import Document
from fusemap.window.parked.chart_figures import Case
from fusemap.window.parked.page_words import headline

translate = QCoreApplication.translate


def tr(text: str) -> str:
    """A text of this module in the user's language."""
    return translate("HelpNumbers", text)


def sentences(key: str, document: Document, style: Style) -> tuple[str, ...]:
    """The vehicle's own figures for the subject of a page."""
    if not document.vehicle.panels:
        return (tr("No vehicle with a panel is open: with one, its own figures stand here."),)
    return tuple(_MAKERS[key](document, style))


def _circuit(document: Document, style: Style) -> Iterator[str]:
    a, v = document.assessment, document.vehicle
    worst = max(range(len(STATES)), key=lambda row: float(a.battery_a[row]))
    yield tr("Most current flows with {state}: {amps} at {volts}.").format(
        state=_state(worst, style),
        amps=style.show(Amount(float(a.battery_a[worst]), "A")),
        volts=style.show(Amount(float(a.battery_v[worst]), "V")),
    )
    if not v.taps:
        yield tr("Nothing is placed yet.")
        return
    drop = a.taps.drop_v
    column = int(drop.max(axis=0).argmax())
    row = int(drop[:, column].argmax())
    tap = look_up.tap(v, a.taps.ids[column])
    form = (
        tr("{name} draws {amps}; on the way out and back by the body it loses {volts}.")
        if tap.cable_back is None
        else tr("{name} draws {amps}; on the way out and back by its own cable it loses {volts}.")
    )
    yield form.format(
        name=_name(document, tap),
        amps=style.show(Amount(float(a.taps.current_a[row, column]), "A")),
        volts=style.show(Amount(float(drop[row, column]), "V")),
    )


def _feeds(document: Document, style: Style) -> Iterator[str]:
    slots = _fuse_slots(document)
    counts = [(c, sum(slot.feed_class == c for slot in slots)) for c in FEED_CLASSES]
    told = ", ".join(f"{count} × {style.show(FEED[c].feed)}" for c, count in counts if count)
    yield tr("Its fuse slots, {n} in all: {counts}.").format(n=len(slots), counts=told)
    unknown = sum(slot.feed_class == "unknown" for slot in slots)
    if unknown:
        yield tr("Not measured yet and reckoned as permanent: {n}.").format(n=unknown)


def _live_side(document: Document, style: Style) -> Iterator[str]:
    a, v = document.assessment, document.vehicle
    taps = [t for t in v.taps if t.kind == "two_fuse" and t.slot is not None]
    if not taps:
        yield tr("No two-fuse tap is planned yet.")
    for tap in taps:
        assert tap.slot is not None
        slot = look_up.slot(v, tap.slot)
        column = a.slots.index[tap.slot]
        form = (
            tr("{name} on {slot}: right way round; the host fuse carries {amps} of {limit}.")
            if tap.way_round == "live_side"
            else tr("{name} on {slot}: reversed; the host fuse carries both, {amps} of {limit}.")
        )
        limit = float(a.slots.host_limit_a[column])
        yield form.format(
            name=_name(document, tap),
            slot=style.show(look_up.place_words(slot)),
            amps=style.show(Amount(float(a.slots.host_a[:, column].max()), "A")),
            limit=style.show(Amount(limit, "A")),
        )
    unknown = sum(slot.live_side == "unknown" for slot in _fuse_slots(document))
    if unknown:
        yield tr("Slots whose live side is not measured yet: {n}.").format(n=unknown)


def _order(document: Document, style: Style) -> Iterator[str]:
    placed = [tap for tap in document.vehicle.taps if tap.fuse is not None]
    if not placed:
        yield tr("No accessory fuse is planned yet.")
    a = document.assessment
    for tap in placed:
        assert tap.fuse is not None
        column = a.taps.index[tap.id]
        cable = "–"
        if tap.cable_out is not None:
            length = style.show(Amount(tap.cable_out.whole_m, "m"))
            cable = f"{style.show(Section(tap.cable_out.section_mm2))}, {length}"
        yield tr("{name}: load {load}, fuse {fuse}, cable {cable}.").format(
            name=_name(document, tap),
            load=style.show(Amount(float(a.taps.current_a[:, column].max()), "A")),
            fuse=style.show(Amount(tap.fuse.rating, "A")),
            cable=cable,
        )


def _meter(document: Document, style: Style) -> Iterator[str]:
    a = document.assessment
    told = 0
    for slot in sorted(_fuse_slots(document), key=lambda s: -_load(a, s)):
        if slot.fuse is None or told == 3 or _load(a, slot) == 0:
            continue
        found = tables.fuse_resistance(slot.fuse.family, slot.fuse.rating)
        if found is None or found.cold_mohm is None:
            continue
        told += 1
        yield tr(
            "{slot}, {fuse} fuse: {ohms} cold. Its {amps} would show as about {volts}."
        ).format(
            slot=style.show(look_up.place_words(slot)),
            fuse=style.show(Amount(slot.fuse.rating, "A")),
            ohms=style.show(Amount(found.cold_mohm, "mΩ")),
            amps=style.show(Amount(_load(a, slot), "A")),
            volts=style.show(Amount(_load(a, slot) * found.cold_mohm, "mV")),
        )
    rest = document.vehicle.parking.rest_current_a
    yield (
        tr("The rest current of this vehicle is not measured yet.")
        if rest is None
        else tr("Rest current measured: {amps}.").format(amps=style.show(Amount(rest, "A")))
    )


def _joints(document: Document, style: Style) -> Iterator[str]:
    known = tables.joints()
    used = [tap for tap in document.vehicle.taps if tap.joint in known]
    if not used:
        yield tr("No joint is planned yet.")
    for tap in used:
        yield tr("{name}: {joint}, {grade}.").format(
            name=_name(document, tap),
            joint=style.show(Text(known[tap.joint].name)),
            grade=style.show(Text(known[tap.joint].grade)),
        )


def _sockets(document: Document, style: Style) -> Iterator[str]:
    a, v = document.assessment, document.vehicle
    if not v.sockets:
        yield tr("No socket is entered.")
    for socket in v.sockets:
        inside = [tap for tap in v.taps if tap.socket == socket.id and tap.lead == "power"]
        name = socket.name or style.show(SOCKET[socket.kind])
        if not inside:
            yield tr("{socket}: no lead of the plan ends there.").format(socket=name)
        for tap in inside:
            column, hop = a.taps.index[tap.id], a.hops["socket"]
            form = (
                tr("{name} at pin {pin} of {socket}: {amps} of {limit}.")
                if socket.kind in TOW
                else tr("{name} in {socket}: {amps} of {limit}.")
            )
            yield form.format(
                name=_name(document, tap),
                pin=tap.pin,
                socket=name,
                amps=style.show(Amount(float(hop.load[column]), "A")),
                limit=style.show(Amount(float(hop.limit[column]), "A")),
            )


def _standing(document: Document, style: Style) -> Iterator[str]:
    parked = document.assessment.parked
    band = parked_band(document.assessment)
    case = Case(parked, band, battery_said(document.vehicle))
    yield style.show(headline(case, document.vehicle.parking.stand_days * 24))
    total = sum(consumer.charge_ah for consumer in parked.consumers)
    for consumer in sorted(parked.consumers, key=lambda c: -c.charge_ah)[:3]:
        if total > 0 and consumer.charge_ah > 0:
            yield tr("{name}: {amps} on average, {share} of what is drawn.").format(
                name=style.show(consumer.name),
                amps=style.show(Amount(consumer.mean_a, "A")),
                share=style.show(share(consumer.charge_ah / total)),
            )


def _start(document: Document, style: Style) -> Iterator[str]:
    readings = document.vehicle.battery.crank_readings
    if not readings:
        yield tr("No start of this vehicle was followed yet.")
    for reading in readings:
        yield style.show(reading_words(reading)) + "."
    yield style.show(say("A start needs {need}.", need=document.assessment.parked.need.words))


def _panel(document: Document, style: Style) -> Iterator[str]:
    slots = _fuse_slots(document)
    fused = [slot for slot in slots if slot.fuse is not None]
    yield tr(
        "Panels: {panels}, fuse slots: {n}; with a fuse: {fused}, to leave alone: {critical}."
    ).format(
        n=len(slots),
        panels=len(document.vehicle.panels),
        fused=len(fused),
        critical=sum(slot.critical for slot in slots),
    )
    yield from list(_feeds(document, style))[1:]


def _source(document: Document, style: Style) -> Iterator[str]:
    a = document.assessment
    open_slots = [s for s in _fuse_slots(document) if not s.critical and s.fuse is not None]
    best = sorted(open_slots, key=lambda s: -float(a.slots.room_a[a.slots.index[s.id]]))[:3]
    for slot in best:
        yield tr("{slot}, {feed}: room for {amps} more.").format(
            slot=style.show(look_up.slot_with_circuit(slot)),
            feed=style.show(FEED[slot.feed_class].feed),
            amps=style.show(Amount(max(0.0, float(a.slots.room_a[a.slots.index[slot.id]])), "A")),
        )


def _print(document: Document, style: Style) -> Iterator[str]:
    stops = sum(found.severity == "stop" for found in document.findings)
    yield (
        tr("Findings that say Stop: {n}. Put right what they name before you fit anything.").format(
            n=stops
        )
        if stops
        else tr("No finding says Stop.")
    )


def _check(document: Document, style: Style) -> Iterator[str]:
    a = document.assessment
    for tap in document.vehicle.taps:
        column = a.taps.index[tap.id]
        rows = [row for row in range(len(STATES)) if a.taps.works[row, column]]
        if rows and tap.lead == "power":
            row = rows[0]
            yield tr("{name}, {state}: expect {volts} at its terminals, {amps}.").format(
                name=_name(document, tap),
                state=_state(row, style),
                volts=style.show(Amount(float(a.taps.voltage_v[row, column]), "V")),
                amps=style.show(Amount(float(a.taps.current_a[row, column]), "A")),
            )


def _record(document: Document, style: Style) -> Iterator[str]:
    v = document.vehicle
    yield tr(
        "Accessories: {accessories}, connections: {taps}, findings so far: {findings}."
    ).format(accessories=len(v.accessories), taps=len(v.taps), findings=len(document.findings))


def _name(document: Document, tap: Tap) -> str:
    return look_up.accessory(document.vehicle, tap.accessory).name


def _state(row: int, style: Style) -> str:
    return style.show(STATE[STATES[row]].label)


def _fuse_slots(document: Document) -> list[Slot]:
    return [slot for slot in look_up.slots(document.vehicle) if slot.kind == "fuse"]


def _load(a: Assessment, slot: Slot) -> float:
    return float(a.slots.host_a[:, a.slots.index[slot.id]].max())


_MAKERS: Final[dict[str, Callable[[Document, Style], Iterator[str]]]] = {
    "circuit": _circuit,
    "feeds": _feeds,
    "live_side": _live_side,
    "order": _order,
    "meter": _meter,
    "joints": _joints,
    "sockets": _sockets,
    "standing": _standing,
    "start": _start,
    "panel": _panel,
    "source": _source,
    "print": _print,
    "check": _check,
    "record": _record,
}
