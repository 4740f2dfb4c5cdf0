"""Make the languages' catalogues: collect what is said, compile what is translated.

    python resources/languages/catalogue.py update     the source's texts into every <code>.po
    python resources/languages/catalogue.py compile    every <code>.po into its <code>.mo
    python resources/languages/catalogue.py missing    what a language has not got
    python resources/languages/catalogue.py forms      weekdays, dates and rows from the CLDR

Needs Babel, which is not needed to run the program. Texts are collected from `say`, `say_in`,
`many`, Qt's `tr` and `translate`, from the words in drawings, from the columns of tables that hold
words and from the demo vehicles.
"""

import ast
import csv
import json
import re
import sys
from collections.abc import Iterator
from datetime import UTC, datetime
from io import BytesIO
from pathlib import Path
from typing import NamedTuple

from babel import Locale
from babel.messages.catalog import Catalog
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po, write_po

from fusemap.files import demos
from fusemap.tables.reading import TITLES
from fusemap.window.pages.table_words import heading

ROOT = Path(__file__).resolve().parents[2]
LANGUAGES = ROOT / "resources" / "languages"
CODES = ("de", "es", "fr", "nl")
LOCALES = {"en": "en_GB", "de": "de", "es": "es", "fr": "fr", "nl": "nl"}
NOUNS_ARE_CAPITAL = ("de",)
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
    "parked_modes": ("name",),
    "rules": ("label", "what", "source"),
    "socket_pins": ("function", "colour"),
    "starting": ("what",),
    "unanswered": ("what",),
    "terminals": ("meaning", "use"),
    "torques": ("metal",),
    "voltage_drop": ("case", "over"),
    "words": ("term", "meaning"),
}
"""The columns of the tables that hold words for people."""
_ANY_DAY = datetime(2000, 1, 1, tzinfo=UTC)
"""Stands in compiled catalogues for the day they were made, which would change them each time."""
_NOT_KEPT = re.compile(
    r'"(POT-Creation-Date|PO-Revision-Date|Generated-By|Report-Msgid-Bugs-To|Last-Translator'
    r'|Language-Team|Project-Id-Version): .*\\n"\n'
)
"""Lines of a catalogue's heading that change without a change of its texts, or say nothing."""


class Found(NamedTuple):
    """A text of the source: its English, the form for many, its context, where it stands."""

    text: str
    others: str
    context: str
    where: str
    line: int


# --- collecting -----------------------------------------------------------------------------------


def found() -> list[Found]:
    """Every text that is said, in the order of the files."""
    made: list[Found] = []
    for path in sorted((ROOT / "fusemap").rglob("*.py")):
        made += of_module(path)
    made += of_drawings()
    made += of_tables()
    made += of_demo_vehicles()
    return made


def of_module(path: Path) -> Iterator[Found]:
    """The texts of a module's calls of `say`, `say_in`, `many`, `tr` and `translate`."""
    where = path.relative_to(ROOT).as_posix()
    tree = ast.parse(path.read_text(encoding="utf-8"))
    tables = _tables_of_words(tree)
    for node in ast.walk(tree):
        if not isinstance(node, ast.Call):
            continue
        called = getattr(node.func, "attr", getattr(node.func, "id", ""))
        arguments = node.args
        if called == "say" and arguments:
            for text, line in _constants(arguments[0], tables):
                yield Found(text, "", "", where, line)
        elif called == "say_in" and len(arguments) > 1:
            for context, _ in _constants(arguments[0], tables):
                for text, line in _constants(arguments[1], tables):
                    yield Found(text, "", context, where, line)
        elif called == "many" and len(arguments) > 1:
            for (text, line), (others, _) in zip(
                _constants(arguments[0], tables), _constants(arguments[1], tables), strict=True
            ):
                yield Found(text, others, "", where, line)
        elif called in ("tr", "translate") and arguments:
            for text, line in _constants(arguments[-1], tables):
                yield Found(text, "", "", where, line)


def _tables_of_words(tree: ast.Module) -> dict[str, ast.expr]:
    """Tables of texts by their names, for `tr(TABLE[key])`."""
    return {
        name.id: node.value
        for node in ast.walk(tree)
        if isinstance(node, ast.Assign | ast.AnnAssign) and node.value is not None
        for name in (node.targets if isinstance(node, ast.Assign) else [node.target])
        if isinstance(name, ast.Name)
    }


def _constants(argument: ast.expr, tables: dict[str, ast.expr]) -> Iterator[tuple[str, int]]:
    """The texts an argument can be: a constant, one of two, one of a table."""
    if isinstance(argument, ast.Constant) and isinstance(argument.value, str):
        yield argument.value, argument.lineno
    elif isinstance(argument, ast.IfExp):
        yield from _constants(argument.body, tables)
        yield from _constants(argument.orelse, tables)
    else:
        table = tables.get(_looked_up(argument))
        if isinstance(table, ast.Dict):
            for value in table.values:
                yield from _constants(value, tables)


def _looked_up(argument: ast.expr) -> str:
    held: ast.expr | None = None
    if isinstance(argument, ast.Subscript):
        held = argument.value
    elif isinstance(argument, ast.Call) and isinstance(argument.func, ast.Attribute):
        held = argument.func.value if argument.func.attr == "get" else None
    return held.id if isinstance(held, ast.Name) else ""


