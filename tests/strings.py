"""Every text to be translated, read from the source: the window's, and what comes from below it.

Run by hand it lists what a language has not got: python tests/strings.py [CODE]. In: the source,
the drawings, the tables. Out: texts, each with where it stands; what is put in at run time stands
in them as {a}, {b} ….
"""

import ast
import csv
import json
import re
import sys
from collections.abc import Iterator
from functools import cache
from pathlib import Path

from fusemap.catalogues import Messages
from fusemap.phrases import Phrases
from fusemap.text import Argument, Listing, Text

ROOT = Path(__file__).resolve().parents[1]
WINDOW = ROOT / "fusemap" / "window"
DRAWINGS = ROOT / "resources" / "help"
LANGUAGES = ROOT / "resources" / "languages"
SAYERS = {"tr", "translate"}
TEXTS = {"say", "say_in", "many"}
"""What makes a text: its template is in the catalogues, which have a test of their own."""
_LABEL = re.compile(r"<text[^>]*>([^<]+)</text>")
_PLACES = re.compile(r"\{\w+\}")
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
    else:
        table = tables.get(_looked_up(argument))
        if isinstance(table, ast.Dict):
            for value in table.values:
                yield from _of_argument(value, tables)


def _looked_up(argument: ast.expr) -> str:
    """The table that a text is looked up in: TABLE[key] or TABLE.get(key, …)."""
    held: ast.expr | None = None
    if isinstance(argument, ast.Subscript):
        held = argument.value
    elif isinstance(argument, ast.Call) and isinstance(argument.func, ast.Attribute):
        held = argument.func.value if argument.func.attr == "get" else None
    return held.id if isinstance(held, ast.Name) else ""


def not_in(messages: Messages, text: Argument) -> Iterator[str]:
    """The templates of a text, and of the texts in its places, that a catalogue has not got."""
    if isinstance(text, Text):
        wordless = text.bare or not _WORDS.search(_PLACES.sub("", text.template))
        if not wordless and not messages.knows(text.template, text.context):
            yield text.template
        for part in text.parts.values():
            yield from not_in(messages, part)
    elif isinstance(text, Listing):
        for part in text.parts:
            yield from not_in(messages, part)


# --- what comes from below the window -------------------------------------------------------------

BELOW = (
    "assess", "checks", "placement", "probing", "advise", "fixes", "vehicle", "tables", "files",
    "units.py", "electrics",
)  # fmt: skip
"""Where sentences come from that the window shows through `said`."""
OF_THE_PROGRAM = re.compile(
    r"electrics/(network|spread|taps|loads|values|operating|sizing|protection|parked/|fuses"
    r"|heat_balance|driving|charging|cable_heat|fuse_choice|battery_limits|battery\.py)"
)
"""Refusals of formulas: no field of the window lets such a number through to them."""
KEYS_ONLY = {
    "probing/paste_columns.py",  # the heads of columns that pasted tables may have
    "probing/storing.py",  # which value a draft has
    "probing/evidence.py",  # which range a usual meter has
    "vehicle/words.py",  # which unit a field has
    "vehicle/difference.py",  # parts, which the window has its own words for
    "fixes/trial.py",  # which hop a check is about
}
"""Modules whose tables hold no words for people."""
NO_SENTENCES = {
    "null",  # as it stands in a file
    "Object contains unknown field",  # what the reader of files says, before it is put in our words
    "missing required field",
    "Invalid enum value",
    "fusemap vehicle",  # the name of the format
    "{a} is told elsewhere",  # a fault of the program
}
COLUMNS = {
    "accessory_kinds": ("name", "group", "note"),
    "ampacities": ("arrangement",),
    "batteries": ("name",),
    "cautions": ("text", "topic"),
    "circuit_words": ("reason",),
    "deratings": ("kind",),
    "fuse_colours": ("colour",),
    "fuse_families": ("name", "note"),
    "insulations": ("name",),
    "joints": ("name", "class", "note"),
    "rules": ("label", "what"),
    "terminals": ("meaning", "use"),
    "voltage_drop": ("case", "over"),
    "words": ("term", "meaning"),
}
"""The columns of the tables that are shown as words."""
_WORDS = re.compile(r"[a-z]{3,}")
_SINGLE = re.compile(r"[A-Za-z][A-Za-z -]{2,}")
"""A word or two, and no key."""


