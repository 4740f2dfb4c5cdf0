"""What is chosen: its place and name, five facts, its way as stations, the best way out.

In: `document.selection` (a slot, an accessory, a tap, a feed, the battery, nothing), and while
something is in hand the slot it is held over. Out: signals that ask for the long form, a reading,
an answer, a place on the panel; edits by its main button. Where there is little height the stations
move closer, then the feeds stand at one of them, then the facts fold to one line, then the second
lines of what holds go; what is left is scrolled.
"""

from itertools import pairwise
from typing import TYPE_CHECKING, Final

from PySide6.QtCore import QEvent, QObject, QPointF, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QScrollArea, QVBoxLayout, QWidget

from fusemap.text import NOTHING, Text, many, say
from fusemap.vehicle import Tap, look_up
from fusemap.window.chain.tap_words import title_words
from fusemap.window.chosen.content import CHOSEN, Content, content_of, whole_content
from fusemap.window.chosen.facts import Fact, Head, open_ones
from fusemap.window.chosen.facts_view import FactsView
from fusemap.window.chosen.head import HeadView
from fusemap.window.chosen.measures import label
from fusemap.window.chosen.room import ROOMS, Room, high_around
from fusemap.window.chosen.way_view import WayView
from fusemap.window.chosen.ways_out import WaysOut
from fusemap.window.document import Document, Selection, taps_of
from fusemap.window.forms.form import scrolled
from fusemap.window.parts.choice import Choice
from fusemap.window.parts.later import FIGURES, CatchingUp, Later
from fusemap.window.style.measures import px
from fusemap.window.style.theme import Theme

if TYPE_CHECKING:
    from fusemap.assess import Assessment
    from fusemap.checks.finding import Finding
    from fusemap.window.findings.finding_details import FixesView
    from fusemap.window.panel.panel_drop import Placing


UNSEEN_MS: Final = 200
"""So long is waited for what was edited to be painted, before the ways out are looked for [ms]."""
WIDE: Final = 300
"""So wide it is at least, at type of 14 px."""


