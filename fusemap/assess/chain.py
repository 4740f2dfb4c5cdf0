"""The chain of one tap in words: battery, feeds, slot, tap, fuse, cable, accessory and back.

Figures and words are those of `hops`; the feeds above a tap are put in front of them. A chain is
put together when somebody looks at it. What could not be held against a limit is a hop, too, and
says what is missing: a hop that has no figures must not pass for one that holds.
"""

from collections.abc import Iterator, Mapping

from fusemap.assess import facts
from fusemap.assess.figures import Figures
from fusemap.assess.hops import HOPS, KINDS
from fusemap.assess.hops.feed import FEED_HOPS, made_hop
from fusemap.assess.hops.feed_cables import FeedCables, FeedView
from fusemap.assess.hops.kind import HopFigures, HopKind, View
from fusemap.assess.hops.limit import Beside
from fusemap.assess.result import Basis, Chain, Floats, Hop, HopKey
from fusemap.assess.sources import SECOND
from fusemap.assess.verdict import Ground
from fusemap.assess.words import KIRCHHOFF, chain_title, fuse_words
from fusemap.text import NOTHING, Text, given, many, say
from fusemap.vehicle import STATES, Feed, look_up
from fusemap.vehicle.words import FEED

NAN = float("nan")


class Chains(Mapping[str, Chain]):
    """All chains by tap id, each made when it is asked for."""

    def __init__(
        self,
        a: Figures,
        hops: Mapping[HopKey, HopFigures],
        beside: Beside,
    ) -> None:
        self._a = a
        self._hops = hops
        self._beside = beside
        self._made: dict[str, Chain] = {}

    def __getitem__(self, tap_id: str) -> Chain:
        if tap_id not in self._made:
            self._made[tap_id] = make_chain(self.view(tap_id), self._beside)
        return self._made[tap_id]

    def hop(self, tap_id: str, key: HopKey) -> Hop:
        """One hop of a tap, without the rest of its chain. Raises KeyError without the tap."""
        if tap_id in self._made:
            return next(hop for hop in self._made[tap_id].hops if hop.key == key)
        return _hop(self.view(tap_id), KINDS[key])

    def view(self, tap_id: str) -> View:
        """One tap with everything its words are taken from. Raises KeyError where there is none."""
        column = self._a.taps.index[tap_id]
        return View(self._a, self._hops, self._a.circuit.taps.taps[column], column)

    def __iter__(self) -> Iterator[str]:
        return iter(self._a.taps.ids)

    def __len__(self) -> int:
        return len(self._a.taps.ids)


def make_chain(v: View, beside: Beside) -> Chain:
    """The chain of one tap, from the battery's side to the accessory and back.

    Above what hangs on the second battery stands its link to the first, behind a converter the
    leads to all that hangs on it.
    """
    link = beside.link if v.a.circuit.tap_roots[v.column] == SECOND else ()
    own = (_hop(v, kind) for kind in HOPS if _has(v, kind))
    hops = (*(each.hop for each in link), *_above(v, beside.feeds), *own, *_behind(v, beside))
    return Chain(v.tap.id, chain_title(v.a.vehicle, v.tap), hops)


def _behind(v: View, beside: Beside) -> Iterator[Hop]:
    """The leads behind the converter of a tap, one after the other."""
    for each in v.a.circuit.taps.behind.of(v.column):
        yield from (limit.hop for limit in beside.outputs[each.accessory.id])


def _has(v: View, kind: HopKind) -> bool:
    figures = v.hops[kind.key]
    return bool(figures.given[v.column] or figures.unchecked[v.column])


def _hop(v: View, kind: HopKind) -> Hop:
    """One hop of a tap with its words."""
    figures, row = v.hops[kind.key], v.worst_row(kind.key)
    checked = bool(figures.given[v.column])
    missing = kind.missing(v) if not checked else NOTHING
    return Hop(
        key=kind.key,
        title=kind.title(v),
        quantity=kind.quantity,
        load=float(figures.load[v.column]),
        most=float(figures.most[v.column]),
        limit=float(figures.limit[v.column]) if checked else NAN,
        least=float(figures.hard[v.column]) if checked else None,
        unit=kind.unit,
        basis=kind.basis(v) if checked else Basis(missing),
        state=None if row < 0 else STATES[row],
        at_most=kind.at_most,
        chosen=kind.chosen,
        ground=kind.ground(v) if checked else "none",
        missing=missing,
    )


