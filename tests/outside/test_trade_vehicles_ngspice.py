"""Six whole vehicles of the trade against the circuit simulator ngspice.

Source: ngspice (Debian package `ngspice`), operating point in every vehicle state. The netlist is
made of the document: batteries, the alternator as a voltage, or as a current beside the battery
where the simulator finds more asked of it than it gives, feeds with their cables, contacts, fuses,
every lead out and back with an earth of its own, a charger as a current drawn here and given there,
converters as a power taken for a voltage held, the leads behind them. Resistances are those of the
second reading of the tables (`reckoning`), the cables warm from what their loads ask.

Tolerances: 0.2 mV and 0.02 %; at a converter's input 1 mV and 0.1 %: its leads are as warm there as
what hangs on them would make them at the output's own voltage.
"""

import subprocess
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from fusemap.assess import Assessment, assess
from fusemap.assess.outputs import output_leads
from fusemap.vehicle import STATES, Tap, Vehicle
from tests import trade_vehicles as trade
from tests.outside.references import needs_program
from tests.reckoning import POWERS, _Reckoning, _through_host
from tests.reckoning_parts import fuse_ohm, rated_a, run_ohm

pytestmark = needs_program("ngspice")

LEAST_OHM = 1e-9
CLOSE_V, CLOSE = 2e-4, 2e-4
"""Volts [V], and currents as a share [-], between program and simulator."""
BEFORE_A_CONVERTER_V, BEFORE_A_CONVERTER = 1e-3, 1e-3
"""The same at a converter's input, see the head."""


