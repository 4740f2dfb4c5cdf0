"""Named rules, generic accessories, cautions, circuit words and the words of the trade."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from fusemap.tables.reading import Source, number, pick, required, rows, several, source


@dataclass(frozen=True, slots=True)
class RuleDefault:
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


def rule_default(key: str) -> RuleDefault:
    """One named rule. Raises InputProblem naming those there are."""
    return pick(rule_defaults(), key, "rule")


@dataclass(frozen=True, slots=True)
class AccessoryKind:
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
    note: str
    source: Source


PLAIN = ("typical", "low", "high", "standby_a", "standby_low_a", "standby_high_a", "duty",
         "duty_period_s", "inrush_multiple", "inrush_s")  # fmt: skip
OPTIONAL = ("min_voltage_v", "cut_off_v", "cut_on_v", "run_on_min")
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


@dataclass(frozen=True, slots=True)
class Caution:
    """A caution, and when it applies: `always`, or by the word for a kind of job."""

    key: str
    text: str
    when: str
    source: Source


@cache
def cautions() -> tuple[Caution, ...]:
    """Every caution, in the order of the sheet."""
    return tuple(
        Caution(row["key"], row["text"], row["when"], source(row)) for row in rows("cautions")
    )


@dataclass(frozen=True, slots=True)
class CircuitWord:
    """A word in a circuit's name that proposes a mark: `critical` or `monitored`, and why."""

    word: str
    language: str
    mark: str
    reason: str


@cache
def circuit_words() -> tuple[CircuitWord, ...]:
    """Every such word; longer words first, so that the most exact one is found first."""
    found = [
        CircuitWord(row["word"], row["language"], row["mark"], row["reason"])
        for row in rows("circuit_words")
    ]
    return tuple(sorted(found, key=lambda word: -len(word.word)))


@dataclass(frozen=True, slots=True)
class Term:
    """A word of the trade, what it means here, and what else it is called."""

    term: str
    meaning: str
    also_heard: tuple[str, ...]


@cache
def vocabulary() -> tuple[Term, ...]:
    """The words of the trade."""
    return tuple(
        Term(row["term"], row["meaning"], several(row, "also_heard")) for row in rows("words")
    )


@dataclass(frozen=True, slots=True)
class Terminal:
    """A terminal number of DIN 72552, its meaning, and what it is good for here."""

    number: str
    meaning: str
    use: str
    source: Source


@cache
def terminals() -> tuple[Terminal, ...]:
    """The terminal numbers."""
    return tuple(
        Terminal(row["number"], row["meaning"], row["use"], source(row))
        for row in rows("terminals")
    )
