"""Everything the window can be asked to do, in one table.

Menus, keyboard and the sheet of shortcuts are all made from `rows()`. A row holds what it
does and when it can be done as functions of the window, so that the type checker sees every wire.
"""

from functools import partial
from typing import Final

from PySide6.QtCore import QCoreApplication

from fusemap.window.action_rows import (
    Row,
    Window,
    at_a_task,
    at_work,
    can_redo,
    can_undo,
    entries,
    nothing,
    on_a_slot,
    on_an_accessory,
    with_panel,
    with_photo,
)
from fusemap.window.probe.tasks import Task
from fusemap.window.settings import LanguageChoice
from fusemap.window.taking_back import do_again, take_back

translate = QCoreApplication.translate

_TONGUES: Final[dict[LanguageChoice, str]] = {
    "en": "&English",
    "de": "De&utsch",
    "es": "E&spañol",
    "fr": "&Français",
    "nl": "&Nederlands",
}
"""The languages, each in its own words."""


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
        Row("start", "File", translate("Actions", "S&tart page"), lambda w: w.show_start(),
            tip=translate("Actions", "The four doors, and what was open lately")),
        Row("new", "File", translate("Actions", "&New vehicle"), lambda w: w.files.new(),
            ("Ctrl+N",),
            translate("Actions", "Start a vehicle from the rows and columns of its fuse panel")),
        Row("open", "File", translate("Actions", "&Open…"), lambda w: w.files.open(), ("Ctrl+O",),
            tip=translate("Actions", "Open a vehicle file")),
        Row("recent", "File", translate("Actions", "Open &recent"), nothing,
            entries=lambda w: entries(w.files.recent(), w.files.open_path)),
        Row("demo", "File", translate("Actions", "Open &demo vehicle"), nothing,
            entries=lambda w: entries(w.files.demos(), w.files.open_demo)),
        Row("save", "File", translate("Actions", "&Save"), lambda w: w.files.save(), ("Ctrl+S",),
            tip=translate("Actions", "Save the vehicle to its file"), can=at_work,
            parted=True),
        Row("save_as", "File", translate("Actions", "Save &as…"), lambda w: w.files.save_as(),
            ("Ctrl+Shift+S",), tip=translate("Actions", "Save the vehicle to another file"),
            can=at_work),
        Row("versions", "File", translate("Actions", "Earlier &versions…"),
            lambda w: w.files.show_versions(),
            tip=translate("Actions", "What each save kept, to look at and restore"), can=at_work),
        Row("lost_work", "File", translate("Actions", "&Unsaved work…"),
            lambda w: w.show_lost_work(),
            tip=translate("Actions", "Work that was not saved when the program ended"),
            parted=True),
        Row("print", "File", translate("Actions", "&Print or save sheets…"),
            lambda w: w.tasks.show("paper"), ("Ctrl+P",),
            translate("Actions", "Installation sheet, lid card, panel map, probing list, record"),
            can=at_a_task),
        Row("papers", "File", translate("Actions", "Save all sheets as one PD&F…"),
            lambda w: w.save_papers(), ("Ctrl+Alt+P",),
            translate("Actions", "All parts of the paper that are ticked, in one file"),
            can=at_a_task, parted=True),
        Row("quit", "File", translate("Actions", "&Quit"), lambda w: w.close(), ("Ctrl+Q",),
            parted=True),
    )  # fmt: skip


def _edit() -> tuple[Row, ...]:
    return (
        Row("undo", "Edit", translate("Actions", "&Undo"), take_back,
            ("Ctrl+Z",), tip=translate("Actions", "Take the last step back"), can=can_undo),
        Row("redo", "Edit", translate("Actions", "&Redo"), do_again,
            ("Ctrl+Shift+Z", "Ctrl+Y"), tip=translate("Actions", "Do it again"), can=can_redo),
        Row("copy", "Edit", translate("Actions", "&Copy"), lambda w: w.clipboard.copy(),
            ("Ctrl+C",), tip=translate("Actions", "Copy the chosen slots, or the accessory"),
            can=at_work, parted=True, local=True),
        Row("paste", "Edit", translate("Actions", "&Paste"), lambda w: w.clipboard.paste(),
            ("Ctrl+V",), tip=translate("Actions", "Paste slots at the cursor, or accessories"),
            can=at_work, local=True),
        Row("search", "Edit", translate("Actions", "&Go to anything…"), lambda w: w.show_search(),
            ("Ctrl+G",), tip=translate("Actions", "Actions, slots, accessories, findings, help"),
            parted=True),
    )  # fmt: skip