def of_drawings() -> Iterator[Found]:
    """The words in the help's drawings."""
    label = re.compile(r"<text[^>]*>([^<]+)</text>")
    for path in sorted((ROOT / "resources" / "help").glob("*.svg")):
        for text in label.findall(path.read_text(encoding="utf-8")):
            if re.search("[a-z]", text):  # terminal numbers are the same everywhere
                yield Found(text, "", "", path.relative_to(ROOT).as_posix(), 0)


def of_tables() -> Iterator[Found]:
    """The words in the tables that people read, and the headings of all tables."""
    for key in TITLES:
        path = ROOT / "resources" / "tables" / f"{key}.csv"
        with path.open(encoding="utf-8", newline="") as file:
            for column in next(csv.reader(file)):
                yield Found(str(heading(column)[0]), "", "", path.relative_to(ROOT).as_posix(), 1)
    for table, columns in COLUMNS.items():
        path = ROOT / "resources" / "tables" / f"{table}.csv"
        where = path.relative_to(ROOT).as_posix()
        with path.open(encoding="utf-8", newline="") as file:
            for number, row in enumerate(csv.DictReader(file), 2):
                for column in columns:
                    if text := (row[column] or "").strip():
                        yield Found(text, "", "", where, number)


def of_demo_vehicles() -> Iterator[Found]:
    """The titles, stories and names of the demo vehicles."""
    for key, _ in demos.demo_names():
        where = f"demo_vehicles/{key}{demos.SUFFIX}"
        for text in demos.demo_words(key):
            yield Found(text, "", demos.CONTEXT, where, 0)


# --- making ---------------------------------------------------------------------------------------


def template() -> Catalog:
    """All texts, without any language's words."""
    made = Catalog(project="fusemap", charset="utf-8", fuzzy=False)
    for each in found():
        if not re.search(r"[^\W\d_]{2}", re.sub(r"\{\w+\}", "", each.text)):
            continue
        key = (each.text, each.others) if each.others else each.text
        made.add(key, locations=[(each.where, each.line or 1)], context=each.context or None)
    return made


def read(code: str) -> Catalog:
    """A language's catalogue as it stands."""
    path = LANGUAGES / f"{code}.po"
    if not path.is_file():
        return Catalog(locale=code, project="fusemap", charset="utf-8", fuzzy=False)
    with path.open("rb") as file:
        return read_po(file, locale=code)


def write(code: str, catalogue: Catalog) -> None:
    """A language's catalogue, in the order of the texts, without line numbers that would change."""
    made = BytesIO()
    catalogue.header_comment = f"# The texts of fusemap in {Locale.parse(code).english_name}."
    write_po(made, catalogue, width=100, sort_output=True, include_lineno=False, omit_header=False)
    text = _NOT_KEPT.sub("", made.getvalue().decode())
    (LANGUAGES / f"{code}.po").write_text(text, encoding="utf-8")


def compiled(code: str) -> bytes:
    """A language's catalogue as the program reads it."""
    made = BytesIO()
    catalogue = read(code)
    catalogue.creation_date = catalogue.revision_date = _ANY_DAY
    write_mo(made, catalogue)
    return made.getvalue()


def update() -> None:
    """Bring every catalogue to the texts of the source; what is no longer said goes."""
    wanted = template()
    for code in CODES:
        catalogue = read(code)
        catalogue.update(wanted, no_fuzzy_matching=True)
        catalogue.obsolete.clear()
        write(code, catalogue)
        print(f"{code}: {len(catalogue)} texts, {len(untranslated(catalogue))} of them missing")


def untranslated(catalogue: Catalog) -> list[str]:
    """The English of what a catalogue has no words for."""
    return [
        str(each.id)
        for each in catalogue
        if each.id
        and (
            each.fuzzy or not all(each.string if isinstance(each.string, tuple) else [each.string])
        )
    ]


def forms() -> dict[str, dict[str, object]]:
    """How each language writes numbers, days, dates and rows, by the CLDR."""
    return {code: _forms(code, Locale.parse(name)) for code, name in LOCALES.items()}


def _forms(code: str, locale: Locale) -> dict[str, object]:
    rows = {"and": locale.list_patterns["standard"], "or": locale.list_patterns["or"]}
    return {
        "decimal": locale.number_symbols["latn"]["decimal"],
        "nouns_are_capital": code in NOUNS_ARE_CAPITAL,
        "weekdays": [locale.days["stand-alone"]["wide"][day] for day in range(7)],
        "weekdays_short": [
            locale.days["stand-alone"]["abbreviated"][day].rstrip(".") for day in range(7)
        ],
        "months_short": [locale.months["format"]["abbreviated"][month] for month in range(1, 13)],
        "date": locale.date_formats["medium"].pattern,
        "time": locale.time_formats["short"].pattern,
        "pairs": {joint: row["2"] for joint, row in rows.items()},
        "ends": {joint: row["end"] for joint, row in rows.items()},
    }


def main(command: str) -> None:
    """Do one of the four."""
    if command == "update":
        update()
    elif command == "compile":
        for code in CODES:
            (LANGUAGES / f"{code}.mo").write_bytes(compiled(code))
    elif command == "missing":
        for code in CODES:
            for text in untranslated(read(code)):
                print(f"{code}: {text}")
    elif command == "forms":
        text = json.dumps(forms(), ensure_ascii=False, indent=1)
        (LANGUAGES / "forms.json").write_text(text + "\n", encoding="utf-8")
    else:
        raise SystemExit(__doc__)


if __name__ == "__main__":
    main(sys.argv[1] if len(sys.argv) == 2 else "")
