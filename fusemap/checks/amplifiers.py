"""What an amplifier takes, of what it gives out: the figure on its label is the output's."""

from collections.abc import Iterator

from fusemap.assess import Assessment
from fusemap.assess.gather import rated_current
from fusemap.checks.finding import Finding, accessory_finding
from fusemap.text import Amount, given, say
from fusemap.vehicle import Accessory, Vehicle


def takes_w(output_w: float, share: float) -> float:
    """What an amplifier takes for an output [W], by the share of it that comes out [-].

    Source: common practice: half is lost.

    >>> round(takes_w(200.0, 0.5) / 14, 1)
    28.6
    """
    return output_w / share


def takes_more(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """An amplifier entered with less than its output asks of its supply."""
    share = a.rule("amplifier_share")
    for accessory in vehicle.accessories:
        if accessory.output_w is None:
            continue
        entered = rated_current(accessory) * accessory.rated_v
        needed = takes_w(accessory.output_w, share)
        if accessory.figures_from != "meter" and entered < needed * (1 - 1e-6):
            yield _finding(a, accessory, entered, needed)


def _finding(a: Assessment, accessory: Accessory, entered: float, needed: float) -> Finding:
    return accessory_finding(
        accessory,
        code="amplifier_takes_more",
        severity="caution",
        what=say("This amplifier takes more than is entered: half of it is lost as heat."),
        sum=say(
            "output {output} ÷ {share} = {needed} > {entered}",
            output=given(accessory.output_w or 0.0, "W"),
            share=given(a.rule("amplifier_share")),
            needed=Amount(needed, "W"),
            entered=Amount(entered, "W"),
        ),
        rule=a.rules["amplifier_share"].label,
        source=a.rules["amplifier_share"].source,
        remedy=say("Enter what it takes, from its label or a meter; the return as thick as out."),
    )
