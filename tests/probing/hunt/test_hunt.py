"""The hunt as somebody follows it beside the car. Vehicles and readings are invented."""

from datetime import datetime, timedelta

import pytest

from fusemap import files
from fusemap.errors import InputProblem
from fusemap.probing import hunt
from fusemap.style import Style
from fusemap.vehicle import Fuse, Vehicle, edits, look_up
from tests.job.hands import job_of

NOW = datetime(2025, 5, 17, 18, 0)
NAMES = ("Interior lamp, clock", "Hazard lamps, socket", "Radio", "Airbag", "Wiper", "Horn")


def car(**slots: dict) -> Vehicle:
    """Six 15 A fuses in a row; `slots` change some of them."""
    vehicle = edits.add_panel(Vehicle(name="Small old car"), "Dash", 1, 6)
    for number, name in enumerate(NAMES, start=1):
        fields = {"feed_class": "permanent"} | slots.get(f"f{number}", {})
        vehicle = edits.change_slot(
            vehicle, f"slot-{number}", label=f"F{number}", circuit=name,
            fuse=Fuse(family="mini", rating=15), **fields,
        )  # fmt: skip
    return edits.change_battery(vehicle, capacity_ah=44.0)


def of_maxi_fuses() -> Vehicle:
    """The same with fuses so large that an ordinary meter shows nothing across them."""
    vehicle = car()
    for number in range(1, 7):
        fuse = Fuse(family="maxi", rating=60)
        vehicle = edits.change_slot(vehicle, f"slot-{number}", family="maxi", fuse=fuse)
    return vehicle


class Walk:
    """A hunt with its vehicle and a clock that runs a minute at each key."""

    def __init__(self, vehicle: Vehicle, **more) -> None:
        self.vehicle, self.now = vehicle, NOW
        self.hunt = hunt.begin(vehicle, NOW, **more)

    @property
    def step(self) -> hunt.Step:
        return hunt.next_step(self.hunt, self.vehicle, self.now)

    @property
    def answer(self) -> hunt.Answer:
        return hunt.answer(self.hunt, self.vehicle)

    def take(self, done: hunt.Outcome) -> "Walk":
        self.hunt, self.vehicle = done.hunt, done.vehicle or self.vehicle
        self.now += timedelta(minutes=1)
        return self

    def type(self, *keys: str) -> "Walk":
        for key in keys:
            self.take(hunt.enter(self.hunt, self.vehicle, key, self.now))
        return self

    def asleep(self, whole: str) -> "Walk":
        self.type("")
        self.now += timedelta(minutes=60)
        return self.type(whole)

    def no_clamp(self) -> "Walk":
        """Somebody who has none passes over what is read by clamp."""
        while self.step.kind == "feed":
            self.take(hunt.skip(self.hunt, self.vehicle, self.now))
        return self

    def read(self, shown: dict[str, str], otherwise: str = "0") -> "Walk":
        """Across fuses as long as that is asked for."""
        while self.step.kind == "across":
            self.type(shown.get(self.step.slots[0], otherwise))
        return self


def plain(*texts: object) -> str:
    return " ".join(str(text) for text in texts).replace("\u202f", " ")


class TestBeforeAnythingIsRead:
    def test_it_says_what_keeps_a_vehicle_awake_and_bridges_the_meter_in_line(self):
        step = Walk(car()).step
        assert step.kind == "prepare"
        told = plain(*step.reminders)
        assert all(word in told for word in ("bonnet", "key", "bridge"))
        by_clamp = Walk(car(), whole_by="clamp_current").step
        assert "bridge" not in plain(*by_clamp.reminders)

    def test_the_wait_is_a_countdown_from_locking(self):
        walk = Walk(car()).type("")
        assert (walk.step.kind, walk.step.clock) == ("wait", "59:00")
        walk.now += timedelta(minutes=59)
        assert walk.step.kind == "whole"

    def test_a_current_while_it_falls_asleep_is_kept_as_such_and_is_no_rest_current(self):
        walk = Walk(car()).type("", "2.5")
        assert walk.vehicle.readings[-1].state == "awake"
        assert walk.vehicle.parking.rest_current_a is None
        assert walk.step.kind == "wait"

    def test_somebody_may_say_that_it_sleeps_already(self):
        assert Walk(car()).type("", "").step.kind == "whole"

    def test_a_usual_current_ends_it_or_asks_for_a_night(self):
        walk = Walk(car()).asleep("0.03")
        assert walk.step.kind == "night"
        assert walk.type("").step.kind == "end"
        assert "usual" in plain(walk.answer.headline)


