"""Imports run one way, and only the window and the page painter know Qt. Read from the source."""

import ast
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

import fusemap

ROOT = Path(fusemap.__file__).parent

GROUND = {"errors", "units", "catalogues", "style", "text", "shapes", "spreadsheets", "hyphens"}
DATA = {"vehicle", "electrics", "tables", "circuits"}
FOUND = DATA | {"assess", "checks", "placement", "advise", "fixes", "probing"}
OUT = FOUND | {"files", "sheet"}

BELOW = {
    "errors": {"text"},
    "units": {"resources"},
    "catalogues": {"resources"},
    "style": {"units", "catalogues"},
    "text": {"units", "catalogues", "style"},
    "shapes": set(),
    "spreadsheets": set(),
    "hyphens": set(),
    "vehicle": set(),
    "tables": {"resources"},
    "electrics": set(),
    "circuits": {"vehicle", "tables"},
    "photo": {"tables"},
    "assess": DATA,
    "checks": DATA | {"assess", "probing"},
    "advise": DATA | {"assess"},
    "placement": DATA | {"assess", "advise", "checks"},
    "fixes": DATA | {"assess", "advise", "checks", "placement", "probing"},
    "probing": DATA | {"assess"},
    "job": FOUND,
    "files": {"vehicle", "tables", "demo_vehicles"},
    "sheet": FOUND | {"photo"},
    "terminal": OUT,
    "cli": OUT | {"terminal"},
    "window": OUT | {"job", "photo"},
    "__main__": {"advise", "circuits", "cli", "files", "photo", "terminal", "vehicle", "window"},
    "__init__": set(),
}
"""What each part may import of the others."""

PARTS = sorted({path.relative_to(ROOT).parts[0].removesuffix(".py") for path in ROOT.rglob("*.py")})
MODULES = sorted(ROOT.rglob("*.py"))


def imported(source: str) -> Iterator[str]:
    """Every module a source imports, wherever in it."""
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, "imports are written out in full"
            yield node.module or ""
            yield from (f"{node.module}.{alias.name}" for alias in node.names)


def part_of(module: Path) -> str:
    return module.relative_to(ROOT).parts[0].removesuffix(".py")


def parts_imported(source: str) -> set[str]:
    """The parts of fusemap a source imports."""
    names = [name.split(".") for name in imported(source)]
    return {name[1] for name in names if name[0] == "fusemap" and len(name) > 1}


def knows_qt(source: str) -> bool:
    toolkits = {"PySide6", "pyqtgraph", "shiboken6"}
    return any(name.split(".")[0] in toolkits for name in imported(source))


def test_the_reading_finds_every_form_of_import() -> None:
    inner = "def f():\n    from fusemap import tables\n    import PySide6.QtCore"
    source = f"import fusemap.vehicle\n{inner}"
    assert parts_imported(source) == {"vehicle", "tables"}
    assert knows_qt(source)
    assert not knows_qt("import numpy")


def test_every_part_has_its_place() -> None:
    assert set(PARTS) <= set(BELOW)


@pytest.mark.parametrize("module", MODULES, ids=lambda path: str(path.relative_to(ROOT)))
def test_imports_run_one_way(module: Path) -> None:
    part = part_of(module)
    above = parts_imported(module.read_text(encoding="utf-8")) - BELOW[part] - GROUND - {part}
    assert not above


def name_of(module: Path) -> str:
    """The dotted name of a module."""
    parts = module.relative_to(ROOT.parent).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def reached(start: str, imports: dict[str, set[str]]) -> set[str]:
    """Every module that a module imports, by however many others."""
    found: set[str] = set()
    left = [start]
    while left:
        new = imports[left.pop()] - found
        found |= new
        left += new
    return found


def in_circles(sources: dict[str, str]) -> set[str]:
    """The modules, of all these sources, that import themselves by way of others.

    A package stands for what its `__init__` imports; to import from one of its modules is not to
    import the package.
    """
    imports: dict[str, set[str]] = {}
    for name, source in sources.items():
        named = [each for each in imported(source) if each in sources]
        whole = {each for each in named if any(other.startswith(f"{each}.") for other in named)}
        imports[name] = set(named) - whole - {name}
    return {name for name in sources if name in reached(name, imports)}


