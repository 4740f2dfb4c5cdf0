"""Every figure, text and list of the document has an end: nothing in it is without bounds."""

from collections.abc import Iterator
from math import isfinite

import pytest
from msgspec import Struct, inspect
from msgspec.structs import replace

from fusemap import tables
from fusemap.vehicle import (
    STATES,
    Accessory,
    Battery,
    Cable,
    CrankReading,
    Drive,
    Feed,
    FittedThen,
    Meter,
    MeterRange,
    Panel,
    Parking,
    Pin,
    Reading,
    Slot,
    Socket,
    StandReading,
    StateLoads,
    Stretch,
    Vehicle,
)
from fusemap.vehicle.parts import Value
from fusemap.vehicle.validity import (
    EITHER_SIGN,
    LARGEST,
    MOST,
    MOST_OTHERS,
    MOST_READ,
    faults,
    number_faults,
    span,
)

BOUNDED_BY_WORDS = (inspect.LiteralType, inspect.NoneType, inspect.BoolType, inspect.StrType)


def fields(struct: type[Struct] = Vehicle) -> Iterator[tuple[type[Struct], str, inspect.Type]]:
    """Every field of the document with the part it is of and each type it may have."""
    for field in inspect.type_info(struct).fields:
        for kind in sorts(field.type):
            yield struct, field.name, kind
            inner = kind.item_type if isinstance(kind, inspect.VarTupleType) else kind
            if isinstance(inner, inspect.StructType):
                yield from fields(inner.cls)


def sorts(kind: inspect.Type) -> tuple[inspect.Type, ...]:
    return kind.types if isinstance(kind, inspect.UnionType) else (kind,)


def numeric(struct: type[Struct] = Vehicle) -> list[tuple[str, str]]:
    """The part and the name of every field that holds a number."""
    return sorted(
        {
            (part.__name__, name)
            for part, name, kind in fields(struct)
            if isinstance(kind, (inspect.FloatType, inspect.IntType))
        }
    )


@pytest.mark.parametrize(("part", "name"), numeric())
def test_every_number_of_the_document_has_a_least_and_a_largest(part, name):
    least, most = span(name)
    assert isfinite(least)
    assert isfinite(most)
    assert least < most
    assert most <= 1e6, "a figure of no vehicle"


class Lamp(Value, frozen=True, kw_only=True):
    """A part somebody might add, with a figure nobody has bounded."""

    brightness: float = 0.0


def test_a_new_number_without_bounds_is_found():
    assert numeric(Lamp) == [("Lamp", "brightness")]
    with pytest.raises(KeyError, match="brightness"):
        span("brightness")
    with pytest.raises(KeyError, match="brightness"):
        list(number_faults(Lamp(brightness=3.0), ""))


def test_every_field_is_of_a_sort_that_is_looked_at():
    """Numbers, texts, words, parts and lists of parts or words; nothing that could hide more."""
    for part, name, kind in fields():
        known = (inspect.FloatType, inspect.IntType, inspect.StructType, *BOUNDED_BY_WORDS)
        if isinstance(kind, inspect.VarTupleType):
            inner = (inspect.StructType, inspect.LiteralType, inspect.StrType)
            assert isinstance(kind.item_type, inner), f"{part.__name__}.{name}"
        else:
            assert isinstance(kind, known), f"{part.__name__}.{name}"


def test_what_a_meter_shows_and_what_a_rule_may_be_lie_within_the_bounds_of_a_value():
    assert set(EITHER_SIGN) == {"value", "highest"}
    least, most = span("value")
    assert -least == most >= max(MOST_READ.values())
    assert all(least <= rule.low < rule.high <= most for rule in tables.rule_defaults().values())


@pytest.mark.parametrize("state", STATES)
def test_a_current_beyond_any_vehicle_is_refused_in_every_state(state):
    loads = StateLoads(**{state: 5001.0})
    feed = Feed(id="f", name="Main", other_load=loads)
    slot = Slot(id="s", row=0, column=0, own_load=loads)
    panel = Panel(id="p", name="Dash", rows=1, columns=1, slots=(slot,))
    assert [fault.path for fault in faults(Vehicle(name="Van", feeds=(feed,)))] == [
        f"feeds[0].other_load.{state}"
    ]
    assert [fault.path for fault in faults(Vehicle(name="Van", panels=(panel,)))] == [
        f"panels[0].slots[0].own_load.{state}"
    ]


def test_a_text_in_a_list_is_looked_at_as_any_other():
    many = replace(MANY["Reading"], fuses_out=("slot-1", "x" * 100_000))
    assert [fault.path for fault in number_faults(many, "")] == ["fuses_out[1]"]


def lists() -> list[tuple[str, str]]:
    return sorted({(p.__name__, n) for p, n, k in fields() if isinstance(k, inspect.VarTupleType)})


MANY = {
    "Vehicle": Vehicle(name="Van"),
    "Panel": Panel(id="p", name="Dash", rows=1, columns=1),
    "Parking": Parking(),
    "Battery": Battery(),
    "Drive": Drive(start_h=8.0, minutes=20.0),
    "Accessory": Accessory(id="a", name="Fan", watts=15.0),
    "Meter": Meter(id="m", name="Pocket meter"),
    "Reading": Reading(id="r", when="2025-05-17", quantity="inline_current", value=0.3),
    "Cable": Cable(section_mm2=1.5, length_m=1.0),
    "StandReading": StandReading(kind="night", hours=14.0, mean_a=0.05),
    "Socket": Socket(id="s", name="Tow socket", kind="tow_13"),
}
ITEMS = {
    "pins": Pin(number=1),
    "further": Stretch(length_m=1.0),
    "ranges": MeterRange(quantity="volts", resolution=0.01),
    "crank_readings": CrankReading(rest_v=12.6, crank_v=10.2, temperature_c=5.0),
    "stand_readings": StandReading(kind="night", hours=14.0, mean_a=0.05),
    "fitted": FittedThen(accessory="a"),
    "readings": Reading(id="r", when="2025-05-17", quantity="volts", value=12.0),
}


@pytest.mark.parametrize(("part", "name"), lists())
def test_every_list_of_the_document_has_an_end(part, name):
    most = MOST.get(name, MOST_OTHERS)
    many = replace(MANY[part], **{name: (ITEMS.get(name, "mon"),) * (most + 1)})
    assert str(most + 1) in next(number_faults(many, "")).what
    fewer = replace(many, **{name: (ITEMS.get(name, "mon"),) * most})
    assert "more than can be here" not in str(list(number_faults(fewer, "")))


def test_no_bound_is_left_over():
    """Each bound is of some field: one that no field has would hide a misspelt name."""
    names = [name for _, name in numeric()]
    used = {next(end for end in LARGEST if name.endswith(end)) for name in names}
    assert set(LARGEST) == used