class TestAClockThatWasSetBack:
    def test_readings_of_a_later_date_are_none_of_this_hunt(self):
        there = Walk(car()).asleep("0.03").vehicle
        walk = Walk(there)
        walk.now -= timedelta(days=400)
        walk.hunt = hunt.begin(there, walk.now)
        walk.asleep("0.35")
        assert walk.answer.whole.current_a == pytest.approx(0.35)
        assert walk.step.kind == "across"


class TestAcrossTheFuses:
    def test_what_was_fitted_is_read_first_and_what_should_be_dead_last(self):
        vehicle = car(f2={"feed_class": "ignition"})
        vehicle = edits.add_accessory(vehicle, "Dash camera", watts=3.0, works_in=("asleep",))
        vehicle = edits.place(
            vehicle, "accessory-1", slot="slot-6", fuse=Fuse(family="mini", rating=3)
        )
        order = [each.slot.label for each in hunt.suspicion.expected(vehicle)]
        assert (order[0], order[-1]) == ("F6", "F2")
        walk = Walk(vehicle).asleep("0.35")
        assert "Dash camera" in plain(walk.step.why)

    def test_a_reading_goes_into_the_vehicle_with_what_it_says_of_its_slot(self):
        walk = Walk(car()).asleep("0.35").type("1.2")
        assert walk.vehicle.readings[-1].quantity == "millivolts"
        slot = look_up.slot(walk.vehicle, walk.vehicle.readings[-1].target_id)
        # 1.2 mV over 4.58 mΩ, the published cold resistance of a mini fuse of 15 A
        assert slot.own_load.asleep == pytest.approx(0.262, abs=0.001)

    def test_more_than_the_whole_is_doubted_and_kept_when_it_comes_again(self):
        walk = Walk(car()).asleep("0.35").type("12")
        assert "whole vehicle draws" in plain(*walk.hunt.doubts)
        assert len(walk.vehicle.readings) == 1
        walk.type("12")
        assert walk.vehicle.readings[-1].repeated

    def test_one_that_cannot_be_reached_stays_open(self):
        walk = Walk(car()).asleep("0.35")
        first = walk.step.slots[0]
        walk.take(hunt.skip(walk.hunt, walk.vehicle, walk.now))
        assert walk.step.slots[0] != first
        assert first in {share.slot.id for share in walk.answer.shares.open}

    def test_a_circuit_to_leave_alone_is_read_and_never_pulled(self):
        walk = Walk(car()).asleep("0.35").read({"slot-4": "1.2"})
        kinds = set()
        while walk.step.kind != "end":
            kinds.add(walk.step.kind)
            assert walk.step.kind != "pull" or "slot-4" not in walk.step.slots
            walk.type("" if walk.step.quantity is None else "0.35")
        assert "leave alone" in plain(*hunt.what_to_do(walk.vehicle, walk.answer.found[0]))

    def test_what_nobody_named_is_pulled_only_with_a_caution(self):
        """One of them may be the airbag’s: its name alone keeps it in."""
        vehicle = of_maxi_fuses()
        for number in range(1, 7):
            vehicle = edits.change_slot(vehicle, f"slot-{number}", circuit="")
        step = Walk(vehicle).asleep("0.35").no_clamp().step
        assert step.kind == "pull"
        told = plain(step.caution.text)
        assert told.startswith("Nobody said what F1, F2 and F3 feed: look at the lid")
        assert "Airbags, brakes" in told
        assert plain(step.caution.source)

    def test_what_was_named_is_pulled_without_one(self):
        step = Walk(of_maxi_fuses()).asleep("0.35").no_clamp().step
        assert step.kind == "pull"
        assert step.caution is None


