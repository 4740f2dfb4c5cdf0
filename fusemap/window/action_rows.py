"""What a row of the table of actions is made of: what it does to the window, and when it can.

The window is known here by what the table asks of it (`Window`), so that each wire from a menu to
what it does is an ordinary call.
"""

from collections.abc import Callable, Iterable, Iterator
from functools import partial
from typing import Protocol, TypeVar

from msgspec import Struct

from fusemap.window.accessory_tools import AccessoryTools
from fusemap.window.document import Document
from fusemap.window.files.file_commands import FileCommands
from fusemap.window.help.help_tools import HelpTools
from fusemap.window.panel.panel_tools import PanelTools
from fusemap.window.parts.clipboard import Clipboard
from fusemap.window.photo.photo_tools import PhotoTools
from fusemap.window.probe.tasks import Tasks
from fusemap.window.settings import Settings
from fusemap.window.style.theme import Look


class Window(Protocol):
    """What the table asks of the window that its actions belong to."""

    document: Document
    settings: Settings
    look: Look
    files: FileCommands
    panels: PanelTools
    photos: PhotoTools
    accessories: AccessoryTools
    clipboard: Clipboard
    help: HelpTools
    tasks: Tasks

    @property
    def working(self) -> bool:
        """Whether the vehicle in hand is shown, with its panel and details."""

    def close(self) -> bool:
        """Close the window, after asking about unsaved work."""

    def show_start(self) -> None:
        """Show the doors of the first page."""

    def show_page(self, name: str) -> None:
        """Show a page of the details."""

    def focus_pane(self, pane: str) -> None:
        """Go to a part of the window."""

    def cycle_pane(self, step: int) -> None:
        """Go to the next part of the window, or with −1 to the one before."""

    def go_finding(self, step: int) -> None:
        """Go to the next finding, or with −1 to the one before."""

    def show_advice(self) -> None:
        """Show what would be right for what is selected."""

    def show_search(self) -> None:
        """Open the search over everything."""

    def show_lost_work(self) -> None:
        """Offer the work that was not saved when the program ended."""

    def show_whole(self, name: str) -> None:
        """Show a page that uses the whole room, with a way back."""

    def save_papers(self) -> None:
        """Go to the paper, and ask where all that is ticked there is saved as one PDF."""

    def follow_step(self) -> None:
        """Go where the next step of the job leads."""

    def show_tables(self) -> None:
        """Open the published tables."""

    def show_shortcuts(self) -> None:
        """Open the sheet of shortcuts."""

    def show_about(self) -> None:
        """Open what the program is, and the cautions."""

    def reset_layout(self) -> None:
        """Window and parts as large as at the first start."""


Do = Callable[[Window], object]
Test = Callable[[Window], bool]
Entry = tuple[str, Callable[[], object]]
Entries = Callable[[Window], Iterable[Entry]]
Argument = TypeVar("Argument")


def always(window: Window) -> bool:
    """What can be done at any time."""
    return True


def at_a_task(window: Window) -> bool:
    """A vehicle is in hand, on whichever page."""
    return window.tasks.shown != ""


def at_work(window: Window) -> bool:
    """Panel and details are shown."""
    return window.working


def can_undo(window: Window) -> bool:
    """There is a step to take back."""
    return at_a_task(window) and window.document.stack.canUndo()


def can_redo(window: Window) -> bool:
    """There is a step to do again."""
    return at_a_task(window) and window.document.stack.canRedo()


def with_panel(window: Window) -> bool:
    """There is a panel to work on."""
    return window.working and bool(window.document.vehicle.panels)


def with_photo(window: Window) -> bool:
    """The panel that is shown has a photo."""
    view = window.panels.view
    return window.working and view is not None and view.photo is not None


def on_a_slot(window: Window) -> bool:
    """A slot is selected."""
    selection = window.document.selection
    return window.working and selection is not None and selection.kind == "slot"


def on_an_accessory(window: Window) -> bool:
    """An accessory is selected, or a tap of one."""
    return window.working and window.accessories.selected is not None


def nothing(window: Window) -> None:
    """What a row with a submenu does itself."""


def entries(
    pairs: Iterable[tuple[str, Argument]], do: Callable[[Argument], object]
) -> Iterator[Entry]:
    """The entries of a submenu: the words of each, and what it does with what it stands for."""
    for text, argument in pairs:
        yield text, partial(do, argument)


class Row(Struct, frozen=True):
    """One action. `menu` is a path (“View/Theme”); `keys` its shortcuts, the first one shown.

    `do` does it, `can` says whether that is possible now. Rows of one `group` exclude each other,
    and `ticked` says whether this one is in force. The keys of a `local` row are taken by the view
    itself, so they stand here only to be shown. `also` are words the search finds it by. A row with
    `entries` fills a submenu anew whenever it is opened.
    """

    key: str
    menu: str
    text: str
    do: Do
    keys: tuple[str, ...] = ()
    tip: str = ""
    can: Test = always
    group: str = ""
    ticked: Test | None = None
    entries: Entries | None = None
    parted: bool = False
    local: bool = False
    also: str = ""
