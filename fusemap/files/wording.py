"""What is wrong with a file's field, in plain words.

In: the reader's technical message such as ``Expected `float`, got `str` - at `$.battery.soh` ``
and the file's fields. Out: a `FileProblem` with the path in our style and a remedy; for an unknown
field the nearest known one, for an unknown word the words that are known.

A field that stands twice is refused too: two readers could take different ones. Nearly all files
are seen to be sound by counting; only one that may not be is read again, slowly, by a reader that
knows the places.
"""

import json
import re
from collections.abc import Iterator, Mapping, Sequence
from typing import Any, Final

import msgspec
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
    # loaded when it is first needed: the start stays short
    from difflib import get_close_matches

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


END_OF_KEY = b'":'
"""What stands behind every field's name, where nothing is written between."""


def refuse_twice(text: str, found: Any, name: str) -> None:
    """Raise `FileProblem` when a field stands twice in one group of a file; `name` is the file's.

    Written without spaces, a text in which every field stands once has as many ends of field names
    as what was read of it; one that has a field twice has more, for only one of them was read.
    """
    plain = msgspec.json.format(text.encode(), indent=-1)
    if "\\u0022" not in text and plain.count(END_OF_KEY) == msgspec.json.encode(found).count(
        END_OF_KEY
    ):
        return
    for path, key in _repeated(json.loads(text, object_pairs_hook=_Group)):
        where = f"{path}.{clear(key, 60)}" if path else clear(key, 60) or name
        raise problem(say("this field stands here twice"), where, say("leave one of them out"))


class _Group(dict[str, Any]):
    """The fields of one group, with the names of those that stand in it twice."""

    def __init__(self, pairs: list[tuple[str, Any]]) -> None:
        super().__init__(pairs)
        self.twice: list[str] = []
        if len(self) < len(pairs):
            seen: set[str] = set()
            for key, _ in pairs:
                if key in seen:
                    self.twice.append(key)
                seen.add(key)


def _repeated(value: Any, path: str = "") -> Any:
    """Every field that stands twice, as (path to its group, its name)."""
    if isinstance(value, _Group):
        yield from ((path, key) for key in value.twice)
        for key, inside in value.items():
            yield from _repeated(inside, f"{path}.{key}" if path else key)
    elif isinstance(value, list):
        for index, item in enumerate(value):
            yield from _repeated(item, f"{path}[{index}]")
