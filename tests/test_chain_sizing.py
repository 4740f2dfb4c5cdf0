"""One accessory without a vehicle: what is chosen passes everything it is held against."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fusemap.advise.chain_sizing import Wanted, size_chain
from fusemap.errors import InputProblem
from fusemap.tables import standard_sections
from fusemap.vehicle.words import SystemVoltage


@given(
    amperes=st.floats(0.2, 15.0),
    out_m=st.floats(0.5, 12.0),
    back_m=st.one_of(st.none(), st.floats(0.5, 12.0)),
    bundle=st.integers(1, 6),
    load_kind=st.sampled_from(["constant_power", "constant_current", "resistive", "filament"]),
    place=st.sampled_from(["cabin", "engine_bay", "under_carpet"]),
)
@settings(max_examples=40, deadline=None)
def test_whatever_is_chosen_passes_every_hop(**figures: object) -> None:
    sized = size_chain(Wanted(**figures))
    if sized.chain is None:
        return
    assert all(hop.passed for hop in sized.chain.hops), [
        (hop.key, hop.load, hop.limit) for hop in sized.chain.hops if not hop.passed
    ]


@given(amperes=st.floats(0.5, 10.0), out_m=st.floats(0.5, 8.0), more=st.floats(0.1, 4.0))
@settings(max_examples=30, deadline=None)
def test_a_longer_way_never_wants_a_thinner_cable(
    amperes: float, out_m: float, more: float
) -> None:
    short = size_chain(Wanted(amperes=amperes, out_m=out_m, load_kind="constant_current"))
    long = size_chain(Wanted(amperes=amperes, out_m=out_m + more, load_kind="constant_current"))
    assert short.cable is not None
    assert long.cable is not None
    if long.area_mm2 is not None and short.rating_a == long.rating_a:
        assert short.area_mm2 is not None
        assert short.area_mm2 <= long.area_mm2


def test_90_watts_at_12_volts_is_a_10_amp_fuse() -> None:
    """Common practice, no source: 90 W ÷ 12 V = 7.5 A, a 10 A fuse."""
    sized = size_chain(Wanted(amperes=7.5, load_kind="constant_current", ambient_c=25.0))
    assert sized.rating_a == 10.0


def test_a_heavy_return_by_cable_counts_twice() -> None:
    body = size_chain(Wanted(amperes=10.0, out_m=6.0, load_kind="constant_current"))
    cable = size_chain(Wanted(amperes=10.0, out_m=6.0, back_m=6.0, load_kind="constant_current"))
    assert body.cable is not None
    assert cable.cable is not None
    assert body.cable.area_mm2 < cable.cable.area_mm2


def test_a_load_that_no_fuse_carries_says_so() -> None:
    sized = size_chain(Wanted(watts=5000.0))
    assert sized.fuse.rating_a is None
    assert sized.fuse.reason == "load"
    assert sized.chain is None


def test_figures_that_make_no_sense_are_refused() -> None:
    with pytest.raises(InputProblem, match="watts or amperes"):
        size_chain(Wanted())
    with pytest.raises(InputProblem, match="no length"):
        size_chain(Wanted(amperes=1.0, out_m=0.0))


def test_the_fuses_own_resistance_belongs_to_the_drop_of_every_section() -> None:
    """Littelfuse MINI 297 data sheet: 153 mV at 3 A, so 0.11 V of 0.6 V at 2.1 A."""
    sized = size_chain(Wanted(watts=25.0, rated_v=12.0, out_m=18.0, back_m=18.0, drop_share=0.05))
    assert (sized.rating_a, sized.area_mm2) == (3.0, 3.0)
    assert sized.cable is not None
    assert sized.cable.area_mm2 == 3.0
    assert sized.cable.decided_by == "drop"
    thinner = sized.cable.checks["drop"].at(sized.cable.index - 1)
    assert thinner.found > 0.6


@pytest.mark.parametrize("watts", [25.0, 60.0, 100.0])
def test_the_drop_told_of_a_section_is_that_of_the_chain(watts: float) -> None:
    sized = size_chain(Wanted(watts=watts, rated_v=12.0, out_m=6.0, back_m=6.0))
    assert sized.cable is not None
    assert sized.chain is not None
    index = [section.area_mm2 for section in standard_sections()].index(sized.area_mm2)
    told = sized.cable.checks["drop"].at(index).found
    drop = next(hop.load for hop in sized.chain.hops if hop.key == "drop")
    # behind the cable a constant power draws a little more than in front of it
    assert told == pytest.approx(drop, rel=0.06)


@pytest.mark.parametrize(("system_v", "allowed_v"), [(12, 0.36), (24, 0.72)])
def test_a_section_is_held_against_its_share_of_the_systems_own_voltage(
    system_v: SystemVoltage, allowed_v: float
) -> None:
    """3 % of 12 V and of 24 V."""
    sized = size_chain(Wanted(watts=60.0, system_v=system_v, out_m=3.0, drop_share=0.03))
    assert sized.cable is not None
    assert sized.cable.checks["drop"].limit == pytest.approx(allowed_v)


@pytest.mark.parametrize("back_m", [None, 3.0])
def test_the_joints_of_the_way_back_are_those_of_the_chain(back_m: float | None) -> None:
    """5 mΩ of body, or 1 mΩ where a cable comes back: 10 A tell them apart by 40 mV."""
    sized = size_chain(Wanted(amperes=10.0, load_kind="constant_current", out_m=3.0, back_m=back_m))
    assert sized.cable is not None
    assert sized.chain is not None
    index = [section.area_mm2 for section in standard_sections()].index(sized.area_mm2)
    drop = next(hop.load for hop in sized.chain.hops if hop.key == "drop")
    assert sized.cable.checks["drop"].at(index).found == pytest.approx(drop, abs=0.002)


def test_a_section_above_the_recommended_one_has_the_hop_that_failed_below_it() -> None:
    found = [size_chain(Wanted(watts=w, rated_v=12.0, out_m=9.0)) for w in range(20, 110, 3)]
    raised = [s for s in found if s.cable and s.area_mm2 != s.cable.area_mm2 and s.chain]
    assert raised
    assert all(sized.failed is not None and not sized.failed.passed for sized in raised)
    same = [s for s in found if s.cable and s.area_mm2 == s.cable.area_mm2]
    assert all(sized.failed is None for sized in same)
