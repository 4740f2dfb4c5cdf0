"""What the keys and the menus of a panel do: whatever a menu offers has its key beside it.

Arrows walk; a rating, a circuit or both are typed (``15 Radio``), Enter opens the line and stores;
Space opens the marks, a key each; Delete takes the fuse out, then the slot; Insert fills a gap.
While something is being placed: Enter drops, Escape puts it back; Tab, the next best slot, is
asked of the view by Qt.
"""

from collections.abc import Callable
from functools import partial
from typing import Any, Final, Protocol

from PySide6.QtCore import Qt, QTimer
from PySide6.QtGui import QAction, QIcon, QKeyEvent, QKeySequence
from PySide6.QtWidgets import QMenu, QWidget

from fusemap import tables
from fusemap.text import Style, given
from fusemap.vehicle import FEED_CLASSES, FeedClass, Slot, Vehicle, look_up
from fusemap.vehicle.words import FEED, LiveSide
from fusemap.window.forms import choices
from fusemap.window.panel.panel_commands import PanelCommands
from fusemap.window.panel.panel_drop import Payload, Placing
from fusemap.window.panel.slot_entry import ratings
from fusemap.window.panel.slot_words import SIDES, tr
from fusemap.window.style.theme import Theme, feed_icon

_ENTER: Final = (Qt.Key.Key_Return, Qt.Key.Key_Enter)
_ARROWS: Final = (
    Qt.Key.Key_Left,
    Qt.Key.Key_Right,
    Qt.Key.Key_Up,
    Qt.Key.Key_Down,
    Qt.Key.Key_Home,
    Qt.Key.Key_End,
)

SIGN_KEYS: Final[dict[FeedClass, str]] = {"delayed_off": "G", "unfed": "-", "unknown": "?"}
"""Keys of the classes whose mark is no number; “30g” is the module-switched plus of DIN 72552."""
PATIENCE_MS: Final = 700
"""After this a key is not taken as the beginning of a longer one."""
SIDE_KEYS: Final[dict[LiveSide, str]] = {
    "left": "4",
    "right": "6",
    "top": "8",
    "bottom": "2",
    "unknown": "0",
}
"""As the arrows lie on the number pad; 5 begins a terminal number."""


class KeyedPanel(Protocol):
    """What keys and menus need of the panel they work."""

    commands: PanelCommands
    placing: Placing

    def current_slot_id(self) -> str | None:
        """The slot under the cursor."""

    def edit_entry(self) -> None:
        """Open the line for rating and circuit."""

    def edit_label(self) -> None:
        """Open the line for the label."""

    def open_marks(self) -> None:
        """Open the marks of the chosen slots."""

    def place(self, payload: Payload, slot_id: str) -> None:
        """Put an accessory on a slot."""

    def probe(self, slot_id: str) -> None:
        """Ask for a slot to be read now."""

    def zoom_by(self, steps: int) -> None:
        """Larger or smaller by so many steps."""


class PanelKeys:
    """Does what a key stands for on a panel."""

    def __init__(self, panel: KeyedPanel) -> None:
        self._panel = panel
        commands = panel.commands
        self._by_text: dict[str, Callable[[], object]] = {
            " ": panel.open_marks,
            "!": commands.toggle_critical,
            "?": partial(commands.set_feed_class, "unknown"),
        }
        self._by_key: dict[int, Callable[[], object]] = {
            Qt.Key.Key_Return: panel.edit_entry,
            Qt.Key.Key_Enter: panel.edit_entry,
            Qt.Key.Key_F2: panel.edit_entry,
            Qt.Key.Key_Delete: commands.clear,
            Qt.Key.Key_Backspace: commands.clear,
            Qt.Key.Key_Insert: commands.add_slots,
        }
        self._by_key_held: dict[tuple[int, Qt.KeyboardModifier], Callable[[], object]] = {
            (Qt.Key.Key_F2, Qt.KeyboardModifier.ShiftModifier): panel.edit_label,
            (Qt.Key.Key_Delete, Qt.KeyboardModifier.ControlModifier): commands.remove_slots,
        }

    def press(self, event: QKeyEvent) -> bool:
        """Do what a key stands for; False where the table is to walk or to open a line."""
        if self._panel.placing.active:
            return self._place(event)
        do = self._meant(event)
        if do is not None:
            do()
        return do is not None

    def _meant(self, event: QKeyEvent) -> Callable[[], object] | None:
        if event.matches(QKeySequence.StandardKey.ZoomIn):
            return partial(self._panel.zoom_by, 1)
        if event.matches(QKeySequence.StandardKey.ZoomOut):
            return partial(self._panel.zoom_by, -1)
        held = event.modifiers() & ~Qt.KeyboardModifier.KeypadModifier
        return (
            self._by_key_held.get((event.key(), held))
            or self._by_text.get(event.text())
            or self._by_key.get(event.key())
        )

    def _place(self, event: QKeyEvent) -> bool:
        """A key while something is being placed; the arrows walk as ever, letters do nothing."""
        if event.key() in _ARROWS:
            return False
        if event.key() == Qt.Key.Key_Escape:
            self._panel.placing.put_back()
        elif event.key() in _ENTER:
            slot_id = self._panel.current_slot_id()
            if slot_id is not None:
                self._panel.placing.drop(slot_id)
        else:
            event.ignore()
        return True


