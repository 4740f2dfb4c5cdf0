"""What stands on the shelf: a row for each accessory of the vehicle, and the generic kinds.

In: a vehicle, the verdict on each of its taps where that is reckoned, what was typed into the
search box. Out: `ShelfRow`s with their words, their mark, and what a drag of them carries.
"""

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING, Final, Literal

from msgspec import Struct
from msgspec.structs import replace
from PySide6.QtCore import QCoreApplication

from fusemap.advise import library
from fusemap.tables import AccessoryKind
from fusemap.text import Amount, Style, Text, say
from fusemap.vehicle import Accessory, Tap, Vehicle, look_up
from fusemap.window.document import Selection
from fusemap.window.forms.choices import feed_name
from fusemap.window.panel.panel_drop import Payload
from fusemap.window.parts.row_list import Line, RowLook
from fusemap.window.shelf.kind_words import search_words
from fusemap.window.texts.folded import folded

if TYPE_CHECKING:
    from fusemap.assess.verdict import Verdict

Mark = Literal["holds", "may_not_hold", "fails", "unchecked", "reckoning", "loose", "kind", ""]
"""The verdict on what is placed, or that it is being reckoned; not placed; from the library."""
Verdicts = Mapping[str, "Verdict"] | None
"""The verdict on each tap by its id; `None` while they are being reckoned."""


def tr(text: str) -> str:
    """A text of this module in the user's language."""
    return QCoreApplication.translate("Shelf", text)


class ShelfRow(Struct, frozen=True):
    """One row: its look, what it carries when dragged (nothing for headings), its tooltip.

    `short` says in a chip's second line where it is.
    """

    look: RowLook
    payload: Payload | None = None
    name: str = ""
    first: bool = True
    tip: str = ""
    short: str = ""
    mark: Mark = ""


def own_rows(vehicle: Vehicle, style: Style, text: str = "") -> tuple[ShelfRow, ...]:
    """A row for each accessory of the vehicle whose words fit what was typed, as yet unmarked.

    A sense lead has a row of its own as long as it waits for its place and the supply has one.
    """
    wanted = folded(text).split()
    rows: list[ShelfRow] = []
    for accessory in vehicle.accessories:
        known = folded(f"{accessory.name} {_kind_words(accessory, style)} {accessory.note}")
        if all(word in known for word in wanted):
            rows.extend(_accessory_rows(vehicle, accessory, style))
    return tuple(rows)


def marked(
    rows: tuple[ShelfRow, ...], vehicle: Vehicle, verdicts: Verdicts
) -> tuple[ShelfRow, ...]:
    """The same rows with the verdict on each accessory."""
    accessories = {each.id: each for each in vehicle.accessories}
    return tuple(
        replace(row, mark=_mark(vehicle, accessories[row.payload.accessory], verdicts))
        if row.first and row.payload is not None
        else row
        for row in rows
    )


def _kind_words(accessory: Accessory, style: Style) -> str:
    """What the accessory's kind is called, where it is one of the library."""
    try:
        kind = library.kind(accessory.kind)
    except KeyError:
        return accessory.kind
    return search_words(kind, style)


def _accessory_rows(vehicle: Vehicle, accessory: Accessory, style: Style) -> Iterator[ShelfRow]:
    power, sense = (look_up.tap_of(vehicle, accessory.id, lead) for lead in ("power", "sense"))
    behind = accessory.supplied_by
    joined = power is not None or behind is not None
    head = Line(accessory.name, "strong", right=amount_words(accessory, style))
    words = place_words(vehicle, power, style) if behind is None else behind_words(vehicle, behind)
    lines = [head, Line(words, colour="muted_text")]
    if sense is not None:
        at = tr("Sense lead: {place}").format(place=place_words(vehicle, sense, style))
        lines.append(Line(at, colour="muted_text"))
    look = RowLook(tuple(lines))
    yield ShelfRow(
        look,
        Payload(accessory=accessory.id),
        accessory.name,
        True,
        "\n".join(part for part in (look.text, accessory.note) if part),
        _short(vehicle, power, sense, style) if behind is None else words,
    )
    if "sense" in accessory.leads and sense is None and joined:
        yield _waiting(accessory, style)


def _waiting(accessory: Accessory, style: Style) -> ShelfRow:
    """A sense lead that has no place yet."""
    head = Line(tr("Sense lead"), "strong", right=style.show(Amount(accessory.sense_a, "A")))
    look = RowLook((head, Line(place_words(Vehicle(name=""), None, style), colour="muted_text")))
    short = tr("{name}, not placed").format(name=accessory.name)
    payload = Payload(accessory=accessory.id, lead="sense")
    return ShelfRow(look, payload, accessory.name, False, f"{accessory.name}\n{look.text}", short,
                    "loose")  # fmt: skip


