"""Walk what is said by its types: every text, every amount, every name in it.

Nothing here looks for patterns of language: a text is a template with places, and in a place stands
an amount, another text, a row of them, or a name that somebody gave. So a word of English that is
no text shows up as a name that nobody gave. `told` collects what is said of a vehicle, `problems`
says what would be shown wrongly of it in some language or unit.
"""

import re
from collections.abc import Iterator, Mapping, Set
from contextlib import contextmanager
from dataclasses import fields, is_dataclass
from functools import cache
from typing import Any, get_args, get_type_hints

import pytest
from msgspec import Struct, inspect

from fusemap import catalogues, tables
from fusemap.advise.proposal import proposal
from fusemap.assess import Assessment
from fusemap.catalogues import Messages
from fusemap.checks import findings
from fusemap.circuits import FUNCTION_WORDS, circuit_of
from fusemap.errors import FusemapError, InputProblem
from fusemap.fixes import what_if
from fusemap.fixes.trial import effect_words, find_fixes
from fusemap.placement import answers, candidates
from fusemap.placement.joint import plan_rest
from fusemap.probing import (
    conclusions,
    disbelief,
    evidence,
    final_check,
    loads,
    plan,
    remainder,
)
from fusemap.tables.reading import all_tables
from fusemap.text import Argument, Listing, Style, Text
from fusemap.vehicle import STATES, Vehicle, look_up
from fusemap.vehicle.parts import Value
from fusemap.vehicle.words import FEED, STATE

LANGUAGES = tuple(catalogues.LANGUAGES)
METRIC: Mapping[str, Any] = {}
AMERICAN = {"length": "ft", "temperature": "°F", "section_unit": "AWG"}
KEYS = {"family", "insulation", "kind", "joint", "key"}
"""Fields of a vehicle that hold the key of a table: no name that anybody gave."""
SAMPLE = "§"
"""Stands for every name where a shown text is read for figures: a name may hold any."""

_FIGURE = re.compile(r"\d[.,]\d|\d\s*(°C|°F|m\b|ft\b|mm²)")
_PLACE = re.compile(r"\{\w+\}")
_WORD = re.compile(r"[a-z]{3,}")
_LETTERS = re.compile(r"[^\W\d_]{2}")
_BOTH = re.compile(r"\d+ °C \(\d+ °F\)")
"""In a table's words a temperature may stand in both units, for every reader."""
_METRIC = re.compile(r"\d[ \u202f](m|°C)(?!\w)")
_BARE_AREA = re.compile(r"(?<!≥ )(?<![\d.,])[\d.,]+\u202fmm²")
_SIGN = {".": re.compile(r"\d,\d"), ",": re.compile(r"\d\.\d")}
"""What shows that a figure has another language's decimal sign."""


# --- walking --------------------------------------------------------------------------------------


def said(value: Any, kind: Any = None) -> Iterator[Argument]:
    """Every text in a value made of records, rows and tables, and every name beside them.

    A `str` is taken for a name where the type of its place lets a text stand there, too.
    """
    if isinstance(value, Text | Listing):
        yield value
    elif isinstance(value, str):
        if _may_be_text(kind):
            yield value
    elif names := _fields(value):
        hints = _hints(type(value))
        for name in names:
            yield from said(getattr(value, name), hints[name])
    elif isinstance(value, Mapping):
        for each in value.values():
            yield from said(each, kind)
    elif isinstance(value, list | tuple | Set):
        for each in value:
            yield from said(each, kind)


def _fields(value: Any) -> tuple[str, ...]:
    """What a record holds; nothing of a part of the document, nor of what is none."""
    if isinstance(value, Struct) and not isinstance(value, Value):
        return value.__struct_fields__
    if is_dataclass(value) and not isinstance(value, type):
        return tuple(field.name for field in fields(value))
    return ()


@cache
def _hints(record: type) -> dict[str, Any]:
    return get_type_hints(record)


def _may_be_text(kind: Any) -> bool:
    return kind is Text or any(_may_be_text(each) for each in get_args(kind))


def parts(text: Argument) -> Iterator[Argument]:
    """A text and everything that stands in its places, however deep."""
    yield text
    if isinstance(text, Text):
        for part in text.parts.values():
            yield from parts(part)
    elif isinstance(text, Listing):
        for part in text.parts:
            yield from parts(part)