class KeyedMenu(QMenu):
    """A menu whose rows are done by what is typed, shown at the right as shortcuts are.

    A row is done as soon as no longer key can be meant; until then it is highlighted, so that Enter
    does it at once.
    """

    def __init__(self, title: str, parent: QWidget) -> None:
        super().__init__(title, parent)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self._by_key: dict[str, QAction] = {}
        self._typed = ""
        self._waiting = QTimer(self)
        self._waiting.setSingleShot(True)
        self._waiting.setInterval(PATIENCE_MS)
        self._waiting.timeout.connect(self._done_typing)

    def add(
        self,
        key: str,
        text: str,
        do: Callable[[], object],
        *,
        ticked: bool | None = None,
        icon: QIcon | None = None,
    ) -> None:
        """A row with its key, one sign or several."""
        action = self.addAction(f"{text}\t{key}")
        if icon is not None:
            action.setIcon(icon)
        if ticked is not None:
            action.setCheckable(True)
            action.setChecked(ticked)
        action.triggered.connect(lambda *_: do())
        self._by_key[key.upper()] = action

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """A row's key does the row."""
        sign = event.text().upper()
        found = self._beginning(self._typed + sign) or self._beginning(sign)
        if not sign or not found:
            self._waiting.stop()
            self._typed = ""
            super().keyPressEvent(event)
            return
        self._typed = self._typed + sign if self._beginning(self._typed + sign) else sign
        self.setActiveAction(self._by_key[found[0]])
        if found == [self._typed]:
            self._done_typing()
        else:
            self._waiting.start()

    def _beginning(self, typed: str) -> list[str]:
        """The keys that begin so, the shortest first."""
        return sorted((key for key in self._by_key if key.startswith(typed)), key=len)

    def _done_typing(self) -> None:
        """Do the row whose key was typed whole; one that was only begun stays highlighted."""
        action = self._by_key.get(self._typed)
        self._typed = ""
        if action is not None:
            self.close()
            action.trigger()


def marks_menu(commands: PanelCommands, theme: Theme, parent: QWidget) -> QMenu:
    """Feed class, live side, critical and the like for the chosen slots, a key each."""
    slots = commands.fuse_slots()
    menu = KeyedMenu(tr("Marks"), parent)
    menu.setObjectName("marksMenu")
    menu.setEnabled(bool(slots))
    if not slots:
        menu.addAction(tr("No fuse slot is chosen")).setEnabled(False)
        return menu
    for feed_class in FEED_CLASSES:
        menu.add(
            feed_key(feed_class),
            theme.style.show(FEED[feed_class].feed.capital()),
            partial(commands.set_feed_class, feed_class),
            ticked=all(slot.feed_class == feed_class for slot in slots),
            icon=feed_icon(feed_class, theme, wide=1.0),
        )
    menu.addSeparator()
    critical = all(slot.critical for slot in slots)
    monitored = all(slot.monitored for slot in slots)
    lying = all(slot.orientation == "lying" for slot in slots)
    menu.add(
        "C",
        tr("Leave alone"),
        commands.toggle_critical,
        ticked=critical,
    )
    menu.add(
        "M",
        tr("Watched by the vehicle"),
        commands.toggle_monitored,
        ticked=monitored,
    )
    menu.add("Y", tr("Lying fuse"), commands.turn_fuses, ticked=lying)
    menu.addSeparator()
    for side, key in SIDE_KEYS.items():
        menu.add(
            key,
            theme.style.show(SIDES[side].capital()),
            partial(commands.set_live_side, side),
            ticked=commands.shown_sides() == {side},
        )
    return menu


def feed_key(feed_class: FeedClass) -> str:
    """The key for a feed class: the terminal number as it stands in its mark.

    >>> [feed_key(each) for each in FEED_CLASSES]
    ['30', '15', '15R', 'G', '58', '-', '?']
    """
    return SIGN_KEYS.get(feed_class) or FEED[feed_class].terminal


