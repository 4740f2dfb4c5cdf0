"""What fuses carry where nobody said how warm the cabin or the boot gets: as in the sun, at least.

The second reading of the tables (`reckoning_tables`: each family's published rerating) says what
that is; the warmth is the table's, of cars logged in summer (`unanswered`, ambient_cabin_c).
"""

import pytest

from fusemap.assess import Assessment, assess
from fusemap.assess.chain import feed_hop
from fusemap.assess.result import Hop
from fusemap.checks import findings, whole_verdict
from fusemap.placement.candidates import candidates
from fusemap.placement.joint import fit_plan, plan_rest
from fusemap.vehicle import Accessory, Cable, Fuse, StateLoads, Vehicle, edits
from tests import reckoning_tables as tables
from tests.vehicles import loads, one_slot, only_slot

CABIN = tables.unanswered("ambient_cabin_c").hard
SHARE = tables.rule_defaults()["continuous_share"]
WIRE = Cable(section_mm2=6.0, length_m=1.0)


def carries(family: str, rating: float, warm: float) -> float:
    return tables.fuse_limit(family, rating, warm, SHARE)


def between(family: str, rating: float) -> float:
    """A current that such a fuse carries at 25 °C and not in the sun [A]."""
    hot, usual = (carries(family, rating, warm) for warm in (CABIN, 25.0))
    assert hot < usual
    return (hot + usual) / 2


def host() -> Vehicle:
    """The slot's fuse: the own load alone comes near its limit, and a small lead passes it too."""
    vehicle = one_slot(own_a=between("mini", 15.0) - 0.01, live_side="right")
    return _tapped(vehicle, 0.01, way_round="load_side", fuse=Fuse(family="mini", rating=3.0))


def own_fuse() -> Vehicle:
    """The lead's own fuse."""
    fuse = Fuse(family="mini", rating=10.0)
    return _tapped(one_slot(own_a=0.0), between("mini", 10.0), way_round="live_side", fuse=fuse)


def feed() -> Vehicle:
    """The feed's fuse in the cabin."""
    limit = between("maxi", 20.0)
    vehicle = edits.change_feed(
        one_slot(own_a=0.0),
        "feed-1",
        limit_a=None,
        fuse=Fuse(family="maxi", rating=20.0),
        place="cabin",
        other_load=loads(limit - 0.01),
    )
    return _tapped(vehicle, 0.01, way_round="live_side", fuse=Fuse(family="mini", rating=3.0))


def _tapped(vehicle: Vehicle, amperes: float, **tap: object) -> Vehicle:
    """One lead on the slot, and nobody has said how warm its cabin gets."""
    vehicle = edits.change_panel(vehicle, "panel-1", ambient_c=None)
    vehicle = edits.change_battery(vehicle, resistance_mohm=5.0, start_soc=0.9)
    vehicle = edits.add_accessory(
        vehicle, "lamp", amperes=amperes, rated_v=12.0, load_kind="constant_current"
    )
    return edits.place(
        vehicle, "accessory-1", slot=only_slot(vehicle).id, kind="two_fuse", cable_out=WIRE, **tap
    )


def hop_of(a: Assessment, key: str) -> Hop:
    if key == "feed":
        return feed_hop(a, a.vehicle.feeds[0])
    return a.chains.hop("tap-1", key)  # type: ignore[arg-type]


CASES = {"host_fuse": host, "accessory_fuse": own_fuse, "feed": feed}
FUSES = {"host_fuse": ("mini", 15.0), "accessory_fuse": ("mini", 10.0), "feed": ("maxi", 20.0)}


@pytest.mark.parametrize("key", CASES)
def test_a_load_that_only_the_sun_makes_too_much_may_not_hold(key: str) -> None:
    vehicle = CASES[key]()
    a = assess(vehicle)
    hop = hop_of(a, key)
    assert hop.verdict == "may_not_hold"
    assert hop.limit == pytest.approx(carries(*FUSES[key], 25.0), rel=1e-9)
    assert hop.least == pytest.approx(carries(*FUSES[key], CABIN), rel=1e-9)
    assert hop.share <= 1 < hop.most_share
    assert whole_verdict(vehicle, a, findings(vehicle, a)) != "holds"
    codes = {"host_fuse": "host_may_not_hold", "feed": "feed_may_not_hold"}
    told = [f for f in findings(vehicle, a) if f.code == codes.get(key, "tap_may_not_hold")]
    assert len(told) == 1