class TestFound:
    def found(self) -> Walk:
        """0.35 A, of them 0.27 A on F2: read across, pulled, put back."""
        walk = Walk(car()).asleep("0.35")
        walk.read({"slot-2": "1.3"})
        while walk.step.kind != "pull" or walk.step.slots != ("slot-2",):
            walk.type("" if walk.step.quantity is None else "0.35")
        return walk.type("0.08", "0.35")

    def test_it_is_said_with_its_part_of_the_whole(self):
        walk = self.found()
        assert plain(walk.answer.headline) == (
            "Found: F2 Hazard lamps, socket, 0.27 of 0.35 A (77 %)"
        )

    def test_with_the_fuse_out_it_says_to_put_it_back_and_that_it_must_come_again(self):
        walk = Walk(car()).asleep("0.30")
        walk.read({"slot-2": "1.25"})
        assert (walk.step.kind, walk.step.slots) == ("pull", ("slot-2",))
        walk.type("0.03")
        assert walk.step.kind == "put_back"
        assert "only if it comes back" in plain(walk.step.why)
        with pytest.raises(InputProblem):
            walk.type("")
        assert walk.type("0.30").step.kind == "end"

    def test_what_went_off_by_itself_while_the_fuse_was_out_is_not_found_by_that(self):
        walk = Walk(of_maxi_fuses()).asleep("0.30").no_clamp()
        pulled = walk.step.slots
        walk.type("0.03")
        assert {share.slot.id for share in walk.answer.shares.open} >= set(pulled)
        walk.type("0.03")  # all in again, and it stays low
        assert not walk.answer.found
        assert walk.step.kind == "catch"

    def test_far_ends_are_both_said(self):
        walk = Walk(car()).asleep("0.35")
        while walk.step.slots != ("slot-2",):
            walk.type("0")
        walk.type("1.3")
        assert plain(walk.answer.headline) == (
            "Found: F2 Hazard lamps, socket, 0.18 to 0.35 of 0.35 A (52 to 100 %)"
        )

    def test_what_it_costs_is_the_forecast_without_it(self):
        walk = self.found()
        cost = hunt.cost(walk.vehicle, walk.answer.found, walk.answer.whole)
        assert cost.without.low_h > 2 * cost.as_it_is.high_h
        assert "as it is" in plain(cost.words)

    def test_what_it_costs_is_the_time_that_the_verdict_names_once_it_is_noted(self):
        walk = self.found()
        whole = walk.answer.whole
        cost = hunt.cost(walk.vehicle, walk.answer.found, whole)
        noted = edits.change_parking(
            walk.vehicle, rest_current_a=whole.high_a, low_rest_current_a=None,
            high_rest_current_a=None,
        )  # fmt: skip
        half = job_of(noted).look_ahead().middle_h
        assert cost.as_it_is.low_h == pytest.approx(half)

    def test_parts_behind_the_fuse_are_unplugged_one_by_one(self):
        walk = self.found()
        assert hunt.parts_behind(walk.vehicle, look_up.slot(walk.vehicle, "slot-2")) == (
            "Hazard lamps", "socket",
        )  # fmt: skip
        walk.hunt = hunt.look_behind(walk.hunt, "slot-2")
        assert (walk.step.kind, walk.step.part) == ("part", "Hazard lamps")
        own = look_up.slot(walk.vehicle, "slot-2").own_load
        walk.type("1.3", "0")
        first, second = hunt.parts(walk.hunt, walk.vehicle)
        assert (first.low_a, second.name) == (0.0, "socket")
        assert second.current_a == pytest.approx(0.284, abs=0.005)
        assert look_up.slot(walk.vehicle, "slot-2").own_load == own
        assert walk.step.kind != "part"

    def test_a_lock_that_stays_on_makes_no_permanent_feed(self):
        walk = Walk(car(f2={"feed_class": "ignition"})).asleep("0.30")
        walk.read({"slot-2": "1.25"})
        assert look_up.slot(walk.vehicle, "slot-2").feed_class == "ignition"
        told = plain(*hunt.what_to_do(walk.vehicle, walk.answer.found[0]))
        assert "ignition lock" in told

    def test_several_are_all_said_the_largest_first(self):
        walk = Walk(car()).asleep("0.80")
        walk.read({"slot-2": "1.3", "slot-3": "2.2"})
        assert [share.slot.label for share in walk.answer.found] == ["F3", "F2"]

    def test_what_no_fuse_carries_is_not_in_this_panel(self):
        walk = Walk(car()).asleep("1.50").read({}).no_clamp()
        while walk.step.kind != "end":
            walk.type("" if walk.step.quantity is None else "1.50")
        assert plain(walk.answer.headline).startswith("Not in this panel")
        assert walk.answer.outside.low_a <= 1.5
        assert "another fuse box" in plain(*hunt.what_to_do(walk.vehicle, walk.answer.outside))


