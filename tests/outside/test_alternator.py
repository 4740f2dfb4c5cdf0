"""An alternator at its limit, against ngspice and against published outputs.

Sources: ngspice (Debian package `ngspice`), operating point; an engine maker's technical manual
(alternator of 50 A at 13.5 V): 24 A cold and 16 A hot at 1300 turns a minute of its own, 50 A cold
and 41 A hot at 2500, 48 A hot at 5000. ISO 8854 states the rated current at 6000 and the idle
current at 1500 turns, cold.
"""

import subprocess
from pathlib import Path

import pytest

from fusemap.assess import assess
from fusemap.vehicle import STATES, Vehicle, edits
from tests.outside.references import needs_program
from tests.vehicles import one_slot

RUNNING = STATES.index("running")
COLD, HOT = {1300: 24.0, 2500: 50.0}, {1300: 16.0, 2500: 41.0, 5000: 48.0}


def loaded(amperes: float, **parking: float) -> Vehicle:
    """A load on the battery's post by an own feed, with the engine running."""
    vehicle = edits.add_accessory(
        one_slot(), "load", amperes=amperes, load_kind="constant_current", works_in=("running",)
    )
    vehicle = edits.place(vehicle, vehicle.accessories[-1].id, kind="own_feed")
    return edits.change_parking(vehicle, **parking)


def gives(rated: float, idle: float | None = None) -> tuple[float, float]:
    """What it gives hot, on the road and idling [A], all that is spare taken, nothing else on."""
    label = {"alternator_a": rated} | ({} if idle is None else {"alternator_idle_a": idle})
    a = assess(loaded(1000.0, **label))
    alternator = a.circuit.alternator
    assert alternator.hot_a is not None
    assert alternator.idle_a is not None
    return alternator.hot_a, alternator.idle_a


def test_hot_it_gives_what_a_manual_measured() -> None:
    """Of 50 A 41 to 48 A hot on the road: never more is promised, and no less than nine tenths."""
    road, _ = gives(50.0)
    assert 0.9 * HOT[2500] <= road <= HOT[2500]


def test_idling_hot_it_gives_no_more_than_a_manual_measured() -> None:
    """With 24 A on its label at idle, and by the rule where only 50 A is known; measured at 1300
    turns, a little slower than the 1500 of the standard."""
    _, by_rule = gives(50.0)
    assert by_rule <= HOT[1300] * 1500 / 1300
    assert by_rule >= 0.8 * HOT[1300]
    _, by_label = gives(50.0, COLD[1300])
    assert by_label / HOT[1300] == pytest.approx(1.0, abs=0.25)


@needs_program("ngspice")
@pytest.mark.parametrize("amperes", [20.0, 60.0, 150.0, 400.0])
def test_the_post_falls_as_in_the_simulator(amperes: float, tmp_path: Path) -> None:
    """A regulator of 14.2 V that gives 80 A, a battery that nothing flows into."""
    vehicle = loaded(amperes, spare_a=80.0)
    a = assess(vehicle)
    own = float(a.circuit.slots.own_a[RUNNING].sum() + a.circuit.feeds.other_a[RUNNING].sum())
    deck = [
        "* an alternator and a battery",
        # a current, and what is not wanted of it runs off where the regulator's voltage is reached
        f"Ialt 0 post {80.0 + own!r}",
        "Dregulator post held ideal",
        "Vregulator held 0 14.2",
        f"Vbat bat 0 {a.circuit.resting_v!r}",
        f"Rbat bat in {a.circuit.source_ohm!r}",
        # the battery gives and takes nothing
        "Dbattery in post ideal",
        ".model ideal D(IS=1e-14 N=0.001)",
        f"Iload post 0 {float(a.battery_a[RUNNING])!r}",
        ".nodeset v(post)=13 v(in)=12.5",
        ".control", "set numdgt=12", "op", "print v(post)", ".endc", ".end", "",
    ]  # fmt: skip
    file = tmp_path / "bus.cir"
    file.write_text("\n".join(deck), encoding="ascii")
    done = subprocess.run(
        ["ngspice", "-b", str(file)], capture_output=True, text=True, check=False, timeout=60
    )
    line = next(each for each in done.stdout.splitlines() if each.startswith("v(post)"))
    assert float(a.battery_v[RUNNING]) == pytest.approx(float(line.split("=")[1]), abs=5e-3)
