"""Paints the cells of a panel, as large as zoomed, and makes the line editor to type on one.

In: the roles `LOOK` and `OFFER` of the model; out: cards, gaps and, while something is being
placed, what each slot offers. The cards are
fitted to the room there is until the user zooms.
"""

from collections.abc import Sequence
from typing import Final

from msgspec.structs import replace
from PySide6.QtCore import (
    QAbstractItemModel,
    QModelIndex,
    QPersistentModelIndex,
    QRect,
    QRectF,
    QSize,
    Qt,
)
from PySide6.QtGui import (
    QBrush,
    QFont,
    QFontMetricsF,
    QLinearGradient,
    QPainter,
    QPainterPath,
    QPen,
)
from PySide6.QtWidgets import (
    QLineEdit,
    QStyle,
    QStyleOptionViewItem,
    QTableView,
    QWidget,
)

from fusemap.circuits import unanswered
from fusemap.vehicle.texts import clean
from fusemap.vehicle.words import LiveSide, Orientation
from fusemap.window.panel.card_places import (
    SEEN,
    CardSize,
    Places,
    chosen,
    fitting,
    fitting_small,
    modest_height,
)
from fusemap.window.panel.card_under_hand import PressedCards, paint_shadow
from fusemap.window.panel.offer_paint import FAINT, LOOKS, offer_state, paint_offer
from fusemap.window.panel.panel_drop import Offer, Stuck
from fusemap.window.panel.panel_model import BLOCK, LABEL, LOOK, OFFER, PanelModel
from fusemap.window.panel.slot_entry import ratings_words
from fusemap.window.panel.slot_paint import SlotPainter, is_flush, is_unnamed
from fusemap.window.panel.slot_words import SlotLook, TapMark
from fusemap.window.photo.alone import paint_alone
from fusemap.window.photo.backdrop import COVERED, WORDS_COVERED, Backdrop, Strength
from fusemap.window.style.letters import scaled_font
from fusemap.window.style.theme import Theme

Index = QModelIndex | QPersistentModelIndex

CORNER: Final = 0.5
"""Radius of a card's corners, in heights of its font."""


