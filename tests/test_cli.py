"""Reports on the terminal: what they say, how they end, and that no window is loaded for them."""

import json
import os
import subprocess
import sys
from math import inf
from pathlib import Path

import pytest

from fusemap import cli, files
from fusemap.__main__ import main
from fusemap.assess import assess
from fusemap.checks import findings
from fusemap.files import demos
from fusemap.terminal import COMMANDS
from fusemap.terminal import parked as parked_command
from fusemap.terminal import report as report_command
from fusemap.vehicle import Battery, Drive, Parking, SecondBattery, Vehicle, edits
from tests.plain import plain
from tests.vehicles import one_slot

KEYS = [key for key, _ in demos.demo_names()]


def answer(capsys, *argv: str) -> tuple[int, str]:
    """Exit status and what was printed; nothing is complained about."""
    status = cli.run(argv)
    out, err = capsys.readouterr()
    assert err == ""
    return status, out


def complaint(capsys, *argv: str) -> str:
    """What is said on the error output when it cannot be done; nothing else is printed."""
    assert cli.run(argv) == cli.CANNOT
    out, err = capsys.readouterr()
    assert out == ""
    assert "Traceback" not in err
    return err


@pytest.fixture
def sound(tmp_path) -> Path:
    """A vehicle in which nothing is wrong."""
    path = tmp_path / "sound.fusemap"
    files.write_vehicle(path, Vehicle(name="Sound van"))
    return path


class TestExitStatus:
    @pytest.mark.parametrize("key", KEYS)
    def test_a_vehicle_with_something_to_stop_for_ends_with_1(self, capsys, key):
        vehicle = demos.read_demo(key)
        stops = any(f.severity == "stop" for f in findings(vehicle, assess(vehicle)))
        assert stops == (key not in ("courier_van", "little_hatchback"))
        assert answer(capsys, "report", f"demo:{key}")[0] == int(stops)

    def test_a_sound_vehicle_ends_with_0(self, capsys, sound):
        assert answer(capsys, "report", str(sound))[0] == 0

    @pytest.mark.parametrize("key", KEYS)
    def test_a_forecast_is_an_answer_whatever_it_says(self, capsys, key):
        assert answer(capsys, "parked", f"demo:{key}")[0] == 0

    def test_the_help_of_the_program_names_every_command_and_what_it_says(self, capsys):
        with pytest.raises(SystemExit) as ended:
            main(["--help"])
        assert ended.value.code == 0
        printed = capsys.readouterr().out
        listed = answer(capsys, "--help")[1]
        assert set(COMMANDS) == {*cli.COMMANDS, "install-desktop"}
        for name, words in COMMANDS.items():
            assert f"{name} " in printed
            assert words in printed
            assert name == "install-desktop" or words in " ".join(listed.split())

    def test_the_documents_name_every_command(self):
        root = Path(__file__).resolve().parents[1]
        readme = (root / "README.md").read_text(encoding="utf-8")
        developers = (root / "DEVELOPERS.md").read_text(encoding="utf-8")
        for name in COMMANDS:
            assert f"fusemap {name} " in readme
        rooms = [
            path.name for path in (root / "fusemap").iterdir()
            if not path.name.startswith("__") and path.name != "py.typed"
        ]  # fmt: skip
        for room in rooms:
            assert f"{room}`" in developers or f"{room}/`" in developers, room

    def test_help_is_no_mistake_and_lists_the_keys(self, capsys):
        status, out = answer(capsys, "report", "--help")
        assert status == 0
        assert "live_contact_a" in out
        assert "demo:family_estate" in out
        assert "hours_to_crank_limit" in answer(capsys, "parked", "--help")[1]

    @pytest.mark.parametrize(
        "argv", [(), ("report",), ("fly", "x"), ("report", "x", "--loud"), ("report", "x", "y")]
    )
    def test_wrong_arguments_end_with_2(self, capsys, argv):
        assert "usage" in complaint(capsys, *argv)


