"""Calls of Qt whose answer, as PySide 6.10 and 6.11 wrap it, outlives what it stands for.

What `itemAt` of a layout gives is a part of the layout that is no `QObject`: nobody tells Python
when it goes. Its wrapper stays on record at an address where Qt soon puts something else, the row
of a list say, and when that one is torn down the program ends with a segmentation fault. What a
widget says is next in the chain of focus is taken for its child, and is lost with it.
"""

import ast
from pathlib import Path

import pytest

import fusemap

ROOT = Path(fusemap.__file__).parent.parent
TRAPS = {
    "itemAt": "keep what was put into the layout, or ask `indexOf`, `getWidgetPosition`",
    "itemAtPosition": "keep what was put into the layout, or ask `indexOf`",
    "nextInFocusChain": "go through `children()`",
    "previousInFocusChain": "go through `children()`",
    "topLevelWidget": "ask `window()`",
    "nativeParentWidget": "ask `window()`",
}
FILES = sorted(path for folder in ("fusemap", "tests") for path in (ROOT / folder).rglob("*.py"))


def traps_in(source: str) -> list[str]:
    """The calls in a module that are to be asked otherwise, with their lines."""
    return [
        f"line {node.lineno}: {node.func.attr}: {TRAPS[node.func.attr]}"
        for node in ast.walk(ast.parse(source))
        if isinstance(node, ast.Call)
        and isinstance(node.func, ast.Attribute)
        and node.func.attr in TRAPS
    ]


def test_nothing_asks_for_what_outlives_itself() -> None:
    found = {path.relative_to(ROOT): traps_in(path.read_text("utf-8")) for path in FILES}
    assert {path: calls for path, calls in found.items() if calls} == {}


@pytest.mark.parametrize("name", TRAPS)
def test_such_a_call_is_found(name: str) -> None:
    assert traps_in(f"def f(x):\n    return x.layout().{name}(0)\n")[0].startswith("line 2")