def test_a_circle_is_found_however_long_and_wherever_the_import_stands() -> None:
    late = "def f():\n    from a.three import it"
    sources = {"a": "", "a.one": "from a.two import it", "a.two": late, "a.three": "import a.one"}
    assert in_circles(sources) == {"a.one", "a.two", "a.three"}
    assert in_circles({**sources, "a.three": "import a"}) == set()


def test_an_import_for_the_types_alone_counts_for_a_circle_too() -> None:
    types = "from typing import TYPE_CHECKING\nif TYPE_CHECKING:\n    from a.two import It"
    assert in_circles({"a.one": types, "a.two": "from a.one import other"}) == {"a.one", "a.two"}


def test_imports_run_one_way_inside_a_folder_too() -> None:
    """No module imports itself by way of others, not inside functions nor for its types alone."""
    sources = {name_of(module): module.read_text(encoding="utf-8") for module in MODULES}
    assert in_circles(sources) == set()


def late_imports(source: str) -> Iterator[str]:
    """Imports inside functions without a word why: on the line, or above the first of several."""
    lines = source.splitlines()
    for block in blocks_in_functions(ast.parse(source)):
        told = False
        for before, node in zip([None, *block], block, strict=False):
            if isinstance(node, ast.Import | ast.ImportFrom):
                goes_on = told and isinstance(before, ast.Import | ast.ImportFrom)
                written = "".join(lines[node.lineno - 1 : node.end_lineno])
                told = goes_on or "#" in written or lines[node.lineno - 2].strip()[:1] == "#"
                if not told:
                    yield lines[node.lineno - 1].strip()


def blocks_in_functions(tree: ast.AST) -> Iterator[list[ast.stmt]]:
    """Every row of statements inside a function, each once."""
    functions = ast.FunctionDef | ast.AsyncFunctionDef
    inside = {
        id(node): node
        for function in ast.walk(tree)
        if isinstance(function, functions)
        for node in ast.walk(function)
    }
    for node in inside.values():
        for name in ("body", "orelse", "finalbody"):
            block = getattr(node, name, None)
            if isinstance(block, list):
                yield block


def test_a_late_import_without_a_reason_is_found() -> None:
    told = (
        "def f():\n    # loaded when asked for\n    import a\n    import b\n    import c  # why\n"
    )
    assert list(late_imports(told)) == []
    assert list(late_imports("def f():\n    if x:\n        import a\n")) == ["import a"]
    assert list(late_imports("import a\n")) == []


@pytest.mark.parametrize("module", MODULES, ids=lambda path: str(path.relative_to(ROOT)))
def test_an_import_inside_a_function_has_its_reason(module: Path) -> None:
    found = list(late_imports(module.read_text(encoding="utf-8")))
    assert found == []


@pytest.mark.parametrize("module", MODULES, ids=lambda path: str(path.relative_to(ROOT)))
def test_only_the_window_and_the_page_painter_know_qt(module: Path) -> None:
    place = module.relative_to(ROOT)
    if place.parts[0] == "window" or place.match(PAINTERS):
        return
    assert not knows_qt(module.read_text(encoding="utf-8"))


def test_only_what_starts_the_program_knows_the_main_window() -> None:
    name = "fusemap.window.main_window"
    knowing = [path for path in MODULES if name in imported(path.read_text(encoding="utf-8"))]
    assert [str(path.relative_to(ROOT)) for path in knowing] == ["window/app.py"]


PAINTERS = "sheet/paint*.py"
"""Modules outside the window that paint pages."""


def modules_after(statement: str) -> set[str]:
    """The modules a fresh interpreter has loaded after a statement, or at its `loaded = …`."""
    code = f"import sys\n{statement}\nprint(*sorted(globals().get('loaded', sys.modules)))"
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=False, timeout=120
    )
    assert done.returncode == 0, done.stderr
    return set(done.stdout.split())


def loaded_by(statement: str) -> set[str]:
    """The top-level modules a fresh interpreter has loaded after a statement."""
    return {name.split(".")[0] for name in modules_after(statement)}


def test_the_reports_on_the_terminal_load_no_qt() -> None:
    loaded = loaded_by("import fusemap.cli, fusemap.__main__")
    assert "fusemap" in loaded
    assert not loaded & {"PySide6", "shiboken6", "pyqtgraph"}