class TestFilesThatCannotBeRead:
    def test_not_there(self, capsys, tmp_path):
        said = complaint(capsys, "report", str(tmp_path / "gone.fusemap"))
        assert "no such file" in said
        assert said.count("gone.fusemap") == 1

    def test_no_such_demo(self, capsys):
        assert "small_old_car" in complaint(capsys, "parked", "demo:spaceship")

    def test_a_wrong_field_is_named_with_the_file(self, capsys, tmp_path):
        path = tmp_path / "van.fusemap"
        text = demos.demo_text("small_old_car")
        path.write_text(text.replace('"rating": 20.0', '"rating": 12.0', 1), encoding="utf-8")
        said = complaint(capsys, "report", str(path))
        assert f"{path}: panels[0].slots[2].fuse.rating: 12 is not a rating of the regular" in said


class TestReport:
    def test_every_finding_stands_in_it_with_its_sum_and_remedy(self, capsys):
        vehicle = demos.read_demo("family_estate")
        _, out = answer(capsys, "report", "demo:family_estate")
        for finding in findings(vehicle, assess(vehicle)):
            assert plain(finding.what) in out
            assert plain(finding.remedy) in out
            assert finding.severity.upper() in out

    def test_the_overloaded_host_fuse_is_shown_with_load_limit_and_state(self, capsys):
        _, out = answer(capsys, "report", "demo:family_estate")
        line = next(line for line in out.splitlines() if "F11 Climate control panel  " in line)
        assert "6.82 to 7.78 A of 5.63 A" in line
        assert "ignition on" in line
        assert "does not hold" in line

    def test_slots_that_carry_nothing_are_left_out(self, capsys):
        _, out = answer(capsys, "report", "demo:family_estate")
        assert "F20 Spare" not in out
        assert "F18 Boot socket" not in out

    def test_the_chain_of_each_tap_says_which_hop_fails(self, capsys):
        _, out = answer(capsys, "report", "demo:family_estate")
        chain = out.partition("Tow socket module: Main cable from the battery")[2]
        overload = next(line for line in chain.splitlines() if "overload pass" in line)
        assert overload.endswith("FAILS")
        assert "  holds" in chain

    def test_a_vehicle_without_anything_gives_a_short_report(self, capsys, sound):
        _, out = answer(capsys, "report", str(sound))
        assert out.startswith("Sound van (12 V)\n")
        assert "SLOTS" not in out
        assert "FEEDS" not in out

    def test_no_line_ends_in_a_space_and_no_odd_space_is_used(self, capsys):
        for command in ("report", "parked"):
            _, out = answer(capsys, command, "demo:light_truck")
            assert "\u202f" not in out
            assert not any(line != line.rstrip() for line in out.splitlines())


