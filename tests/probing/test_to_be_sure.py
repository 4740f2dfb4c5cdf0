"""Feeds read as a whole, and the walk along the readings that would make it sure."""

from datetime import timedelta

import pytest
from msgspec.structs import replace

from fusemap.assess import assess
from fusemap.assess.sure_words import settles
from fusemap.checks import findings, verdict_words, whole_verdict
from fusemap.probing import conclusions, disbelief, feed_loads, session, to_be_sure, travel, walking
from fusemap.probing.plan import HandOrder, Round, Step
from fusemap.vehicle import Fuse, Reading, StateLoads, Vehicle, edits, look_up, reading_edits
from fusemap.vehicle.model import UNREAD
from tests.assess.test_ends import camera, ten_slots
from tests.probing.walk import Walk
from tests.vehicles import loads

IGNITION = Round(state="ignition")
FEED = "feed-1"


def half_measured() -> Vehicle:
    """A feed that may carry 35 of 30 A: one slot of ten was measured, the camera comes on top."""
    vehicle = edits.change_feed(camera(ten_slots()), FEED, resistance_mohm=2.0)
    return edits.change_parking(vehicle, stand_days=1.0)


def two_open() -> Vehicle:
    """Two feeds of 17 A over five slots each, one of which was not measured: 11.25 A at most."""
    vehicle = edits.change_feed(ten_slots(10, 0.5, limit_a=17.0), FEED, resistance_mohm=2.0)
    vehicle = edits.add_feed(
        vehicle, "Rear feed", limit_a=17.0, resistance_mohm=2.0, other_load=loads(0.0)
    )
    for slot in vehicle.panels[0].slots[5:]:
        vehicle = edits.change_slot(vehicle, slot.id, feed="feed-2")
    for number in (4, 9):
        vehicle = edits.change_slot(vehicle, vehicle.panels[0].slots[number].id, own_load=UNREAD)
    vehicle = edits.change_parking(camera(vehicle), stand_days=1.0)
    vehicle = edits.add_accessory(
        vehicle, "Radio", amperes=5.0, rated_v=12.0, load_kind="constant_current",
        min_voltage_v=9.0,
    )  # fmt: skip
    fields = {name: getattr(vehicle.taps[0], name) for name in ("fuse", "cable_out", "earth_point")}
    there = vehicle.panels[0].slots[5].id
    return edits.place(vehicle, vehicle.accessories[-1].id, slot=there, **fields)


def read(vehicle: Vehicle, value: float, **fields) -> Vehicle:
    """The vehicle with a reading of its feed, and what that says put into it."""
    fields = {"quantity": "clamp_current", "state": "ignition"} | fields
    after = reading_edits.add_reading(
        vehicle, when="2025-05-17", target="feed", target_id=FEED, value=value, **fields
    )
    return conclusions.conclude(vehicle, after)


def carried(vehicle: Vehicle) -> StateLoads:
    return look_up.feed(vehicle, FEED).carried


def verdict(vehicle: Vehicle) -> str:
    a = assess(vehicle)
    return whole_verdict(vehicle, a, findings(vehicle, a))


