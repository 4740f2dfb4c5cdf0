"""Words for the hops at slot, tap, relay, fuse and converter: title, quantity, sum, source."""

from collections.abc import Callable, Iterator, Mapping

from fusemap.assess import facts
from fusemap.assess.hop_view import TAP_WORDS, WAY_WORDS, View, Words, fuse_words
from fusemap.assess.result import Basis, worst
from fusemap.units import percent, quantity
from fusemap.vehicle import STATES, look_up


def _live_contact(v: View) -> Words:
    slot = look_up.slot(v.assessment.vehicle, v.tap.slot or "")
    given = slot.contact_limit_a is not None
    return (
        f"Live contact of {look_up.slot_name(slot)}",
        "current",
        Basis(
            "own load + every accessory tapped here",
            _slot_inputs(v),
            "limit as entered for this slot" if given else facts.contact_source(slot.family),
        ),
    )


def _slot_inputs(v: View) -> tuple[tuple[str, str], ...]:
    slots = v.assessment.slots
    column = slots.index[v.tap.slot or ""]
    row = int(slots.live_contact_a[:, column].argmax())
    return (
        ("Own load", quantity(float(slots.own_a[row, column]), "A")),
        ("Accessories", quantity(float(slots.accessory_a[row, column]), "A")),
        ("State", STATES[row]),
    )


def _limit_inputs(v: View, ambient_c: float) -> tuple[tuple[str, str], ...]:
    return (v.rule("continuous_share"), ("Ambient", quantity(ambient_c, "°C")))


def _host_fuse(v: View) -> Words:
    slot = look_up.slot(v.assessment.vehicle, v.tap.slot or "")
    name = look_up.slot_name(slot)
    column = v.assessment.slots.index[slot.id]
    carries = v.assessment.circuit.taps.through_host[v.column] > 0
    fuse = "" if slot.fuse is None else f", {fuse_words(slot.fuse)}"
    return (
        f"Host fuse {name}{fuse}",
        "current",
        Basis(
            "own load + accessories that pass the host fuse; limit = share × rating × rerating at "
            "the ambient, or the maker's table where that is lower",
            (
                *_slot_inputs(v),
                ("This tap passes the host fuse", "yes" if carries else "no"),
                *_limit_inputs(v, float(v.assessment.slots.ambient_c[column])),
            ),
            v.assessment.rules["continuous_share"].source,
        ),
    )


def _tap(v: View) -> Words:
    own = v.tap.ceiling_a is not None
    rule = v.assessment.rules["tap_kit_ceiling_a"]
    way = WAY_WORDS[v.tap.way_round]
    return (
        f"{TAP_WORDS[v.tap.kind]}, {way}",
        "current",
        Basis(
            "the accessory's current against what the tap may carry",
            (("Ceiling", "the tap's own figure" if own else rule.label),),
            "as entered for this tap" if own else rule.source,
        ),
    )


def _accessory_fuse(v: View) -> Words:
    fuse = v.tap.fuse
    assert fuse is not None  # the hop exists only with a fuse
    return (
        f"Accessory fuse, {fuse_words(fuse)}",
        "current",
        Basis(
            "current the accessory draws at the voltage it gets; limit = share × rating × rerating "
            "at the ambient, or the maker's table where that is lower",
            (*_asked_inputs(v), *_fuse_turns(v), v.rule("continuous_share")),
            v.assessment.rules["continuous_share"].source,
        ),
    )


def _fuse_turns(v: View) -> Iterator[tuple[str, str]]:
    """Why the fuse feels another current than the load’s: a long start, or short turns."""
    taps, it = v.assessment.circuit.taps, v.accessory
    peak = float(worst(v.assessment.taps.current_a)[v.column])
    load, _ = v.figure("accessory_fuse")
    if taps.start_multiple[v.column] > 1.0:
        yield (
            "Start, so long that it counts as load",
            f"{it.inrush_multiple:g} × for {quantity(it.inrush_s, 's')}",
        )
    elif load < peak * (1 - 1e-9):
        turn = f"on for {percent(it.duty)} of {quantity(it.duty_period_s, 's')}"
        yield (
            "Turns that the fuse bears, so the mean counts",
            f"{quantity(peak, 'A')} × √duty, {turn}",
        )


