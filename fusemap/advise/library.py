"""Generic accessories to start from: a kind's usual figures as the fields of an accessory.

In: the table of accessory kinds. Out: fields for `edits.add_accessory`. The figures are usual
ones, to be replaced by those on the accessory's label or measured.
"""

from typing import Any, Final

from fusemap import tables
from fusemap.tables import AccessoryKind
from fusemap.text import Amount, Text, say
from fusemap.vehicle import Accessory, Converter, VoltageCutOff

RATED_12V: Final = 13.8
RATED_24V: Final = 27.6
"""Usual voltage with the engine running, at which watts are stated [V]."""
LEAST_OF_24V: Final = 18.0
"""A lowest voltage above this belongs to an accessory for 24 V [V]."""


def kinds() -> tuple[AccessoryKind, ...]:
    """Every generic accessory; kinds of one group stand together, in the table's order."""
    found = tables.accessory_kinds()
    groups = list(dict.fromkeys(kind.group for kind in found))
    return tuple(sorted(found, key=lambda kind: groups.index(kind.group)))


def kind(key: str) -> AccessoryKind:
    """One generic accessory. Raises `KeyError` when there is none of that key.

    >>> kind("beacon").name
    'flashing beacon'
    """
    return {each.key: each for each in tables.accessory_kinds()}[key]


def find(text: str) -> tuple[AccessoryKind, ...]:
    """The kinds in whose name, group or note all words of `text` begin a word.

    >>> [each.key for each in find("cam park")]
    ['dash_camera_parking']
    """
    wanted = text.casefold().split()
    return tuple(each for each in kinds() if all(_has(each, word) for word in wanted))


def _has(each: AccessoryKind, word: str) -> bool:
    known = f"{each.name} {each.group} {each.note}".casefold().replace("-", " ").split()
    return any(part.startswith(word) for part in known)


def fields(key: str) -> dict[str, Any]:
    """The fields of an accessory of this kind with its usual figures. Raises `KeyError`.

    >>> made = fields("tracker")
    >>> made["name"], made["amperes"], made["standby_a"], made["needs"]
    ('Tracker', 0.036, 0.008, 'permanent')
    """
    it = kind(key)
    usual = {
        "name": it.name[:1].upper() + it.name[1:],
        "kind": it.key,
        "watts": it.typical if it.unit == "W" else None,
        "amperes": it.typical if it.unit == "A" else None,
        "rated_v": RATED_24V if (it.min_voltage_v or 0.0) > LEAST_OF_24V else RATED_12V,
        "load_kind": it.load_kind,
        "needs": it.needs,
        "leads": it.leads,
        "works_in": it.works_in,
        "standby_a": it.standby_a,
        "duty": it.duty,
        "duty_period_s": it.duty_period_s,
        "run_on_min": it.run_on_min,
        "short_s": it.longest_run_s,
        "cut_off": _cut_off(it),
        "min_voltage_v": it.min_voltage_v,
        "inrush_multiple": it.inrush_multiple,
        "inrush_s": it.inrush_s,
        "note": it.note,
    }
    return usual | _converter(it)


def _converter(it: AccessoryKind) -> dict[str, Any]:
    """A converter is added with its own draw alone: what hangs on it is added by itself."""
    known = tables.converters().get(it.key)
    if known is None:
        return {}
    given = Converter(output_v=known.output_v, rating_a=known.rating_a, efficiency=known.efficiency)
    return {"converter": given, "watts": known.own_w, "amperes": None}


def _cut_off(it: AccessoryKind) -> VoltageCutOff | None:
    if it.cut_off_v is None:
        return None
    return VoltageCutOff(off_v=it.cut_off_v, on_v=it.cut_on_v or it.cut_off_v)


def starts_as_usual(accessory: Accessory) -> bool:
    """Whether how an accessory starts is its kind's usual figure, which nobody measured on it.

    >>> starts_as_usual(Accessory(id="a", name="Box", kind="fan", inrush_multiple=9.0))
    False
    """
    known = {each.key: each for each in tables.accessory_kinds()}.get(accessory.kind)
    if known is None or known.inrush_s == 0:
        return False
    usual = (known.inrush_multiple, known.inrush_s)
    return (accessory.inrush_multiple, accessory.inrush_s) == usual


def figures(it: AccessoryKind) -> Text:
    """The usual figures of a kind in a line, with the range they are met in.

    >>> str(figures(kind("tracker"))).replace("\u202f", " ")
    'usually 36 mA (20 to 50 mA), 8 mA at standby'
    >>> str(figures(kind("fan"))).replace("\u202f", " ")
    'usually 15 W (5 to 40 W)'
    """
    if it.key in tables.converters():
        known = tables.converters()[it.key]
        return say(
            "gives {current} at {voltage}",
            current=Amount(known.rating_a, "A"),
            voltage=Amount(known.output_v, "V"),
        )
    scale = 1000.0 if it.unit == "A" and it.high < 0.1 else 1.0
    unit = "mA" if scale > 1 else it.unit
    span = {
        "typical": Amount(it.typical * scale, unit),
        "low": Amount(it.low * scale),
        "high": Amount(it.high * scale, unit),
    }
    if not it.standby_a:
        return say("usually {typical} ({low} to {high})", **span)
    return say(
        "usually {typical} ({low} to {high}), {standby} at standby",
        **span,
        standby=Amount(it.standby_a, "A"),
    )
