"""What of a tap's chain could not be held against a limit, and what is missing for it.

In: the view of one tap. Out: sentences in the order of the current, none where everything was
checked. A hop that has no figures must not pass for one that holds.
"""

from collections.abc import Iterator

from fusemap.assess import facts
from fusemap.assess.hop_view import View
from fusemap.vehicle import Feed, look_up


def unchecked(v: View, feeds: tuple[Feed, ...]) -> tuple[str, ...]:
    """Every hop of a tap that is missing for want of a figure; `feeds` are those above it."""
    return (*_feeds(v, feeds), *_slot(v), *_inrush(v), *_cable(v), *_converter(v))


def _feeds(v: View, feeds: tuple[Feed, ...]) -> Iterator[str]:
    for feed in feeds:
        if feed.limit_a is None and feed.fuse is None:
            yield f"Feed “{feed.name}”: neither a limit nor a fuse is entered"


def _slot(v: View) -> Iterator[str]:
    if v.tap.slot is not None:
        slot = look_up.slot(v.assessment.vehicle, v.tap.slot)
        if slot.fuse is None:
            yield f"Host fuse {look_up.slot_name(slot)}: no fuse is entered in this slot"


def _inrush(v: View) -> Iterator[str]:
    fuse = v.tap.fuse
    if v.tap.lead != "power" or fuse is None or not v.accessory.inrush_s > 0:
        return
    missing = facts.melting_i2t(fuse.family, fuse.rating) is None
    if missing and not v.assessment.hops["inrush"].given[v.column]:
        yield "Inrush through the accessory fuse: its melting I²t is not published"


def _cable(v: View) -> Iterator[str]:
    if v.tap.cable_out is None:
        yield "Cable: section and length are not entered"
    elif v.rating is None:
        yield "Cable in an overload and in a short circuit: no fuse protects it"


def _converter(v: View) -> Iterator[str]:
    converter = v.accessory.converter
    used = converter is not None and v.assessment.circuit.taps.behind.of(v.column)
    if converter is not None and used and v.tap.lead == "power" and converter.rating_a is None:
        yield "Converter output: its rating is not entered"
