"""The whole in three cells: figures with both ends, and nothing made up where nothing is known."""

from math import inf, isfinite, nan

import pytest
from msgspec.structs import replace

from fusemap.job import Standing, days_cell, holds_cell, open_cell
from fusemap.job.whole_cells import _in_share, _worst_of_slot, brief, span
from fusemap.text import Amount, Style, share
from fusemap.vehicle import StateLoads, Vehicle, edits
from tests import trade_vehicles
from tests.job.hands import demo, job_of, sound
from tests.vehicles import one_slot, with_accessory

STANDING = Standing(100.0, 150.0, 200.0, 2000.0, 4.0, False, (), inf)
"""From 100 to 200 hours, where four days are planned."""


class TestHolds:
    def test_nothing_placed_has_no_figure_and_is_not_green(self) -> None:
        cell = holds_cell(job_of(one_slot()))
        assert (cell.verdict, str(cell.figure)) == ("unchecked", "")
        assert str(cell.note) == "nothing is placed yet"

    def test_an_overloaded_host_fuse_is_the_tightest_with_its_share_of_the_limit(self) -> None:
        # 75 % of a fuse's rating lasting: Littelfuse, Fuseology; rerated at 25 °C by nothing
        vehicle = with_accessory(one_slot(own_a=8.0, rating=10.0), way_round="load_side")
        cell = holds_cell(job_of(vehicle))
        found = float(str(cell.figure).split()[0].split("–")[0].rstrip("\u202f%"))
        assert cell.verdict == "fails"
        assert found == pytest.approx((8.0 + 5.0 * 12.0 / 12.0) / 7.5 * 100, abs=3.0)
        assert "F1" in str(cell.note)

    def test_its_own_load_alone_may_be_too_much_for_a_slot_nobody_taps(self) -> None:
        vehicle = one_slot(own_a=20.0)
        vehicle = edits.add_accessory(vehicle, "Lamp", amperes=1.0)
        vehicle = edits.place(vehicle, "accessory-1", slot=None, kind="own_feed", feed="feed-1")
        cell = holds_cell(job_of(vehicle))
        # 20 A on 15 A of which 75 % last
        assert cell.verdict == "fails"
        assert str(cell.figure) == "178\u202f%"

    def test_both_ends_are_shown_where_a_load_was_not_measured(self) -> None:
        job = demo("little_hatchback")
        cell = holds_cell(job)
        low, high = (float(end) for end in str(cell.figure).removesuffix("\u202f%").split("–"))
        assert cell.verdict == "may_not_hold"
        assert low < 100 < high

    def test_an_end_that_nobody_knows_is_said_not_left_out(self) -> None:
        place = next(_in_share("F1", 3.0, nan, 6.0))
        assert place.verdict == "may_not_hold"
        assert str(span(place.low, place.high)) == "50\u202f% – not known"

    def test_where_it_holds_the_tightest_place_is_still_named(self) -> None:
        cell = holds_cell(job_of(sound()))
        assert cell.verdict == "holds"
        assert str(cell.note).startswith("tightest: ")
        assert "%" in str(cell.figure)

    @pytest.mark.parametrize("key", ["family_estate", "light_truck", "courier_van"])
    def test_a_slot_has_the_ends_that_its_card_has(self, key: str) -> None:
        a = demo(key).a
        for column in range(len(a.slots.ids)):
            known, most = _worst_of_slot(a, column)
            if isfinite(known):
                assert known == pytest.approx(float(a.slots.worst_share[column]))
                assert most == pytest.approx(float(a.most.slots.worst_share[column]))

    def test_the_link_between_two_batteries_may_be_the_tightest(self) -> None:
        """A camper whose charger takes 30 A through a fuse that lasts 34.4 A, the block less."""
        cell = holds_cell(job_of(trade_vehicles.camper()))
        assert (cell.verdict, str(cell.figure)) == ("holds", "87\u202f%")
        assert str(cell.note) == "tightest: Link between the batteries"

    @pytest.mark.parametrize("key", ["family_estate", "light_truck", "small_old_car"])
    def test_no_figure_below_its_limit_stands_beside_does_not_hold(self, key: str) -> None:
        job = demo(key)
        cell = holds_cell(job)
        assert (job.verdict, cell.verdict) == ("fails", "fails")
        assert float(str(cell.figure).split("–")[-1].rstrip("\u202f%")) > 100