def _job() -> tuple[Row, ...]:
    return (
        *_stages(),
        Row("next_step", "Job", translate("Actions", "Ne&xt step"), lambda w: w.follow_step(),
            ("Ctrl+Return",),
            translate("Actions", "Go where the job goes on: what the rail says comes next"),
            can=at_a_task),
        Row("drain", "Job", translate("Actions", "&Find what drains the battery"),
            lambda w: w.tasks.find_drain(), ("Ctrl+D",),
            translate("Actions", "Read it asleep, millivolts first, step by step to the circuit"),
            can=at_a_task, group="task", ticked=partial(_is_shown, "hunt"),
            also=_empty_battery(), parted=True),
        Row("start_reading", "Job", translate("Actions", "Read one start &with a meter"),
            lambda w: w.tasks.read_a_start(),
            tip=translate("Actions", "Its lowest voltage tells what a start of this car needs"),
            can=at_a_task, group="task", ticked=partial(_is_shown, "crank")),
        Row("readings", "Job", translate("Actions", "&Readings…"),
            lambda w: w.tasks.show_readings(),
            tip=translate("Actions", "Every reading ever taken, and what became of it"),
            can=at_a_task, parted=True),
        Row("meters", "Job", translate("Actions", "&Meters…"), lambda w: w.tasks.show_meters(),
            tip=translate("Actions", "How far each meter may be off, as its leaflet states"),
            can=at_a_task),
        Row("paste_table", "Job", translate("Actions", "Paste a &table…"),
            lambda w: w.tasks.paste_table(),
            tip=translate("Actions", "Take slots and readings in from a spreadsheet"),
            can=at_a_task),
        Row("give_map", "Job", translate("Actions", "&Give the map away…"),
            lambda w: w.tasks.travel.give_away(),
            tip=translate("Actions", "Panels and readings alone, for the same vehicle type"),
            can=at_a_task, parted=True),
        Row("take_map", "Job", translate("Actions", "Take &in somebody’s map…"),
            lambda w: w.tasks.travel.take_in(),
            tip=translate("Actions", "As somebody else’s word, until it is read here"),
            can=at_a_task),
    )  # fmt: skip


def _stages() -> tuple[Row, ...]:
    """The stages of the job, by Alt and their number."""
    table: tuple[tuple[str, Task, str, str, str], ...] = (
        ("stage_panel", "panel", translate("Actions", "Pa&nel"),
         translate("Actions", "What is in each slot of the lid, and what it feeds"), ""),
        ("probe", "probe", translate("Actions", "&Probe"),
         translate("Actions", "Read the slots beside the vehicle, by the number pad"), ""),
        ("plan", "plan", translate("Actions", "P&lan"),
         translate("Actions", "Put accessories onto slots, at the table"), ""),
        ("standing", "standing", translate("Actions", "&Standing"),
         translate("Actions", "How long it still starts, and what would help"), _empty_battery()),
        ("paper", "paper", translate("Actions", "Pap&er"),
         translate("Actions", "What is printed: sheet, lid card, map, record"), ""),
        ("check", "check", translate("Actions", "&Check"),
         translate("Actions", "After fitting: predicted beside measured"), ""),
    )  # fmt: skip
    return tuple(
        Row(
            key, "Job", text, partial(_show_stage, task), (f"Alt+{number}",), tip,
            can=at_a_task, group="task", ticked=partial(_is_shown, task), also=also,
        )
        for number, (key, task, text, tip, also) in enumerate(table, start=1)
    )  # fmt: skip


def _show_stage(task: Task, window: Window) -> None:
    window.tasks.show(task)


def _is_shown(task: Task, window: Window) -> bool:
    return window.tasks.shown == task


def _empty_battery() -> str:
    """What one types who has an empty battery; not shown."""
    return translate("Actions", "drain, parasitic draw, rest current, battery flat, battery empty")