class TestWhatFeedsThePanel:
    """Millivolts tell nothing: by clamp, what goes in shows whether it is in there at all."""

    def asked(self) -> Walk:
        walk = Walk(of_maxi_fuses()).asleep("0.35")
        assert (walk.step.kind, walk.step.panel, walk.step.quantity) == (
            "feed", "panel-1", "clamp_current",
        )  # fmt: skip
        return walk

    def test_with_nothing_going_in_it_is_not_in_this_panel_and_nothing_is_pulled(self):
        walk = self.asked().type("0", "0.35")
        assert walk.step.kind == "end"
        assert plain(walk.answer.headline).startswith("Not in this panel")
        # the whole at its least, less what the clamp may have missed: its last two digits
        assert walk.answer.outside.low_a == pytest.approx(0.35 * 0.99 - 0.003 - 0.03, abs=0.001)
        assert not [done for done in walk.hunt.done if done.kind == "pull"]

    def test_with_all_of_it_going_in_it_is_on_one_of_the_fuses(self):
        walk = self.asked().type("0.35", "0.35")
        assert walk.step.kind == "pull"
        assert walk.answer.outside is None
        # what may be on no fuse is what whole and clamp may be off by together
        assert walk.answer.shares.outside.high_a < 0.05

    def test_it_is_a_reading_of_the_panel_and_says_nothing_of_any_slot(self):
        before = self.asked().vehicle
        walk = self.asked().type("0.35")
        reading = walk.vehicle.readings[-1]
        assert (reading.target, reading.target_id, reading.purpose) == ("panel", "panel-1", "hunt")
        assert walk.vehicle.panels == before.panels
        assert files.parse(files.render(walk.vehicle)) == walk.vehicle

    def test_more_than_the_whole_vehicle_is_doubted(self):
        walk = self.asked().type("3")
        assert "zeroed" in plain(*walk.hunt.doubts)
        assert walk.step.kind == "feed"
        walk.type("0.35")
        assert walk.vehicle.readings[-1].value == 0.35

    def test_it_is_taken_back_and_asked_again(self):
        walk = self.asked().type("0")
        walk.take(hunt.undo(walk.hunt, walk.vehicle))
        assert walk.step.kind == "feed"
        assert walk.answer.outside is None

    def test_what_gets_no_clamp_is_passed_over_once(self):
        walk = self.asked()
        walk.take(hunt.skip(walk.hunt, walk.vehicle, walk.now))
        assert walk.step.kind == "pull"
        assert hunt.resume(walk.hunt, walk.vehicle) == walk.hunt

    def test_each_of_two_panels_is_told_apart(self):
        vehicle = edits.add_panel(of_maxi_fuses(), "Bay", 1, 4)
        for number in range(7, 11):
            fuse = Fuse(family="maxi", rating=60)
            vehicle = edits.change_slot(vehicle, f"slot-{number}", family="maxi", fuse=fuse)
        walk = Walk(vehicle).asleep("0.35").type("0")
        assert (walk.step.kind, walk.step.panel) == ("feed", "panel-2")
        walk.type("0.34", "0.35")
        bay = {slot.id for slot in walk.vehicle.panels[1].slots}
        dash = [each for each in walk.answer.shares.slots if each.slot.id not in bay]
        # what the clamp may have missed there: its last three digits
        assert all(each.high_a <= 0.031 for each in dash)
        assert walk.step.kind == "pull"
        assert set(walk.step.slots) <= bay

    def test_with_nothing_going_into_either_nothing_is_pulled(self):
        vehicle = edits.add_panel(of_maxi_fuses(), "Bay", 1, 2)
        for number in (7, 8):
            fuse = Fuse(family="maxi", rating=60)
            vehicle = edits.change_slot(vehicle, f"slot-{number}", family="maxi", fuse=fuse)
        walk = Walk(vehicle).asleep("1.5").type("0", "0", "1.5")
        assert walk.step.kind == "end"
        assert plain(walk.answer.headline).startswith("Not in these panels")

    def test_where_the_answer_is_sure_nobody_asks_for_a_clamp(self):
        walk = Walk(car()).asleep("0.30").read({"slot-2": "1.25"}).type("0.03", "0.30")
        assert walk.step.kind == "end"
        assert "feed" not in {done.kind for done in walk.hunt.done}

    def test_the_number_of_a_panel_that_was_read_is_given_to_no_other(self):
        walk = self.asked().type("0.35")
        gone = edits.remove_panel(edits.add_panel(walk.vehicle, "Bay", 1, 1), "panel-1")
        assert edits.add_panel(gone, "New", 1, 1).panels[-1].id == "panel-3"