class ChosenPane(CatchingUp):
    """Head, facts, the way of the chosen tap, and at its foot the way out."""

    more_wanted = Signal()
    """All that can be entered about it is to be seen."""
    probe_wanted = Signal(str, str, str)
    """This slot or feed is to be read now: which of the two, its id, and the state or nothing."""
    told_wanted = Signal(str, str)
    """Something is to be said of this feed or accessory: which of the two, and its id."""
    answers_wanted = Signal(str)
    """What the circuit of this slot is, is to be answered."""
    place_wanted = Signal(dict)
    """This lead is to be taken up, so that every slot shows its offer."""
    wanted_changed = Signal()
    """It would like to be of another height."""
    stations_moved = Signal()
    """A station stands elsewhere than before."""

    def __init__(self, document: Document, theme: Theme) -> None:
        super().__init__(document)
        self._theme = theme
        self._placing: Placing | None = None
        self._over = ""
        self._taps: tuple[Tap, ...] = ()
        self._tap = ""
        self._unfolded = False
        self.height_wanted = 0
        """How high it is with nothing folded and nothing scrolled [px]."""
        self._all: FixesView | None = None
        self._stops: list[QWidget] = []
        self.content = Content(Head("", "", NOTHING))
        self.setObjectName("chosenPane")
        self.setAccessibleName(self.tr("The chosen thing"))
        self.setMinimumWidth(px(self, WIDE))
        self.head = HeadView(theme)
        self.facts = FactsView(theme)
        self.way = WayView(document, theme)
        self.ways = WaysOut(document, theme)
        self.hint = label("chosenHint", self.font(), muted=True)
        self.chooser = Choice()
        self.chooser.setObjectName("chosenChooser")
        self.chooser.setAccessibleName(self.tr("Which tap"))
        self.chooser.activated.connect(lambda row: self.show_tap(self._taps[row].id))
        self._figures = Later(self.refresh, self)
        self._judge = Later(self._judged, self)
        self._painted_first = False
        """What is to be shown followed an edit: that is seen before the ways out are looked for."""
        self._fitting = Later(self._fit, self)
        self._lay_out()
        self._join()

    def _lay_out(self) -> None:
        column = QVBoxLayout(self)
        gap = px(self, 8)
        column.setContentsMargins(gap, gap, gap, gap)
        column.setSpacing(px(self, 6))
        column.addWidget(self.head)
        self._body = QWidget()
        self._body.setObjectName("chosenBody")
        inside = QVBoxLayout(self._body)
        inside.setContentsMargins(0, 0, 0, 0)
        inside.setSpacing(px(self, 8))
        for part in (self.hint, self.facts, self.chooser, self.way):
            inside.addWidget(part)
        inside.addStretch(1)
        self._inside = inside
        self.scroller: QScrollArea = scrolled(self._body)
        self.scroller.setObjectName("chosenScroll")
        column.addWidget(self.scroller, 1)
        column.addWidget(self.ways)

    def _join(self) -> None:
        self.head.more_wanted.connect(self.more_wanted)
        self.head.answer_wanted.connect(self._answer)
        self.facts.asked.connect(self._settle)
        self.facts.opened.connect(self._unfold)
        self.way.moved.connect(self.stations_moved)
        self.way.toggled.connect(self._set_order)
        self.ways.probe_wanted.connect(self.probe_wanted)
        self.ways.told_wanted.connect(self.told_wanted)
        self.ways.fact_asked.connect(self._settle)
        self.ways.all_wanted.connect(self._show_all)
        self.ways.changed.connect(self._fitting.start)
        self.ways.keyboard_left.connect(self.head.take_keyboard)
        self.scroller.verticalScrollBar().valueChanged.connect(self.stations_moved)
        self.scroller.viewport().installEventFilter(self)
        self.document.selected.connect(self._selected)

    # --- what it is told ------------------------------------------------------------------------

    def watch(self, placing: "Placing") -> None:
        """Show what it would be while something is in hand."""
        self._placing = placing
        placing.changed.connect(self._placing_changed)
        placing.pointed.connect(self.hold_over)

    def hold_over(self, slot_id: str) -> None:
        """What is in hand is over this slot, or over none."""
        if slot_id != self._over:
            self._over = slot_id
            self.show_soon()

    def _placing_changed(self) -> None:
        self._over = ""
        self.show_soon()

    def show_tap(self, tap_id: str) -> None:
        """Show the way of this tap, where it is among those of what is selected."""
        self._tap = tap_id
        self.refresh()

    def _selected(self, selection: Selection | None) -> None:
        if selection is not None and selection.kind == "tap":
            self._tap = selection.id
        self._unfolded = False
        self._forget_all()
        self.scroller.verticalScrollBar().setValue(0)
        self.show_soon()

    # --- filled ---------------------------------------------------------------------------------

    def show_soon(self, *_: object) -> None:
        """Show what changed; the ways out follow, when that is painted."""
        self._painted_first = True
        super().show_soon()

    def fill(self) -> None:
        """Show what is selected, or what it would be."""
        if self._placing is not None and self._placing.active:
            self._fill_preview(self._placing)
        else:
            self._fill_chosen()
        self._fit()
        self._set_order()
        self._painted_first = False

    def _set_order(self) -> None:
        """Tab goes from the top to the bottom, whatever was made last."""
        others = self._all.buttons if self._all is not None else ()
        stops: list[QWidget] = [
            *(self.head.answer, self.head.more, *self.facts.stops(), self.chooser),
            *(*self.way.stops(), *others, self.ways.main, self.ways.second, self.ways.all),
        ]
        if stops != self._stops:
            self._stops = stops
            for one, other in pairwise(stops):
                QWidget.setTabOrder(one, other)

    def _assessed(self) -> "Assessment | None":
        """The figures, once they can be had without keeping the first painting waiting."""
        if self.document.numbers_ready:
            return self.document.assessment
        self._figures.start_when_painted(self)
        return None

    def _fill_chosen(self) -> None:
        selection, vehicle = self.document.selection, self.document.vehicle
        self._taps = taps_of(vehicle, selection) if _has_way(selection) else ()
        ids = [tap.id for tap in self._taps]
        if self._tap not in ids:
            self._tap = ids[0] if ids else ""
        tap = look_up.tap(vehicle, self._tap) if self._tap else None
        a = self._assessed()
        self.content = content_of(vehicle, a, selection, tap, self._theme.style)
        chosen = selection is not None and selection.kind in CHOSEN
        if not chosen and a is not None and vehicle.panels:
            self.content = whole_content(vehicle, a, self.document.findings)
        self._show_chooser(ids)
        self._show_content(more=chosen)
        if self._painted_first and a is not None and not self.document.findings_ready:
            self.ways.wait()
            self._judge.start_when_painted(self, FIGURES, UNSEEN_MS)
            self.update(0, 0, 1, 1)  # it waits for a painting, of however little
        else:
            self._show_ways(a)

    def _judged(self) -> None:
        """The edit has been seen: say what to do now."""
        if self._placing is None or not self._placing.active:
            self._show_ways(self._assessed())

    def _show_chooser(self, ids: list[str]) -> None:
        several = self._taps if len(ids) > 1 else ()
        titles = [self._theme.style.show(title_words(self.document.vehicle, t)) for t in several]
        if titles != [self.chooser.itemText(row) for row in range(self.chooser.count())]:
            self.chooser.clear()
            self.chooser.addItems(titles)
        self.chooser.setVisible(bool(titles))
        if titles:
            self.chooser.setCurrentIndex(ids.index(self._tap))

    def _show_content(self, *, more: bool) -> None:
        show, content = self._theme.style.show, self.content
        self.head.show_head(content.head, more=more)
        self.facts.show_facts(content.facts)
        self.hint.setText(show(self._hint()))
        self.hint.setVisible(bool(self.hint.text()))
        self.way.show_way(show(content.title), content.way)
        self.way.setVisible(bool(content.way))

    def _hint(self) -> Text:
        """What to do where there is nothing to see yet."""
        selection = self.document.selection
        if selection is None or selection.kind not in CHOSEN:
            return say(
                "Choose a slot to see what it carries and what it could still take. Drag an "
                "accessory onto a slot to plan it: while you drag, every slot says whether it can "
                "take it."
            )
        if self.content.place_it:
            return say(
                "Not placed yet. Until it is, the forecast counts it as if it were always live."
            )
        return NOTHING

    def _show_ways(self, a: "Assessment | None") -> None:
        """The best way out, else what is to be said next, else that nothing is to be done."""
        content = self.content
        if content.place_it:
            there = any(panel.slots for panel in self.document.vehicle.panels)
            words = self.tr("Place it on the panel") if there else ""
            self.ways.show_one(words, self._place)
            return
        selection = self.document.selection
        if selection is None or selection.kind not in CHOSEN:
            self._show_worst(a)
            return
        if a is None:
            return
        found = content.about(self.document.findings)
        asked = open_ones(content.facts)
        fact = asked[0] if asked and not found else None
        if not found and fact is None:
            found = content.above(self.document.findings)
        holds = self.tr("Nothing to do here: leave it as it is.")
        if not content.alone:
            holds = self.tr("Nothing to do here: all that is known holds.")
        self.ways.show_for(
            () if content.alone else found, fact, brief=content.taps <= 1, holds=holds
        )

    def _show_worst(self, a: "Assessment | None") -> None:
        """Nothing is chosen: what to think of the whole, and the way to its worst finding."""
        begun = self.document.vehicle.panels or self.document.vehicle.accessories
        found = self.document.findings if a is not None and begun else ()
        worst = next((each for each in found if each.place in CHOSEN), None)
        if worst is None:
            self.ways.show_one("", self._place)
            return
        words = self.tr("Show {where}").format(where=self._theme.style.show(worst.where))
        self.ways.show_one(words, lambda: self.document.select(worst.place, worst.place_id))

    # --- what it would be -----------------------------------------------------------------------

    def _fill_preview(self, placing: "Placing") -> None:
        # it comes with what places, which the window starts without
        from fusemap.window.chosen.preview import preview_content

        over = self._over
        selection = self.document.selection
        if not over and selection is not None and selection.kind == "slot":
            over = selection.id
        style = self._theme.style
        self.content, self._taps = preview_content(placing, self.document, over, style), ()
        self._show_chooser([])
        self._show_content(more=False)
        self.hint.setText(placing.offer_words(over))
        self.hint.setVisible(bool(self.hint.text()) and not self.content.way)
        self.ways.forget()
        self.ways.say(self._counts(placing))

    def _counts(self, placing: "Placing") -> str:
        """How many slots can take it, and the keys."""
        show = self._theme.style.show
        can = many("{n} slot can take it.", "{n} slots can take it.", len(placing.ranked))
        return f"{show(can)} {self.tr('Enter drops it, Esc puts it back, Tab: next that fits.')}"

    # --- what is asked --------------------------------------------------------------------------

    def _answer(self) -> None:
        selection = self.document.selection
        if selection is not None and selection.kind == "slot":
            self.answers_wanted.emit(selection.id)

    def _settle(self, fact: Fact) -> None:
        """Lead to where a fact is read, said or entered."""
        selection = self.document.selection
        if selection is None:
            return
        if fact.ask == "probe" and selection.kind in ("slot", "feed"):
            self.probe_wanted.emit(selection.kind, selection.id, fact.state or "")
        elif fact.ask == "answer" and selection.kind == "feed":
            self.told_wanted.emit("feed", selection.id)
        elif fact.key == "inrush":
            self.told_wanted.emit("accessory", self._accessory(selection))
        else:
            self.more_wanted.emit()

    def _accessory(self, selection: Selection) -> str:
        if selection.kind == "tap":
            return look_up.tap(self.document.vehicle, selection.id).accessory
        return selection.id

    def _place(self) -> None:
        if self.content.place_it:
            self.place_wanted.emit({"accessory": self.content.place_it, "lead": "power"})

    def _unfold(self) -> None:
        self._unfolded = True
        self._fit()

    # --- every way out --------------------------------------------------------------------------

    def _show_all(self, finding: "Finding | None") -> None:
        """Every way out with what it does, below the way."""
        # loaded when it is first needed: the start stays short
        from fusemap.window.findings.finding_details import FixesView

        if self._all is None:
            self._all = FixesView(self.document, self._theme)
            self._all.probe_wanted.connect(self.probe_wanted)
            self._all.told_wanted.connect(self.told_wanted)
            self._all.keyboard_left.connect(self.head.take_keyboard)
            self._all.shown.connect(self._all_shown)
            self._inside.insertWidget(self._inside.count() - 1, self._all)
        self._all.show_finding(finding)

    def _all_shown(self) -> None:
        """Go to the first of them once they are tried."""
        self._set_order()
        if self._all is not None and self._all.buttons:
            self._all.buttons[0].setFocus()
            self.scroller.ensureWidgetVisible(self._all.buttons[0])

    def _forget_all(self) -> None:
        if self._all is not None:
            self._all.show_finding(None)

    # --- room -----------------------------------------------------------------------------------

    def resizeEvent(self, event: QResizeEvent) -> None:
        """What yields depends on the height."""
        super().resizeEvent(event)
        self._fit()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """The room for the body is another one; no event is held back."""
        if event.type() == QEvent.Type.Resize:
            self._fitting.start()
        return False

    def _fit(self) -> None:
        """The roomiest layout that fits, else the tightest, which is scrolled."""
        width, high = self.scroller.viewport().width(), self.scroller.viewport().height()
        wanted = 0
        for room in ROOMS:
            self._set_room(room)
            need = self._need(width)
            wanted = wanted or need
            if need <= high:
                break
        wanted = max(wanted, self.scroller.minimumSizeHint().height())
        wanted += high_around(self, self.head, self.ways)
        if wanted != self.height_wanted:
            self.height_wanted = wanted
            self.wanted_changed.emit()
        self._show_worst_station(seen=wanted <= self.height())
        self.stations_moved.emit()

    def _show_worst_station(self, *, seen: bool) -> None:
        """Broad under the lid, where the way may be out of sight, the head says what decides."""
        if seen or not self.content.way or self.width() < 2 * px(self, WIDE):
            self.head.show_worst(None)
            return
        # loaded with what made the way: the start stays short
        from fusemap.window.chosen.stations import worst_of

        self.head.show_worst(worst_of(self.content.way))

    def _need(self, width: int) -> int:
        """How high all that is scrolled is at this width [px]."""
        found = []
        if not self.hint.isHidden():
            found.append(self.hint.heightForWidth(width))
        if not self.facts.isHidden():
            found.append(self.facts.need(width))
        if not self.chooser.isHidden():
            found.append(self.chooser.sizeHint().height())
        if not self.way.isHidden():
            found.append(self.way.need(width))
        if self._all is not None and not self._all.isHidden():
            found.append(self._all.height())
        return sum(found) + self._inside.spacing() * max(0, len(found) - 1)

    def _set_room(self, room: Room) -> None:
        way = self.content.folded if room.feeds_folded else self.content.way
        self.way.set_room(room.pitch, lines=room.lines)
        self.way.show_way(self._theme.style.show(self.content.title), way)
        self.facts.fold(room.facts_folded and not self._unfolded)

    def station_places(self) -> tuple[tuple[str, QPointF], ...]:
        """What stands on the way, and where: each key and the middle of its pad, from the top."""
        return self.way.places(self) if self.way.isVisible() else ()

    @property
    def home(self) -> QWidget:
        """Where the keyboard goes: to what is recommended, else to the long form."""
        return self.ways.main if self.ways.main.isVisible() else self.head.more


def _has_way(selection: Selection | None) -> bool:
    return selection is not None and selection.kind in ("slot", "tap", "accessory")
