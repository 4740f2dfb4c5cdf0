"""Nights with planted wake-ups, as loggers write them: what is read, what is made of it."""

from collections.abc import Callable
from math import isfinite
from random import Random

import pytest

from fusemap import files
from fusemap.assess import assess
from fusemap.errors import InputProblem
from fusemap.probing import hunt
from fusemap.probing.hunt.night import Night, night_of
from fusemap.vehicle import edits, look_up
from tests.probing.hunt.test_hunt import Walk, car, plain

Draws = Callable[[float], float]


def spells(every: float, minutes: float, amps: float, at: float = 0.0) -> Draws:
    """`amps` more for `minutes` out of `every`, the first of them at `at` [min]."""
    return lambda now: amps if now >= at and (now - at) % every < minutes else 0.0


def night(*draws: Draws, rest: float = 0.03, hours: float = 9, step: float = 1.0) -> Night:
    """What a logger's table of these says."""
    return night_of(hunt.read_log(table(*draws, rest=rest, hours=hours, step=step)))


def table(*draws: Draws, rest: float = 0.03, hours: float = 9, step: float = 1.0) -> str:
    rows = ["minutes;A"]
    for number in range(int(hours * 60 / step)):
        now = number * step
        rows.append(f"{now:g};{rest + sum(draw(now) for draw in draws):.4f}")
    return "\n".join(rows)


class TestTables:
    """The same two points, 10 minutes apart, 31 and 640 mA."""

    @pytest.mark.parametrize(
        "text",
        [
            "minutes;A\n0;0.031\n10;0.64",
            "seconds\tmA\n0\t31\n600\t640",
            "hours,A\n0,0.031\n0.1666667,0.64",
            "Zeit in Stunden;Strom [mA]\n0;31\n0,1666667;640",
            "t/ms;I/A\n0;0.031\n600000;0.64",
            "22:00 31 mA\n22:10 640 mA",
            "22:00:00,0.031\n22:10:00,0.640",
            "23:55;31 mA\n00:05;640 mA",
            "11:55 pm;0.031\n12:05 am;0.64",
            "date;time;A\n17.05.2025;22:00:00;0,031\n17.05.2025;22:10:00;0,640",
            "no,date,time,reading\n1,2025/05/17,22:00:00,31 mA\n2,2025/05/17,22:10:00,640 mA",
            "Time,Value,Unit\n22:00:00,31,mA\n22:10:00,640,mA",
            "1747512000;0.031\n1747512600;0.64",
            "when;temperature °C;battery V;I mA\n0;21;12.6;31\n10;21;12.5;640",
            "Logger of ours\nserial 4711\n\nTime,Current\n22:00:00,0,031\n22:10:00,0,640",
            '"time","current (A)"\n"22:00:00","0.031"\n"22:10:00","0.640"',
            "mm:ss;A\n0:00;0.031\n10:00;0.64",
            "22:00;-0.031\n22:10;-0.64",
        ],
    )
    def test_whatever_a_logger_writes(self, text: str) -> None:
        (first, low), (then, high) = hunt.read_log(text).points
        assert (first, low, high) == pytest.approx((0.0, 0.031, 0.64))
        assert then == pytest.approx(10.0, abs=0.001)

    def test_rows_out_of_order_are_put_in_order(self) -> None:
        points = hunt.read_log("minutes;A\n20;0.03\n0;0.01\n10;0.02").points
        assert points == ((0.0, 0.01), (10.0, 0.02), (20.0, 0.03))

    def test_what_cannot_be_read_is_named_by_its_row(self) -> None:
        log = hunt.read_log("time;A\n22:00;OL\n22:01;0.03\n22:02;\n22:03;0.03\nend of log;")
        assert log.unused == (2, 4, 6)
        assert "2" in plain(log.words)

    @pytest.mark.parametrize(
        "text",
        ["", "hello\nworld", "time;mV\n0;31\n10;640", "t;v;unit\n0;31;V\n1;32;V", "0;1e308\n1;inf"],
    )
    def test_what_is_no_current_is_refused(self, text: str) -> None:
        with pytest.raises(InputProblem):
            hunt.read_log(text)

    def test_milliamperes_without_their_unit_are_asked_about(self) -> None:
        with pytest.raises(InputProblem, match="unit"):
            night_of(hunt.read_log("0;31\n1;31\n2;640\n3;31"))

    @pytest.mark.parametrize("seed", range(200))
    def test_rubbish_is_read_or_refused(self, seed: int) -> None:
        random = Random(seed)
        cells = (
            "22:00", "0:61", "99:99", "-5", "1e9", "0,03", ".6", "mA", "A", "V", "", "x", "µA",
            "2025-05-17T22:00:00", "0001-01-01T00:00:00", "nan", '"', "1e400",
        )  # fmt: skip
        sign = random.choice(";,\t| ")
        text = "\n".join(
            sign.join(random.choice(cells) for _ in range(random.randint(0, 4)))
            for _ in range(random.randint(0, 30))
        )
        vehicle = Walk(car()).asleep("0.031")
        try:
            vehicle.type(text + "\n;")
        except InputProblem:
            return
        assert files.parse(files.render(vehicle.vehicle)) == vehicle.vehicle
        for wake in vehicle.vehicle.parking.wake_ups:
            assert all(map(isfinite, (wake.every_h, wake.minutes, wake.current_a)))
            assert 0 < wake.minutes <= 60 * wake.every_h + 0.01


