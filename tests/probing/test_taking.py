"""A reading of the check that differs goes into the plan by one edit, and the sums follow."""

import pytest
from msgspec.structs import replace

from fusemap.advise import library
from fusemap.assess import assess
from fusemap.assess.parked import spans
from fusemap.assess.parked.figures import Span
from fusemap.probing import final_check, signing, taking
from fusemap.probing.check_step import CheckStep
from fusemap.text import Style
from fusemap.vehicle import SignOff, Vehicle, VoltageCutOff, edits, reading_edits
from tests.probing.test_final_check import fitted, steps  # noqa: F401
from tests.probing.vehicles import WHEN, whole


def after_reading(vehicle: Vehicle, key: str, value: float) -> tuple[Vehicle, CheckStep]:
    read = reading_edits.add_reading(
        vehicle, **(final_check.fields(steps(vehicle)[key]) | {"when": WHEN, "value": value})
    )
    return read, steps(read)[key]


def taken(vehicle: Vehicle, key: str, value: float) -> Vehicle:
    read, step = after_reading(vehicle, key, value)
    found = taking.taking(read, assess(read), step)
    assert found is not None
    return found.edit(read)


def test_the_current_measured_becomes_the_accessorys_and_agrees(fitted):  # noqa: F811
    after = taken(fitted, "current", 9.0)
    assert steps(after)["current"].verdict == "agrees"
    assert steps(after)["current"].expected.typical == pytest.approx(9.0, rel=0.03)
    assert after.accessories[0].figures_from == "meter"
    # the drop on the earth side is current times resistance: it grows with the current
    grown = steps(after)["earth"].expected.typical / steps(fitted)["earth"].expected.typical
    assert grown == pytest.approx(9.0 / 5.0, rel=0.05)


class TestWhatWasNotMeasuredStaysAsItWas:
    """The library's camera: 4 W at work, 2 to 250 mA at rest."""

    @pytest.fixture
    def camera(self, fitted):  # noqa: F811
        usual = library.fields("dash_camera_parking") | {"works_in": ("ignition", "running")}
        usual.pop("leads")
        return edits.change_accessory(fitted, "accessory-1", **(usual | {"cut_off": None}))

    @pytest.mark.parametrize("before", ["unsaid", "library"])
    def test_the_current_at_work_tells_nothing_of_the_one_at_rest(self, camera, before):
        camera = edits.change_accessory(camera, "accessory-1", figures_from=before)
        after = taken(camera, "current", 0.9)
        was, now = (spans.at_rest(each.accessories[0]).factors for each in (camera, after))
        assert now == was
        assert now[2] > 5
        low, high = spans.at_work(after.accessories[0]).factors[::2]
        assert high - low < 0.2  # this was measured
        # at rest it takes 32 mA at 12.6 V now, which at 12 V is a tenth less than at 13.8 V
        assert assess(after).band.low_h < 1.15 * assess(camera).band.low_h

    def test_nor_the_one_at_rest_of_the_one_at_work(self, camera):
        kind = camera.accessories[0]
        changed = replace(kind, standby_a=0.1, rest_from="meter")
        assert spans.at_work(changed).factors == spans.at_work(kind).factors
        low, high = spans.at_rest(changed).factors[::2]
        assert high - low < 0.2


def test_the_wrong_way_round_is_turned_in_the_plan(fitted):  # noqa: F811
    after = taken(fitted, "stays_on", 0.0)
    assert after.taps[0].way_round == "load_side"
    assert steps(after)["stays_on"].verdict == "agrees"


def test_the_rest_current_is_the_vehicles_own_without_the_accessories(fitted):  # noqa: F811
    before = reading_edits.add_reading(fitted, when=WHEN, **whole(0.020))
    after = taken(before, "rest", 0.300)
    assert after.parking.rest_current_a == pytest.approx(0.300 - 0.030)
    assert steps(after)["rest"].verdict == "agrees"
    assert assess(after).parked.hours < assess(before).parked.hours


