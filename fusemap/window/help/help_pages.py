"""The help pages: texts of `resources/help` turned into HTML, with our own drawings.

A page is a text file per language in a small form of Markdown. A line alone in square brackets is
filled in: ``[drawing:circuit]`` a drawing in the theme's colours, ``[table:joints]`` a table,
``[numbers:circuit]`` the figures of the vehicle on screen, ``[see:order]`` links to other pages.
In: a page's key and what fills the brackets. Out: HTML for Qt's rich text. A `LearnButton` opens
the page about what stands beside it.
"""

import json
import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from functools import cache
from html import escape
from importlib.resources import files
from typing import Final

from msgspec import Struct
from PySide6.QtCore import QCoreApplication, Qt
from PySide6.QtWidgets import QToolButton

from fusemap.text import Style, Text
from fusemap.window.style.colours import Theme
from fusemap.window.style.sheet import as_link

PACKAGE: Final = "fusemap.resources.help"
TEACHING: Final = (
    "circuit", "feeds", "live_side", "order", "meter", "joints", "sockets", "standing",
)  # fmt: skip
TASKS: Final = (
    "task_panel", "task_source", "task_chain", "task_parked", "task_print", "task_check",
    "task_record", "task_start", "task_drain",
)  # fmt: skip
REFERENCE: Final = ("words", "equations", "tables")
PAGES: Final = (*TASKS, *TEACHING, *REFERENCE)

Fill = Callable[[str, str], str]
"""Gives the HTML for a kind and a key in square brackets."""

_LABEL: Final = re.compile(r"(<text[^>]*>)([^<]+)(</text>)")
_ROLE: Final = re.compile(r"@([a-z_0-9]+)")
_BRACKET: Final = re.compile(r"\[(\w+):(\w+)\]")
_BOLD: Final = re.compile(r"\*\*(.+?)\*\*")
_SLOPING: Final = re.compile(r"\*(.+?)\*")
_CODE: Final = re.compile(r"`(.+?)`")


class Page(Struct, frozen=True):
    """A page as it is written: its key, its title, the text below it."""

    key: str
    title: str
    text: str


@cache
def page(key: str, language: str = "en") -> Page:
    """A page in a language, in English where there is none. Raises `KeyError` for no such page."""
    if key not in PAGES:
        raise KeyError(key)
    folder = files(PACKAGE)
    found = folder.joinpath(f"{key}_{language}.md")
    if not found.is_file():
        found = folder.joinpath(f"{key}_en.md")
    head, _, text = found.read_text(encoding="utf-8").partition("\n")
    return Page(key, head.removeprefix("# ").strip(), text.strip())


@cache
def equations() -> tuple[tuple[str, str, str], ...]:
    """Every equation: what it is, the equation, its source."""
    text = files(PACKAGE).joinpath("equations.json").read_text(encoding="utf-8")
    return tuple((name, sum_, source) for name, sum_, source in json.loads(text))


def drawing(key: str, theme: Theme) -> str:
    """A drawing as SVG, in the theme's colours and its language."""
    text = files(PACKAGE).joinpath(f"{key}.svg").read_text(encoding="utf-8")
    shown = _LABEL.sub(lambda m: m[1] + escape(theme.style.show(Text(m[2]))) + m[3], text)
    return _ROLE.sub(lambda m: str(getattr(theme, m[1])), shown)


def drawing_words(key: str) -> tuple[Text, ...]:
    """What is written in a drawing, as a screen reader says it."""
    text = files(PACKAGE).joinpath(f"{key}.svg").read_text(encoding="utf-8")
    return tuple(dict.fromkeys(Text(found[2]) for found in _LABEL.finditer(text)))


def to_html(text: str, fill: Fill) -> str:
    """A page's text as HTML.

    >>> to_html("One **fuse** & one *cable*.\\n\\n- a\\n- b", lambda kind, key: "")
    '<p>One <b>fuse</b> &amp; one <i>cable</i>.</p><ul><li>a</li><li>b</li></ul>'
    """
    return "".join(_block(block, fill) for block in _blocks(text))


