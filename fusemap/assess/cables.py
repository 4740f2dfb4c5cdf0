"""Every tap's cables and the fuse that protects them, as arrays [(taps,)].

A tap without a cable has NaN in these arrays: nothing is sized that was not given.
"""

from functools import cached_property, lru_cache
from typing import Literal

import numpy as np
from msgspec import Struct
from msgspec.structs import replace

from fusemap import tables
from fusemap.assess.gather import TapArrays
from fusemap.assess.result import Floats
from fusemap.assess.runs import Runs, runs, stacked, thinner
from fusemap.assess.sources import fuse_mohm
from fusemap.vehicle import Fuse, Tap


class CableArrays(Struct, frozen=True, eq=False, dict=True):
    """Every tap's way from its source to the accessory and back [(taps,)].

    `fixed_ohm` [Ω]: joint, accessory fuse, and the body with its earth joint where the current
    goes back by it. `rating_a` [A]: the fuse that protects the cable (the accessory's, else the
    host where it carries the accessory), NaN where there is none; `protecting` is that fuse.
    `mean_share` [-] and `on_s` [s] say how a load that stays on for a known while warms the cables,
    see `Runs.warm_c`.
    """

    out: Runs
    back: Runs
    fixed_ohm: Floats
    protecting: tuple[Fuse | None, ...]
    rating_a: Floats
    mean_share: Floats
    on_s: Floats

    def hot_ohm(self, current_a: Floats) -> Floats:
        """Resistance [Ω] of the whole way while it carries its load [A]."""
        return np.asarray(self.fixed_ohm + self.conductor_ohm(current_a).sum(axis=0))

    def conductor_ohm(self, current_a: Floats) -> Floats:
        """Resistance [Ω, (ways, taps)] of the conductors out and back, warm from a load [A]."""
        both = stacked(self.out, self.back)
        load = [np.tile(each, 2) for each in (current_a, self.mean_share, self.on_s)]
        rows = np.stack([*(getattr(both, field) for field in Runs.__struct_fields__), *load])
        return both.ohm(_warm_c(rows.tobytes(), len(rows))).reshape(2, -1)

    @cached_property
    def thinner(self) -> Runs:
        """Of each tap's two conductors the thinner one, which the fuse has to protect."""
        return thinner(self.out, self.back)

    @cached_property
    def fault_ohm(self) -> Floats:
        """Resistance [Ω] of the cables alone during a short at the accessory."""
        return self.out.fault_ohm() + self.back.fault_ohm()


@lru_cache(maxsize=8)
def _warm_c(rows: bytes, count: int) -> Floats:
    """How warm conductors get [°C], by their sizes and loads: most edits leave all of these alone.

    rows: the fields of `Runs` and what `Runs.warm_c` is given, one after the other; their count.
    """
    *fields, current_a, mean_share, on_s = np.frombuffer(rows).reshape(count, -1)
    warm = Runs(*fields).warm_c(current_a, mean_share, on_s)
    warm.setflags(write=False)
    return warm


class WayPart(Struct, frozen=True):
    """One part of the way from source to accessory and back: its name and resistance [Ω], warm."""

    key: Literal["joint", "fuse", "out", "back", "earth", "body"]
    ohm: float


def way_parts(
    tap: Tap, warm_ohm: Floats, rules: dict[str, float], earth_mohm: float
) -> tuple[WayPart, ...]:
    """The parts of a tap's way in the order of the current.

    warm_ohm: of its cables out and back while they carry their load [Ω, (ways,)]; earth_mohm: what
    its earth point has to the battery's minus post [mΩ].
    """
    contact, body = rules["contact_resistance_mohm"] / 1000, earth_mohm / 1000
    found = [
        WayPart("joint", joint_mohm(tap.joint, rules) / 1000),
        WayPart("fuse", fuse_mohm(tap.fuse) / 1000),
        WayPart("out", float(warm_ohm[0])),
    ]
    if tap.cable_back is None:
        return (*found, WayPart("body", body))
    found += [WayPart("back", float(warm_ohm[1])), WayPart("earth", contact)]
    return (*found, WayPart("body", body)) if body > 0 else tuple(found)


def joint_mohm(joint: str, rules: dict[str, float]) -> float:
    """Resistance of a joint [mΩ]: the table's for its kind, else the rule's for any contact."""
    known = tables.joints().get(joint)
    if known is None or known.typical_mohm is None:
        return rules["contact_resistance_mohm"]
    return known.typical_mohm


def protecting_fuse(tap: Tap, host: Fuse | None, host_carries: bool) -> Fuse | None:
    """The fuse nearest above a tap's cable: its own, else the host where the host carries it."""
    return tap.fuse if tap.fuse is not None else host if host_carries else None


def cable_arrays(taps: TapArrays, hosts: list[Fuse | None], rules: dict[str, float]) -> CableArrays:
    """The arrays of all taps' cables; `hosts` is the host fuse of each tap that sits on a slot."""
    protecting = tuple(
        protecting_fuse(tap, host, carries > 0)
        for tap, host, carries in zip(taps.taps, hosts, taps.through_host, strict=True)
    )
    return CableArrays(
        out=runs([tap.cable_out for tap in taps.taps], rules),
        back=runs([tap.cable_back for tap in taps.taps], rules),
        fixed_ohm=fixed_ohm(taps, rules),
        protecting=protecting,
        rating_a=np.array([np.nan if f is None else f.rating for f in protecting], dtype=float),
        # of fast turns the drop is reckoned with the peak for good: a cable that is no warmer
        mean_share=np.where(taps.on_s > 0, taps.heat_share, 1.0),
        on_s=taps.on_s,
    )


def in_warmth(cables: CableArrays, taps: TapArrays, rules: dict[str, float]) -> CableArrays:
    """The same cables where their places are as warm as these rules say."""
    return replace(
        cables,
        out=runs([tap.cable_out for tap in taps.taps], rules),
        back=runs([tap.cable_back for tap in taps.taps], rules),
    )


def fixed_ohm(taps: TapArrays, rules: dict[str, float], *, most: bool = False) -> Floats:
    """Joints and accessory fuse of every tap [Ω, (taps,)]; see `fuse_mohm` for `most`."""
    contact = rules["contact_resistance_mohm"]
    mohm = [
        joint_mohm(tap.joint, rules)
        + fuse_mohm(tap.fuse, most=most)
        + body
        + (0.0 if tap.cable_back is None else contact)
        for tap, body in zip(taps.taps, taps.earth_mohm.tolist(), strict=True)
    ]
    return np.array(mohm, dtype=float) / 1000
