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


def type_problem(message: str, fields: dict[str, Any]) -> FileProblem:
    """The problem behind a message of the typed reader."""
    text, _, path = message.partition(" - at `$")
    where = path.rstrip("`").lstrip(".")
    quoted = re.findall(r"`([^`]+)`", text)
    if text.startswith("Expected"):
        return _wrong_kind(where, *quoted)
    if "unknown field" in text:
        return _unknown_field(where, quoted[0])
    if "missing required field" in text:
        inside = f"{where}.{quoted[0]}" if where else quoted[0]
        return FileProblem("it is missing", inside, "add this field")
    if text.startswith("Invalid enum value"):
        return _unknown_word(where, fields)
    return FileProblem(f"{text[:1].lower()}{text[1:]}", where, "mend it, or open a copy")


def _wrong_kind(where: str, wanted: str, got: str) -> FileProblem:
    kinds = [KINDS.get(word, word) for word in wanted.split(" | ") if word != "null"]
    return FileProblem(
        f"this is {GOT.get(got, got)}, where {' or '.join(kinds)} belongs", where, "correct it"
    )


def _unknown_field(where: str, name: str) -> FileProblem:
    known = [field.encode_name for field in getattr(_type_at(where), "fields", ())]
    near = get_close_matches(name, known, n=1)
    remedy = f"did you mean “{near[0]}”?" if near else f"known are {', '.join(known)}"
    return FileProblem("there is no such field", f"{where}.{name}".lstrip("."), remedy)


def _unknown_word(where: str, fields: dict[str, Any]) -> FileProblem:
    value = _value_at(where, fields)
    known = [str(word) for word in getattr(_type_at(where), "values", ())]
    near = get_close_matches(str(value), known, n=1)
    remedy = f"did you mean “{near[0]}”?" if near else f"known are {', '.join(known)}"
    return FileProblem(f"“{value}” is not known here", where, remedy)


def _steps(where: str) -> list[str | int]:
    return [int(index) if index else name for name, index in STEP.findall(where)]


def _value_at(where: str, fields: Any) -> Any:
    for step in _steps(where):
        fields = fields[step]
    return fields


def _type_at(where: str) -> inspect.Type:
    """The type of the field at a path; of several allowed, the one that is not null."""
    found: inspect.Type = inspect.type_info(Vehicle)
    for step in _steps(where):
        if isinstance(step, int):
            found = found.item_type  # type: ignore[attr-defined]
        else:
            found = next(f.type for f in found.fields if f.encode_name == step)  # type: ignore[attr-defined]
        if isinstance(found, inspect.UnionType):
            found = next(t for t in found.types if not isinstance(t, inspect.NoneType))
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
