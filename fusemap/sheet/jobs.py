"""Every lead that is connected: its picture, its facts, and what is predicted for it.

In: a subject. Out: one `Job` per tap, and the table that shows all of them at a glance; what is
predicted is made in `predicted`. The figures are those of the assessment's taps and slots. No Qt.
"""

from collections.abc import Iterator

from fusemap.sheet.cables import (
    by_the_body,
    earth_name,
    number_of,
    numbered,
    socket_words,
    switch_of,
)
from fusemap.sheet.circuit_parts import output_limit
from fusemap.sheet.content import Figure, Job, Row, Table, TapPicture
from fusemap.sheet.predicted import IN_THE_BLOCK, predictions
from fusemap.sheet.style import (
    FEED,
    FOUND,
    NO_FUSE,
    NOT_CHOSEN,
    SENSE,
    SIDE,
    WAY,
    named,
)
from fusemap.sheet.subject import Subject, in_states
from fusemap.text import Argument, Text, Words, given, in_row, run_on, say, say_in
from fusemap.vehicle import STATES, Accessory, Cable, Fuse, Slot, State, Tap
from fusemap.vehicle.words import BEHIND, CLOSED_BY, KIND, PLACE, SWITCH, TAP


def jobs(subject: Subject) -> tuple[Job, ...]:
    """All leads, accessory by accessory."""
    return tuple(job(subject, tap) for tap in subject.taps)


def job(subject: Subject, tap: Tap) -> Job:
    """One lead."""
    show = subject.show
    return Job(
        badge=subject.badge(tap),
        title=show(subject.accessory_with_lead(tap)),
        tap_id=tap.id,
        picture=tap_picture(subject, tap),
        facts=tuple((show(name), show(text)) for name, text in _facts(subject, tap)),
        predicted=tuple(predictions(subject, tap)),
    )


# --- the picture ----------------------------------------------------------------------------------


def tap_picture(subject: Subject, tap: Tap) -> TapPicture:
    """What the drawing of a tap shows; its words are short, each has one line."""
    slot = subject.slot(tap)
    module, added = slot is not None and slot.kind == "module", subject.on_block(slot)
    words: dict[str, Argument] = {
        "live": say("live side")
        if slot is None or known(slot) or added
        else say("live side? Measure first"),
        "load": say("load side"),
        "circuit": say("vehicle’s circuit"),
        "common": say_in("drawing", "common blade"),
        "take_off": say_in("drawing", "take-off lead"),
        "splice": say_in("drawing", "splice"),
        "host": _host_word(module, added),
        "host_rating": _rating(None if slot is None else slot.fuse),
        "accessory_fuse": say_in("drawing", "accessory fuse"),
        "accessory_rating": _rating(tap.fuse),
        "to": subject.badge(tap),
        "source": subject.source(tap)
        if slot is None
        else say_in("drawing", "slot {name}", name=subject.slot_name(slot)),
        "sense": SENSE,
        "earth": say("earth"),
        "no_fuse": "" if added and slot is not None and slot.fuse else NO_FUSE,
        "terminal": say_in("drawing", "terminal"),
        "plug": say_in("drawing", "plug"),
    }
    return TapPicture(
        kind=tap.kind,
        way_round=tap.way_round,
        live_side="unknown" if slot is None else slot.live_side,
        lead=tap.lead,
        relay=tap.relay,
        fused=tap.fuse is not None,
        words=tuple((key, subject.show(text)) for key, text in words.items()),
        output=module,
        added=added and slot is not None and not named(slot.circuit),
    )


def _host_word(module: bool, added: bool) -> Text:
    """What the fuse of a slot is called in the drawing."""
    if module:
        return say_in("drawing", "output")
    return say_in("drawing", "accessory fuse") if added else say_in("drawing", "host fuse")


def known(slot: Slot) -> bool:
    """Whether the live side of a slot was measured."""
    return slot.live_side != "unknown"


def _rating(fuse: Fuse | None) -> Argument:
    return "" if fuse is None else given(fuse.rating, "A")


# --- the facts ------------------------------------------------------------------------------------


