"""Everything the window can be asked to do, in one table.

Menus, toolbar, keyboard and the sheet of shortcuts are all made from `rows()`. A row names its
handler as ``part.method`` of the window ("files.save"), and when it can be done by a word that the
window answers (`when`).
"""

from collections.abc import Iterator
from dataclasses import dataclass

from PySide6.QtCore import QCoreApplication
from PySide6.QtGui import QKeySequence

translate = QCoreApplication.translate

_TONGUES = {
    "en": "&English",
    "de": "De&utsch",
    "es": "E&spañol",
    "fr": "&Français",
    "nl": "&Nederlands",
}
"""The languages, each in its own words."""


@dataclass(frozen=True, slots=True)
class Row:
    """One action. `menu` is a path (“View/Theme”); `keys` its shortcuts, the first one shown.

    `argument` is handed to the handler; rows of one `group` exclude each other and are ticked.
    The keys of a `local` row are taken by the view itself, so they stand here only to be shown.
    A row with `list` fills a submenu anew, from what that method gives, whenever it is opened.
    """

    key: str
    menu: str
    text: str
    handler: str
    keys: tuple[str, ...] = ()
    tip: str = ""
    when: str = "always"
    tool: bool = False
    argument: str | None = None
    group: str = ""
    list: str = ""
    parted: bool = False
    local: bool = False


def rows() -> tuple[Row, ...]:
    """The table, in the order of the menus."""
    return (*_file(), *_edit(), *_job(), *_vehicle(), *_panel(), *_accessory(), *_view(), *_help())


def menu_titles() -> dict[str, str]:
    """The titles of the menus and submenus by their path."""
    return {
        "File": translate("Actions", "&File"),
        "Edit": translate("Actions", "&Edit"),
        "Job": translate("Actions", "&Job"),
        "Vehicle": translate("Actions", "&Vehicle"),
        "Panel": translate("Actions", "&Panel"),
        "Accessory": translate("Actions", "&Accessory"),
        "View": translate("Actions", "V&iew"),
        "View/Turned": translate("Actions", "Wa&y up"),
        "View/Photo": translate("Actions", "P&hoto of the lid"),
        "View/Theme": translate("Actions", "&Theme"),
        "View/Words": translate("Actions", "&Words"),
        "View/Language": translate("Actions", "Languag&e"),
        "View/Units": translate("Actions", "&Units"),
        "Help": translate("Actions", "&Help"),
    }


def _file() -> tuple[Row, ...]:
    return (
        Row("new", "File", translate("Actions", "&New vehicle"), "files.new", ("Ctrl+N",),
            translate("Actions", "Start a vehicle from the rows and columns of its fuse panel")),
        Row("open", "File", translate("Actions", "&Open…"), "files.open", ("Ctrl+O",),
            translate("Actions", "Open a vehicle file"), tool=True),
        Row("recent", "File", translate("Actions", "Open &recent"), "files.open_path",
            list="files.recent"),
        Row("demo", "File", translate("Actions", "Open &demo vehicle"), "files.open_demo",
            list="files.demos"),
        Row("save", "File", translate("Actions", "&Save"), "files.save", ("Ctrl+S",),
            translate("Actions", "Save the vehicle to its file"), "open", tool=True, parted=True),
        Row("save_as", "File", translate("Actions", "Save &as…"), "files.save_as",
            ("Ctrl+Shift+S",), translate("Actions", "Save the vehicle to another file"), "open"),
        Row("versions", "File", translate("Actions", "Earlier &versions…"), "files.show_versions",
            tip=translate("Actions", "What each save kept, to look at and restore"), when="open"),
        Row("lost_work", "File", translate("Actions", "&Unsaved work…"), "show_lost_work",
            tip=translate("Actions", "Work that was not saved when the program ended"),
            parted=True),
        Row("print", "File", translate("Actions", "&Print or save sheets…"), "show_print",
            ("Ctrl+P",),
            translate("Actions", "Installation sheet, lid card, panel map, probing list, record"),
            "vehicle", parted=True),
        Row("quit", "File", translate("Actions", "&Quit"), "close", ("Ctrl+Q",), parted=True),
    )  # fmt: skip


