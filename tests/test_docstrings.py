"""Every public formula tells the units of its figures and where it comes from.

A parameter that takes a number or an array needs its unit in the docstring: after its own name, or
in brackets if the name's ending says which unit that is, or through "as other_function". `Source:`
may say `ours` or `common practice`, but it must say something. Whatever checks its figures must
tell that it raises.
"""

import ast
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

import fusemap.electrics

FOLDER = Path(fusemap.electrics.__file__).parent

STILL_OPEN: tuple[str, ...] = ()
"""Modules that do not tell everything yet, until the list is empty."""

NUMBERS = {"float", "int", "ArrayLike", "Values", "Floats", "NDArray"}
"""Annotations of figures."""

ENDINGS = {
    "_a": "A",
    "_ma": "mA",
    "_ah": "Ah",
    "_v": "V",
    "_mv": "mV",
    "_w": "W",
    "_ohm": "Ω",
    "_mohm": "mΩ",
    "_mohm_per_m": "mΩ/m",
    "_a2s": "A²s",
    "_c": "°C",
    "_k": "K",
    "_m": "m",
    "_mm": "mm",
    "_mm2": "mm²",
    "_s": "s",
    "_h": "h",
    "volts": "V",
    "watts": "W",
    "seconds": "s",
}
"""What the ending of a name, or a whole name, says about its unit."""

NO_PHYSICS = ("values",)
"""Modules that only handle numbers of any unit."""

CHECKS = re.compile(r"\b(require_\w+\(|raise InputProblem|checked_\w+\()")
OTHER = re.compile(r"\bas (?:in )?(?:\w+\.)?(\w+)")
"""How a docstring sends the reader to another one."""


@dataclass(frozen=True)
class Formula:
    """A public function or method: where it is, its docstring, its figures and its body."""

    module: str
    name: str
    prose: str
    figures: tuple[str, ...]
    body: str

    def __str__(self) -> str:
        return f"{self.module}.{self.name}"


def formulas() -> Iterator[Formula]:
    for path in sorted(FOLDER.rglob("*.py")):
        text = path.read_text(encoding="utf-8")
        module = ".".join(path.relative_to(FOLDER).with_suffix("").parts)
        if module in NO_PHYSICS:
            continue
        for prefix, node in public_functions(ast.parse(text)):
            yield Formula(
                module,
                prefix + node.name,
                prose(ast.get_docstring(node) or ""),
                figures(node),
                ast.get_source_segment(text, node) or "",
            )


def public_functions(tree: ast.Module) -> Iterator[tuple[str, ast.FunctionDef]]:
    for node in tree.body:
        if isinstance(node, ast.FunctionDef) and not node.name.startswith("_"):
            yield "", node
        if isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
            for part in node.body:
                if isinstance(part, ast.FunctionDef) and not part.name.startswith("_"):
                    yield f"{node.name}.", part


def prose(docstring: str) -> str:
    """The docstring without its worked examples, as one line."""
    return " ".join(docstring.partition(">>>")[0].split())


def figures(node: ast.FunctionDef) -> tuple[str, ...]:
    """Parameters that take a number or an array; what defaults to yes or no is none."""
    arguments = [*node.args.posonlyargs, *node.args.args]
    defaults = [None] * (len(arguments) - len(node.args.defaults)) + [*node.args.defaults]
    arguments += node.args.kwonlyargs
    defaults += node.args.kw_defaults
    if node.args.vararg:
        arguments, defaults = [*arguments, node.args.vararg], [*defaults, None]
    return tuple(
        argument.arg
        for argument, default in zip(arguments, defaults, strict=True)
        if argument.annotation is not None
        and NUMBERS & words(ast.unparse(argument.annotation))
        and not (isinstance(default, ast.Constant) and isinstance(default.value, bool))
    )


def words(text: str) -> set[str]:
    return set(re.findall(r"\w+", text))


ALL = list(formulas())
WITH_FIGURES = [formula for formula in ALL if formula.figures]


def open_or_not(found: list[Formula]) -> list[object]:
    mark = pytest.mark.xfail(reason="on the list of modules still open", strict=False)
    return [
        pytest.param(formula, id=str(formula), marks=[mark] if formula.module in STILL_OPEN else [])
        for formula in found
    ]


def tells_unit(formula: Formula, figure: str, asked: frozenset[str] = frozenset()) -> bool:
    """Whether the unit of a figure stands in the docstring, or in one that it sends to."""
    if re.search(rf"\b{figure}\b[^\[\]]{{0,90}}\[[^\]]+\]", formula.prose):
        return True
    unit = unit_by_name(figure)
    if unit is not None and f"[{unit}]" in formula.prose:
        return True
    named = set(OTHER.findall(formula.prose)) - asked
    return any(
        tells_unit(other, figure, asked | {formula.name})
        for other in ALL
        if other.name in named and figure in other.figures
    )


def figures_without_unit(formula: Formula) -> list[str]:
    return [figure for figure in formula.figures if not tells_unit(formula, figure)]


def names_source(formula: Formula) -> bool:
    return re.search(r"Source: *\S", formula.prose) is not None


def says_what_it_raises(formula: Formula) -> bool:
    sent_on = any(other.name in OTHER.findall(formula.prose) for other in ALL)
    return "Raises " in formula.prose or sent_on or not CHECKS.search(formula.body)


def unit_by_name(figure: str) -> str | None:
    fitting = [end for end in ENDINGS if f"_{figure}".endswith(end if end[0] == "_" else f"_{end}")]
    return ENDINGS[max(fitting, key=len)] if fitting else None


def test_there_are_formulas_to_look_at():
    assert len(WITH_FIGURES) > 50


@pytest.mark.parametrize("formula", open_or_not(WITH_FIGURES))
def test_every_figure_has_its_unit(formula):
    assert figures_without_unit(formula) == []


@pytest.mark.parametrize("formula", open_or_not(WITH_FIGURES))
def test_every_formula_names_its_source(formula):
    assert names_source(formula)


@pytest.mark.parametrize("formula", open_or_not(WITH_FIGURES))
def test_a_formula_that_checks_its_figures_says_what_it_raises(formula):
    assert says_what_it_raises(formula)


@pytest.mark.parametrize("formula", ALL, ids=str)
def test_every_public_function_says_what_it_gives(formula):
    assert len(formula.prose.partition(". ")[0]) > 15


def test_a_module_that_tells_everything_is_off_the_list():
    for module in sorted(set(STILL_OPEN) & {formula.module for formula in WITH_FIGURES}):
        assert any(
            figures_without_unit(formula)
            or not names_source(formula)
            or not says_what_it_raises(formula)
            for formula in WITH_FIGURES
            if formula.module == module
        ), f"{module} tells everything now: take it off STILL_OPEN"


def test_the_check_itself_finds_a_missing_unit():
    bare = Formula("none", "none", "Current of a fuse. rating_a: of the fuse.", ("rating_a",), "")
    told = Formula("none", "none", "Current [A] of a fuse.", ("rating_a",), "")
    assert not tells_unit(bare, "rating_a")
    assert tells_unit(told, "rating_a")
