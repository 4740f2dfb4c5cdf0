"""Everything one can go to: what the quick search looks through.

In: the window's desk, its actions, its help. Out: `Goal`s, each with the words it is shown by, the
further words it is found by, and how one gets there. Fields are those of the forms that belong to
the vehicle, and of the form of what is selected.
"""

from collections.abc import Callable, Iterator
from functools import partial
from typing import Final

from msgspec import Struct
from PySide6.QtCore import QCoreApplication, Qt
from PySide6.QtWidgets import QPushButton, QScrollArea, QTabWidget, QWidget

from fusemap.advise import library
from fusemap.tables import vocabulary
from fusemap.text import Text, run_on
from fusemap.vehicle import Reading, Vehicle, look_up
from fusemap.window.action_table import menu_titles
from fusemap.window.actions import Actions
from fusemap.window.desk import Desk
from fusemap.window.forms.found_by import FOUND_BY
from fusemap.window.help import help_pages
from fusemap.window.help.help_tools import HelpTools
from fusemap.window.panel.panel_drop import Payload
from fusemap.window.panel.slot_words import fuse_words, sentence
from fusemap.window.shelf.kind_words import search_words
from fusemap.window.shortcuts import native, plain
from fusemap.window.style.theme import severity_shape

FORMS: Final = ("vehicle", "battery", "parking", "feed", "earth", "socket", "rules")
"""Forms that are there whatever is selected."""
SELECTED: Final = ("slot", "accessory", "panel")
"""Forms of what is selected."""


def tr(text: str) -> str:
    """A text of this module in the user's language."""
    return QCoreApplication.translate("QuickSearch", text)


class Goal(Struct, frozen=True):
    """Something to go to or to do: its words, what sort of thing it is, and how it is done.

    `also` are words it is found by without their being shown.
    """

    text: str
    sort: str
    do: Callable[[], object]
    hint: str = ""
    also: str = ""


def goals(desk: Desk, actions: Actions, help: HelpTools) -> Iterator[Goal]:
    """Everything one can go to now."""
    if desk.working:
        yield from _places(desk)
        yield from _readings(desk, actions)
        # what begins a part of a form comes before a kind that is found by the same words
        yield from _beginnings(desk)
        yield from _kinds(desk)
        yield from _fields(desk)
    yield from _actions(actions)
    language = desk.look.theme.style.language
    for title, key in help.pages():
        text = help_pages.page(key, language).text
        yield Goal(title, tr("Help"), partial(help.show_page, key), also=text)
    yield from _words(desk, help)


def _actions(actions: Actions) -> Iterator[Goal]:
    titles = menu_titles()
    for row in actions.rows:
        action = actions.by_key[row.key]
        if action.isEnabled() and row.entries is None:
            keys = native(row.keys[0]) if row.keys else ""
            path = row.menu.split("/")
            names = [plain(titles["/".join(path[: at + 1])]) for at in range(len(path))]
            text = " ▸ ".join((*names, plain(action.text())))
            yield Goal(text, tr("Action"), action.trigger, keys, f"{row.tip} {row.also}")


# --- the vehicle ----------------------------------------------------------------------------------


def _places(desk: Desk) -> Iterator[Goal]:
    document, style = desk.document, desk.look.theme.style
    for slot in look_up.slots(document.vehicle):
        parts = (style.show(look_up.slot_words(slot)), slot.circuit, fuse_words(slot, style))
        text = " · ".join(part for part in parts if part)
        yield Goal(text, tr("Slot"), partial(_go, desk, "slot", slot.id))
    for accessory in document.vehicle.accessories:
        do = partial(_go, desk, "accessory", accessory.id)
        yield Goal(accessory.name, tr("Accessory"), do, also=accessory.note)
    for found in document.findings:
        words = sentence(style.show(run_on(found.where, found.what, between=": ")))
        do = partial(_go, desk, found.place, found.place_id)
        yield Goal(words, severity_shape(found.severity).word, do, also=tr("finding"))


def _go(desk: Desk, kind: str, place_id: str) -> None:
    if desk.work is not None:
        desk.work.show_place(kind, place_id)  # type: ignore[arg-type]


def _readings(desk: Desk, actions: Actions) -> Iterator[Goal]:
    """Every reading that stands, newest first: it leads to its slot and the list of readings."""
    # loaded when it is first needed: the start stays short
    from fusemap.probing import evidence

    vehicle, style = desk.document.vehicle, desk.look.theme.style
    show = style.show
    slots = {slot.id: show(look_up.slot_words(slot)) for slot in look_up.slots(vehicle)}
    for reading in reversed(vehicle.readings):
        if reading.withdrawn:
            continue
        where = slots.get(reading.target_id, tr("Whole vehicle"))
        words = (where, show(evidence.value_words(reading)), show(evidence.when_words(reading)))
        do = partial(_show_reading, desk, actions, vehicle, reading)
        yield Goal(" · ".join(words), tr("Reading"), do, style.forms.noted(reading.when))