def _edit() -> tuple[Row, ...]:
    return (
        Row("undo", "Edit", translate("Actions", "&Undo"), "document.stack.undo", ("Ctrl+Z",),
            translate("Actions", "Take the last step back"), "undo", tool=True),
        Row("redo", "Edit", translate("Actions", "&Redo"), "document.stack.redo",
            ("Ctrl+Shift+Z", "Ctrl+Y"), translate("Actions", "Do it again"), "redo", tool=True),
        Row("copy", "Edit", translate("Actions", "&Copy"), "clipboard.copy", ("Ctrl+C",),
            translate("Actions", "Copy the chosen slots, or the accessory"), "open", parted=True,
            local=True),
        Row("paste", "Edit", translate("Actions", "&Paste"), "clipboard.paste", ("Ctrl+V",),
            translate("Actions", "Paste slots at the cursor, or accessories"), "open",
            local=True),
        Row("search", "Edit", translate("Actions", "&Go to anything…"), "search.open",
            ("Ctrl+G",), translate("Actions", "Actions, slots, accessories, findings, help"),
            parted=True),
    )  # fmt: skip


def _job() -> tuple[Row, ...]:
    return (
        Row("probe", "Job", translate("Actions", "&Probe"), "tasks.show", ("Ctrl+1",),
            translate("Actions", "Read the slots beside the vehicle, by the number pad"), "vehicle",
            tool=True, argument="probe", group="task"),
        Row("plan", "Job", translate("Actions", "P&lan"), "tasks.show", ("Ctrl+2",),
            translate("Actions", "Put accessories onto slots, at the table"), "vehicle",
            tool=True, argument="plan", group="task"),
        Row("check", "Job", translate("Actions", "&Check"), "tasks.show", ("Ctrl+3",),
            translate("Actions", "After fitting: predicted beside measured"), "vehicle",
            tool=True, argument="check", group="task"),
        Row("readings", "Job", translate("Actions", "&Readings…"), "tasks.show_readings",
            tip=translate("Actions", "Every reading ever taken, and what became of it"),
            when="vehicle", parted=True),
        Row("meters", "Job", translate("Actions", "&Meters…"), "tasks.show_meters",
            tip=translate("Actions", "How far each meter may be off, as its leaflet states"),
            when="vehicle"),
        Row("paste_table", "Job", translate("Actions", "Paste a &table…"), "tasks.paste_table",
            tip=translate("Actions", "Take slots and readings in from a spreadsheet"),
            when="vehicle"),
        Row("give_map", "Job", translate("Actions", "&Give the map away…"),
            "tasks.travel.give_away", when="vehicle", parted=True,
            tip=translate("Actions", "Panels and readings alone, for the same vehicle type")),
        Row("take_map", "Job", translate("Actions", "Take &in somebody’s map…"),
            "tasks.travel.take_in", when="vehicle",
            tip=translate("Actions", "As somebody else’s word, until it is read here")),
    )  # fmt: skip


def _vehicle() -> tuple[Row, ...]:
    return (
        Row("vehicle", "Vehicle", translate("Actions", "&Name and voltage"), "show_page",
            argument="vehicle", when="open"),
        Row("battery", "Vehicle", translate("Actions", "&Battery"), "show_page",
            ("Ctrl+B",), translate("Actions", "What the battery's label and the meter say"),
            "open", argument="battery", tool=True),
        Row("parking", "Vehicle", translate("Actions", "&Parking"), "show_page",
            ("Ctrl+K",), translate("Actions", "How it is parked, and its rest current"),
            "open", argument="parking", tool=True),
        Row("feeds", "Vehicle", translate("Actions", "&Feeds"), "show_page",
            ("Ctrl+F",), translate("Actions", "What supplies the panels: main fuses, relays"),
            "open", argument="feed", tool=True),
        Row("rules", "Vehicle", translate("Actions", "&Rules and limits"), "show_page",
            ("Ctrl+R",), translate("Actions", "The named limits and where they are from"),
            "open", argument="rules"),
        Row("compare", "Vehicle", translate("Actions", "&Compare plans"), "show_page",
            tip=translate("Actions", "Two plans side by side: places, margins, days, parts"),
            when="open", argument="compare", parted=True),
    )  # fmt: skip


