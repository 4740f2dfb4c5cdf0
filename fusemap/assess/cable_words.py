"""Words for the hops of a tap's cable: title, quantity, sum, source."""

from collections.abc import Callable, Iterator, Mapping
from math import isfinite

from fusemap import tables
from fusemap.assess import facts
from fusemap.assess.cables import way_parts
from fusemap.assess.hop_view import View, Words, cable_words, fuse_words
from fusemap.assess.result import Basis, worst
from fusemap.units import digits, percent, quantity


def _cable_inputs(v: View) -> tuple[tuple[str, str], ...]:
    found = []
    for name, cable in (("Out", v.tap.cable_out), ("Back", v.tap.cable_back)):
        found.append((name, "by the body" if cable is None else cable_words(cable)))
    return tuple(found)


def _section(v: View) -> Words:
    return (
        "Cable, mechanical strength",
        "section",
        Basis(
            "thinner cable breaks in a vehicle before it gets warm",
            (*_cable_inputs(v), v.rule("mechanical_floor_mm2")),
            v.assessment.rules["mechanical_floor_mm2"].source,
        ),
    )


def _heat(which: str) -> Callable[[View], Words]:
    def words(v: View) -> Words:
        cable = v.tap.cable_out if which == "out" else v.tap.cable_back
        assert cable is not None  # the hop exists only with a cable
        run = getattr(v.assessment.circuit.cables, which)
        wire = facts.wire(cable.section_mm2, cable.insulation)
        together = f", {cable.bundle} loaded together" if cable.bundle > 1 else ""
        return (
            f"Cable {which}, {cable_words(cable)}{together}",
            "conductor temperature",
            Basis(
                "I²R(T) = (T − T surface)/R insulation = heat given off by convection and radiation"
                "; good to ±20 %",
                (
                    ("Ambient", quantity(float(run.ambient_c[v.column]), "°C")),
                    ("Resistance at 20 °C", f"{wire.r20_mohm_per_m:.3g} mΩ/m"),
                    ("Insulation", cable.insulation.upper()),
                    *_warming(v),
                ),
                f"conductor: {wire.source}; heat: Churchill–Chu, horizontal cylinder in still air",
            ),
        )

    return words


def _warming(v: View) -> Iterator[tuple[str, str]]:
    """The current that warms the cable, and for a load that goes on and off why it is that one."""
    taps, column = v.assessment.circuit.taps, v.column
    peak = float(worst(v.assessment.taps.current_a)[column])
    share, on_s = float(taps.heat_share[column]), float(taps.on_s[column])
    yield "Current that warms it", quantity(peak * share, "A")
    duty, period = v.accessory.duty, v.accessory.duty_period_s
    if v.tap.lead != "power" or duty >= 1.0:
        return
    if share < 1.0:
        turn = f"on for {percent(duty)} of {quantity(period, 's')}"
        yield "Root of the mean square", f"{quantity(peak, 'A')} × √duty, {turn}"
    else:
        yield "Peak", f"{quantity(peak, 'A')} (the cable follows turns of unknown length)"
    if on_s > 0:
        yield "Then one turn on top", f"{quantity(peak, 'A')}, {quantity(on_s, 's')} long"


def _protected_by(v: View) -> tuple[str, str]:
    return "Protected by", "no fuse" if v.rating is None else fuse_words(v.rating)


def _protection(v: View) -> facts.Protection | None:
    if v.rating is None:
        return None
    multiple = v.assessment.rule("overload_multiple")
    return facts.protection(v.rating.family, v.rating.rating, multiple)


def _protection_source(v: View) -> str:
    known = _protection(v)
    return "" if known is None else known.source


def _overload_points(v: View) -> tuple[str, str]:
    """The points of the fuse that were reckoned with: “1.35 × for 600 s, 2 × for 5 s”."""
    known = _protection(v)
    points = () if known is None else known.overloads
    words = (
        f"{times:g} × for {digits(seconds)} s" if isfinite(seconds) else f"{times:g} × for good"
        for times, seconds in points
    )
    published = known is None or known.published
    return "Published points" if published else "Not published, reckoned with", ", ".join(words)