def _vehicle() -> tuple[Row, ...]:
    return (
        Row("vehicle", "Vehicle", translate("Actions", "&Name and voltage"),
            lambda w: w.show_page("vehicle"), can=at_work),
        Row("battery", "Vehicle", translate("Actions", "&Battery"),
            lambda w: w.show_page("battery"), ("Ctrl+B",),
            tip=translate("Actions", "What the battery's label and the meter say"), can=at_work),
        Row("parking", "Vehicle", translate("Actions", "&Parking"),
            lambda w: w.show_page("parking"), ("Ctrl+K",),
            tip=translate("Actions", "How it is parked, and its rest current"), can=at_work),
        Row("feeds", "Vehicle", translate("Actions", "&Feeds"), lambda w: w.show_page("feed"),
            ("Ctrl+F",), tip=translate("Actions", "What supplies the panels: main fuses, relays"),
            can=at_work),
        Row("earths", "Vehicle", translate("Actions", "&Earth points"),
            lambda w: w.show_page("earth"),
            tip=translate("Actions", "Where currents go back, and what shares them"), can=at_work),
        Row("sockets", "Vehicle", translate("Actions", "&Sockets"),
            lambda w: w.show_page("socket"),
            tip=translate("Actions", "What things are plugged into, and each pin of a tow socket"),
            can=at_work),
        Row("rules", "Vehicle", translate("Actions", "&Rules and limits"),
            lambda w: w.show_page("rules"), ("Ctrl+R",),
            tip=translate("Actions", "The named limits and where they are from"), can=at_work),
        Row("compare", "Vehicle", translate("Actions", "&Compare plans"),
            lambda w: w.show_whole("compare"),
            tip=translate("Actions", "Two plans side by side: places, margins, days, parts"),
            can=at_work, parted=True),
    )  # fmt: skip


def _panel() -> tuple[Row, ...]:
    return (
        Row("add_panel", "Panel", translate("Actions", "Add &panel"), lambda w: w.panels.add(),
            can=at_work),
        Row("panel", "Panel", translate("Actions", "Panel &details"), lambda w: w.panels.show(),
            can=with_panel),
        Row("number_slots", "Panel", translate("Actions", "&Number the slots…"),
            lambda w: w.tasks.number_slots(),
            tip=translate("Actions", "As the lid does: prefix, first number, along which way"),
            can=with_panel),
        Row("circuits", "Panel", translate("Actions", "What the circu&its are"),
            lambda w: w.show_page("circuits"), ("Ctrl+L",),
            tip=translate("Actions", "Answer for each circuit what it is, by single keys"),
            can=at_work),
        Row("photo", "Panel", translate("Actions", "Ph&oto of the lid…"),
            lambda w: w.photos.choose(),
            tip=translate("Actions", "A picture behind the slots, to see what is where"),
            can=with_panel, parted=True),
        Row("fit_photo", "Panel", translate("Actions", "Fi&t the photo…"), lambda w: w.photos.fit(),
            tip=translate("Actions", "Where on the photo the panel’s corners are"), can=with_photo),
        Row("walk_photo", "Panel", translate("Actions", "Slot b&y slot from the photo…"),
            lambda w: w.photos.walk(), ("Ctrl+Shift+F",),
            tip=translate("Actions", "Each slot large on the photo beside the line for it"),
            can=with_photo),
        Row("remove_photo", "Panel", translate("Actions", "Remo&ve the photo"),
            lambda w: w.photos.remove(), can=with_photo),
        Row("remove_panel", "Panel", translate("Actions", "Remove pane&l"),
            lambda w: w.panels.remove(), can=with_panel),
        Row("row_above", "Panel", translate("Actions", "Add row &above"),
            lambda w: w.panels.add_line("above"), can=with_panel, parted=True),
        Row("row_below", "Panel", translate("Actions", "Add row &below"),
            lambda w: w.panels.add_line("below"), can=with_panel),
        Row("column_left", "Panel", translate("Actions", "Add column to the le&ft"),
            lambda w: w.panels.add_line("left"), can=with_panel),
        Row("column_right", "Panel", translate("Actions", "Add column to the ri&ght"),
            lambda w: w.panels.add_line("right"), can=with_panel),
        Row("remove_row", "Panel", translate("Actions", "Remove ro&w"),
            lambda w: w.panels.remove_line("row"), can=with_panel),
        Row("remove_column", "Panel", translate("Actions", "Remove &column"),
            lambda w: w.panels.remove_line("column"), can=with_panel),
        Row("add_slot", "Panel", translate("Actions", "Add &slot in the gap"),
            lambda w: w.panels.add_slot(), ("Ins",),
            tip=translate("Actions", "Put a slot where the panel has a gap"), can=with_panel,
            parted=True, local=True),
        Row("remove_slot", "Panel", translate("Actions", "R&emove slot"),
            lambda w: w.panels.remove_slot(), ("Ctrl+Del",),
            tip=translate("Actions", "Leave a gap where the slot was"), can=on_a_slot, local=True),
    )  # fmt: skip


