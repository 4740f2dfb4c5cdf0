"""What of a tap's chain could not be held against a limit, and what is missing for it.

In: the view of one tap. Out: sentences in the order of the current, none where everything was
checked. A hop that has no figures must not pass for one that holds.
"""

from collections.abc import Iterator

from fusemap.assess import facts
from fusemap.assess.hops.kind import View
from fusemap.text import Text, say
from fusemap.vehicle import Feed, look_up


def unchecked(v: View, feeds: tuple[Feed, ...]) -> tuple[Text, ...]:
    """Every hop of a tap that is missing for want of a figure; `feeds` are those above it."""
    return (*_feeds(feeds), *_slot(v), *_inrush(v), *_cable(v), *_converter(v))


def _feeds(feeds: tuple[Feed, ...]) -> Iterator[Text]:
    for feed in feeds:
        if feed.limit_a is None and feed.fuse is None:
            yield say("Feed “{feed}”: neither a limit nor a fuse is entered", feed=feed.name)


def _slot(v: View) -> Iterator[Text]:
    if v.tap.slot is not None:
        slot = look_up.slot(v.a.vehicle, v.tap.slot)
        if slot.fuse is None:
            yield say(
                "Host fuse {slot}: no fuse is entered in this slot", slot=look_up.slot_words(slot)
            )


def _inrush(v: View) -> Iterator[Text]:
    fuse = v.tap.fuse
    if v.tap.lead != "power" or fuse is None or not v.accessory.inrush_s > 0:
        return
    missing = facts.melting_i2t(fuse.family, fuse.rating) is None
    if missing and not v.hops["inrush"].given[v.column]:
        yield say("Inrush through the accessory fuse: its melting I²t is not published")


def _cable(v: View) -> Iterator[Text]:
    if v.tap.cable_out is None:
        yield say("Cable: section and length are not entered")
    elif v.guard is None:
        yield say("Cable in an overload and in a short circuit: no fuse protects it")


def _converter(v: View) -> Iterator[Text]:
    converter = v.accessory.converter
    used = converter is not None and v.a.circuit.taps.behind.of(v.column)
    if converter is not None and used and v.tap.lead == "power" and converter.rating_a is None:
        yield say("Converter output: its rating is not entered")
