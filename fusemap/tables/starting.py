"""What a start takes: voltages, currents and charges, each as low, usual and high.

In: the table `starting`. Out: frozen rows; shares are given as such, not in per cent.
"""

from collections.abc import Mapping
from functools import cache
from typing import Final

from msgspec import Struct

from fusemap.tables.reading import Source, number, pick, required, rows, source
from fusemap.text import Text, say

LABELS: Final = ("en", "sae", "iec", "din")
"""The standards that a label may name beside its cold cranking current."""
SECONDS: Final = {"en": 10.0, "sae": 30.0, "iec": 60.0, "din": 30.0}
"""After how long each of them looks at the voltage [s]."""


class StartFact(Struct, frozen=True):
    """A figure in the unit of its key: between low and high lie eight of ten cases, half below
    the usual one. Where the table has no ends they are the figure itself.
    """

    key: str
    what: str
    low: float
    value: float
    high: float
    at_c: float | None
    source: Source


@cache
def start_facts() -> Mapping[str, StartFact]:
    """Every row by its key."""
    found = {}
    for row in rows("starting"):
        scale = 0.01 if row["unit"] == "%" else 1.0
        value = required(row, "value")
        ends = (number(row, "low"), number(row, "high"))
        low, high = (value if end is None else end for end in ends)
        found[row["key"]] = StartFact(
            row["key"],
            row["what"],
            low * scale,
            value * scale,
            high * scale,
            number(row, "at_c"),
            source(row),
        )
    return found


def start_fact(key: str) -> StartFact:
    """One row. Raises InputProblem naming those there are."""
    return pick(start_facts(), key, _no_fact)


class LabelTest(Struct, frozen=True):
    """What a label's standard asks for: volts held [V] after a time [s] at the cold current."""

    held_v: float
    seconds: float
    source: Source


@cache
def label_tests() -> Mapping[str, LabelTest]:
    """The cold tests by the short name of their standard."""
    facts = {key: start_fact(f"cold_test_{key}") for key in LABELS}
    return {key: LabelTest(f.value, SECONDS[key], f.source) for key, f in facts.items()}


def _no_fact(key: str) -> tuple[Text, Text]:
    return say("figure of a start"), say("there is no figure “{key}”", key=key)