def _accessory() -> tuple[Row, ...]:
    return (
        Row("add_accessory", "Accessory", translate("Actions", "&Add accessory"),
            lambda w: w.accessories.add(), ("Ctrl+Shift+A",),
            tip=translate("Actions", "Search the library for it, or type the name of a new one"),
            can=at_work),
        Row("remove_accessory", "Accessory", translate("Actions", "&Remove accessory"),
            lambda w: w.accessories.remove(), can=on_an_accessory),
        Row("plan_rest", "Accessory", translate("Actions", "&Plan the rest"),
            lambda w: w.show_whole("joint"), ("Ctrl+Shift+P",),
            tip=translate("Actions", "The best places for everything that has no source yet"),
            can=at_work, parted=True),
    )  # fmt: skip


def _view() -> tuple[Row, ...]:
    return (
        Row("go_panel", "View", translate("Actions", "Go to the &panel"),
            lambda w: w.focus_pane("panel"), can=at_work),
        Row("go_findings", "View", translate("Actions", "Go to the &findings"),
            lambda w: w.show_whole("findings"), ("Alt+7",), can=at_a_task),
        Row("go_details", "View", translate("Actions", "Go to the &details"),
            lambda w: w.focus_pane("details"), ("Alt+8",),
            tip=translate("Actions", "What is chosen on the panel, in full"), can=at_work),
        Row("go_shelf", "View", translate("Actions", "Go to the &accessories"),
            lambda w: w.focus_pane("shelf"), ("Alt+9",), can=at_work),
        Row("go_band", "View", translate("Actions", "Go to fuse and ca&ble"),
            lambda w: w.show_whole("band"),
            tip=translate("Actions", "The fuse’s band against the cable’s damage curve"),
            can=at_work),
        Row("advice", "View", translate("Actions", "What w&ould be right"),
            lambda w: w.show_advice(), ("Alt+0",),
            tip=translate("Actions", "The fuse and cable that would be right for what is selected"),
            can=at_work),
        Row("next_pane", "View", translate("Actions", "&Next part of the window"),
            lambda w: w.cycle_pane(1), ("F6",), can=at_work),
        Row("previous_pane", "View", translate("Actions", "Pre&vious part of the window"),
            lambda w: w.cycle_pane(-1), ("Shift+F6",), can=at_work),
        Row("next_finding", "View", translate("Actions", "Ne&xt finding"),
            lambda w: w.go_finding(1), ("F8",),
            tip=translate("Actions", "Show the next thing that was found"), can=at_work,
            parted=True),
        Row("previous_finding", "View", translate("Actions", "Previous findin&g"),
            lambda w: w.go_finding(-1), ("Shift+F8",), can=at_work),
        Row("larger", "View", translate("Actions", "&Larger panel"), lambda w: w.panels.zoom(1),
            ("Ctrl++", "Ctrl+="), can=with_panel, parted=True),
        Row("smaller", "View", translate("Actions", "&Smaller panel"), lambda w: w.panels.zoom(-1),
            ("Ctrl+-",), can=with_panel),
        Row("whole", "View", translate("Actions", "F&it the panel"),
            lambda w: w.panels.zoom_whole(), ("Ctrl+0",), can=with_panel),
        Row("turn_left", "View/Turned", translate("Actions", "Turn the panel to the &left"),
            lambda w: w.panels.turn(-1), ("Ctrl+Shift+Left",), can=with_panel),
        Row("turn_right", "View/Turned", translate("Actions", "Turn the panel to the &right"),
            lambda w: w.panels.turn(1), ("Ctrl+Shift+Right",), can=with_panel),
        Row("mirror", "View/Turned", translate("Actions", "&Mirror the panel"),
            lambda w: w.panels.mirror(), ("Ctrl+Shift+M",),
            tip=translate("Actions", "As seen in a mirror or from behind, and back again"),
            can=with_panel),
        Row("photo_off", "View/Photo", translate("Actions", "&Off"),
            lambda w: w.photos.set_strength("off"), group="photo_strength",
            ticked=lambda w: w.photos.strength == "off"),
        Row("photo_faint", "View/Photo", translate("Actions", "&Faint"),
            lambda w: w.photos.set_strength("faint"), group="photo_strength",
            ticked=lambda w: w.photos.strength == "faint"),
        Row("photo_strong", "View/Photo", translate("Actions", "&Strong"),
            lambda w: w.photos.set_strength("strong"), group="photo_strength",
            ticked=lambda w: w.photos.strength == "strong"),
        Row("photo_alone", "View/Photo", translate("Actions", "Photo &alone"),
            lambda w: w.photos.toggle_alone(), ("Ctrl+Shift+O",), group="photo_strength",
            tip=translate("Actions", "The photo with the outlines of its slots, and back again"),
            ticked=lambda w: w.photos.strength == "alone"),
        Row("theme_system", "View/Theme", translate("Actions", "As the &desktop"),
            lambda w: w.look.set_theme("system"), group="theme",
            ticked=lambda w: w.settings.kept.theme == "system"),
        Row("theme_light", "View/Theme", translate("Actions", "&Light"),
            lambda w: w.look.set_theme("light"), group="theme",
            ticked=lambda w: w.settings.kept.theme == "light"),
        Row("theme_dark", "View/Theme", translate("Actions", "Dar&k"),
            lambda w: w.look.set_theme("dark"), group="theme",
            ticked=lambda w: w.settings.kept.theme == "dark"),
        Row("word_earth", "View/Words", translate("Actions", "Say &earth"),
            lambda w: w.look.set_earth_word("earth"), group="earth_word",
            ticked=lambda w: w.settings.kept.earth_word == "earth"),
        Row("word_ground", "View/Words", translate("Actions", "Say &ground"),
            lambda w: w.look.set_earth_word("ground"), group="earth_word",
            ticked=lambda w: w.settings.kept.earth_word == "ground"),
        Row("language_system", "View/Language", translate("Actions", "As the &desktop"),
            lambda w: w.look.set_language("system"), group="language",
            ticked=lambda w: w.settings.kept.language == "system"),
        *(_tongue(code, name) for code, name in _TONGUES.items()),
        Row("unit_m", "View/Units", translate("Actions", "&Metres"),
            lambda w: w.look.set_length_unit("m"), group="length_unit",
            ticked=lambda w: w.settings.kept.length_unit == "m"),
        Row("unit_ft", "View/Units", translate("Actions", "&Feet"),
            lambda w: w.look.set_length_unit("ft"), group="length_unit",
            ticked=lambda w: w.settings.kept.length_unit == "ft"),
        Row("unit_c", "View/Units", translate("Actions", "Degrees &Celsius"),
            lambda w: w.look.set_temperature_unit("°C"), group="temperature_unit",
            ticked=lambda w: w.settings.kept.temperature_unit == "°C", parted=True),
        Row("unit_f", "View/Units", translate("Actions", "Degrees Fa&hrenheit"),
            lambda w: w.look.set_temperature_unit("°F"), group="temperature_unit",
            ticked=lambda w: w.settings.kept.temperature_unit == "°F"),
        Row("unit_mm2", "View/Units", translate("Actions", "mm² fi&rst"),
            lambda w: w.look.set_section_unit("mm²"), group="section_unit",
            ticked=lambda w: w.settings.kept.section_unit == "mm²", parted=True),
        Row("unit_awg", "View/Units", translate("Actions", "&AWG first"),
            lambda w: w.look.set_section_unit("AWG"), group="section_unit",
            ticked=lambda w: w.settings.kept.section_unit == "AWG"),
        Row("reset_layout", "View", translate("Actions", "&Reset layout"),
            lambda w: w.reset_layout(),
            tip=translate("Actions", "Window and its parts as large as at the first start"),
            parted=True),
    )  # fmt: skip


