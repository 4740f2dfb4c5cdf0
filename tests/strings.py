"""Every text of the window that has to be translated, read from the source.

Run by hand it lists what a language has not got: python tests/strings.py [CODE]. In: the source and
the drawings. Out: texts, each with where it stands.
"""

import ast
import json
import re
import sys
from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
WINDOW = ROOT / "fusemap" / "window"
DRAWINGS = ROOT / "resources" / "help"
LANGUAGES = ROOT / "resources" / "languages"
SAYERS = {"tr", "translate"}
_LABEL = re.compile(r"<text[^>]*>([^<]+)</text>")
_BARE = re.compile(r"[\d.,]+ ?[mMµ]?[AVWΩ]?|[+−?]|mm²|°C|en")
"""Numbers, signs and units are the same everywhere, or have their own way."""


def texts() -> dict[str, str]:
    """Every text, and the first place where it stands."""
    found: dict[str, str] = {}
    for path in sorted(WINDOW.rglob("*.py")):
        for text, line in of_module(path):
            found.setdefault(text, f"{path.name}:{line}")
    for path in sorted(DRAWINGS.glob("*.svg")):
        for text in _LABEL.findall(path.read_text(encoding="utf-8")):
            found.setdefault(text, path.name)
    return {
        text: where for text, where in found.items() if not _BARE.fullmatch(text) or text == "."
    }


def of_module(path: Path) -> Iterator[tuple[str, int]]:
    """The texts that a module hands to `tr` or `translate`, in place or by a table of its own."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    tables = {
        name.id: node.value
        for node in ast.walk(tree)
        if isinstance(node, ast.Assign | ast.AnnAssign) and node.value is not None
        for name in (node.targets if isinstance(node, ast.Assign) else [node.target])
        if isinstance(name, ast.Name)
    }
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and _name(node.func) in SAYERS and node.args:
            yield from _of_argument(node.args[-1], tables)


def _of_argument(argument: ast.expr, tables: dict[str, ast.expr]) -> Iterator[tuple[str, int]]:
    if isinstance(argument, ast.Constant) and isinstance(argument.value, str):
        yield argument.value, argument.lineno
    elif isinstance(argument, ast.IfExp):
        yield from _of_argument(argument.body, tables)
        yield from _of_argument(argument.orelse, tables)
    elif isinstance(argument, ast.Subscript) and isinstance(argument.value, ast.Name):
        table = tables.get(argument.value.id)
        if isinstance(table, ast.Dict):
            for value in table.values:
                yield from _of_argument(value, tables)


def _name(function: ast.expr) -> str:
    return function.attr if isinstance(function, ast.Attribute) else getattr(function, "id", "")


def known(code: str, kind: str = "window") -> dict[str, str]:
    """The translations that a language has."""
    path = LANGUAGES / f"{kind}_{code}.json"
    found: dict[str, str] = json.loads(path.read_text(encoding="utf-8")) if path.is_file() else {}
    return found


def main() -> None:
    """List what is missing, as JSON."""
    code = sys.argv[1] if len(sys.argv) > 1 else "de"
    missing = {text: where for text, where in texts().items() if text not in known(code)}
    print(json.dumps(missing, ensure_ascii=False, indent=1))


if __name__ == "__main__":
    main()
