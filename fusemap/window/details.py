"""What is chosen, in full, as a page: its form, and beside that the chain it is part of.

In: what is selected, or a form's name. Out: `named`, what the page is about. Forms are made when
they are first needed. A form that is no place (parking, rules) is asked for by its name and stays
until something else is selected.
"""

from collections.abc import Callable

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QLabel, QStackedWidget, QTabWidget, QVBoxLayout, QWidget

from fusemap.vehicle import Vehicle, look_up
from fusemap.window.chosen.content import CHOSEN, content_of
from fusemap.window.document import Document, Selection, taps_of
from fusemap.window.forms.form import scrolled
from fusemap.window.parts.home import first_stop
from fusemap.window.parts.layouts import SideBySide, is_wide
from fusemap.window.style.measures import px
from fusemap.window.style.theme import Theme, space

CHAINED = ("slot", "tap", "accessory")
SOURCES = 2
"""The tab of an accessory that ranks its sources; it stays while accessories are gone through."""
SHARES = (6400, 3600)
"""How form and chain share the width at first."""
WIDE = 140
"""The chain stands beside the form where the page is wider than so many letters, else below it."""


LEAST = (170, 250)
"""There each of both keeps this height: some fields, and some hops with the verdict above them
[px of the design]."""


class Details(QWidget):
    """Form and chain side by side."""

    band_wanted = Signal(str)
    """The chart of this tap's fuse and cable is to be shown."""
    photo_wanted = Signal(str, str)
    """A photo is to be chosen, fitted or removed ("choose", "fit", "remove"): of which panel."""
    placing_wanted = Signal(dict)
    """A lead to take up, so that every slot shows its offer."""
    named = Signal(str)
    """The page is about something else now."""

    def __init__(self, document: Document, theme: Theme, *, with_chain: bool = True) -> None:
        super().__init__()
        self._document = document
        self._theme = theme
        self._with_chain = with_chain
        self._pages: dict[str, QWidget] = {}
        self.setObjectName("details")
        self.setAccessibleName(self.tr("Details"))
        # There may be nothing in it that takes the keyboard; one must get here all the same.
        self.setFocusPolicy(Qt.FocusPolicy.ClickFocus)
        self.page_name = ""
        self._stack = QStackedWidget()
        self._chain_place = QWidget()
        QVBoxLayout(self._chain_place).setContentsMargins(0, 0, 0, 0)
        self.split = SideBySide("detailsSplitter", self._stack, self._chain_place, LEAST)
        column = QVBoxLayout(self)
        column.setContentsMargins(px(self, 8), px(self, 4), px(self, 8), 0)
        column.addWidget(self.split)
        self.split.setSizes(list(SHARES))
        document.selected.connect(self._selected)
        document.changed.connect(self._vehicle_changed)
        self.show_selected()

    @property
    def home(self) -> QWidget:
        """The first field of the form that is shown."""
        return first_stop(self._pages[self.page_name])

    @property
    def title(self) -> str:
        """What the page is about."""
        selection = self._document.selection
        if self.page_name in ("nothing", "vehicle") or selection is None:
            return self._pages[self.page_name].accessibleName()
        if selection.kind == "panel" and self.page_name == "panel":
            return look_up.panel(self._document.vehicle, selection.id).name
        about = {"tap": "accessory"}.get(selection.kind, selection.kind)
        if about != self.page_name or selection.kind not in CHOSEN:
            return self._pages[self.page_name].accessibleName()
        style = self._theme.style
        head = content_of(self._document.vehicle, None, selection, None, style).head
        return " ".join(filter(None, (style.show(head.place), style.show(head.name))))

    def resizeEvent(self, event: QResizeEvent) -> None:
        """The chain beside the form where there is room."""
        super().resizeEvent(event)
        self.split.turn(is_wide(self, WIDE))

    # --- which form -----------------------------------------------------------------------------

    def show_page(self, name: str) -> None:
        """Show a form by its name."""
        self.made(name)
        self.page_name = name
        self._stack.setCurrentWidget(self._pages[name])
        self._show_chain()
        self.named.emit(self.title)

    def show_selected(self) -> None:
        """Show the form of what is selected."""
        self._selected(self._document.selection)

    def show_again(self, earlier: "Details") -> None:
        """Show the form that was shown, before they were all made anew."""
        self.show_page(earlier.page_name)

    def made(self, name: str) -> QWidget:
        """The form of that name, made and not yet shown."""
        if name not in self._pages:
            self._pages[name] = self._makers()[name]()
            self._stack.addWidget(self._pages[name])
        return self._pages[name]

    def page(self, name: str) -> QWidget:
        """The form of that name; it is shown if it never was."""
        if name not in self._pages:
            self.show_page(name)
        return self._pages[name]

    def _selected(self, selection: Selection | None) -> None:
        if selection is None:
            if self.page_name in ("", *CHAINED):
                self.show_page("nothing")
            return
        if selection.kind in ("tap", "accessory"):
            tabs = self.made("accessory")
            if isinstance(tabs, QTabWidget) and tabs.currentIndex() != SOURCES:
                tabs.setCurrentIndex(1 if selection.kind == "tap" else 0)
            self.show_page("accessory")
        else:
            self.show_page(selection.kind)

    def form(self) -> QWidget:
        """Show the selected accessory's own form, whichever of its tabs was looked at; the form."""
        tabs = self.page("accessory")
        assert isinstance(tabs, QTabWidget)
        tabs.setCurrentIndex(0)
        form = tabs.currentWidget()
        assert form is not None
        return form

    # --- the chain ------------------------------------------------------------------------------

    @property
    def chained(self) -> bool:
        """Whether what is shown is part of a chain."""
        selection = self._document.selection
        if not self._with_chain:
            return False
        return self.page_name in CHAINED and selection is not None and self._placed(selection)

    def _show_chain(self) -> None:
        """The chain is there where there is one."""
        if self.chained:
            self._make_chain()
        self._chain_place.setVisible(self.chained)
        self.split.keep_heights()

    def show_advice(self) -> None:
        """Show what would be right for what is selected, where there is a tap."""
        # loaded when it is first needed: the start stays short
        from fusemap.window.chain.chain_view import ChainView

        chain = self.findChild(ChainView)
        if chain is not None and self.chained:
            chain.show_advice()

    def _placed(self, selection: Selection) -> bool:
        """Whether a tap belongs to what is selected."""
        return selection.kind in CHAINED and bool(taps_of(self._document.vehicle, selection))

    def _vehicle_changed(self, old: Vehicle, new: Vehicle) -> None:
        self._show_chain()
        self.named.emit(self.title)

    # --- the forms ------------------------------------------------------------------------------

    def _makers(self) -> dict[str, Callable[[], QWidget]]:
        return {
            "nothing": self._make_hint,
            "slot": self._make_slot,
            "accessory": self._make_accessory,
            "feed": self._make_feed,
            "earth": self._make_earth,
            "socket": self._make_socket,
            "battery": self._make_battery,
            "parking": self._make_parking,
            "rules": self._make_rules,
            "vehicle": self._make_vehicle,
            "panel": self._make_panel,
        }

    def _make_hint(self) -> QWidget:
        hint = QLabel(
            self.tr(
                "Choose a slot, an accessory or a feed on the panel: here is everything that can "
                "be entered about it."
            )
        )
        hint.setObjectName("detailsHint")
        hint.setAccessibleName(self.tr("Nothing is chosen"))
        hint.setWordWrap(True)
        hint.setAlignment(Qt.AlignmentFlag.AlignTop)
        hint.setProperty("muted", True)
        hint.setMargin(space(hint, "large"))
        return hint

    def _make_chain(self) -> None:
        layout = self._chain_place.layout()
        if layout is not None and layout.isEmpty():
            # loaded when it is first needed: the start stays short
            from fusemap.window.chain.chain_view import ChainView

            chain = ChainView(self._document, self._theme)
            chain.band_wanted.connect(self.band_wanted)
            layout.addWidget(chain)

    def _make_slot(self) -> QWidget:
        # loaded when it is first needed: the start stays short
        from fusemap.window.forms.slot_form import SlotForm

        return scrolled(SlotForm(self._document, self._theme))

    def _make_accessory(self) -> QWidget:
        # loaded when it is first needed: the start stays short
        from fusemap.window.forms.accessory_form import AccessoryForm
        from fusemap.window.forms.source_list import SourceList
        from fusemap.window.forms.tap_form import TapForm

        tabs = QTabWidget()
        tabs.setObjectName("accessoryTabs")
        tabs.setAccessibleName(self.tr("Accessory"))
        tabs.setDocumentMode(True)
        accessory = AccessoryForm(self._document, self._theme)
        tabs.addTab(scrolled(accessory), self.tr("Accessory"))
        tabs.addTab(scrolled(TapForm(self._document, self._theme)), self.tr("How it is connected"))
        sources = SourceList(self._document, self._theme)
        sources.show_on_panel.connect(self.placing_wanted)
        tabs.addTab(scrolled(sources), self.tr("Sources"))
        return tabs

    def _make_feed(self) -> QWidget:
        # loaded when it is first needed: the start stays short
        from fusemap.window.forms.feed_page import FeedPage

        return FeedPage(self._document, self._theme)

    def _make_earth(self) -> QWidget:
        # loaded when it is first needed: the start stays short
        from fusemap.window.forms.earth_page import EarthPage

        return EarthPage(self._document, self._theme)

    def _make_socket(self) -> QWidget:
        # loaded when it is first needed: the start stays short
        from fusemap.window.forms.socket_page import SocketPage

        return SocketPage(self._document, self._theme)

    def _make_battery(self) -> QWidget:
        # loaded when it is first needed: the start stays short
        from fusemap.window.forms.vehicle_form import BatteryForm

        return scrolled(BatteryForm(self._document, self._theme))

    def _make_parking(self) -> QWidget:
        # loaded when it is first needed: the start stays short
        from fusemap.window.forms.parking_form import ParkingForm

        return scrolled(ParkingForm(self._document, self._theme))

    def _make_rules(self) -> QWidget:
        # loaded when it is first needed: the start stays short
        from fusemap.window.forms.rules_form import RulesForm

        return scrolled(RulesForm(self._document, self._theme))

    def _make_vehicle(self) -> QWidget:
        # loaded when it is first needed: the start stays short
        from fusemap.window.forms.vehicle_form import VehicleForm

        return scrolled(VehicleForm(self._document, self._theme))

    def _make_panel(self) -> QWidget:
        # loaded when it is first needed: the start stays short
        from fusemap.window.forms.vehicle_form import PanelForm

        form = PanelForm(self._document, self._theme)
        for what in ("choose", "fit", "remove"):
            asked = getattr(form, f"{what}_photo")
            asked.connect(lambda panel_id, what=what: self.photo_wanted.emit(what, panel_id))
        return scrolled(form)