def _tongue(code: LanguageChoice, name: str) -> Row:
    return Row(
        f"language_{code}", "View/Language", name, lambda w: w.look.set_language(code),
        group="language", ticked=lambda w: w.settings.kept.language == code,
    )  # fmt: skip


def _help() -> tuple[Row, ...]:
    return (
        Row("help_here", "Help", translate("Actions", "&Help on this part"),
            lambda w: w.help.show_here(), ("F1",),
            tip=translate("Actions", "Explains the part of the window you are in")),
        Row("help_pages", "Help", translate("Actions", "All &pages"), nothing,
            entries=lambda w: entries(w.help.pages(), w.help.show_page)),
        Row("tour", "Help", translate("Actions", "Guided &tour"), lambda w: w.help.tour(),
            tip=translate("Actions", "Through the job by its stages; taken up where it was left")),
        Row("tables", "Help", translate("Actions", "Tables and &sources"),
            lambda w: w.show_tables(), ("Ctrl+T",),
            tip=translate("Actions", "All published figures, and which are from memory"),
            parted=True),
        Row("shortcuts", "Help", translate("Actions", "&Keyboard shortcuts"),
            lambda w: w.show_shortcuts(), ("Shift+F1",)),
        Row("about", "Help", translate("Actions", "&About and cautions"), lambda w: w.show_about()),
    )  # fmt: skip
