"""What `fusemap report` tells, as data: slots, taps and their hops, the standing, what to measure.

In: an assessed vehicle and its findings. Out: the keys that `fusemap.terminal.report` lists, texts
and figures as values; feeds and sockets are `fusemap.terminal.report_parts`'.
"""

from collections.abc import Iterator, Sequence
from typing import Final

import numpy as np

from fusemap import tables
from fusemap.assess import Assessment, Hop
from fusemap.assess.hops.slot import contact_ground, host_ground
from fusemap.assess.parked.band import WORTH_MEASURING
from fusemap.assess.parked.ends import HOURS_A_DAY, verdict_as_planned
from fusemap.assess.parked.inputs import COLDEST
from fusemap.assess.parked.start_spans import START, engine_answered, start_case
from fusemap.assess.sure import How, Wanted
from fusemap.assess.sure_words import order
from fusemap.assess.verdict import decides, verdict_of
from fusemap.checks import SEVERITIES, Finding, whole_verdict
from fusemap.circuits import circuit_of, unanswered
from fusemap.terminal.command import (
    Data,
    plain,
)
from fusemap.terminal.report_parts import feed_data, socket_data, unanswered_data
from fusemap.vehicle import STATES, Slot, look_up


def report_data(a: Assessment, found: Sequence[Finding]) -> Data:
    """Currents, limits, verdicts and findings."""
    listed = [_finding_data(finding) for finding in found]
    return {
        "vehicle": a.vehicle.name,
        "system_v": a.vehicle.system_v,
        "verdict": whole_verdict(a.vehicle, a, found),
        "counts": {
            severity: sum(row["severity"] == severity for row in listed) for severity in SEVERITIES
        },
        "standing": _standing_data(a),
        "measure_next": [*(_wanted_data(a, each) for each in a.measure_next), *_for_standing(a)],
        "slots": [
            _slot_data(a, panel.name, slot)
            for panel in a.vehicle.panels
            for slot in panel.slots
            if slot.kind == "fuse" and _carries(a, slot)
        ],
        "unanswered": [
            {
                "id": slot.id,
                "label": look_up.slot_name(slot),
                "circuit": slot.circuit,
                "mark": mark,
                "why": tables.reasons(why),
            }
            for slot in look_up.slots(a.vehicle)
            for mark, why in unanswered(slot).items()
        ],
        "feeds": [feed_data(a, column) for column in range(len(a.feeds.ids))],
        "sockets": [socket_data(a, socket) for socket in a.vehicle.sockets],
        "taps": [_tap_data(a, column) for column in range(len(a.taps.ids))],
        "findings": listed,
    }


def _wanted_data(a: Assessment, wanted: Wanted) -> Data:
    return {
        "place": wanted.place,
        "place_id": wanted.place_id,
        "how": wanted.how,
        "state": wanted.state,
        "what": order(a.vehicle, wanted),
        "settles": [
            {
                "place": doubt.place,
                "place_id": doubt.place_id,
                "key": doubt.key,
                "states": list(doubt.states),
            }
            for doubt in wanted.settles
        ],
    }


def _standing_data(a: Assessment) -> Data:
    ends = a.as_planned
    return {
        "verdict": verdict_as_planned(a, a.parked, ends),
        "planned_h": plain(a.vehicle.parking.stand_days * HOURS_A_DAY),
        "low_h": plain(ends.low_h),
        "high_h": plain(ends.high_h),
        "unanswered": unanswered_data(a.band),
    }


HOW: Final[dict[str, How]] = {"charge": "volts", "health": "say", "capacity": "say"}
"""How a figure of the battery is found out; what draws wants a clamp."""


def _for_standing(a: Assessment) -> Iterator[Data]:
    """What would settle whether it stands as planned, what matters most first."""
    if verdict_as_planned(a, a.parked, a.as_planned) != "may_not_hold":
        return
    given = {each.key: each for each in a.band.inputs}
    engine = "volts" if engine_answered(start_case(a)) else "say"
    how = {**HOW, COLDEST: "say", START: engine}
    for each in a.band.shares:
        if given[each.name].remedy is None or each.share < WORTH_MEASURING:
            continue
        yield {
            "place": "vehicle",
            "place_id": each.name.strip(": "),
            "how": how.get(each.name, "clamp"),
            "state": None,
            "what": given[each.name].remedy,
            "settles": [{"place": "vehicle", "place_id": "", "key": "standing", "states": []}],
        }