def sentences() -> dict[str, str]:
    """Every sentence from below the window, and the first place where it stands."""
    found: dict[str, str] = {}
    for part in BELOW:
        path = ROOT / "fusemap" / part
        for module in [path] if path.suffix else sorted(path.rglob("*.py")):
            where = module.relative_to(ROOT / "fusemap").as_posix()
            if not OF_THE_PROGRAM.match(where):
                words = () if where in KEYS_ONLY else _single_words(parsed(module))
                for text, line in (*_sentences_of(module), *words):
                    found.setdefault(text, f"{where}:{line}")
    for table, columns in COLUMNS.items():
        path = ROOT / "resources" / "tables" / f"{table}.csv"
        with path.open(encoding="utf-8", newline="") as file:
            for row in csv.DictReader(file):
                for column in columns:
                    if _WORDS.search(row[column] or ""):
                        found.setdefault(row[column], f"{path.name}: {column}")
    return found


@cache
def parsed(module: Path) -> ast.Module:
    """The source of a module."""
    return ast.parse(module.read_text(encoding="utf-8"))


def _sentences_of(module: Path) -> Iterator[tuple[str, int]]:
    """Strings of two words and more that are no description of the code."""
    tree = parsed(module)
    left_out = {
        id(node.value)
        for node in ast.walk(tree)
        if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant)
    }
    left_out |= _of_texts(tree)
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and _name(node.func) in TEXTS:
            left_out |= {id(each) for argument in node.args for each in ast.walk(argument)}
        elif isinstance(node, ast.JoinedStr):
            left_out |= {id(value) for value in node.values}
        elif isinstance(node, ast.AnnAssign | ast.FunctionDef | ast.arg):
            notes = node.returns if isinstance(node, ast.FunctionDef) else node.annotation
            left_out |= {id(each) for each in ast.walk(notes)} if notes is not None else set()
    for node in ast.walk(tree):
        text = _template(node) if id(node) not in left_out else None
        if text and " " in text.strip() and _WORDS.search(text) and text not in NO_SENTENCES:
            yield text, node.lineno  # type: ignore[attr-defined]


def _of_texts(tree: ast.Module) -> set[int]:
    """The strings in calls of `say`, `say_in` and `many`: the catalogues collect them."""
    return {
        id(inside)
        for node in ast.walk(tree)
        if isinstance(node, ast.Call) and _name(node.func) in ("say", "say_in", "many", "Text")
        for inside in ast.walk(node)
    }


def _single_words(tree: ast.Module) -> Iterator[tuple[str, int]]:
    """Words that a table of a module has for its keys: ASLEEP, critical, left contact dead."""
    texts = _of_texts(tree)
    for statement in tree.body:
        table = getattr(statement, "value", None)
        if isinstance(table, ast.Dict):
            for value in table.values:
                if isinstance(value, ast.Call) and _name(value.func) in TEXTS:
                    continue
                for node in ast.walk(value):
                    word = node.value if isinstance(node, ast.Constant) else None
                    if (
                        isinstance(word, str)
                        and id(node) not in texts
                        and _SINGLE.fullmatch(word)
                        and word not in NO_SENTENCES
                    ):
                        yield word, node.lineno  # type: ignore[attr-defined]


def _template(node: ast.AST) -> str | None:
    """A string with {a}, {b} … where something is put in."""
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        return node.value
    if not isinstance(node, ast.JoinedStr):
        return None
    names = iter("abcdefghijklmnop")
    return "".join(
        str(part.value) if isinstance(part, ast.Constant) else f"{{{next(names)}}}"
        for part in node.values
    )


def unsaid(code: str) -> dict[str, str]:
    """The sentences from below that a language has not got."""
    words = known(code, "words")
    forms = {_PLACES.sub("{}", text) for text in words}
    phrases = Phrases(words)
    return {
        text: where
        for text, where in sentences().items()
        if _PLACES.sub("{}", text) not in forms and phrases.find(_PLACES.sub("7", text)) is None
    }


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
    missing |= unsaid(code)
    print(json.dumps(missing, ensure_ascii=False, indent=1))


if __name__ == "__main__":
    main()