class TestByHalves:
    def test_where_no_millivolts_can_be_read_half_are_pulled_and_put_back(self):
        walk = Walk(of_maxi_fuses()).asleep("0.35").no_clamp()
        assert walk.step.kind == "pull"
        assert 1 < len(walk.step.slots) < 6
        pulled = walk.step.slots
        walk.type("0.35")
        assert walk.vehicle.readings[-1].fuses_out == pulled
        assert walk.step.kind == "put_back"
        assert walk.step.quantity is None
        walk.type("")
        assert not set(walk.step.slots) & set(pulled)
        assert walk.vehicle.parking.rest_current_a == 0.35

    def test_nobody_has_to_pull(self):
        walk = Walk(car()).asleep("0.35")
        walk.hunt = hunt.give_up(walk.hunt, "pull")
        walk.read({}).no_clamp().type("0.35")
        assert walk.step.kind == "night"
        walk.type("")
        assert walk.step.kind == "end"
        assert "hide" in plain(walk.answer.left_words)

    def test_of_many_where_it_may_hide_the_labels_alone_are_named(self):
        walk = Walk(car()).asleep("0.35")
        left = plain(walk.answer.left_words)
        slots = [share.slot for share in walk.answer.shares.open if share.slot is not None]
        assert len(slots) > 2
        assert look_up.fuse_words(slots[0]) in left
        assert not any(slot.circuit in left for slot in slots if slot.circuit)


class TestWhatWakesUpMeanwhile:
    def pulled(self, shown: str) -> Walk:
        """With fuses out more was read than with all in, and the same again."""
        walk = Walk(of_maxi_fuses()).asleep("0.35").no_clamp().type(shown)
        assert walk.hunt.doubts
        return walk.type(shown)

    def test_the_whole_is_asked_for_as_it_is_now(self):
        walk = self.pulled("1.6")
        assert walk.step.kind == "put_back"
        assert "something woke up" in plain(walk.step.why)
        walk.type("1.7")
        assert walk.answer.whole.current_a == pytest.approx(1.7)
        assert walk.answer.at_rest.current_a == pytest.approx(0.35)
        assert walk.step.kind in ("pull", "feed")

    def test_gone_again_it_is_waited_for_only_if_it_was_seen_with_all_in(self):
        walk = self.pulled("1.6").type("0.35")
        assert walk.answer.whole.current_a == pytest.approx(0.35)
        assert not walk.answer.comes_and_goes


class TestNothingFound:
    def test_what_comes_with_rain_or_cold_is_thought_of(self):
        step = Walk(car()).asleep("0.03").step
        assert step.kind == "night"
        assert "wet" in plain(*step.reminders)

    def test_a_night_is_asked_for_before_it_ends(self):
        walk = Walk(car(), whole_by="clamp_current").asleep("0.05")
        walk.read({}).no_clamp()
        while walk.step.kind == "whole":
            walk.type("0.05")
        assert walk.step.kind == "night"
        assert walk.type("").step.kind == "end"


class TestWhatIsNotEntered:
    """What is not known is never nothing: a fuse that nobody entered may be the one."""

    def new_lid(self) -> Vehicle:
        return edits.add_panel(Vehicle(name="New"), "Dash", 2, 3)

    def test_places_without_an_entered_fuse_may_be_it(self):
        walk = Walk(self.new_lid()).asleep("0.35")
        assert walk.answer.outside is None
        assert len(walk.answer.shares.open) == 6
        walk.no_clamp()
        assert walk.step.kind == "pull"
        assert "ratings" in plain(walk.step.why)

    def test_they_are_found_by_halves(self):
        walk = Walk(self.new_lid()).asleep("0.35").no_clamp()
        while walk.step.kind != "end":
            out = set(walk.step.slots) if walk.step.kind == "pull" else set()
            walk.type("" if walk.step.quantity is None else
                      "0.05" if "slot-5" in out else "0.35")  # fmt: skip
        assert [share.slot.id for share in walk.answer.found] == ["slot-5"]

    def test_one_that_is_known_to_be_empty_is_none(self):
        vehicle = edits.change_slot(self.new_lid(), "slot-1", feed_class="unfed")
        walk = Walk(vehicle).asleep("0.35")
        assert "slot-1" not in {each.slot.id for each in walk.answer.shares.open}

    def test_without_any_panel_it_says_so(self):
        walk = Walk(Vehicle(name="None")).asleep("0.35")
        assert walk.answer.outside is None
        assert "no panel is entered" in plain(walk.answer.headline)
        # how much it draws was read first; the lid is asked about then, and may be passed over
        assert walk.step.kind == "lid"
        walk.hunt = hunt.skip(walk.hunt, walk.vehicle, walk.now).hunt
        assert "Enter the panel" in plain(walk.answer.left_words)
        while walk.step.kind != "end":
            walk.type("")


