"""Every lead that is connected: its picture, its facts, and what is predicted for it.

In: a subject. Out: one `Job` per tap, and the table that shows all of them at a glance. The figures
are those of the assessment's chains, taps and slots. No Qt.
"""

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from fusemap.assess import Hop
from fusemap.assess.hops import PRINTED
from fusemap.sheet.content import Column, Figure, Job, Predicted, Row, Table, TapPicture
from fusemap.sheet.language import named
from fusemap.sheet.subject import Subject, states_in_words
from fusemap.vehicle import STATES, Accessory, Cable, Slot, State, Tap


def jobs(subject: Subject) -> tuple[Job, ...]:
    """All leads, accessory by accessory."""
    return tuple(job(subject, tap) for tap in subject.taps)


def job(subject: Subject, tap: Tap) -> Job:
    """One lead."""
    name = subject.accessory_name(subject.accessory(tap))
    lead = "" if tap.lead == "power" else f", {subject.say('lead.sense')}"
    return Job(
        badge=subject.badge(tap),
        title=f"{name}{lead}",
        tap_id=tap.id,
        picture=tap_picture(subject, tap),
        facts=tuple((subject.say(f"fact.{key}"), text) for key, text in _facts(subject, tap)),
        predicted=tuple(predictions(subject, tap)),
        limit_word=subject.say("limit"),
    )


# --- the picture ----------------------------------------------------------------------------------


def tap_picture(subject: Subject, tap: Tap) -> TapPicture:
    """What the drawing of a tap shows."""
    slot = subject.slot(tap)
    words = {
        "live": subject.say("picture.live" if slot is None or known(slot) else "picture.unknown"),
        "load": subject.say("picture.load"),
        "circuit": subject.say("picture.circuit"),
        "common": subject.say("picture.common"),
        "take_off": subject.say("picture.take_off"),
        "splice": subject.say("picture.splice"),
        "host": subject.say("picture.host"),
        "host_rating": _rating(subject, slot),
        "accessory_fuse": subject.say("picture.accessory_fuse"),
        "accessory_rating": "" if tap.fuse is None else subject.language.rating(tap.fuse.rating),
        "to": subject.badge(tap),
        "source": subject.source(tap)
        if slot is None
        else subject.say("picture.slot", name=subject.slot_name(slot)),
        "sense": subject.say("lead.sense"),
        "earth": subject.say("picture.earth"),
        "no_fuse": subject.say("no_fuse"),
    }
    return TapPicture(
        kind=tap.kind,
        way_round=tap.way_round,
        live_side="unknown" if slot is None else slot.live_side,
        lead=tap.lead,
        relay=tap.relay,
        fused=tap.fuse is not None,
        words=tuple(words.items()),
    )


def known(slot: Slot) -> bool:
    """Whether the live side of a slot was measured."""
    return slot.live_side != "unknown"


def _rating(subject: Subject, slot: Slot | None) -> str:
    if slot is None or slot.fuse is None:
        return ""
    return subject.language.rating(slot.fuse.rating)


# --- the facts ------------------------------------------------------------------------------------


def _facts(subject: Subject, tap: Tap) -> Iterator[tuple[str, str]]:
    """What there is to know about a lead, as (key, text); what does not exist is left out."""
    yield "from", from_words(subject, tap)
    slot = subject.slot(tap)
    if slot is not None:
        live = states_in_words(subject, live_states(subject, tap))
        yield "feed", f"{subject.say(f'feed.{slot.feed_class}')} ({live})"
        yield "host_fuse", subject.fuse(slot.fuse)
    yield "tap", tap_words(subject, tap)
    yield "accessory_fuse", subject.fuse(tap.fuse)
    yield "cable_out", cable_words(subject, tap.cable_out, tap.lead == "power")
    if tap.lead == "power":
        yield "cable_back", back_words(subject, tap)
        yield "earth", named(tap.earth_point) or subject.say("not_named")
    yield "joint", subject.joint(tap.joint) or subject.say("not_chosen")
    if tap.relay:
        yield "relay", relay_words(subject, tap)
    if tap.justification.strip():
        yield "reason", named(tap.justification)
    if tap.lead == "power":
        yield from _about(subject, subject.accessory(tap))


