"""The one gate for what may exist: what passes it can be saved, kept and read again.

`fusemap.vehicle.validity` knows what a vehicle can be; the tables know the fuse families and their
ratings, the cable insulations, the named rules and the kinds of accessory; here stands how a
vehicle is written and how large it may be. Asked at each edit (`refuse_edit`) and whenever a
vehicle is read, saved or kept (`check_vehicle`). Out: the first fault, with its path and what to
do.

A vehicle is written as one UTF-8 JSON document, `format` and `version` first; indented by 2 as it
is saved, or on one line as it is kept. What equals its default is left out.
"""

from collections.abc import Collection, Iterator
from typing import Any

import msgspec
from msgspec.structs import replace

from fusemap import tables
from fusemap.errors import EditRefused
from fusemap.files.wording import nearest, problem, type_fault
from fusemap.text import Text, given, in_row, say
from fusemap.vehicle import Fuse, RuleChoice, Vehicle
from fusemap.vehicle.field_words import in_words
from fusemap.vehicle.validity import Fault, cables_of, faults, new_parts

FORMAT = "fusemap vehicle"
VERSION = 8
MOST_BYTES = 20_000_000
"""No vehicle fills this; a larger file is something else [bytes]."""
MOST_MB = MOST_BYTES // 1_000_000
MOST_INDENTED = 32
"""No sign of a file on one line becomes more by parting it into lines: it may end one, and the next
is indented by two for each of the parts it is in, which are ten at most."""


def render(vehicle: Vehicle) -> str:
    """The text of a vehicle's file.

    >>> print(render(Vehicle(name="Van", system_v=24)), end="")
    {
      "format": "fusemap vehicle",
      "version": 8,
      "name": "Van",
      "system_v": 24
    }
    """
    return _indented(compact(vehicle)).decode() + "\n"


def compact(vehicle: Vehicle) -> bytes:
    """The same file on one line, made in the least time: for work that is kept after every edit."""
    fields = msgspec.json.encode(vehicle)
    head = msgspec.json.encode({"format": FORMAT, "version": VERSION})
    return head[:-1] + b"," + fields[1:]  # a vehicle has a name: there is a field to follow


def _indented(on_one_line: bytes) -> bytes:
    return msgspec.json.format(on_one_line, indent=2)


def size_faults(on_one_line: bytes) -> Iterator[Fault]:
    """A vehicle, as `compact` writes it, whose saved file would be larger than any that is read."""
    if len(on_one_line) * MOST_INDENTED < MOST_BYTES:  # as nearly always: no need to write it out
        return
    if len(_indented(on_one_line)) >= MOST_BYTES:  # the end of its last line comes on top
        yield Fault(
            "",
            say("the vehicle's file would be larger than {most} MB", most=MOST_MB),
            say("take a photo away, or shorten long notes"),
        )


def check_vehicle(vehicle: Vehicle, name: str = "") -> None:
    """Raise `FileProblem` for the first thing that is impossible, in no table, or too large.

    `name` says where what concerns the whole vehicle is.
    """
    for path, what, remedy in vehicle_faults(vehicle):
        raise problem(what, path or name, remedy)


def refuse_edit(before: Vehicle, after: Vehicle) -> None:
    """Raise `EditRefused` for what no file could hold in a vehicle that an edit has made.

    `before` has passed the gate: what is the very same part in both is not looked at again.
    """
    for path, what, remedy in vehicle_faults(after, before):
        raise EditRefused(what, in_words(path), remedy)


def vehicle_faults(vehicle: Vehicle, known: Vehicle | None = None) -> Iterator[Fault]:
    """Everything for which a file with this vehicle would be refused.

    `known` is a vehicle without faults that shares parts with it: these are left out.
    """
    yield from faults(vehicle, known)
    yield from _word_faults(vehicle, known)
    yield from table_faults(vehicle, known)
    yield from size_faults(compact(vehicle))


def _word_faults(vehicle: Vehicle, known: Vehicle | None = None) -> Iterator[Fault]:
    """The first word or sort of value that no file may have in its place."""
    looked_at = vehicle if known is None else _what_is_new(vehicle, known)
    try:
        msgspec.json.decode(msgspec.json.encode(looked_at), type=Vehicle)
    except msgspec.ValidationError:
        yield from _first_wrong_word(msgspec.to_builtins(vehicle))