def _facts(subject: Subject, tap: Tap) -> Iterator[tuple[Words, Words]]:
    """What there is to know about a lead; what does not exist is left out."""
    yield say_in("of current", "Source"), from_words(subject, tap)
    slot = subject.slot(tap)
    if slot is not None:
        live = in_states(live_states(subject, tap))
        yield say("Feed class"), say("{feed} ({live})", feed=FEED[slot.feed_class], live=live)
        yield say("Supplied by"), subject.supply(slot)
        if slot.kind == "module":
            guard = "" if slot.fuse is None else subject.fuse(slot.fuse)
            yield say("Output"), run_on(KIND["module"], guard, output_limit(slot), between="; ")
        elif subject.on_block(slot):
            yield IN_THE_BLOCK, subject.fuse(slot.fuse)
        else:
            yield say("Host fuse"), subject.fuse(slot.fuse)
    yield say("Tap"), tap_words(subject, tap)
    if tap.socket is not None:
        yield say("Socket"), socket_words(subject, tap)
    if tap.fuse is not None or not subject.on_block(slot):
        yield say("Accessory fuse"), subject.fuse(tap.fuse)
    out = cable_words(subject, tap.cable_out)
    yield say("Cable out"), run_on(number_of(tap, subject), out, between=": ")
    if tap.lead == "power":
        number = number_of(tap, subject, "back")
        yield say("Return"), run_on(number, back_words(subject, tap), between=": ")
        yield say("Earth point"), earth_name(subject, tap)
    yield say("Joint"), subject.joint(tap.joint) or NOT_CHOSEN
    if tap.switch in CLOSED_BY:
        yield say("Switch"), switch_words(subject, tap)
    if tap.relay:
        yield say("Relay"), relay_words(subject, tap)
    if tap.justification.strip():
        yield say("What the circuit feeds"), named(tap.justification)
    if tap.found_how.strip():
        yield say("How that was found"), named(tap.found_how)
    if tap.lead == "power":
        yield from _about(subject, subject.accessory(tap))


def _about(subject: Subject, accessory: Accessory) -> Iterator[tuple[Words, Words]]:
    """What hangs on an accessory, whether it was there before, and its note."""
    on = [a for a in subject.hanging if a.supplied_by == accessory.id]
    if on:
        yield say("Supplies"), in_row(subject.numbered(each) for each in on)
    for each in on:
        yield subject.numbered(each), behind_words(subject, each)
    if accessory.short_s is not None:
        yield say("Works at a time"), say("at most {time}", time=given(accessory.short_s, "s"))
    if accessory.found != "no":
        yield say("Was there"), FOUND[accessory.found]
    note = named(accessory.note)
    if note:
        yield say("Note"), note


def switch_words(subject: Subject, tap: Tap) -> Text:
    """The switch of a lead with its designation, and what it may carry where it says so."""
    name, what = switch_of(tap, subject), SWITCH[tap.switch]
    if tap.switch == "timer" and tap.timer_min is not None:
        what = say("{switch}: {time}", switch=what, time=given(tap.timer_min, "min"))
    if tap.switch_limit_a is None:
        return say("{name}: {what}", name=name, what=what)
    limit = given(tap.switch_limit_a, "A")
    return say("{name}: {what}, for {limit}", name=name, what=what, limit=limit)


def behind_words(subject: Subject, accessory: Accessory) -> Words:
    """Fuse and cables of a lead behind a converter."""
    fuse = accessory.lead_fuse
    parts: list[Words] = [
        say("Fuse at the output: {fuse}", fuse=NO_FUSE if fuse is None else subject.fuse(fuse))
    ]
    for each in numbered(subject):
        if each.of != accessory.id or not each.role.startswith("behind"):
            continue
        said = cable_words(subject, each.cable)
        if each.role == "behind_back" and by_the_body(accessory):
            said = say("by the body")
        parts.append(run_on(each.number, said, between=": "))
    return run_on(*parts, between="; ")


def from_words(subject: Subject, tap: Tap, *, brief: bool = False) -> Words:
    """The slot with its panel, or the feed; briefly without it where all taps are on one panel."""
    slot = subject.slot(tap)
    tapped = {each.slot for each in subject.taps if each.slot is not None}
    used = [p for p in subject.vehicle.panels if any(s.id in tapped for s in p.slots)]
    if slot is None or (brief and len(used) == 1):
        return subject.source(tap)
    panel = subject.panel_name(subject.panel(slot))
    return run_on(subject.slot_with_circuit(slot), panel, between=" – ")


