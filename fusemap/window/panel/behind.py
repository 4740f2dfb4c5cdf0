"""What an accessory made for another voltage may hang behind: a converter, fitted or to be placed.

In: the document and what is in hand. Out: the converters whose output suits it, and what can be
done at once as words with a function: hang it there, or take such a converter up first.
"""

from collections.abc import Callable, Mapping, Sequence
from functools import partial
from typing import Any

from PySide6.QtCore import QCoreApplication

from fusemap import tables
from fusemap.advise import library
from fusemap.text import Style, Text
from fusemap.vehicle import Accessory, Vehicle, edits, look_up
from fusemap.window.document import Document

Choices = list[tuple[str, Callable[[], object]]]
translate = QCoreApplication.translate


def fitting_converters(vehicle: Vehicle, accessory: Accessory) -> tuple[Accessory, ...]:
    """The vehicle's converters whose output voltage is that of an accessory."""
    return tuple(
        each
        for each in look_up.converters(vehicle)
        if each.id != accessory.id
        and each.converter is not None
        and not look_up.misfit(accessory.rated_v, each.converter.output_v)
    )


def fitting_kinds(vehicle: Vehicle, accessory: Accessory) -> tuple[str, ...]:
    """The converters of the library that suit the vehicle's voltage and give an accessory its."""
    return tuple(
        key
        for key, known in tables.converters().items()
        if not look_up.misfit(accessory.rated_v, known.output_v)
        and not look_up.misfit(library.fields(key)["rated_v"], vehicle.system_v)
    )


def hang_choices(
    document: Document,
    accessory: Accessory,
    behind: Sequence[Accessory],
    added: Mapping[str, Any] | None,
    put_down: Callable[[], object],
) -> Choices:
    """Hang it behind one of these converters; `added` are its fields where it is a new one."""
    words = translate("Placing", "Hang it behind {converter}")
    return [
        (
            words.format(converter=each.name),
            partial(_hang, document, accessory, each, added, put_down),
        )
        for each in behind
    ]


def first_choices(
    document: Document, accessory: Accessory, style: Style, take_up: Callable[[str], object]
) -> Choices:
    """Take up a converter of the library that it may hang behind."""
    words = translate("Placing", "First place: {converter}")
    return [
        (
            words.format(converter=style.show(Text(library.kind(key).name).capital())),
            partial(take_up, key),
        )
        for key in fitting_kinds(document.vehicle, accessory)
    ]


def _hang(
    document: Document,
    accessory: Accessory,
    converter: Accessory,
    added: Mapping[str, Any] | None,
    put_down: Callable[[], object],
) -> bool:
    """Put it on a converter's output, as one step."""
    put_down()
    words = translate("Placing", "{name} behind {converter}")
    text = words.format(name=accessory.name, converter=converter.name)
    done = document.apply(text, put_behind, accessory.id, converter.id, added)
    if done:
        last = document.vehicle.accessories[-1]
        document.select("accessory", accessory.id if added is None else last.id)
    return done


def put_behind(
    vehicle: Vehicle, accessory_id: str, converter_id: str, added: Mapping[str, Any] | None
) -> Vehicle:
    """The vehicle with an accessory on a converter's output; `added` are the fields of a new one.

    Raises `EditRefused` where the converter cannot take it.
    """
    if added is not None:
        vehicle = edits.add_accessory(vehicle, **added)
        accessory_id = vehicle.accessories[-1].id
    return edits.change_accessory(vehicle, accessory_id, supplied_by=converter_id)