def _carries(a: Assessment, slot: Slot) -> bool:
    """Whether something flows there, or may flow: only what is surely idle is left out."""
    column = a.slots.index[slot.id]
    return bool(a.most.slots.live_contact_a[:, column].max() > 0)


def _slot_data(a: Assessment, panel: str, slot: Slot) -> Data:
    """A slot's currents in the state that may be its worst."""
    figures, most, column = a.slots, a.most.slots, a.slots.index[slot.id]
    row = int(np.argmax(most.shares[:, column]))
    fuse, known = slot.fuse, bool(figures.own_known[row, column])
    host, contact = (
        verdict_of(
            float(getattr(figures, load)[:, column].max()),
            float(getattr(most, load)[:, column].max()),
            float(getattr(figures, limit)[column]),
            least=float(getattr(most, limit)[column]),
        )
        for load, limit in (("host_a", "host_limit_a"), ("live_contact_a", "contact_limit_a"))
    )
    circuit = circuit_of(slot)
    return {
        "id": slot.id,
        "panel": panel,
        "label": look_up.slot_name(slot),
        "circuit": slot.circuit,
        "fuse": None if fuse is None else {"family": fuse.family, "rating_a": fuse.rating},
        "feed_class": slot.feed_class,
        "critical": slot.critical,
        "monitored": slot.monitored,
        "unanswered": list(unanswered(slot)),
        "function": circuit.function,
        "function_answered": circuit.answered,
        "state": STATES[row],
        "own_a": plain(figures.own_a[row, column]) if known else None,
        "own_most_a": plain(most.own_a[row, column]),
        "own_known": known,
        "accessories_a": plain(figures.accessory_a[row, column]),
        "accessories_most_a": plain(most.accessory_a[row, column]),
        "host_fuse_a": plain(figures.host_a[row, column]),
        "host_fuse_most_a": plain(most.host_a[row, column]),
        "host_fuse_limit_a": plain(figures.host_limit_a[column]),
        "host_fuse_least_a": plain(most.host_limit_a[column]),
        "host_fuse_ground": host_ground(slot),
        "live_contact_a": plain(figures.live_contact_a[row, column]),
        "live_contact_most_a": plain(most.live_contact_a[row, column]),
        "contact_limit_a": plain(figures.contact_limit_a[column]),
        "contact_ground": contact_ground(slot),
        "room_a": plain(most.room_a[column]),
        "share": plain(figures.worst_share[column]),
        "most_share": plain(most.worst_share[column]),
        "verdict": decides((host, contact)),
    }


def _tap_data(a: Assessment, column: int) -> Data:
    tap_id = a.taps.ids[column]
    tap, live = look_up.tap(a.vehicle, tap_id), a.taps.live[:, column]
    chain = a.chains[tap_id]
    return {
        "id": tap_id,
        "title": chain.title,
        "accessory": tap.accessory,
        "lead": tap.lead,
        "socket": tap.socket,
        "pin": tap.pin or None,
        "short_s": look_up.accessory(a.vehicle, tap.accessory).short_s,
        "current_a": plain(a.taps.current_a[:, column].max()),
        "most_a": plain(a.most.taps.current_a[:, column].max()),
        "lowest_voltage_v": plain(a.taps.voltage_v[live, column].min(initial=np.inf)),
        "verdict": chain.verdict,
        "hops": [hop_data(hop) for hop in chain.hops],
    }


def _finding_data(finding: Finding) -> Data:
    return {name: getattr(finding, name) for name in finding.__struct_fields__}


def hop_data(hop: Hop) -> Data:
    """A hop of a chain: what it bears, what it may bear, and how both came about."""
    return {
        "key": hop.id,
        "title": hop.title,
        "quantity": hop.quantity,
        "load_known": plain(hop.load),
        "load_most": plain(hop.end),
        "limit": plain(hop.limit),
        "limit_least": plain(hop.hard),
        "limit_ground": hop.ground,
        "unit": hop.unit,
        "at_most": hop.at_most,
        "verdict": hop.verdict,
        "passed": bool(hop.passed),
        "share": plain(hop.share),
        "most_share": plain(hop.most_share),
        "state": hop.state,
        "missing": hop.missing or None,
        "basis": hop.basis,
    }