def _blocks(text: str) -> list[list[str]]:
    """Paragraphs, lists, headings and bracketed lines, each as its lines."""
    blocks: list[list[str]] = []
    last = ""
    for line in text.splitlines():
        kind = _kind(line)
        if kind and (kind != last or kind in ("#", "[")):
            blocks.append([])
        if kind:
            blocks[-1].append(line.strip())
        last = kind
    return blocks


def _kind(line: str) -> str:
    start = line.strip()[:2]
    if not start:
        return ""
    if start == "##" or start[0] == "[":
        return start[0]
    if start == "- ":
        return "-"
    return "1" if re.match(r"\d+\. ", line.strip()) else "p"


def _block(lines: list[str], fill: Fill) -> str:
    kind = _kind(lines[0])
    if kind == "[":
        return "".join(fill(m[1], m[2]) for m in _BRACKET.finditer(lines[0]))
    if kind == "#":
        return f"<h3>{_inline(lines[0].removeprefix('## '))}</h3>"
    if kind in ("-", "1"):
        items = "".join(f"<li>{_inline(line.partition(' ')[2])}</li>" for line in lines)
        return f"<ul>{items}</ul>" if kind == "-" else f"<ol>{items}</ol>"
    return f"<p>{_inline(' '.join(lines))}</p>"


def _inline(text: str) -> str:
    text = _CODE.sub(r"<code>\1</code>", escape(text, quote=False))
    return _SLOPING.sub(r"<i>\1</i>", _BOLD.sub(r"<b>\1</b>", text))


def html_table(header: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """A plain table."""
    head = "".join(f"<th align=left>{escape(cell)}</th>" for cell in header)
    body = "".join(
        "<tr>" + "".join(f"<td>{escape(cell)}</td>" for cell in row) + "</tr>" for row in rows
    )
    return f"<table border=0 cellspacing=0 cellpadding=4><tr>{head}</tr>{body}</table>"


TOPICS: Final[Mapping[str, str]] = {
    "startPage": "task_panel",
    "panelPages": "task_panel",
    "chosenPane": "task_chain",
    "waysOn": "feeds",
    "slot": "feeds",
    "feedPage": "circuit",
    "earthPage": "circuit",
    "socketPage": "sockets",
    "vehicle": "task_panel",
    "panel": "task_panel",
    "circuitsPage": "task_panel",
    "battery": "task_parked",
    "parking": "task_parked",
    "rules": "equations",
    "shelf": "task_source",
    "shelfOver": "task_source",
    "accessory": "task_source",
    "sourceList": "task_source",
    "planPage": "task_source",
    "comparePage": "task_source",
    "tapForm": "live_side",
    "chainView": "order",
    "bandView": "order",
    "findingsList": "task_chain",
    "verdict_holds": "task_chain",
    "verdict_days": "standing",
    "probePage": "meter",
    "huntPage": "task_drain",
    "parkedView": "standing",
    "printPreview": "task_print",
    "checkPage": "task_check",
    "stage_probe": "meter",
    "stage_plan": "task_source",
    "stage_standing": "standing",
    "stage_paper": "task_print",
    "stage_check": "task_check",
}
"""Which page belongs to which part of the window, by the part's object name."""


class LearnButton(QToolButton):
    """“Learn”: opens one page in the window that it stands in."""

    def __init__(self, key: str, style: Style) -> None:
        super().__init__()
        self.page = key
        title = page(key, style.language).title
        self.setObjectName(f"learn_{key}")
        self.setText(QCoreApplication.translate("LearnButton", "Learn"))
        self.setToolTip(title)
        self.setAccessibleName(
            QCoreApplication.translate("LearnButton", "Learn: {title}").format(title=title)
        )
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.clicked.connect(self._open)
        as_link(self)

    def _open(self) -> None:
        tools = getattr(self.window(), "help", None)
        if tools is not None:
            tools.show_page(self.page)