def _panel() -> tuple[Row, ...]:
    return (
        Row("add_panel", "Panel", translate("Actions", "Add &panel"), "panels.add", when="open"),
        Row("panel", "Panel", translate("Actions", "Panel &details"), "panels.show", when="panel"),
        Row("number_slots", "Panel", translate("Actions", "&Number the slots…"),
            "tasks.number_slots", when="panel",
            tip=translate("Actions", "As the lid does: prefix, first number, along which way")),
        Row("photo", "Panel", translate("Actions", "Ph&oto of the lid…"), "photos.choose",
            when="panel", parted=True,
            tip=translate("Actions", "A picture behind the slots, to see what is where")),
        Row("fit_photo", "Panel", translate("Actions", "Fi&t the photo…"), "photos.fit",
            when="photo", tip=translate("Actions", "Where on the photo the panel’s corners are")),
        Row("remove_photo", "Panel", translate("Actions", "Remo&ve the photo"), "photos.remove",
            when="photo"),
        Row("remove_panel", "Panel", translate("Actions", "Remove pane&l"), "panels.remove",
            when="panel"),
        Row("row_above", "Panel", translate("Actions", "Add row &above"), "panels.add_line",
            when="panel", argument="above", parted=True),
        Row("row_below", "Panel", translate("Actions", "Add row &below"), "panels.add_line",
            when="panel", argument="below"),
        Row("column_left", "Panel", translate("Actions", "Add column to the le&ft"),
            "panels.add_line", when="panel", argument="left"),
        Row("column_right", "Panel", translate("Actions", "Add column to the ri&ght"),
            "panels.add_line", when="panel", argument="right"),
        Row("remove_row", "Panel", translate("Actions", "Remove ro&w"), "panels.remove_line",
            when="panel", argument="row"),
        Row("remove_column", "Panel", translate("Actions", "Remove &column"),
            "panels.remove_line", when="panel", argument="column"),
        Row("add_slot", "Panel", translate("Actions", "Add &slot in the gap"), "panels.add_slot",
            ("Ins",), translate("Actions", "Put a slot where the panel has a gap"), "panel",
            parted=True, local=True),
        Row("remove_slot", "Panel", translate("Actions", "R&emove slot"), "panels.remove_slot",
            ("Ctrl+Del",), translate("Actions", "Leave a gap where the slot was"), "slot",
            local=True),
    )  # fmt: skip


def _accessory() -> tuple[Row, ...]:
    return (
        Row("add_accessory", "Accessory", translate("Actions", "&Add accessory"),
            "accessories.add", ("Ctrl+Shift+A",),
            translate("Actions", "Search the library for it, or type the name of a new one"),
            "open", tool=True),
        Row("remove_accessory", "Accessory", translate("Actions", "&Remove accessory"),
            "accessories.remove", when="accessory"),
        Row("plan_rest", "Accessory", translate("Actions", "&Plan the rest"), "show_page",
            ("Ctrl+Shift+P",),
            translate("Actions", "The best places for everything that has no source yet"),
            "open", argument="plan", tool=True, parted=True),
    )  # fmt: skip