def live_states(subject: Subject, tap: Tap) -> tuple[State, ...]:
    """The states in which the tap's lead has supply."""
    live = subject.assessment.taps.live[:, subject.assessment.taps.index[tap.id]]
    return tuple(state for state, on in zip(STATES, live, strict=True) if on)


def tap_words(subject: Subject, tap: Tap) -> Text:
    """The kind of tap and the way round, in words."""
    slot = subject.slot(tap)
    way = WAY.get((tap.kind, tap.way_round))
    if slot is None or way is None:
        return TAP[tap.kind]
    return say("{tap}, {way} ({side})", tap=TAP[tap.kind], way=way, side=SIDE[slot.live_side])


def brief_tap_words(subject: Subject, tap: Tap) -> Text:
    """The kind of tap and where the live side is; loudly where it is reversed."""
    slot = subject.slot(tap)
    if slot is None or tap.kind in BEHIND:
        return TAP[tap.kind]
    reversed_ = "" if tap.way_round == "live_side" else say("REVERSED")
    return run_on(TAP[tap.kind], SIDE[slot.live_side], reversed_, between="; ")


def cable_words(subject: Subject, cable: Cable | None, needed: bool = True) -> Words:
    """A cable with where it lies."""
    if cable is None:
        return say("not entered") if needed else "–"
    return in_row([subject.cable(cable), *way_words(cable)])


def way_words(cable: Cable) -> Iterator[Text]:
    """Where a cable lies, stretch by stretch, and with how many others."""
    for part in cable.stretches:
        place, count = PLACE[part.place], part.bundle
        where = say("in: {place}", place=place)
        if cable.further:
            where = say("{length} in: {place}", length=given(part.length_m, "m"), place=place)
        yield where
        if count > 1:
            yield say("{count} loaded cables together", count=count)


def back_words(subject: Subject, tap: Tap) -> Words:
    """The return: a cable, or the body."""
    if tap.cable_back is None:
        return say("by the body")
    return cable_words(subject, tap.cable_back)


def relay_words(subject: Subject, tap: Tap) -> Text:
    """The relay's terminals and what goes to each."""
    sense = next(
        (t for t in subject.taps if t.accessory == tap.accessory and t.lead == "sense"), None
    )
    coil: Words = say("a switched source (not chosen yet)")
    if sense is not None:
        coil = subject.source_in_words(sense)
    if sense is not None and sense.switch in CLOSED_BY:
        coil = say("{source} through {switch}", source=coil, switch=switch_words(subject, sense))
    elif sense is None and tap.switch in CLOSED_BY:
        coil = say("{source} through {switch}", source=coil, switch=switch_words(subject, tap))
    return say(
        "30 from {source} by way of the fuse; 87 to the accessory; 86 from {coil}; 85 to earth",
        source=subject.source_in_words(tap),
        coil=coil,
    )


# --- at a glance ----------------------------------------------------------------------------------


def overview(subject: Subject) -> Table:
    """All leads in one table: what goes where."""
    column = subject.column
    columns = (
        column(say("No."), 5.5, "centre"),
        column(say("Accessory"), 23),
        column(say_in("of current", "Source"), 25),
        column(say("Tap and way round"), 29),
        column(say("Accessory fuse"), 17),
        column(say("Draws"), 9, "right"),
    )
    rows = [
        subject.row(
            subject.badge(tap),
            subject.accessory_with_lead(tap),
            from_words(subject, tap, brief=True),
            brief_tap_words(subject, tap),
            subject.fuse(subject.guard(tap)),
            draws(subject, tap),
        )
        for tap in subject.taps
    ]
    rows += [_behind(subject, accessory) for accessory in subject.hanging]
    return Table("accessories", columns, tuple(rows))


def _behind(subject: Subject, accessory: Accessory) -> Row:
    """An accessory that hangs on a converter."""
    number, name = str(subject.numbers[accessory.id]), subject.accessory_name(accessory)
    fuse: Words = "–" if accessory.lead_fuse is None else subject.fuse(accessory.lead_fuse)
    return subject.row(number, name, subject.output(accessory), "–", fuse, "")


def draws(subject: Subject, tap: Tap) -> Figure:
    """The highest current a lead draws."""
    column = subject.assessment.taps.index[tap.id]
    return subject.figure(subject.assessment.taps.current_a[:, column].max(initial=0.0), "A")
