"""Checks of what works for a short time only, and takes more than the alternator gives meanwhile.

The network holds the charging voltage while the engine runs. What the alternator does not give
comes out of the battery, at the battery's own voltage less what it loses inside.
"""

from collections.abc import Iterator

from msgspec import Struct

from fusemap.assess import Assessment
from fusemap.checks.finding import PRACTICE, Finding, amperes, tap_finding
from fusemap.text import Amount, say, share
from fusemap.vehicle import STATES, Accessory, Tap, Vehicle, look_up

RUNNING, IGNITION = STATES.index("running"), STATES.index("ignition")


class Run(Struct, frozen=True):
    """A short run with the engine running.

    What it takes, what the alternator has to spare, what the battery gives beside it [A]; the
    battery's volts then, and those at the device.
    """

    load_a: float
    spare_a: float
    battery_a: float
    battery_v: float
    device_v: float


def run_of(vehicle: Vehicle, a: Assessment, column: int) -> Run | None:
    """A short run; `None` where the alternator gives all of it, or nothing flows."""
    spare = vehicle.parking.spare_a
    if spare is None:
        spare = a.rule("alternator_spare_a")
    load = float(a.taps.current_a[RUNNING, column])
    together = float(a.taps.current_a[RUNNING].sum())
    given = together - spare
    if load <= 0.0 or given <= 0.0:
        return None
    emf = float(a.circuit.emf_v[IGNITION])
    lost = float(a.battery_v[RUNNING] - a.taps.voltage_v[RUNNING, column])
    # the alternator stands at its limit: the battery alone holds the voltage
    volts = min(float(a.battery_v[RUNNING]), emf - given * a.circuit.source_ohm)
    return Run(load, spare, given, volts, volts - lost)


def _runs(vehicle: Vehicle, a: Assessment) -> Iterator[tuple[Tap, Accessory, Run]]:
    for column, tap in enumerate(vehicle.taps):
        accessory = look_up.accessory(vehicle, tap.accessory)
        # a second battery is no part of what the alternator holds up
        on_starter = look_up.battery_of(vehicle, accessory) == "starter"
        if tap.lead != "power" or accessory.short_s is None or not on_starter:
            continue
        run = run_of(vehicle, a, column)
        if run is not None:
            yield tap, accessory, run


def sags(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """Less voltage than a device needs, once the alternator is at its limit."""
    for tap, accessory, run in _runs(vehicle, a):
        needs = accessory.min_voltage_v
        if needs is None:
            needs = a.rule("least_voltage_v") * vehicle.system_v / 12
        if run.device_v >= needs * (1 - 1e-9):
            continue
        yield tap_finding(
            a,
            tap,
            code="sags_while_running",
            severity="caution",
            what=say("In a run the voltage falls below what it needs, the engine running or not."),
            sum=say(
                "{load} − {spare} of the alternator = {battery}; battery {volts}, at the device "
                "{device} < {needs}",
                load=amperes(run.battery_a + run.spare_a),
                spare=amperes(run.spare_a),
                battery=amperes(run.battery_a),
                volts=Amount(run.battery_v, "V"),
                device=Amount(run.device_v, "V"),
                needs=Amount(needs, "V"),
            ),
            rule=say("what the alternator does not give comes from the battery"),
            source=say("Ohm’s law; what the alternator has to spare is entered, or a rule’s"),
            remedy=say("Use a thicker cable or a stronger battery, and pull in short runs."),
        )


def takes_of_the_battery(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """What one run costs the battery, and how long driving takes to put it back."""
    for tap, accessory, run in _runs(vehicle, a):
        seconds = accessory.short_s or 0.0
        taken_ah = run.battery_a * seconds / 3600
        whole = vehicle.battery.capacity_ah
        part = say("of a battery of unknown size")
        if whole is not None:
            strings = whole * vehicle.battery.parallel
            part = say("{share} of the battery", share=share(taken_ah / strings))
        back = taken_ah / run.spare_a * 60 if run.spare_a > 0 else float("inf")
        yield tap_finding(
            a,
            tap,
            code="run_takes_of_battery",
            severity="note",
            what=say("In a run the battery gives what the alternator cannot."),
            sum=say(
                "({load} − {spare}) × {time} = {charge}, {part}; {back} of driving put it back",
                load=amperes(run.battery_a + run.spare_a),
                spare=amperes(run.spare_a),
                time=Amount(seconds, "s"),
                charge=Amount(taken_ah, "Ah"),
                part=part,
                back=Amount(back, "min"),
            ),
            rule=say("what the alternator does not give comes from the battery"),
            source=PRACTICE,
            remedy=say("Let the engine run meanwhile, and for so long after the last run."),
        )