def _view() -> tuple[Row, ...]:
    return (
        Row("go_panel", "View", translate("Actions", "Go to the &panel"), "focus_pane",
            ("Alt+1",), when="open", argument="panel"),
        Row("go_details", "View", translate("Actions", "Go to the &details"), "focus_pane",
            ("Alt+2",), when="open", argument="details"),
        Row("go_shelf", "View", translate("Actions", "Go to the &accessories"), "focus_pane",
            ("Alt+3",), when="open", argument="shelf"),
        Row("go_findings", "View", translate("Actions", "Go to the &findings"), "focus_pane",
            ("Alt+4",), when="open", argument="findings"),
        Row("go_parked", "View", translate("Actions", "Go to the parked &chart"), "focus_pane",
            ("Alt+5",), when="open", argument="parked"),
        Row("go_band", "View", translate("Actions", "Go to fuse and ca&ble"), "focus_pane",
            ("Alt+6",), translate("Actions", "The fuse’s band against the cable’s damage curve"),
            "open", argument="band"),
        Row("advice", "View", translate("Actions", "What w&ould be right"),
            "show_advice", ("Alt+0",),
            translate("Actions", "The fuse and cable that would be right for what is selected"),
            "open"),
        Row("next_pane", "View", translate("Actions", "&Next part of the window"), "cycle_pane",
            ("F6",), when="open", argument="on"),
        Row("previous_pane", "View", translate("Actions", "Pre&vious part of the window"),
            "cycle_pane", ("Shift+F6",), when="open", argument="back"),
        Row("next_finding", "View", translate("Actions", "Ne&xt finding"), "go_finding",
            ("F8",), translate("Actions", "Show the next thing that was found"), "open",
            argument="on", parted=True),
        Row("previous_finding", "View", translate("Actions", "Previous findin&g"), "go_finding",
            ("Shift+F8",), when="open", argument="back"),
        Row("larger", "View", translate("Actions", "&Larger panel"), "zoom_panel",
            ("Ctrl++", "Ctrl+="), when="panel", argument="larger", parted=True),
        Row("smaller", "View", translate("Actions", "&Smaller panel"), "zoom_panel",
            ("Ctrl+-",), when="panel", argument="smaller"),
        Row("whole", "View", translate("Actions", "F&it the panel"), "zoom_panel",
            ("Ctrl+0",), when="panel", argument="whole"),
        Row("turn_left", "View/Turned", translate("Actions", "Turn the panel to the &left"),
            "panels.turn", ("Ctrl+Shift+Left",), when="panel", argument="left"),
        Row("turn_right", "View/Turned", translate("Actions", "Turn the panel to the &right"),
            "panels.turn", ("Ctrl+Shift+Right",), when="panel", argument="right"),
        Row("mirror", "View/Turned", translate("Actions", "&Mirror the panel"), "panels.mirror",
            ("Ctrl+Shift+M",),
            translate("Actions", "As seen in a mirror or from behind, and back again"), "panel"),
        Row("photo_off", "View/Photo", translate("Actions", "&Off"), "photos.set_strength",
            argument="off", group="photo_strength"),
        Row("photo_faint", "View/Photo", translate("Actions", "&Faint"), "photos.set_strength",
            argument="faint", group="photo_strength"),
        Row("photo_strong", "View/Photo", translate("Actions", "&Strong"), "photos.set_strength",
            argument="strong", group="photo_strength"),
        Row("theme_system", "View/Theme", translate("Actions", "As the &desktop"), "look.set_theme",
            argument="system", group="theme"),
        Row("theme_light", "View/Theme", translate("Actions", "&Light"), "look.set_theme",
            argument="light", group="theme"),
        Row("theme_dark", "View/Theme", translate("Actions", "Dar&k"), "look.set_theme",
            argument="dark", group="theme"),
        Row("word_earth", "View/Words", translate("Actions", "Say &earth"), "look.set_earth_word",
            argument="earth", group="earth_word"),
        Row("word_ground", "View/Words", translate("Actions", "Say &ground"), "look.set_earth_word",
            argument="ground", group="earth_word"),
        Row("language_system", "View/Language", translate("Actions", "As the &desktop"),
            "look.set_language", argument="system", group="language"),
        *(Row(f"language_{code}", "View/Language", name, "look.set_language", argument=code,
              group="language") for code, name in _TONGUES.items()),
        Row("unit_m", "View/Units", translate("Actions", "&Metres"), "look.set_unit",
            argument="m", group="length_unit"),
        Row("unit_ft", "View/Units", translate("Actions", "&Feet"), "look.set_unit",
            argument="ft", group="length_unit"),
        Row("unit_c", "View/Units", translate("Actions", "Degrees &Celsius"), "look.set_unit",
            argument="°C", group="temperature_unit", parted=True),
        Row("unit_f", "View/Units", translate("Actions", "Degrees Fa&hrenheit"), "look.set_unit",
            argument="°F", group="temperature_unit"),
        Row("unit_mm2", "View/Units", translate("Actions", "mm² fi&rst"), "look.set_unit",
            argument="mm²", group="section_unit", parted=True),
        Row("unit_awg", "View/Units", translate("Actions", "&AWG first"), "look.set_unit",
            argument="AWG", group="section_unit"),
        Row("reset_layout", "View", translate("Actions", "&Reset layout"), "reset_layout",
            tip=translate("Actions", "Window and its parts as large as at the first start"),
            parted=True),
    )  # fmt: skip


def _help() -> tuple[Row, ...]:
    return (
        Row("help_here", "Help", translate("Actions", "&Help on this part"), "help.show_here",
            ("F1",), translate("Actions", "Explains the part of the window you are in")),
        Row("help_pages", "Help", translate("Actions", "All &pages"), "help.show_page",
            list="help.pages"),
        Row("tour", "Help", translate("Actions", "Guided &tour"), "help.tour",
            tip=translate("Actions", "A walk through the window in a few steps")),
        Row("tables", "Help", translate("Actions", "Tables and &sources"), "show_tables",
            ("Ctrl+T",), translate("Actions", "All published figures, and which are from memory"),
            parted=True),
        Row("shortcuts", "Help", translate("Actions", "&Keyboard shortcuts"), "show_shortcuts",
            ("Shift+F1",)),
        Row("about", "Help", translate("Actions", "&About and cautions"), "show_about"),
    )  # fmt: skip


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
    return (
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
