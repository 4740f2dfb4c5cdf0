"""The page of Panel and Plan: the lid, a lane, beside it what is chosen, below all the shelf.
On a large screen three short lists stand between lid and shelf; on a wide one the form stands below
the pane, and at the right of all the standing in small and the other panel.

In: the document. The lid has three quarters of the width; where the window is narrow, or its
letters large, the pane goes under the lid. Out: sizes the user has dragged, to be kept. What
stands beside the lid, below it and over it is put together here, and nowhere else.
"""

from typing import TYPE_CHECKING, Final

from PySide6.QtCore import QByteArray, Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QSplitter, QVBoxLayout, QWidget

from fusemap.window.chosen.beside import Beside
from fusemap.window.document import Document
from fusemap.window.panel.panel_pages import PanelPages
from fusemap.window.parts.later import Later
from fusemap.window.shelf.shelf import Shelf
from fusemap.window.style.measures import px
from fusemap.window.style.theme import Theme, space
from fusemap.window.way.way_overlay import WayOverlay

if TYPE_CHECKING:
    from fusemap.window.frame.in_short import InShort
    from fusemap.window.frame.on_wide import FormBelow, WideSide

LID_PER_CENT: Final = 73
"""At least so much of the width is the lid's, up to a width of `WIDE` [%]."""
WIDE: Final = 1600
"""From this width on the pane has its own share, so that the lid gets what is won [px of the
design]."""
WIDE_PER_CENT: Final = 20
"""So much of a wide window's width is the pane's [%]; never less than it had before."""
ROOMY: Final = (2000, 1000)
"""From this width and height on short lists stand below the lid [px of the design]."""
VERY_WIDE: Final = (2500, 1000)
"""From this width and height on there is a third column, and a form below the pane [px of the
design]."""
SIDE_PER_CENT: Final = 20
"""So much of the width is that column's [%]."""
PANE_MOST_PER_CENT: Final = 60
"""So much of the height is the pane's at most, where the form stands below it [%]."""
LANE: Final = 22
"""Between lid and pane, where the current's way leaves the lid [px of the design]."""
LISTED: Final = 525
"""So wide is the pane at least while the list of circuits is seen in it [px of the design]."""
NARROW: Final = 1200
"""Below this width the pane goes under the lid [px of the design]."""
UNDER_PER_CENT: Final = 62
"""So much of the height is the lid's where the pane is under it [%]."""
LID_LEAST: Final = 190
"""There the lid keeps this height, and the page scrolls [px of the design]."""
PANE_LEAST: Final = 320
"""And the pane this one [px of the design]."""

ENDLESS: Final = (1 << 24) - 1
"""The largest size that Qt knows [px]."""
KEPT: Final = {"lid": Qt.Orientation.Horizontal, "lid_under": Qt.Orientation.Vertical}
"""By which names the sizes are kept."""


