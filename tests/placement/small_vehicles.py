"""Small random vehicles for the joint plan: few slots, nested feeds, a handful of loose leads."""

from hypothesis import strategies as st

from fusemap.vehicle import Accessory, Feed, Fuse, Panel, Slot, StateLoads, Tap, Vehicle

FUSES = (5.0, 7.5, 10.0, 15.0, 20.0)
CLASSES = ("permanent", "permanent", "ignition", "ignition", "accessory", "delayed_off", "unknown")
NAMES = (
    "Radio", "Radio", "Seat heating", "", "", "Airbag", "Headlamp left", "Body module",
    "Main feed box 2", "Xyz 4",
)  # fmt: skip
FUNCTIONS = (None, None, None, None, "comfort", "control", "supply", "unclear")
ANSWER = "rear socket, traced by hand"


@st.composite
def panels(draw: st.DrawFn, number: int, feeds: list[str | None], slots: int) -> Panel:
    """A panel of a single row."""
    made = []
    for column in range(slots):
        known = draw(st.booleans())
        own = draw(st.sampled_from([0.0, 0.5, 1.25, 3.0]))
        made.append(
            Slot(
                id=f"slot-{number}-{column}",
                row=0,
                column=column,
                fuse=Fuse(family="mini", rating=draw(st.sampled_from(FUSES))),
                circuit=draw(st.sampled_from(NAMES)),
                harmless=draw(st.sampled_from(["", "", ANSWER])),
                function=draw(st.sampled_from(FUNCTIONS)),
                critical=draw(st.sampled_from([False, False, False, False, True])),
                live_side=draw(st.sampled_from(["left", "left", "unknown"])),
                feed_class=draw(st.sampled_from(CLASSES)),
                delayed_off_min=draw(st.sampled_from([0.0, 20.0])),
                feed=draw(st.sampled_from(feeds)),
                own_load=StateLoads(
                    asleep=own / 100, awake=own, accessory=own, ignition=own, running=own
                )
                if known
                else StateLoads(),
                contact_limit_a=draw(st.sampled_from([None, 6.0, 12.0])),
            )
        )
    place = draw(st.sampled_from(["cabin", "engine_bay"]))
    return Panel(id=f"panel-{number}", name=f"P{number}", rows=1, columns=max(1, slots),
                 place=place, slots=tuple(made))  # fmt: skip


@st.composite
def accessories(draw: st.DrawFn, number: int) -> Accessory:
    """An accessory of 1 to 12 A, with a sense lead or not."""
    return Accessory(
        id=f"accessory-{number}",
        name=f"A{number}",
        amperes=draw(st.sampled_from([0.3, 1.1, 2.3, 3.7, 5.2, 11.5])),
        rated_v=12.0,
        load_kind=draw(st.sampled_from(["constant_current", "constant_power", "resistive"])),
        needs=draw(st.sampled_from(["permanent", "switched", "either"])),
        leads=draw(st.sampled_from([("power",), ("power",), ("power", "sense")])),
        standby_a=draw(st.sampled_from([0.0, 0.004, 0.021])),
        sense_a=draw(st.sampled_from([0.005, 0.2])),
    )


@st.composite
def vehicles(draw: st.DrawFn) -> Vehicle:
    """Up to six slots on two panels, three feeds below each other, three accessories."""
    feeds: list[Feed] = []
    for number in range(draw(st.integers(0, 3))):
        parent = draw(st.sampled_from([None, *(feed.id for feed in feeds)]))
        limit = draw(st.sampled_from([None, 4.0, 7.0, 15.0, 40.0]))
        feeds.append(Feed(id=f"feed-{number}", name=f"Feed {number}", parent=parent,
                          limit_a=limit, resistance_mohm=2.0))  # fmt: skip
    ids: list[str | None] = [None, *(feed.id for feed in feeds), *(feed.id for feed in feeds)]
    made = tuple(draw(panels(n, ids, draw(st.integers(1, 3)))) for n in range(2))
    shelf = tuple(draw(accessories(n)) for n in range(draw(st.integers(1, 3))))
    slots = [slot for panel in made for slot in panel.slots]
    taps = ()
    if len(shelf) > 1 and draw(st.booleans()):
        first = shelf[0]
        taps = (Tap(id="tap-1", accessory=first.id, slot=draw(st.sampled_from(slots)).id,
                    justification="it is there"),)  # fmt: skip
    return Vehicle(name="Small", panels=made, feeds=tuple(feeds), accessories=shelf, taps=taps)
