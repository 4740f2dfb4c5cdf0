"""Named rules, generic accessories with what they may do while parked, and converters.

In: the tables `rules`, `accessory_kinds`, `parked_modes` and `converters`. Out: frozen rows; each
number has its unit in its name or beside it in `unit`.
"""

from collections.abc import Mapping
from functools import cache

from msgspec import Struct

from fusemap.tables.reading import Source, number, pick, required, rows, rows_of, several, source
from fusemap.text import Text, say


class RuleDefault(Struct, frozen=True):
    """A named rule: its default, the span in which a value is believable, and what it is for."""

    key: str
    label: str
    value: float
    unit: str
    low: float
    high: float
    what: str
    source: Source


@cache
def rule_defaults() -> Mapping[str, RuleDefault]:
    """Every named rule by its key."""
    return {
        row["key"]: RuleDefault(
            row["key"],
            row["label"],
            required(row, "value"),
            row["unit"],
            required(row, "low"),
            required(row, "high"),
            row["what"],
            source(row),
        )
        for row in rows("rules")
    }


def _no_rule(key: str) -> tuple[Text, Text]:
    return say("rule"), say("there is no rule “{key}”", key=key)


def rule_default(key: str) -> RuleDefault:
    """One named rule. Raises InputProblem naming those there are."""
    return pick(rule_defaults(), key, _no_rule)


class AccessoryKind(Struct, frozen=True):
    """A generic accessory with usual figures; `unit` says whether they are watts or amperes.

    Currents in A, times in s or min, voltages in V as for a 12 V vehicle.
    """

    key: str
    name: str
    group: str
    typical: float
    low: float
    high: float
    unit: str
    standby_a: float
    standby_low_a: float
    standby_high_a: float
    load_kind: str
    needs: str
    leads: tuple[str, ...]
    works_in: tuple[str, ...]
    duty: float
    duty_period_s: float
    inrush_multiple: float
    inrush_s: float
    min_voltage_v: float | None
    cut_off_v: float | None
    cut_on_v: float | None
    run_on_min: float | None
    longest_run_s: float | None
    note: str
    source: Source


PLAIN = ("typical", "low", "high", "standby_a", "standby_low_a", "standby_high_a", "duty",
         "duty_period_s", "inrush_multiple", "inrush_s")  # fmt: skip
OPTIONAL = ("min_voltage_v", "cut_off_v", "cut_on_v", "run_on_min", "longest_run_s")
TEXT = ("key", "name", "group", "unit", "load_kind", "needs", "note")


@cache
def accessory_kinds() -> tuple[AccessoryKind, ...]:
    """Every generic accessory, in the table's order."""
    return tuple(
        AccessoryKind(
            **{column: row[column] for column in TEXT},  # type: ignore[arg-type]
            **{column: required(row, column) for column in PLAIN},  # type: ignore[arg-type]
            **{column: number(row, column) for column in OPTIONAL},  # type: ignore[arg-type]
            leads=several(row, "leads"),
            works_in=several(row, "works_in"),
            source=source(row),
        )
        for row in rows("accessory_kinds")
    )


class ParkedMode(Struct, frozen=True):
    """What a kind of accessory may do while parked, and what it takes then: usual, ends [A]."""

    key: str
    name: str
    typical_a: float
    low_a: float
    high_a: float
    source: Source


@cache
def parked_modes(kind: str) -> Mapping[str, ParkedMode]:
    """The modes of a kind of accessory by their keys; none where it has no choice."""
    found = {}
    for key, row in rows_of("parked_modes", kind):
        ends = (required(row, "low_a"), required(row, "high_a"))
        usual = required(row, "typical_a")
        found[key] = ParkedMode(key, row["name"], usual, *ends, source(row))
    return found


class ConverterKind(Struct, frozen=True):
    """A generic converter: output [V], lasting rating [A], efficiency [-], own draw [W]."""

    key: str
    output_v: float
    efficiency: float
    rating_a: float
    own_w: float
    source: Source


@cache
def converters() -> Mapping[str, ConverterKind]:
    """The kinds of accessory that are converters, by the key of the kind."""
    return {
        row["key"]: ConverterKind(
            row["key"],
            required(row, "output_v"),
            required(row, "efficiency"),
            required(row, "rating_a"),
            required(row, "own_w"),
            source(row),
        )
        for row in rows("converters")
    }