def _what_is_new(vehicle: Vehicle, known: Vehicle) -> Vehicle:
    """The vehicle without the parts that are the very same in `known`."""
    names = ("panels", "feeds", "accessories", "taps", "sockets", "meters", "readings")
    kept = {name: tuple(part for _, part in new_parts(vehicle, known, name)) for name in names}
    slots = {id(slot) for panel in known.panels for slot in panel.slots}
    photos = {id(panel.photo) for panel in known.panels}
    kept["panels"] = tuple(
        replace(
            panel,
            slots=tuple(slot for slot in panel.slots if id(slot) not in slots),
            photo=None if id(panel.photo) in photos else panel.photo,
        )
        for panel in kept["panels"]
    )
    return replace(vehicle, **kept)


def _first_wrong_word(fields: dict[str, Any]) -> Iterator[Fault]:
    try:
        msgspec.convert(fields, Vehicle)
    except msgspec.ValidationError as error:
        yield type_fault(str(error), fields)


def table_faults(vehicle: Vehicle, known: Vehicle | None = None) -> Iterator[Fault]:
    """Everything that the vehicle names and the tables do not have, but for slots of `known`."""
    yield from _panel_faults(vehicle, known)
    for index, feed in enumerate(vehicle.feeds):
        yield from _fuse_faults(feed.fuse, f"feeds[{index}].fuse")
    for index, tap in enumerate(vehicle.taps):
        yield from _fuse_faults(tap.fuse, f"taps[{index}].fuse")
    if vehicle.second_battery is not None:
        for name in ("near_fuse", "far_fuse"):
            fuse = getattr(vehicle.second_battery, name)
            yield from _fuse_faults(fuse, f"second_battery.{name}")
    for path, cable in cables_of(vehicle):
        yield from _known(
            cable.insulation,
            tables.insulations(),
            say("“{word}” is not a cable insulation", word=cable.insulation),
            f"{path}.insulation",
        )
    for index, accessory in enumerate(vehicle.accessories):
        if accessory.kind:
            yield from _known(
                accessory.kind,
                [kind.key for kind in tables.accessory_kinds()],
                say("“{word}” is not a kind of accessory", word=accessory.kind),
                f"accessories[{index}].kind",
            )
    for index, rule in enumerate(vehicle.rules):
        yield from _rule_faults(rule, f"rules[{index}]")


def _panel_faults(vehicle: Vehicle, known: Vehicle | None) -> Iterator[Fault]:
    seen = {id(slot) for panel in known.panels for slot in panel.slots} if known else set()
    for p, panel in enumerate(vehicle.panels):
        for s, slot in enumerate(panel.slots):
            if id(slot) in seen:
                continue
            path = f"panels[{p}].slots[{s}]"
            yield from _family_faults(slot.family, f"{path}.family")
            yield from _fuse_faults(slot.fuse, f"{path}.fuse")


def _family_faults(family: str, path: str) -> Iterator[Fault]:
    return _known(
        family, tables.fuse_families(), say("“{word}” is not a fuse family", word=family), path
    )


def _fuse_faults(fuse: Fuse | None, path: str) -> Iterator[Fault]:
    if fuse is None:
        return
    unknown = tuple(_family_faults(fuse.family, f"{path}.family"))
    yield from unknown
    ratings = () if unknown else tables.fuse_family(fuse.family).ratings_a
    if not unknown and fuse.rating not in ratings:
        yield Fault(
            f"{path}.rating",
            say(
                "{rating} is not a rating of the {family} family",
                rating=given(fuse.rating),
                family=fuse.family,
            ),
            say("its ratings are {ratings} A", ratings=in_row(given(each) for each in ratings)),
        )


def _rule_faults(choice: RuleChoice, path: str) -> Iterator[Fault]:
    yield from _known(
        choice.key,
        tables.rule_defaults(),
        say("“{word}” is not a named rule", word=choice.key),
        f"{path}.key",
    )
    rule = tables.rule_defaults().get(choice.key)
    if rule is not None and not rule.low <= choice.value <= rule.high:
        yield Fault(
            f"{path}.value",
            say(
                "{value} is no believable value of “{rule}”",
                value=given(choice.value),
                rule=Text(rule.label),
            ),
            say("enter {low} to {high}", low=given(rule.low), high=given(rule.high, rule.unit)),
        )


def _known(word: str, known: Collection[str], what: Text, path: str) -> Iterator[Fault]:
    """The fault `what` when a word is in no table, with the nearest one that is."""
    if word in known:
        return
    yield Fault(path, what, nearest(word, sorted(known)))