@pytest.mark.parametrize("key", CASES)
def test_how_warm_it_gets_settles_it_and_is_all_that_is_asked(key: str) -> None:
    vehicle = CASES[key]()
    asked = [w for w in assess(vehicle).measure_next if any(d.key == key for d in w.settles)]
    assert [(each.how, each.state) for each in asked] == [("warmth", None)]
    for warm, verdict in ((25.0, "holds"), (CABIN, "fails")):
        told = assess(edits.set_rule(vehicle, "ambient_cabin_c", warm))
        assert hop_of(told, key).verdict == verdict
        assert not [wanted for wanted in told.measure_next if wanted.how == "warmth"]


@pytest.mark.parametrize("key", CASES)
@pytest.mark.parametrize("warm", [-20.0, 25.0, 45.0, CABIN])
def test_no_answer_up_to_that_lets_a_fuse_carry_less(key: str, warm: float) -> None:
    vehicle = CASES[key]()
    told = assess(edits.set_rule(vehicle, "ambient_cabin_c", warm))
    assert hop_of(told, key).hard >= hop_of(assess(vehicle), key).hard - 1e-12


def test_an_own_load_that_nobody_read_passes_its_fuse_in_the_sun_too() -> None:
    """Beside a lead that does not pass that fuse it is no doubt by itself."""
    vehicle = one_slot(own_load=StateLoads(), live_side="left", contact_limit_a=60.0)
    vehicle = _tapped(vehicle, 1.0, way_round="live_side", fuse=Fuse(family="mini", rating=3.0))
    a = assess(vehicle)
    hop = hop_of(a, "host_fuse")
    assert (hop.verdict, hop.end) == ("holds", pytest.approx(hop.hard))
    assert a.most.slots.own_a.max() == pytest.approx(carries("mini", 15.0, 25.0))


def test_a_reading_is_asked_instead_where_it_does_without_the_warmth() -> None:
    """Own load not read, a lead through the fuse: with the load read there is room in the sun."""
    vehicle = one_slot(own_load=StateLoads(), live_side="right", contact_limit_a=60.0)
    vehicle = _tapped(vehicle, 2.0, way_round="load_side", fuse=Fuse(family="mini", rating=3.0))
    a = assess(vehicle)
    assert hop_of(a, "host_fuse").verdict == "may_not_hold"
    assert "warmth" not in {wanted.how for wanted in a.measure_next}


def test_a_place_is_in_doubt_where_only_the_sun_leaves_it_too_little() -> None:
    vehicle = edits.change_panel(one_slot(own_a=0.0, rating=10.0), "panel-1", ambient_c=None)
    lamp = Accessory(
        id="new",
        name="Lamp",
        amperes=between("mini", 10.0),
        rated_v=12.0,
        load_kind="constant_current",
    )
    found = candidates(vehicle, assess(vehicle), lamp)[0]
    assert found.fits
    assert found.margin_a > 0 > found.least_a
    told = edits.change_panel(vehicle, "panel-1", ambient_c=25.0)
    assert candidates(told, assess(told), lamp)[0].least_a > 0


def test_a_plan_chooses_a_fuse_that_carries_it_in_the_sun() -> None:
    """One of 7.5 A would do at 25 °C only."""
    vehicle = edits.change_panel(one_slot(own_a=0.0), "panel-1", ambient_c=None)
    vehicle = edits.add_accessory(
        vehicle, "lamp", amperes=between("mini", 7.5), rated_v=12.0, load_kind="constant_current"
    )
    for made, rating in (
        (vehicle, 10.0),
        (edits.change_panel(vehicle, "panel-1", ambient_c=25.0), 7.5),
    ):
        planned = fit_plan(made, plan_rest(assess(made)))
        fuse = planned.taps[0].fuse
        assert fuse is not None
        assert fuse.rating == rating
        assert hop_of(assess(planned), "accessory_fuse").verdict == "holds"


def test_where_no_fuse_does_in_the_sun_the_plan_asks_how_warm_it_gets() -> None:
    """The tap is made for fuses up to 10 A."""
    vehicle = edits.change_panel(one_slot(own_a=0.0), "panel-1", ambient_c=None)
    vehicle = edits.add_accessory(
        vehicle, "lamp", amperes=between("mini", 10.0), rated_v=12.0, load_kind="constant_current"
    )
    assert "of the cabin and the boot" in str(plan_rest(assess(vehicle)).measure)


def test_a_panel_that_was_said_speaks_for_its_fuses() -> None:
    vehicle = edits.change_panel(host(), "panel-1", ambient_c=25.0)
    hop = hop_of(assess(vehicle), "host_fuse")
    assert hop.hard == hop.limit
    assert hop.verdict == "holds"