# --- what lies above a slot -----------------------------------------------------------------------


def _above(v: View, feed_hops: Mapping[HopKey, HopFigures]) -> Iterator[Hop]:
    """The feeds above a tap, from the battery downwards; what nobody knows of them, too."""
    vehicle, slot = v.a.vehicle, v.tap.slot
    if slot is not None and look_up.slot(vehicle, slot).feed is None:
        yield _unseen_hop(v, slot)
        return
    first = v.tap.feed if slot is None else look_up.slot(vehicle, slot).feed
    for feed in tuple(look_up.feeds_above(vehicle, first))[::-1]:
        yield feed_hop(v.a, feed)
        if feed.added:
            yield from added_hops(v.a, feed, feed_hops)


def added_hops(a: Figures, feed: Feed, feed_hops: Mapping[HopKey, HopFigures]) -> Iterator[Hop]:
    """The limits of an added feed's cable."""
    view = FeedView(FeedCables(a), a.feeds.index[feed.id])
    for kind in FEED_HOPS:
        yield made_hop(view, kind, feed_hops[kind.key])


def feed_hop(a: Figures, feed: Feed) -> Hop:
    """A feed with all that hangs below it; without limit or fuse it cannot be checked."""
    column = a.feeds.index[feed.id]
    known = feed.limit_a is not None or feed.fuse is not None
    own = say("not given") if feed.limit_a is None else given(feed.limit_a, "A")
    fuse = say("none given") if feed.fuse is None else fuse_words(feed.fuse)
    return _sum_hop(
        title=say("Feed “{feed}”", feed=feed.name),
        feed=feed.id,
        ends=(a.feeds.current_a[:, column], a.most.feeds.current_a[:, column]),
        limit=float(a.feeds.limit_a[column]) if known else NAN,
        least=float(a.most.feeds.limit_a[column]) if known else None,
        basis=Basis(
            say(
                "everything that hangs below this feed, summed; the tighter of its own limit "
                "and what its fuse carries for long"
            ),
            ((say("Own limit"), own), (say("Fuse"), fuse)),
            KIRCHHOFF,
        ),
        ground=feed_ground(feed),
        missing=NOTHING if known else say("neither a limit nor a fuse is entered"),
    )


def feed_ground(feed: Feed) -> Ground:
    """Where the limit of a feed is from."""
    if feed.limit_a is not None:
        return "user"
    return "none" if feed.fuse is None else facts.fuse_ground(feed.fuse.family, feed.fuse.rating)


def _unseen_hop(v: View, slot_id: str) -> Hop:
    """All slots of a class of which nobody knows what supplies them, as if it were one relay."""
    feed_class = look_up.slot(v.a.vehicle, slot_id).feed_class
    together = v.a.unseen[feed_class]
    words = FEED[feed_class].feed
    return _sum_hop(
        title=say("What supplies it: not known ({feed})", feed=words),
        feed=f"?{feed_class}",
        ends=(together.known_a, together.most_a),
        limit=NAN,
        basis=Basis(
            many(
                "the one slot of its class of which nobody said what supplies it",
                "all {n} slots of its class of which nobody said what supplies them, as if they "
                "hung on one relay",
                together.slots,
            ),
            (),
            KIRCHHOFF,
        ),
        ground="none",
        missing=say("what supplies this slot was not found out, nor what that may carry"),
    )


def _sum_hop(
    *,
    title: Text,
    feed: str,
    ends: tuple[Floats, Floats],
    limit: float,
    basis: Basis,
    ground: Ground,
    missing: Text,
    least: float | None = None,
) -> Hop:
    known, most = ends
    return Hop(
        key="feed",
        feed=feed,
        title=title,
        quantity=say("current"),
        load=float(known.max()),
        most=float(most.max()),
        limit=limit,
        least=least,
        unit="A",
        state=STATES[int(most.argmax())],
        basis=basis,
        ground=ground,
        missing=missing,
    )
