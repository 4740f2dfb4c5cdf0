"""A feed, and a socket of the vehicle, as data for `fusemap report`."""

from fusemap import tables
from fusemap.assess import Assessment
from fusemap.assess.chain import feed_hop
from fusemap.assess.parked.band import ParkedBand
from fusemap.terminal.command import Data, plain
from fusemap.text import Text
from fusemap.vehicle import Socket


def feed_data(a: Assessment, column: int) -> Data:
    hop, cut_off = feed_hop(a, a.vehicle.feeds[column]), a.vehicle.feeds[column].cut_off
    return {
        "id": a.feeds.ids[column],
        "name": a.vehicle.feeds[column].name,
        "state": hop.state,
        "current_a": plain(hop.load),
        "most_a": plain(hop.end),
        "limit_a": plain(hop.limit),
        "limit_least_a": plain(hop.hard),
        "limit_ground": hop.ground,
        "share": plain(hop.share),
        "most_share": plain(hop.most_share),
        "verdict": hop.verdict,
        "cut_off_v": cut_off.off_v if cut_off else None,
    }


def socket_data(a: Assessment, socket: Socket) -> Data:
    """A socket with what is in it, a tow socket's pin by pin."""
    leads = [tap for tap in a.vehicle.taps if tap.socket == socket.id]
    known = {pin.number: pin for pin in socket.pins}
    found: Data = {
        "id": socket.id,
        "name": socket.name,
        "kind": socket.kind,
        "slot": socket.slot,
        "limit_a": socket.limit_a,
        "module": socket.module,
    }
    pins = tables.socket_pins(socket.kind)
    if not pins:
        return found | {"taps": [tap.id for tap in leads]}
    rows = [
        {
            "number": pin.number,
            "function": Text(pin.function),
            "watts": known[pin.number].watts if pin.number in known else None,
            "taps": [tap.id for tap in leads if tap.pin == pin.number],
        }
        for pin in pins.values()
    ]
    return found | {"pins": rows}


def unanswered_data(band: ParkedBand) -> list[Data]:
    """What nobody answered, and what each answer would gain."""
    by_key = {each.key: each for each in band.inputs}
    return [
        {
            "key": gain.key,
            "what": by_key[gain.key].what,
            "answer": by_key[gain.key].remedy,
            "low_h": plain(gain.low_h),
        }
        for gain in band.gains
    ]
