"""How each current at a slot came about: the parts named add up to the figure."""

import pytest

from fusemap.assess import assess
from fusemap.assess.slot_basis import FORMULAS, current_basis, limit_basis
from fusemap.text import Argument
from fusemap.vehicle import STATES, Fuse, StateLoads, Vehicle, edits
from tests.plain import plain
from tests.vehicles import one_slot, only_slot, with_accessory


def reversed_and_right() -> Vehicle:
    """2 A own load; 3 A on the live side, 1 A on the load side."""
    v = with_accessory(one_slot(own_a=2.0), 3.0, fuse=Fuse(family="mini", rating=5.0))
    v = edits.add_accessory(v, "Horn", amperes=1.0, rated_v=12.0, load_kind="constant_current")
    return edits.place(v, "accessory-2", slot=only_slot(v).id, way_round="load_side")


def amperes(current: Argument) -> float:
    number, unit = plain(current).split(",")[0].split(" ")
    return float(number) / (1000 if unit == "mA" else 1)


@pytest.mark.parametrize("figure", list(FORMULAS)[1:])
def test_the_parts_that_pass_add_up_to_the_figure(figure: str) -> None:
    a = assess(reversed_and_right())
    slot = a.slots.ids[0]
    basis = current_basis(a, slot, figure, "running")
    *parts, (name, total) = basis.inputs
    assert name == "Sum"
    passing = sum(amperes(words) for _, words in parts if "does not pass" not in plain(words))
    assert passing == pytest.approx(amperes(total))
    row = STATES.index("running")
    assert amperes(total) == pytest.approx(float(getattr(a.slots, figure)[row, 0]))


def test_what_does_not_pass_is_named_and_said_not_to() -> None:
    a = assess(reversed_and_right())
    parts = dict(current_basis(a, a.slots.ids[0], "host_a", "running").inputs)
    assert plain(parts["Lamp"]).endswith("does not pass here")
    assert plain(parts["Horn"]) == "1 A"


def test_an_own_load_says_whether_it_was_measured() -> None:
    v = edits.change_slot(
        one_slot(feed_class="ignition"), "slot-1", own_load=StateLoads(running=2.0)
    )
    a = assess(v)

    def said(state: str) -> str:
        return plain(current_basis(a, "slot-1", "own_a", state).inputs[0][1])

    assert said("running") == "2 A"
    assert "not measured" in said("ignition")
    assert "dead then" in said("asleep")


def test_a_host_fuses_limit_names_share_and_ambient() -> None:
    a = assess(one_slot(rating=15.0))
    basis = limit_basis(a, "slot-1", "host_a")
    assert basis is not None
    told = dict(basis.inputs)
    assert plain(told["Host fuse"]) == "15 A mini"
    assert amperes(told["Limit"]) == pytest.approx(float(a.slots.host_limit_a[0]), rel=0.01)
    assert basis.source == a.rules["continuous_share"].source


def test_a_contacts_limit_says_whether_it_is_entered_published_or_reckoned() -> None:
    entered = limit_basis(assess(one_slot(contact_limit_a=12.0)), "slot-1", "live_contact_a")
    assert entered is not None
    assert entered.source == "as entered for this slot"
    reckoned = limit_basis(assess(one_slot()), "slot-1", "load_contact_a")
    assert reckoned is not None
    assert "holder share" in reckoned.formula


def test_what_has_no_limit_has_no_basis_for_one() -> None:
    a = assess(edits.change_slot(one_slot(), "slot-1", fuse=None))
    assert limit_basis(a, "slot-1", "own_a") is None
    assert limit_basis(a, "slot-1", "host_a") is None
