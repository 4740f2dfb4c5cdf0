"""Checks at the link between two batteries: its fuses, and whether it suits what it joins.

A battery stands at each end of the link, so either can feed a short of it: a fuse belongs at each
end (ISO 13297:2020, clauses 12.1 and 12.3 taken together; a standard for boats).
"""

from collections.abc import Iterator
from typing import Final

from fusemap.assess import Assessment
from fusemap.assess.battery import CHARGER_A
from fusemap.checks.finding import Finding, battery_finding, between, passed
from fusemap.text import Amount, Text, given, run_on, say
from fusemap.vehicle import SecondBattery, Vehicle

BOLTED: Final = ("strip_30", "strip_51")
BLADE_MOST_A: Final = 20.0
"""Above this a charger wants a bolted fuse [A]: a charger maker's manual for a 20 A type."""


def link(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """What is wrong with the link of a second battery, or not entered of it."""
    second = vehicle.second_battery
    if second is None:
        return
    yield from _fuses(second)
    yield from _chemistries(vehicle, second)
    yield from _charger_fuse(second)


def link_passed(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """Every limit of the link's cable and fuses that is passed."""
    told = {each.sum for each in link(vehicle, a) if each.code == "link_fuse_too_small"}
    for limit in a.beside.link:
        if limit.hop.verdict == "fails" and not (told and limit.code == "link_fuse_overloaded"):
            breach, hop = limit.breach, limit.hop
            yield battery_finding(
                code=limit.code,
                severity=breach.severity,
                what=breach.what,
                sum=run_on(hop.title, passed(hop), between=": "),
                rule=breach.rule,
                source=hop.basis.source,
                remedy=breach.remedy,
                formula=hop.basis.formula,
            )


def link_may_not_hold(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """Every limit of the link's cable and fuses that may be passed."""
    for limit in a.beside.link:
        hop = limit.hop
        if hop.verdict == "may_not_hold":
            yield battery_finding(
                code="link_may_not_hold",
                severity="caution" if limit.dangerous else "note",
                what=say("May not hold: {hop}.", hop=hop.title),
                sum=between(hop),
                rule=hop.basis.formula,
                source=hop.basis.source,
                remedy=say("Enter or measure what is not known; the chain says what that is."),
            )


def _fuses(second: SecondBattery) -> Iterator[Finding]:
    ends = {
        say("at the starter battery"): second.near_fuse,
        say("at the second battery"): second.far_fuse,
    }
    missing = [where for where, fuse in ends.items() if fuse is None]
    if not missing:
        return
    entered = second.link_cable is not None or len(missing) == 1
    where: Text = missing[0] if len(missing) == 1 else say("at either end")
    yield battery_finding(
        code="link_unfused" if entered else "link_not_entered",
        severity="stop" if entered else "caution",
        what=say("The link between the two batteries has no fuse {where}.", where=where)
        if entered
        else say("Nothing is entered of the link between the two batteries."),
        sum=say("{count} of 2 fuses entered", count=2 - len(missing)),
        rule=say("a battery feeds a short from each end: a fuse close to each of them"),
        source=say("ISO 13297:2020, a standard for boats"),
        remedy=say(
            "Enter cable and fuses of the link at the second battery; where there is no fuse, put "
            "one in close to each battery before anything else."
        ),
    )


def _chemistries(vehicle: Vehicle, second: SecondBattery) -> Iterator[Finding]:
    lithium = second.chemistry == "lifepo4"
    if second.link != "relay" or lithium == (vehicle.battery.chemistry == "lifepo4"):
        return
    yield battery_finding(
        code="link_joins_unlike",
        severity="caution",
        what=say("A plain relay joins a lead battery and a lithium one."),
        sum=say(
            "a full LiFePO4 rests at {rest}, a usual relay opens at {opens}",
            rest=Amount(13.2, "V"),
            opens=Amount(12.8, "V"),
        ),
        rule=say(
            "the relay need not open when the engine stops, and no charge is held back in the frost"
        ),
        source=say("rest voltage of LiFePO4; relay makers’ figures; charger makers’ manuals"),
        remedy=say(
            "Link them by a DC-DC charger made for it, or by a relay whose maker says it suits "
            "lithium."
        ),
    )


def _charger_fuse(second: SecondBattery) -> Iterator[Finding]:
    if second.link != "dcdc":
        return
    taken = CHARGER_A if second.charger_a is None else second.charger_a
    for where, fuse in (
        (say("at the starter battery"), second.near_fuse),
        (say("at the second battery"), second.far_fuse),
    ):
        if fuse is None:
            continue
        if fuse.rating < taken:
            yield battery_finding(
                code="link_fuse_too_small",
                severity="caution",
                what=say("The charger’s fuse {where} is smaller than its current.", where=where),
                sum=say(
                    "{fuse} < {current}",
                    fuse=given(fuse.rating, "A"),
                    current=Amount(taken, "A"),
                ),
                rule=say("the next size above what the charger takes"),
                source=say("charger makers’ manuals"),
                remedy=say("Fit the fuse that the charger’s maker names."),
            )
        elif taken > BLADE_MOST_A and fuse.family not in BOLTED:
            yield battery_finding(
                code="link_blade_fuse",
                severity="caution",
                what=say("A plug-in fuse carries the charger’s current {where}.", where=where),
                sum=say(
                    "{current} > {limit}",
                    current=Amount(taken, "A"),
                    limit=Amount(BLADE_MOST_A, "A"),
                ),
                rule=say("a lasting current of this size wants a bolted fuse"),
                source=say("a charger maker’s manual: no blade fuses, no self-resetting breakers"),
                remedy=say("Use a bolted fuse."),
            )
