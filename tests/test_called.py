"""What is proved is what is used: no formula and no table's reader stands there for tests alone."""

import ast
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

PROGRAM = Path(__file__).parents[1] / "fusemap"


def modules() -> dict[Path, ast.Module]:
    """Every module of the program; a package's own list of names calls nothing."""
    files = sorted(PROGRAM.rglob("*.py"))
    return {p: ast.parse(p.read_text(encoding="utf-8")) for p in files if p.name != "__init__.py"}


def public(tree: ast.Module) -> Iterator[tuple[str, ast.AST, bool]]:
    """Functions, classes and methods without an underscore, and whether it is a method."""
    for node in tree.body:
        if isinstance(node, ast.FunctionDef | ast.ClassDef) and not node.name.startswith("_"):
            yield node.name, node, False
        if isinstance(node, ast.ClassDef):
            for method in node.body:
                if isinstance(method, ast.FunctionDef) and not method.name.startswith("_"):
                    yield method.name, method, True


def mentions(tree: ast.AST) -> Counter[tuple[str, ...]]:
    """What is named in it, and how often: names, attributes of what, imports from where."""
    found: Counter[tuple[str, ...]] = Counter()
    for node in ast.walk(tree):
        if isinstance(node, ast.Name):
            found["name", node.id] += 1
        elif isinstance(node, ast.Attribute):
            found["attribute", node.attr] += 1
            if isinstance(node.value, ast.Name):
                found["attribute", node.value.id, node.attr] += 1
        elif isinstance(node, ast.ImportFrom):
            place = (node.module or "").rpartition(".")[2]
            found.update(("import", place, alias.name) for alias in node.names)
    return found


def uncalled(folder: str, program: dict[Path, ast.Module]) -> list[str]:
    """What is public in a folder and named nowhere in the program but where it is made."""
    own = {path: mentions(tree) for path, tree in program.items()}
    whole: Counter[tuple[str, ...]] = Counter()
    for each in own.values():
        whole.update(each)
    found = []
    for path, tree in program.items():
        if folder not in path.relative_to(PROGRAM).parts[:1]:
            continue
        for name, made, method in public(tree):
            itself = mentions(made)
            keys = [("attribute", name)] if method else _ways_to_name(path, name)
            elsewhere = sum(whole[key] - itself[key] for key in keys)
            beside = 0 if method else own[path]["name", name] - itself["name", name]
            if not elsewhere and not beside:
                found.append(f"{path.relative_to(PROGRAM)}: {name}")
    return found


def _ways_to_name(path: Path, name: str) -> list[tuple[str, ...]]:
    """As an attribute of its module or folder, or by importing it from either."""
    places = {path.stem, path.parent.name}
    return [(how, place, name) for how in ("attribute", "import") for place in places]


def test_every_formula_and_every_table_is_called_by_the_program() -> None:
    """A second way to the same figure belongs to `tests/second_way.py`."""
    program = modules()
    assert uncalled("electrics", program) + uncalled("tables", program) == []


def test_a_formula_that_only_calls_itself_or_shares_a_name_is_found() -> None:
    lonely = "def drop(a):\n    return drop(a - 1)\n\n\nclass Way:\n    def back(self): ...\n"
    elsewhere = "from fusemap.window import drop\n\nprint(drop(1), Way)\n"
    program = {
        PROGRAM / "electrics" / "lonely.py": ast.parse(lonely),
        PROGRAM / "window" / "other.py": ast.parse(elsewhere),
    }
    assert uncalled("electrics", program) == [
        f"electrics{Path('/')}lonely.py: {name}" for name in ("drop", "Way", "back")
    ]