def _about(subject: Subject, accessory: Accessory) -> Iterator[tuple[str, str]]:
    """What hangs on an accessory, whether it was there before, and its note."""
    on = [a for a in subject.hanging if a.supplied_by == accessory.id]
    if on:
        yield "supplies", ", ".join(subject.numbered(each) for each in on)
    if accessory.found != "no":
        yield "found", subject.say(f"found.{accessory.found}")
    note = named(accessory.note)
    if note:
        yield "note", note


def from_words(subject: Subject, tap: Tap, *, brief: bool = False) -> str:
    """The slot with its panel, or the feed; briefly without the panel where there is only one."""
    slot = subject.slot(tap)
    if slot is None or (brief and len(subject.vehicle.panels) == 1):
        return subject.source(tap)
    return f"{subject.slot_with_circuit(slot)} – {subject.panel_name(subject.panel(slot))}"


def live_states(subject: Subject, tap: Tap) -> tuple[State, ...]:
    """The states in which the tap's lead has supply."""
    live = subject.assessment.taps.live[:, subject.assessment.taps.index[tap.id]]
    return tuple(state for state, on in zip(STATES, live, strict=True) if on)


def tap_words(subject: Subject, tap: Tap) -> str:
    """The kind of tap and the way round, in words."""
    kind = subject.say(f"tap.{tap.kind}")
    slot = subject.slot(tap)
    if slot is None or tap.kind == "splice":
        return kind
    way = subject.say(f"way.{tap.kind}.{tap.way_round}")
    side = subject.say(f"side.{slot.live_side}")
    return subject.say("pair", name=kind, what=f"{way} ({side})")


def brief_tap_words(subject: Subject, tap: Tap) -> str:
    """The kind of tap and where the live side is; loudly where it is reversed."""
    kind = subject.say(f"tap.{tap.kind}")
    slot = subject.slot(tap)
    if slot is None or tap.kind == "splice":
        return kind
    said = f"{kind}; {subject.say(f'side.{slot.live_side}')}"
    return said if tap.way_round == "live_side" else f"{said}; {subject.say('reversed')}"


def cable_words(subject: Subject, cable: Cable | None, needed: bool = True) -> str:
    """A cable with where it lies."""
    if cable is None:
        return subject.say("not_given") if needed else "–"
    lies = subject.say("lies", place=subject.place(cable.place))
    bundle = subject.say("bundle", count=str(cable.bundle)) if cable.bundle > 1 else ""
    return ", ".join(part for part in (subject.language.cable(cable), lies, bundle) if part)


def back_words(subject: Subject, tap: Tap) -> str:
    """The return: a cable, or the body."""
    if tap.cable_back is None:
        return subject.say("by_body")
    return cable_words(subject, tap.cable_back)


def relay_words(subject: Subject, tap: Tap) -> str:
    """The relay's terminals and what goes to each."""
    sense = next(
        (t for t in subject.taps if t.accessory == tap.accessory and t.lead == "sense"), None
    )
    coil = subject.say("relay.coil_open") if sense is None else subject.source_in_words(sense)
    return subject.say("relay.terminals", source=subject.source_in_words(tap), coil=coil)


# --- what is predicted ----------------------------------------------------------------------------