class TestWhatANightShows:
    def test_one_sort_of_spells(self) -> None:
        (wake,) = night(spells(45, 6, 0.6, at=20)).wake_ups
        assert (wake.every_h, wake.minutes) == (0.75, 6.0)
        assert wake.current_a == pytest.approx(0.6)

    def test_falling_asleep_is_no_wake_up(self) -> None:
        found = night(lambda now: 4.0 if now < 25 else 0.0, spells(60, 5, 0.6, at=50))
        (wake,) = found.wake_ups
        assert (wake.every_h, wake.minutes) == (1.0, 5.0)
        assert wake.current_a == pytest.approx(0.6)
        assert night(lambda now: 4.0 if now < 25 else 0.0).wake_ups == ()

    def test_awake_for_most_of_the_time_it_still_has_a_rest(self) -> None:
        found = night(spells(10, 7, 0.5, at=3))
        assert found.rest_a == pytest.approx(0.03)
        (wake,) = found.wake_ups
        assert wake.minutes == pytest.approx(7.0, abs=0.2)
        assert 60 * wake.every_h == pytest.approx(10.0, abs=0.2)

    def test_two_sorts_are_told_apart(self) -> None:
        large, small = night(spells(180, 20, 2.5, at=30), spells(60, 3, 0.2, at=5)).wake_ups
        assert (large.every_h, large.minutes) == (3.0, 20.0)
        assert large.current_a == pytest.approx(2.5, rel=0.02)
        assert (small.every_h, small.minutes) == (1.0, 3.0)
        assert small.current_a == pytest.approx(0.2, rel=0.02)

    def test_a_gap_in_the_log_is_no_spell(self) -> None:
        whole = table(spells(60, 5, 0.6, at=30)).split("\n")
        # two hours are missing, from the middle of a spell on
        kept = [
            row for row in whole if not row[0].isdigit() or not 92 <= int(row.split(";")[0]) < 215
        ]
        (wake,) = night_of(hunt.read_log("\n".join(kept))).wake_ups
        assert wake.minutes <= 5.0

    @pytest.mark.parametrize("seed", range(5))
    def test_what_a_clamp_swings_by_is_no_wake_up(self, seed: int) -> None:
        """Two of its last digits either way, as its leaflet allows."""
        random = Random(seed)

        def read(now: float) -> float:
            return round((0.02 + random.uniform(-0.02, 0.02)) / 0.01) * 0.01

        assert night(read, rest=0.0).wake_ups == ()
        (wake,) = night(read, spells(60, 5, 0.15, at=20), rest=0.0).wake_ups
        assert (wake.every_h, wake.minutes) == (1.0, 5.0)

    @pytest.mark.parametrize("seed", range(30))
    def test_planted_spells_draw_as_much_as_they_do(self, seed: int) -> None:
        """By the charge that is taken in a night: of the points, and of the wake-ups."""
        random = Random(seed)
        every, minutes = random.uniform(20, 90), random.uniform(3, 15)
        draws = spells(every, minutes, random.uniform(0.1, 2.0), at=random.uniform(1, every))
        rest = random.uniform(0.005, 0.05)
        points = hunt.read_log(table(draws, rest=rest, hours=24)).points
        truth = sum(amps - rest for _, amps in points) / len(points)
        found = night(draws, rest=rest, hours=24)
        said = sum(w.current_a * w.minutes / (60 * w.every_h) for w in found.wake_ups)
        assert found.rest_a == pytest.approx(rest, rel=0.02)
        assert said == pytest.approx(truth, rel=0.12)


