"""What stands on the shelf: the vehicle's accessories lead by lead, and the generic kinds.

In: a vehicle, what was typed into the search box. Out: rows with their looks and with what a drag
of them carries.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from PySide6.QtCore import QCoreApplication, QPointF, QRectF, Qt
from PySide6.QtGui import QPainter, QPen

from fusemap.advise import library
from fusemap.tables import AccessoryKind
from fusemap.text import Amount, Style, Text, say
from fusemap.vehicle import Accessory, Tap, Vehicle, look_up
from fusemap.vehicle.words import LeadName
from fusemap.window.forms.choices import feed_name
from fusemap.window.panel.panel_drop import Payload
from fusemap.window.parts.row_list import Line, RowLook
from fusemap.window.style.signs import draw_tick
from fusemap.window.style.theme import Theme


def tr(text: str) -> str:
    """A text of this module in the user's language."""
    return QCoreApplication.translate("Shelf", text)


@dataclass(frozen=True, slots=True)
class ShelfRow:
    """One row: its look, what it carries when dragged (nothing for headings), its tooltip."""

    look: RowLook
    payload: Payload | None = None
    name: str = ""
    first: bool = True
    tip: str = ""


def own_rows(vehicle: Vehicle, style: Style, text: str = "") -> tuple[ShelfRow, ...]:
    """A row for each lead of each accessory in the vehicle whose words fit what was typed."""
    wanted = text.casefold().split()
    rows: list[ShelfRow] = []
    for accessory in vehicle.accessories:
        known = f"{accessory.name} {_kind_words(accessory, style)} {accessory.note}".casefold()
        if all(word in known for word in wanted):
            rows.extend(_lead_rows(vehicle, accessory, style))
    return tuple(rows)


def _kind_words(accessory: Accessory, style: Style) -> str:
    """What the accessory's kind is called, where it is one of the library."""
    try:
        kind = library.kind(accessory.kind)
    except KeyError:
        return accessory.kind
    return f"{kind.name} {kind.group} {_name_and_group(kind, style)}"


def _name_and_group(kind: AccessoryKind, style: Style) -> str:
    return f"{style.show(Text(kind.name))} {style.show(Text(kind.group))}"


def _lead_rows(vehicle: Vehicle, accessory: Accessory, style: Style) -> Iterator[ShelfRow]:
    ordered: list[LeadName] = sorted(accessory.leads, key=lambda lead: lead != "power")
    for lead in ordered:
        tap = look_up.tap_of(vehicle, accessory.id, lead)
        power = lead == "power"
        on = accessory.supplied_by if power else None
        words = place_words(vehicle, tap) if on is None else behind_words(vehicle, on)
        where = Line(words, colour="muted_text")
        head = (
            Line(accessory.name, "strong", right=amount_words(accessory, style))
            if power
            else Line(tr("Sense lead"), right=style.show(Amount(accessory.sense_a, "A")))
        )
        yield ShelfRow(
            RowLook(
                (head, where), mark="placed" if tap or on else "loose", level=0 if power else 1
            ),
            Payload(accessory=accessory.id, lead=lead),
            accessory.name,
            power,
            accessory.note,
        )


def amount_words(accessory: Accessory, style: Style) -> str:
    """What an accessory draws: “45 W, 5 mA at standby”."""
    if accessory.watts is not None:
        amount = style.show(Amount(accessory.watts, "W"))
    else:
        amount = style.show(Amount(accessory.amperes or 0.0, "A"))
    if not accessory.standby_a:
        return amount
    standby = style.show(Amount(accessory.standby_a, "A"))
    return tr("{amount}, {standby} at standby").format(amount=amount, standby=standby)


def place_words(vehicle: Vehicle, tap: Tap | None) -> str:
    """Where a lead is joined, or that it is not yet."""
    if tap is None:
        return tr("Not placed")
    if tap.slot is None:
        return tr("Own feed from {source}").format(source=feed_name(vehicle, tap.feed))
    slot = look_up.slot(vehicle, tap.slot)
    where = look_up.slot_and_circuit(slot)
    way = tr("live side") if tap.way_round == "live_side" else tr("load side")
    return tr("On {slot}, {way}").format(slot=where, way=way)


def behind_words(vehicle: Vehicle, converter_id: str) -> str:
    """Which converter a power lead hangs on."""
    return tr("Behind {name}").format(name=look_up.accessory(vehicle, converter_id).name)


def kind_rows(style: Style, text: str = "") -> tuple[ShelfRow, ...]:
    """The generic kinds that fit what was typed, under a heading for each group."""
    rows: list[ShelfRow] = []
    group = ""
    for kind in _found(text, style):
        if kind.group != group:
            group = kind.group
            heading = Line(style.show(Text(group).capital()), "strong")
            rows.append(ShelfRow(RowLook((heading,), heading=True)))
        rows.append(_kind_row(kind, style))
    return tuple(rows)


def _found(text: str, style: Style) -> tuple[AccessoryKind, ...]:
    """The kinds that fit what was typed, in English or in the user's language."""
    plain = library.find(text)
    wanted = text.casefold().split()
    known = {each.key: _name_and_group(each, style).casefold() for each in library.kinds()}
    return tuple(
        each
        for each in library.kinds()
        if each in plain or all(word in known[each.key] for word in wanted)
    )


def _kind_row(kind: AccessoryKind, style: Style) -> ShelfRow:
    name = style.show(Text(kind.name).capital())
    figures = Line(style.show(library.figures(kind).capital()), colour="muted_text")
    look = RowLook((Line(name, "strong"), figures), mark="kind")
    note = f"{style.show(Text(kind.note).capital())}.\n" if kind.note else ""
    tip = note + tr("Source: {source}").format(source=style.show(kind.source.words))
    return ShelfRow(look, Payload(kind=kind.key), name, True, tip)


MARK_WORDS: Final = {
    "placed": say("placed"),
    "loose": say("not placed"),
    "kind": say("from the library"),
}
"""What the mark before a row says to who cannot see it."""


def draw_shelf_mark(
    painter: QPainter, place: QRectF, row: QRectF, look: RowLook, theme: Theme
) -> None:
    """A ticked disc for what is placed, a dotted ring for what is not, a plus for a kind."""
    if look.heading:
        return
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    inside = place.adjusted(1, 1, -1, -1)
    if look.mark == "placed":
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(theme.colour("good"))
        painter.drawEllipse(inside)
        share = place.width() * 0.2
        draw_tick(painter, place.adjusted(share, share, -share, -share), theme.colour("base"))
    elif look.mark == "loose":
        painter.setPen(QPen(theme.colour("frame"), place.width() / 8, Qt.PenStyle.DotLine))
        painter.drawEllipse(inside)
    else:
        painter.setPen(QPen(theme.colour("accent"), place.width() / 8))
        middle, reach = place.center(), place.width() * 0.3
        painter.drawLine(middle - QPointF(reach, 0), middle + QPointF(reach, 0))
        painter.drawLine(middle - QPointF(0, reach), middle + QPointF(0, reach))
    painter.restore()
