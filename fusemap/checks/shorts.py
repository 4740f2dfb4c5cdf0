"""Checks of what takes more than the alternator gives while the engine runs.

What the alternator does not give comes out of the battery, and the network has the voltage that is
left then (`assess.currents`). A short run takes a little of the battery; what works for as long as
somebody likes empties it on the road.
"""

from collections.abc import Iterator

from msgspec import Struct

from fusemap.assess import Assessment
from fusemap.assess.battery import battery_model, capacity_ah
from fusemap.assess.currents import vehicle_own_a
from fusemap.assess.sources import STARTER
from fusemap.checks.finding import PRACTICE, Finding, amperes, battery_finding, tap_finding
from fusemap.text import Amount, Text, say, share
from fusemap.vehicle import STATES, Accessory, Tap, Vehicle, look_up

RUNNING = STATES.index("running")


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


def run_of(a: Assessment, column: int) -> Run | None:
    """A short run; `None` where the alternator gives all of it, or nothing flows."""
    load, known = float(a.taps.current_a[RUNNING, column]), a.currents
    if load <= 0.0 or known.from_battery_a <= 0.0:
        return None
    return Run(
        load,
        _accessories_a(a) - known.from_battery_a,
        known.from_battery_a,
        float(a.battery_v[RUNNING]),
        float(a.taps.voltage_v[RUNNING, column]),
    )


def _accessories_a(a: Assessment) -> float:
    """What all accessories take with the engine running that hangs on the alternator [A]."""
    first = a.circuit.tap_roots == STARTER
    return float(a.taps.current_a[RUNNING, first].sum()) + a.circuit.link_a


def _runs(vehicle: Vehicle, a: Assessment) -> Iterator[tuple[Tap, Accessory, Run]]:
    for column, tap in enumerate(vehicle.taps):
        accessory = look_up.accessory(vehicle, tap.accessory)
        # a second battery is no part of what the alternator holds up
        on_starter = look_up.battery_of(vehicle, accessory) == "starter"
        if tap.lead != "power" or accessory.short_s is None or not on_starter:
            continue
        run = run_of(a, column)
        if run is not None:
            yield tap, accessory, run


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


def drains_on_the_road(vehicle: Vehicle, a: Assessment) -> Iterator[Finding]:
    """More at work for as long as somebody likes than the alternator has to spare.

    Short runs are no part of it; of what goes on and off the mean counts. On the road it is a
    caution; where only an idling engine leaves too little, or nobody entered what the alternator
    gives, a note.
    """
    lasting = _lasting_a(vehicle, a)
    if lasting <= 0.0:
        return
    own = vehicle_own_a(a.circuit)
    spare = a.circuit.alternator.spare_a(own)
    idle = a.circuit.alternator.least_spare_a(own, own)
    alternator = a.circuit.alternator
    if lasting > spare * (1 + 1e-9):
        if alternator.entered_a is None and alternator.hot_a is None:
            may = say("More may be at work on the road than the alternator has to spare.")
            yield _drains(a, (lasting, spare), may, code="may_drain_on_the_road")
        else:
            does = say("More is at work on the road than the alternator has to spare.")
            yield _drains(a, (lasting, spare), does, code="drains_on_the_road")
    elif alternator.idle_said and lasting > idle * (1 + 1e-9):
        idling = say("More is at work than the alternator has to spare while the engine idles.")
        yield _drains(a, (lasting, max(idle, 0.0)), idling, code="drains_at_idle")


def _lasting_a(vehicle: Vehicle, a: Assessment) -> float:
    """What takes of the alternator with the engine running and is no short run [A]."""
    roots = a.circuit.tap_roots
    total = a.circuit.link_a
    for column, tap in enumerate(vehicle.taps):
        accessory = look_up.accessory(vehicle, tap.accessory)
        if accessory.short_s is None and roots[column] == STARTER:
            mean = accessory.duty if accessory.duty_period_s > 0.0 else 1.0
            total += mean * float(a.taps.current_a[RUNNING, column])
    return total


def _drains(a: Assessment, flows: tuple[float, float], what: Text, *, code: str) -> Finding:
    lasting, spare = flows
    missing = lasting - spare
    model = battery_model(a.vehicle.battery, a.vehicle.system_v)
    room = max(0.0, model.start_soc - a.rule("deep_discharge_soc")) * capacity_ah(model)
    return battery_finding(
        code=code,
        severity="caution" if code == "drains_on_the_road" else "note",
        what=what,
        sum=say(
            "{load} − {spare} of the alternator = {battery} out of the battery: deeply discharged "
            "after {time}",
            load=amperes(lasting),
            spare=amperes(spare),
            battery=amperes(missing),
            time=Amount(room / missing, "h"),
        ),
        rule=say("what the alternator does not give comes from the battery"),
        source=say("what the alternator has to spare is entered, from its label, or a rule’s"),
        remedy=say(
            "Let less work at the same time, or fit a stronger alternator; enter the currents on "
            "its label, or what it has to spare."
        ),
    )