class TestTakenBack:
    def test_the_last_step_is_withdrawn_with_what_it_said(self):
        walk = Walk(car()).asleep("0.35")
        before = walk.vehicle
        where = walk.step.slots
        walk.type("1.2").take(hunt.undo(walk.hunt, walk.vehicle))
        assert walk.step.slots == where
        assert walk.vehicle.readings[-1].withdrawn
        assert walk.vehicle.panels == before.panels

    def test_it_goes_all_the_way_back(self):
        walk = Walk(car()).asleep("0.30").read({"slot-2": "1.25"}).type("0.03", "0.30")
        while walk.hunt.done:
            walk.take(hunt.undo(walk.hunt, walk.vehicle))
        assert walk.step.kind == "prepare"
        assert all(reading.withdrawn for reading in walk.vehicle.readings)
        assert walk.vehicle.parking == car().parking

    def test_after_an_undo_of_the_document_it_stands_where_it_was(self):
        walk = Walk(car()).asleep("0.35")
        before, where = walk.vehicle, walk.step
        walk.type("1.2")
        assert hunt.next_step(hunt.resume(walk.hunt, before), before, walk.now).slots == where.slots

    def test_the_vehicle_with_all_of_it_can_be_saved(self):
        walk = Walk(car()).asleep("0.30").read({"slot-2": "1.25"}).type("0.03", "0.30")
        assert files.parse(files.render(walk.vehicle)) == walk.vehicle


NIGHT = "time;I mA\n" + "\n".join(
    f"{22 + m // 60 if m < 120 else m // 60 - 2}:{m % 60:02};{640 if m % 30 < 5 else 31}"
    for m in range(480)
)


class TestANight:
    def test_wake_ups_are_what_the_table_shows(self):
        walk = Walk(car()).asleep("0.031").type(NIGHT)
        (wake,) = walk.vehicle.parking.wake_ups
        assert (wake.every_h, wake.minutes) == (0.5, 5.0)
        assert wake.current_a == pytest.approx(0.609)
        assert walk.vehicle.parking.night_logged
        assert walk.vehicle.parking.rest_current_a == 0.031

    def test_what_wakes_up_is_waited_for_and_found_while_it_draws(self):
        walk = Walk(car()).asleep("0.031").type(NIGHT)
        assert walk.step.kind == "catch"
        walk.type("0.64").read({"slot-3": "2.8"})
        assert walk.answer.found[0].slot.label == "F3"
        assert walk.vehicle.parking.rest_current_a == 0.031

    def test_it_is_taken_back_whole(self):
        walk = Walk(car()).asleep("0.031")
        before = walk.vehicle.parking
        walk.type(NIGHT).take(hunt.undo(walk.hunt, walk.vehicle))
        assert walk.vehicle.parking == before

    def test_a_quiet_night_says_so(self):
        quiet = "\n".join(f"{minute}\t0.03" for minute in range(600))
        walk = Walk(car()).asleep("0.031").type(quiet)
        assert walk.step.kind == "end"
        assert "slept all night" in plain(walk.answer.headline)

    @pytest.mark.parametrize(
        ("text", "points"),
        [
            ("22:00,31 mA\n23:00,0.64 A\n01:00,30 mA", ((0, 0.031), (60, 0.64), (180, 0.03))),
            ("Zeit [s];Strom [A]\n0;0,03\n60;0,5", ((0, 0.03), (1, 0.5))),
            (
                "no,when,current mA\n1,2025-05-17T22:00:00,30\n2,2025-05-18T06:00:00,31",
                ((0, 0.03), (480, 0.031)),
            ),
            ("time,A\n11:30 pm,0.03\n0:30 am,0.04", ((0, 0.03), (60, 0.04))),
        ],
    )
    def test_tables_of_meters_and_loggers(self, text, points):
        found = hunt.read_log(text).points
        assert [(pytest.approx(t), pytest.approx(i)) for t, i in points] == list(found)

    def test_a_text_without_times_is_refused(self):
        with pytest.raises(InputProblem):
            hunt.read_log("hello\nworld")


