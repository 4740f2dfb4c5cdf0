"""Honest must not mean useless: what a usual plan needs on a vehicle of which half was measured.

Of each demo vehicle, and of one with a tree of feeds, half of the slots' own loads are forgotten at
random; then each typical accessory of the library is planned by itself. Counted is what the plan
adds: it holds, or so many readings make it sure, or it does not hold with everything measured
either. Run by hand: python tests/bench/bench_honesty.py [ROUNDS].

One round on 29 November 2026, holds + few (at most three readings) of 15 plans each: family estate
3 + 12, courier van 1 + 14, light truck 6 + 9, little hatchback 14 + 1, small old car 12 + 3, the
made up one 1 + 14; none asks for more, none fails.
"""

import sys
from collections import Counter
from dataclasses import dataclass
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

import numpy as np
from msgspec.structs import replace
from numpy.random import Generator

from fusemap.advise import library
from fusemap.assess import Assessment, assess
from fusemap.assess.doubts import Doubt
from fusemap.assess.sure import Wanted
from fusemap.files.demos import demo_names, read_demo
from fusemap.placement.joint import fit_plan, plan_rest
from fusemap.placement.joint_model import unplaced_leads
from fusemap.vehicle import StateLoads, Vehicle, edits
from tests.vehicles import large
from tests.verdicts import in_use, verdicts

TYPICAL = (
    "dash_camera", "rear_camera", "parking_sensors", "usb_socket", "phone_charger", "navigation",
    "mobile_router", "tracker", "radio", "work_lamp", "led_strip", "cool_box_compressor",
    "seat_heater", "two_way_radio", "water_pump",
)  # fmt: skip
FEW = 3
"""So many readings may be asked for before the vehicle is closed again."""
Key = tuple[str, str, str]


@dataclass(frozen=True)
class Outcome:
    """What one plan adds: `kind` holds, few, many, unchecked, fails; the readings; its doubts."""

    kind: str
    asked: tuple[Wanted, ...]
    doubts: tuple[Doubt, ...]


def forget(vehicle: Vehicle, rng: Generator, share: float = 0.5) -> Vehicle:
    """The vehicle without the own loads of so many of its measured slots."""
    measured = [
        slot.id for p in vehicle.panels for slot in p.slots if slot.own_load != StateLoads()
    ]
    gone = set(rng.permutation(measured)[: round(share * len(measured))].tolist())
    none = StateLoads()
    return replace(
        vehicle,
        panels=tuple(
            replace(
                panel,
                slots=tuple(
                    replace(s, own_load=none, own_most=none) if s.id in gone else s
                    for s in panel.slots
                ),
            )
            for panel in vehicle.panels
        ),
    )


def _key(doubt: Doubt) -> Key:
    return doubt.place, doubt.place_id, doubt.key


def added(before: Assessment, kind: str) -> Outcome | None:
    """What planning an accessory of the library adds; `None` where no plan was found."""
    fields = library.fields(kind)
    if before.vehicle.system_v == 24 and fields["rated_v"] < 20.0:
        fields |= {"rated_v": 27.6, "min_voltage_v": (fields["min_voltage_v"] or 10.5) * 2}
    vehicle = edits.add_accessory(before.vehicle, **fields)
    new_id = vehicle.accessories[-1].id
    a = assess(vehicle)
    leads = tuple(lead for lead in unplaced_leads(a.vehicle) if lead.accessory.id == new_id)
    plan = plan_rest(a, leads)
    if not plan.complete:
        return None
    after = assess(fit_plan(vehicle, plan))
    old = {_key(doubt) for doubt in before.doubts}
    doubts = tuple(doubt for doubt in after.doubts if _key(doubt) not in old)
    asked = tuple(
        w for w in after.measure_next if any(_key(doubt) not in old for doubt in w.settles)
    )
    was, used = verdicts(before), in_use(after) - in_use(before)
    became = Counter(v for hop, v in verdicts(after).items() if hop in used or hop not in was)
    if became["fails"]:
        return Outcome("fails", asked, doubts)
    if doubts:
        return Outcome("few" if 0 < len(asked) <= FEW else "many", asked, doubts)
    return Outcome("unchecked" if became["unchecked"] else "holds", asked, doubts)


def vehicles() -> dict[str, Vehicle]:
    """The demo vehicles, and one of 40 slots on a tree of seven feeds."""
    found = {key: read_demo(key) for key, _ in demo_names()}
    return found | {"made up": large(panels=1, accessories=0)}


def outcomes(vehicle: Vehicle, seed: int, kinds: tuple[str, ...] = TYPICAL) -> list[Outcome]:
    """All accessories, each planned by itself on one half-measured vehicle."""
    a = assess(forget(vehicle, np.random.default_rng(seed)))
    return [found for kind in kinds if (found := added(a, kind)) is not None]


def main() -> None:
    """Print the shares, and what the plans that ask for many are in doubt about."""
    rounds = int(sys.argv[1]) if len(sys.argv) > 1 else 5
    total: Counter[str] = Counter()
    for name, vehicle in vehicles().items():
        found = [each for seed in range(rounds) for each in outcomes(vehicle, seed)]
        kinds = Counter(each.kind for each in found)
        total += kinds
        many = [each for each in found if each.kind == "many"]
        why = Counter((d.place, d.key) for each in many for d in each.doubts)
        asked = Counter((w.place, w.how) for each in many for w in each.asked)
        print(f"{name:14} {len(found):4} plans  {dict(kinds)}")
        for title, counts in (("in doubt", why), ("asked", asked)):
            if counts:
                print(f"{'':16}{title}: {dict(counts.most_common(5))}")
    whole = sum(total.values())
    good = total["holds"] + total["few"]
    print(f"{'all':14} {whole:4} plans  {dict(total)}: {good / whole:.0%} hold or ask for few")


if __name__ == "__main__":
    main()