def predictions(subject: Subject, tap: Tap) -> Iterator[Predicted]:
    """The current drawn, the lowest voltage, and the chain's hops beside their limits."""
    a = subject.assessment
    column = a.taps.index[tap.id]
    drawn = a.taps.current_a[:, column]
    row = int(drawn.argmax())
    yield Predicted(
        key="draws",
        name=subject.say("hop.draws"),
        load=subject.amount(drawn[row], "A"),
        state=subject.state(STATES[row]) if drawn[row] > 0 else "",
    )
    hops = a.chains[tap.id].hops
    at_work = lowest_voltage(subject, tap)
    if at_work is not None and not any(hop.key == "voltage" for hop in hops):
        yield Predicted("lowest", subject.say("hop.voltage"), at_work[0], state=at_work[1])
    for hop in hops:
        if hop.key in PRINTED or not hop.passed:
            yield _at_least(subject, tap, _hop(subject, hop))


def _at_least(subject: Subject, tap: Tap, found: Predicted) -> Predicted:
    """What flows at the slot is only the least there is where its own load was not measured."""
    if found.key not in ("live_contact", "host_fuse") or tap.slot is None:
        return found
    slots = subject.assessment.slots
    if slots.own_known[:, slots.index[tap.slot]].all():
        return found
    return replace(found, load=replace(found.load, text=f"≥ {found.load.text}"))


def lowest_voltage(subject: Subject, tap: Tap) -> tuple[Figure, str] | None:
    """The lowest voltage at the accessory while it works, and the state it occurs in."""
    a = subject.assessment
    column = a.taps.index[tap.id]
    works = a.taps.works[:, column] if tap.lead == "power" else a.taps.live[:, column]
    if not works.any():
        return None
    volts = np.where(works, a.taps.voltage_v[:, column], np.inf)
    row = int(volts.argmin())
    return subject.amount(volts[row], "V"), subject.state(STATES[row])


def _hop(subject: Subject, hop: Hop) -> Predicted:
    return Predicted(
        key=hop.id,
        name=_hop_name(subject, hop),
        load=subject.amount(hop.load, hop.unit),
        limit=subject.limit(hop.limit, hop.unit),
        bound=subject.say("at_most" if hop.at_most else "at_least"),
        state=subject.state(hop.state),
        passed=bool(hop.passed),
    )


def _hop_name(subject: Subject, hop: Hop) -> str:
    """What a hop is called; in the words of the chain where the sheet has none of its own."""
    if hop.key == "feed":
        return subject.say("hop.feed", name=subject.feed_name(hop.feed))
    key = f"hop.{hop.key}"
    if subject.language.has(key):
        return subject.say(key)
    return named(subject.language.phrase(hop.title))


# --- at a glance ----------------------------------------------------------------------------------


def overview(subject: Subject) -> Table:
    """All leads in one table: what goes where."""
    say = subject.say
    columns = (
        Column(say("column.number"), 5.5, "centre"),
        Column(say("column.accessory"), 24),
        Column(say("column.source"), 22),
        Column(say("column.tap"), 22),
        Column(say("column.accessory_fuse"), 15),
        Column(say("column.draws"), 9, "right"),
    )
    rows: list[Row] = [
        Row(
            (
                subject.badge(tap),
                subject.accessory_name(subject.accessory(tap))
                + ("" if tap.lead == "power" else f", {say('lead.sense')}"),
                from_words(subject, tap, brief=True),
                brief_tap_words(subject, tap),
                subject.fuse(tap.fuse),
                drawn(subject, tap),
            )
        )
        for tap in subject.taps
    ]
    rows += [Row(_behind(subject, accessory)) for accessory in subject.hanging]
    return Table("accessories", columns, tuple(rows))


def _behind(subject: Subject, accessory: Accessory) -> tuple[str, ...]:
    """An accessory that hangs on a converter."""
    name = subject.accessory_name(accessory)
    return str(subject.numbers[accessory.id]), name, subject.output(accessory), "–", "–", ""


def drawn(subject: Subject, tap: Tap) -> Figure:
    """The highest current a lead draws."""
    column = subject.assessment.taps.index[tap.id]
    return subject.amount(subject.assessment.taps.current_a[:, column].max(initial=0.0), "A")