class TestWhatWasFoundIsSaidWhileItGoesOn:
    """Twelve places of which no fuse is entered; the second draws 0.27 of 0.35 A."""

    @staticmethod
    def of_twelve() -> Walk:
        walk = Walk(edits.add_panel(Vehicle(name="Car"), "Dash", 3, 4)).asleep("0.35").no_clamp()
        for _ in range(30):
            step = walk.step
            if step.kind == "pull":
                walk.type("0.08" if "slot-2" in step.slots else "0.35")
            elif step.kind == "put_back":
                walk.type("" if step.quantity is None else "0.35")
            if walk.answer.found and not walk.hunt.scene.out:
                return walk
        pytest.fail("it is never found")

    def test_while_it_narrows_down_it_says_to_what(self):
        walk = Walk(edits.add_panel(Vehicle(name="Car"), "Dash", 3, 4)).asleep("0.35").no_clamp()
        assert "12 circuits" in plain(walk.step.why)
        walk.type("0.08", "0.35")
        assert "F1, F2, F3, F4, F5 or F6" in plain(walk.step.why)
        assert "12" not in plain(walk.step.why)

    def test_the_found_one_is_said_with_its_part_and_what_is_left(self):
        walk = self.of_twelve()
        assert walk.step.kind == "pull"
        told = plain(walk.answer.so_far)
        assert told.startswith("Found: F2, 0.27 of 0.35 A (77 %).")
        assert "beside that" in told
        assert "the rest" in plain(walk.step.why)

    def test_it_may_be_enough_and_back_is_back(self):
        walk = self.of_twelve()
        before, read = walk.step, len(walk.vehicle.readings)
        walk.hunt = hunt.enough(walk.hunt, walk.vehicle)
        assert walk.step.kind == "end"
        assert plain(walk.step.what).startswith("Found: F2")
        assert "it may hide in" in plain(walk.step.why)
        walk.take(hunt.undo(walk.hunt, walk.vehicle))
        assert walk.step == before
        assert sum(not each.withdrawn for each in walk.vehicle.readings) == read

    def test_it_is_not_enough_with_nothing_found_or_a_fuse_out(self):
        walk = Walk(edits.add_panel(Vehicle(name="Car"), "Dash", 3, 4)).asleep("0.35").no_clamp()
        with pytest.raises(InputProblem, match="nothing was found"):
            hunt.enough(walk.hunt, walk.vehicle)
        walk = self.of_twelve().type("0.35")
        assert walk.step.kind == "put_back"
        with pytest.raises(InputProblem, match="still out"):
            hunt.enough(walk.hunt, walk.vehicle)

    def test_readings_that_do_not_go_together_are_said_to_be_so(self):
        walk = self.of_twelve()
        walk.type("0.08", "0.35")
        assert walk.answer.shares.contradicts
        assert walk.step.kind == "night"
        assert "do not go together" in plain(walk.step.why)


@pytest.mark.parametrize("code", ["en", "de", "es", "fr", "nl"])
def test_only_the_vehicles_state_is_in_capitals(code: str) -> None:
    """What is to be done is a sentence like any other: it begins with a capital, and no half of it
    is in capitals."""
    walk = Walk(car())
    titles = {walk.step.kind: walk.step.title}
    for key in ("", "", "0.35", "0", "1.3", "0.08", "0.35"):
        step = walk.type(key).step
        titles[step.kind] = step.title
    assert {"prepare", "wait", "whole", "across", "pull", "put_back"} <= set(titles)
    for title in map(Style(code).show, titles.values()):
        assert title[:1].isupper(), title
        words = [word for word in title.split() if word.isalpha() and len(word) > 1]
        assert not [word for word in words if word.isupper()], title