class TestAFeedReadAsAWhole:
    def test_it_keeps_the_upper_end_of_what_a_clamp_may_have_missed(self) -> None:
        """A usual clamp: 2 % and three digits of 0.01 A. 12 A ± 0.27 A."""
        assert carried(read(half_measured(), 12.0)) == StateLoads(ignition=12.3)

    def test_millivolts_across_its_fuse_say_it_where_the_fuse_has_a_published_resistance(
        self,
    ) -> None:
        """A mini fuse of 30 A: 1.80 mΩ cold at most, so 10 mV are 5.5 A (Littelfuse 297)."""
        fuse = Fuse(family="mini", rating=30.0)
        vehicle = edits.change_feed(half_measured(), FEED, fuse=fuse)
        found = read(vehicle, 10.0, quantity="millivolts")
        load = feed_loads.feed_loads(found, look_up.feed(found, FEED))["ignition"]
        assert load.low_a < load.current_a < load.high_a <= carried(found).ignition
        bare = edits.change_feed(vehicle, FEED, fuse=Fuse(family="cartridge", rating=30.0))
        assert carried(read(bare, 10.0, quantity="millivolts")) is UNREAD

    def test_a_reading_in_one_state_says_nothing_of_another(self) -> None:
        found = carried(read(half_measured(), 12.0))
        assert (found.running, found.asleep) == (None, None)

    def test_with_the_lamps_on_the_higher_of_the_two_counts(self) -> None:
        off = read(half_measured(), 9.0)
        on = read(off, 12.0, lamps_on=True)
        assert carried(on).ignition == 12.3
        assert carried(read(read(half_measured(), 12.0), 9.0, lamps_on=True)).ignition == 12.3
        lines = feed_loads.evidence_lines(on, look_up.feed(on, FEED))
        assert str(lines[0]).endswith("by clamp with the lamps on")

    def test_withdrawn_it_is_not_known_again(self) -> None:
        found = read(half_measured(), 12.0)
        gone = reading_edits.withdraw_reading(found, found.readings[-1].id)
        assert carried(conclusions.conclude(found, gone)) is UNREAD

    def test_what_was_typed_over_it_stays_until_it_is_read_again(self) -> None:
        found = read(half_measured(), 12.0)
        typed = edits.change_feed(found, FEED, carried=StateLoads(ignition=20.0))
        assert carried(conclusions.conclude(typed, typed)).ignition == 20.0
        assert carried(read(typed, 10.0, corrects=typed.readings[-1].id)).ignition == 10.3

    def test_somebody_elses_reading_decides_nothing(self) -> None:
        assert carried(read(half_measured(), 12.0, verified=False)) is UNREAD

    def test_more_than_its_fuse_lets_through_and_less_than_its_slots_draw_are_doubted(self) -> None:
        fuse = Fuse(family="mini", rating=30.0)
        vehicle = edits.change_feed(half_measured(), FEED, fuse=fuse)
        base = {"id": "new", "when": "2025-05-17", "target": "feed", "target_id": FEED}
        base |= {"quantity": "clamp_current", "state": "ignition"}
        assert disbelief.doubts(vehicle, Reading(**base, value=12.0)) == ()
        assert "would have opened" in str(disbelief.doubts(vehicle, Reading(**base, value=300.0)))
        slot = vehicle.panels[0].slots[0].id
        read_slot = reading_edits.add_reading(
            vehicle, when="2025-05-17", target_id=slot, quantity="clamp_current", value=5.0,
            state="ignition",
        )  # fmt: skip
        assert "its slots alone" in str(disbelief.doubts(read_slot, Reading(**base, value=2.0)))

    def test_a_map_given_away_has_its_readings_and_who_takes_it_in_decides_nothing_on_them(
        self,
    ) -> None:
        given = travel.to_give_away(read(half_measured(), 12.0), "Ann")
        assert (carried(given).ignition, len(given.readings)) == (12.3, 1)
        taken = travel.take_in(Vehicle(name="Other"), given, "Ann")
        (feed,), (reading,) = taken.feeds, taken.readings
        assert feed.carried == UNREAD
        assert (reading.target, reading.target_id, reading.verified) == ("feed", feed.id, False)


def replace_feeds(step: Step, feeds: tuple[str, ...]) -> Step:
    return Step(step.round, step.slots, feeds)


