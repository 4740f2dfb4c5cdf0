"""Makes the circuit of a job: every battery, feed, tapped slot and tap, with its words.

In: a subject. Out: a `Circuit`. What hangs on what is as in the network that is solved. Terminal
numbers are those of DIN 72552, designations those of IEC 81346 (K a relay, W a cable). No Qt.
"""

from collections.abc import Iterator

from fusemap import tables
from fusemap.sheet.cables import (
    SECOND_BATTERY,
    Numbered,
    by_the_body,
    numbered,
    socket_words,
    switch_of,
)
from fusemap.sheet.circuit import BATTERY_KEY, LINK_KEY, SECOND_KEY, At, Circuit, Part, in_order
from fusemap.sheet.style import BATTERY, FEED_SIGNS, WAY_SHORT, named
from fusemap.sheet.subject import Subject
from fusemap.text import Amount, Argument, Words, given, in_row, run_on, say
from fusemap.vehicle import BATTERY as ON_BATTERY
from fusemap.vehicle import Accessory, Feed, Slot, Tap, look_up
from fusemap.vehicle.words import BEHIND, KIND, SWITCH, TAP


def circuit(subject: Subject) -> Circuit:
    """The circuit of the whole job."""
    parts = (
        *_sources(subject),
        *(_feed(subject, feed) for feed in subject.vehicle.feeds),
        *_slots(subject),
        *(part for tap in subject.taps for part in _tap_parts(subject, tap)),
        *_behind(subject),
    )
    return Circuit(in_order(parts))


def _cables(subject: Subject, of: str) -> dict[str, Numbered]:
    """The cables of a tap, feed or accessory, by what they are."""
    return {each.role: each for each in numbered(subject) if each.of == of}


def _cable(subject: Subject, each: Numbered | None) -> str:
    """A cable in short: number, section, insulation, colour, length."""
    if each is None:
        return ""
    cable = each.cable
    if cable is None:
        return subject.show(in_row([each.number, say("not entered")]))
    colour = subject.cable_colour(cable.colour)
    parts: list[Argument] = [
        run_on(each.number, Amount(cable.section_mm2, "mm²")),
        cable.insulation.upper().replace("_", " "),
        *([colour] if named(cable.colour) else []),
        Amount(cable.whole_m, "m"),
    ]
    return subject.show(in_row(parts))


def _sources(subject: Subject) -> Iterator[Part]:
    show, vehicle = subject.show, subject.vehicle
    volts = given(vehicle.system_v, "V")
    yield Part("battery", BATTERY_KEY, "", show(run_on(BATTERY, volts)), earth="31")
    second = vehicle.second_battery
    if second is None:
        return
    yield Part(
        "second", SECOND_KEY, "", show(run_on(SECOND_BATTERY, volts)), "W0+", back="W0−", earth="31"
    )
    link = say("relay") if second.link == "relay" else say("DC-DC charger")
    near, far = (
        "" if fuse is None else show(subject.fuse(fuse))
        for fuse in (second.near_fuse, second.far_fuse)
    )
    cable = next(each for each in numbered(subject) if each.role == "link")
    yield Part(
        "link",
        LINK_KEY,
        BATTERY_KEY,
        show(link),
        fuse=near,
        out=_cable(subject, cable),
        back=far,
        badge=cable.number,
    )


def _feed(subject: Subject, feed: Feed) -> Part:
    parent = feed.parent
    if parent is None:
        second = feed.battery == "second" and subject.vehicle.second_battery is not None
        parent = SECOND_KEY if second else BATTERY_KEY
    return Part(
        "feed",
        _key("feed", feed.id),
        parent if feed.parent is None else _key("feed", parent),
        subject.show(subject.feed_name(feed.id)),
        fuse="" if feed.fuse is None else subject.show(subject.fuse(feed.fuse)),
        out=_cable(subject, _cables(subject, feed.id).get("feed")),
    )


def _key(kind: str, name: str) -> str:
    """A key that no part of another kind has."""
    return f"{kind}:{name}"


def _slots(subject: Subject) -> Iterator[Part]:
    """The tapped slots in the order of the panels."""
    tapped = {tap.slot for tap in subject.taps}
    for slot in look_up.slots(subject.vehicle):
        if slot.id in tapped:
            yield _slot(subject, slot)


def _slot(subject: Subject, slot: Slot) -> Part:
    feed = look_up.feed_of(subject.vehicle, slot)
    sign = FEED_SIGNS[slot.feed_class]
    fuse = subject.fuse(slot.fuse)
    unknown = feed is None and slot.feed != ON_BATTERY
    output = slot.kind == "module"
    what = KIND["module"] if output and slot.fuse is None else fuse
    note: Words = in_row([sign, what]) if sign else what
    if output:
        note = run_on(note, output_limit(slot), between="; ")
    if unknown:
        note = run_on(note, say("feed not known"), between="; ")
    return Part(
        "slot",
        _key("slot", slot.id),
        BATTERY_KEY if feed is None else _key("feed", feed.id),
        subject.show(subject.slot_on_block(slot)),
        subject.show(note),
        fuse="" if slot.fuse is None else subject.show(fuse),
        doubtful=unknown,
        output=output,
        added=subject.on_block(slot) and not named(slot.circuit),
    )


