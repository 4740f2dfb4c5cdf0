"""What is wrong with a file's field, in plain words, from the reader's technical message.

In: a message such as ``Expected `float`, got `str` - at `$.battery.soh` `` and the file's fields.
Out: a `FileProblem` with the path in our style and a remedy; for an unknown field the nearest
known one, for an unknown word the words that are known.
"""

import re
from collections.abc import Iterator, Mapping, Sequence
from difflib import get_close_matches
from typing import Any, Final

from msgspec import inspect

from fusemap.errors import FileProblem
from fusemap.text import Text, Words, in_row, one_of, say
from fusemap.vehicle import Vehicle
from fusemap.vehicle.validity import Fault, text_faults

KINDS: Final[Mapping[str, Words]] = {
    "float": say("a number"),
    "int": say("a whole number"),
    "str": say("a text in quotes"),
    "bool": say("true or false"),
    "null": "null",
    "object": say("a group of fields {brackets}", brackets="{ }"),
    "array": say("a list [ ]"),
}
GOT: Final[Mapping[str, Words]] = {**KINDS, "str": say("text")}
WHOLE: Final = say("the whole file")
STEP = re.compile(r"\.?([^.\[\]]+)|\[(\d+)\]")


def clear(text: str, most: int = 300) -> str:
    """Text from a file for a message: on one line, without signs nobody can see, not too long.

    >>> clear("a\\tb"), clear("x" * 20, most=5)
    ('a b', 'xxxxx…')
    """
    seen = "".join(sign if sign.isprintable() else " " for sign in text[: most + 1])
    return seen if len(text) <= most else seen[:most] + "…"


def problem(what: Text, where: Words, remedy: Text) -> FileProblem:
    """A problem in which words from the file may stand."""
    at = where.with_names(clear) if isinstance(where, Text) else clear(where)
    return FileProblem(what.with_names(clear), at, remedy.with_names(clear))


def nearest(word: str, known: Sequence[str]) -> Text:
    """What to do about a word that is not known: take the nearest one that is, or see them all."""
    near = get_close_matches(word[:100], known, n=1)
    if near:
        return say("did you mean “{word}”?", word=near[0])
    return say("known are {words}", words=in_row(known))


def type_problem(message: str, fields: dict[str, Any]) -> FileProblem:
    """The problem behind a message of the typed reader."""
    path, what, remedy = type_fault(message, fields)
    return problem(what, path or WHOLE, remedy)


def type_fault(message: str, fields: dict[str, Any]) -> Fault:
    """The same with its path alone; words from the file stand in it as they are there."""
    if message.startswith("Object contains unknown field"):
        # Such a name may hold anything, even what looks like a path: it is looked for anew.
        return next(_unknown_fields(fields, inspect.type_info(Vehicle), ""))
    # The last such mark is the reader's own; before it a value from the file may stand.
    text, mark, path = message.rpartition(" - at `$")
    text, path = (text, path) if mark else (message, "")
    where = path.rstrip("`").lstrip(".")
    if text.startswith("Expected"):
        return _wrong_kind(where, *re.findall(r"`([^`]+)`", text))
    if "missing required field" in text:
        name = re.findall(r"`([^`]+)`", text)[0]
        return Fault(f"{where}.{name}".lstrip("."), say("it is missing"), say("add this field"))
    if text.startswith("Invalid enum value"):
        return _unknown_word(where, fields)
    reason = say("it cannot be read: {reason}", reason=f"{text[:1].lower()}{text[1:]}")
    return Fault(where, reason, say("open a copy of it"))


def _wrong_kind(where: str, wanted: str, got: str) -> Fault:
    kinds = [KINDS.get(word, word) for word in wanted.split(" | ") if word != "null"]
    what = say(
        "this is {found}, where {wanted} belongs", found=GOT.get(got, got), wanted=one_of(kinds)
    )
    return Fault(where, what, say("correct it"))


def _unknown_fields(value: Any, kind: inspect.Type, path: str) -> Iterator[Fault]:
    """Every field in a file's fields that a part of this kind does not have."""
    kind = _not_null(kind)
    if isinstance(kind, inspect.StructType) and isinstance(value, dict):
        known = {field.encode_name: field.type for field in kind.fields}
        for name, inside in value.items():
            where = f"{path}.{name}".lstrip(".")
            if name in known:
                yield from _unknown_fields(inside, known[name], where)
            else:
                at = f"{path}.{clear(name, 60)}" if path else clear(name, 60)
                yield Fault(at, say("there is no such field"), nearest(name, [*known]))
    elif isinstance(kind, inspect.VarTupleType) and isinstance(value, list):
        for index, item in enumerate(value):
            yield from _unknown_fields(item, kind.item_type, f"{path}[{index}]")


def _unknown_word(where: str, fields: dict[str, Any]) -> Fault:
    value = _value_at(where, fields)
    known = [str(word) for word in getattr(_type_at(where), "values", ())]
    shown = clear(str(value), 60)
    return Fault(where, say("“{word}” is not known here", word=shown), nearest(str(value), known))


def _steps(where: str) -> list[str | int]:
    return [int(index) if index else name for name, index in STEP.findall(where)]


def _value_at(where: str, fields: Any) -> Any:
    for step in _steps(where):
        fields = fields[step]
    return fields


def _not_null(kind: inspect.Type) -> inspect.Type:
    """Of several types allowed for a field, the one that is not null."""
    if not isinstance(kind, inspect.UnionType):
        return kind
    return next(one for one in kind.types if not isinstance(one, inspect.NoneType))


def _type_at(where: str) -> inspect.Type:
    """The type of the field at a path."""
    found: inspect.Type = inspect.type_info(Vehicle)
    for step in _steps(where):
        if isinstance(found, inspect.StructType):
            found = _not_null(next(f.type for f in found.fields if f.encode_name == step))
        elif isinstance(found, inspect.VarTupleType):
            found = _not_null(found.item_type)
    return found


def broken_text(value: Any, path: str = "") -> Iterator[Fault]:
    """Texts anywhere in a file's fields that have half a character in them."""
    if isinstance(value, str):
        yield from text_faults(value, path)
    elif isinstance(value, list):
        for index, item in enumerate(value):
            yield from broken_text(item, f"{path}[{index}]")
    elif isinstance(value, dict):
        for key, item in value.items():
            yield from text_faults(key, path)
            yield from broken_text(item, f"{path}.{key}" if path else key)
