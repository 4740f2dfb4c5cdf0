"""A field that stands in a file twice: two readers could take different ones, so it is refused.

In: the text of a file and what was read of it. Out: nothing, or a `FileProblem` with the path to
the field. Nearly all files are seen to be sound by counting; only one that may not be is read
again, slowly, by a reader that knows the places.
"""

import json
from typing import Any

import msgspec

from fusemap.files.wording import clear, problem
from fusemap.text import say

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