def _tap_parts(subject: Subject, tap: Tap) -> Iterator[Part]:
    """A tap with its device; the coil of its relay, where no sense lead drives it."""
    yield _tap(subject, tap)
    driven = look_up.tap_of(subject.vehicle, tap.accessory, "sense") is not None
    if tap.relay and not driven:
        title = subject.show(say("a switched source (not chosen yet)"))
        key = _key("tap", tap.id)
        yield Part(
            "coil",
            f"{key}:coil",
            key,
            title,
            relay=_relay(subject, tap),
            earth="31",
            switch=switch_of(tap, subject),
            by_hand=_by_hand(tap),
            note=_switch_words(subject, tap),
        )


def _relay(subject: Subject, tap: Tap) -> str:
    return f"K{subject.numbers[tap.accessory]}"


def _by_hand(tap: Tap) -> bool:
    return tap.switch in ("hand", "main_beam")


def _switch_words(subject: Subject, tap: Tap) -> str:
    """The switch of a lead: its designation, and what closes it."""
    name = switch_of(tap, subject)
    return subject.show(say("{name}: {what}", name=name, what=SWITCH[tap.switch])) if name else ""


def _tap(subject: Subject, tap: Tap) -> Part:
    show, cables = subject.show, _cables(subject, tap.id)
    sense = tap.lead == "sense"
    power = look_up.tap_of(subject.vehicle, tap.accessory)
    coil = sense and power is not None and power.relay
    contact = not sense and tap.relay
    earth = "31" if coil else ""
    if not sense:
        earth = show(run_on("31", cables["back"].end))
    driven = look_up.tap_of(subject.vehicle, tap.accessory, "sense") is not None
    # in the power lead of a relay that no sense lead drives it sits in the way to the coil
    switched = switch_of(tap, subject) if driven or not contact else ""
    reversed_ = tap.way_round == "load_side" and tap.kind in ("two_fuse", "take_off_lead")
    kind = run_on(
        TAP[tap.kind],
        WAY_SHORT["load_side"] if reversed_ else "",
        _switch_words(subject, tap) if switched else "",
        socket_words(subject, tap) if tap.socket is not None else "",
        between="; ",
    )
    socket = None if tap.socket is None else look_up.socket(subject.vehicle, tap.socket)
    return Part(
        "tap",
        _key("tap", tap.id),
        _source(subject, tap),
        show(subject.accessory_with_lead(tap)),
        show(kind),
        at=_at(tap),
        fuse="" if tap.fuse is None else show(subject.fuse(tap.fuse)),
        relay=_relay(subject, tap) if coil or contact else "",
        out=_cable(subject, cables.get("sense" if sense else "out")),
        badge=subject.badge(tap),
        back=_cable_back(subject, cables.get("back")),
        earth=earth,
        refers=sense and not coil,
        switch=switched,
        by_hand=_by_hand(tap),
        pins=0 if socket is None else len(tables.socket_pins(socket.kind)),
        pin=tap.pin or 0,
    )


def _cable_back(subject: Subject, each: Numbered | None) -> str:
    if each is not None and each.cable is None:
        return subject.show(in_row([each.number, say("by the body")]))
    return _cable(subject, each)


def _at(tap: Tap) -> At:
    if tap.slot is None:
        return ""
    at_load = tap.kind in BEHIND or tap.way_round == "load_side"
    return "load" if at_load else "live"


def _source(subject: Subject, tap: Tap) -> str:
    """What a tap hangs on: its slot, its feed, or a battery."""
    if tap.slot is not None:
        return _key("slot", tap.slot)
    if tap.feed is not None:
        return _key("feed", tap.feed)
    on = look_up.battery_of(subject.vehicle, subject.accessory(tap))
    second = on == "second" and subject.vehicle.second_battery is not None
    return SECOND_KEY if second else BATTERY_KEY


def _behind(subject: Subject) -> Iterator[Part]:
    """What hangs on a converter, behind the tap that supplies it."""
    for accessory in subject.hanging:
        above = look_up.tap_of(subject.vehicle, accessory.supplied_by or "")
        further = look_up.accessory(subject.vehicle, accessory.supplied_by or "").supplied_by
        if above is None and further is None:
            continue
        parent = _key("behind", accessory.supplied_by or "")
        yield _hanging(subject, accessory, parent if above is None else _key("tap", above.id))


def _hanging(subject: Subject, accessory: Accessory, parent: str) -> Part:
    """A device behind a converter, with the fuse and the cables of its lead.

    Behind a converter that hangs on another itself it stands by the name of that output.
    """
    by_name = parent.startswith(_key("behind", ""))
    show, cables, fuse = subject.show, _cables(subject, accessory.id), accessory.lead_fuse
    back, earth = _cable(subject, cables["behind_back"]), ""
    if by_the_body(accessory):
        back, earth = _cable_back(subject, cables["behind_back"]), "31"
    return Part(
        "behind",
        _key("behind", accessory.id),
        parent,
        show(subject.accessory_name(accessory)),
        show(subject.output(accessory)) if by_name else "",
        fuse="" if fuse is None else show(subject.fuse(fuse)),
        out=_cable(subject, cables["behind"]),
        badge=str(subject.numbers[accessory.id]),
        back=back,
        earth=earth,
        by_name=by_name,
    )


def output_limit(slot: Slot) -> Words:
    """What the maker lets hang on an output of a control unit besides its own load."""
    if slot.contact_limit_a is None:
        return say("what may hang there besides is not known")
    return say("at most {limit} besides its own load", limit=Amount(slot.contact_limit_a, "A"))
