"""What a report says, as plain data with stable keys: lists, dicts, numbers, words.

In: an assessed vehicle. Out: dicts that `cli` prints as JSON and `report_text` as tables. Units
stand in the keys; what does not exist (an infinite limit, a time never reached) is `None`.
The keys are listed in `cli`.
"""

from collections.abc import Iterable
from dataclasses import fields
from math import isfinite
from typing import Any

import numpy as np

from fusemap.assess import Assessment, Hop
from fusemap.checks import SEVERITIES, Finding
from fusemap.leave_alone import unanswered
from fusemap.vehicle import STATES, Slot, look_up

Data = dict[str, Any]
SIGNIFICANT = 6


def plain(value: Any) -> float | None:
    """A number to six digits, or nothing where there is none.

    >>> plain(np.float64(7.123456789)), plain(float("inf"))
    (7.12346, None)
    """
    number = float(value)
    return float(f"{number:.{SIGNIFICANT}g}") if isfinite(number) else None


def report_data(a: Assessment, found: Iterable[Finding]) -> Data:
    """Currents, limits and findings."""
    listed = [_plain_finding(finding) for finding in found]
    return {
        "vehicle": a.vehicle.name,
        "system_v": a.vehicle.system_v,
        "counts": {
            severity: sum(row["severity"] == severity for row in listed) for severity in SEVERITIES
        },
        "slots": [
            _slot(a, panel.name, slot)
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
                "why": why,
            }
            for slot in look_up.slots(a.vehicle)
            for mark, why in unanswered(slot).items()
        ],
        "feeds": [_feed(a, column) for column in range(len(a.feeds.ids))],
        "taps": [_tap(a, column) for column in range(len(a.taps.ids))],
        "findings": listed,
    }


def _carries(a: Assessment, slot: Slot) -> bool:
    column = a.slots.index[slot.id]
    return bool(a.slots.live_contact_a[:, column].max() > 0)


def _slot(a: Assessment, panel: str, slot: Slot) -> Data:
    """A slot's currents in its worst state."""
    figures, column = a.slots, a.slots.index[slot.id]
    row = int(np.argmax(figures.shares[:, column]))
    fuse = slot.fuse
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
        "state": STATES[row],
        "own_a": plain(figures.own_a[row, column]),
        "accessories_a": plain(figures.accessory_a[row, column]),
        "host_fuse_a": plain(figures.host_a[row, column]),
        "host_fuse_limit_a": plain(figures.host_limit_a[column]),
        "live_contact_a": plain(figures.live_contact_a[row, column]),
        "contact_limit_a": plain(figures.contact_limit_a[column]),
        "room_a": plain(figures.room_a[column]),
        "share": plain(figures.worst_share[column]),
    }


def _feed(a: Assessment, column: int) -> Data:
    row = int(np.argmax(a.feeds.current_a[:, column]))
    return {
        "id": a.feeds.ids[column],
        "name": a.vehicle.feeds[column].name,
        "state": STATES[row],
        "current_a": plain(a.feeds.current_a[row, column]),
        "limit_a": plain(a.feeds.limit_a[column]),
        "share": plain(a.feeds.worst_share[column]),
    }


def _tap(a: Assessment, column: int) -> Data:
    tap_id = a.taps.ids[column]
    tap, live = look_up.tap(a.vehicle, tap_id), a.taps.live[:, column]
    chain = a.chains[tap_id]
    return {
        "id": tap_id,
        "title": str(chain.title),
        "accessory": tap.accessory,
        "lead": tap.lead,
        "current_a": plain(a.taps.current_a[:, column].max()),
        "lowest_voltage_v": plain(a.taps.voltage_v[live, column].min(initial=np.inf)),
        "hops": [_hop(hop) for hop in chain.hops],
        "unchecked": [str(text) for text in chain.unchecked],
    }


def _plain_finding(finding: Finding) -> Data:
    """A finding in English."""
    return {field.name: str(getattr(finding, field.name)) for field in fields(finding)}


def _hop(hop: Hop) -> Data:
    return {
        "key": hop.id,
        "title": str(hop.title),
        "quantity": str(hop.quantity),
        "load": plain(hop.load),
        "limit": plain(hop.limit),
        "unit": hop.unit,
        "at_most": hop.at_most,
        "passed": bool(hop.passed),
        "share": plain(hop.share),
        "state": hop.state,
        "basis": hop.basis.text,
    }


def parked_data(a: Assessment) -> Data:
    """How long the vehicle may stand, and who draws."""
    parked, parking = a.parked, a.vehicle.parking
    ahead = parked.forecast
    planned_h = parking.stand_days * 24
    return {
        "vehicle": a.vehicle.name,
        "system_v": a.vehicle.system_v,
        "hours_to_crank_limit": plain(parked.hours),
        "hours_without_accessories": plain(parked.hours_without),
        "hours_to_empty": plain(ahead.hours_to_empty),
        "hours_to_freezing": plain(ahead.hours_to_freezing),
        "horizon_h": plain(ahead.horizon_h),
        "planned_h": plain(planned_h),
        "starts_after_planned": bool(parked.hours >= planned_h),
        "start_soc": plain(parked.start_soc),
        "crank_soc": plain(parked.crank_soc),
        "temperature_c": parking.temperature_c,
        "coldest_c": parking.temperature_c if parking.coldest_c is None else parking.coldest_c,
        "consumers": [
            {
                "name": str(consumer.name),
                "accessory": consumer.accessory,
                "mean_a": plain(consumer.mean_a),
                "charge_ah": plain(consumer.charge_ah),
            }
            for consumer in parked.consumers
        ],
        "cut_offs": [
            {
                "name": result.name,
                "trips": int(result.trips),
                "first_trip_h": plain(result.first_trip_h),
                "chatters": bool(result.chatter),
                "off_at_end": bool(result.off_at_end),
            }
            for result in ahead.cut_offs
        ],
        "assumed": [str(each) for each in parked.assumed],
        "basis": parked.basis.text,
    }