class TestJson:
    @pytest.mark.parametrize("key", KEYS)
    def test_it_says_the_same_as_the_assessment(self, capsys, key):
        data = json.loads(answer(capsys, "report", f"demo:{key}", "--json")[1])
        vehicle = demos.read_demo(key)
        a = assess(vehicle)
        assert data["vehicle"] == vehicle.name
        assert [feed["current_a"] for feed in data["feeds"]] == pytest.approx(
            a.feeds.current_a.max(axis=0).tolist(), rel=1e-5
        )
        assert [finding["code"] for finding in data["findings"]] == [
            finding.code for finding in findings(vehicle, a)
        ]
        assert sum(data["counts"].values()) == len(data["findings"])
        for tap in data["taps"]:
            hops = a.chains[tap["id"]].hops
            assert [hop["passed"] for hop in tap["hops"]] == [hop.passed for hop in hops]

    def test_circuits_that_wait_for_an_answer_are_listed_with_and_without_a_tap(
        self, capsys, tmp_path
    ):
        path = tmp_path / "open.fusemap"
        files.write_vehicle(path, edits.change_slot(one_slot(), "slot-1", circuit="Airbag"))
        data = json.loads(answer(capsys, "report", str(path), "--json")[1])
        assert [(one["id"], one["mark"]) for one in data["unanswered"]] == [("slot-1", "critical")]
        assert data["slots"][0]["unanswered"] == ["critical"]
        assert (data["slots"][0]["function"], data["slots"][0]["function_answered"]) == (
            "leave_alone",
            False,
        )
        assert (
            "F1 Airbag: leave alone? (airbag and belt tensioner)"
            in answer(capsys, "report", str(path))[1]
        )
        files.write_vehicle(path, edits.change_slot(one_slot(), "slot-1", circuit="Radio"))
        assert json.loads(answer(capsys, "report", str(path), "--json")[1])["unanswered"] == []

    def test_every_key_is_listed_in_the_help(self, capsys):
        told = report_command.__doc__ + parked_command.__doc__
        listed = set(told.replace(",", " ").replace("[]:", " ").replace("(", " ").split())
        listed |= {word.rstrip("):[]") for word in listed}

        def keys(value):
            if isinstance(value, dict):
                for key, inside in value.items():
                    yield key
                    yield from keys(inside)
            elif isinstance(value, list):
                for inside in value:
                    yield from keys(inside)

        for command in ("report", "parked"):
            for demo in KEYS:
                data = json.loads(answer(capsys, command, f"demo:{demo}", "--json")[1])
                assert set(keys(data)) <= listed

    def test_keys_of_the_week_and_the_second_battery_are_listed_too(self, capsys, tmp_path):
        path = tmp_path / "both.fusemap"
        parking = Parking(drives=(Drive(start_h=8.0, minutes=30.0),))
        files.write_vehicle(
            path, Vehicle(name="Both", parking=parking, second_battery=SecondBattery())
        )
        data = json.loads(answer(capsys, "parked", str(path), "--json", "--draws", "20")[1])
        for part in ("week", "second_battery"):
            assert set(data[part]) <= set(
                parked_command.__doc__.replace(",", " ").replace("[]", " ").split()
            )
        assert len(data["week"]["settles"]) == 3
        assert data["second_battery"]["accessories"] == []

    def test_what_is_never_reached_is_null(self, capsys, tmp_path):
        path = tmp_path / "asleep.fusemap"
        parking = Parking(rest_current_a=0.0, awake_current_a=0.0)
        battery = Battery(capacity_ah=70.0, start_soc=1.0)
        files.write_vehicle(path, Vehicle(name="Asleep", parking=parking, battery=battery))
        data = json.loads(answer(capsys, "parked", str(path), "--json")[1])
        assert data["hours_to_crank_limit"] is None
        assert data["hours_to_freezing"] is None
        assert data["starts_after_planned"] is True

    def test_a_slot_without_a_fuse_has_no_limit(self, capsys, tmp_path):
        text = demos.demo_text("small_old_car")
        fields = json.loads(text)
        del fields["panels"][0]["slots"][2]["fuse"]
        path = tmp_path / "empty.fusemap"
        path.write_text(json.dumps(fields), encoding="utf-8")
        data = json.loads(answer(capsys, "report", str(path), "--json")[1])
        slot = next(slot for slot in data["slots"] if slot["label"] == "3")
        assert (slot["fuse"], slot["host_fuse_limit_a"]) == (None, None)


