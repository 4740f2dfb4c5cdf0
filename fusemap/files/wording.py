"""What is wrong with a file's field, in plain words, from the reader's technical message.

In: a message such as ``Expected `float`, got `str` - at `$.battery.soh` `` and the file's fields.
Out: a `FileProblem` with the path in our style and a remedy; for an unknown field the nearest
known one, for an unknown word the words that are known.
"""

import re
from collections.abc import Iterator
from difflib import get_close_matches
from typing import Any

from msgspec import inspect

from fusemap.errors import FileProblem
from fusemap.text import Text
from fusemap.vehicle import Vehicle
from fusemap.vehicle.validity import Fault, text_faults

KINDS = {
    "float": "a number",
    "int": "a whole number",
    "str": "a text in quotes",
    "bool": "true or false",
    "null": "null",
    "object": "a group of fields { }",
    "array": "a list [ ]",
}
GOT = {"str": "text"} | {key: words for key, words in KINDS.items() if key != "str"}
STEP = re.compile(r"\.?([^.\[\]]+)|\[(\d+)\]")


def clear(text: str, most: int = 300) -> str:
    """Text from a file for a message: on one line, without signs nobody can see, not too long.

    >>> clear("a\\tb"), clear("x" * 20, most=5)
    ('a b', 'xxxxx…')
    """
    seen = "".join(sign if sign.isprintable() else " " for sign in text[: most + 1])
    return seen if len(text) <= most else seen[:most] + "…"


def problem(what: Text | str, where: str, remedy: Text | str) -> FileProblem:
    """A problem in which words from the file may stand."""
    return FileProblem(clear(str(what)), clear(where), clear(str(remedy)))


def type_problem(message: str, fields: dict[str, Any]) -> FileProblem:
    """The problem behind a message of the typed reader."""
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
        return FileProblem("it is missing", f"{where}.{name}".lstrip("."), "add this field")
    if text.startswith("Invalid enum value"):
        return _unknown_word(where, fields)
    return problem(f"{text[:1].lower()}{text[1:]}", where or "the whole file", "open a copy of it")


def _wrong_kind(where: str, wanted: str, got: str) -> FileProblem:
    kinds = [KINDS.get(word, word) for word in wanted.split(" | ") if word != "null"]
    return FileProblem(
        f"this is {GOT.get(got, got)}, where {' or '.join(kinds)} belongs", where, "correct it"
    )


def _unknown_fields(value: Any, kind: inspect.Type, path: str) -> Iterator[FileProblem]:
    """Every field in a file's fields that a part of this kind does not have."""
    kind = _not_null(kind)
    if isinstance(kind, inspect.StructType) and isinstance(value, dict):
        known = {field.encode_name: field.type for field in kind.fields}
        for name, inside in value.items():
            where = f"{path}.{name}".lstrip(".")
            if name in known:
                yield from _unknown_fields(inside, known[name], where)
            else:
                near = get_close_matches(name[:100], known, n=1)
                remedy = f"did you mean “{near[0]}”?" if near else f"known are {', '.join(known)}"
                at = f"{path}.{clear(name, 60)}" if path else clear(name, 60) or "the whole file"
                yield problem("there is no such field", at, remedy)
    elif isinstance(kind, inspect.VarTupleType) and isinstance(value, list):
        for index, item in enumerate(value):
            yield from _unknown_fields(item, kind.item_type, f"{path}[{index}]")


def _unknown_word(where: str, fields: dict[str, Any]) -> FileProblem:
    value = _value_at(where, fields)
    known = [str(word) for word in getattr(_type_at(where), "values", ())]
    near = get_close_matches(str(value), known, n=1)
    remedy = f"did you mean “{near[0]}”?" if near else f"known are {', '.join(known)}"
    return problem(f"“{clear(str(value), 60)}” is not known here", where, remedy)


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