class LidPage(QWidget):
    """Lid, pane and shelf."""

    short_made = Signal(object)
    """The short lists were made: an `InShort`."""
    wide_made = Signal(object, object)
    """What a wide screen has besides was made: a `WideSide` and a `FormBelow`."""

    def __init__(self, document: Document, theme: Theme, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self._theme = theme
        self.setObjectName("lidPage")
        self.split = QSplitter(Qt.Orientation.Horizontal, self)
        self.split.setObjectName("lidSplitter")
        self.split.setChildrenCollapsible(False)
        self.split.setHandleWidth(px(self, LANE))
        self._left = QWidget(self.split)
        self.panels = PanelPages(document, theme, self._left)
        self.pane = Beside(document, theme, self.split)
        """What stands beside the lid."""
        self.shelf = Shelf(document, theme, self)
        self.strip: QWidget = self.shelf
        """What stands below both."""
        self.short: InShort | None = None
        """What stands below the lid where that leaves room; made when it first does."""
        left = QVBoxLayout(self._left)
        left.setContentsMargins(0, 0, 0, 0)
        left.setSpacing(space(self, "small"))
        left.addWidget(self.panels, 1)
        self.side: WideSide | None = None
        self.form: FormBelow | None = None
        """The third column and the form below the pane; made when there first is room for them."""
        self._right = QWidget()
        right = QVBoxLayout(self._right)
        right.setContentsMargins(0, 0, 0, 0)
        right.addWidget(self.pane, 1)
        self.split.addWidget(self._left)
        self.split.addWidget(self._right)
        self.split.splitterMoved.connect(self._dragged)
        self._as_dragged: dict[Qt.Orientation, QByteArray] = {}
        self._soon = Later(self._share, self)
        self.pane.changed.connect(self._soon.start)
        self.pane.pane.wanted_changed.connect(self._give_pane)
        self.pane.pane.wanted_changed.connect(self._share_below)
        self.panels.resized.connect(self._share_below)
        column = QVBoxLayout(self)
        edge = space(self, "small")
        column.setContentsMargins(edge, 0, edge, 0)
        column.setSpacing(edge)
        self._row = QHBoxLayout()
        self._row.setSpacing(0)
        self._row.addWidget(self.split, 1)
        column.addLayout(self._row, 1)
        column.addWidget(self.strip)
        self.way = WayOverlay(self, self.panels, self.pane.pane)
        """The current's way, over lid, lane and pane."""

    def show_shelf(self, shown: bool) -> None:
        """The shelf belongs to the plan; while the panel is filled in its room is the lid's."""
        self.strip.setVisible(shown)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Pane beside the lid where that is wide enough, else under it."""
        super().resizeEvent(event)
        self._share()

    @property
    def beside(self) -> bool:
        """Whether the pane stands beside the lid."""
        return self.width() >= px(self, NARROW)

    def _share(self) -> None:
        way = Qt.Orientation.Horizontal if self.beside else Qt.Orientation.Vertical
        if self.split.orientation() != way:
            self.split.setOrientation(way)
        self._show_short()
        self._show_wide()
        for part, least in ((self._left, self._lid_least()), (self._right, self._pane_least())):
            part.setMinimumHeight(0 if self.beside else least)
        if way in self._as_dragged:
            self.split.restoreState(self._as_dragged[way])
            return
        beside = self.split.width() - self.split.handleWidth()
        pane = self._pane_wide()
        if not self.beside:
            beside = self.split.height() - self.split.handleWidth()
            # as if the pane took all it may: the lid keeps its height, whatever is chosen
            pane = max(px(self, PANE_LEAST), beside * (100 - UNDER_PER_CENT) // 100)
        self.split.setSizes([beside - pane, pane])

    def _share_below(self) -> None:
        """What the lid, or the pane under it, needs at least is another height now."""
        if not self.beside:
            self._soon.start()

    def _lid_least(self) -> int:
        """So high the lid is at least over the pane: some of its rows are seen whole [px]."""
        own = self._left.minimumSizeHint().height()
        return max(own, px(self, LID_LEAST), self.panels.modest_height())

    def _pane_least(self) -> int:
        """So high the pane is at least under the lid: no higher than it has use for [px]."""
        own = self._right.minimumSizeHint().height()
        least = px(self, PANE_LEAST)
        return max(own, least if self.pane.listing else min(least, self.pane.pane.height_wanted))

    def _show_short(self) -> None:
        """The short lists below the lid, where there is room for more than the lid."""
        roomy = self.width() >= px(self, ROOMY[0]) and self.height() >= px(self, ROOMY[1])
        if roomy and self.short is None:
            self.short = self._make_short()
        if self.short is not None:
            self.short.setVisible(roomy)

    def _make_short(self) -> "InShort":
        # loaded when it is first needed: the start stays short
        from fusemap.window.frame.in_short import InShort

        made = InShort(self._document, self._theme)
        layout = self._left.layout()
        assert layout is not None
        layout.addWidget(made)
        self.short_made.emit(made)
        return made

    def _show_wide(self) -> None:
        """The third column and the form, where there is room for more than lid and pane."""
        wide = self.width() >= px(self, VERY_WIDE[0]) and self.height() >= px(self, VERY_WIDE[1])
        if wide and self.side is None:
            self._make_wide()
        if self.side is not None and self.form is not None:
            self.side.setVisible(wide)
            self.side.setFixedWidth(self.width() * SIDE_PER_CENT // 100)
            if self._row.geometry().width() != self.width():
                self._row.activate()
            self.form.offer(wide)
        self._give_pane()

    def _make_wide(self) -> None:
        # loaded when it is first needed: the start stays short
        from fusemap.window.frame.on_wide import FormBelow, WideSide

        self.side = WideSide(self._document, self._theme, self.panels)
        self.form = FormBelow(self._document, self._theme)
        self.form.changed.connect(self._give_pane)
        self.side.other.changed.connect(self._place_form)
        self._row.addWidget(self.side)
        self._place_form()
        self.wide_made.emit(self.side, self.form)

    def _place_form(self) -> None:
        """Below the pane; where there is no other panel below the chart."""
        if self.side is None or self.form is None:
            return
        below = self.side.column if not self.side.other.panel_id else self._right.layout()
        assert isinstance(below, QVBoxLayout)
        below.insertWidget(2 if below is self.side.column else 1, self.form, 1)
        self._give_pane()

    def _give_pane(self) -> None:
        """The pane is no higher than it needs where the form stands below it."""
        most = ENDLESS
        if (
            self.form is not None
            and self.form.isVisibleTo(self)
            and self.form.parent() is self._right
        ):
            room = self._right.height() * PANE_MOST_PER_CENT // 100
            most = max(0, min(room, self.pane.pane.height_wanted))
        self.pane.setMaximumHeight(most)

    def _pane_wide(self) -> int:
        """What the lid's part and the lane leave [px]."""
        whole = self.width()
        beside = self.split.handleWidth() + whole - self.split.width()
        most = min(whole, px(self, WIDE)) * (100 - LID_PER_CENT) // 100 - beside
        if self.pane.listing:
            most = max(most, px(self, LISTED))
        return most if whole <= px(self, WIDE) else max(most, whole * WIDE_PER_CENT // 100)

    def _dragged(self, *_: object) -> None:
        self._as_dragged[self.split.orientation()] = self.split.saveState()

    # --- sizes that are kept --------------------------------------------------------------------

    def states(self) -> dict[str, bytes]:
        """What the user dragged, the pane beside the lid and under it; without what never was."""
        return {
            name: bytes(self._as_dragged[way].data())
            for name, way in KEPT.items()
            if way in self._as_dragged
        }

    def restore(self, name: str, state: bytes) -> None:
        """Take sizes up again."""
        if name in KEPT:
            self._as_dragged[KEPT[name]] = QByteArray(state)