class TestSpan:
    def test_one_figure_where_both_ends_are_the_same(self) -> None:
        assert str(span(share(0.5), share(0.5))) == "50\u202f%"

    def test_the_unit_stands_once(self) -> None:
        assert str(span(share(0.4), share(1.21))) == "40–121\u202f%"
        assert str(span(Amount(5, "h"), Amount(26, "h"))) == "5–26\u202fh"

    def test_two_units_stand_both(self) -> None:
        assert str(span(brief(0.66), brief(9.04))) == "40\u202fmin – 9\u202fh"


class TestDays:
    @pytest.mark.parametrize(
        ("low", "high", "verdict"),
        [(100.0, 200.0, "holds"), (90.0, 200.0, "may_not_hold"), (40.0, 90.0, "fails")],
    )
    def test_both_ends_are_held_against_the_days_planned(
        self, low: float, high: float, verdict: str
    ) -> None:
        cell = days_cell(replace(STANDING, low_h=low, high_h=high))
        assert cell.verdict == verdict
        assert "4 days" in str(cell.title)

    def test_what_does_not_start_even_now_has_no_days(self) -> None:
        cell = days_cell(replace(STANDING, never=True))
        assert (cell.verdict, str(cell.figure)) == ("fails", "")

    def test_past_the_forecast_there_is_no_other_end(self) -> None:
        assert str(days_cell(replace(STANDING, high_h=inf)).figure) == "4.2\u202fd or more"
        assert str(days_cell(replace(STANDING, low_h=inf, high_h=inf)).figure) == "over 83\u202fd"

    def test_a_low_end_of_nothing_has_the_unit_of_the_other(self) -> None:
        assert str(days_cell(replace(STANDING, low_h=0.0, high_h=500.0)).figure) == "0–21\u202fd"

    def test_what_is_counted_without_a_place_is_said(self) -> None:
        cell = days_cell(replace(STANDING, unplaced=("Cool box",), placed_h=240.0))
        assert str(cell.note) == "with unplaced Cool box; else usually 10 days"

    def test_without_a_word_about_the_battery_no_days_are_made_up(self) -> None:
        standing = job_of(edits.add_panel(Vehicle(name=""), "Dash", 1, 2)).look_ahead()
        cell = days_cell(standing)
        assert (cell.verdict, str(cell.figure)) == ("unchecked", "")


class TestOpen:
    def test_it_counts_what_is_to_name_to_place_and_to_measure(self) -> None:
        job = demo("family_estate")
        told, left, read = len(job.unanswered), len(job.unplaced), len(job.asked)
        cell = open_cell(job)
        assert min(told, left, read) > 0
        assert str(cell.figure) == str(told + left + read)
        for number in (told, left, read):
            assert str(number) in str(cell.note)

    def test_what_is_open_is_not_called_as_a_cable_that_lies_open(self) -> None:
        title = open_cell(demo("family_estate")).title
        said = {each: Style(each).show(title) for each in ("de", "es", "fr", "nl")}
        assert said == {"de": "Offen", "es": "Pendiente", "fr": "En attente", "nl": "Open"}

    def test_nothing_open_is_green_only_where_something_is_placed(self) -> None:
        assert open_cell(job_of(sound())).verdict == "holds"
        assert open_cell(job_of(Vehicle(name=""))).verdict == "unchecked"

    def test_a_load_nobody_measured_is_open_once_it_matters(self) -> None:
        vehicle = with_accessory(one_slot(rating=5.0, own_load=StateLoads()), amperes=3.0)
        assert open_cell(job_of(vehicle)).verdict == "unchecked"