def _show_reading(desk: Desk, actions: Actions, vehicle: Vehicle, reading: Reading) -> None:
    if any(slot.id == reading.target_id for slot in look_up.slots(vehicle)):
        desk.document.select("slot", reading.target_id)
    actions.trigger("readings")


# --- the library, the words of the trade ----------------------------------------------------------


def _kinds(desk: Desk) -> Iterator[Goal]:
    """The generic kinds, by their names in English and in the user's language: to be placed."""
    style = desk.look.theme.style
    for kind in library.kinds():
        name = style.show(Text(kind.name).capital())
        also = f"{search_words(kind, style)} {tr('library')}"
        yield Goal(name, tr("Add"), partial(_take_up, desk, kind.key), also=also)


def _take_up(desk: Desk, key: str) -> None:
    if desk.work is not None:
        desk.work.shelf.take_up(Payload(kind=key))


def _words(desk: Desk, help: HelpTools) -> Iterator[Goal]:
    style = desk.look.theme.style
    for term in vocabulary():
        text = style.show(run_on(Text(term.term), Text(term.meaning), between=": "))
        also = " ".join((term.term, *term.also_heard))
        yield Goal(text, tr("Word"), partial(help.show_page, "words"), also=also)


# --- fields ---------------------------------------------------------------------------------------


def _forms(desk: Desk) -> Iterator[tuple[str, QWidget]]:
    """The forms that fields are looked for in: that of what is selected, those always there."""
    if desk.work is not None:
        shown = desk.work.details.page_name
        for name in (*((shown,) if shown in SELECTED else ()), *FORMS):
            yield name, desk.work.details.made(name)


def _beginnings(desk: Desk) -> Iterator[Goal]:
    """What begins a part of a form, or where that part is, by the words it is found by."""
    for name, page in _forms(desk):
        for widget in page.findChildren(QWidget):
            if (also := widget.property(FOUND_BY)) and _is_there(widget, page):
                own = widget.text() if isinstance(widget, QPushButton) else widget.accessibleName()
                text = f"{_form_name(widget, page)} ▸ {own}"
                yield Goal(text, tr("Field"), partial(_jump, desk, name, widget), also=also)


def _fields(desk: Desk) -> Iterator[Goal]:
    """Every field of a form, by its form and its own name."""
    for name, page in _forms(desk):
        for field in page.findChildren(QWidget):
            if _is_field(field, page) and not field.property(FOUND_BY):
                form = _form_name(field, page)
                text = f"{form} ▸ {field.accessibleName()}" if form else field.accessibleName()
                do = partial(_jump, desk, name, field)
                yield Goal(text, tr("Field"), do, also=field.toolTip())


def _is_field(widget: QWidget, page: QWidget) -> bool:
    """Whether something is typed or chosen there, and it is there now."""
    by_tab = bool(widget.focusPolicy() & Qt.FocusPolicy.TabFocus)
    typed = widget.metaObject().userProperty().isValid()
    named = bool(widget.accessibleName())
    return by_tab and typed and named and widget.isEnabled() and _is_there(widget, page)


def _is_there(widget: QWidget, page: QWidget) -> bool:
    """Not hidden for itself; on a tab that is not looked at it is there all the same."""
    while widget is not page:
        above = widget.parentWidget()
        if above is None:
            return False
        behind = above.parentWidget()
        tabbed = isinstance(behind, QTabWidget)
        if widget.isHidden() and not tabbed:
            return False
        widget = above
    return True


def _form_name(field: QWidget, page: QWidget) -> str:
    """What the form round a field is called."""
    widget: QWidget | None = field.parentWidget()
    while widget is not None and widget is not page.parentWidget():
        if widget.accessibleName() and not isinstance(widget, QScrollArea):
            return widget.accessibleName()
        widget = widget.parentWidget()
    return page.accessibleName()


def _jump(desk: Desk, page: str, field: QWidget) -> None:
    """Show a field's form and put the keyboard into it."""
    work = desk.work
    if work is None:
        return
    work.show_page(page)
    above: QWidget | None = field.parentWidget()
    while above is not None and above is not work.details:
        behind = above.parentWidget()
        tabs = None if behind is None else behind.parentWidget()
        if isinstance(tabs, QTabWidget):
            tabs.setCurrentWidget(above)
        if isinstance(above, QScrollArea):
            above.ensureWidgetVisible(field)
        above = behind
    field.setFocus(Qt.FocusReason.ShortcutFocusReason)