class Deck:
    """A netlist of one vehicle in one state."""

    def __init__(self, vehicle: Vehicle, state: str, *, at_its_limit: bool = False) -> None:
        self.v, self.state, self.r = vehicle, state, _Reckoning(vehicle)
        self.at_its_limit = at_its_limit
        self.lines = ["* a vehicle"]
        self.wanted: list[str] = []
        self.start: dict[str, float] = {}
        self._count = 0

    def made(self) -> str:
        """The whole netlist."""
        self._batteries()
        for feed in self.v.feeds:
            above = f"n_{feed.parent}" if feed.parent else self._pole(self.r.on_second(feed.id))
            self._ohm(above, f"n_{feed.id}", self.r._feed_ohm(feed), self._volts(feed.id))
            own = getattr(feed.other_load, self.state) or 0.0
            self._current(f"n_{feed.id}", "0", own)
        for slot, _ in self.r.slots.values():
            self._slot(slot)
        for tap in self.v.taps:
            self._tap(tap)
        begin = " ".join(f"v({node})={volts!r}" for node, volts in self.start.items())
        return "\n".join(
            [
                *self.lines,
                f".nodeset {begin}",
                ".options reltol=1e-10 vntol=1e-11 abstol=1e-12 itl1=1000",
                ".control",
                "set numdgt=12",
                "op",
                *(f"print {each}" for each in self.wanted),
                ".endc",
                ".end",
                "",
            ]
        )

    def _pole(self, second: bool) -> str:
        return "n_second" if second else "n_starter"

    def _volts(self, feed: str | None) -> float:
        second = self.r.on_second(feed)
        return self.r._second_own()[0] if second else self.r.emf[self.state]

    def _batteries(self) -> None:
        turns = self.state == "running"
        emf = self.r._emf("ignition") if self.at_its_limit else self.r.emf[self.state]
        self.lines.append(f"Vstarter e_starter 0 {emf!r}")
        # while it holds its voltage nothing that flows costs any of it
        inside = 0.0 if turns and not self.at_its_limit else self.r._inside_ohm()
        self._ohm("e_starter", "n_starter", inside, emf)
        if self.at_its_limit:
            self._current("0", "n_starter", self.r._alternator_a())
        self.wanted += ["v(n_starter)", "i(Vstarter)"]
        if self.v.second_battery is None:
            return
        volts, ohm = self.r._second_own()
        self.lines.append(f"Vsecond e_second 0 {volts!r}")
        self._ohm("e_second", "n_second", ohm, volts)
        taken = self.r.charger_a(self.state)
        self._current("n_starter", "0", taken)
        self._current("0", "n_second", 0.9 * taken)
        self.wanted += ["v(n_second)"]

    def _slot(self, slot) -> None:  # type: ignore[no-untyped-def]
        above = self._pole(False) if slot.feed not in self.r.feeds else f"n_{slot.feed}"
        contact = self.r.rule["contact_resistance_mohm"] / 1000
        volts = self._volts(slot.feed)
        self._ohm(above, f"live_{slot.id}", contact, volts)
        self._ohm(f"live_{slot.id}", f"load_{slot.id}", contact + fuse_ohm(slot.fuse), volts)
        self._current(f"load_{slot.id}", "0", self.r._own_a(slot, self.state))

    def _tap(self, tap: Tap) -> None:
        """Out by joint, fuse and cable to the plus terminal, from the minus terminal back."""
        it, r = self.r.by_id[tap.accessory], self.r
        if not r._live(tap, self.state):
            return
        above = f"n_{tap.feed}" if tap.feed else self._pole(r.tap_on_second(tap))
        if tap.slot is not None:
            above = f"{'load' if _through_host(tap) else 'live'}_{tap.slot}"
        asked = max(r.asked[tap.id].values())
        share, on_s = r._turns(tap)
        warm = [
            0.0 if c is None else run_ohm(c, r._core_c(c, asked, share if on_s else 1.0, on_s))
            for c in (tap.cable_out, tap.cable_back)
        ]
        contact = r.rule["contact_resistance_mohm"] / 1000
        back = r.earth_mohm(tap) / 1000
        back += 0.0 if tap.cable_back is None else contact + warm[1]
        volts = r._second_own()[0] if r.tap_on_second(tap) else r.emf[self.state]
        out = r._fixed_ohm(tap) + warm[0]
        out -= r.earth_mohm(tap) / 1000 + (0.0 if tap.cable_back is None else contact)
        plus, minus, meter = f"p_{tap.id}", f"m_{tap.id}", f"a_{tap.id}"
        self._ohm(above, meter, out, volts)
        self.lines.append(f"V{tap.id} {meter} {plus} 0")
        self.start[plus] = volts
        self._ohm(minus, "0", back, 0.0)
        self.wanted += [f"v({plus})", f"v({minus})", f"i(V{tap.id})"]
        if it.converter is not None and it.id in r.supplied and r._works(tap, self.state):
            self._converter(it, plus, minus)
            return
        current, power = r.asked[tap.id][self.state], r._power_of(tap)
        self._load(plus, minus, current, it.rated_v, power)

    def _converter(self, it, plus: str, minus: str) -> None:  # type: ignore[no-untyped-def]
        """What its output gives it takes from its input, by its efficiency, with its own draw."""
        out, watts = f"out_{it.id}", rated_a(it) * it.rated_v
        self.lines.append(f"V_{it.id} {out} 0 {it.converter.output_v!r}")
        self.start[out] = it.converter.output_v
        volts, share = it.converter.output_v, it.converter.efficiency
        self.lines.append(
            f"B_{it.id} {plus} {minus} I=({watts!r}-i(V_{it.id})*{volts!r}/{share!r})"
            f"/v({plus},{minus})"
        )
        for each in self.r.supplied[it.id]:
            assert each.converter is None  # none of these vehicles has one behind another
            self._behind(each, out, volts)

    def _behind(self, each, out: str, volts: float) -> None:  # type: ignore[no-untyped-def]
        works = self.r._wants(each, self.state)
        amps = rated_a(each) * (volts / each.rated_v) ** POWERS[each.load_kind]
        ohm = [
            0.0 if c is None else run_ohm(c, self.r._core_c(c, amps, 1.0, 0.0))
            for c in (each.lead_cable, each.lead_back)
        ]
        body = self.r.rule["body_return_mohm"] / 1000 if each.lead_back is None else 0.0
        plus, minus = f"p_{each.id}", f"m_{each.id}"
        self._ohm(out, plus, ohm[0] + fuse_ohm(each.lead_fuse), volts)
        self._ohm(minus, "0", ohm[1] + body, 0.0)
        power = POWERS[each.load_kind] if works else 0.0
        self._load(plus, minus, amps if works else each.standby_a, volts, power)
        self.wanted += [f"v({plus})", f"v({minus})"]

    def _ohm(self, one: str, other: str, ohm: float, volts: float) -> None:
        self._count += 1
        self.start[other] = volts
        self.lines.append(f"R{self._count} {one} {other} {max(ohm, LEAST_OHM)!r}")

    def _current(self, one: str, other: str, amps: float) -> None:
        self._count += 1
        self.lines.append(f"I{self._count} {one} {other} {amps!r}")

    def _load(self, plus: str, minus: str, amps: float, at_v: float, power: float) -> None:
        if power == 0.0:
            self._current(plus, minus, amps)
            return
        self._count += 1
        volts = f"v({plus},{minus})"
        self.lines.append(
            f"B{self._count} {plus} {minus} I={amps!r}*pow({volts}/{at_v!r},{power!r})"
        )