def test_what_is_loaded_before_qt_knows_no_qt_and_computes_nothing() -> None:
    loaded = loaded_by("from fusemap.__main__ import load_first\nload_first()")
    assert {"fusemap", "msgspec"} <= loaded
    assert not loaded & {"PySide6", "shiboken6", "numpy"}


def test_what_the_window_loads_is_not_read_through_by_pyside() -> None:
    """Its own import reads the source of all that comes after it; charts want the one below it."""
    looked = """
import inspect
read = []
source_of = inspect.getsource
inspect.getsource = lambda thing: read.append(thing) or source_of(thing)
import fusemap.window.app, fusemap.assess, pyqtgraph
assert pyqtgraph.PlotWidget
loaded = [getattr(module, "__name__", "") for module in read]
"""
    assert not {name for name in modules_after(looked) if name.startswith(("fusemap", "numpy"))}


def test_the_window_loads_neither_charts_nor_solvers_at_the_start() -> None:
    loaded = loaded_by("import fusemap.window.app")
    assert "PySide6" in loaded
    assert not loaded & {"pyqtgraph", "scipy"}


OPENED = """
import os; os.environ["QT_QPA_PLATFORM"] = "offscreen"
from PySide6.QtWidgets import QApplication
app = QApplication([])
from fusemap.window.app import make_window, open_first
window = make_window()
open_first(window, None, "family_estate")
"""
NOT_TO_BE_SEEN_YET = {
    "PySide6.QtMultimedia", "PySide6.QtNetwork", "PySide6.QtPrintSupport", "PySide6.QtSvg",
    "PySide6.QtTextToSpeech", "pyqtgraph", "scipy",
    "fusemap.checks", "fusemap.fixes", "fusemap.job", "fusemap.placement", "fusemap.probing",
    "fusemap.sheet", "fusemap.files.lock",
    "fusemap.window.beside", "fusemap.window.crank", "fusemap.window.details",
    "fusemap.window.findings", "fusemap.window.help.about", "fusemap.window.help.help_page",
    "fusemap.window.help.quick_search", "fusemap.window.hunt", "fusemap.window.pages",
    "fusemap.window.parked", "fusemap.window.start.start_page",
}  # fmt: skip
"""What neither the panel nor its figures need."""
NEVER_WANTED = {"numpy.ma", "numpy.testing", "numpy.f2py"}
"""What some of numpy's functions load, each time for a seventieth of a second: `median` of a list,
`unique` of values alone.
"""
COMPUTES = {"numpy", "fusemap.assess", "fusemap.electrics"}
"""What the figures need, the panel without them does not."""


def test_a_demo_vehicle_is_painted_before_what_computes_is_loaded() -> None:
    loaded = modules_after(f"{OPENED}\nassert window.grab().width() > 0")
    assert {"PySide6.QtWidgets", "fusemap.window.panel.panel_view"} <= loaded
    assert loaded & (NOT_TO_BE_SEEN_YET | COMPUTES) == set()


def test_the_cards_have_their_figures_before_what_judges_is_loaded() -> None:
    loaded = modules_after(
        OPENED
        + """
from fusemap.window.frame.job_state import JobState
from fusemap.window.panel.panel_model import LOOK
def figures_are_there():
    model = window.work.panels.current_view().model()
    return model.index(0, 0).data(LOOK).assessed
def find(state):
    global loaded
    assert figures_are_there()
    loaded = set(sys.modules)
    app.exit()
JobState._find_now = find
window.show()
assert not figures_are_there()
app.exec()
"""
    )
    assert loaded >= COMPUTES
    assert loaded & (NOT_TO_BE_SEEN_YET | NEVER_WANTED) == set()


def test_whether_it_holds_is_said_before_what_is_not_wanted_is_loaded() -> None:
    loaded = modules_after(
        """
from fusemap.assess import assess
from fusemap.checks import findings
from fusemap.files.demos import read_demo
vehicle = read_demo("family_estate")
assert findings(vehicle, assess(vehicle))
"""
    )
    assert loaded >= {"fusemap.checks", "fusemap.electrics.spread"}
    assert loaded & (NEVER_WANTED | {"scipy", "pyqtgraph", "PySide6"}) == set()