class TestParked:
    def test_it_says_in_words_that_the_car_will_not_start(self, capsys):
        _, out = answer(capsys, "parked", "demo:family_estate")
        assert "You plan 9 days: it will not start." in out

    def test_the_largest_consumer_comes_first_and_the_cut_off_is_named(self, capsys):
        _, out = answer(capsys, "parked", "demo:family_estate")
        drawn = out.partition("WHO DRAWS")[2].splitlines()
        # on the shelf, but reckoned with
        assert drawn[2].split("  ")[1] == "Cool box"
        assert "Without Cool box and Phone charger, not placed yet, by the usual figures" in out
        assert "Dash camera: trips after 28 hours" in out

    def test_the_spread_is_low_typical_high_and_says_what_to_measure(self, capsys):
        line = ("parked", "demo:light_truck", "--json", "--draws", "300")
        spread = json.loads(answer(capsys, *line)[1])["spread"]
        assert spread["draws"] == 300
        assert spread["low_h"] < spread["middle_h"] < spread["high_h"]
        assert spread["measure_next"].startswith("Read the lowest voltage of one start")
        assert sum(each["share"] for each in spread["inputs"]) == pytest.approx(1.0, abs=1e-4)
        assert json.loads(answer(capsys, *line)[1])["spread"] == spread

    def test_temperature_and_start_charge_can_be_asked_for(self, capsys):
        asked = ("--temperature", "-5", "--start-charge", "90")
        data = json.loads(answer(capsys, "parked", "demo:family_estate", "--json", *asked)[1])
        assert data["temperature_c"] == -5.0
        assert data["start_soc"] == 0.9
        full = ("--temperature", "-5", "--start-charge", "100%")
        fuller = json.loads(answer(capsys, "parked", "demo:family_estate", "--json", *full)[1])
        assert fuller["hours_to_crank_limit"] > data["hours_to_crank_limit"]

    @pytest.mark.parametrize(
        "wrong", [("--draws", "0"), ("--start-charge", "130"), ("--temperature", "cold")]
    )
    def test_options_that_cannot_be_are_refused(self, capsys, wrong):
        assert wrong[0] in complaint(capsys, "parked", "demo:family_estate", *wrong)

    def test_a_winter_beyond_the_scale_is_told_by_its_field(self, capsys):
        said = complaint(capsys, "parked", "demo:family_estate", "--temperature", "-90")
        assert "Parking, temperature" in said

    def test_what_would_help_is_listed_best_first(self, capsys):
        data = json.loads(answer(capsys, "parked", "demo:family_estate", "--json")[1])
        gains = [each["gained_h"] for each in data["what_if"]]
        assert gains == sorted(gains, reverse=True)
        assert "off accessory-camera" in [each["key"] for each in data["what_if"]]
        _, out = answer(capsys, "parked", "demo:family_estate")
        assert "Dash camera: off while parked: 90 minutes more" in out

    def test_the_remainder_no_circuit_explains_is_a_consumer_of_its_own(self, capsys):
        data = json.loads(answer(capsys, "parked", "demo:light_truck", "--json")[1])
        assert data["unexplained_a"] == pytest.approx(0.02)
        assert "Unexplained remainder" in [each["name"] for each in data["consumers"]]

    def test_hours_are_those_of_the_assessment(self, capsys):
        for key in KEYS:
            data = json.loads(answer(capsys, "parked", f"demo:{key}", "--json")[1])
            a = assess(demos.read_demo(key))
            for name, hours in (
                ("hours_to_crank_limit", a.band.middle_h),
                ("hours_without_accessories", a.parked.hours_without),
            ):
                told = inf if data[name] is None else data[name]
                assert told == pytest.approx(hours, rel=1e-5)


def program(*argv: str, **environment: str) -> subprocess.Popen:
    return subprocess.Popen(
        [sys.executable, "-m", "fusemap", *argv],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        env=os.environ | environment,
    )


class TestAsAProgram:
    def test_a_reader_that_stops_early_is_no_fault(self):
        with program("report", "demo:family_estate") as started:
            started.stdout.close()
            complaints = started.stderr.read()
        assert complaints == b""
        assert started.returncode == 1

    def test_a_terminal_without_the_signs_still_gets_its_report(self):
        with program("report", "demo:light_truck", PYTHONIOENCODING="ascii") as started:
            out, complaints = started.communicate()
        assert complaints == b""
        assert b"Light truck (24 V)" in out
        assert b"mm?" in out

    def test_no_window_is_loaded_for_a_report(self):
        code = (
            "import sys; from fusemap.__main__ import main; main(sys.argv[1:]); "
            "print([name for name in sys.modules if name.startswith(('PySide6', 'pyqtgraph'))])"
        )
        done = subprocess.run(
            [sys.executable, "-c", code, "parked", "demo:small_old_car"],
            capture_output=True,
            text=True,
            check=True,
        )
        assert done.stdout.splitlines()[-1] == "[]"