def context_menu(panel: KeyedPanel, vehicle: Vehicle, style: Style, parent: QWidget) -> QMenu:
    """Everything that can be done to the chosen cells."""
    menu, commands = QMenu(parent), panel.commands
    menu.setObjectName("panelMenu")
    menu.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
    slots, fuse_slots, gaps = commands.slots(), commands.fuse_slots(), commands.gaps()
    if fuse_slots:
        _row(menu, tr("Rating and circuit…"), panel.edit_entry, "F2")
        _row(menu, tr("Label…"), panel.edit_label, "Shift+F2")
        _ratings(menu, commands, style)
        _row(menu, tr("Marks…"), panel.open_marks, "Space")
        _families(menu, commands, style)
        _supplies(menu, commands, vehicle)
    if len(fuse_slots) == len(slots) == 1:
        _place_here(menu, panel, vehicle, fuse_slots[0])
        _row(menu, tr("Probe this slot"), partial(panel.probe, fuse_slots[0].id))
    for tap_id, text in commands.taps():
        _row(menu, tr("Take {name} off").format(name=text), partial(commands.take_off, tap_id))
    if any(slot.fuse is not None for slot in fuse_slots):
        _row(menu, tr("Take the fuse out"), commands.empty_fuses, "Del")
    menu.addSeparator()
    if gaps:
        _row(menu, tr("Add slot"), commands.add_slots, "Ins")
        _row(menu, tr("Add relay"), partial(commands.add_slots, "relay"))
        _row(menu, tr("Add blocked place"), partial(commands.add_slots, "blocked"))
    if slots:
        _kinds(menu, commands)
        _row(menu, tr("Remove, leave a gap"), commands.remove_slots, "Ctrl+Del")
    _lines(menu, commands)
    return menu


def _place_here(menu: QMenu, panel: KeyedPanel, vehicle: Vehicle, slot: Slot) -> None:
    """The leads that are on no slot yet, each to be placed on this one."""
    inside = menu.addMenu(tr("Place here"))
    inside.setObjectName("placeHere")
    for accessory in vehicle.accessories:
        for lead in accessory.leads:
            if look_up.tap_of(vehicle, accessory.id, lead) is None and not accessory.supplied_by:
                sense = tr(" (sense wire)") if lead == "sense" else ""
                payload = Payload(accessory=accessory.id, lead=lead)
                name = accessory.name.replace("&", "&&")
                _row(inside, f"{name}{sense}", partial(panel.place, payload, slot.id))
    inside.menuAction().setVisible(not inside.isEmpty())


def _row(menu: QMenu, text: str, do: Callable[[], object], keys: str = "") -> None:
    # The keys are shown only: the panel itself and the table of actions listen to them.
    shown = QKeySequence(keys).toString(QKeySequence.SequenceFormat.NativeText)
    action = menu.addAction(f"{text}\t{shown}" if keys else text)
    action.triggered.connect(lambda *_: do())


def _ratings(menu: QMenu, commands: PanelCommands, style: Style) -> None:
    families = {slot.family for slot in commands.fuse_slots()}
    if len(families) == 1:
        inside = menu.addMenu(tr("Fuse"))
        for rating in ratings(families.pop()):
            _row(inside, style.show(given(rating, "A")), partial(commands.set_rating, rating))


def _families(menu: QMenu, commands: PanelCommands, style: Style) -> None:
    inside = menu.addMenu(tr("Fuse family"))
    chosen = {slot.family for slot in commands.fuse_slots()}
    for key in tables.fuse_families():
        action = inside.addAction(choices.family_and_size(key, style))
        action.setCheckable(True)
        action.setChecked(chosen == {key})
        action.triggered.connect(partial(_ignoring, partial(commands.set_family, key)))


def _supplies(menu: QMenu, commands: PanelCommands, vehicle: Vehicle) -> None:
    """What supplies the chosen slots; the battery only where none of them is switched."""
    inside = menu.addMenu(tr("Supplied by"))
    inside.setObjectName("supplyMenu")
    slots = commands.fuse_slots()
    offered = [dict(choices.slot_feeds(vehicle, slot)) for slot in slots]
    for feed, text in offered[0].items():
        if all(feed in each for each in offered):
            action = inside.addAction(text.replace("&", "&&"))
            action.setCheckable(True)
            action.setChecked(all(slot.feed == feed for slot in slots))
            action.triggered.connect(partial(_ignoring, partial(commands.set_supply, feed)))


def _kinds(menu: QMenu, commands: PanelCommands) -> None:
    inside = menu.addMenu(tr("Make it"))
    _row(inside, tr("A fuse slot"), partial(commands.set_kind, "fuse"))
    _row(inside, tr("A relay"), partial(commands.set_kind, "relay"))
    _row(inside, tr("A blocked place"), partial(commands.set_kind, "blocked"))


def _lines(menu: QMenu, commands: PanelCommands) -> None:
    inside = menu.addMenu(tr("Rows and columns"))
    rows = (
        (tr("Add row above"), partial(commands.insert_line, "row", after=False)),
        (tr("Add row below"), partial(commands.insert_line, "row", after=True)),
        (tr("Add column to the left"), partial(commands.insert_line, "column", after=False)),
        (tr("Add column to the right"), partial(commands.insert_line, "column", after=True)),
        (tr("Remove row"), partial(commands.remove_line, "row")),
        (tr("Remove column"), partial(commands.remove_line, "column")),
    )
    for text, do in rows:
        _row(inside, text, do)


def _ignoring(do: Callable[[], object], *signal: Any) -> None:
    do()