def _mark(vehicle: Vehicle, accessory: Accessory, verdicts: Verdicts) -> Mark:
    """The verdict on its leads; behind a converter on that one's."""
    above = accessory
    while above.supplied_by is not None:
        above = look_up.accessory(vehicle, above.supplied_by)
    taps = [look_up.tap_of(vehicle, above.id, "power")]
    if taps[0] is None:
        return "loose"
    if verdicts is None:
        return "reckoning"
    # loaded when there is something reckoned: the start stays short
    from fusemap.assess.verdict import decides

    taps.append(look_up.tap_of(vehicle, accessory.id, "sense"))
    return decides(verdicts[tap.id] for tap in taps if tap is not None)


def _short(vehicle: Vehicle, power: Tap | None, sense: Tap | None, style: Style) -> str:
    """Where it is, in a chip: “F2, sense F13”."""
    if power is None:
        return tr("not placed, counted")
    if power.slot is None:
        where = tr("own feed")
    else:
        where = style.show(look_up.place_words(look_up.slot(vehicle, power.slot)))
        if power.way_round == "load_side":
            where = tr("{slot}, reversed").format(slot=where)
    if sense is None or sense.slot is None:
        return where
    other = style.show(look_up.place_words(look_up.slot(vehicle, sense.slot)))
    return tr("{place}, sense {slot}").format(place=where, slot=other)


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


def place_words(vehicle: Vehicle, tap: Tap | None, style: Style) -> str:
    """Where a lead is joined, or that it is not yet."""
    if tap is None:
        return tr("Not placed")
    if tap.slot is None:
        return tr("Own feed from {source}").format(source=feed_name(vehicle, tap.feed))
    slot = look_up.slot(vehicle, tap.slot)
    where = style.show(look_up.slot_with_circuit(slot))
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
    wanted = folded(text).split()
    known = {each.key: search_words(each, style) for each in library.kinds()}
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
    return ShelfRow(look, Payload(kind=kind.key), name, True, tip, mark="kind")


MARK_WORDS: Final[Mapping[Mark, Text]] = {
    **dict.fromkeys(("holds", "may_not_hold", "fails", "unchecked", "reckoning"), say("placed")),
    "loose": say("not placed"),
    "kind": say("from the library"),
}
"""What the mark before a row says to who cannot see it."""


def spoken(row: ShelfRow, style: Style) -> str:
    """A row's words with what its mark says."""
    mark = row.mark
    if not mark:
        return row.look.text
    words = f"{row.look.text} ({style.show(MARK_WORDS[mark])})"
    if mark == "loose" or mark == "kind" or mark == "reckoning":
        return words
    # loaded when there is a verdict: the start stays short
    from fusemap.assess.verdict import VERDICT_WORDS

    return f"{words} ({style.show(VERDICT_WORDS[mark])})"


def free_name(vehicle: Vehicle, name: str) -> str:
    """The name, with a number behind it where an accessory has it already.

    >>> from fusemap.vehicle import edits
    >>> van = edits.add_accessory(Vehicle(name="Van"), "Fan", watts=15.0)
    >>> free_name(van, "Fan"), free_name(van, "Horn")
    ('Fan 2', 'Horn')
    """
    taken = {accessory.name for accessory in vehicle.accessories}
    number, free = 1, name
    while free in taken:
        number += 1
        free = f"{name} {number}"
    return free


def shown_of(vehicle: Vehicle) -> tuple[object, ...]:
    """All that the vehicle's own rows say: accessories, and where their leads are joined."""
    slots = (look_up.slot(vehicle, tap.slot) for tap in vehicle.taps if tap.slot is not None)
    named = tuple((slot.id, str(look_up.slot_with_circuit(slot))) for slot in slots)
    return vehicle.accessories, vehicle.taps, vehicle.feeds, named


def payload_for(vehicle: Vehicle, selection: Selection | None) -> Payload | None:
    """The row of the shelf that a selection means."""
    if selection is None:
        return None
    if selection.kind == "accessory":
        return Payload(accessory=selection.id)
    if selection.kind == "tap":
        tap = look_up.tap(vehicle, selection.id)
        return Payload(accessory=tap.accessory, lead=tap.lead)
    return None