def by_ngspice(deck: Deck, at: Path) -> dict[str, float]:
    """What was wanted, by its name."""
    file = at / "vehicle.cir"
    file.write_text(deck.made(), encoding="ascii")
    done = subprocess.run(
        ["ngspice", "-b", str(file)], capture_output=True, text=True, check=False, timeout=60
    )
    found, names = {}, {each.lower(): each for each in deck.wanted}  # it writes all in small
    for line in done.stdout.splitlines():
        name, equals, value = line.partition("=")
        if equals and name.strip() in names:
            found[names[name.strip()]] = float(value)
    assert set(found) == set(deck.wanted), done.stdout + done.stderr
    return found


@pytest.mark.parametrize("state", STATES)
@pytest.mark.parametrize("build", trade.BUILT, ids=lambda b: b.__name__)
def test_a_whole_vehicle_agrees(build: Callable[[], Vehicle], state: str, tmp_path: Path) -> None:
    vehicle = build()
    a, row = assess(vehicle), STATES.index(state)
    found = by_ngspice(Deck(vehicle, state), tmp_path)
    gives = 0.0
    if state == "running" and -found["i(Vstarter)"] > _Reckoning(vehicle)._alternator_a():
        # more than it gives: a source of that current, the battery beside it
        gives = _Reckoning(vehicle)._alternator_a()
        found = by_ngspice(Deck(vehicle, state, at_its_limit=True), tmp_path)
        assert a.currents.from_battery_a == pytest.approx(-found["i(Vstarter)"], rel=CLOSE)
    converts = any(it.converter is not None for it in vehicle.accessories)
    close = BEFORE_A_CONVERTER_V if converts else CLOSE_V
    share = BEFORE_A_CONVERTER if converts else CLOSE
    assert float(a.battery_v[row]) == pytest.approx(found["v(n_starter)"], abs=close)
    taken = gives - found["i(Vstarter)"]
    assert float(a.battery_a[row]) == pytest.approx(taken, rel=share, abs=1e-4)
    if vehicle.second_battery is not None:
        assert float(a.currents.second_v[row]) == pytest.approx(found["v(n_second)"], abs=close)
    seen = 0
    for column, tap in enumerate(vehicle.taps):
        if not a.taps.live[row, column]:
            continue
        volts = found[f"v(p_{tap.id})"] - found[f"v(m_{tap.id})"]
        assert float(a.taps.voltage_v[row, column]) == pytest.approx(volts, abs=close), tap.id
        amps = found[f"i(V{tap.id})"]
        assert float(a.taps.current_a[row, column]) == pytest.approx(amps, rel=share, abs=1e-6)
        seen += 1
    assert seen or state in ("asleep", "awake", "accessory")
    _behind_agrees(a, found)


def _behind_agrees(a: Assessment, found: dict[str, float]) -> None:
    for lead in output_leads(a):
        name = lead.accessory.id
        if f"v(p_{name})" in found:
            volts = found[f"v(p_{name})"] - found[f"v(m_{name})"]
            assert lead.known.voltage_v == pytest.approx(volts, abs=CLOSE_V)


def test_every_tap_of_these_vehicles_is_at_work_in_some_state() -> None:
    for build in trade.BUILT:
        a = assess(build())
        assert bool(np.all(a.taps.live.any(axis=0)))
