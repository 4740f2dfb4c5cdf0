"""What is selected, in full: the form that belongs to it, and the chain it is part of.

Pages are made when they are first needed. A page that is no place (parking, rules) is asked for by
its name and stays until something else is selected.
"""

from collections.abc import Callable

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QLabel, QSplitter, QStackedWidget, QTabWidget, QVBoxLayout, QWidget

from fusemap.vehicle import Vehicle
from fusemap.window.document import Document, Selection
from fusemap.window.forms.form import scrolled
from fusemap.window.style.theme import Theme, space

CHAINED = ("slot", "tap", "accessory")
SOURCES = 2
"""The tab of an accessory that ranks its sources; it stays while accessories are gone through."""


class Details(QWidget):
    """The right-hand side of the window. `band_wanted` asks for the chart of a tap."""

    band_wanted = Signal(str)
    choose_photo = Signal(str)
    """A picture is to be chosen for this panel."""
    fit_photo = Signal(str)
    """The grid of this panel is to be laid onto its photo."""
    remove_photo = Signal(str)
    """The photo of this panel is to be taken away."""
    placing_wanted = Signal(dict)
    """A lead to take up, so that every slot shows its offer."""
    asked = Signal()
    """A page was asked for, by its name or because something is to be entered there."""

    def __init__(self, document: Document, theme: Theme) -> None:
        super().__init__()
        self._document = document
        self._theme = theme
        self._pages: dict[str, QWidget] = {}
        self.setObjectName("details")
        self.setAccessibleName(self.tr("Details"))
        # There may be nothing in it that takes the keyboard; one must get here all the same.
        self.setFocusPolicy(Qt.FocusPolicy.ClickFocus)
        self.page_name = ""
        self._stack = QStackedWidget()
        self.splitter = QSplitter(Qt.Orientation.Vertical)
        self.splitter.setObjectName("detailsSplitter")
        self.splitter.setChildrenCollapsible(False)
        self.splitter.addWidget(self._stack)
        self._chain_place = QWidget()
        QVBoxLayout(self._chain_place).setContentsMargins(0, 0, 0, 0)
        self.splitter.addWidget(self._chain_place)
        self.splitter.setStretchFactor(0, 1)
        self.splitter.setStretchFactor(1, 1)
        self.splitter.setSizes([5000, 5000])
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.splitter)
        document.selected.connect(self._selected)
        document.changed.connect(self._vehicle_changed)
        self._selected(document.selection)

    def show_page(self, name: str) -> None:
        """Show a page by its name."""
        self._show_page(name)
        self.asked.emit()

    def show_selected(self) -> None:
        """Show the page of what is selected."""
        self._selected(self._document.selection)

    def _show_page(self, name: str) -> None:
        self.made(name)
        self.page_name = name
        self._stack.setCurrentWidget(self._pages[name])
        self._show_chain()

    def made(self, name: str) -> QWidget:
        """The page of that name, made and not yet shown."""
        if name not in self._pages:
            self._pages[name] = self._makers()[name]()
            self._stack.addWidget(self._pages[name])
        return self._pages[name]

    def page(self, name: str) -> QWidget:
        """The page of that name; it is made if it was never shown."""
        if name not in self._pages:
            self._show_page(name)
        return self._pages[name]

    def _selected(self, selection: Selection | None) -> None:
        if selection is None:
            if self.page_name in ("", *CHAINED):
                self._show_page("nothing")
            return
        if selection.kind in ("tap", "accessory"):
            self._show_page("accessory")
            tabs = self._pages["accessory"]
            if isinstance(tabs, QTabWidget) and tabs.currentIndex() != SOURCES:
                tabs.setCurrentIndex(1 if selection.kind == "tap" else 0)
        else:
            self._show_page(selection.kind)

    def show_form(self) -> QWidget:
        """Show the selected accessory's own form, whichever of its tabs was looked at; the form."""
        tabs = self.page("accessory")
        assert isinstance(tabs, QTabWidget)
        tabs.setCurrentIndex(0)
        form = tabs.currentWidget()
        assert form is not None
        self.asked.emit()
        return form

    def _show_chain(self) -> None:
        """The chain is there where there is one."""
        selection = self._document.selection
        chained = self.page_name in CHAINED and selection is not None and self._placed(selection)
        if chained:
            self._make_chain()
        self._chain_place.setVisible(chained)

    def show_advice(self) -> None:
        """Show what would be right for what is selected, where there is a tap."""
        # loaded when it is first needed: the start stays short
        from fusemap.window.chain.chain_view import ChainView

        chain = self.findChild(ChainView)
        if chain is not None and not self._chain_place.isHidden():
            self.asked.emit()
            chain.show_advice()

    def _placed(self, selection: Selection) -> bool:
        """Whether a tap belongs to what is selected."""
        # loaded when it is first needed: the start stays short
        from fusemap.window.document import taps_of

        return selection.kind in CHAINED and bool(taps_of(self._document.vehicle, selection))

    def _vehicle_changed(self, old: Vehicle, new: Vehicle) -> None:
        self._show_chain()

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
            "circuits": self._make_circuits,
        }

    def _make_hint(self) -> QWidget:
        hint = QLabel(
            self.tr(
                "Choose a slot to see what it carries and what it could still take.\n\n"
                "Drag an accessory from below onto a slot to plan it; while you drag, every slot "
                "says whether it can take it."
            )
        )
        hint.setObjectName("detailsHint")
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
        tabs.setDocumentMode(True)
        accessory = AccessoryForm(self._document, self._theme)
        tabs.addTab(scrolled(accessory), self.tr("Accessory"))
        tabs.addTab(scrolled(TapForm(self._document, self._theme)), self.tr("How it is connected"))
        sources = SourceList(self._document, self._theme)
        sources.show_on_panel.connect(self.placing_wanted)
        tabs.addTab(scrolled(sources), self.tr("Sources"))
        return tabs

    def _make_circuits(self) -> QWidget:
        # loaded when it is first needed: the start stays short
        from fusemap.window.pages.circuits_page import CircuitsPage

        return scrolled(CircuitsPage(self._document, self._theme))

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
        form.choose_photo.connect(self.choose_photo)
        form.fit_photo.connect(self.fit_photo)
        form.remove_photo.connect(self.remove_photo)
        return scrolled(form)