class TestInTheHunt:
    """0.03 A at rest; F3 draws 0.6 A more for 6 minutes every 45."""

    def logged(self) -> Walk:
        walk = Walk(car()).asleep("0.031")
        assert walk.step.kind == "night"
        return walk.type(table(spells(45, 6, 0.6, at=20)))

    def test_without_more_it_says_that_it_wakes_up_and_how_often(self) -> None:
        walk = self.logged()
        assert walk.step.kind == "catch"
        walk.take(hunt.skip(walk.hunt, walk.vehicle, walk.now))
        assert walk.step.kind == "end"
        words = plain(walk.answer.headline)
        assert words.startswith("It wakes up: 0.6 A more for 6 min every 45 min")

    def test_it_costs_what_it_draws_on_average_and_not_what_it_draws_awake(self) -> None:
        walk = self.logged()
        known = walk.answer
        cost = hunt.cost(walk.vehicle, known.found, known.whole, known.at_rest)
        mean = 0.03 + 0.6 * 6 / 45
        steady = edits.change_parking(walk.vehicle, rest_current_a=mean, wake_ups=())
        assert cost.as_it_is.low_h == pytest.approx(assess(steady).band.middle_h, rel=0.05)
        assert cost.without.low_h > 2 * cost.as_it_is.high_h

    def test_with_no_night_logged_it_is_said_from_never_to_always(self) -> None:
        walk = Walk(car()).asleep("0.63").read({}).no_clamp().type("0.03")
        known = walk.answer
        assert known.comes_and_goes
        cost = hunt.cost(walk.vehicle, known.found, known.whole, known.at_rest)
        always, never = (
            assess(edits.change_parking(walk.vehicle, rest_current_a=amps)).band.middle_h
            for amps in (known.whole.high_a, known.at_rest.low_a)
        )
        assert cost.as_it_is.low_h == pytest.approx(always, rel=1e-6)
        assert cost.as_it_is.high_h == pytest.approx(never, rel=1e-6)

    def test_caught_while_it_draws_it_is_found_and_is_no_draw_that_is_always_there(self) -> None:
        walk = self.logged().type("0.63").read({"slot-3": "2.8"})
        while walk.step.kind != "end":
            walk.type("" if walk.step.quantity is None else
                      "0.03" if walk.step.kind == "pull" else "0.63")  # fmt: skip
        assert [share.slot.label for share in walk.answer.found] == ["F3"]
        assert look_up.slot(walk.vehicle, "slot-3").own_load.asleep in (None, 0.0)
        assert walk.vehicle.parking.rest_current_a == pytest.approx(0.031)
        (wake,) = walk.vehicle.parking.wake_ups
        assert wake.current_a == pytest.approx(0.6)

    def test_taken_back_to_the_beginning_all_is_as_it_was(self) -> None:
        walk = self.logged().type("0.63").read({"slot-3": "2.8"})
        while walk.hunt.done:
            walk.take(hunt.undo(walk.hunt, walk.vehicle))
        assert walk.vehicle.parking == car().parking
        assert walk.vehicle.panels == car().panels
