"""The rows of a circuit diagram: how each kind of part draws itself beside its line.

In: parts, the width of a page [mm], how wide a text is. Out: a `Row` for each part: how high it is,
how it draws itself, and where lines go down from it. No Qt.
"""

from collections.abc import Callable, Sequence
from typing import Final

from msgspec.structs import replace

from fusemap.sheet.circuit import Part, PartKind
from fusemap.sheet.circuit_drawing import (
    LINE_MM,
    Drawing,
    Line,
    Row,
    Symbol,
    SymbolKind,
    Type,
    broken,
    put,
)

STEP, DEEPEST = 5.5, 33.0
"""How much further right a trunk lies than the one above, and all of them together at most."""
LEFT: Final = 3.5
FUSE, FUSE_HIGH = 7.0, 2.6
CONTACT: Final = 9.0
BOX: Final = 33.0
PINS: Final = 6.4
"""How wide the circle of a socket's pins is."""
BACK: Final = 26.0
EARTH: Final = 6.0
EARTH_WORDS: Final = 30.0
LEAST_WORDS: Final = 14.0
"""Less room over a line holds no words of a cable."""
RISES: Final[dict[str, float]] = {"contact": 3.4, "switch": 5.2}
"""How far a contact reaches above its line."""


class Rows:
    """Makes the row of each part, on a page of a width."""

    def __init__(self, parts: Sequence[Part], wide: float, type_: Type) -> None:
        self._type = type_
        self._wide = wide
        by_key = {part.key: part for part in parts}
        depth: dict[str, int] = {}
        for part in parts:
            above = by_key.get(part.parent)
            depth[part.key] = 0 if above is None else depth[above.key] + 1
        feeds = [depth[p.key] for p in parts if p.kind in ("battery", "second", "feed")]
        self._step = min(STEP, DEEPEST / max(1, max(feeds, default=1)))
        deepest = LEFT + self._step * (max(feeds, default=0) + 1)
        self._earth_x = wide - EARTH_WORDS - EARTH
        self._box_x = self._earth_x - BACK - BOX
        self._fuse_x = max(48.0, deepest + 24.0)

    def row(self, part: Part, x: float) -> Row:
        """A part whose line begins at x."""
        makers: dict[PartKind, Callable[[Part, float], Row]] = {
            "battery": self._source,
            "second": self._source,
            "link": self._link,
            "feed": self._feed,
            "slot": self._slot,
            "tap": self._tap,
            "coil": self._coil,
            "behind": self._hanging,
        }
        return makers[part.kind](part, x)

    def _set(self, text: str, wide: float, bold: bool = False) -> tuple[tuple[str, ...], float]:
        """A text in lines, and how high they are."""
        lines = broken(text, wide, self._type, bold) if text else ()
        return lines, len(lines) * LINE_MM

    def _source(self, part: Part, x: float) -> Row:
        """A battery: its plus to the trunk, its minus to the body."""
        minus = (part.back,) if part.back else ()
        words_x = x + 24 + self._broad(minus, False)
        lines, high = self._set(part.title, self._wide - words_x - 20, True)
        note, note_high = self._set(part.note, 18, True)

        def draw(page: Drawing, y: float) -> None:
            page.lines += [Line(x, y, x + 7, y), Line(x + 9, y, x + 18, y)]
            page.symbols.append(Symbol("battery", x + 7, y - 3, 2, 6, part.key))
            self._to_earth(page, x + 18, y, part.key)
            put(page, lines, words_x, y - high / 2, self._broad(lines, True), part.key, bold=True)
            sign = "30"
            put(page, (sign,), x + 1, y - LINE_MM - 0.3, self._broad((sign,), False), part.key)
            put(page, (part.earth,), x + 11, y - LINE_MM - 0.3,
                 self._broad((part.earth,), False), part.key)  # fmt: skip
            put(page, minus, x + 21.6, y - LINE_MM / 2, self._broad(minus, False), part.key)
            put(page, note, self._wide - 19, y - note_high / 2, 18, part.key, bold=True)

        return Row(max(LINE_MM + 0.5, high / 2, 3.2), max(6.5, high / 2), draw, {"": (x, 0.0)})

    def _broad(self, lines: tuple[str, ...], bold: bool) -> float:
        """How wide the widest line is [mm]."""
        return max((self._type.wide(line, bold) for line in lines), default=0.0)

    def _to_earth(self, page: Drawing, x: float, y: float, key: str) -> None:
        """From a place on a line down to the sign of the body."""
        page.lines.append(Line(x, y, x, y + 2.2))
        page.symbols.append(Symbol("chassis", x - 2.6, y + 2.2, 5.2, 2.6, key))

    def _link(self, part: Part, x: float) -> Row:
        """The link of a second battery: fuse, switch or charger, fuse; it goes on by its name."""
        way = self._way(part, x, self._box_x)
        lines, high = self._set(part.title, BOX - 2.4)
        half = max(high, LINE_MM) / 2 + 0.8
        far, far_high = self._set(part.back, EARTH_WORDS)
        fuse_x, end = self._box_x + BOX + 5, self._box_x + BOX + 18

        def draw(page: Drawing, y: float) -> None:
            way.draw(page, y)
            page.symbols.append(Symbol("box", self._box_x, y - half, BOX, 2 * half, part.key))
            inside = self._box_x + 1.2
            put(page, lines, inside, y - high / 2, self._broad(lines, False), part.key)
            start = self._box_x + BOX
            if part.back:
                page.lines.append(Line(start, y, fuse_x, y))
                place = (fuse_x, y - FUSE_HIGH / 2, FUSE, FUSE_HIGH)
                page.symbols.append(Symbol("fuse", *place, part.key))
                put(page, far, fuse_x - 3, y + 1.7, self._broad(far, False), part.key)
                start = fuse_x + FUSE
            page.lines.append(Line(start, y, end, y))
            page.symbols.append(Symbol("arrow", end, y - 0.9, 2.2, 1.8, part.key))
            name = (part.badge,)
            wide = self._broad(name, True)
            put(page, name, end + 3.2, y - LINE_MM / 2, wide, part.key, bold=True)

        below = max(way.below, half, far_high + 1.8 if part.back else 0.0)
        return Row(max(way.above, half), below, draw, {})

    def _feed(self, part: Part, x: float) -> Row:
        """A feed: from the trunk above to its own, its fuse in it."""
        own = x + self._step
        words_x = own + 3.5
        wide = self._wide - words_x - 2
        lines, high = self._set(part.title, wide, True)
        note = "   ".join(text for text in (part.fuse, part.out) if text)
        below, below_high = self._set(note, wide)
        # a row of a slot or a feed begins at the trunk: it has to be clear of the fuse
        down = 6.6 if part.fuse else 0.0

        def draw(page: Drawing, y: float) -> None:
            page.lines.append(Line(x, y, own, y))
            if part.fuse:
                page.lines.append(Line(own, y, own, y + 0.8))
                page.symbols.append(Symbol("fuse_upright", own - 1.2, y + 0.8, 2.4, 5.8, part.key))
            else:
                page.symbols.append(Symbol("dot", own - 0.6, y - 0.6, 1.2, 1.2, part.key))
            top = y - LINE_MM / 2
            put(page, lines, words_x, top, self._broad(lines, True), part.key, bold=True)
            put(page, below, words_x, top + high, self._broad(below, False), part.key)

        deep = high + below_high - LINE_MM / 2
        return Row(LINE_MM / 2, max(deep, down + 0.4, 1.0), draw, {"": (own, down)})

    def _slot(self, part: Part, x: float) -> Row:
        """A slot: live contact, host fuse, load contact, the vehicle's circuit."""
        live = x + self._step
        load = live + 16
        words_x = load + 10
        wide = self._wide - words_x - 2
        lines, high = self._set(part.title, wide, True)
        below, below_high = self._set(part.note, wide)
        whole = high + below_high

        def draw(page: Drawing, y: float) -> None:
            page.lines.append(Line(x, y, live - 0.7, y, part.doubtful))
            page.symbols.append(Symbol("ring", live - 0.7, y - 0.7, 1.4, 1.4, part.key))
            page.symbols.append(Symbol("ring", load - 0.7, y - 0.7, 1.4, 1.4, part.key))
            middle = live + 8 - FUSE / 2
            page.lines.append(Line(live + 0.7, y, middle, y))
            if part.fuse:
                page.symbols.append(
                    Symbol("fuse", middle, y - FUSE_HIGH / 2, FUSE, FUSE_HIGH, part.key)
                )
            elif part.output:
                page.symbols.append(Symbol("output", middle, y - 2.2, FUSE, 4.4, part.key))
            page.lines.append(Line(middle + FUSE, y, load - 0.7, y))
            if not part.added:
                page.lines.append(Line(load + 0.7, y, load + 5.5, y))
                page.symbols.append(Symbol("arrow", load + 5.5, y - 0.9, 2.2, 1.8, part.key))
            top = y - whole / 2
            put(page, lines, words_x, top, self._broad(lines, True), part.key, bold=True)
            put(page, below, words_x, top + high, self._broad(below, False), part.key)

        half = max(whole / 2, 2.4 if part.output else 1.6)
        return Row(half, half, draw, {"live": (live, 0.7), "load": (load, 0.7)})

    def _tap(self, part: Part, x: float) -> Row:
        """A tap: its fuse, its cable, the device, the way back to the body."""
        if not part.back:
            return self._sense(part, x)
        box = self._device(part, self._box_x)
        way = self._way(part, x, self._box_x - (PINS + 1.0 if part.pins else 0.0))
        back, back_high = self._set(part.back, BACK - 1.6)
        earth_x = self._earth_x + EARTH + 0.6
        earth, earth_high = self._set(part.earth, self._wide - earth_x)

        def draw(page: Drawing, y: float) -> None:
            way.draw(page, y)
            box.draw(page, y)
            if part.pins:
                self._draw_pins(page, self._box_x - PINS - 1.0, y, part)
            start, end = self._box_x + BOX, self._earth_x + EARTH / 2
            page.lines.append(Line(start, y, end, y))
            put(page, back, start + 0.8, y - 0.5 - back_high,
                 self._broad(back, False), part.key)  # fmt: skip
            self._to_earth(page, end, y, part.key)
            put(page, earth, earth_x, y - LINE_MM / 2, self._broad(earth, False), part.key)

        above = max(way.above, box.above, back_high + 0.5, PINS / 2 if part.pins else 0.0)
        below = max(way.below, box.below, earth_high - LINE_MM / 2, 5.0)
        middle = self._box_x + BOX / 2
        return Row(above, below, draw, {"": (middle, box.below)})

    def _draw_pins(self, page: Drawing, x: float, y: float, part: Part) -> None:
        """A socket that the line ends at: its pins in a circle, then on to the device."""
        place = (x, y - PINS / 2, PINS, PINS)
        page.symbols.append(Symbol("pins", *place, part.key, part.pins, part.pin))
        page.lines.append(Line(x + PINS, y, self._box_x, y))

    def _device(self, part: Part, x: float) -> Row:
        """A box with the number and the name of a device in it."""
        number = self._type.wide(part.badge, True) + 1.0
        lines, high = self._set(part.title, BOX - number - 2.4)
        half = max(high, LINE_MM) / 2 + 0.8

        def draw(page: Drawing, y: float) -> None:
            page.symbols.append(Symbol("box", x, y - half, BOX, 2 * half, part.key))
            top = y - max(high, LINE_MM) / 2
            put(page, (part.badge,), x + 1, top, number - 1.0, part.key, bold=True)
            put(page, lines, x + 1 + number, top, self._broad(lines, False), part.key)

        return Row(half, half, draw, {})

    def _way(self, part: Part, x: float, end: float) -> Row:
        """From a trunk by way of fuse and contact to a place: what kind of tap, which cable."""
        fuse_x = self._fuse_x
        kind = "; ".join(text for text in (part.fuse, part.note) if text)
        contacts: list[tuple[SymbolKind, str]] = []
        if part.relay:
            contacts.append(("contact", f"{part.relay} 30 87"))
        if part.switch:
            contacts.append(("switch" if part.by_hand else "contact", part.switch))
        cable_x = fuse_x + FUSE + 1.2 + (CONTACT + 2) * len(contacts)
        above = part.out if end - cable_x > LEAST_WORDS else ""
        if not above:  # two contacts in a lead leave no room over the line
            kind = "; ".join(text for text in (kind, part.out) if text)
        cable, cable_high = self._set(above, end - cable_x - 1)
        fuse, fuse_high = self._set(kind, end - fuse_x - 1)
        said = [self._set(name, CONTACT + 2) for _, name in contacts]

        def draw(page: Drawing, y: float) -> None:
            page.lines.append(Line(x, y, fuse_x, y))
            start = fuse_x
            if part.fuse:
                page.symbols.append(
                    Symbol("fuse", fuse_x, y - FUSE_HIGH / 2, FUSE, FUSE_HIGH, part.key)
                )
                start += FUSE
            put(page, fuse, fuse_x, y + 1.7, self._broad(fuse, False), part.key)
            for number, ((symbol, _), (name, high)) in enumerate(zip(contacts, said, strict=True)):
                at = fuse_x + FUSE + 1.5 + (CONTACT + 2) * number
                page.lines.append(Line(start, y, at, y))
                top = self._draw_contact(page, at, y, symbol, part.key)
                start = at + CONTACT
                put(page, name, at, top - 0.4 - high, self._broad(name, False), part.key)
            page.lines.append(Line(start, y, end, y))
            put(page, cable, cable_x, y - 0.5 - cable_high, self._broad(cable, False), part.key)

        over = [
            high + RISES[kind] + 0.6 for (kind, _), (_, high) in zip(contacts, said, strict=True)
        ]
        return Row(max(cable_high + 0.5, 1.6, *over), fuse_high + 1.8, draw, {})

    def _draw_contact(self, page: Drawing, x: float, y: float, kind: SymbolKind, key: str) -> float:
        """A contact in a line; where its top is."""
        rises = RISES[kind]
        page.symbols.append(Symbol(kind, x, y - rises, CONTACT, rises + 0.8, key))
        return y - rises

    def _sense(self, part: Part, x: float) -> Row:
        """A sense lead: to the device that stands elsewhere, or to the coil of its relay."""
        end = self._box_x
        contact = part.relay
        # a sense lead drives a coil: no contact stands in its own way but that of its switch
        way = self._way(replace(part, relay=""), x, end)
        words_x = end + (16 if contact else 4.2)
        number = self._type.wide(part.badge, True) + 1.2
        lines, high = self._set(part.title, self._wide - words_x - number - (12 if contact else 0))

        def draw(page: Drawing, y: float) -> None:
            way.draw(page, y)
            if contact:
                self._draw_coil(page, end, y, part)
            else:
                page.symbols.append(Symbol("arrow", end, y - 0.9, 2.2, 1.8, part.key))
            top = y - LINE_MM / 2
            at = words_x + (8 if contact else 0)
            put(page, (part.badge,), at, top, number - 1.2, part.key, bold=True)
            put(page, lines, at + number, top, self._broad(lines, False), part.key)

        below = max(way.below, high - LINE_MM / 2, 5.2 if contact else 0.0)
        return Row(max(way.above, LINE_MM + 3.4 if contact else 0.0), below, draw, {})

    def _draw_coil(self, page: Drawing, x: float, y: float, part: Part) -> None:
        """The coil of a relay across the line, then down to the body."""
        page.lines.append(Line(x, y, x + 4, y))
        page.symbols.append(Symbol("coil", x + 4, y - 2.4, 4, 4.8, part.key))
        page.lines.append(Line(x + 8, y, x + 15, y))
        self._to_earth(page, x + 15, y, part.key)
        said = f"{part.relay} 86 85"
        put(page, (said,), x, y - 3.0 - LINE_MM, self._broad((said,), False), part.key)

    def _coil(self, part: Part, x: float) -> Row:
        """The coil of a relay that nothing drives yet: an open end. It hangs beside its contact."""
        end = self._box_x
        lines, high = self._set(part.title, 40)
        note, note_high = self._set(part.note, CONTACT + 14)
        ring = end - (CONTACT + 7 if part.switch else 12)

        def draw(page: Drawing, y: float) -> None:
            page.symbols.append(Symbol("ring", ring, y - 0.7, 1.4, 1.4, part.key))
            start = ring + 1.4
            if part.switch:
                at = start + 1.5
                page.lines.append(Line(start, y, at, y))
                kind: SymbolKind = "switch" if part.by_hand else "contact"
                top = self._draw_contact(page, at, y, kind, part.key)
                name = (part.switch,)
                put(page, name, at, top - 0.4 - LINE_MM, self._broad(name, False), part.key)
                put(page, note, ring, y + 1.7, self._broad(note, False), part.key)
                start = at + CONTACT
            page.lines.append(Line(start, y, end, y))
            self._draw_coil(page, end, y, part)
            wide = self._broad(lines, False)
            put(page, lines, ring - 1.5 - wide, y - high / 2, wide, part.key)

        over = RISES["switch"] + 1 + LINE_MM if part.switch else LINE_MM + 3.4
        return Row(max(over, high / 2), max(5.2, high / 2, note_high + 1.8), draw, {})

    def _hanging(self, part: Part, x: float) -> Row:
        """What hangs on a converter: fuse and cable to its box, back as a core or by the body."""
        box_x = self._wide - BOX - 1
        if part.by_name:
            x, box_x = self._fuse_x - 3, self._box_x + BOX
        box = self._device(part, box_x)
        cable_x = x + (FUSE + 4.2 if part.fuse else 1.2)
        cables = [self._set(text, box_x - cable_x - 2) for text in (part.out, part.back)]
        cable = tuple(line for lines, _ in cables for line in lines)
        high = sum(each for _, each in cables)
        said = "; ".join(text for text in (part.fuse, part.note) if text)
        below_it, below_high = self._set(said, box_x - x - 4)

        def draw(page: Drawing, y: float) -> None:
            start = x
            if part.by_name:
                page.symbols.append(Symbol("ring", x - 0.7, y - 0.7, 1.4, 1.4, part.key))
                start += 0.7
            put(page, below_it, x + 3, y + 1.7, self._broad(below_it, False), part.key)
            if part.fuse:
                page.lines.append(Line(start, y, x + 3, y))
                place = (x + 3, y - FUSE_HIGH / 2, FUSE, FUSE_HIGH)
                page.symbols.append(Symbol("fuse", *place, part.key))
                start = x + 3 + FUSE
            page.lines.append(Line(start, y, box_x, y))
            if not part.earth:
                page.symbols.append(Symbol("cores", box_x - 4, y - 1.2, 2.0, 2.4, part.key))
            box.draw(page, y)
            put(page, cable, cable_x, y - 1.4 - high, self._broad(cable, False), part.key)
            if part.earth:
                down = y + box.below
                self._to_earth(page, earth_x, down, part.key)
                sign = (part.earth,)
                wide = self._broad(sign, False)
                put(page, sign, earth_x - 4 - wide, down + 0.8, wide, part.key)

        earth_x = box_x + BOX - 4
        below = max(box.below + (5.2 if part.earth else 0.0), below_high + 1.8 if said else 0.0)
        middle = box_x + BOX / 2
        return Row(max(box.above, high + 1.4), below, draw, {"": (middle, box.below)})