def _overload(v: View) -> Words:
    return (
        "Cable while its fuse lets an overload pass",
        "conductor temperature",
        Basis(
            "a fuse may carry so many times its rating for so long; the conductor's temperature at "
            "the worst of these points",
            (_protected_by(v), _overload_points(v), *_cable_inputs(v)),
            _protection_source(v),
        ),
    )


def _short(v: View) -> Words:
    return (
        "Cable in a hard short",
        "I²t",
        Basis(
            "I²t the fuse lets through ≤ (k × section)², no heat leaving the copper",
            (_protected_by(v), *_cable_inputs(v)),
            f"IEC 60364-4-43; {_protection_source(v)}",
        ),
    )


def _far_end(v: View) -> Words:
    a = v.assessment
    cables = a.circuit.cables
    ohm = float(cables.fault_ohm()[v.column])
    above = float(a.upstream_ohm[v.column])
    return (
        "Short at the far end: does the fuse open?",
        "fault current",
        Basis(
            "voltage of a low battery ÷ (source + feeds + slot + every fuse on the way + cables at "
            "85 °C + return), as a multiple of the fuse's rating",
            (
                ("Voltage", quantity(a.circuit.fault_v, "V")),
                ("Warm cables", quantity(ohm, "Ω")),
                ("Everything else", quantity(above, "Ω")),
                _protected_by(v),
            ),
            a.rules["far_end_multiple"].source,
        ),
    )


PART_WORDS = {
    "joint": "Joint",
    "fuse": "Accessory fuse",
    "out": "Cable out",
    "back": "Cable back",
    "earth": "Earth joint",
    "body": "Return by the body",
}


def _drop(v: View) -> Words:
    row = int(v.assessment.hops["drop"].state[v.column])
    drawn = float(v.assessment.taps.current_a[row, v.column])
    return (
        "Voltage drop, slot to accessory and back",
        "voltage drop",
        Basis(
            "current × (joint + fuse + cable out + return), cables at working temperature",
            (
                *_cable_inputs(v),
                ("Current", quantity(drawn, "A")),
                *_part_drops(v, drawn),
                v.rule("allowed_drop_share"),
            ),
            v.assessment.rules["allowed_drop_share"].source,
        ),
    )


def _part_drops(v: View, drawn_a: float) -> Iterator[tuple[str, str]]:
    """What each part of the way costs: “3 mV (0.6 mΩ)”."""
    a = v.assessment
    asked = worst(a.circuit.taps.asked_a)
    values = {key: rule.value for key, rule in a.rules.items()}
    for part in way_parts(v.tap, a.circuit.cables, v.column, asked, values):
        name = PART_WORDS[part.key]
        if part.key == "joint" and v.tap.joint in tables.joints():
            name = f"{name}, {tables.joints()[v.tap.joint].name}"
        drop, ohm = quantity(part.ohm * drawn_a, "V"), quantity(part.ohm, "Ω")
        unknown = part.key == "fuse" and v.tap.fuse is not None and part.ohm == 0.0
        yield name, "resistance not published" if unknown else f"{drop} ({ohm})"


def _voltage(v: View) -> Words:
    a = v.assessment
    row = int(a.hops["voltage"].state[v.column])
    before, at = float(a.taps.source_v[row, v.column]), a.taps.voltage_v[row, v.column]
    return (
        "Voltage at the accessory",
        "voltage",
        Basis(
            "source voltage less every drop on the way, in the state where it is lowest",
            (
                ("Battery or alternator", quantity(float(a.battery_v[row]), "V")),
                ("Feeds and slot", quantity(float(a.battery_v[row]) - before, "V")),
                ("From there and back", quantity(before - float(at), "V")),
            ),
            "the accessory's own minimum, as entered",
        ),
    )


WORDS: Mapping[str, Callable[[View], Words]] = {
    "section": _section,
    "heat_out": _heat("out"),
    "heat_back": _heat("back"),
    "overload": _overload,
    "short": _short,
    "far_end": _far_end,
    "drop": _drop,
    "voltage": _voltage,
}
"""Title, quantity and basis of each kind of hop."""