class TestTheWalk:
    def walk(self, vehicle: Vehicle) -> Walk:
        return Walk(vehicle).press("sure")

    def test_it_asks_exactly_what_settles_state_by_state(self) -> None:
        steps = to_be_sure.steps(half_measured(), HandOrder())
        assert [(step.round.state, step.slots, step.feeds) for step in steps] == [
            ("ignition", (), (FEED,)),
            ("running", (), (FEED,)),
        ]

    def test_slots_come_in_hand_order_before_feeds(self) -> None:
        vehicle = two_open()
        here = [slot.id for slot in vehicle.panels[0].slots]
        steps = to_be_sure.steps(vehicle, HandOrder())
        back = to_be_sure.steps(vehicle, HandOrder(from_right=True))
        assert steps[0].slots == (here[4], here[9])
        assert back[0].slots == (here[9], here[4])
        step = replace_feeds(steps[0], ("feed-2",))
        assert step.spots == (("slot", here[4]), ("slot", here[9]), ("feed", "feed-2"))

    def test_it_says_why(self) -> None:
        vehicle = half_measured()
        wanted = to_be_sure.asked_at(vehicle, IGNITION, ("feed", FEED))
        assert wanted is not None
        assert str(settles(assess(vehicle), wanted)).replace("\u202f", " ") == (
            "Why: feed “Main feed” may carry 35 A, its limit is 30 A, with ignition on"
        )

    def test_a_feed_by_clamp_is_typed_in_amperes(self) -> None:
        walk = self.walk(half_measured())
        assert (walk.session.slot, walk.session.feed, walk.session.unit) == (None, FEED, "A")
        walk.type("12")
        (reading,) = walk.vehicle.readings
        assert (reading.target, reading.target_id) == ("feed", FEED)
        assert (reading.quantity, reading.value) == ("clamp_current", 12.0)

    def test_slots_across_their_fuses_in_millivolts(self) -> None:
        walk = self.walk(two_open())
        assert walk.session.unit == "mV"
        assert walk.session.slot == walk.vehicle.panels[0].slots[4].id

    def test_read_to_its_end_it_holds(self) -> None:
        walk = self.walk(half_measured())
        assert verdict(walk.vehicle) == "may_not_hold"
        walk.type("12").press("enter").type("13")
        assert session.spot_in_hand(walk.session) is None
        assert session.rounds_left(walk.session, walk.vehicle) == ()
        assert verdict(walk.vehicle) == "holds"
        assert walk.steps == 2

    def test_what_another_reading_has_settled_is_not_asked_any_more(self) -> None:
        """The whole of the second feed is read before its slot is: then that is not needed."""
        walk = self.walk(two_open())
        second = walk.vehicle.panels[0].slots[9].id
        assert ("slot", second) in session.spots_left(walk.session, walk.vehicle)
        walk.session = walking.go_to_spot(walk.session, walk.vehicle, ("feed", "feed-2"))
        walk.type("4a")
        assert ("slot", second) not in session.spots_left(walk.session, walk.vehicle)

    def test_what_does_not_hold_once_read_is_said(self) -> None:
        walk = self.walk(half_measured()).type("29").press("enter").type("29")
        a = assess(walk.vehicle)
        found = findings(walk.vehicle, a)
        assert whole_verdict(walk.vehicle, a, found) == "fails"
        words = str(verdict_words(walk.vehicle, a, found, "fails"))
        assert words.startswith("Does not hold: Main feed.")

    def test_taken_back_it_is_asked_again(self) -> None:
        walk = self.walk(half_measured()).type("12").press("/")
        assert carried(walk.vehicle) is UNREAD
        assert session.spot_in_hand(walk.session) == ("feed", FEED)
        assert [reading.withdrawn for reading in walk.vehicle.readings] == [True]

    def test_live_or_dead_is_no_reading_of_a_feed(self) -> None:
        walk = self.walk(half_measured()).type("+")
        assert walk.vehicle.readings == ()
        assert "amperes" in str(walk.session.message)

    def test_skipped_it_stays_open_and_home_goes_through_it_again(self) -> None:
        walk = self.walk(half_measured()).press("*")
        assert session.spot_in_hand(walk.session) is None
        assert "still open" in str(walk.session.message)
        assert session.spot_in_hand(walk.press("home").session) == ("feed", FEED)

    def test_a_second_press_goes_back_to_all_that_is_open(self) -> None:
        walk = self.walk(half_measured()).press("sure")
        assert not walk.session.sure
        assert session.spots_needed(walk.session, walk.vehicle, IGNITION)[0][0] == "slot"

    def test_with_nothing_in_doubt_nothing_is_asked(self) -> None:
        vehicle = edits.change_feed(
            half_measured(), FEED, carried=StateLoads(ignition=9.0, running=9.0)
        )
        walk = self.walk(vehicle)
        assert session.spot_in_hand(walk.session) is None
        assert session.impossible(walk.session, vehicle) == ()

    def test_what_needs_no_meter_is_kept_apart(self) -> None:
        vehicle = edits.change_feed(camera(ten_slots(10)), FEED, other_load=UNREAD)
        assert to_be_sure.readings(vehicle) == ()
        assert [(each.place, each.how) for each in to_be_sure.besides(vehicle)] == [("feed", "say")]

    def test_nobody_is_sent_to_a_critical_circuit_where_another_reading_does(self) -> None:
        vehicle = two_open()
        slot = vehicle.panels[0].slots[4].id
        assert self.walk(vehicle).session.slot == slot
        walk = self.walk(edits.change_slot(vehicle, slot, critical=True))
        assert walk.session.slot != slot

    def test_a_critical_circuit_is_cautioned_at_the_first_place_of_a_round_too(self) -> None:
        vehicle = half_measured()
        slot = vehicle.panels[0].slots[0].id
        vehicle = edits.change_slot(vehicle, slot, critical=True, own_load=UNREAD)
        walk = Walk(vehicle)
        walk.begin(Round(state="asleep"))
        assert walk.session.slot == slot
        assert "Critical circuit" in str(walk.session.message)

    def test_left_in_the_middle_it_goes_on_there(self) -> None:
        walk = self.walk(half_measured()).press("1")
        assert session.resume(walk.session, walk.vehicle) == walk.session
        gone = edits.remove_feed(walk.vehicle, FEED)
        assert session.resume(walk.session, gone).feed is None

    @pytest.mark.parametrize("minutes", [1.0, 60.0])
    def test_asleep_is_noted_as_awake_until_its_time_has_passed(self, minutes: float) -> None:
        walk = Walk(half_measured(), seconds=0.0)
        walk.begin(Round(state="asleep")).press("lock")
        walk.now += timedelta(minutes=minutes)
        walk.session = walking.go_to_spot(walk.session, walk.vehicle, ("feed", FEED))
        walk.type("0.02")
        assert walk.vehicle.readings[-1].state == ("awake" if minutes < 30 else "asleep")


def test_two_open_readings_are_settled_in_a_handful_of_keys() -> None:
    """From the first key of the list on: figures, Enter, and the key of the vehicle turned."""
    vehicle = two_open()
    walk = Walk(vehicle).press("sure")
    pressed = 0
    while session.rounds_left(walk.session, walk.vehicle) and pressed < 60:
        keys = ("enter",) if session.spot_in_hand(walk.session) is None else ("1", "enter")
        walk.press(*keys)
        pressed += len(keys)
    assert verdict(walk.vehicle) == "holds"
    assert pressed <= 12


def test_a_session_names_no_slot_and_no_feed_at_once() -> None:
    vehicle = half_measured()
    walk = Walk(vehicle).press("sure")
    both = replace(walk.session, slot=vehicle.panels[0].slots[0].id)
    assert session.impossible(both, vehicle) != ()