def _asked_inputs(v: View) -> tuple[tuple[str, str], ...]:
    accessory = v.accessory
    asked = (
        f"{accessory.watts:g} W ÷ {accessory.rated_v:g} V"
        if accessory.watts is not None
        else f"{accessory.amperes:g} A at {accessory.rated_v:g} V"
    )
    return (
        ("Rated", asked),
        ("Load kind", accessory.load_kind.replace("_", " ")),
        *_behind_inputs(v),
    )


def _behind_inputs(v: View) -> tuple[tuple[str, str], ...]:
    """What hangs behind a converter, and what it costs."""
    behind = v.assessment.circuit.taps.behind.of(v.column)
    return tuple(
        (f"Behind it: {each.accessory.name}", quantity(float(each.taken_w.max()), "W"))
        for each in behind
    )


def _sense(v: View) -> Words:
    relay = look_up.tap_of(v.assessment.vehicle, v.tap.accessory)
    inputs = [("The accessory itself", quantity(v.accessory.sense_a, "A"))]
    if relay is not None and relay.relay:
        own = relay.relay_coil_a is not None
        coil = relay.relay_coil_a if own else v.assessment.rule("relay_coil_ma") / 1000
        words = f"{quantity(coil or 0.0, 'A')} ({'as entered' if own else 'the rule’s'})"
        inputs.append(("Relay coil, 86 to 85", words))
    return (
        "Sense lead and what it drives",
        "current",
        Basis(
            "current of the accessory's sense lead, and of the relay coil that hangs on it",
            (*inputs, v.rule("sense_budget_ma")),
            v.assessment.rules["sense_budget_ma"].source,
        ),
    )


def _contact_inputs(v: View) -> tuple[tuple[str, str], ...]:
    if v.tap.relay_limit_a is not None:
        return (("Contact", "as entered"),)
    on_24v = ("relay_24v_share",) if v.assessment.vehicle.system_v == 24 else ()
    return tuple(v.rule(key) for key in ("relay_contact_a", *on_24v))


def _relay(v: View) -> Words:
    own = v.tap.relay_limit_a is not None
    rule = v.assessment.rules["relay_contact_a"]
    return (
        "Relay contact, 30 to 87",
        "current",
        Basis(
            "the accessory's current against what the relay's contact may carry; on 24 V a relay "
            "that does not say carries a share of it only",
            (*_asked_inputs(v), *_contact_inputs(v)),
            "as entered for this relay" if own else rule.source,
        ),
    )


def _converter(v: View) -> Words:
    converter = v.accessory.converter
    assert converter is not None  # the hop exists only with a converter
    behind = v.assessment.circuit.taps.behind.of(v.column)
    direct = [each for each in behind if each.converter.id == v.tap.accessory]
    drawn = ((each.accessory.name, quantity(float(each.drawn_a.max()), "A")) for each in direct)
    return (
        f"Converter output, {quantity(converter.output_v, 'V')}",
        "current",
        Basis(
            "everything that hangs on the output, summed; its input takes the output's watts ÷ "
            "efficiency, and its own draw",
            (
                *drawn,
                ("Efficiency", percent(converter.efficiency)),
                ("Cable behind the converter", "not reckoned with"),
            ),
            "rating as entered for this converter; sum: energy balance",
        ),
    )


def _inrush(v: View) -> Words:
    accessory = v.accessory
    return (
        "Inrush through the accessory fuse",
        "I²t",
        Basis(
            "(peak current)² × duration against 22 % of the fuse's melting I²t (100 000 starts; "
            "the share is taken over from other fuses by analogy)",
            (
                ("Peak", f"{accessory.inrush_multiple:g} × rated current"),
                ("Duration", quantity(accessory.inrush_s, "s")),
            ),
            "Littelfuse fuse catalogue 2017, pulse table; melting I²t: "
            + facts.melting_source(v.tap.fuse),
        ),
    )


WORDS: Mapping[str, Callable[[View], Words]] = {
    "live_contact": _live_contact,
    "host_fuse": _host_fuse,
    "tap": _tap,
    "sense": _sense,
    "relay": _relay,
    "accessory_fuse": _accessory_fuse,
    "inrush": _inrush,
    "converter": _converter,
}
"""Title, quantity and basis of each kind of hop."""