@pytest.mark.parametrize(
    ("key", "value"), [("earth", 400.0), ("host_drop", 900.0), ("grips", 0.0), ("lamps", 0.0)]
)
def test_what_is_mended_at_the_vehicle_is_never_taken_into_the_plan(fitted, key, value):  # noqa: F811
    read, step = after_reading(fitted, key, value)
    assert step.verdict == "differs"
    assert step.causes
    assert taking.taking(read, assess(read), step) is None


def test_what_agrees_leaves_the_plan_alone(fitted):  # noqa: F811
    read, step = after_reading(fitted, "current", 5.0)
    assert taking.taking(read, assess(read), step) is None


def test_what_stands_in_the_plan_already_is_not_taken_again(fitted):  # noqa: F811
    """A rest current below what the accessories alone should take: the vehicle's own is 0 A."""
    before = reading_edits.add_reading(fitted, when=WHEN, **whole(0.020))
    read, step = after_reading(before, "rest", 0.001)
    found = taking.taking(read, assess(read), step)
    assert found is not None
    after = found.edit(read)
    again = steps(after)["rest"]
    assert again.verdict == "differs"
    assert taking.taking(after, assess(after), again) is None


def test_what_would_come_of_it_is_told_before(fitted):  # noqa: F811
    read, step = after_reading(fitted, "current", 6.5)
    found = taking.taking(read, assess(read), step)
    words = str(taking.afterwards(read, found, step))
    # 7.5 A carry three quarters of that for good (common practice, no source): 6.5 / 5.6 A
    assert "115" in words
    band = assess(found.edit(read)).band
    assert band.low_h < band.high_h
    assert f"stands {Span(band.low_h, band.high_h).shown(Style())}." in words


class TestSignature:
    def test_it_stands_for_the_plan_it_was_put_under(self, fitted):  # noqa: F811
        signed = SignOff(when=WHEN, by="Kim", stands_for=signing.plan_mark(fitted))
        assert signing.meaning(fitted, signed) == "the plan is as it was signed"
        turned = edits.change_tap(fitted, "tap-1", way_round="load_side")
        assert "was changed after it" in signing.meaning(turned, signed)
        assert signing.meaning(
            edits.change_tap(turned, "tap-1", way_round="live_side"), signed
        ) == ("the plan is as it was signed")

    def test_a_later_reading_is_counted_and_one_before_is_not(self, fitted):  # noqa: F811
        signed = SignOff(when=WHEN, by="Kim", stands_for=signing.plan_mark(fitted))
        fields = final_check.fields(steps(fitted)["warm"]) | {"value": 0.0}
        before = reading_edits.add_reading(fitted, when="2025-05-01T10:00:00", **fields)
        assert signing.meaning(before, signed) == "the plan is as it was signed"
        after = reading_edits.add_reading(before, when="2025-06-01T10:00:00", **fields)
        assert "1 check reading was taken after it" in signing.meaning(after, signed)

    def test_one_of_which_it_was_not_kept_says_so(self, fitted):  # noqa: F811
        assert "was not kept" in signing.meaning(fitted, SignOff(when=WHEN, by="Kim"))

    def test_a_label_or_a_note_is_no_change_of_the_plan(self, fitted):  # noqa: F811
        slot = fitted.panels[0].slots[0]
        named = edits.change_slot(fitted, slot.id, label="X9", note="under the wheel")
        assert signing.plan_mark(named) == signing.plan_mark(fitted)
        fuse = replace(slot.fuse, rating=5.0)
        other = edits.change_slot(fitted, slot.id, fuse=fuse)
        assert signing.plan_mark(other) != signing.plan_mark(fitted)


def test_what_the_plan_refuses_is_said_without_the_names_of_the_files_fields(fitted):  # noqa: F811
    cut_off = VoltageCutOff(off_v=11.8, on_v=12.6)
    vehicle = edits.change_accessory(fitted, fitted.accessories[0].id, cut_off=cut_off)
    for value in (77.0, 12.9):
        read, step = after_reading(vehicle, "cut_off", value)
        found = taking.taking(read, assess(read), step)
        words = str(taking.afterwards(read, found, step))
        assert words.startswith("The plan cannot take it: ")
        assert "off_v" not in words
        assert "on_v" not in words