def not_in(messages: Messages, text: Argument) -> Iterator[str]:
    """The templates of a text, and of the texts in its places, that a catalogue has not got."""
    for part in parts(text):
        if not isinstance(part, Text) or messages.knows(part.template, part.context):
            continue
        if not part.bare and _WORD.search(_PLACE.sub("", part.template)):
            yield part.template


# --- judging --------------------------------------------------------------------------------------


def problems(text: Argument, names: Set[str]) -> Iterator[str]:
    """What would be shown wrongly of a text, or of a name beside texts, in any language or unit."""
    for part in parts(text):
        if isinstance(part, Text):
            yield from _of_template(part)
        elif isinstance(part, str) and part not in names and _LETTERS.search(part):
            yield f"no name that anybody gave: “{part}”, in {text!r}"
    if isinstance(text, Text):
        yield from _of_shown(text)


def _of_template(text: Text) -> Iterator[str]:
    words = _BOTH.sub("", _PLACE.sub("", text.template))
    if text.template in titles():
        return
    if text.bare:
        if _LETTERS.search(words):
            yield f"words in a template that has none: “{text.template}”"
        return
    if _FIGURE.search(words):
        yield f"a figure in words: “{text.template}”"
    if _LETTERS.search(words):
        for code in LANGUAGES[1:]:
            if not catalogues.messages(code).knows(text.template, text.context):
                yield f"{code} has no words for “{text.template}” ({text.context})"


def _of_shown(text: Text) -> Iterator[str]:
    nameless = without_titles(text.with_names(lambda name: SAMPLE if name else name))
    for code in LANGUAGES:
        for units in (METRIC, AMERICAN):
            style = Style(code, **units)
            shown = _BOTH.sub("", style.show(nameless))
            if _SIGN[style.forms.decimal].search(shown):
                yield f"{code}: another decimal sign in “{shown}”"
            if units and (_METRIC.search(shown) or _BARE_AREA.search(shown)):
                yield f"{code}: metric units where others were chosen in “{shown}”"


def without_titles(text: Argument) -> Argument:
    """A text with the titles of sources in it left out: a title may hold any figure."""
    if isinstance(text, Listing):
        return Listing(tuple(without_titles(part) for part in text.parts), text.joint)
    if not isinstance(text, Text):
        return text
    if text.template in titles():
        return SAMPLE
    kept = {place: without_titles(part) for place, part in text.parts.items()}
    return Text(
        text.template,
        kept,
        context=text.context,
        others=text.others,
        count=text.count,
        case=text.case,
        bare=text.bare,
    )


@cache
def titles() -> frozenset[str]:
    """The titles of the sources: a document is called the same in every language."""
    found = {source for info in all_tables() for source in info.sources}
    named = {rule.source.title for rule in tables.rule_defaults().values()}
    return frozenset(found | named | {title.split(" (")[0] for title in found})


# --- names ----------------------------------------------------------------------------------------


def given_names(vehicle: Vehicle) -> Iterator[str]:
    """Every name that somebody gave to a part: they are in no language."""
    names = [vehicle.name]
    for parts in (vehicle.panels, vehicle.feeds, vehicle.accessories, vehicle.meters):
        names += [part.name for part in parts]
    for each in look_up.slots(vehicle):
        names += [each.circuit, each.label]
        if each.label:
            names.append(look_up.slot_and_circuit(each))
    return filter(None, names)


def names_of(vehicle: Vehicle) -> frozenset[str]:
    """Everything in a vehicle that somebody typed, in whole or the part of a circuit's name that
    decided what it is, and what is called by two such names."""
    both = (look_up.slot_and_circuit(slot) for slot in look_up.slots(vehicle) if slot.label)
    parts_of_names = (circuit_of(slot).decided_by for slot in look_up.slots(vehicle))
    return frozenset({*_typed(vehicle), *both, *parts_of_names, *units()})


def _typed(part: Struct) -> Iterator[str]:
    kinds = inspect.type_info(type(part))
    assert isinstance(kinds, inspect.StructType)
    for field in kinds.fields:
        value = getattr(part, field.name)
        if isinstance(value, Struct):
            yield from _typed(value)
        elif isinstance(value, tuple):
            for each in value:
                if isinstance(each, Struct):
                    yield from _typed(each)
        elif isinstance(value, str) and _is_free(field.type) and field.name not in KEYS:
            yield value


def _is_free(kind: inspect.Type) -> bool:
    """Whether any text may stand in a field, and not only one of a few words."""
    if isinstance(kind, inspect.UnionType):
        return any(_is_free(each) for each in kind.types)
    return isinstance(kind, inspect.StrType)