class PanelDelegate(PressedCards):
    """Paints slots. `zoom` enlarges them; `target` is the cell that a drag is over.

    Behind them lies `backdrop`, the photo of the panel, seen as its `strength` says, or the
    `ground` of the lid. `lit` are the slots of a feed that was chosen, `waiting` what was refused
    and waits in its slot for an answer.
    """

    def __init__(self, theme: Theme, parent: QWidget) -> None:
        super().__init__(parent)
        self.theme = theme
        self.zoom = 1.0
        self.cell = QSize(1, 1)
        self.target = QPersistentModelIndex()
        self.editing_role = int(Qt.ItemDataRole.EditRole)
        self.editing = False
        self.line: QWidget | None = None
        """The line that is open."""
        self.done = True
        self.backdrop: Backdrop | None = None
        self.strength: Strength = "off"
        self.ground = QBrush(theme.colour("lid_top"))
        self.lit: frozenset[str] = frozenset()
        self.waiting: Stuck | None = None

    def font(self, widget_font: QFont) -> QFont:
        """The font of the cards at this zoom."""
        return scaled_font(widget_font, self.zoom)

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        """The room of one card."""
        return self.cell

    # --- painting -------------------------------------------------------------------------------

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """One cell."""
        font = self.font(option.widget.font() if option.widget else option.font)
        at = Places.on(QRectF(option.rect), QFontMetricsF(font).height())
        look: SlotLook | None = index.data(LOOK)
        offer: Offer | None = index.data(OFFER)
        selected = bool(option.state & QStyle.StateFlag.State_Selected)
        focused = bool(option.state & QStyle.StateFlag.State_HasFocus)
        aimed = self.target.isValid() and self.target == QPersistentModelIndex(index)
        waits = False
        if look is not None and self.waiting is not None:
            waits = self.waiting.slot_id == look.slot.id
            look = with_waiting(look, self.waiting) if waits else look
        painter.save()
        hovered = bool(option.state & QStyle.StateFlag.State_MouseOver)
        pressed = hovered and self.is_pressed(index)
        if selected or hovered or focused:
            # Over what the table has painted for such a cell: the card shows that by itself.
            painter.fillRect(option.rect, self.ground)
        if self.backdrop is not None and self.strength != "off":
            cell = QRectF(option.rect)
            self.backdrop.paint(painter, index.row(), index.column(), cell, self.strength)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        if look is not None and offer is None and self.strength == "alone" and self.pictured:
            paint_alone(painter, at, look, font, self.theme, selected=selected)
        elif look is None and self.strength == "alone" and self.pictured and not focused:
            pass  # the photo alone
        elif look is None:
            self._paint_gap(painter, at, font, selected, focused)
        else:
            painted = SlotPainter(painter, self.theme, font)
            grounds = painted.grounds(at, look) if self.pictured and offer is None else []
            self._paint_card(painter, at, look, offer, grounds, pressed=pressed, hovered=hovered)
            block = self._block_on(index, option.rect, at) if offer is None else None
            if block is not None:
                painter.save()
                painter.setClipRect(option.rect, Qt.ClipOperation.IntersectClip)
                painter.fillRect(option.rect, self.ground)
                self._paint_raised(painter, at, block)
                painter.restore()
            turned, side = shown_as(index, look)
            if block is not None and look.slot.kind != "relay":
                pass  # the relay says what it is
            elif offer is None:
                painted.paint(at, look, turned, side)
            else:
                painter.setOpacity(FAINT if offer_state(offer) in ("refused", "ask") else 1.0)
                painted.stations(at, look, turned, side)
                painter.setOpacity(1.0)
                painted.paint_label(at, look)
                paint_offer(painter, at, font, self.theme, look.slot, offer)
        if focused or aimed or selected:
            self._paint_ring(painter, at, 0.2 if aimed else 0.17, dashed=waits)
        painter.restore()

    def _paint_card(
        self,
        painter: QPainter,
        at: Places,
        look: SlotLook,
        offer: Offer | None,
        grounds: Sequence[QRectF],
        *,
        pressed: bool,
        hovered: bool,
    ) -> None:
        """The ground of a card: what may be used lies in a recess, what may not is flush."""
        ground, frame, wide = card_look(look)
        if look.slot.id in self.lit:
            ground, frame, wide = "accent_tint", "accent", 0.08
        line = Qt.PenStyle.SolidLine
        if offer is not None:
            ground, frame, _, wide = LOOKS[offer_state(offer)]
        elif is_unnamed(look) or (look.assessed and unanswered(look.slot)):
            frame, wide, line = "frame", 0.08, Qt.PenStyle.DashLine
        round_ = at.unit * CORNER
        if hovered and offer is None:
            ground = "accent_tint" if pressed else ground
            if line == Qt.PenStyle.SolidLine:
                frame, wide = "frame", 0.08
            if not pressed and look.slot.kind == "fuse":
                paint_shadow(painter, at.card, round_, at.unit, self.theme)
        if self.pictured and offer is None:
            self._paint_glass(painter, at, ground, grounds)
            painter.setBrush(Qt.BrushStyle.NoBrush)
            frame, wide = "frame" if frame in ("line", ground) else frame, max(wide, 0.06)
        else:
            painter.setBrush(self.theme.colour(ground))
        pen = QPen(self.theme.colour(frame), max(1.0, at.unit * wide), line)
        painter.setPen(pen if wide else Qt.PenStyle.NoPen)
        painter.drawRoundedRect(at.card, round_, round_)
        if look.slot.kind == "relay" and not self.pictured:
            self._paint_raised(painter, at, at.card)

    def _block_on(self, index: Index, cell: QRect, at: Places) -> QRectF | None:
        """The card of a relay that reaches over this cell, where it is larger than one."""
        block = index.data(BLOCK)
        if not block or self.pictured:
            return None
        rows = [row - index.row() for row, _ in block]
        columns = [column - index.column() for _, column in block]
        return at.card.adjusted(
            min(columns) * cell.width(), min(rows) * cell.height(),
            max(columns) * cell.width(), max(rows) * cell.height(),
        )  # fmt: skip

    def _paint_raised(self, painter: QPainter, at: Places, card: QRectF) -> None:
        """A relay stands out of the lid: light on its upper edge, a shade on its lower."""
        body = QLinearGradient(card.topLeft(), card.bottomLeft())
        body.setColorAt(0.0, self.theme.colour("lid_top"))
        body.setColorAt(1.0, self.theme.colour("slot_blocked"))
        painter.setPen(QPen(self.theme.colour("lid_edge"), max(1.0, at.unit * 0.07)))
        painter.setBrush(body)
        painter.drawRoundedRect(card, at.unit * CORNER, at.unit * CORNER)

    @property
    def pictured(self) -> bool:
        """Whether a photo is seen behind the slots."""
        return self.backdrop is not None and self.strength != "off" and not self.backdrop.broken

    def _paint_glass(
        self, painter: QPainter, at: Places, ground: str, grounds: Sequence[QRectF]
    ) -> None:
        """A card one can see the photo through, and hardly on the grounds of its words."""
        colour, round_ = self.theme.colour(ground), at.unit * CORNER
        painter.setPen(Qt.PenStyle.NoPen)
        whole, words = QPainterPath(), QPainterPath()
        whole.addRoundedRect(at.card, round_, round_)
        pad = at.unit * 0.12
        for part in grounds:
            words.addRect(part.adjusted(-pad, -pad, pad, pad))
        if not at.bar.isEmpty():
            words.addRect(at.bar.adjusted(-pad, 0, pad, 0))
        words.setFillRule(Qt.FillRule.WindingFill)
        words &= whole
        for path, covered in (
            (whole - words, COVERED[self.strength]),
            (words, WORDS_COVERED),
        ):
            colour.setAlphaF(covered)
            painter.fillPath(path, colour)

    def _paint_gap(
        self, painter: QPainter, at: Places, font: QFont, selected: bool, focused: bool
    ) -> None:
        """A place without a slot: nearly nothing, a plus where the cursor is."""
        painter.setBrush(Qt.BrushStyle.NoBrush)
        if not (selected or focused):
            if self.pictured:  # to be seen on any picture
                side = at.unit * 0.16
                painter.setPen(QPen(self.theme.colour("frame"), at.unit * 0.12))
                painter.setBrush(self.theme.colour("base"))
                painter.drawEllipse(at.card.center(), side, side)
            return
        painter.setPen(
            QPen(self.theme.colour("frame"), max(1.0, at.unit * 0.07), Qt.PenStyle.DashLine)
        )
        if selected:
            painter.setBrush(self.theme.colour("accent_tint"))
        if self.pictured:
            painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawRoundedRect(at.card, at.unit * CORNER, at.unit * CORNER)
        if self.pictured:
            plate = QRectF(0, 0, at.unit * 2, at.unit * 2)
            plate.moveCenter(at.card.center())
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(self.theme.colour("accent_tint" if selected else "base"))
            painter.drawEllipse(plate)
        painter.setPen(self.theme.colour("text"))
        painter.setFont(scaled_font(font, 1.8))
        painter.drawText(at.card, Qt.AlignmentFlag.AlignCenter, "+")

    def _paint_ring(
        self, painter: QPainter, at: Places, wide: float, *, dashed: bool = False
    ) -> None:
        """The cursor, or what is chosen: a ring round the card; dashed where something waits."""
        grow = at.unit * 0.1
        painter.setBrush(Qt.BrushStyle.NoBrush)
        pen = QPen(self.theme.colour("accent"), max(2.0, at.unit * wide))
        if dashed:
            pen.setCapStyle(Qt.PenCapStyle.FlatCap)
            pen.setDashPattern([2.6, 1.8])
        painter.setPen(pen)
        ring = at.card.adjusted(-grow, -grow, grow, grow)
        painter.drawRoundedRect(ring, at.unit * (CORNER + 0.1), at.unit * (CORNER + 0.1))

    # --- typing ---------------------------------------------------------------------------------

    def createEditor(self, parent: QWidget, option: QStyleOptionViewItem, index: Index) -> QWidget:
        """A line for rating and circuit, or for the label."""
        editor = QLineEdit(parent)
        editor.setObjectName("slotEntry")
        self.editing = True
        self.line = editor
        look: SlotLook | None = index.data(LOOK)
        if self.editing_role == LABEL:
            editor.setAccessibleName(self.tr("Label of the slot"))
            editor.setPlaceholderText(self.tr("label"))
        else:
            editor.setAccessibleName(self.tr("Rating and circuit"))
            editor.setPlaceholderText(self.tr("15 Radio"))
            if look is not None:
                made = self.theme.style.show(ratings_words(look.slot.family))
                editor.setToolTip(self.tr("Ratings: {ratings}").format(ratings=made))
        return editor

    def setEditorData(self, editor: QWidget, index: Index) -> None:
        """Show what is there now."""
        assert isinstance(editor, QLineEdit)
        editor.setText(str(index.data(self.editing_role) or ""))
        editor.selectAll()

    def destroyEditor(self, editor: QWidget, index: Index) -> None:
        """The line is closed."""
        self.editing = False
        if editor is self.line:
            self.line = None
        super().destroyEditor(editor, index)

    def setModelData(self, editor: QWidget, model: QAbstractItemModel, index: Index) -> None:
        """Ask for what was typed, for every selected slot when it is a rating."""
        assert isinstance(editor, QLineEdit)
        assert isinstance(model, PanelModel)
        text = clean(editor.text())
        if text == str(index.data(self.editing_role) or ""):
            self.done = True
            return
        cells = [index, *self._also_selected(index)]
        self.done = model.enter(cells, text, self.editing_role)

    def _also_selected(self, index: Index) -> list[QModelIndex]:
        view = self.parent()
        chosen = view.selectedIndexes() if isinstance(view, QTableView) else []
        return [each for each in chosen if each != index and each.data(LOOK) is not None]

    def updateEditorGeometry(
        self, editor: QWidget, option: QStyleOptionViewItem, index: Index
    ) -> None:
        """Over the fuse, and as wide as the words need."""
        high = editor.sizeHint().height()
        at = self.line_place(option.rect, option.widget or editor)
        editor.setGeometry(at.left(), at.center().y() - high // 2, at.width(), high)

    def line_place(self, cell: QRect, widget: QWidget) -> QRect:
        """Where the line lies over a cell of this widget."""
        wide = max(cell.width(), round(QFontMetricsF(widget.font()).averageCharWidth() * 24))
        room = max(cell.width(), widget.width())
        left = max(0, min(cell.center().x() - wide // 2, room - wide))
        return QRect(left, cell.top(), min(wide, room), cell.height())


def shown_as(index: Index, look: SlotLook) -> tuple[Orientation, LiveSide]:
    """How a slot's fuse stands, and where its live side is, on the screen."""
    model = index.model()
    assert isinstance(model, PanelModel)
    turned = model.arrangement
    return turned.orientation(look.slot.orientation), turned.side(look.slot.live_side)


def with_waiting(look: SlotLook, stuck: Stuck) -> SlotLook:
    """The same with what waits in the slot, as if it were tapped there already."""
    accessory, lead = stuck.payload.accessory, stuck.payload.lead
    mark = TapMark("", accessory, stuck.name, lead, "live_side", None)
    return replace(look, taps=(mark,))


def card_look(look: SlotLook) -> tuple[str, str, float]:
    """Ground, frame and its width of a card: depth means usable, a tint has its verdict's shape."""
    if look.overloaded:
        return "stop_tint", "stop_tint", 0.0
    if look.may_not_hold:
        return "caution_tint", "caution_tint", 0.0
    if is_flush(look):
        return "sealed", "sealed", 0.0
    return "slot", "line", 0.07


ZOOMS: Final = (0.6, 0.7, 0.8, 0.9, 1.0, 1.15, 1.35, 1.6, 2.0, 2.5, 3.0)


class PanelZoom:
    """The size of the cards of one panel."""

    def __init__(self, view: QTableView, delegate: PanelDelegate) -> None:
        self._view = view
        self._delegate = delegate
        self._fits_itself = True
        self.in_small = False
        """Shown beside another panel: label and figure are enough."""

    @property
    def factor(self) -> float:
        """How much larger the cards are than the font of the window asks for."""
        return self._delegate.zoom

    @property
    def chosen(self) -> float | None:
        """The same as the user wants it; `None` while it is fitted to the room."""
        return None if self._fits_itself else self.factor

    def choose(self, factor: float | None) -> None:
        """Show the cards at this size from now on, with `None` fitted to the room."""
        self._fits_itself = factor is None
        self._set(self._fitting() if factor is None else self._sized(factor))

    def step(self, steps: int) -> None:
        """Larger or smaller by so many steps, and from now on as the user wants it."""
        nearest = min(range(len(ZOOMS)), key=lambda n: abs(ZOOMS[n] - self.factor))
        self.choose(ZOOMS[max(0, min(len(ZOOMS) - 1, nearest + steps))])

    def fit(self) -> None:
        """Fit the cards to the room there is now, unless the user has chosen their size."""
        self.choose(self.chosen)

    def _fitting(self) -> CardSize:
        """The largest size at which the whole panel can be seen, or all of it one way."""
        model, view = self._view.model(), self._view
        bar = view.verticalScrollBar().sizeHint().width()
        rows, columns = model.rowCount(), model.columnCount()
        room = view.maximumViewportSize()
        small = fitting_small(view.font(), rows, columns, room) if self.in_small else None
        return small or fitting(view.font(), rows, columns, room, bar)

    def modest_height(self) -> int:
        """How high the rows are that are to be seen before something beside it yields [px]."""
        model, room = self._view.model(), self._view.maximumViewportSize()
        bar = self._view.verticalScrollBar().sizeHint().width()
        rows = min(SEEN, model.rowCount())
        return modest_height(self._view.font(), rows, model.columnCount(), room.width() - bar)

    def _sized(self, factor: float) -> CardSize:
        """The cards at a size that the user has chosen."""
        model, room = self._view.model(), self._view.maximumViewportSize()
        rows, columns = max(1, model.rowCount()), max(1, model.columnCount())
        return chosen(
            self._view.font(), factor, QSize(room.width() // columns, room.height() // rows)
        )

    def _set(self, size: CardSize) -> None:
        view, cell = self._view, size.cell
        changed = (self._delegate.zoom, self._delegate.cell) != size
        self._delegate.zoom = size.zoom
        self._delegate.cell = cell
        view.horizontalHeader().setDefaultSectionSize(cell.width())
        view.verticalHeader().setDefaultSectionSize(cell.height())
        view.horizontalScrollBar().setSingleStep(cell.width() // 4)
        view.verticalScrollBar().setSingleStep(cell.height() // 4)
        if changed:  # headers tell the table nothing of another default size
            view.updateGeometries()
        view.viewport().update()
