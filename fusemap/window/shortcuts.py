"""Keys as they are told: beside an action, and in the list of all of them.

An action's keys stand in the table of actions; those that belong to one part of the window stand
here, since the part itself takes them.
"""

from collections.abc import Iterator

from PySide6.QtCore import QCoreApplication
from PySide6.QtGui import QKeySequence

from fusemap.window.action_rows import Row
from fusemap.window.action_table import menu_titles, rows

translate = QCoreApplication.translate


def tool_tip(row: Row) -> str:
    """What a row does, with its shortcut."""
    text = row.tip or plain(row.text)
    return f"{text} ({native(row.keys[0])})" if row.keys else text


def plain(text: str) -> str:
    """A menu text without its mnemonic and dots."""
    return text.replace("&", "").removesuffix("…")


def native(keys: str) -> str:
    """A shortcut as this desktop writes it."""
    return QKeySequence(keys).toString(QKeySequence.SequenceFormat.NativeText)


def view_keys() -> tuple[tuple[str, str, str], ...]:
    """Keys that belong to one part of the window, as (part, what they do, keys)."""
    panel = translate("Actions", "On the panel")
    shelf = translate("Actions", "Among the accessories")
    field = translate("Actions", "In a field")
    anywhere = translate("Actions", "Anywhere")
    return (
        (anywhere, translate("Actions", "All menus"), native("F10")),
        (
            anywhere,
            translate("Actions", "Back from a whole page, or from the list of circuits"),
            native("Esc"),
        ),
        (panel, translate("Actions", "Walk"), translate("Actions", "arrow keys")),
        (
            panel,
            translate("Actions", "Rating and circuit"),
            translate("Actions", "15 Radio, Enter"),
        ),
        (panel, translate("Actions", "Label"), native("Shift+F2")),
        (panel, translate("Actions", "Feed class and marks"), native("Space")),
        (panel, translate("Actions", "Take the fuse out"), native("Del")),
        (shelf, translate("Actions", "Take up, to place it"), native("Return")),
        (shelf, translate("Actions", "Next best slot"), native("Tab")),
        (shelf, translate("Actions", "Put it there"), native("Return")),
        (shelf, translate("Actions", "Put it back"), native("Esc")),
        (field, translate("Actions", "Done"), native("Return")),
        (field, translate("Actions", "Bring the old value back"), native("Esc")),
    )


def shortcut_rows() -> Iterator[tuple[str, str, str]]:
    """Every action that has a shortcut, and the keys of the views, as (where, what, keys)."""
    titles = menu_titles()
    for row in rows():
        if row.keys:
            keys = " / ".join(native(key) for key in row.keys)
            yield plain(titles[row.menu.partition("/")[0]]), plain(row.text), keys
    yield from view_keys()