@cache
def units() -> frozenset[str]:
    """What is written alike in every language: units, marks of insulations and standards."""
    marks = (key.upper() for key in (*tables.insulations(), *tables.label_tests()))
    return frozenset({"mV", "mA", "min", "Ah", "mΩ", "mm²", *marks})


@cache
def keys() -> frozenset[str]:
    """The words a file is written with: names of fields, closed sets of words, keys of tables."""
    found = {*_keys_in(inspect.type_info(Vehicle)), *tables.fuse_families(), *tables.insulations()}
    found |= {*tables.rule_defaults(), *(kind.key for kind in tables.accessory_kinds())}
    return frozenset(found)


def _keys_in(kind: inspect.Type) -> Iterator[str]:
    if isinstance(kind, inspect.StructType):
        for field in kind.fields:
            yield field.encode_name
            yield from _keys_in(field.type)
    elif isinstance(kind, inspect.UnionType):
        for each in kind.types:
            yield from _keys_in(each)
    elif isinstance(kind, inspect.VarTupleType):
        yield from _keys_in(kind.item_type)
    elif isinstance(kind, inspect.LiteralType):
        yield from (str(value) for value in kind.values)


# --- catching -------------------------------------------------------------------------------------


@contextmanager
def caught() -> Iterator[list[Argument]]:
    """Everything that any style makes words of meanwhile; what stands inside it is part of it."""
    found: list[Argument] = []
    deep = 0
    show = Style.show

    def shown(style: Style, part: Argument) -> str:
        nonlocal deep
        if not deep:
            found.append(part)
        deep += 1
        try:
            return show(style, part)
        finally:
            deep -= 1

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Style, "show", shown)
        yield found


# --- collecting -----------------------------------------------------------------------------------


def told(a: Assessment) -> Iterator[Argument]:
    """All that is told of an assessed vehicle."""
    for part in (_checked, _chained, _parked, _placed, _probed):
        yield from part(a)


def _checked(a: Assessment) -> Iterator[Argument]:
    for found in findings(a.vehicle, a):
        yield from said(found)


def mended(a: Assessment, most: int | None = None) -> Iterator[Argument]:
    """The ways out of what is found, with their effects, and what lets the vehicle stand longer."""
    for found in findings(a.vehicle, a)[:most]:
        for trial in find_fixes(a, found):
            yield trial.fix.title
            if trial.effect is not None:
                yield from effect_words(trial.effect, found)
    try:
        for change in what_if.what_ifs(a)[:most]:
            yield from (change.title, change.words, change.gain_words)
    except FusemapError as refusal:
        yield from (refusal.what, refusal.remedy)


def _chained(a: Assessment) -> Iterator[Argument]:
    for tap_id, chain in a.chains.items():
        yield from said(chain)
        yield from said(proposal(a, tap_id))
    yield from said(tuple(a.rules.values()))


def _parked(a: Assessment) -> Iterator[Argument]:
    yield from said(a.parked)
    yield from said(a.band)
    try:
        yield from said(a.week)
    except InputProblem as refusal:
        yield from (refusal.what, refusal.remedy)


def _placed(a: Assessment) -> Iterator[Argument]:
    for accessory in a.vehicle.accessories:
        for lead in accessory.leads:
            for candidate in candidates(a.vehicle, a, accessory, lead):
                yield from said(candidate)
    for asked in answers.questions(a.vehicle):
        yield tables.reasons(asked.circuit.reason)
        yield FUNCTION_WORDS[asked.circuit.function]
    yield from said(plan_rest(a))


def _probed(a: Assessment) -> Iterator[Argument]:
    vehicle = a.vehicle
    for slot in look_up.slots(vehicle):
        yield from said((disbelief.caution(slot, "probe"), disbelief.caution(slot, "pull")))
        yield from conclusions.of_slot(vehicle, slot).lines
        yield from (load.words for load in loads.loads_of(vehicle, slot).values())
    for reading in vehicle.readings:
        yield evidence.note_words(reading)
    for step in plan.rounds_left(vehicle, plan.HandOrder()):
        yield from (plan.title(step.round), plan.how_to(step.round), plan.where_to(step.round))
    yield from said(final_check.steps(vehicle, a))
    yield from remainder.tracing_words(vehicle)
    rest = remainder.remainder(vehicle)
    if rest is not None:
        yield rest.words
    for state in STATES:
        yield from (STATE[state].label, STATE[state].phrase, STATE[state].title)
    for words in FEED.values():
        yield from (words.label, words.feed, words.meaning)
