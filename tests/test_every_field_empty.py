"""Which field left empty makes a verdict greener, or a figure milder, than what it may have?

Every field of the document that has a value for *not known* is emptied, and answered in several
ways; `every_field` finds them by the types of the structs, so that nobody keeps a list of them.
Held is that the empty one is no better than all of the answers; of the fields of
`unanswered.SPANS`, than any answer within the table's span. `SAYS` has the fields whose emptiness
is itself a statement. In the suite each vehicle gives a part of its fields; FUSEMAP_FIELDS=1 tries
all of them (five minutes).
"""

import os
from collections.abc import Iterator
from typing import Final

import pytest

from fusemap.files.demos import demo_names, read_demo
from fusemap.vehicle import Vehicle
from fusemap.vehicle.validity import faults
from tests import every_field, trade_vehicles, unanswered
from tests.every_field import Field
from tests.test_any_field_unknown import better, said

EVERY: Final = 1 if os.environ.get("FUSEMAP_FIELDS") else 12
"""One field of so many is tried."""
SAYS: Final = {
    ("StateLoads", "own_most"): "the load is as it stands",
    ("Accessory", "current_spread"): "the current is as entered",
    ("Accessory", "largest_fuse_a"): "a named rule asks for it where the fuse is large",
    ("Parking", "low_rest_current_a"): "as far off as a reading is",
    ("Parking", "high_rest_current_a"): "as far off as a reading is",
    ("Parking", "low_temperature_c"): "as far off as the weather is",
    ("Parking", "high_temperature_c"): "as far off as the weather is",
    ("Battery", "low_soh"): "as far off as a test is",
    ("Battery", "high_soh"): "as far off as a test is",
    ("Battery", "low_soc"): "as far off as a reading is",
    ("Battery", "high_soc"): "as far off as a reading is",
    ("Battery", "measured_cca_a"): "as much of the label's as the rule has for batteries in use",
    ("Feed", "fuse"): "a limit and a resistance stand for the whole feed; else see `test_ends`",
    ("Fuse", "resistance_mohm"): "as published; less of it lets a little more flow",
    ("Feed", "cable"): "counts for an added feed; any other has a resistance",
    ("Panel", "ambient_c"): "of the fuses: the rule of the place; of the cables see `test_warmth`",
    ("Tap", "relay_coil_a"): "a named rule; answers beyond the span of coils are no answers",
}
"""Where an empty field says something: what that is. Loads are named after their place."""


def vehicles() -> dict[str, Vehicle]:
    found = {make.__name__: make() for make in trade_vehicles.BUILT}
    return found | {key: read_demo(key) for key, _ in demo_names()}


def statement(field: Field) -> bool:
    """Whether leaving it empty says something."""
    owner = field.where.rpartition(".")[0].rpartition(".")[2]
    return field.key in SAYS or (field.kind, owner) in SAYS


def span_of(field: Field, empty: Vehicle) -> unanswered.Span | None:
    """Between which answers it lies by the table; `None` where no row has it."""
    if field.where not in unanswered.SPANS:
        return None
    return unanswered.SPANS[field.where](empty)


def compared(name: str, vehicle: Vehicle, field: Field, known: every_field.Seen) -> Iterator[str]:
    """What is better with this field empty than with every answer, or with one within its span."""
    empty = unanswered.emptied(field.put(field.empty), field.where)
    if any(True for _ in faults(empty)):
        return
    without, span = said(empty), span_of(field, empty)
    tried, worse = 0, []
    values = list(every_field.answers(field, vehicle, known))
    if span is not None:
        values = [span.low, (span.low + span.high) / 2, span.high]
    for value in values:
        answered = field.put(value)
        if span is not None:
            answered = unanswered.answered(empty, field.where, value)
        if value == field.empty or any(True for _ in faults(answered)):
            continue
        tried += 1
        found = better(said(answered), without, field.where)
        worse += [f"{name}, {field.where} of {value}: {found[0]}"] if found else []
        if span is None and not found:
            return
    if worse and (span is not None or len(worse) == tried):
        yield worse[0]


@pytest.mark.parametrize("name", vehicles())
def test_no_field_left_empty_is_milder_than_what_it_may_have(name: str) -> None:
    every = vehicles()
    known, vehicle = every_field.seen(every.values()), every[name]
    fields = [each for each in every_field.places(vehicle) if not statement(each)]
    part = [f for n, f in enumerate(fields) if n % EVERY == 0 or f.where in unanswered.SPANS]
    assert len(fields) > 60
    found = [each for field in part for each in compared(name, vehicle, field, known)]
    assert not found, "\n".join(found)


def test_the_fields_are_those_of_every_kind_of_part() -> None:
    """A new field that may be empty is among them without anybody naming it."""
    kinds = {each.key for vehicle in vehicles().values() for each in every_field.places(vehicle)}
    assert kinds >= {
        ("Battery", "soh"), ("Battery", "cca_a"), ("Parking", "alternator_a"), ("Feed", "fuse"),
        ("Slot", "feed_class"), ("Slot", "fuse"), ("StateLoads", "asleep"), ("Tap", "cable_out"),
        ("Accessory", "min_voltage_v"), ("EarthPoint", "resistance_mohm"), ("Tap", "switch"),
        ("SecondBattery", "link_cable"), ("Converter", "rating_a"), ("Panel", "ambient_c"),
    }  # fmt: skip


def test_every_statement_is_about_a_field_there_is() -> None:
    kinds = {each.__name__: each for each in every_field.kinds()}
    for kind, name in SAYS:
        owner = "Slot" if kind == "StateLoads" else kind
        assert name in kinds[owner].__struct_fields__
