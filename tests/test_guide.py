"""README and DEVELOPERS.md say what is there: every path, every room, every menu and key."""

import re
from functools import cache
from pathlib import Path
from typing import Any

from fusemap.window.action_table import menu_titles, rows
from fusemap.window.shortcuts import plain

ROOT = Path(__file__).resolve().parents[1]
FOLDERS = ("fusemap", "tests", "resources", "demo_vehicles", ".ci")
_CODE = re.compile(r"`([^`\n]+)`")
_PATH = re.compile(r"^[\w.*/-]+(/|\.(py|csv|json|svg|md|toml|po|mo))$")
_MENU = re.compile(r"\*{1,2}(\w+) ▸ ([^*]+?)\*{1,2}")
_KEY = re.compile(r"\*((?:Ctrl|Alt|Shift)(?:\+\w+)+|F\d+)\*")


def guide(name: str) -> str:
    return (ROOT / name).read_text(encoding="utf-8")


@cache
def all_paths() -> tuple[str, ...]:
    """Every file and folder of the project, folders with a slash at the end."""
    found = [ROOT / name for name in FOLDERS]
    found += [path for name in FOLDERS for path in (ROOT / name).rglob("*")]
    found += [path for path in ROOT.iterdir() if path.is_file()]
    names = (f"{path.relative_to(ROOT).as_posix()}{'/' * path.is_dir()}" for path in found)
    return tuple(f"/{name}" for name in names if "__pycache__" not in name)


def named_paths(name: str) -> set[str]:
    """What looks like a path in code marks: it ends in a slash, or as our files do."""
    words = {word for code in _CODE.findall(guide(name)) for word in code.split()}
    return {word for word in words if _PATH.match(word) and not word.startswith("/")}


def test_every_path_that_is_named_is_there() -> None:
    paths, named = all_paths(), named_paths("DEVELOPERS.md")
    assert named, "else nothing is asked here"
    missing = []
    for path in sorted(named):
        pattern = re.compile("/" + re.escape(path).replace(r"\*", "[^/]*") + "$")
        if not any(pattern.search(each) for each in paths):
            missing.append(path)
    assert missing == []


def test_every_picture_and_page_of_the_readme_is_there() -> None:
    linked = re.findall(r"\[[^\]]+\]\(([^)]+)\)", guide("README.md"))
    assert "DEVELOPERS.md" in linked
    assert [each for each in linked if not (ROOT / each).is_file()] == []


def test_the_guide_has_every_room_of_the_program() -> None:
    table = guide("DEVELOPERS.md").partition("## The rooms")[2].partition("## The window")[0]
    inside = {
        f"{path.name}/" if path.is_dir() else path.name
        for path in (ROOT / "fusemap").iterdir()
        if (path.is_dir() and (path / "__init__.py").exists()) or path.suffix == ".py"
    } - {"__init__.py", "__main__.py"}
    named = set(_CODE.findall(table))
    said = {each.removeprefix("fusemap/") for each in named if each.endswith(("/", ".py"))}
    assert inside - said == set()


def test_the_guide_has_every_room_of_the_window() -> None:
    text = guide("DEVELOPERS.md").partition("## The window")[2].partition("## How it starts")[0]
    rooms = {
        f"{path.name}/" for path in (ROOT / "fusemap" / "window").iterdir()
        if (path / "__init__.py").exists()
    }  # fmt: skip
    assert rooms - set(_CODE.findall(text)) == set()


def menus(qapp: Any) -> dict[str, set[str]]:
    found: dict[str, set[str]] = {}
    titles = {key: plain(title) for key, title in menu_titles().items()}
    for row in rows():
        for path in {row.menu, row.menu.partition("/")[0]}:
            found.setdefault(titles[path], set()).add(plain(row.text))
    for path, title in titles.items():
        if "/" in path:
            found[titles[path.partition("/")[0]]].add(title)
    return found


def test_every_menu_that_the_readme_sends_one_to_is_there(qapp: Any) -> None:
    found = menus(qapp)
    wrong = [
        f"{menu} ▸ {item}"
        for menu, item in _MENU.findall(" ".join(guide("README.md").split()))
        if menu in found and item.removesuffix("…") not in found[menu]
    ]
    assert wrong == []


def test_every_key_that_the_readme_names_does_something(qapp: Any) -> None:
    known = {key for row in rows() for key in row.keys} | {"F10"}
    named = set(_KEY.findall(guide("README.md")))
    told = {key.replace("Enter", "Return") for key in named}
    assert told - known == set()


def test_what_the_guide_says_is_made_of_structs_is_no_dataclass() -> None:
    assert "Struct" in guide("DEVELOPERS.md")
    for path in (ROOT / "fusemap").rglob("*.py"):
        assert "import dataclass" not in path.read_text(encoding="utf-8"), path
